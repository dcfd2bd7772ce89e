//! What things are called in the findings.

use crate::graph::Source;
use toeline_model::Airfield;
use toeline_model::airfield::LaneKind;

/// How many names a sentence lists before it only counts (ours).
const NAMES: usize = 8;

/// "taxiway B (way/12)", "runway 08/26", "stand 4".
pub(super) fn source(field: &Airfield, source: Source) -> String {
    match source {
        Source::Lane(i, _) => lane(field, i),
        Source::Runway(i) => runway(field, i),
        Source::Stand(i) => stand(field, i),
    }
}

/// Identity of the feature a piece is from.
pub(super) fn id(field: &Airfield, source: Source) -> &str {
    match source {
        Source::Lane(i, _) => &field.lanes[i].id,
        Source::Runway(i) => &field.runways[i].id,
        Source::Stand(i) => &field.stands[i].id,
    }
}

/// "taxiway B (way/12)", "unnamed taxilane (way/13)".
pub(super) fn lane(field: &Airfield, i: usize) -> String {
    let lane = &field.lanes[i];
    let word = match lane.kind {
        LaneKind::Taxiway => "taxiway",
        LaneKind::Taxilane => "taxilane",
    };
    match lane.letters.as_slice() {
        [] => format!("unnamed {word} ({})", lane.id),
        letters => format!("{word} {} ({})", letters.join("/"), lane.id),
    }
}

/// "runway 08/26", "unnamed runway (way/3)".
pub(super) fn runway(field: &Airfield, i: usize) -> String {
    let runway = &field.runways[i];
    let list: Vec<&str> = runway.designators.iter().flatten().map(String::as_str).collect();
    if list.is_empty() {
        format!("unnamed runway ({})", runway.id)
    } else {
        format!("runway {}", list.join("/"))
    }
}

/// "stand 4", "unnamed stand (way/9)".
pub(super) fn stand(field: &Airfield, i: usize) -> String {
    let stand = &field.stands[i];
    match &stand.name {
        Some(name) => format!("stand {name}"),
        None => format!("unnamed stand ({})", stand.id),
    }
}

/// The first names, and how many more there are.
pub(super) fn some(all: &[String]) -> String {
    some_of(all, NAMES)
}

/// The same with at most `most` names.
pub(super) fn some_of(all: &[String], most: usize) -> String {
    let shown = all.iter().take(most).cloned().collect::<Vec<_>>().join(", ");
    match all.len().saturating_sub(most) {
        0 => shown,
        more => format!("{shown} and {more} more"),
    }
}

/// "1 stand", "3 stands".
pub(super) fn count(n: usize, one: &str, many: &str) -> String {
    format!("{n} {}", if n == 1 { one } else { many })
}
