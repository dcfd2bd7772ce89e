//! Loose ends of lanes: joined to the line they nearly touch, doubted when they only come near it, and told of when they
//! end at nothing.

use super::near::{Near, around};
use super::net::{Foot, Net, SAME_M};
use super::{NEAR_MISS_M, SNAP_M, Source};
use crate::boxes::Boxes;
use crate::notice::Notice;
use crate::notice::NoticeKind::{Doubt, Repair};
use std::collections::BTreeSet;
use toeline_model::Xy;
use toeline_model::planar::closest_on_segment;

/// A lane's own line is met again by its end only this far along it or farther, metres. Ours.
const OWN_LINE_M: f64 = 15.0;

/// An end of a strand.
#[derive(Clone, Copy)]
struct End {
    strand: usize,
    at_start: bool,
    place: usize,
}

/// Which ends are looked at.
#[derive(Clone, Copy, PartialEq)]
pub(super) enum Of {
    /// Those of lanes.
    Lanes,
    /// Those of runways. They come after the crossings: a lane that crosses a runway at its end is a crossing.
    Runways,
}

/// Joins every loose end of a lane or a runway that is within [`SNAP_M`] of another lane or runway on its level.
pub(super) fn snap(net: &mut Net<'_>, of: Of) {
    let near = Near::new(net, |n, s| !n.strands[s].is_stand());
    let mut joined: Vec<(End, Foot, usize)> = Vec::new();
    let mut lengths: Vec<(usize, f64)> = Vec::new();
    for end in loose(net) {
        let lane = matches!(net.strands[end.strand].source, Source::Lane(..));
        if lane != (of == Of::Lanes) {
            continue;
        }
        let p = net.at(end.place);
        let own = own_pieces(net, end);
        let level = net.strands[end.strand].level;
        let feet = near.feet_where(net, p, (NEAR_MISS_M, -1.0), |s, piece| {
            s != end.strand || own.as_ref().is_some_and(|r| r.contains(&piece))
        });
        let here =
            |f: &&Foot| net.strands[f.strand].level == level && (f.strand != end.strand || f.distance_m <= SNAP_M);
        match feet.iter().find(here).copied() {
            Some(foot) if foot.distance_m <= SNAP_M => {
                // A lane shorter than the gap would vanish.
                let length_m = net.length_m(end.strand);
                let place = net.open(foot, SAME_M);
                let s = &net.strands[end.strand];
                let other_end = if end.at_start { s.v[s.v.len() - 1] } else { s.v[0] };
                if place == other_end && length_m > SNAP_M && foot.strand != end.strand {
                    continue;
                }
                net.unite(end.place, place);
                lengths.push((end.strand, length_m));
                joined.push((end, foot, place));
            }
            Some(foot) if lane => far(net, end, foot),
            _ if lane => {
                if let Some(foot) = feet.iter().find(|f| f.strand != end.strand && f.distance_m <= SNAP_M) {
                    other_level(net, end, *foot);
                }
            }
            _ => {}
        }
    }
    net.settle();
    let mut told: BTreeSet<(usize, usize)> = BTreeSet::new();
    for (end, foot, place) in joined {
        let place = net.now(place);
        // Two ends face to face are one joint.
        if told.contains(&(foot.strand, place)) && foot.strand != end.strand {
            continue;
        }
        told.insert((end.strand, place));
        let d = foot.distance_m;
        let other = if end.strand == foot.strand {
            "its own line".to_string()
        } else {
            net.name(foot.strand)
        };
        let text = format!("an end of {} was {d:.2} m from {other}; joined", net.name(end.strand));
        let notice = Notice::new(Repair, net.id(end.strand), text).with_place(Some(net.at(place)));
        net.say(notice.with_size(d).with_assumption("they meet"));
    }
    lengths.dedup_by_key(|l| l.0);
    for (s, length_m) in lengths {
        if net.strands[s].v.len() < 2 {
            let text = format!(
                "{} is {length_m:.2} m long, shorter than ends are joined over; taken as the point where it joins",
                net.name(s)
            );
            let notice = Notice::new(Repair, net.id(s), text).with_size(length_m);
            let at = net.strands[s].v.first().map(|v| net.at(*v));
            net.say(notice.with_place(at).with_assumption("it is a point"));
        }
    }
}

