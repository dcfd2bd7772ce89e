//! Doing all asked repairs of the lines at once: places fall together, lines take places in, lines grow at an end.

use super::net::Net;
use crate::notice::{Notice, NoticeKind};
use petgraph::unionfind::UnionFind;
use std::collections::{BTreeMap, BTreeSet};
use toeline_model::Xy;
use toeline_model::planar::{bounds, closest_on_segment};

/// Places that fall together spread over less than this, metres. Ours: each step is within
/// [`SNAP_M`](super::SNAP_M), and a chain of steps must not swallow a lane.
const CLUSTER_M: f64 = 1.5;

/// A place put into a line nearer to it than this leaves the line as it is, metres: what sums round differently by. Ours.
const STRAIGHT_M: f64 = 1e-9;

/// Repairs that are asked for and not yet done, by place numbers.
#[derive(Default)]
pub(super) struct Asked {
    /// Places to be put between two neighbouring ones, the lower number first.
    pub(super) cuts: BTreeMap<(usize, usize), Vec<usize>>,
    /// Places that become one: the one that goes, the one that stays.
    pub(super) same: Vec<(usize, usize)>,
    /// Strands that get a place more, at the start (true) or the end.
    pub(super) longer: Vec<(usize, bool, usize)>,
}

/// Does all that was asked for. Afterwards [`Net::now`] tells what became of a place.
pub(super) fn settle(net: &mut Net<'_>, reach_m: f64) {
    let mut asked = std::mem::take(&mut net.asked);
    if asked.cuts.is_empty() && asked.same.is_empty() && asked.longer.is_empty() && !net.grown {
        // Nothing moves.
        if net.forced.iter().any(|v| net.became[*v] != *v) {
            net.forced = net.forced.iter().map(|v| net.became[*v]).collect();
        }
        return;
    }
    for ((a, b), list) in &mut asked.cuts {
        let (pa, along) = (net.at(*a), net.at(*b) - net.at(*a));
        let run = |v: &usize| (net.at(*v) - pa).dot(along);
        list.sort_by(|p, q| run(p).total_cmp(&run(q)).then(p.cmp(q)));
        list.dedup();
        // Two places opened side by side on one piece are one.
        let near = list
            .windows(2)
            .filter(|w| net.at(w[0]).distance(net.at(w[1])) <= reach_m);
        asked.same.extend(near.map(|w| (w[1], w[0])));
    }
    join(net, &asked.same);
    let became = std::mem::take(&mut net.became);
    // By place: whether it is the lower end of a piece that takes places in. Most are not.
    let mut cut = vec![false; net.places.len()];
    for (a, _) in asked.cuts.keys() {
        cut[*a] = true;
    }
    let places = &net.places;
    for strand in &mut net.strands {
        let lower = |w: &[usize]| cut[w[0].min(w[1])];
        if !strand.v.windows(2).any(lower) {
            strand.v.iter_mut().for_each(|p| *p = became[*p]);
            strand.v.dedup();
            continue;
        }
        let mut v = Vec::with_capacity(strand.v.len());
        for (i, place) in strand.v.iter().enumerate() {
            v.push(*place);
            let Some(next) = strand.v.get(i + 1) else { continue };
            if let Some(list) = asked.cuts.get(&(*place.min(next), *place.max(next))) {
                let (a, b) = (places[*place], places[*next]);
                for v in list {
                    let off_m = closest_on_segment(places[*v], a, b).0.distance(places[*v]);
                    net.bent[became[*v]] |= off_m > STRAIGHT_M;
                }
                if place < next {
                    v.extend(list);
                } else {
                    v.extend(list.iter().rev());
                }
            }
        }
        v.iter_mut().for_each(|p| *p = became[*p]);
        v.dedup();
        strand.v = v;
    }
    for (s, at_start, place) in asked.longer {
        let (v, place) = (&mut net.strands[s].v, became[place]);
        let end = if at_start { v.first() } else { v.last() };
        if end != Some(&place) {
            v.insert(if at_start { 0 } else { v.len() }, place);
            net.bent[place] = true;
        }
    }
    net.forced = net.forced.iter().map(|v| became[*v]).collect();
    net.became = became;
    net.changed();
}

