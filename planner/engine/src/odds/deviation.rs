//! One pupil's deviation along a way as a value: the same process that the odds draw, for whoever else lets a pupil drive.

use super::Begin;
use super::seed::Stream;
use super::wander::{Between, Chain, KNOT_T, State, rate_per_m, taken_up};
use super::wobble::Wobble;

/// Where a wobbling nose wheel runs beside the driven path: steady offset and wandering, drawn once for a whole way.
#[derive(Clone, Debug, PartialEq)]
pub struct Deviation {
    offset_m: f64,
    spread_m: f64,
    rate_per_m: f64,
    parked: bool,
    knots: Vec<State>,
}

impl Deviation {
    /// Draws pupil number `pupil` of a seed over `length_m` metres of way. The numbers are a function of seed and pupil
    /// alone, so that any thread draws the same.
    pub fn draw(wobble: &Wobble, seed: u64, pupil: u64, length_m: f64, begin: Begin) -> Deviation {
        let rate = rate_per_m(wobble.correlation_m);
        let last = (length_m.max(0.0) * rate / KNOT_T).ceil() as usize + 1;
        let parked = begin == Begin::Parked;
        let mut knots = Vec::with_capacity(last + 1);
        Chain::new().draw(Stream::of(seed, pupil), 0, last, parked, &mut knots);
        Deviation {
            offset_m: wobble.offset_m,
            spread_m: wobble.spread_m,
            rate_per_m: rate,
            parked,
            knots,
        }
    }

    /// Distance of the nose wheel from the driven path at a way, metres, left positive, and its slope (metres a metre of
    /// way). Before the start and beyond the end it is that of the start and the end.
    pub fn at(&self, way_m: f64) -> (f64, f64) {
        let whole = (self.knots.len() - 1) as f64 * KNOT_T;
        // A hair before the last knot, so that there is one on either side.
        let t = (way_m * self.rate_per_m).clamp(0.0, whole * (1.0 - 1e-12));
        let (share, eases) = taken_up(t, self.parked);
        let between = Between::at(t);
        let about = &self.knots[between.knot.min(self.knots.len() - 2)..];
        let slope_t = self.offset_m * eases + self.spread_m * between.slope(about);
        (
            self.offset_m * share + self.spread_m * between.value(about),
            slope_t * self.rate_per_m,
        )
    }
}
