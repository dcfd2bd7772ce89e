//! Events that can be told from the states alone.

use crate::attempt::EventKind;
use toeline_dynamics::{LEFT, Params, RIGHT, State};

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
}

impl Watch {
    pub(crate) fn new(start: &State) -> Watch {
        Watch {
            moving: start.speed_mps() > STARTED_MPS,
            locked: [false; 2],
            running: start.rpm > 0.0,
        }
    }

    /// What began with this state.
    pub(crate) fn look(&mut self, p: &Params, state: &State) -> Vec<(EventKind, String)> {
        let mut seen = Vec::new();
        let speed = state.speed_mps();
        if !self.moving && speed > STARTED_MPS {
            self.moving = true;
            seen.push((EventKind::Started, String::new()));
        } else if self.moving && speed < STOPPED_MPS {
            self.moving = false;
            seen.push((EventKind::Stopped, String::new()));
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
                seen.push((EventKind::BrakeLocked, format!("{name} wheel, at {speed:.1} m/s")));
            }
            self.locked[side] = locked;
        }
        let running = state.rpm > 0.0;
        if self.running && !running {
            seen.push((EventKind::EngineStopped, String::new()));
        }
        self.running = running;
        seen
    }
}
