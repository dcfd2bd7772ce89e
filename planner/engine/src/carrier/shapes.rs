//! What a feature is drawn by becomes its geometry; what is missing of it becomes a doubt.

use super::RING_WAYS_LIMIT;
use super::element::Place;
use super::places::{Drawn, Places};
use super::rings::{self, Area};
use super::write::Shape;
use std::collections::BTreeMap;

/// What a feature is drawn by.
#[derive(PartialEq)]
pub(super) enum Parts {
    Point(Place),
    Way(Drawn),
    /// Of each way of a relation: whether it is a hole, its number, and its places where the carrier writes them.
    Relation(Vec<(bool, i64, Option<Drawn>)>),
}

/// Geometry and what is doubtful about it.
pub(super) fn shape(parts: &Parts, area: bool, ways: &BTreeMap<i64, Drawn>, known: &Places) -> (Shape, Option<String>) {
    match parts {
        Parts::Point(p) => (Shape::Point(*p), None),
        Parts::Way(d) => way_shape(d, area && d.is_closed(), known),
        Parts::Relation(list) => relation_shape(list, ways, known),
    }
}

fn way_shape(drawn: &Drawn, area: bool, known: &Places) -> (Shape, Option<String>) {
    let places = drawn.places(known);
    let missing = places.iter().filter(|p| p.is_none()).count();
    let doubt = |how: &str| {
        (missing > 0).then(|| format!("{missing} of its {} nodes are not in the file; {how}", places.len()))
    };
    if area {
        let mut ring: Vec<Place> = places.iter().flatten().copied().collect();
        if ring.len() > 1 && ring.first() == ring.last() {
            ring.pop();
        }
        if ring.len() >= 3 {
            let holes = Vec::new();
            return (
                Shape::Areas(vec![Area { outer: ring, holes }]),
                doubt("drawn through the others"),
            );
        }
    }
    let pieces: Vec<Vec<Place>> = places
        .split(Option::is_none)
        .filter(|piece| piece.len() >= 2)
        .map(|piece| piece.iter().flatten().copied().collect())
        .collect();
    match pieces.is_empty() {
        true => (
            Shape::Nothing,
            doubt("not drawn").or_else(|| Some("it has fewer than two nodes; not drawn".to_string())),
        ),
        false => (Shape::Lines(pieces), doubt("drawn in pieces")),
    }
}

fn relation_shape(
    list: &[(bool, i64, Option<Drawn>)],
    ways: &BTreeMap<i64, Drawn>,
    known: &Places,
) -> (Shape, Option<String>) {
    if list.len() > RING_WAYS_LIMIT {
        let text = format!("{} ways draw it; the limit is {RING_WAYS_LIMIT}; not drawn", list.len());
        return (Shape::Nothing, Some(text));
    }
    let mut missing = 0;
    let mut all = Vec::new();
    for (inner, id, drawn) in list {
        match drawn.as_ref().or_else(|| ways.get(id)) {
            Some(d) => {
                let places = d.places(known);
                missing += usize::from(places.iter().any(Option::is_none));
                all.push((*inner, places.into_iter().flatten().collect()));
            }
            None => missing += 1,
        }
    }
    let made = rings::assemble(all);
    let mut told = Vec::new();
    if missing > 0 {
        told.push(format!(
            "{missing} of its {} ways are not whole in the file",
            list.len()
        ));
    }
    if !made.open.is_empty() {
        told.push(format!("{} of its lines do not close", made.open.len()));
    }
    if made.loose_holes > 0 {
        told.push(format!("{} of its holes are outside it", made.loose_holes));
    }
    let doubt = (!told.is_empty()).then(|| told.join("; "));
    let shape = match (made.areas.is_empty(), made.open.is_empty()) {
        (false, _) => Shape::Areas(made.areas),
        (true, false) => Shape::Lines(made.open),
        (true, true) => Shape::Nothing,
    };
    (shape, doubt)
}
