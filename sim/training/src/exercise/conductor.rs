//! Follows a drive tick by tick: the stage now, its prompt, and what came of each. A pure state machine: the same ticks, track
//! points and events give the same answers, live or from an attempt.

use super::limits::{self, Excess, Kept};
use super::telling::{Broken, Came, StageCame};
use super::watching::{Seen, Watcher};
use super::{Breakdown, Exercise, Lesson, Stage, Tower, Until, with};
use crate::attempt::{Attempt, Event, EventKind, TRACK_EVERY_TICKS, TrackPoint};
use crate::pilot::Place;
use crate::recorder::Recorder;
use toeline_dynamics::{Controls, Faults, TICK_S};
use toeline_model::angle::wrap;
use toeline_model::units::KNOT_MPS;
use toeline_model::{DrivenPath, Xy};

/// The call that counts only after something was told.
pub(super) const READ_BACK: &str = "read back";

/// How far past a stop by which a stage has to be done counts as past it, metres (ours).
const PAST_STOP_M: f64 = 0.5;

/// Something that the exercise wants to happen now. Whoever drives makes it an event; over an attempt it is one already.
#[derive(Clone, Debug, PartialEq)]
pub enum Cue {
    /// These faults hold from the next tick on: [`Recorder::breaks`] notes them.
    Breaks(Faults),
    /// The tower says something: an event [`EventKind::Told`] with `thing` and text.
    Tells {
        /// One of [`crate::attempt::ANSWERS`].
        what: String,
        /// In words.
        words: String,
    },
}

/// The stage that is under way.
#[derive(Clone, Debug)]
struct Now {
    began: u64,
    watchers: Vec<Watcher>,
    excess: Vec<Excess>,
    asked: Option<u64>,
    told: bool,
}

/// Follows the stages of a lesson.
#[derive(Clone, Debug)]
pub struct Conductor {
    lesson: Lesson,
    path: DrivenPath,
    place: Place,
    first_tick: u64,
    tick: u64,
    point: Option<TrackPoint>,
    rolled_m: f64,
    /// How far beyond the end of the path, straight on, metres.
    beyond_m: f64,
    /// Whether something that the tower said is still to be read back.
    to_read_back: bool,
    stage: usize,
    now: Option<Now>,
    came: Vec<StageCame>,
    begun: Vec<bool>,
    faults: Faults,
    fault_tick: Option<u64>,
    ended: Option<&'static str>,
    cues: Vec<Cue>,
    /// Events and track points of an attempt that have been looked at.
    used: (usize, usize),
}

impl Conductor {
    /// Before the first tick of a lesson.
    pub fn new(lesson: &Lesson) -> Conductor {
        let faults = lesson.exercise.faults_at_start();
        let mut conductor = Conductor {
            path: lesson.task.path.clone(),
            place: Place::at(lesson.task.from_m),
            first_tick: lesson.start.tick,
            tick: lesson.start.tick,
            point: None,
            rolled_m: 0.0,
            beyond_m: 0.0,
            to_read_back: false,
            stage: 0,
            now: None,
            came: Vec::new(),
            begun: lesson.exercise.faults.iter().map(|b| b.from.is_start()).collect(),
            faults,
            fault_tick: (!faults.is_none()).then_some(lesson.start.tick),
            ended: None,
            cues: Vec::new(),
            used: (0, 0),
            lesson: lesson.clone(),
        };
        conductor.begin_stage();
        conductor
    }

    /// The exercise.
    pub fn exercise(&self) -> &Exercise {
        &self.lesson.exercise
    }

    /// The stage now, counted from 0; `None` when all are behind.
    pub fn stage(&self) -> Option<usize> {
        (self.stage < self.lesson.exercise.stages.len()).then_some(self.stage)
    }

    /// What the running list says now.
    pub fn prompt(&self) -> Option<&str> {
        self.stage_now().map(|s| s.prompt.as_str())
    }

