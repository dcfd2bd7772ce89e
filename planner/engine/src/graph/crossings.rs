//! Lines that cross without a shared place: both are split there, unless they are on different levels.

use super::net::{Net, SAME_M};
use crate::notice::NoticeKind;
use rstar::primitives::{GeomWithData, Rectangle};
use rstar::{AABB, RTree};
use toeline_model::Xy;
use toeline_model::planar::crossing;

struct Hit {
    first: usize,
    second: usize,
    at: Xy,
}

/// Splits every pair of lines that cross. Stand lines are split by lanes and runways but not by one another: two
/// stands that share an apron are not a way from one to the other.
pub(super) fn split(net: &mut Net<'_>) {
    for hit in hits(net) {
        join(net, &hit);
    }
}

fn hits(net: &Net<'_>) -> Vec<Hit> {
    let mut pieces: Vec<(usize, usize)> = Vec::new();
    for (s, strand) in net.strands.iter().enumerate() {
        pieces.extend((0..strand.v.len().saturating_sub(1)).map(|p| (s, p)));
    }
    let ends = |(s, p): (usize, usize)| {
        let v = &net.strands[s].v;
        [v[p], v[p + 1]]
    };
    let boxes = pieces.iter().enumerate().map(|(i, piece)| {
        let [a, b]: [[f64; 2]; 2] = ends(*piece).map(|v| net.at(v).into());
        GeomWithData::new(Rectangle::from_corners(a, b), i)
    });
    let tree = RTree::bulk_load(boxes.collect());
    let mut list = Vec::new();
    for (i, one) in pieces.iter().enumerate() {
        let [a, b] = ends(*one);
        let envelope = AABB::from_corners(net.at(a).into(), net.at(b).into());
        let mut others: Vec<usize> = tree
            .locate_in_envelope_intersecting(envelope)
            .map(|g| g.data)
            .filter(|j| *j > i)
            .collect();
        others.sort_unstable();
        for j in others {
            let two = pieces[j];
            let (s, t) = (&net.strands[one.0], &net.strands[two.0]);
            let [c, d] = ends(two);
            // Pieces with a common end meet there already; two straight pieces meet once.
            if s.level != t.level || (s.is_stand() && t.is_stand()) || [a, b].iter().any(|v| *v == c || *v == d) {
                continue;
            }
            if let Some((fraction, _)) = crossing(net.at(a), net.at(b), net.at(c), net.at(d)) {
                list.push(Hit {
                    first: one.0,
                    second: two.0,
                    at: net.at(a).lerp(net.at(b), fraction),
                });
            }
        }
    }
    list
}

/// Gives both strands one place where they cross.
fn join(net: &mut Net<'_>, hit: &Hit) {
    let own = |n: &Net<'_>, s: usize| {
        let v = &n.strands[s].v;
        v.iter()
            .copied()
            .filter(|v| n.at(*v).distance(hit.at) <= SAME_M)
            .collect::<Vec<_>>()
    };
    let (in_first, in_second) = (own(net, hit.first), own(net, hit.second));
    if hit.first != hit.second && in_first.iter().any(|v| in_second.contains(v)) {
        return;
    }
    let place = match in_first.first().or(in_second.first()) {
        Some(v) => *v,
        None => net.vertex(hit.at),
    };
    for v in in_first.into_iter().chain(in_second) {
        net.unite(v, place);
    }
    let strands = if hit.first == hit.second {
        vec![hit.first]
    } else {
        vec![hit.first, hit.second]
    };
    for s in strands {
        // Every piece of the strand that passes here takes the place in; a line that crosses itself has two.
        let v = net.strands[s].v.clone();
        for w in v.windows(2).filter(|w| !w.contains(&place)) {
            let (on, _) = toeline_model::planar::closest_on_segment(net.at(place), net.at(w[0]), net.at(w[1]));
            if on.distance(net.at(place)) <= SAME_M {
                net.put_between(w[0], w[1], place);
            }
        }
    }
    let text = if hit.first == hit.second {
        format!(
            "{} crosses itself without a shared point; joined there",
            net.name(hit.first)
        )
    } else {
        format!(
            "{} and {} cross without a shared point; joined there",
            net.name(hit.first),
            net.name(hit.second)
        )
    };
    let id = net.id(hit.first.max(hit.second));
    net.tell(NoticeKind::Repair, id, net.at(place), text);
}
