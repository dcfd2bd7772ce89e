//! A grid over the apron, flooded: how far each place is from a goal, and the widest way with its narrowest place.

use super::bits::Bit;
use super::ground::Ground;
use std::cmp::Reverse;
use std::collections::{BTreeMap, BinaryHeap};
use toeline_model::Xy;
use toeline_model::frame::xy;

/// Side of a cell, metres (ours).
pub(super) const CELL_M: f64 = 1.0;
/// A metre where the aeroplane's middle has too little room counts as this many: the wings may still pass there, seldom do.
const TIGHT_PRICE: u64 = 4;
/// Half the diagonal of a cell and a little, metres.
const LEAK_M: f64 = 0.75;
/// More room than this beyond what is needed is not told apart, metres.
const AMPLE_M: f64 = 10.0;
/// Slack told for a place that is no pavement, metres: below that of any other place.
const NO_PAVEMENT_M: f64 = -1000.0;
/// How far from the narrowest place its other side is looked for, metres.
const OTHER_SIDE_M: f64 = 40.0;

pub(super) type Cell = (i64, i64);

pub(super) fn cell_of(p: Xy) -> Cell {
    ((p.x / CELL_M).floor() as i64, (p.y / CELL_M).floor() as i64)
}

pub(super) fn middle(c: Cell) -> Xy {
    xy((c.0 as f64 + 0.5) * CELL_M, (c.1 as f64 + 0.5) * CELL_M)
}

fn neighbours(c: Cell) -> impl Iterator<Item = (Cell, u64)> {
    // Millimetres of a cell of one metre.
    const ALL: [(i64, i64, u64); 8] = [
        (1, 0, 1000),
        (-1, 0, 1000),
        (0, 1, 1000),
        (0, -1, 1000),
        (1, 1, 1414),
        (1, -1, 1414),
        (-1, 1, 1414),
        (-1, -1, 1414),
    ];
    ALL.into_iter().map(move |(x, y, mm)| ((c.0 + x, c.1 + y), mm))
}

/// Millimetres from each cell of pavement to the nearest goal, as the nose wheel could roll, until the start and all that
/// is not much farther is known.
pub(super) fn distances(ground: &Ground, goals: &[Xy], start: Xy, window_m: f64) -> BTreeMap<Cell, u64> {
    let mut best: BTreeMap<Cell, u64> = BTreeMap::new();
    let mut heap = BinaryHeap::new();
    for g in goals {
        heap.push(Reverse((0_u64, cell_of(*g))));
    }
    let (home, mut limit) = (cell_of(start), u64::MAX);
    while let Some(Reverse((mm, c))) = heap.pop() {
        if mm > limit {
            break;
        }
        if best.contains_key(&c) {
            continue;
        }
        best.insert(c, mm);
        if c == home {
            limit = mm + mm / 2 + 60_000;
        }
        for (n, step) in neighbours(c) {
            let p = middle(n);
            let inside = (p.x - start.x).abs() <= window_m && (p.y - start.y).abs() <= window_m;
            // A fence is thinner than a cell: what comes this near to a thing is shut, so that no way leaks through it.
            let shut = n != home && (!ground.carries(p) || ground.away_m(p, LEAK_M) < LEAK_M);
            if !inside || best.contains_key(&n) || shut {
                continue;
            }
            let tight = ground.slack(p, 0.0).0 < 0.0;
            heap.push(Reverse((mm + step * if tight { TIGHT_PRICE } else { 1 }, n)));
        }
    }
    best
}

/// The narrowest place of the widest way.
#[derive(Clone, Debug, PartialEq)]
pub struct Narrow {
    /// Where, local metres.
    pub at: Xy,
    /// The thing on one side, an index in the ground's things; `None` where pavement is lacking.
    pub one: Option<usize>,
    /// The thing on the other side; `None` when there is none within reach.
    pub other: Option<usize>,
    /// Width between the two, metres.
    pub width_m: Option<f64>,
    /// Width needed, margins included, metres.
    pub needed_m: f64,
    /// Room beyond what is needed at the place, metres; negative where it is too narrow.
    pub slack_m: f64,
}

