//! Lines that cross or touch without a shared place: both are split there, unless they are on different levels.

use super::near::Near;
use super::net::{EXACT_M, Net, SAME_M, Strand};
use super::{Rules, Source};
use crate::notice::{Notice, NoticeKind};
use std::collections::{BTreeMap, BTreeSet};
use toeline_model::Xy;
use toeline_model::planar::{closest_on_segment, crossing};

/// A place of a line touches that same line only this far along it or farther, metres; nearer along, only where it lies on
/// it. Ours: a finely drawn bend has pieces shorter than the tolerance, and only a line that turns back on itself is four
/// times as long as what it spans.
const OWN_WAY_M: f64 = 4.0 * SAME_M;

/// So many meetings of the same two lines are told one by one, and the rest in one sentence. Ours.
const ONE_BY_ONE: usize = 12;

/// Most meetings that are joined, of all lines and rounds. Ours: the largest hubs have some ten thousand, and a million of
/// lines that lie over one another would take minutes.
pub(super) const MEETING_LIMIT: usize = 300_000;

/// Where meetings are looked for, and how near.
pub(super) struct Look<'l> {
    /// By place: whether the pieces at it have moved, and only what meets such pieces is asked for; `None` for all.
    pub(super) bent: Option<&'l [bool]>,
    /// Places nearer than this are one, and a line goes through a place that it passes so near, metres.
    pub(super) reach_m: f64,
}

impl Look<'_> {
    fn place(&self, v: usize) -> bool {
        self.bent.is_none_or(|b| b.get(v) == Some(&true))
    }

    fn piece(&self, [a, b]: [usize; 2]) -> bool {
        self.place(a) || self.place(b)
    }
}

/// What was told already.
#[derive(Default)]
pub(super) struct Told {
    /// Two strands and their place.
    met: BTreeSet<(usize, usize, usize)>,
    /// By two strands: how many places of theirs, the largest distance among those not told one by one, and where it is.
    pairs: BTreeMap<(usize, usize), (usize, f64, usize)>,
}

impl Told {
    /// Whether it is new and to be told by itself.
    fn add(&mut self, s: usize, t: usize, place: usize, size_m: f64) -> bool {
        let pair = (s.min(t), s.max(t));
        if !self.met.insert((pair.0, pair.1, place)) {
            return false;
        }
        let (count, most_m, at) = self.pairs.entry(pair).or_insert((0, -1.0, place));
        *count += 1;
        let alone = *count <= ONE_BY_ONE;
        if !alone && size_m > *most_m {
            (*most_m, *at) = (size_m, place);
        }
        alone
    }

    /// Takes over the numbers that the places have since the last settling.
    fn follow(&mut self, net: &Net<'_>) {
        if self.met.iter().any(|(_, _, v)| net.now(*v) != *v) {
            self.met = self.met.iter().map(|(s, t, v)| (*s, *t, net.now(*v))).collect();
        }
    }

    /// Tells how many meetings of two lines were not told one by one; `how` says what those places are.
    pub(super) fn rest(&self, net: &mut Net<'_>, how: &str) {
        for ((s, t), (count, most_m, at)) in &self.pairs {
            let more = count.saturating_sub(ONE_BY_ONE);
            if more == 0 {
                continue;
            }
            let both = if s == t {
                net.name(*s)
            } else {
                format!("{} and {}", net.name(*s), net.name(*t))
            };
            tell(net, *t, net.now(*at), *most_m, format!("{both}: {more} more {how}"));
        }
    }
}

struct Hit {
    /// Strand and piece.
    one: (usize, usize),
    two: (usize, usize),
    at: Xy,
}

/// Splits every pair of lines that cross. Stand lines are split by lanes and runways but not by one another: two
/// stands that share an apron are not a way from one to the other.
pub(super) fn split(net: &mut Net<'_>, rules: Rules, look: &Look<'_>, told: &mut Told) {
    let mut places = Vec::new();
    let list = hits(net, rules, look);
    net.meetings_left -= list.len();
    for hit in list {
        places.push((hit.one.0, hit.two.0, place(net, &hit, look.reach_m)));
    }
    net.settle_within(look.reach_m);
    told.follow(net);
    for (first, second, place) in places {
        let place = net.now(place);
        if !told.add(first, second, place, 0.0) {
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
                net.name(first.min(second)),
                net.name(first.max(second))
            )
        };
        tell(net, first.max(second), place, 0.0, text);
    }
}

fn tell(net: &mut Net<'_>, strand: usize, place: usize, size_m: f64, text: String) {
    let notice = Notice::new(NoticeKind::Repair, net.id(strand), text).with_place(Some(net.at(place)));
    net.say(notice.with_size(size_m).with_assumption("they meet on the ground"));
}

