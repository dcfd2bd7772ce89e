//! What a file holds, line by line, and what of it is closed.

use super::called::{self, count};
use super::{Finding, Topic};
use crate::clean;
use crate::graph::TaxiGraph;
use crate::notice::NoticeKind;
use serde::Serialize;
use std::collections::{BTreeMap, BTreeSet};
use toeline_model::airfield::{NamedArea, ObstacleKind};
use toeline_model::planar::line_length;
use toeline_model::{Airfield, Xy};

/// One line of what a file holds.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Content {
    /// What is counted.
    pub what: &'static str,
    /// How many.
    pub count: usize,
    /// Names or more counts; empty when there is nothing to add.
    pub detail: String,
}

/// Counts what a file holds.
pub(super) fn contents(field: &Airfield, graph: &TaxiGraph) -> Vec<Content> {
    let row = |what, count, detail: String| Content {
        what,
        count,
        detail: if detail.is_empty() {
            detail
        } else {
            clean::sentence(&detail)
        },
    };
    let letters: BTreeSet<&str> = field
        .lanes
        .iter()
        .flat_map(|l| &l.letters)
        .map(String::as_str)
        .collect();
    let closed = field.lanes.iter().filter(|l| l.closed.is_some()).count()
        + field.runways.iter().filter(|r| r.closed.is_some()).count()
        + field.stands.iter().filter(|s| s.closed.is_some()).count();
    let runways: Vec<String> = (0..field.runways.len()).map(|i| runway(field, i)).collect();
    let mapped = graph.holds.iter().filter(|h| h.position.is_some());
    let guarding = mapped.filter(|h| h.guards.is_some()).count();
    let derived = graph.holds.iter().filter(|h| h.position.is_none()).count();
    let mut kinds: BTreeMap<&str, usize> = BTreeMap::new();
    for o in &field.obstacles {
        *kinds.entry(kind(o.kind)).or_default() += 1;
    }
    let kinds: Vec<String> = kinds.into_iter().map(|(k, n)| format!("{k} {n}")).collect();
    vec![
        row("runways", field.runways.len(), runways.join(", ")),
        row(
            "taxiways and taxilanes",
            field.lanes.len(),
            letters.into_iter().collect::<Vec<_>>().join(" "),
        ),
        row("closed", closed, String::new()),
        row(
            "stands",
            field.stands.len(),
            format!("{} joined to a lane", graph.stands.len()),
        ),
        row(
            "holding positions",
            field.holding_positions.len(),
            format!("{guarding} found to guard a runway; {derived} more derived"),
        ),
        row("engine-check areas", field.check_areas.len(), names(&field.check_areas)),
        row("hot spots", field.hot_spots.len(), names(&field.hot_spots)),
        row("aprons", field.aprons.len(), names(&field.aprons)),
        row("obstacles", field.obstacles.len(), kinds.join(", ")),
        row(
            "pieces of way",
            graph.graph.edge_count(),
            count(graph.graph.node_count(), "junction or end", "junctions and ends"),
        ),
    ]
}

fn runway(field: &Airfield, i: usize) -> String {
    let length_m = line_length(&field.runways[i].line);
    let name = called::runway(field, i);
    format!("{} ({length_m:.0} m)", name.strip_prefix("runway ").unwrap_or(&name))
}

fn names(areas: &[NamedArea]) -> String {
    let list: Vec<&str> = areas.iter().filter_map(|a| a.name.as_deref()).collect();
    list.join(", ")
}

fn kind(kind: ObstacleKind) -> &'static str {
    use ObstacleKind as K;
    match kind {
        K::Building => "buildings",
        K::Hangar => "hangars",
        K::Terminal => "terminals",
        K::Fence => "fences",
        K::Wall => "walls",
        K::Tree => "trees",
        K::TreeRow => "rows of trees",
        K::Hedge => "hedges",
        K::Pole => "poles",
        K::Mast => "masts and towers",
        K::Windsock => "windsocks",
        K::ParkedAeroplane => "parked aeroplanes",
    }
}

/// What is closed: kept so that "no way" can name it, and never routed on.
pub(super) fn closed(field: &Airfield) -> Vec<Finding> {
    let told = |name: String, id: &str, why: &Option<String>, at: Option<Xy>| {
        why.as_ref().map(|why| Finding {
            number: 0,
            kind: NoticeKind::LeftOut,
            topic: Topic::Closed,
            feature: clean::name(id),
            at,
            place: None,
            between: None,
            size_m: None,
            assumed: None,
            text: clean::sentence(&format!("{name} is closed ({why}): shown, never routed on")),
            mend: None,
        })
    };
    let middle = |line: &[Xy]| (!line.is_empty()).then(|| super::widths::middle(line));
    let runways = field.runways.iter().enumerate();
    let runways = runways.filter_map(|(i, r)| told(called::runway(field, i), &r.id, &r.closed, middle(&r.line)));
    let lanes = field.lanes.iter().enumerate();
    let lanes = lanes.filter_map(|(i, l)| told(called::lane(field, i), &l.id, &l.closed, middle(&l.line)));
    let stands = field.stands.iter().enumerate();
    let stands = stands.filter_map(|(i, s)| told(called::stand(field, i), &s.id, &s.closed, middle(&s.line)));
    runways.chain(lanes).chain(stands).collect()
}