    /// Way from where driving begins, metres.
    pub fn way_m(&self) -> f64 {
        self.along_m() - self.lesson.zero_m
    }

    /// What came of the stages that are behind, in order.
    pub fn came(&self) -> &[StageCame] {
        &self.came
    }

    /// What the exercise wants to happen, since the last call.
    pub fn take_cues(&mut self) -> Vec<Cue> {
        core::mem::take(&mut self.cues)
    }

    /// Which conditions of the stage now have been seen, in the order of its `until`.
    pub fn seen(&self) -> Vec<bool> {
        let watchers = self.now.iter().flat_map(|n| &n.watchers);
        watchers.map(|w| w.seen).collect()
    }

    /// What the stage now still waits for.
    pub fn pending(&self) -> Vec<&Until> {
        let watchers = self.now.iter().flat_map(|n| &n.watchers);
        watchers.filter(|w| !w.seen).map(Watcher::until).collect()
    }

    /// Whether something that the tower said is still to be read back.
    pub fn to_read_back(&self) -> bool {
        self.to_read_back
    }

    /// Tick from which something is broken; the first one when it was from the start.
    pub fn fault_tick(&self) -> Option<u64> {
        self.fault_tick
    }

    /// The next tick of a drive that is being recorded; call it after [`Recorder::push`] with the same controls.
    pub fn live(&mut self, controls: &Controls, recorder: &Recorder) {
        self.next_of(controls, recorder.attempt());
    }

    /// Follows a whole attempt and says what came of every stage.
    pub fn over(lesson: &Lesson, attempt: &Attempt) -> Vec<StageCame> {
        let mut conductor = Conductor::new(lesson);
        conductor.first_tick = attempt.start.tick;
        conductor.tick = attempt.start.tick;
        for controls in attempt.inputs.iter() {
            conductor.next_of(&controls, attempt);
        }
        conductor.finish(&attempt.events)
    }

    fn next_of(&mut self, controls: &Controls, attempt: &Attempt) {
        let tick = self.tick + 1;
        let (mut events, mut points) = self.used;
        let heard = events;
        while attempt.events.get(events).is_some_and(|e| e.tick < tick) {
            events += 1;
        }
        while attempt.track.get(points).is_some_and(|p| p.tick < tick) {
            points += 1;
        }
        // The last point of an attempt may lie off the beat; live it is not there yet.
        let on_the_beat = (tick - self.first_tick).is_multiple_of(TRACK_EVERY_TICKS);
        let point = attempt.track.get(points).filter(|p| p.tick == tick && on_the_beat);
        self.used = (events, points);
        self.look(controls, point, &attempt.events[heard..events]);
    }

    /// The next tick: its controls, the track point when one is stored for it, and the events before it that have not been
    /// given yet. Events of a tick come with the next one: what a person says is noted after the tick it was said in.
    pub fn look(&mut self, controls: &Controls, point: Option<&TrackPoint>, events: &[Event]) {
        self.tick += 1;
        self.hear(events);
        if let Some(point) = point {
            self.place = self.place.moved(&self.path, point.nose);
            let end_m = self.path.length_m();
            let on = Xy::unit(self.path.direction_at(end_m)).dot(point.nose - self.path.end().nose);
            self.beyond_m = if self.place.way_m >= end_m - 1e-9 {
                on.max(0.0)
            } else {
                0.0
            };
            self.rolled_m += self.point.map_or(0.0, |p| p.nose.distance(point.nose));
            self.point = Some(*point);
        }
        if self.ended.is_some() {
            return;
        }
        let seen = Seen {
            tick: self.tick,
            controls: *controls,
            way_m: self.along_m(),
            heading_rad: self.point.map_or(self.lesson.start.yaw_rad, |p| p.heading_rad.rad()),
            speed_mps: self.point.map_or(0.0, |p| p.speed_mps),
            fault: self.fault_tick,
        };
        if point.is_some() {
            self.check_limits(&seen);
        }
        self.breakdowns(&seen);
        self.tower();
        self.go_on(&seen);
    }

