//! Lines that cross or touch without a shared place: both are split there, unless they are on different levels.

use super::near::Near;
use super::net::{Net, SAME_M, Strand};
use super::{Rules, Source};
use crate::notice::{Notice, NoticeKind};
use std::collections::BTreeSet;
use toeline_model::Xy;
use toeline_model::planar::crossing;

/// A place of a line touches that same line only this far along it or farther, in pieces. Ours: a piece may be shorter
/// than the tolerance.
const OWN_PIECES: usize = 3;

struct Hit {
    /// Strand and piece.
    one: (usize, usize),
    two: (usize, usize),
    at: Xy,
}

/// Splits every pair of lines that cross. Stand lines are split by lanes and runways but not by one another: two
/// stands that share an apron are not a way from one to the other.
pub(super) fn split(net: &mut Net<'_>, rules: Rules) {
    let mut places = Vec::new();
    for hit in hits(net, rules) {
        places.push((hit.one.0, hit.two.0, place(net, &hit)));
    }
    net.settle();
    let mut told = BTreeSet::new();
    for (first, second, place) in places {
        let place = net.now(place);
        if !told.insert((first, second, place)) {
            continue;
        }
        let text = if first == second {
            format!(
                "{} crosses itself without a shared point; joined there",
                net.name(first)
            )
        } else {
            format!(
                "{} and {} cross without a shared point; joined there",
                net.name(first),
                net.name(second)
            )
        };
        tell(net, first.max(second), place, 0.0, text);
    }
}

fn tell(net: &mut Net<'_>, strand: usize, place: usize, size_m: f64, text: String) {
    let notice = Notice::new(NoticeKind::Repair, net.id(strand), text).with_place(Some(net.at(place)));
    net.say(notice.with_size(size_m).with_assumption("they meet on the ground"));
}

fn hits(net: &Net<'_>, rules: Rules) -> Vec<Hit> {
    let ends = |(s, p): (usize, usize)| {
        let v = &net.strands[s].v;
        [v[p], v[p + 1]]
    };
    let tree = net.pieces();
    let runway = |s: usize| matches!(net.strands[s].source, Source::Runway(_));
    let mut list = Vec::new();
    let pieces = |(s, strand): (usize, &Strand)| (1..strand.v.len()).map(move |p| (s, p - 1));
    let mut others: Vec<(usize, usize)> = Vec::new();
    for one in net.strands.iter().enumerate().flat_map(pieces) {
        let s = &net.strands[one.0];
        let [a, b] = ends(one);
        others.clear();
        tree.meeting(net.at(a), net.at(b), 0.0, |two| {
            // Pieces with a common end meet there already; two straight pieces meet once.
            if two > one && !ends(two).into_iter().any(|v| v == a || v == b) {
                others.push(two);
            }
        });
        others.sort_unstable();
        for two in others.iter().copied() {
            let t = &net.strands[two.0];
            let [c, d] = ends(two);
            if s.level != t.level || (s.is_stand() && t.is_stand()) {
                continue;
            }
            if !rules.split_crossings && !runway(one.0) && !runway(two.0) {
                continue;
            }
            if let Some((fraction, _)) = crossing(net.at(a), net.at(b), net.at(c), net.at(d)) {
                list.push(Hit {
                    one,
                    two,
                    at: net.at(a).lerp(net.at(b), fraction),
                });
            }
        }
    }
    list
}

/// Asks for one place of both pieces where they cross: an end that is there already, or a new one.
fn place(net: &mut Net<'_>, hit: &Hit) -> usize {
    let ends = |n: &Net<'_>, (s, piece): (usize, usize)| {
        let v = &n.strands[s].v;
        [v[piece], v[piece + 1]]
    };
    let (one, two) = (ends(net, hit.one), ends(net, hit.two));
    let own = |n: &Net<'_>, ends: [usize; 2]| {
        let distance = |v: &usize| n.at(*v).distance(hit.at);
        let near = ends.into_iter().filter(|v| distance(v) <= SAME_M);
        near.min_by(|a, b| distance(a).total_cmp(&distance(b)))
    };
    let place = match (own(net, one), own(net, two)) {
        (Some(v), Some(w)) => {
            net.unite(w, v);
            return v;
        }
        (Some(v), None) | (None, Some(v)) => v,
        (None, None) => net.vertex(hit.at, net.strands[hit.one.0].level),
    };
    for [a, b] in [one, two] {
        net.put_between(a, b, place);
    }
    place
}

/// Joins places that lie on another line, or on their own farther along, without belonging to it: lines that touch, and
/// the places of lines that run over one another in part.
pub(super) fn touch(net: &mut Net<'_>, rules: Rules) {
    let near = Near::new(net, |_, _| true);
    let mut list = Vec::new();
    for s in 0..net.strands.len() {
        let strand = &net.strands[s];
        let (stand, level) = (strand.is_stand(), strand.level);
        for i in 0..strand.v.len() {
            let v = net.strands[s].v[i];
            let p = net.at(v);
            let feet = near.feet_where(net, p, SAME_M, |t, piece| {
                let other = &net.strands[t];
                let far_along = t != s || piece + 1 + OWN_PIECES < i || i + OWN_PIECES < piece;
                let held = other.v[piece] == v || other.v[piece + 1] == v;
                far_along && !held && other.level == level && !(stand && other.is_stand())
            });
            for foot in feet {
                let runway = |s: usize| matches!(net.strands[s].source, Source::Runway(_));
                // The line may hold the place elsewhere: one piece on, or where it passes here again.
                let held = foot.strand != s && net.users(v).binary_search(&foot.strand).is_ok();
                if held || !(rules.split_crossings || runway(s) || runway(foot.strand)) {
                    continue;
                }
                let w = &net.strands[foot.strand].v;
                let (a, b) = (w[foot.piece], w[foot.piece + 1]);
                let end = [a, b].into_iter().find(|e| net.at(*e).distance(p) <= SAME_M);
                match end {
                    Some(end) => net.unite(v.max(end), v.min(end)),
                    None => net.put_between(a, b, v),
                }
                list.push((s, foot.strand, v, foot.distance_m));
            }
        }
    }
    net.settle();
    let mut told = BTreeSet::new();
    for (s, t, place, d) in list {
        let place = net.now(place);
        if told.insert((s.min(t), s.max(t), place)) {
            let text = format!(
                "{} has a point {d:.2} m from {}, which has none there; joined",
                net.name(s),
                if s == t { "itself".to_string() } else { net.name(t) }
            );
            tell(net, s, place, d, text);
        }
    }
}
