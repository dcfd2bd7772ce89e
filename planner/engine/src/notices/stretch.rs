//! A stretch of a taxiway between two other things of the field: found on the lines of the map, before they are joined.

use super::notam::Target;
use super::place::{Found, Placed, holds_named, lane_called, lanes_named, runways_named, stands_named};
use std::cmp::Reverse;
use std::collections::BinaryHeap;
use toeline_model::Xy;
use toeline_model::airfield::{Airfield, Closed, Closure};
use toeline_model::planar::{between_segments, bounds, closest_on_line};

/// Lanes farther apart than this are not one taxiway, metres: a runway with its strip lies between the halves of one. Ours.
const HANG_M: f64 = 150.0;
/// Lines nearer than this meet, metres (ours; the graph joins them likewise).
const MEET_M: f64 = 2.0;
/// How far a stand's or a holding position's place may be from the lane that it is on, metres. Ours.
const OFF_M: f64 = 60.0;
/// The places where one thing meets the taxiway are one junction when they lie no farther apart, metres: the curves of a
/// junction meet it one after another. Ours.
const JUNCTION_M: f64 = 80.0;

/// Whether lanes are one taxiway: each can be reached from the first over gaps of no more than [`HANG_M`].
pub(super) fn hang_together(field: &Airfield, lanes: &[usize]) -> bool {
    let mut left: Vec<usize> = lanes.to_vec();
    let mut work: Vec<usize> = left.pop().into_iter().collect();
    while let Some(i) = work.pop() {
        let near = |j: &usize| distance(&field.lanes[i].line, &field.lanes[*j].line) <= HANG_M;
        let (taken, rest) = left.into_iter().partition(near);
        left = rest;
        work.extend::<Vec<usize>>(taken);
    }
    left.is_empty()
}

/// Most pairs of pieces that are held against one another for one question (ours): beyond, the lines are far too many to be
/// those of one taxiway.
const MOST_PAIRS: usize = 4_000_000;

/// Distance of two lines, metres; where their boxes are far enough apart, no less than that of the boxes.
fn distance(a: &[Xy], b: &[Xy]) -> f64 {
    if let (Some((a0, a1)), Some((b0, b1))) = (bounds(a.iter().copied()), bounds(b.iter().copied())) {
        let apart = |lo: f64, hi: f64, low: f64, high: f64| (low - hi).max(lo - high).max(0.0);
        let (dx, dy) = (apart(a0.x, a1.x, b0.x, b1.x), apart(a0.y, a1.y, b0.y, b1.y));
        if dx.hypot(dy) > HANG_M || a.len() * b.len() > MOST_PAIRS {
            return dx.hypot(dy);
        }
    }
    let pairs = a.windows(2).flat_map(|s| b.windows(2).map(move |t| (s, t)));
    pairs
        .map(|(s, t)| between_segments(s[0], s[1], t[0], t[1]).distance_m)
        .fold(f64::INFINITY, f64::min)
}

/// The line of a closed lane along which another lane runs too: then joining keeps one of them, under either name.
pub(super) fn drawn_twice(field: &Airfield, c: &Closure) -> Option<Vec<Xy>> {
    const STEP_M: f64 = 2.0;
    const MOST_STEPS: usize = 400;
    const ALONG: usize = 4;
    let own = field
        .lanes
        .iter()
        .find(|l| c.closed == Closed::Itself && l.id == c.id)?;
    let (lo, hi) = bounds(own.line.iter().copied())?;
    let near = |line: &[Xy]| {
        bounds(line.iter().copied()).is_some_and(|(a, b)| a.x <= hi.x && b.x >= lo.x && a.y <= hi.y && b.y >= lo.y)
    };
    let mut places: Vec<Xy> = Vec::new();
    for w in own.line.windows(2) {
        let steps = (w[0].distance(w[1]) / STEP_M).ceil().max(1.0) as usize;
        places.extend((0..steps).map(|k| w[0].lerp(w[1], k as f64 / steps as f64)));
    }
    let every = places.len() / MOST_STEPS + 1;
    let along = |line: &[Xy]| {
        let on = |p: &&Xy| closest_on_line(**p, line).is_some_and(|(q, _, _)| q.distance(**p) <= 0.5);
        places.iter().step_by(every).filter(on).count() >= ALONG
    };
    let other = field
        .lanes
        .iter()
        .any(|l| l.id != own.id && near(&l.line) && along(&l.line));
    other.then(|| own.line.clone())
}