fn hits(net: &Net<'_>, rules: Rules, look: &Look<'_>) -> Vec<Hit> {
    let ends = |(s, p): (usize, usize)| {
        let v = &net.strands[s].v;
        [v[p], v[p + 1]]
    };
    let tree = net.pieces();
    let runway = |s: usize| matches!(net.strands[s].source, Source::Runway(_));
    let mut list = Vec::new();
    let pieces = |(s, strand): (usize, &Strand)| (1..strand.v.len()).map(move |p| (s, p - 1));
    let all = net.strands.iter().enumerate().flat_map(pieces);
    let mut others: Vec<(usize, usize)> = Vec::new();
    for one in all.filter(|one| look.piece(ends(*one))) {
        let s = &net.strands[one.0];
        let [a, b] = ends(one);
        others.clear();
        tree.meeting(net.at(a), net.at(b), 0.0, |two| {
            // Each pair once. Pieces with a common end meet there already; two straight pieces meet once.
            let first = two > one || !look.piece(ends(two));
            if first && !ends(two).into_iter().any(|v| v == a || v == b) {
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
            if list.len() >= net.meetings_left {
                return list;
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
fn place(net: &mut Net<'_>, hit: &Hit, reach_m: f64) -> usize {
    let ends = |n: &Net<'_>, (s, piece): (usize, usize)| {
        let v = &n.strands[s].v;
        [v[piece], v[piece + 1]]
    };
    let (one, two) = (ends(net, hit.one), ends(net, hit.two));
    let own = |n: &Net<'_>, ends: [usize; 2]| {
        let distance = |v: &usize| n.at(*v).distance(hit.at);
        let near = ends.into_iter().filter(|v| distance(v) <= reach_m);
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
pub(super) fn touch(net: &mut Net<'_>, rules: Rules, look: &Look<'_>, told: &mut Told) {
    let near = Near::new(net, |_, _| true);
    let mut list = Vec::new();
    for (s, i) in touching(net, look) {
        if list.len() >= net.meetings_left {
            break;
        }
        let strand = &net.strands[s];
        let (stand, level, v) = (strand.is_stand(), strand.level, strand.v[i]);
        let p = net.at(v);
        let feet = near.feet_where(net, p, (look.reach_m, EXACT_M), |t, piece| {
            let other = &net.strands[t];
            if other.v[piece] == v || other.v[piece + 1] == v || other.level != level || (stand && other.is_stand()) {
                return false;
            }
            // The line may hold the place elsewhere: a little farther along, or where it passes here again.
            let holds = t == s || net.users(v).binary_search(&t).is_ok();
            !holds || returns(net, v, t, piece)
        });
        for foot in feet {
            let runway = |s: usize| matches!(net.strands[s].source, Source::Runway(_));
            if !(rules.split_crossings || runway(s) || runway(foot.strand)) {
                continue;
            }
            let w = &net.strands[foot.strand].v;
            let (a, b) = (w[foot.piece], w[foot.piece + 1]);
            let end = [a, b].into_iter().find(|e| net.at(*e).distance(p) <= look.reach_m);
            match end {
                Some(end) => net.unite(v.max(end), v.min(end)),
                None => net.put_between(a, b, v),
            }
            list.push((s, foot.strand, v, foot.distance_m));
        }
    }
    net.meetings_left = net.meetings_left.saturating_sub(list.len());
    net.settle_within(look.reach_m);
    told.follow(net);
    for (s, t, place, d) in list {
        let place = net.now(place);
        if told.add(s, t, place, d) {
            let text = format!(
                "{} has a point {d:.2} m from {}, which has none there; joined",
                net.name(s),
                if s == t { "itself".to_string() } else { net.name(t) }
            );
            tell(net, s, place, d, text);
        }
    }
}

/// The places that may touch something where it is looked for, as strand and number along it: those that have moved, and
/// those near a piece that has.
fn touching(net: &Net<'_>, look: &Look<'_>) -> Vec<(usize, usize)> {
    let all = |(s, strand): (usize, &Strand)| (0..strand.v.len()).map(move |i| (s, i));
    let all = net.strands.iter().enumerate().flat_map(all);
    let mut list: Vec<(usize, usize)> = all.filter(|(s, i)| look.place(net.strands[*s].v[*i])).collect();
    if look.bent.is_none() {
        return list;
    }
    let tree = net.pieces();
    for w in net.strands.iter().flat_map(|s| s.v.windows(2)) {
        if look.piece([w[0], w[1]]) {
            tree.meeting(net.at(w[0]), net.at(w[1]), look.reach_m, |(t, piece)| {
                list.extend([(t, piece), (t, piece + 1)]);
            });
        }
    }
    list.sort_unstable();
    list.dedup();
    list
}

/// Whether a line that holds a place comes back to it at a piece, rather than being there still: it lies on the piece, or
/// the way along the line is [`OWN_WAY_M`] or longer.
fn returns(net: &Net<'_>, v: usize, strand: usize, piece: usize) -> bool {
    let s = &net.strands[strand];
    let last = s.v.len() - 1;
    let (a, b) = (net.at(s.v[piece]), net.at(s.v[piece + 1]));
    let foot = closest_on_segment(net.at(v), a, b).0;
    if foot.distance(net.at(v)) <= EXACT_M {
        return true;
    }
    // From the piece on to both sides.
    let still = |ahead: bool| {
        let (mut at, mut i) = (foot, if ahead { piece + 1 } else { piece });
        let mut way_m = 0.0;
        for _ in 0..=last {
            way_m += net.at(s.v[i]).distance(at);
            if way_m >= OWN_WAY_M {
                return false;
            }
            if s.v[i] == v {
                return true;
            }
            at = net.at(s.v[i]);
            i = match (ahead, s.is_loop()) {
                (true, _) if i < last => i + 1,
                (false, _) if i > 0 => i - 1,
                (true, true) => 1,
                (false, true) => last - 1,
                _ => return false,
            };
        }
        false
    };
    !still(true) && !still(false)
}
