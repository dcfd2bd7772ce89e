//! A drive as a series: one sample for each point of the stored track (20 a second), with the controls that were held, the
//! place on the planned way, and, where the physics is the same, what a replay tells of brakes, engine and nose wheel.

use super::course::Course;
use super::panel::{Headings, Panel};
use crate::attempt::{Attempt, EventKind, hash_text};
use crate::pilot::Place;
use crate::replay::Breaks;
use toeline_dynamics::{Controls, PHYSICS_VERSION, TICK_S, step};
use toeline_model::{Xy, Yaw};

/// How far beyond the end of the planned way the drive is on no planned way any more, metres (ours).
const BEYOND_END_M: f64 = 0.5;

/// What only a replay tells.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Felt {
    /// Engine speed, rpm.
    pub rpm: f64,
    /// Temperature of the left and the right brake, degrees Celsius.
    pub brake_c: [f64; 2],
    /// Nose-wheel angle, radians, left positive.
    pub nose_wheel_rad: f64,
    /// Whether the left and the right main wheel stood on its axle while the aeroplane moved.
    pub locked: [bool; 2],
    /// What the heading instruments show; `None` where it is not known on which field it was driven.
    pub headings: Option<Headings>,
}

/// One moment of a drive.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Sample {
    /// Seconds since the start.
    pub time_s: f64,
    /// Seconds that it stands for: since the sample before.
    pub lasts_s: f64,
    /// Metres that the nose wheel rolled since the sample before.
    pub rolled_m: f64,
    /// Contact point of the nose wheel, local metres.
    pub nose: Xy,
    /// Heading.
    pub heading_rad: Yaw,
    /// Speed over the ground, m/s.
    pub speed_mps: f64,
    /// The controls of the last tick.
    pub controls: Controls,
    /// Way along the path, metres; without a course the way rolled.
    pub way_m: f64,
    /// Nose wheel off the path, metres, left positive; `None` without a course, where it has no path, and beyond its end.
    pub offset_m: Option<f64>,
    /// Whether the nose wheel is on a runway.
    pub on_runway: bool,
    /// What the replay tells; `None` where there is none.
    pub felt: Option<Felt>,
}

impl Sample {
    /// Whether it rolls: at more than 0.2 m/s, as the recorder counts a start.
    pub fn moves(&self) -> bool {
        self.speed_mps > 0.2
    }
}

/// A whole drive.
#[derive(Clone, Debug, PartialEq)]
pub struct Series {
    /// The samples, in order.
    pub samples: Vec<Sample>,
    /// Why there is no replay; `None` when there is one.
    pub no_replay: Option<String>,
}

impl Series {
    /// The series of an attempt, up to its first reset.
    pub fn of(attempt: &Attempt, course: Option<&Course>) -> Series {
        let reset = attempt.events.iter().find(|e| e.kind == EventKind::Reset);
        let last_tick = reset.map_or(u64::MAX, |e| e.tick);
        let (felt, no_replay) = match felt(attempt, course) {
            Ok(felt) => (felt, None),
            Err(why) => (Vec::new(), Some(why)),
        };
        let mut place = course.map(|c| Place::at(c.task.from_m));
        let end = course.map(|c| {
            let (path, length_m) = (&c.task.path, c.task.path.length_m());
            (
                length_m,
                path.pose_at(length_m).nose,
                Xy::unit(path.direction_at(length_m)),
            )
        });
        // On the free apron there is no line to be off.
        let lined = course.is_some_and(|c| !c.task.path.pieces.is_empty());
        let mut controls = attempt.inputs.iter();
        let (mut done, mut held) = (attempt.start.tick, Controls::default());
        let mut samples: Vec<Sample> = Vec::with_capacity(attempt.track.len());
        let mut rolled = 0.0;
        for (k, point) in attempt.track.iter().take_while(|p| p.tick <= last_tick).enumerate() {
            while done < point.tick {
                held = controls.next().unwrap_or(held);
                done += 1;
            }
            if let (Some(at), Some(c)) = (&mut place, course) {
                *at = at.moved(&c.task.path, point.nose);
            }
            let beyond = end.zip(place).is_some_and(|((length_m, at, ahead), p)| {
                p.way_m > length_m - 0.01 && (point.nose - at).dot(ahead) > BEYOND_END_M
            });
            let time_s = attempt.time_s(point.tick);
            let before = samples.last();
            let rolled_m = before.map_or(0.0, |b| b.nose.distance(point.nose));
            rolled += rolled_m;
            samples.push(Sample {
                time_s,
                lasts_s: before.map_or(0.0, |b| time_s - b.time_s),
                rolled_m,
                nose: point.nose,
                heading_rad: point.heading_rad,
                speed_mps: point.speed_mps,
                controls: held,
                way_m: place.map_or(rolled, |p| p.way_m),
                offset_m: place.filter(|_| lined && !beyond).map(|p| p.offset_m),
                on_runway: course.is_some_and(|c| c.runways.iter().any(|r| r.holds(point.nose))),
                felt: felt.get(k).copied(),
            });
        }
        Series { samples, no_replay }
    }