/// The stretch of the target's taxiway between two things.
pub(super) fn between(field: &Airfield, target: &Target, ends: &[String; 2]) -> Found {
    let name = target.name.as_deref().unwrap_or_default();
    let lanes = lanes_named(field, name);
    let mut places: Vec<Vec<Xy>> = Vec::new();
    for end in ends {
        match meetings(field, &lanes, end) {
            Ok(list) => places.push(list),
            Err(why) => return Found::Nowhere(why),
        }
    }
    let net = Net::new(field, &lanes, &places);
    // The farthest of the places on either side: what lies in a junction is closed with it.
    let ways = net.ways(places[0].len(), places[1].len());
    let Some(way) = ways else {
        return Found::Nowhere(format!(
            "the lanes of taxiway {name} do not lead from {} to {} on this map",
            ends[0], ends[1]
        ));
    };
    let list: Vec<Placed> = way
        .into_iter()
        .map(|(lane, line)| Placed {
            feature: field.lanes[lane].id.clone(),
            called: format!("{} between {} and {}", lane_called(field, lane), ends[0], ends[1]),
            closed: Closed::Stretch(line),
        })
        .collect();
    if list.is_empty() {
        return Found::Nowhere(format!(
            "{} and {} meet taxiway {name} in the same place",
            ends[0], ends[1]
        ));
    }
    Found::On(list)
}

/// Where a thing meets the taxiway.
fn meetings(field: &Airfield, own: &[usize], asked: &str) -> Result<Vec<Xy>, String> {
    let lines = own.iter().map(|i| &field.lanes[*i].line);
    let on_own = |p: Xy, most_m: f64| -> Option<Xy> {
        let near = own.iter().filter_map(|i| closest_on_line(p, &field.lanes[*i].line));
        let best = near.min_by(|a, b| a.0.distance(p).total_cmp(&b.0.distance(p)))?;
        (best.0.distance(p) <= most_m).then_some(best.0)
    };
    let mut list: Vec<Xy> = Vec::new();
    let lanes: Vec<usize> = lanes_named(field, asked)
        .into_iter()
        .filter(|i| !own.contains(i))
        .collect();
    let runways = runways_named(field, asked);
    let (stands, holds) = (stands_named(field, asked), holds_named(field, asked));
    let word = |w: &str| asked.trim().to_lowercase().starts_with(w);
    let what = if word("stand") {
        1
    } else if word("holding") || word("hold ") {
        2
    } else if word("runway") || word("rwy") {
        3
    } else if !lanes.is_empty() {
        0
    } else if !holds.is_empty() {
        2
    } else if !runways.is_empty() {
        3
    } else {
        1
    };
    let others: Vec<&Vec<Xy>> = match what {
        0 => lanes.iter().map(|i| &field.lanes[*i].line).collect(),
        3 => runways.iter().map(|i| &field.runways[*i].line).collect(),
        _ => Vec::new(),
    };
    let pieces = |l: &[&Vec<Xy>]| l.iter().map(|l| l.len()).sum::<usize>();
    let lines: Vec<&Vec<Xy>> = lines.collect();
    if pieces(&lines).saturating_mul(pieces(&others)) > MOST_PAIRS {
        return Err(format!(
            "the lines of the taxiway and of {asked} are too many to look for where they meet"
        ));
    }
    for line in lines {
        for other in &others {
            for s in line.windows(2) {
                for t in other.windows(2) {
                    let c = between_segments(s[0], s[1], t[0], t[1]);
                    if c.distance_m <= MEET_M {
                        list.push(c.on_first);
                    }
                }
            }
        }
    }
    if what == 2 {
        list.extend(
            holds
                .iter()
                .filter_map(|i| on_own(field.holding_positions[*i].at, OFF_M)),
        );
    }
    if what == 1 {
        for i in &stands {
            let ends = [field.stands[*i].line.first(), field.stands[*i].line.last()];
            let near = ends
                .into_iter()
                .flatten()
                .filter_map(|p| on_own(*p, OFF_M).map(|q| (q.distance(*p), q)));
            list.extend(near.min_by(|a, b| a.0.total_cmp(&b.0)).map(|n| n.1));
        }
    }
    if list.is_empty() {
        return Err(format!("nothing called {asked} meets the taxiway on this map"));
    }
    let apart_m = |l: &[Xy]| {
        let all = l.iter().flat_map(|p| l.iter().map(|q| p.distance(*q)));
        all.fold(0.0, f64::max)
    };
    // Of a great many places any two far apart are enough.
    list.sort_by(|a, b| a.x.total_cmp(&b.x).then(a.y.total_cmp(&b.y)));
    list.dedup();
    list.truncate(200);
    if apart_m(&list) > JUNCTION_M {
        return Err(format!(
            "{asked} meets the taxiway in places {:.0} m apart; which of them is meant is not known",
            apart_m(&list)
        ));
    }
    Ok(list)
}

/// A place along a lane: piece, millimetres into it, where, and which end of the stretch it is.
type Along = (usize, u64, Xy, Option<usize>);

