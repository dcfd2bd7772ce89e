//! Watching what is touched and where the wheels are, so that each contact is told once.
//!
//! The look is made at every tick. At 25 m/s and a yaw rate of 1 rad/s, a wing tip 8 m from the middle moves at most
//! (25 + 8)/240 = 0.14 m between two looks; the thinnest part along the way, a propeller disc, is 0.2 m deep, so nothing is
//! passed through between two looks.

use crate::attempt::{Event, EventKind};
use std::sync::Arc;
use toeline_dynamics::contacts::{Body, Look, Surroundings};
use toeline_dynamics::{Params, State};
use toeline_model::Aircraft;

/// Ticks for which a part must be clear before it can touch the same thing again: a second (ours). Struts rock; a wing
/// that rubs along a fence touches it once.
const CLEAR_TICKS: u64 = 240;
/// How far inside the edge a wheel that was off must be to count as back, metres (ours): along an edge it is told once.
const BACK_INSIDE_M: f64 = 0.1;

/// A contact that lasts.
#[derive(Clone, Copy, Debug)]
struct Lasting {
    part: usize,
    thing: usize,
    last_tick: u64,
}

#[derive(Clone, Debug)]
pub(crate) struct Around {
    surroundings: Arc<Surroundings>,
    body: Body,
    look: Look,
    lasting: Vec<Lasting>,
    off: [bool; 3],
}

impl Around {
    /// Begins with a state. A wheel that stands off the pavement then has not left it; what is touched then is told with
    /// the first tick.
    pub(crate) fn new(surroundings: Arc<Surroundings>, aircraft: &Aircraft, p: &Params, start: &State) -> Around {
        let body = Body::of(aircraft);
        let mut look = Look::new(&body);
        surroundings.look(&body, p, start, [0.0; 3], &mut look);
        Around {
            off: look.off,
            surroundings,
            body,
            look,
            lasting: Vec::new(),
        }
    }

    /// What began or ended with this state: contacts by part, then wheels.
    pub(crate) fn look(&mut self, p: &Params, state: &State) -> Vec<Event> {
        let inset_m = self.off.map(|off| if off { BACK_INSIDE_M } else { 0.0 });
        self.surroundings.look(&self.body, p, state, inset_m, &mut self.look);
        let mut seen = Vec::new();
        let now = state.tick;
        self.lasting.retain(|l| now - l.last_tick <= CLEAR_TICKS);
        for touch in &self.look.touches {
            let same = |l: &&mut Lasting| l.part == touch.part && l.thing == touch.thing;
            if let Some(lasting) = self.lasting.iter_mut().find(same) {
                lasting.last_tick = now;
                continue;
            }
            self.lasting.push(Lasting {
                part: touch.part,
                thing: touch.thing,
                last_tick: now,
            });
            let (part, thing) = (
                self.body.part_name(touch.part),
                self.surroundings.thing_name(touch.thing),
            );
            let text = format!("{part} against {thing}, at {:.1} m/s", state.speed_mps());
            let event = Event::of(p, state, EventKind::TouchedObstacle, text).at(touch.at);
            seen.push(Event {
                thing: Some(thing.to_string()),
                ..event.of_part(part)
            });
        }
        for wheel in 0..3 {
            let off = self.look.off[wheel];
            if off != self.off[wheel] {
                self.off[wheel] = off;
                let (kind, words) = if off {
                    (EventKind::LeftPavement, "off the pavement")
                } else {
                    (EventKind::BackOnPavement, "back on the pavement")
                };
                let name = self.body.wheel_name(wheel);
                let event = Event::of(p, state, kind, format!("{name} {words}"));
                seen.push(event.at(self.look.wheels[wheel]).of_part(name));
            }
        }
        seen
    }
}
