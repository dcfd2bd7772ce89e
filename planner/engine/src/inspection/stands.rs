//! Names borne by several stands.

use super::{Finding, Topic, called, doubt};
use std::collections::BTreeMap;
use toeline_model::Airfield;

/// Places this near to each other are the same stand drawn twice, metres (ours).
const SAME_PLACE_M: f64 = 15.0;

/// The doubts, in the order of the names.
pub(super) fn doubts(field: &Airfield) -> Vec<Finding> {
    let mut bearing: BTreeMap<String, Vec<usize>> = BTreeMap::new();
    for (i, stand) in field.stands.iter().enumerate() {
        if let Some(name) = &stand.name {
            bearing.entry(name.to_lowercase()).or_default().push(i);
        }
    }
    let several = bearing.into_values().filter(|list| list.len() > 1);
    several
        .map(|list| {
            let ids: Vec<String> = list.iter().map(|i| field.stands[*i].id.clone()).collect();
            let places: Vec<_> = list
                .iter()
                .filter_map(|i| field.stands[*i].line.last().copied())
                .collect();
            let apart_m = places.iter().map(|p| p.distance(places[0])).fold(0.0, f64::max);
            let twice = if apart_m < SAME_PLACE_M {
                ", perhaps one stand drawn more than once"
            } else {
                ""
            };
            let text = format!(
                "{} stands are called {}, up to {apart_m:.0} m from the first{twice}: {}",
                list.len(),
                field.stands[list[0]].name.as_deref().unwrap_or_default(),
                called::some(&ids)
            );
            let mend = "let each stand have its own ref; until then ask for one by its feature id";
            let mut f = doubt(
                Topic::StandName,
                &field.stands[list[1]].id,
                places.get(1).copied(),
                &text,
                mend,
            );
            f.size_m = Some(apart_m);
            f
        })
        .collect()
}
