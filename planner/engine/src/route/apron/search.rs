//! The search in position and heading: straights and arcs of one radius from where the aeroplane stands, each laid as a
//! piece of a driven path so that the heading follows by the tractrix, with Dubins ways to the goals tried on the way.
//!
//! What is found is found, not proven shortest: places are told apart by cells of a metre and fifteen degrees, and the
//! estimate counts tight places dearer than they are.

use super::super::dubins;
use super::flood::{self, Cell};
use super::ground::Ground;
use super::shorten;
use std::cmp::Reverse;
use std::collections::{BTreeMap, BTreeSet, BinaryHeap};
use toeline_model::path::Pose;
use toeline_model::units::DEG;
use toeline_model::{DrivenPath, Xy, Yaw};

/// Directions told apart (ours).
const DIRECTIONS: f64 = 24.0;
/// Shortest step of the search, metres (ours).
const LEAST_STEP_M: f64 = 1.5;
/// A change between left, straight and right costs as much as this way, metres (ours): fewer turns are easier to steer.
const CHANGE_M: f64 = 0.5;
/// How many goals are tried from a place by Dubins ways, and how many ways to each (ours).
const GOALS_TRIED: usize = 6;
const WORDS_TRIED: usize = 2;
/// From the start itself many more are tried.
const GOALS_TRIED_FIRST: usize = 120;
/// Dubins ways are tried from every so many places (ours).
const TRY_EVERY: usize = 8;
/// Places looked at before the search gives up (ours).
pub const MOST_PLACES: usize = 10_000;
/// How much more the estimate counts than the way gone (ours): the search goes ahead where the grid leads, and what it finds
/// may be that much longer before it is shortened.
const AHEAD_WEIGHT: f64 = 1.3;
/// Places looked at after the first way was found, for other goals and better ones: a share of those before, and a number.
const MORE_SHARE: usize = 4;
const MORE_PLACES: usize = 300;

/// A place to arrive at, in a direction.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Goal {
    /// Where the nose wheel arrives.
    pub at: Xy,
    /// In which direction.
    pub direction: Yaw,
    /// Goals of one key are one to the caller: only the best of them is kept.
    pub key: usize,
    /// Added to the length of a way that ends here, metres.
    pub extra_m: f64,
}

/// A way found.
#[derive(Clone, Debug, PartialEq)]
pub struct Found {
    /// From the start to the goal.
    pub path: DrivenPath,
    /// Index of the goal.
    pub goal: usize,
    /// Length and the goal's extra, metres.
    pub price_m: f64,
}

/// One piece of way: left, right or straight, and how far.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Move {
    /// 1 left, -1 right, 0 straight.
    pub(crate) turn: i8,
    pub(crate) length_m: f64,
}

/// Adds a move to a path that goes on in a direction; gives the direction after it.
pub(super) fn lay(path: &mut DrivenPath, direction: Yaw, m: Move, radius_m: f64) -> Yaw {
    if m.turn == 0 {
        path.straight(direction, m.length_m, 0);
        return direction;
    }
    let left = f64::from(m.turn) * m.length_m / radius_m;
    path.arc(direction, radius_m, left, 0);
    direction.turned(left)
}

struct Place {
    pose: Pose,
    direction: Yaw,
    way_m: f64,
    before: usize,
    by: Move,
}

fn bin(p: Xy, direction: Yaw) -> (Cell, i64) {
    let turn = direction.rad().rem_euclid(core::f64::consts::TAU) / core::f64::consts::TAU;
    (
        flood::cell_of(p),
        (turn * DIRECTIONS).round() as i64 % DIRECTIONS as i64,
    )
}

fn mm(metres: f64) -> u64 {
    (metres.max(0.0) * 1000.0).round() as u64
}

