//! Hand-made drives with known answers: a track, controls and events, of no physics version.

use crate::help::aeroplane;
use toeline_dynamics::{Controls, Params, State};
use toeline_model::frame::xy;
use toeline_model::{Aircraft, Pose, Xy, Yaw};
use toeline_training::measures::{Course, Measure, Series, measure};
use toeline_training::{Attempt, Environment, Event, EventKind, Inputs, Recorder, TrackPoint};

/// Where the nose wheel is, the heading and the speed at a moment.
pub(crate) type Moment = (Xy, Yaw, f64);

/// A drive of so many seconds, with where it is and what is held at each. Its physics version is none that there is: nothing
/// of it can be driven again, and nothing needs to be.
pub(crate) fn drive(seconds: f64, at: impl Fn(f64) -> Moment, held: impl Fn(f64) -> Controls) -> Attempt {
    drive_with(&aeroplane(), seconds, at, held)
}

/// The same in another aeroplane.
pub(crate) fn drive_with(
    aircraft: &Aircraft,
    seconds: f64,
    at: impl Fn(f64) -> Moment,
    held: impl Fn(f64) -> Controls,
) -> Attempt {
    let start = Pose {
        nose: xy(0.0, 0.0),
        heading_rad: Yaw::from_rad(0.0),
    };
    let state = State::parked(&Params::from_aircraft(aircraft), start);
    let mut attempt = Recorder::new(aircraft, Environment::default(), &state, None).finish();
    attempt.physics_version = 0;
    let ticks = (seconds / attempt.tick_s) as u64;
    let time = |tick: u64| tick as f64 * attempt.tick_s;
    let mut inputs = Inputs::default();
    for tick in 1..=ticks {
        inputs.push(&held(time(tick)));
    }
    let points = (0..=ticks).step_by(12).map(|tick| {
        let (nose, heading_rad, speed_mps) = at(time(tick));
        TrackPoint {
            tick,
            nose,
            heading_rad,
            speed_mps,
        }
    });
    attempt.track = points.collect();
    attempt.inputs = inputs;
    attempt
}

/// Eastward along the x axis at a steady speed.
pub(crate) fn east(speed_mps: f64) -> impl Fn(f64) -> Moment {
    move |t| (xy(t * speed_mps, 0.0), Yaw::from_rad(0.0), speed_mps)
}

/// Notes an event, with what it says of a thing and a part.
pub(crate) fn note(attempt: &mut Attempt, time_s: f64, kind: EventKind, part: Option<&str>, thing: &str) {
    attempt.events.push(Event {
        tick: (time_s / attempt.tick_s).round() as u64,
        kind,
        text: String::new(),
        at: None,
        speed_mps: None,
        part: part.map(str::to_string),
        thing: Some(thing.to_string()),
        faults: None,
    });
    attempt.events.sort_by_key(|e| e.tick);
}

/// Its measures.
pub(crate) fn of(attempt: &Attempt, course: &Course) -> Vec<Measure> {
    measure(attempt, Some(course), &Series::of(attempt, Some(course))).measures
}

/// One of them.
pub(crate) fn found<'a>(all: &'a [Measure], key: &str) -> &'a Measure {
    all.iter()
        .find(|m| m.key == key)
        .unwrap_or_else(|| panic!("no measure {key}"))
}

/// A figure of one.
pub(crate) fn value(m: &Measure, name: &str) -> f64 {
    m.value(name)
        .unwrap_or_else(|| panic!("{}: no figure {name}: {m:?}", m.key))
}
