//! What things are called in notices and in derived names.

use super::Source;
use toeline_model::airfield::{Lane, LaneKind, Runway};
use toeline_model::{Airfield, Yaw};

/// "taxiway B (way/12)", "runway 08/26 (way/3)", "stand 4 (way/7)".
pub(super) fn source(field: &Airfield, source: Source) -> String {
    let name = match source {
        Source::Lane(i, _) => lane(&field.lanes[i]),
        Source::Runway(i) => return runway(&field.runways[i]),
        Source::Stand(i) => stand(field, i),
    };
    let id = id(field, source);
    format!("{name} ({id})")
}

/// Identity of the feature a piece is from.
pub(super) fn id(field: &Airfield, source: Source) -> &str {
    match source {
        Source::Lane(i, _) => &field.lanes[i].id,
        Source::Runway(i) => &field.runways[i].id,
        Source::Stand(i) => &field.stands[i].id,
    }
}

/// "taxiway B", "unnamed taxilane".
pub(super) fn lane(lane: &Lane) -> String {
    let word = match lane.kind {
        LaneKind::Taxiway => "taxiway",
        LaneKind::Taxilane => "taxilane",
    };
    if lane.letters.is_empty() {
        format!("unnamed {word}")
    } else {
        format!("{word} {}", lane.letters.join("/"))
    }
}

/// "runway 08/26", lower number first; with its identity when it has no designator.
pub(super) fn runway(runway: &Runway) -> String {
    let mut list: Vec<&str> = runway.designators.iter().flatten().map(String::as_str).collect();
    list.sort_by_key(|d| {
        (
            d.chars()
                .take_while(char::is_ascii_digit)
                .collect::<String>()
                .parse::<u32>()
                .unwrap_or(99),
            *d,
        )
    });
    if list.is_empty() {
        format!("unnamed runway ({})", runway.id)
    } else {
        format!("runway {}", list.join("/"))
    }
}

/// "stand 4", "unnamed stand".
pub(super) fn stand(field: &Airfield, i: usize) -> String {
    match &field.stands[i].name {
        Some(name) => format!("stand {name}"),
        None => "unnamed stand".to_string(),
    }
}

/// The direction in words, by eighths: "north", "north-east".
pub(crate) fn side(direction: Yaw) -> &'static str {
    const SIDES: [&str; 8] = [
        "north",
        "north-east",
        "east",
        "south-east",
        "south",
        "south-west",
        "west",
        "north-west",
    ];
    SIDES[(direction.bearing().deg() / 45.0).round() as usize % 8]
}