    /// What came of every stage when the drive ends here. `events` are all of the drive: those of the last tick count too.
    pub fn finish(mut self, events: &[Event]) -> Vec<StageCame> {
        let rest = events.get(self.used.0..).unwrap_or_default().to_vec();
        self.hear(&rest);
        if self.now.as_ref().is_some_and(|n| n.watchers.iter().all(|w| w.seen)) {
            self.end_stage(None);
        }
        let why = self.ended.unwrap_or("the drive ended before");
        if self.now.is_some() {
            self.end_stage(Some(why.to_string()));
        }
        let stages = &self.lesson.exercise.stages;
        for (k, stage) in stages.iter().enumerate().skip(self.came.len()) {
            self.came.push(StageCame {
                stage: k + 1,
                title: stage.title.clone(),
                came: Came::NotBegun,
                tick: None,
                time_s: None,
                way_m: None,
                at: None,
                text: why.to_string(),
                broken: Vec::new(),
            });
        }
        self.came
    }

    fn stage_now(&self) -> Option<&Stage> {
        self.lesson.exercise.stages.get(self.stage)
    }

    /// Way of the path; on the free apron, which has none, what was rolled.
    fn along_m(&self) -> f64 {
        if self.path.pieces.is_empty() {
            self.rolled_m
        } else {
            self.place.way_m + self.beyond_m
        }
    }

    fn nose(&self) -> Xy {
        self.point
            .map_or_else(|| self.path.pose_at(self.lesson.task.from_m).nose, |p| p.nose)
    }

    fn begin_stage(&mut self) {
        self.now = self.stage_now().map(|stage| Now {
            began: self.tick,
            watchers: stage.until.iter().map(|u| Watcher::new(&self.lesson, u)).collect(),
            excess: Vec::new(),
            asked: None,
            told: false,
        });
    }

    fn hear(&mut self, events: &[Event]) {
        for event in events {
            if self.ended.is_some() {
                return;
            }
            match event.kind {
                EventKind::Reset => self.ended = Some("the drive was put back to its start"),
                EventKind::TippedOver => self.ended = Some("the aeroplane tipped over"),
                EventKind::LiftedOff => self.ended = Some("the aeroplane left the ground"),
                EventKind::Broke => self.fault_tick = Some(event.tick),
                EventKind::Told => self.to_read_back = true,
                _ => {}
            }
            // Reading back what nobody has said is no read-back.
            if event.kind == EventKind::Said && event.thing.as_deref() == Some(READ_BACK) {
                if !self.to_read_back {
                    continue;
                }
                self.to_read_back = false;
            }
            let Some(now) = &mut self.now else { continue };
            if event.tick < now.began {
                continue;
            }
            now.watchers.iter_mut().for_each(|w| w.hear(event));
            let upon = self.lesson.exercise.stages[self.stage]
                .tower
                .as_ref()
                .and_then(|t| t.upon.as_deref());
            if event.kind == EventKind::Said && upon.is_some() && event.thing.as_deref() == upon {
                now.asked.get_or_insert(event.tick);
            }
        }
    }

    fn check_limits(&mut self, s: &Seen) {
        let (Some(stage), Some(point), Some(now)) =
            (self.lesson.exercise.stages.get(self.stage), self.point, &mut self.now)
        else {
            return;
        };
        let path_heading = self.path.pose_at(self.place.way_m).heading_rad.rad();
        let kept = Kept {
            speed_mps: point.speed_mps,
            off_line_m: self.place.offset_m.abs(),
            off_heading_rad: wrap(s.heading_rad - path_heading).abs(),
        };
        kept.held_to(&stage.limits, &mut now.excess, |most| Excess {
            tick: s.tick,
            way_m: s.way_m - self.lesson.zero_m,
            at: point.nose,
            ..most
        });
    }