    /// Way that the nose wheel rolled, metres.
    pub fn rolled_m(&self) -> f64 {
        self.samples.iter().fold(0.0, |sum, s| sum + s.rolled_m)
    }

    /// Seconds for which something holds.
    pub fn seconds(&self, holds: impl Fn(&Sample) -> bool) -> f64 {
        // Not by `sum`: of nothing at all that is a zero with a sign.
        let each = self.samples.iter().filter(|s| holds(s)).map(|s| s.lasts_s);
        each.fold(0.0, |sum, s| sum + s)
    }

    /// Stretches in which something holds for at least so many seconds: indices of the first and the last sample.
    pub fn stretches(&self, least_s: f64, holds: impl Fn(&Sample) -> bool) -> Vec<(usize, usize)> {
        let mut found = Vec::new();
        let mut from: Option<usize> = None;
        for i in 0..=self.samples.len() {
            let on = self.samples.get(i).is_some_and(&holds);
            match (on, from) {
                (true, None) => from = Some(i),
                (false, Some(a)) => {
                    let lasted: f64 = self.samples[a..i].iter().map(|s| s.lasts_s).sum();
                    if lasted >= least_s {
                        found.push((a, i - 1));
                    }
                    from = None;
                }
                _ => {}
            }
        }
        found
    }
}

/// What a replay tells at every point of the track; every stored state on the way must have its own fingerprint.
fn felt(attempt: &Attempt, course: Option<&Course>) -> Result<Vec<Felt>, String> {
    if attempt.physics_version != PHYSICS_VERSION || attempt.tick_s.to_bits() != TICK_S.to_bits() {
        return Err(format!(
            "it was driven with physics version {}; this program has version {PHYSICS_VERSION} and cannot drive it again",
            attempt.physics_version
        ));
    }
    let mut p = attempt.environment.params(&attempt.aircraft);
    let mut breaks = Breaks::of(attempt);
    let (ground, air) = (&attempt.environment.ground, &attempt.environment.air);
    let mut state = attempt.start.read()?;
    let mut panel = course
        .and_then(|c| c.place)
        .map(|place| Panel::new(attempt, &p, place, &state));
    let mut list = Vec::with_capacity(attempt.track.len());
    let mut track = attempt.track.iter().peekable();
    let mut kept = attempt.checkpoints.iter().peekable();
    let mut inputs = attempt.inputs.iter();
    loop {
        while track.next_if(|t| t.tick == state.tick).is_some() {
            let speed = state.speed_mps();
            list.push(Felt {
                rpm: state.engine.rpm,
                brake_c: state.brake_c,
                nose_wheel_rad: state.nose_wheel_rad,
                locked: [1, 2].map(|wheel: usize| state.spin_radps[wheel] == 0.0 && speed > 0.5),
                headings: panel.as_ref().map(Panel::headings),
            });
        }
        if let Some(c) = kept.next_if(|c| c.tick == state.tick)
            && c.hash != hash_text(state.hash())
        {
            return Err(format!(
                "driven again it differs from the state stored for tick {}: the file was changed after it was recorded",
                c.tick
            ));
        }
        let Some(controls) = inputs.next() else { break };
        p.faults = breaks.next(state.tick, p.faults);
        state = step(&p, ground, air, &state, &controls);
        if let Some(panel) = &mut panel {
            panel.follow(&p, air, &state);
        }
    }
    Ok(list)
}
