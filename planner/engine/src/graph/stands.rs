//! Stands joined to lanes: lines first by what they touch, then by what they nearly touch, points straight across.

use super::near::Near;
use super::net::{Foot, Net, SAME_M};
use super::obstacles::Areas;
use super::{NEAR_MISS_M, SNAP_M, STAND_REACH_M, Source};
use crate::notice::NoticeKind::{Doubt, Repair};
use crate::notice::{Notice, NoticeKind};
use std::collections::BTreeSet;
use toeline_model::Xy;
use toeline_model::airfield::Surface;
use toeline_model::planar::line_length;

/// A stand in place numbers.
#[derive(Clone, Copy, Debug)]
pub(super) struct Joined {
    /// Index in the airfield's stands.
    pub(super) stand: usize,
    /// Where the nose wheel stops.
    pub(super) stop: usize,
    /// Where the way from it meets a lane.
    pub(super) lane: usize,
}

struct Work {
    /// Strand and stand of each stand drawn as a line.
    lines: Vec<(usize, usize)>,
    /// By strand: the stand once it is joined.
    done: Vec<Option<Joined>>,
}

/// Most stands that hang on one another in a row. Ours.
const CHAIN: usize = 64;

/// Joins every stand that can be.
pub(super) fn join(net: &mut Net<'_>, areas: &Areas<'_>) -> Vec<Joined> {
    let lines: Vec<(usize, usize)> = net
        .strands
        .iter()
        .enumerate()
        .filter_map(|(s, strand)| match strand.source {
            Source::Stand(i) if strand.v.len() > 1 => Some((s, i)),
            _ => None,
        })
        .collect();
    let mut work = Work {
        done: vec![None; net.strands.len()],
        lines,
    };
    touching(net, &mut work);
    reach(net, &mut work, areas, NEAR_MISS_M);
    hang(net, &mut work);
    reach(net, &mut work, areas, STAND_REACH_M);
    for (s, i) in &work.lines {
        if work.done[*s].is_none() {
            lost(net, *i);
        }
    }
    let mut list: Vec<Joined> = work.done.into_iter().flatten().collect();
    list.extend(points(net, areas));
    for j in &mut list {
        (j.stop, j.lane) = (net.now(j.stop), net.now(j.lane));
    }
    list.sort_by_key(|j| j.stand);
    for j in &list {
        net.forced.extend([j.stop, j.lane]);
    }
    list
}

/// Open lanes that wheels can use, on the ground.
fn lanes(net: &Net<'_>) -> Near {
    Near::new(net, |n, s| match n.strands[s].source {
        Source::Lane(i, _) => !n.is_closed(s) && n.strands[s].level == 0 && n.field.lanes[i].surface != Surface::Water,
        _ => false,
    })
}

/// Lines that share a place with a lane, then lines that share one with such a line, and so on, in waves.
fn touching(net: &Net<'_>, work: &mut Work) {
    for (s, i) in &work.lines {
        if work.done[*s].is_none() {
            work.done[*s] = by_lane(net, *s, *i);
        }
    }
    let mut seen: BTreeSet<usize> = BTreeSet::new();
    let mut wave: Vec<usize> = work
        .lines
        .iter()
        .map(|l| l.0)
        .filter(|s| work.done[*s].is_some())
        .collect();
    while !wave.is_empty() {
        let mut next: BTreeSet<usize> = BTreeSet::new();
        for s in wave {
            for v in net.strands[s].v.iter().filter(|v| seen.insert(**v)) {
                next.extend(net.users(*v).iter().filter(|u| net.strands[**u].is_stand()));
            }
        }
        let found: Vec<(usize, Joined)> = next
            .into_iter()
            .filter(|s| work.done[*s].is_none())
            .filter_map(|s| match net.strands[s].source {
                Source::Stand(i) => by_stand(net, work, s, i).map(|j| (s, j)),
                _ => None,
            })
            .collect();
        wave = found.iter().map(|f| f.0).collect();
        for (s, joined) in found {
            work.done[s] = Some(joined);
        }
    }
}

fn by_lane(net: &Net<'_>, s: usize, stand: usize) -> Option<Joined> {
    let v = &net.strands[s].v;
    let contacts: Vec<usize> = (0..v.len()).filter(|p| net.on_lane(v[*p])).collect();
    let (stop, junction) = ends(net, s, &contacts)?;
    Some(Joined {
        stand,
        stop,
        lane: junction,
    })
}

