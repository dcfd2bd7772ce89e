//! Whether an exercise fits the way that was found for it.

use super::{Journey, Lesson, Place, Start, Until};
use toeline_model::Xy;
use toeline_model::planar::closest_on_line;
use toeline_model::units::DEG;

/// How near to a runway's middle the end of a take-off roll must be, metres (ours).
const ON_RUNWAY_M: f64 = 5.0;
/// Nose-wheel angle up to which a drive may begin on the way, radians (ours: 3 degrees; it stands with its wheel straight).
const MOST_BEND_RAD: f64 = 3.0 * DEG;

/// Everything in an exercise that its way does not have.
pub(super) fn unfit(lesson: &Lesson) -> Vec<String> {
    let (exercise, path) = (&lesson.exercise, &lesson.task.path);
    let length_m = path.length_m() - lesson.zero_m;
    let mut list = Vec::new();
    match &exercise.start {
        Some(Start::Before { stop, .. }) => list.extend(no_stop(lesson, "start.before.stop", stop)),
        Some(Start::AtM(m)) => list.extend(too_far(length_m, "start.at_m", *m)),
        None => {}
    }
    if exercise.start.is_some() {
        let from_m = lesson.task.from_m;
        let bend = path.pose_at(from_m).heading_rad.to_rad(path.direction_at(from_m)).abs();
        if bend > MOST_BEND_RAD && length_m > 0.0 {
            list.push(format!(
                "start: {:.0} m along the way bends, the nose wheel would have to stand at {:.0} degrees; begin where it is straight",
                from_m - lesson.zero_m,
                bend / DEG
            ));
        }
    }
    for (k, stage) in exercise.stages.iter().enumerate() {
        for (n, until) in stage.until.iter().enumerate() {
            let key = format!("stages[{k}].until[{n}]");
            list.extend(until.stop().and_then(|name| no_stop(lesson, &key, name)));
            if let Until::PassedM(m) = until {
                list.extend(too_far(length_m, &format!("{key}.passed_m"), *m));
            }
        }
        let by = stage.limits.by_stop.as_deref();
        list.extend(by.and_then(|name| no_stop(lesson, &format!("stages[{k}].limits.by_stop"), name)));
        if length_m <= 0.0 && (stage.limits.off_line_m.is_some() || stage.limits.heading_deg.is_some()) {
            list.push(format!("stages[{k}].limits: there is no line here to be off"));
        }
    }
    if let Place::Journey(Journey { roll_m: Some(m), .. }) = &exercise.place {
        let end = path.end().nose;
        let near = |line: &[Xy]| closest_on_line(end, line).is_some_and(|c| c.0.distance(end) < ON_RUNWAY_M);
        if !lesson.field.runways.iter().any(|r| near(&r.line)) {
            list.push(format!(
                "where.roll_m: {m} m straight on from the end of the way is not on a runway"
            ));
        }
    }
    list
}

fn no_stop(lesson: &Lesson, key: &str, name: &str) -> Option<String> {
    if lesson.stop_m(name).is_some() {
        return None;
    }
    let names: Vec<&str> = lesson.stops.iter().map(|s| s.name.as_str()).collect();
    let there = match names.len() {
        0 => "none".to_string(),
        _ => format!("{}, end", names.join(", ")),
    };
    Some(format!(
        "{key}: there is no stop \"{name}\" on this way; there are {there}"
    ))
}

/// On the free apron, which has no way, nothing is too far.
fn too_far(length_m: f64, key: &str, m: f64) -> Option<String> {
    (length_m > 0.0 && m > length_m).then(|| format!("{key}: {m} m; the way is {length_m:.0} m long"))
}