/// The lines of the taxiway as a net of places.
struct Net {
    places: Vec<Xy>,
    /// From a place to others: place, millimetres, lane.
    edges: Vec<Vec<(usize, u64, Option<usize>)>>,
    ends: [Vec<usize>; 2],
}

impl Net {
    fn new(field: &Airfield, lanes: &[usize], ends: &[Vec<Xy>]) -> Net {
        let mut net = Net {
            places: Vec::new(),
            edges: Vec::new(),
            ends: [Vec::new(), Vec::new()],
        };
        let mm = |a: Xy, b: Xy| (a.distance(b) * 1000.0).round() as u64;
        let all: Vec<(usize, Xy)> = ends
            .iter()
            .enumerate()
            .flat_map(|(side, list)| list.iter().map(move |p| (side, *p)))
            .collect();
        for lane in lanes {
            let line = &field.lanes[*lane].line;
            // Its corners, and the ends where they lie on it, in order.
            let mut stops: Vec<Along> = line.iter().enumerate().map(|(i, p)| (i, 0, *p, None)).collect();
            for (side, p) in &all {
                if let Some((q, i, _)) = closest_on_line(*p, line)
                    && q.distance(*p) <= 0.01
                {
                    stops.push((i, 1 + mm(line[i], q), q, Some(*side)));
                }
            }
            stops.sort_by_key(|s| (s.0, s.1));
            let mut before: Option<usize> = None;
            for (_, _, p, end) in stops {
                let here = net.places.len();
                net.places.push(p);
                net.edges.push(Vec::new());
                if let Some(side) = end {
                    net.ends[side].push(here);
                }
                if let Some(b) = before {
                    let length = mm(net.places[b], p);
                    net.edges[b].push((here, length, Some(*lane)));
                    net.edges[here].push((b, length, Some(*lane)));
                }
                before = Some(here);
            }
        }
        // Where lanes of the taxiway meet one another.
        let mut by_x: Vec<usize> = (0..net.places.len()).collect();
        by_x.sort_by(|a, b| net.places[*a].x.total_cmp(&net.places[*b].x));
        for (k, a) in by_x.iter().enumerate() {
            for b in &by_x[k + 1..] {
                if net.places[*b].x - net.places[*a].x > MEET_M {
                    break;
                }
                if net.places[*a].distance(net.places[*b]) <= MEET_M {
                    net.edges[*a].push((*b, 0, None));
                    net.edges[*b].push((*a, 0, None));
                }
            }
        }
        net
    }

    /// The longest of the shortest ways from a place of one end to one of the other, lane by lane.
    fn ways(&self, first: usize, second: usize) -> Option<Vec<(usize, Vec<Xy>)>> {
        if first == 0 || second == 0 {
            return None;
        }
        let mut best: Option<(u64, Vec<usize>)> = None;
        for from in &self.ends[0] {
            let (cost, before) = self.from(*from);
            for to in &self.ends[1] {
                let Some(c) = cost[*to] else { continue };
                if best.as_ref().is_none_or(|b| c > b.0) {
                    let (mut way, mut at) = (vec![*to], *to);
                    while let Some(b) = before[at] {
                        way.push(b);
                        at = b;
                    }
                    best = Some((c, way));
                }
            }
        }
        let (_, way) = best?;
        let mut list: Vec<(usize, Vec<Xy>)> = Vec::new();
        for w in way.windows(2) {
            let lane = self.edges[w[0]].iter().filter(|e| e.0 == w[1]).find_map(|e| e.2);
            let Some(lane) = lane else { continue };
            let (a, b) = (self.places[w[0]], self.places[w[1]]);
            if a == b {
                continue;
            }
            match list.last_mut() {
                Some((l, line)) if *l == lane && line.last() == Some(&a) => line.push(b),
                _ => list.push((lane, vec![a, b])),
            }
        }
        Some(list)
    }

    fn from(&self, start: usize) -> (Vec<Option<u64>>, Vec<Option<usize>>) {
        let mut cost: Vec<Option<u64>> = vec![None; self.places.len()];
        let mut before: Vec<Option<usize>> = vec![None; self.places.len()];
        let mut heap = BinaryHeap::from([Reverse((0_u64, start))]);
        cost[start] = Some(0);
        while let Some(Reverse((c, at))) = heap.pop() {
            if cost[at].is_some_and(|known| known < c) {
                continue;
            }
            for (to, length, _) in &self.edges[at] {
                let sum = c + length;
                if cost[*to].is_none_or(|known| sum < known) {
                    cost[*to] = Some(sum);
                    before[*to] = Some(at);
                    heap.push(Reverse((sum, *to)));
                }
            }
        }
        (cost, before)
    }
}