fn by_stand(net: &Net<'_>, work: &Work, s: usize, stand: usize) -> Option<Joined> {
    let v = &net.strands[s].v;
    let parent = |p: usize| net.users(v[p]).iter().filter(|u| **u != s).find_map(|u| work.done[*u]);
    let contacts: Vec<usize> = (0..v.len()).filter(|p| parent(*p).is_some()).collect();
    let (stop, junction) = ends(net, s, &contacts)?;
    let lane = v.iter().position(|p| *p == junction).and_then(parent)?.lane;
    Some(Joined { stand, stop, lane })
}

/// Which end of a stand's line is the place to stop, and where the way from there first meets something: the end that
/// touches nothing; when neither or both touch, the end with more line before its first contact.
fn ends(net: &Net<'_>, s: usize, contacts: &[usize]) -> Option<(usize, usize)> {
    let v = &net.strands[s].v;
    let last = v.len() - 1;
    let points = net.points(s);
    // A stop that touches something itself still has a way to the next contact.
    let from_start = contacts
        .iter()
        .copied()
        .find(|p| *p > 0)
        .map(|p| (line_length(&points[..=p]), v[0], v[p]));
    let from_end = contacts
        .iter()
        .rev()
        .copied()
        .find(|p| *p < last)
        .map(|p| (line_length(&points[p..]), v[last], v[p]));
    let chosen = match (from_start, from_end, contacts.contains(&0), contacts.contains(&last)) {
        (_, Some(e), true, false) => e,
        (Some(b), _, false, true) => b,
        (Some(b), Some(e), ..) => {
            if b.0 > e.0 {
                b
            } else {
                e
            }
        }
        (b, e, ..) => b.or(e)?,
    };
    Some((chosen.1, chosen.2))
}

/// The end of a line that is nearest to a strand of `near`, true for its start, and the foot there.
fn nearest_end(net: &Net<'_>, near: &Near, s: usize, reach_m: f64) -> Option<(bool, Foot)> {
    let v = &net.strands[s].v;
    let of = |place: usize| {
        near.feet(net, net.at(place), reach_m)
            .into_iter()
            .find(|f| f.strand != s)
    };
    match (of(v[0]), of(v[v.len() - 1])) {
        (Some(a), Some(b)) => Some(if a.distance_m <= b.distance_m {
            (true, a)
        } else {
            (false, b)
        }),
        (a, b) => a.map(|f| (true, f)).or(b.map(|f| (false, f))),
    }
}

/// A stand's line that is about to be tied to another line.
struct Tie {
    strand: usize,
    stand: usize,
    at_start: bool,
    foot: Foot,
    place: usize,
}

/// Joins the nearer end of every line that is not joined to the nearest lane within reach.
fn reach(net: &mut Net<'_>, work: &mut Work, areas: &Areas<'_>, reach_m: f64) {
    let lanes = lanes(net);
    let mut ties = Vec::new();
    for (strand, stand) in work.lines.clone() {
        if work.done[strand].is_some() || net.strands[strand].v.len() < 2 {
            continue;
        }
        if let Some((at_start, foot)) = nearest_end(net, &lanes, strand, reach_m) {
            ties.extend(tie(net, (strand, stand), at_start, foot));
        }
    }
    net.settle();
    for t in &ties {
        work.done[t.strand] = Some(Joined {
            stand: t.stand,
            stop: stop(net, t),
            lane: net.now(t.place),
        });
        told(net, t, areas);
    }
    touching(net, work);
}

/// Joins ends that are near the line of a stand that is itself joined, then ends near those, and so on.
fn hang(net: &mut Net<'_>, work: &mut Work) {
    for _ in 0..CHAIN {
        let others = Near::new(net, |n, s| n.strands[s].is_stand() && work.done[s].is_some());
        let mut ties = Vec::new();
        for (strand, stand) in work.lines.clone() {
            if work.done[strand].is_some() || net.strands[strand].v.len() < 2 {
                continue;
            }
            if let Some((at_start, foot)) = nearest_end(net, &others, strand, NEAR_MISS_M) {
                ties.extend(tie(net, (strand, stand), at_start, foot));
            }
        }
        if ties.is_empty() {
            return;
        }
        net.settle();
        for t in &ties {
            net.forced.insert(net.now(t.place));
            let lane = work.done[t.foot.strand].map(|p| net.now(p.lane));
            work.done[t.strand] = lane.map(|lane| Joined {
                stand: t.stand,
                stop: stop(net, t),
                lane,
            });
            tell(net, t, "joined", Repair, "they meet");
        }
        touching(net, work);
    }
}

