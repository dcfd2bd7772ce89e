//! Eyes and voice: where the pilot looks, what he says and what he is told, one thing after the other.
//!
//! He looks both ways before he moves and before a turn, and both ways and toward the approach before a runway. Each takes a
//! moment, so that it is a look and no mark on a list. There is nobody to talk to: where a plan follows a tower's
//! instruction its answers are supposed, and said to be; elsewhere he announces.

use super::gains;
use crate::attempt::EventKind;
use std::collections::VecDeque;
use toeline_model::DrivenPath;
use toeline_model::path::Motion;
use toeline_model::units::DEG;

/// Least change of direction of a turn that is looked into, radians (ours): less is the bend of a lane.
const TURN_RAD: f64 = 30.0 * DEG;
/// Way without a bend that parts two turns, metres (ours).
const APART_M: f64 = 2.0;
/// Slowest speed that the time to a turn is reckoned with, m/s (ours).
const LEAST_MPS: f64 = 1.0;

/// Something that is worth a note in the attempt.
#[derive(Clone, Debug, PartialEq)]
pub struct Remark {
    /// What kind.
    pub kind: EventKind,
    /// In words.
    pub text: String,
    /// Where he looked, what was said or told, how the engine check was judged: see [`EventKind`].
    pub thing: Option<String>,
}

impl Remark {
    pub(super) fn new(kind: EventKind, text: impl Into<String>) -> Remark {
        Remark {
            kind,
            text: text.into(),
            thing: None,
        }
    }

    pub(super) fn about(kind: EventKind, thing: &str, text: impl Into<String>) -> Remark {
        Remark {
            thing: Some(thing.to_string()),
            ..Remark::new(kind, text)
        }
    }
}

/// A turn of the way: where it begins, and whether it goes to the left.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Turn {
    from_m: f64,
    left: bool,
}

/// What there is to look at and to say, and how far he is with it.
#[derive(Clone, Debug)]
pub(super) struct Lookout {
    queue: VecDeque<Remark>,
    since_s: f64,
    turns: VecDeque<Turn>,
    /// Whether he stands until it is done.
    holds: bool,
}

impl Lookout {
    pub(super) fn new(path: &DrivenPath, from_m: f64) -> Lookout {
        let mut lookout = Lookout {
            queue: VecDeque::new(),
            since_s: 0.0,
            turns: turns(path).into_iter().filter(|t| t.from_m >= from_m).collect(),
            holds: false,
        };
        lookout.before_moving();
        lookout
    }

    /// Left and right, before it moves.
    pub(super) fn before_moving(&mut self) {
        self.both_ways(false, "before moving");
        self.holds = true;
    }

    /// Both ways and toward the approach, before a runway.
    pub(super) fn before_runway(&mut self, hold: &str) {
        self.both_ways(false, &format!("at {hold}"));
        let text = format!("looked toward the approach at {hold}");
        self.queue.push_back(Remark::about(EventKind::Looked, "approach", text));
        self.holds = true;
    }

    /// Something that is said.
    pub(super) fn say(&mut self, call: &str, text: String) {
        self.queue.push_back(Remark::about(EventKind::Said, call, text));
        self.holds = true;
    }

    /// Something that he is told.
    pub(super) fn hear(&mut self, answer: &str, text: String) {
        self.queue.push_back(Remark::about(EventKind::Told, answer, text));
        self.holds = true;
    }

    /// Rolling: into a turn that is near, the side that it goes to last.
    pub(super) fn rolling(&mut self, way_m: f64, mps: f64) {
        self.holds = false;
        let near_m = gains::LOOKS_BEFORE_TURN_S * mps.max(LEAST_MPS);
        while let Some(turn) = self.turns.front().copied().filter(|t| t.from_m - way_m < near_m) {
            self.turns.pop_front();
            self.both_ways(turn.left, "before a turn");
        }
    }

    fn both_ways(&mut self, left_last: bool, when: &str) {
        let sides = if left_last {
            ["right", "left"]
        } else {
            ["left", "right"]
        };
        for side in sides {
            let text = format!("looked {side} {when}");
            self.queue.push_back(Remark::about(EventKind::Looked, side, text));
        }
    }

    /// Whether there is something to be done before it moves.
    pub(super) fn holds(&self) -> bool {
        self.holds && !self.queue.is_empty()
    }

    /// Lets time go by; gives what has been done.
    pub(super) fn goes_by(&mut self, dt_s: f64) -> Option<Remark> {
        if self.queue.is_empty() {
            self.since_s = 0.0;
            return None;
        }
        self.since_s += dt_s;
        if self.since_s < gains::LOOK_S {
            return None;
        }
        self.since_s = 0.0;
        self.queue.pop_front()
    }
}

/// The turns of a path, in order: bends to one side with no more than [`APART_M`] of straight between them.
fn turns(path: &DrivenPath) -> Vec<Turn> {
    let mut list: Vec<(Turn, f64, f64)> = Vec::new();
    for piece in &path.pieces {
        let Motion::Arc { curvature_per_m } = piece.motion else {
            continue;
        };
        let (left, to_m) = (curvature_per_m > 0.0, piece.from_m + piece.length_m);
        let by_rad = curvature_per_m.abs() * piece.length_m;
        match list.last_mut() {
            Some((turn, rad, end_m)) if turn.left == left && piece.from_m - *end_m <= APART_M => {
                *rad += by_rad;
                *end_m = to_m;
            }
            _ => {
                let from_m = piece.from_m;
                list.push((Turn { from_m, left }, by_rad, to_m));
            }
        }
    }
    list.into_iter().filter(|t| t.1 >= TURN_RAD).map(|t| t.0).collect()
}
