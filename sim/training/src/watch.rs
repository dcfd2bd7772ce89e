//! Events that can be told from the states alone.

use crate::attempt::{Event, EventKind};
use toeline_dynamics::{End, LEFT, Params, RIGHT, State};
use toeline_model::math;

/// Speed above which an aeroplane that stood has started, m/s (ours).
const STARTED_MPS: f64 = 0.2;
/// Speed below which one that moved has stopped, m/s (ours).
const STOPPED_MPS: f64 = 0.01;
/// Speed below which a wheel that stands still is not worth a remark, m/s (ours).
const LOCK_MPS: f64 = 0.5;

#[derive(Clone, Copy, Debug)]
pub(crate) struct Watch {
    moving: bool,
    locked: [bool; 2],
    running: bool,
    ended: bool,
}

impl Watch {
    pub(crate) fn new(start: &State) -> Watch {
        Watch {
            moving: start.speed_mps() > STARTED_MPS,
            locked: [false; 2],
            running: start.engine.rpm > 0.0,
            ended: start.end != End::No,
        }
    }

    /// What began with this state.
    pub(crate) fn look(&mut self, p: &Params, state: &State) -> Vec<Event> {
        let mut seen = Vec::new();
        let event = |kind: EventKind, text: String| Event::of(p, state, kind, text);
        // At the ground, not at the centre of gravity: a body that rocks on its held wheels has not started.
        let speed = math::hypot(
            state.forward_mps + p.cg_height_m * state.pitch_radps,
            state.left_mps + p.cg_height_m * state.roll_radps,
        );
        if !self.moving && speed > STARTED_MPS {
            self.moving = true;
            seen.push(event(EventKind::Started, String::new()));
        } else if self.moving && speed < STOPPED_MPS {
            self.moving = false;
            seen.push(event(EventKind::Stopped, String::new()));
        }
        for (side, (wheel, name)) in [(LEFT, "left"), (RIGHT, "right")].into_iter().enumerate() {
            let arm = if wheel == LEFT {
                -p.track_m / 2.0
            } else {
                p.track_m / 2.0
            };
            let along = (state.forward_mps + arm * state.yaw_radps).abs();
            let locked = state.spin_radps[wheel] == 0.0 && along > LOCK_MPS;
            if locked && !self.locked[side] {
                let text = format!("{name} wheel, at {speed:.1} m/s");
                seen.push(event(EventKind::BrakeLocked, text).of_part(format!("{name} main wheel")));
            }
            self.locked[side] = locked;
        }
        let running = state.engine.rpm > 0.0;
        if self.running && !running {
            seen.push(event(EventKind::EngineStopped, String::new()));
        }
        self.running = running;
        if !self.ended && state.end != End::No {
            self.ended = true;
            let kind = match state.end {
                End::Airborne => EventKind::LiftedOff,
                _ => EventKind::TippedOver,
            };
            seen.push(event(kind, format!("at {speed:.1} m/s")));
        }
        seen
    }
}