/// The place at the end of a line that is not the tied one.
fn stop(net: &Net<'_>, t: &Tie) -> usize {
    let v = &net.strands[t.strand].v;
    if t.at_start { v[v.len() - 1] } else { v[0] }
}

/// Asks for an end of a stand's line to be tied to a foot.
fn tie(net: &mut Net<'_>, (strand, stand): (usize, usize), at_start: bool, foot: Foot) -> Option<Tie> {
    let v = &net.strands[strand].v;
    let (end, stop) = if at_start {
        (v[0], v[v.len() - 1])
    } else {
        (v[v.len() - 1], v[0])
    };
    let place = net.open(foot, SAME_M);
    if place == stop || net.at(place) == net.at(stop) {
        return None;
    }
    if foot.distance_m <= SNAP_M {
        net.unite(end, place);
    } else {
        net.lengthen(strand, at_start, place);
    }
    Some(Tie {
        strand,
        stand,
        at_start,
        foot,
        place,
    })
}

fn tell(net: &mut Net<'_>, t: &Tie, what: &str, kind: NoticeKind, assumed: &str) {
    let d = t.foot.distance_m;
    let (name, other) = (net.name(t.strand), net.name(t.foot.strand));
    let text = match kind {
        Repair => format!("the line of {name} ended {d:.2} m from {other}; {what}"),
        _ => format!("the line of {name} ends {d:.1} m from the nearest lane, {other}; {what}"),
    };
    let at = net.at(net.now(t.place));
    let notice = Notice::new(kind, net.id(t.strand), text).with_place(Some(at));
    net.say(notice.with_size(d).with_assumption(assumed));
}

fn told(net: &mut Net<'_>, t: &Tie, areas: &Areas<'_>) {
    if t.foot.distance_m <= NEAR_MISS_M {
        return tell(net, t, "joined", Repair, "they meet");
    }
    tell(
        net,
        t,
        "taken to run straight to it",
        Doubt,
        "a straight way to the lane",
    );
    let v = &net.strands[t.strand].v;
    let (a, b) = if t.at_start {
        (v[1], v[0])
    } else {
        (v[v.len() - 2], v[v.len() - 1])
    };
    through_building(net, t.strand, areas, net.at(a), net.at(b));
}

/// Stands given as points are connected straight to the nearest open lane.
fn points(net: &mut Net<'_>, areas: &Areas<'_>) -> Vec<Joined> {
    let lanes = lanes(net);
    let mut list = Vec::new();
    for i in 0..net.field.stands.len() {
        let line = &net.field.stands[i].line;
        let Some(p) = line.first().copied().filter(|_| line_length(line) == 0.0) else {
            continue;
        };
        let Some(foot) = lanes.foot(net, p, STAND_REACH_M) else {
            lost(net, i);
            continue;
        };
        let lane = net.open(foot, SNAP_M);
        // A place of another level that was united with the lane's may lie here under another number.
        let stop = if net.at(lane).distance(p) <= SAME_M {
            lane
        } else {
            net.vertex(p, 0)
        };
        if stop != lane {
            let s = net.add(Source::Stand(i), vec![lane, stop], 0);
            through_building(net, s, areas, net.at(lane), p);
        }
        list.push(Joined { stand: i, stop, lane });
    }
    net.settle();
    list
}

fn through_building(net: &mut Net<'_>, s: usize, areas: &Areas<'_>, a: Xy, b: Xy) {
    if let Some(o) = areas.through_building(a, b, 0.0) {
        let what = o
            .name
            .clone()
            .map_or_else(|| o.id.clone(), |n| format!("{n} ({})", o.id));
        let text = format!(
            "the straight connection of {} to its lane passes through a building, {what}",
            net.name(s)
        );
        let notice = Notice::new(Doubt, net.id(s), text).with_place(Some(b));
        net.say(notice.with_size(a.distance(b)));
    }
}

fn lost(net: &mut Net<'_>, i: usize) {
    let name = super::names::source(net.field, Source::Stand(i));
    let Some(p) = net.field.stands[i].line.first().copied() else {
        return;
    };
    let text = format!("no open lane within {STAND_REACH_M} m of {name}; it cannot be reached");
    net.say(Notice::new(Doubt, net.field.stands[i].id.clone(), text).with_place(Some(p)));
}
