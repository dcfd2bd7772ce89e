//! What a pupil sees and does in place of the model pilot.
//!
//! The model pilot is kept whole; the pupil's faults lie before its eyes and behind its feet. It is shown the aeroplane moved
//! aside by what the pupil believes (so that the nose wheel runs where he believes the line to be), with its errors larger than
//! they are (over-correction) and as it was a while ago (reaction). What its feet do comes late, and the toes rest on the brakes.

use super::Pupil;
use crate::pilot::{Pilot, Place, Task};
use std::collections::VecDeque;
use toeline_dynamics::{Controls, Params, State, TICK_S};
use toeline_engine::odds::{Begin, Deviation};
use toeline_model::angle::wrap;
use toeline_model::{DrivenPath, Xy, Yaw, math};

/// Speed above which it rolls, and the toes rest on the brakes, m/s (ours).
const ROLLS_MPS: f64 = 0.3;
/// Time that the pupil's own bend is looked ahead with, seconds: the model pilot's lag of pedal and linkage.
const AHEAD_S: f64 = 0.14;

/// A pupil's eyes, feet and the line that he believes in, on one task.
#[derive(Clone, Debug)]
pub struct Hands {
    pupil: Pupil,
    params: Params,
    path: DrivenPath,
    from_m: f64,
    believed: Deviation,
    place: Place,
    seen: VecDeque<State>,
    feet: VecDeque<[f64; 3]>,
}

impl Hands {
    /// Pupil number `number` of a seed, at the start of a task. The way he believes in grows out of the line from where he
    /// starts.
    pub fn new(pupil: &Pupil, params: Params, task: &Task, seed: u64, number: u64) -> Hands {
        let length = task.path.length_m() - task.from_m;
        Hands {
            pupil: *pupil,
            params,
            path: task.path.clone(),
            from_m: task.from_m,
            believed: Deviation::draw(&pupil.wobble, seed, number, length, Begin::Parked),
            place: Place::at(task.from_m),
            seen: VecDeque::new(),
            feet: VecDeque::new(),
        }
    }

    /// The line that he believes in, by the way from his start.
    pub fn believed(&self) -> &Deviation {
        &self.believed
    }

    /// The controls for the next tick. Call it once a tick, with the state before it.
    pub fn next(&mut self, pilot: &mut Pilot, state: &State) -> Controls {
        let shown = self.shown(state);
        let shown = late(&mut self.seen, shown, self.pupil.reaction_s);
        let meant = pilot.next(&shown);
        let feet = [meant.rudder, meant.left_brake, meant.right_brake];
        let mut feet = late(&mut self.feet, feet, self.pupil.late_feet_s);
        if state.forward_mps > ROLLS_MPS {
            for toe in &mut feet[1..] {
                *toe = toe.max(self.pupil.rides_brakes);
            }
        }
        Controls {
            rudder: feet[0],
            left_brake: feet[1],
            right_brake: feet[2],
            ..meant
        }
    }

    /// The state as the pilot is to see it.
    fn shown(&mut self, state: &State) -> State {
        let pose = state.pose(&self.params);
        self.place = self.place.moved(&self.path, pose.nose);
        let (way, offset) = (self.place.way_m, self.place.offset_m);
        let (aside, _) = self.believed.at(way - self.from_m);
        let (_, slope) = self
            .believed
            .at(way - self.from_m + AHEAD_S * state.forward_mps.max(0.0));
        let bend = math::atan(slope);
        let more = self.pupil.overcorrects;
        let moved = Xy::unit(self.path.direction_at(way)).left() * (more * (offset - aside) - offset);
        let nose = pose.nose + moved;
        let heading = pose.heading_rad.rad();
        let error = wrap(heading - bend - self.path.pose_at(way).heading_rad.rad());
        let turned = (more - 1.0) * error - bend;
        let cg = Xy {
            x: state.x_m,
            y: state.y_m,
        } - pose.nose;
        let (c, s) = Yaw::from_rad(turned).unit();
        State {
            x_m: nose.x + cg.x * c - cg.y * s,
            y_m: nose.y + cg.x * s + cg.y * c,
            yaw_rad: wrap(heading + turned),
            ..*state
        }
    }
}

/// Puts a thing into a queue and takes out what went in so many seconds ago; the first for as long as there is none so old.
fn late<T: Copy>(queue: &mut VecDeque<T>, now: T, by_s: f64) -> T {
    let ticks = (by_s / TICK_S).round() as usize;
    queue.push_back(now);
    if queue.len() > ticks + 1 {
        queue.pop_front();
    }
    queue.front().copied().unwrap_or(now)
}