/// Searches for ways from a pose to the goals, the best to each key, cheapest first; empty when none is found.
pub fn search(ground: &Ground, start: &Pose, goals: &[Goal], radius_m: f64, window_m: f64) -> Vec<Found> {
    let nothing = Move { turn: 0, length_m: 0.0 };
    let ends: Vec<Xy> = goals.iter().map(|g| g.at).collect();
    let far = flood::distances(ground, &ends, start.nose, window_m);
    let ahead = |p: Xy| far.get(&flood::cell_of(p)).map(|mm| *mm as f64 / 1000.0);
    let mut found: BTreeMap<usize, Found> = BTreeMap::new();
    if !ground.fits(start) || ahead(start.nose).is_none() {
        return Vec::new();
    }
    let mut places = vec![Place {
        pose: *start,
        direction: start.heading_rad,
        way_m: 0.0,
        before: 0,
        by: nothing,
    }];
    let mut open = BinaryHeap::from([Reverse((mm(ahead(start.nose).unwrap_or(0.0)), 0_usize))]);
    let mut shut: BTreeSet<(Cell, i64)> = BTreeSet::new();
    let mut looked = 0;
    let step_m = (radius_m * 15.0 * DEG).max(LEAST_STEP_M);
    let d = ground.wheelbase_m();
    let mut enough = MOST_PLACES;
    while let Some(Reverse((_, k))) = open.pop() {
        if looked >= enough {
            break;
        }
        let (pose, direction, way_m, last) = (places[k].pose, places[k].direction, places[k].way_m, places[k].by);
        if !shut.insert(bin(pose.nose, direction)) {
            continue;
        }
        if looked % TRY_EVERY == 0 {
            shoot(ground, start, &places, k, goals, radius_m, looked == 0, &mut found);
        }
        looked += 1;
        if enough == MOST_PLACES && !found.is_empty() {
            enough = (looked + looked / MORE_SHARE + MORE_PLACES).min(MOST_PLACES - 1);
        }
        for turn in [0, 1, -1] {
            let by = Move { turn, length_m: step_m };
            let mut piece = DrivenPath::new(d, pose);
            let after = lay(&mut piece, direction, by, radius_m);
            let end = piece.end();
            let Some(left_m) = ahead(end.nose) else { continue };
            if shut.contains(&bin(end.nose, after)) || !ground.path_fits(&piece, 0.0) {
                continue;
            }
            let change = if k > 0 && last.turn != turn { CHANGE_M } else { 0.0 };
            let way_m = way_m + step_m + change;
            open.push(Reverse((mm(way_m + AHEAD_WEIGHT * left_m), places.len())));
            places.push(Place {
                pose: end,
                direction: after,
                way_m,
                before: k,
                by,
            });
        }
    }
    let mut list: Vec<Found> = found.into_values().collect();
    list.sort_by(|a, b| mm(a.price_m).cmp(&mm(b.price_m)).then(a.goal.cmp(&b.goal)));
    list
}

/// The moves that lead to a place.
fn moves_to(places: &[Place], mut k: usize) -> Vec<Move> {
    let mut list = Vec::new();
    while k > 0 {
        list.push(places[k].by);
        k = places[k].before;
    }
    list.reverse();
    list
}

/// Tries Dubins ways from a place to the goals, and keeps what fits and is better.
#[allow(clippy::too_many_arguments)] // the state of one search
fn shoot(
    ground: &Ground,
    start: &Pose,
    places: &[Place],
    k: usize,
    goals: &[Goal],
    radius_m: f64,
    first: bool,
    found: &mut BTreeMap<usize, Found>,
) {
    let place = &places[k];
    let from = place.pose.nose;
    let mut ways: Vec<(u64, usize, dubins::Word)> = Vec::new();
    let most = if first { GOALS_TRIED_FIRST } else { GOALS_TRIED };
    let mut near: Vec<(u64, usize)> = goals
        .iter()
        .enumerate()
        .map(|(i, g)| (mm(g.at.distance(from)), i))
        .collect();
    near.sort_unstable();
    for i in near.into_iter().take(2 * most).map(|n| n.1) {
        let g = &goals[i];
        let words = dubins::words(from, place.direction, g.at, g.direction, radius_m);
        for w in words.into_iter().take(WORDS_TRIED) {
            ways.push((mm(w.length_m() + g.extra_m), i, w));
        }
    }
    ways.sort_by_key(|w| (w.0, w.1));
    let mut seen: BTreeSet<usize> = BTreeSet::new();
    let mut moves = moves_to(places, k);
    for (_, i, word) in ways.into_iter().take(most * WORDS_TRIED) {
        if !seen.contains(&i) && seen.len() >= most {
            continue;
        }
        seen.insert(i);
        let g = &goals[i];
        let rough = place.way_m + word.length_m() + g.extra_m;
        if found.get(&g.key).is_some_and(|f| f.price_m <= rough + 1e-9) {
            continue;
        }
        let mut last = DrivenPath::new(ground.wheelbase_m(), place.pose);
        word.append(&mut last, place.direction, 0);
        if !ground.path_fits(&last, 0.0) {
            continue;
        }
        let n = moves.len();
        moves.extend(word.moves());
        let path = shorten::shorten(ground, start, &moves, radius_m);
        moves.truncate(n);
        let price_m = path.length_m() + g.extra_m;
        if found.get(&g.key).is_none_or(|f| price_m < f.price_m) {
            found.insert(g.key, Found { path, goal: i, price_m });
        }
    }
}