    fn breakdowns(&mut self, s: &Seen) {
        let way_m = s.way_m - self.lesson.zero_m;
        for (k, Breakdown { from, broken }) in self.lesson.exercise.faults.iter().enumerate() {
            let comes = from.stage.is_none_or(|n| self.stage + 1 >= n)
                && from.way_m.is_none_or(|m| way_m >= m)
                && from.kt.is_none_or(|kt| s.speed_mps >= kt * KNOT_MPS);
            if comes && !self.begun[k] {
                self.begun[k] = true;
                self.faults = with(self.faults, broken);
                self.cues.push(Cue::Breaks(self.faults));
            }
        }
    }

    fn tower(&mut self) {
        let Some(stage) = self.lesson.exercise.stages.get(self.stage) else {
            return;
        };
        let (Some(tower), Some(now)) = (&stage.tower, &mut self.now) else {
            return;
        };
        let Tower {
            tells,
            words,
            after_s,
            upon,
        } = tower;
        let from = if upon.is_some() { now.asked } else { Some(now.began) };
        let due = from.is_some_and(|from| (self.tick - from) as f64 * TICK_S >= *after_s);
        if due && !now.told {
            now.told = true;
            self.cues.push(Cue::Tells {
                what: tells.clone(),
                words: words.clone(),
            });
        }
    }

    fn go_on(&mut self, s: &Seen) {
        let Some(stage) = self.lesson.exercise.stages.get(self.stage) else {
            return;
        };
        let limits = &stage.limits;
        let Some(now) = &mut self.now else { return };
        now.watchers.iter_mut().for_each(|w| w.look(s));
        if now.watchers.iter().all(|w| w.seen) {
            return self.end_stage(None);
        }
        let way_m = s.way_m - self.lesson.zero_m;
        let lasted_s = (s.tick - now.began) as f64 * TICK_S;
        let stop = limits.by_stop.as_deref().and_then(|name| self.lesson.stop_m(name));
        let past_stop = stop.is_some_and(|m| s.way_m > m + PAST_STOP_M);
        let gone = now.watchers.iter().any(|w| !w.seen && w.gone_beyond(s.way_m));
        let missed =
            limits::missed(limits, lasted_s, way_m, past_stop).or_else(|| gone.then(|| "driven past it".to_string()));
        let missed = missed.or_else(|| now.watchers.iter().find_map(Watcher::spoilt));
        if missed.is_some() {
            self.end_stage(missed);
        }
    }

    /// Closes the stage now: done, or not done for a reason; and begins the next.
    fn end_stage(&mut self, not_done: Option<String>) {
        let (Some(now), Some(stage)) = (self.now.take(), self.lesson.exercise.stages.get(self.stage)) else {
            return;
        };
        let time = |tick: u64| tick.saturating_sub(self.first_tick) as f64 * TICK_S;
        let broken: Vec<Broken> = now
            .excess
            .iter()
            .map(|e| Broken {
                tick: e.tick,
                time_s: time(e.tick),
                way_m: e.way_m,
                at: e.at,
                text: e.words(&stage.limits),
            })
            .collect();
        let lacking: Vec<String> = now
            .watchers
            .iter()
            .filter(|w| !w.seen)
            .map(|w| match w.why_not() {
                Some(more) => format!("{} ({more})", w.until().words()),
                None => w.until().words(),
            })
            .collect();
        let (came, text) = match not_done {
            Some(why) => (Came::NotDone, format!("{why}: {}", lacking.join("; "))),
            None if broken.is_empty() => (Came::Done, String::new()),
            None => (Came::LimitBroken, String::new()),
        };
        let came = StageCame {
            stage: self.stage + 1,
            title: stage.title.clone(),
            came,
            tick: Some(self.tick),
            time_s: Some(time(self.tick)),
            way_m: Some(self.way_m()),
            at: Some(self.nose()),
            text,
            broken,
        };
        self.came.push(came);
        self.stage += 1;
        self.begin_stage();
    }
}
