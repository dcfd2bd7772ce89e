//! What the map does not say, in sentences: every form of the result lists them beside the verdict.

use super::obstacles::Gathered;
use super::{LOOK_AROUND_M, verdict};
use crate::route::{LegKind, Route};
use crate::standing::{kind_words, obstacle_name};
use toeline_model::Airfield;
use toeline_model::airfield::{Closure, Obstacle, ObstacleKind};
use toeline_model::planar::{closest_on_segment, ring_edges};
use toeline_model::units::round_to;

/// How close together the way is looked at from a closed area, metres; small beside what is looked around.
const STEP_M: f64 = 2.0;
/// How many names a sentence lists before it only counts.
const NAMES: usize = 8;

/// All sentences, sorted, each once.
pub(super) fn sentences(
    field: &Airfield,
    route: &Route,
    gathered: &Gathered,
    accuracy_m: f64,
    accuracy_from: &str,
) -> Vec<String> {
    let mut list = gathered.assumed.clone();
    list.extend(widths(route));
    let near: Vec<&Obstacle> = gathered.fixed.iter().map(|i| &field.obstacles[*i]).collect();
    for kind in kinds(&near) {
        let of_kind: Vec<&Obstacle> = near.iter().copied().filter(|o| o.kind == kind).collect();
        let no_height: Vec<&Obstacle> = of_kind.iter().copied().filter(|o| o.top_m.is_none()).collect();
        list.extend(about("height", &no_height, of_kind.len(), "taken to have no upper end"));
        let no_radius: Vec<&Obstacle> = of_kind.iter().copied().filter(|o| o.radius_assumed).collect();
        list.extend(about("width", &no_radius, of_kind.len(), "the radius used is ours"));
    }
    if !field.obstacles.iter().any(|o| o.kind == ObstacleKind::ParkedAeroplane) {
        list.push(match gathered.occupied {
            0 => "the map shows no parked aeroplanes".to_string(),
            _ => "the map shows no parked aeroplanes: every other stand near the way is taken as occupied, by an \
                  aeroplane of its span limit or by one like ours"
                .to_string(),
        });
    }
    if !field.obstacles.iter().any(|o| o.kind == ObstacleKind::Fence) {
        list.push("no fence on the map".to_string());
    }
    list.extend(field.closures.iter().filter_map(|c| beside_closed(route, c)));
    if accuracy_from == verdict::OURS {
        list.push(format!(
            "horizontal accuracy is ours: {} m for an open map",
            round_to(accuracy_m, 2)
        ));
    }
    list.sort();
    list.dedup();
    list
}

/// A closed area that the way comes near: men and machines in it are not on the map.
fn beside_closed(route: &Route, c: &Closure) -> Option<String> {
    let ring = c.closed.ring()?;
    let steps = (route.path.length_m() / STEP_M).ceil() as usize;
    let off_m = |k: usize| {
        let p = route.path.pose_at(k as f64 * STEP_M).nose;
        let edges = ring_edges(ring).map(|(a, b)| closest_on_segment(p, a, b).0.distance(p));
        edges.fold(f64::INFINITY, f64::min)
    };
    let least_m = (0..=steps).map(off_m).fold(f64::INFINITY, f64::min);
    (least_m <= LOOK_AROUND_M).then(|| {
        format!(
            "the way comes within {:.0} m of {}, closed ({}): what works there is not on the map",
            least_m.ceil(),
            c.name,
            c.words()
        )
    })
}

/// "no width on 3 of 9 lanes of this way: unnamed taxiway (feature 12), ...".
fn widths(route: &Route) -> Option<String> {
    let mut lanes: Vec<(&str, &str, bool)> = Vec::new();
    for leg in &route.legs {
        let on_lane = matches!(leg.kind, LegKind::Taxiway | LegKind::Taxilane | LegKind::Runway);
        if on_lane && !lanes.iter().any(|(feature, _, _)| *feature == leg.feature) {
            lanes.push((&leg.feature, &leg.name, leg.width_m.is_some()));
        }
    }
    let without: Vec<String> = lanes
        .iter()
        .filter(|(_, _, has)| !has)
        .map(|(feature, name, _)| format!("{name} ({feature})"))
        .collect();
    (!without.is_empty()).then(|| {
        format!(
            "no width on {} of {} lanes of this way: {}",
            without.len(),
            lanes.len(),
            names(&without)
        )
    })
}

fn kinds(near: &[&Obstacle]) -> Vec<ObstacleKind> {
    let mut list: Vec<ObstacleKind> = Vec::new();
    for o in near {
        if !list.contains(&o.kind) {
            list.push(o.kind);
        }
    }
    list
}

fn about(what: &str, which: &[&Obstacle], of: usize, then: &str) -> Option<String> {
    match which {
        [] => None,
        [one] => Some(format!("no {what} on {}: {then}", obstacle_name(one))),
        [first, ..] => {
            let called: Vec<String> = which
                .iter()
                .map(|o| o.name.as_ref().map_or(o.id.clone(), |n| format!("{n} ({})", o.id)))
                .collect();
            let plural = kind_words(first.kind).1;
            Some(format!(
                "no {what} on {} of {of} {plural} near the way: {then}: {}",
                which.len(),
                names(&called)
            ))
        }
    }
}

fn names(all: &[String]) -> String {
    let shown = all.iter().take(NAMES).cloned().collect::<Vec<_>>().join(", ");
    match all.len().saturating_sub(NAMES) {
        0 => shown,
        more => format!("{shown} and {more} more"),
    }
}