/// Groups of places that are to be one, with the box around each by its head.
struct Groups {
    sets: UnionFind<usize>,
    spread: BTreeMap<usize, (Xy, Xy)>,
}

impl Groups {
    /// Puts the groups of two places together, unless they would spread too wide.
    fn put(&mut self, net: &Net<'_>, a: usize, b: usize) -> bool {
        let (a, b) = (self.sets.find_mut(a), self.sets.find_mut(b));
        if a == b {
            return true;
        }
        let own = |g: &Groups, v: usize| g.spread.get(&v).copied().unwrap_or_else(|| spread(net, v));
        let ((lo_a, hi_a), (lo_b, hi_b)) = (own(self, a), own(self, b));
        let Some((lo, hi)) = bounds([lo_a, hi_a, lo_b, hi_b]) else {
            return true;
        };
        if lo.distance(hi) > CLUSTER_M {
            return false;
        }
        self.sets.union(a, b);
        self.spread.insert(self.sets.find_mut(a), (lo, hi));
        true
    }
}

/// How wide the places spread that became a place at earlier settlings.
fn spread(net: &Net<'_>, v: usize) -> (Xy, Xy) {
    net.spread.get(&v).copied().unwrap_or((net.at(v), net.at(v)))
}

/// Unites places. Of a group the one stays that is asked to go nowhere; of several, the westernmost, then southernmost.
fn join(net: &mut Net<'_>, same: &[(usize, usize)]) {
    if same.is_empty() {
        return;
    }
    // Nearest pairs first, so that a chain that must break breaks where it is widest.
    let mut pairs: Vec<(f64, usize, usize)> = same
        .iter()
        .map(|(gone, kept)| (net.at(*gone).distance(net.at(*kept)), *gone, *kept))
        .collect();
    pairs.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)).then(a.2.cmp(&b.2)));
    let mut groups = Groups {
        sets: UnionFind::new(net.place_count()),
        spread: BTreeMap::new(),
    };
    let mut going = BTreeSet::new();
    let mut refused: Vec<(f64, usize)> = Vec::new();
    for (d, gone, kept) in pairs {
        if groups.put(net, gone, kept) {
            going.insert(gone);
        } else if net.refused.insert((gone.min(kept), gone.max(kept))) {
            refused.push((d, gone));
        }
    }
    let mut members: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
    let touched: BTreeSet<usize> = same.iter().flat_map(|(a, b)| [*a, *b]).collect();
    for v in touched {
        members.entry(groups.sets.find_mut(v)).or_default().push(v);
    }
    for list in members.into_values() {
        let place = |v: &usize| net.at(*v);
        let stays = list.iter().copied().min_by(|a, b| {
            let (p, q) = (place(a), place(b));
            (going.contains(a).cmp(&going.contains(b)))
                .then(p.x.total_cmp(&q.x))
                .then(p.y.total_cmp(&q.y))
                .then(a.cmp(b))
        });
        let (Some(stays), true) = (stays, list.len() > 1) else {
            continue;
        };
        let corners = list.iter().flat_map(|v| {
            let (lo, hi) = spread(net, *v);
            [lo, hi]
        });
        if let Some(wide) = bounds(corners) {
            net.spread.insert(stays, wide);
        }
        for v in list {
            net.bent[stays] |= net.bent[v] || net.at(v) != net.at(stays);
            net.became[v] = stays;
        }
    }
    // Places of earlier settlings follow.
    for v in 0..net.became.len() {
        net.became[v] = net.became[net.became[v]];
    }
    for (d, gone) in refused {
        let Some(strand) = net.users(gone).first().copied() else {
            continue;
        };
        let text = format!(
            "points of {} follow one another so closely that joining them would swallow {CLUSTER_M} m of it; not joined",
            net.name(strand)
        );
        let notice = Notice::new(NoticeKind::Doubt, net.id(strand), text);
        net.say(notice.with_place(Some(net.at(gone))).with_size(d));
    }
}