/// Where pavement that the wheels can roll over from the start comes nearest to a goal that it does not reach: the place at
/// its edge, the goal's index, and the distance to a cell, metres.
pub(super) fn nearest_edge(ground: &Ground, goals: &[Xy], start: Xy, window_m: f64) -> Option<(Xy, usize, f64)> {
    let home = cell_of(start);
    let mut seen = std::collections::BTreeSet::from([home]);
    let mut open = vec![home];
    let mut edge: Vec<Cell> = Vec::new();
    while let Some(c) = open.pop() {
        let mut whole = true;
        for (n, _) in neighbours(c) {
            let p = middle(n);
            let inside = (p.x - start.x).abs() <= window_m && (p.y - start.y).abs() <= window_m;
            if !inside || !ground.carries(p) {
                whole = false;
            } else if seen.insert(n) {
                open.push(n);
            }
        }
        if !whole {
            edge.push(c);
        }
    }
    edge.sort_unstable();
    let all = edge.iter().flat_map(|c| (0..goals.len()).map(move |g| (*c, g)));
    let mm = |(c, g): &(Cell, usize)| (middle(*c).distance(goals[*g]) * 1000.0).round() as u64;
    let (cell, goal) = all.min_by_key(|pair| (mm(pair), pair.1, pair.0))?;
    let at = middle(cell);
    Some((at, goal, at.distance(goals[goal])))
}

/// Floods from the start by the widest way until a goal is met. `None` when no goal is met in the window.
pub(super) fn narrowest(ground: &Ground, goals: &[Xy], start: Xy, window_m: f64) -> Option<Narrow> {
    let ends: std::collections::BTreeSet<Cell> = goals.iter().map(|g| cell_of(*g)).collect();
    let home = cell_of(start);
    // Whole millimetres, so that equal ones tie; of equal widths the shorter way first.
    let width = |c: Cell| {
        let p = middle(c);
        let slack = ground.slack(p, AMPLE_M).0;
        let slack = if ground.carries(p) || c == home {
            slack
        } else {
            NO_PAVEMENT_M
        };
        (slack * 1000.0).round() as i64
    };
    let mut seen: BTreeMap<Cell, Cell> = BTreeMap::new();
    let mut heap = BinaryHeap::new();
    heap.push((i64::MAX, Reverse(0_u64), home, home));
    while let Some((least, Reverse(mm), c, from)) = heap.pop() {
        if seen.contains_key(&c) {
            continue;
        }
        seen.insert(c, from);
        if ends.contains(&c) {
            let mut way = vec![c];
            let mut here = c;
            while seen[&here] != here {
                here = seen[&here];
                way.push(here);
            }
            // The start itself is told by clearance; the way is what is asked for.
            let at = way
                .into_iter()
                .filter(|c| *c != home)
                .min_by_key(|c| width(*c))
                .unwrap_or(home);
            return Some(tell(ground, at));
        }
        for (n, step) in neighbours(c) {
            let p = middle(n);
            let inside = (p.x - start.x).abs() <= window_m && (p.y - start.y).abs() <= window_m;
            if inside && !seen.contains_key(&n) {
                heap.push((least.min(width(n)), Reverse(mm + step), n, c));
            }
        }
    }
    None
}

/// What lies on both sides of a place.
fn tell(ground: &Ground, cell: Cell) -> Narrow {
    let at = middle(cell);
    let (slack_m, least) = ground.slack(at, AMPLE_M);
    let mut told = Narrow {
        at,
        one: None,
        other: None,
        width_m: None,
        needed_m: 0.0,
        slack_m,
    };
    if !ground.carries(at) {
        told.slack_m = NO_PAVEMENT_M;
        return told;
    }
    let Some((one, _)) = least else { return told };
    let need = |t: usize| ground.things[t].half_m + ground.things[t].margin_m;
    let near = ground.near(at, OTHER_SIDE_M);
    let foot = |bit: &Bit| bit.nearest(at) - at;
    let mine = near.iter().filter(|(t, _)| *t == one).map(|(_, b)| foot(b));
    let Some(toward) = mine.min_by(|a, b| a.norm().total_cmp(&b.norm())) else {
        return told;
    };
    told.one = Some(one);
    told.needed_m = 2.0 * need(one);
    // The other side: what lies nearest, less what it needs, the other way.
    let opposite = near.iter().filter(|(_, b)| foot(b).dot(toward) < 0.0);
    let spare = |(t, b): &&(usize, Bit)| foot(b).norm() - need(*t);
    let Some((other, bit)) = opposite.min_by(|a, b| spare(a).total_cmp(&spare(b))) else {
        return told;
    };
    told.other = Some(*other);
    told.needed_m = need(one) + need(*other);
    let through = toward.norm() + foot(bit).norm();
    // Two things: the least gap between what is near of them. One thing with two sides: across the place.
    let here = |t: usize| {
        near.iter()
            .filter(move |(n, b)| *n == t && b.nearest(at).distance(at) <= through)
            .map(|(_, b)| b)
    };
    let between = here(one)
        .flat_map(|a| here(*other).map(move |b| a.gap_m(b)))
        .fold(f64::INFINITY, f64::min);
    told.width_m = Some(if one == *other { through } else { between.min(through) });
    told
}
