//! Runways without a mapped holding position, and holding positions that guard nothing.

use super::called::{self, count};
use super::{Doubted, Finding, Topic, doubt};
use crate::graph::TaxiGraph;
use toeline_model::Airfield;
use toeline_model::airfield::{HoldingKind, Surface};

/// The doubts.
pub(super) fn doubts(field: &Airfield, graph: &TaxiGraph, doubted: &Doubted) -> Vec<Finding> {
    let mut list = Vec::new();
    for (r, runway) in field.runways.iter().enumerate() {
        let guarding = |mapped: bool| {
            let mut n = 0;
            for h in &graph.holds {
                n += usize::from(h.guards == Some(r) && h.position.is_some() == mapped);
            }
            n
        };
        let in_use = runway.closed.is_none() && runway.surface != Surface::Water;
        if !in_use || guarding(true) > 0 {
            continue;
        }
        let instead = match guarding(false) {
            0 => "and no lane meets it where one could be derived".to_string(),
            n => format!(
                "{} derived at the published distance, marked as derived; a real bar may be elsewhere",
                count(n, "is", "are")
            ),
        };
        let mut f = doubt(
            Topic::HoldingPosition,
            &runway.id,
            runway
                .line
                .first()
                .map(|p| p.lerp(runway.line[runway.line.len() - 1], 0.5)),
            &format!(
                "no holding position is mapped before {}; {instead}",
                called::runway(field, r)
            ),
            match guarding(false) {
                0 => "join a lane to it, and map the painted bar on that lane",
                _ => "map every painted bar as aeroway=holding_position with holding_position:type=runway",
            },
        );
        f.assumed = (guarding(false) > 0).then(|| "derived holding positions".to_string());
        list.push(f);
    }
    for hold in graph.holds.iter().filter(|h| h.guards.is_none()) {
        let Some(p) = hold.position.map(|p| &field.holding_positions[p]) else {
            continue;
        };
        if p.kind != HoldingKind::Unknown || doubted.has(&p.id) {
            continue;
        }
        let name = p.name.as_deref().map_or(String::new(), |n| format!(" {n}"));
        list.push(doubt(
            Topic::HoldingPosition,
            &p.id,
            Some(graph.at(hold.node)),
            &format!("holding position{name} has no type and no runway is found from it; it guards nothing"),
            "say holding_position:type=intermediate when it is before a taxiway, otherwise put it on the lane to its runway",
        ));
    }
    list
}
