//! Relations that draw areas: their ways, put end to end, become rings, and holes go into the outer rings that hold them.

use super::element::Place;
use super::flat::Flat;
use std::collections::BTreeMap;
use toeline_model::Xy;
use toeline_model::planar::inside_ring;

/// An outer ring and its holes. Rings are open: the last place is not the first.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Area<P = Place> {
    pub(super) outer: Vec<P>,
    pub(super) holes: Vec<Vec<P>>,
}

/// What a relation draws.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Assembled {
    pub(super) areas: Vec<Area>,
    /// Chains of ways that do not close.
    pub(super) open: Vec<Vec<Place>>,
    /// Holes that lie in no outer ring.
    pub(super) loose_holes: usize,
}

/// Puts the ways of a relation together; each with whether its role is that of a hole.
pub(super) fn assemble(ways: Vec<(bool, Vec<Place>)>) -> Assembled {
    let (inner, outer): (Vec<_>, Vec<_>) = ways.into_iter().partition(|(inner, _)| *inner);
    let of = |list: Vec<(bool, Vec<Place>)>| rings(list.into_iter().map(|(_, way)| way).collect());
    let (outers, mut open) = of(outer);
    let (holes, broken) = of(inner);
    open.extend(broken);
    let mut areas: Vec<Area> = outers
        .into_iter()
        .map(|outer| Area {
            outer,
            holes: Vec::new(),
        })
        .collect();
    let flats: Vec<(Flat, Vec<Xy>)> = areas
        .iter()
        .map(|a| {
            let flat = Flat::about(a.outer[0]);
            (flat, flat.line(&a.outer))
        })
        .collect();
    let mut loose_holes = 0;
    for hole in holes {
        // A corner of a hole may lie on its outer ring; the most corners decide.
        let within = |(flat, ring): &(Flat, Vec<Xy>)| {
            let corners = hole.iter().filter(|p| inside_ring(flat.to_xy(**p), ring)).count();
            2 * corners > hole.len()
        };
        match flats.iter().position(within) {
            Some(i) => areas[i].holes.push(hole),
            None => loose_holes += 1,
        }
    }
    Assembled {
        areas,
        open,
        loose_holes,
    }
}

/// Rings and what does not close, in the order of the ways.
fn rings(ways: Vec<Vec<Place>>) -> (Vec<Vec<Place>>, Vec<Vec<Place>>) {
    let mut ends: BTreeMap<Place, Vec<usize>> = BTreeMap::new();
    for (i, way) in ways.iter().enumerate() {
        if let (Some(first), Some(last)) = (way.first(), way.last())
            && first != last
        {
            ends.entry(*first).or_default().push(i);
            ends.entry(*last).or_default().push(i);
        }
    }
    let mut used = vec![false; ways.len()];
    let (mut closed, mut open) = (Vec::new(), Vec::new());
    for begin in 0..ways.len() {
        if used[begin] || ways[begin].len() < 2 {
            continue;
        }
        used[begin] = true;
        let mut chain = ways[begin].clone();
        while chain.first() != chain.last() {
            let end = chain[chain.len() - 1];
            let next = ends.get_mut(&end).and_then(|list| {
                list.retain(|i| !used[*i]);
                list.first().copied()
            });
            let Some(i) = next else { break };
            used[i] = true;
            let way = &ways[i];
            if way[0] == end {
                chain.extend_from_slice(&way[1..]);
            } else {
                chain.extend(way.iter().rev().skip(1));
            }
        }
        if chain.first() == chain.last() && chain.len() >= 4 {
            chain.pop();
            closed.push(chain);
        } else {
            open.push(chain);
        }
    }
    (closed, open)
}
