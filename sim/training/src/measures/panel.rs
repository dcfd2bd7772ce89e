//! The heading instruments of a drive, stepped again along its replay as the window steps them.

use crate::attempt::{Attempt, EventKind};
use toeline_dynamics::instruments::{self, InstrumentParams, Instruments, Place, Seen, random_drift_radps};
use toeline_dynamics::{Air, Params, State, TICK_S};
use toeline_model::units::DEG;

/// Seed of the heading indicator's random drift: the window's. Whatever it is, the drift stays below 3 degrees in a quarter
/// of an hour.
const DRIFT_SEED: u64 = 1;
/// How the window notes that the knob was turned.
const KNOB: &str = "heading indicator set to ";

/// What the heading instruments show. Clockwise from north, radians, 0..2π.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Headings {
    /// Heading indicator.
    pub indicator_rad: f64,
    /// Magnetic compass.
    pub compass_rad: f64,
}

/// The panel along a replay. At the start the heading indicator is set to the compass, as the window hands it over; a turn
/// of its knob is taken as it was noted, half a second after it came to rest and to a degree.
pub(super) struct Panel {
    params: InstrumentParams,
    place: Place,
    shown: Instruments,
    start_tick: u64,
    /// Ticks at which the knob had come to rest, and the figure set, radians; in order.
    set: Vec<(u64, f64)>,
}

impl Panel {
    pub(super) fn new(attempt: &Attempt, p: &Params, place: Place, state: &State) -> Panel {
        let params = InstrumentParams::from_aircraft(&attempt.aircraft);
        let seen = Seen::of(p, &attempt.environment.air, state, &place, 0.0);
        let knob = attempt.events.iter().filter(|e| e.kind == EventKind::Note);
        let set = knob.filter_map(|e| {
            let figure = e.text.strip_prefix(KNOB)?.split([',', ' ']).next()?;
            Some((e.tick, figure.parse::<f64>().ok()? * DEG))
        });
        Panel {
            shown: Instruments::set(&params, &seen),
            params,
            place,
            start_tick: attempt.start.tick,
            set: set.collect(),
        }
    }

    /// One tick on.
    pub(super) fn follow(&mut self, p: &Params, air: &Air, state: &State) {
        let time_s = state.tick.saturating_sub(self.start_tick) as f64 * TICK_S;
        let seen = Seen::of(p, air, state, &self.place, random_drift_radps(DRIFT_SEED, time_s));
        self.shown = instruments::next(&self.params, &self.shown, &seen, &p.faults, TICK_S);
        for (_, figure) in self.set.iter().filter(|s| s.0 == state.tick) {
            self.shown = self.shown.with_heading(*figure);
        }
    }

    pub(super) fn headings(&self) -> Headings {
        Headings {
            indicator_rad: self.shown.gyros.heading_rad,
            compass_rad: self.shown.compass.reading_rad,
        }
    }
}
