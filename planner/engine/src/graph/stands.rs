//! Stands joined to lanes: lines first by what they touch, then by what they nearly touch, points straight across.

use super::near::Near;
use super::net::{Foot, Net, SAME_M};
use super::obstacles::piece_to_shape;
use super::{NEAR_MISS_M, SNAP_M, STAND_REACH_M, Source};
use crate::notice::NoticeKind::{Doubt, Repair};
use toeline_model::airfield::{ObstacleKind, Surface};
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
    /// Strand of each stand drawn as a line.
    lines: Vec<(usize, usize)>,
    /// By strand: the stand once it is joined.
    done: Vec<Option<Joined>>,
}

/// Joins every stand that can be.
pub(super) fn join(net: &mut Net<'_>) -> Vec<Joined> {
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
    let lanes = Near::new(net, |n, s| match n.strands[s].source {
        Source::Lane(i, _) => !n.is_closed(s) && n.field.lanes[i].surface != Surface::Water,
        _ => false,
    });
    touching(net, &mut work);
    for (s, i) in work.lines.clone() {
        reach(net, &mut work, &lanes, (s, i), NEAR_MISS_M);
    }
    hang(net, &mut work);
    for (s, i) in work.lines.clone() {
        reach(net, &mut work, &lanes, (s, i), STAND_REACH_M);
    }
    for (s, i) in work.lines.clone() {
        if work.done[s].is_none() {
            lost(net, i);
        }
    }
    let mut list: Vec<Joined> = work.done.into_iter().flatten().collect();
    for i in 0..net.field.stands.len() {
        if line_length(&net.field.stands[i].line) == 0.0 {
            list.extend(point(net, &lanes, i));
        }
    }
    list.sort_by_key(|j| j.stand);
    for j in &list {
        net.forced.extend([j.stop, j.lane]);
    }
    list
}

/// Lines that share a place with a lane, then lines that share one with such a line, and so on.
fn touching(net: &Net<'_>, work: &mut Work) {
    loop {
        let mut changed = false;
        for pass in 0..2 {
            for (s, i) in work.lines.clone() {
                if work.done[s].is_none() {
                    work.done[s] = if pass == 0 {
                        by_lane(net, s, i)
                    } else {
                        by_stand(net, work, s, i)
                    };
                    changed |= work.done[s].is_some();
                }
            }
        }
        if !changed {
            return;
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

/// Joins the nearer end of a line to the nearest lane within reach.
fn reach(net: &mut Net<'_>, work: &mut Work, lanes: &Near, (s, i): (usize, usize), reach_m: f64) {
    if work.done[s].is_some() || net.strands[s].v.len() < 2 {
        return;
    }
    let Some((at_start, foot)) = nearest_end(net, lanes, s, reach_m) else {
        return;
    };
    let Some((place, stop)) = connect(net, s, at_start, foot) else {
        return;
    };
    work.done[s] = Some(Joined {
        stand: i,
        stop,
        lane: place,
    });
    touching(net, work);
}

/// Joins ends that are near the line of a stand that is itself joined.
fn hang(net: &mut Net<'_>, work: &mut Work) {
    let others = Near::new(net, |n, s| n.strands[s].is_stand());
    loop {
        let mut changed = false;
        for (s, i) in work.lines.clone() {
            if work.done[s].is_some() || net.strands[s].v.len() < 2 {
                continue;
            }
            let v = &net.strands[s].v;
            let best = [true, false]
                .into_iter()
                .filter_map(|at_start| {
                    let end = if at_start { v[0] } else { v[v.len() - 1] };
                    let feet = others.feet(net, net.at(end), NEAR_MISS_M);
                    feet.into_iter()
                        .find(|f| f.strand != s && work.done[f.strand].is_some())
                        .map(|f| (at_start, f))
                })
                .min_by(|a, b| a.1.distance_m.total_cmp(&b.1.distance_m));
            let Some((at_start, foot)) = best else { continue };
            let parent = work.done[foot.strand];
            let Some((place, stop)) = connect(net, s, at_start, foot) else {
                continue;
            };
            net.forced.insert(place);
            work.done[s] = parent.map(|p| Joined {
                stand: i,
                stop,
                lane: p.lane,
            });
            touching(net, work);
            changed = true;
        }
        if !changed {
            return;
        }
    }
}

/// Ties an end of a stand's line to a foot; gives the place there and the place at the other end.
fn connect(net: &mut Net<'_>, s: usize, at_start: bool, foot: Foot) -> Option<(usize, usize)> {
    let v = &net.strands[s].v;
    let (end, stop) = if at_start {
        (v[0], v[v.len() - 1])
    } else {
        (v[v.len() - 1], v[0])
    };
    let (p, d) = (net.at(end), foot.distance_m);
    let (id, name, other) = (net.id(s), net.name(s), net.name(foot.strand));
    let place = net.open(foot, SAME_M);
    if place == stop {
        return None;
    }
    if d <= SNAP_M {
        net.unite(end, place);
    } else {
        net.lengthen(s, at_start, place);
    }
    if d <= NEAR_MISS_M {
        net.tell(
            Repair,
            id,
            p,
            format!("the line of {name} ended {d:.2} m from {other}; joined"),
        );
    } else {
        let text =
            format!("the line of {name} ends {d:.1} m from the nearest lane, {other}; taken to run straight to it");
        net.tell(Doubt, id, p, text);
        through_building(net, s, end, place);
    }
    Some((place, stop))
}

/// A stand given as a point is connected straight to the nearest open lane.
fn point(net: &mut Net<'_>, lanes: &Near, i: usize) -> Option<Joined> {
    let p = *net.field.stands[i].line.first()?;
    let Some(foot) = lanes.feet(net, p, STAND_REACH_M).first().copied() else {
        lost(net, i);
        return None;
    };
    let place = net.open(foot, SNAP_M);
    let stop = net.vertex(p);
    if stop != place {
        let s = net.add(Source::Stand(i), &[net.at(place), p], 0);
        through_building(net, s, place, stop);
    }
    Some(Joined {
        stand: i,
        stop,
        lane: place,
    })
}

fn through_building(net: &mut Net<'_>, s: usize, a: usize, b: usize) {
    let (pa, pb) = (net.at(a), net.at(b));
    let hit = net.field.obstacles.iter().find(|o| {
        let (lo, hi) = o.shape.bounds();
        matches!(
            o.kind,
            ObstacleKind::Building | ObstacleKind::Hangar | ObstacleKind::Terminal
        ) && lo.x <= pa.x.max(pb.x)
            && hi.x >= pa.x.min(pb.x)
            && lo.y <= pa.y.max(pb.y)
            && hi.y >= pa.y.min(pb.y)
            && piece_to_shape(pa, pb, &o.shape) == 0.0
    });
    if let Some(o) = hit {
        let what = o
            .name
            .clone()
            .map_or_else(|| o.id.clone(), |n| format!("{n} ({})", o.id));
        let text = format!(
            "the straight connection of {} to its lane passes through a building, {what}",
            net.name(s)
        );
        net.tell(Doubt, net.id(s), pa, text);
    }
}

fn lost(net: &mut Net<'_>, i: usize) {
    let name = super::names::source(net.field, Source::Stand(i));
    let Some(p) = net.field.stands[i].line.first().copied() else {
        return;
    };
    let text = format!("no open lane within {STAND_REACH_M} m of {name}; it cannot be reached");
    net.tell(Doubt, net.field.stands[i].id.clone(), p, text);
}