/// Ends of lanes and runways that no other lane or runway holds.
fn loose(net: &Net<'_>) -> Vec<End> {
    let mut list = Vec::new();
    for (strand, s) in net.strands.iter().enumerate() {
        if s.is_stand() || s.v.len() < 2 || s.is_loop() {
            continue;
        }
        for at_start in [true, false] {
            let place = if at_start { s.v[0] } else { s.v[s.v.len() - 1] };
            let users = net.users(place);
            let held = users.iter().any(|u| *u != strand && !net.strands[*u].is_stand());
            if !held && users.iter().filter(|u| **u == strand).count() == 1 {
                list.push(End {
                    strand,
                    at_start,
                    place,
                });
            }
        }
    }
    list
}

/// The pieces of the end's own strand that it may be joined to: those far enough along it.
fn own_pieces(net: &Net<'_>, end: End) -> Option<std::ops::Range<usize>> {
    let v = &net.strands[end.strand].v;
    let pieces = v.len() - 1;
    let mut run_m = 0.0;
    for i in 0..pieces {
        let piece = if end.at_start { i } else { pieces - 1 - i };
        if run_m >= OWN_LINE_M {
            return Some(if end.at_start { piece..pieces } else { 0..piece + 1 });
        }
        run_m += net.at(v[piece]).distance(net.at(v[piece + 1]));
    }
    None
}

fn far(net: &mut Net<'_>, end: End, foot: Foot) {
    let d = foot.distance_m;
    let text = format!(
        "an end of {} is {d:.1} m from {} without touching it; not joined (ends within {SNAP_M} m are)",
        net.name(end.strand),
        net.name(foot.strand)
    );
    let notice = Notice::new(Doubt, net.id(end.strand), text).with_place(Some(net.at(end.place)));
    net.say(notice.with_size(d));
}

fn other_level(net: &mut Net<'_>, end: End, foot: Foot) {
    let d = foot.distance_m;
    let text = format!(
        "an end of {} is {d:.2} m from {}, which is on level {} and not {}; not joined",
        net.name(end.strand),
        net.name(foot.strand),
        net.strands[foot.strand].level,
        net.strands[end.strand].level
    );
    let notice = Notice::new(Doubt, net.id(end.strand), text).with_place(Some(net.at(end.place)));
    net.say(notice.with_size(d));
}

/// For each end whether another line or the place of a stand is within [`NEAR_MISS_M`]. The ends are few and the lines are
/// many, so the ends are put in a tree and every line asks for those near it.
fn near_something(net: &Net<'_>, ends: &[End]) -> Vec<bool> {
    let at = |i: usize| net.at(ends[i].place);
    let tree = Boxes::new((0..ends.len()).map(|i| (at(i), at(i))).collect());
    let mut meets = vec![false; ends.len()];
    // A little more is asked of the tree, whose sums round differently.
    let reach_m = NEAR_MISS_M * (1.0 + 1e-9) + 1e-6;
    let mut piece = |a: Xy, b: Xy, strand: Option<usize>| {
        tree.meeting(around(a, b), reach_m, |i| {
            let p = at(i);
            meets[i] |= strand != Some(ends[i].strand) && closest_on_segment(p, a, b).0.distance(p) <= NEAR_MISS_M;
            true
        });
    };
    for (s, strand) in net.strands.iter().enumerate() {
        for w in strand.v.windows(2) {
            piece(net.at(w[0]), net.at(w[1]), Some(s));
        }
    }
    for p in net.field.stands.iter().filter_map(|s| s.line.first().copied()) {
        piece(p, p, None);
    }
    meets
}

/// Tells of the ends of open lanes that meet nothing: no lane, runway or stand within [`NEAR_MISS_M`], no apron, no
/// hangar. An end on an apron or in a hangar is where a taxiway may well end.
pub(super) fn tell_free(net: &mut Net<'_>, areas: &super::obstacles::Areas<'_>) {
    let mut ends = loose(net);
    ends.retain(|end| {
        let lane = matches!(net.strands[end.strand].source, Source::Lane(..));
        lane && !net.is_closed(end.strand) && net.users(end.place).len() <= 1
    });
    let meets = near_something(net, &ends);
    for (end, _) in ends.into_iter().zip(meets).filter(|(_, meets)| !meets) {
        let p = net.at(end.place);
        if areas.apron_within(p, SNAP_M) || areas.building_within(p, SNAP_M) {
            continue;
        }
        let text = format!(
            "an end of {} meets nothing: no taxiway, runway or stand within {NEAR_MISS_M} m, no apron, no hangar; kept as a dead end",
            net.name(end.strand)
        );
        net.say(Notice::new(Doubt, net.id(end.strand), text).with_place(Some(p)));
    }
}
