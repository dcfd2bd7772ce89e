//! From joined lines to the graph: lines are cut wherever something meets, ends or must stop, and doubles fall together.

use super::net::Net;
use super::{Node, Segment, Source};
use crate::notice::Notice;
use crate::notice::NoticeKind::Repair;
use petgraph::graph::{NodeIndex, UnGraph};
use std::collections::hash_map::Entry;
use std::collections::{BTreeMap, HashMap};
use std::hash::{Hash, Hasher};
use toeline_model::Xy;
use toeline_model::airfield::{Surface, Way};
use toeline_model::planar::line_length;

/// The graph with the way back from places to nodes.
pub(super) struct Assembled {
    pub(super) graph: UnGraph<Node, Segment>,
    /// Node of each place, where it has one.
    pub(super) node: Vec<Option<NodeIndex>>,
    /// Place of each node.
    pub(super) vertex: Vec<usize>,
    /// Strands that run over one another, the kept one first: where it begins, and for how many metres in all.
    pub(super) doubled: BTreeMap<(usize, usize), (Xy, f64)>,
}

/// Cuts the lines and builds the graph, in the order of the strands.
pub(super) fn assemble(net: &Net<'_>) -> Assembled {
    let is_node = nodes(net);
    // Equal pieces together, whichever way they run; in order of their first one. The others are few.
    let mut drafts: Vec<(&[usize], usize)> = Vec::new();
    let mut others: BTreeMap<usize, Vec<(&[usize], usize)>> = BTreeMap::new();
    // Looked up, never walked through.
    let mut seen: HashMap<Run<'_>, usize> = HashMap::new();
    for (s, strand) in net.strands.iter().enumerate() {
        cuts(&strand.v, &is_node, &mut |cut| match seen.entry(Run::new(cut)) {
            Entry::Vacant(place) => {
                place.insert(drafts.len());
                drafts.push((cut, s));
            }
            Entry::Occupied(place) => others.entry(*place.get()).or_default().push((cut, s)),
        });
    }
    let mut out = Assembled {
        graph: UnGraph::with_capacity(drafts.len(), drafts.len()),
        node: vec![None; net.place_count()],
        vertex: Vec::with_capacity(drafts.len()),
        doubled: BTreeMap::new(),
    };
    for (number, draft) in drafts.into_iter().enumerate() {
        let (cut, mut segment) = match others.remove(&number) {
            None => (draft.0, segment(net, net.strands[draft.1].source, draft.0)),
            Some(more) => united(net, draft, more, &mut out.doubled),
        };
        let mut node = |v: usize| {
            *out.node[v].get_or_insert_with(|| {
                out.vertex.push(v);
                out.graph.add_node(Node { at: net.at(v) })
            })
        };
        segment.from = node(cut[0]);
        segment.to = node(cut[cut.len() - 1]);
        out.graph.add_edge(segment.from, segment.to, segment);
    }
    out
}

/// A piece as the places it runs through, equal to the same one the other way round.
struct Run<'v> {
    cut: &'v [usize],
    /// Whether it is read from its end: the way that comes first in order.
    turned: bool,
}

impl<'v> Run<'v> {
    fn new(cut: &'v [usize]) -> Run<'v> {
        let turned = cut.iter().rev().lt(cut);
        Run { cut, turned }
    }

    fn places(&self) -> impl Iterator<Item = usize> + 'v {
        let (cut, turned) = (self.cut, self.turned);
        (0..cut.len()).map(move |i| cut[if turned { cut.len() - 1 - i } else { i }])
    }
}

impl PartialEq for Run<'_> {
    fn eq(&self, other: &Self) -> bool {
        self.cut.len() == other.cut.len() && self.places().eq(other.places())
    }
}

impl Eq for Run<'_> {}

impl Hash for Run<'_> {
    fn hash<H: Hasher>(&self, state: &mut H) {
        self.places().for_each(|v| v.hash(state));
    }
}

/// One segment of pieces that run over one another, with the piece that it keeps.
fn united<'v>(
    net: &Net<'_>,
    first: (&'v [usize], usize),
    more: Vec<(&'v [usize], usize)>,
    doubled: &mut BTreeMap<(usize, usize), (Xy, f64)>,
) -> (&'v [usize], Segment) {
    let mut draft = vec![first];
    draft.extend(more);
    // By rank and identity, so that the order in the file decides nothing.
    draft.sort_by_cached_key(|(_, s)| (rank(net.strands[*s].source), net.id(*s), *s));
    let (cut, kept) = draft[0];
    let mut segment = segment(net, net.strands[kept].source, cut);
    for (other, s) in draft.into_iter().skip(1).filter(|(_, s)| *s != kept) {
        let length_m = segment.length_m;
        doubled.entry((kept, s)).or_insert((segment.line[0], 0.0)).1 += length_m;
        let theirs = self::segment(net, net.strands[s].source, other);
        collapse(&mut segment, theirs, other == cut);
    }
    (cut, segment)
}

/// Tells of the lines that run over one another.
pub(super) fn tell_doubled(net: &mut Net<'_>, whole: &Assembled) {
    for ((kept, other), (at, length_m)) in &whole.doubled {
        let both_lanes = rank(net.strands[*kept].source) == rank(net.strands[*other].source);
        let (one, two) = (net.name(*kept), net.name(*other));
        let (text, assumed) = if both_lanes {
            let text =
                format!("{one} and {two} run over one another for {length_m:.1} m; taken as one with both names");
            (text, "one line with both names".to_string())
        } else {
            let text = format!("{two} runs along {one} for {length_m:.1} m; taken as part of {one} there");
            (text, format!("part of {one}"))
        };
        let notice = Notice::new(Repair, net.id(*other), text).with_place(Some(*at));
        net.say(notice.with_size(*length_m).with_assumption(assumed));
    }
}

/// What a piece is when several kinds run over one another: the lowest.
fn rank(source: Source) -> u8 {
    match source {
        Source::Runway(_) => 0,
        Source::Lane(..) => 1,
        Source::Stand(_) => 2,
    }
}

/// A place is a node when a line ends or turns back there, when it must be one, or when it has not exactly two neighbours.
/// Two lines drawn over each other so stay in long pieces.
fn nodes(net: &Net<'_>) -> Vec<bool> {
    const NONE: usize = usize::MAX;
    let mut node = vec![false; net.place_count()];
    // The first two different neighbours of each place; a third one makes it a node.
    let mut neighbours = vec![[NONE; 2]; net.place_count()];
    for strand in &net.strands {
        for w in strand.v.windows(2) {
            for (v, other) in [(w[0], w[1]), (w[1], w[0])] {
                let [one, two] = &mut neighbours[v];
                if *one == NONE || *one == other {
                    *one = other;
                } else if *two == NONE || *two == other {
                    *two = other;
                } else {
                    node[v] = true;
                }
            }
        }
        for end in [strand.v.first(), strand.v.last()].into_iter().flatten() {
            node[*end] = true;
        }
        for w in strand.v.windows(3).filter(|w| w[0] == w[2]) {
            node[w[1]] = true;
        }
    }
    for (v, [one, two]) in neighbours.into_iter().enumerate() {
        node[v] |= one != NONE && two == NONE;
    }
    for v in &net.forced {
        node[*v] = true;
    }
    node
}

/// Gives the pieces of a line between its nodes.
fn cuts<'v>(v: &'v [usize], is_node: &[bool], take: &mut dyn FnMut(&'v [usize])) {
    let mut begin = 0;
    for i in (1..v.len()).filter(|i| is_node[v[*i]]) {
        let cut = &v[begin..=i];
        begin = i;
        if cut[0] != v[i] {
            take(cut);
        } else if cut.len() > 3 {
            // A piece from a node back to itself is cut in the middle, so that no segment begins and ends at one node;
            // the same middle whichever way it was drawn, so that equal loops fall together.
            let turned = cut.iter().rev().lt(cut);
            let half = cut.len() / 2;
            let middle = if turned { cut.len() - 1 - half } else { half };
            for part in [&cut[..=middle], &cut[middle..]] {
                if part[0] != part[part.len() - 1] {
                    take(part);
                }
            }
        }
    }
}

fn segment(net: &Net<'_>, source: Source, cut: &[usize]) -> Segment {
    let line: Vec<Xy> = cut.iter().map(|v| net.at(*v)).collect();
    let mut s = Segment {
        source,
        length_m: line_length(&line),
        line,
        from: NodeIndex::end(),
        to: NodeIndex::end(),
        letters: Vec::new(),
        width_m: None,
        surface: Surface::Unknown,
        way: Way::Both,
        span_limit_m: None,
        speed_limit_mps: None,
        nearest_obstacle_m: None,
        closed: None,
    };
    match source {
        Source::Lane(i, _) => {
            let l = &net.field.lanes[i];
            s.letters.clone_from(&l.letters);
            (s.width_m, s.surface, s.way) = (l.width_m, l.surface, l.way);
            (s.span_limit_m, s.speed_limit_mps) = (l.span_limit_m, l.speed_limit_mps);
            s.closed.clone_from(&l.closed);
        }
        Source::Runway(i) => {
            let r = &net.field.runways[i];
            (s.width_m, s.surface) = (r.width_m, r.surface);
            s.closed.clone_from(&r.closed);
        }
        Source::Stand(i) => {
            let t = &net.field.stands[i];
            (s.width_m, s.span_limit_m) = (t.width_m, t.span_limit_m);
            s.closed.clone_from(&t.closed);
        }
    }
    s
}

/// Two equal pieces become one: a runway stays a runway and a lane a lane, both lend their letters, the stricter limit
/// holds, either sense that one of them permits is permitted, and one that is closed closes both: nothing closed is ever
/// routed on. Only a runway that is given up leaves its pavement to an open lane drawn along it.
fn collapse(kept: &mut Segment, other: Segment, same_sense: bool) {
    if rank(kept.source) != rank(other.source) {
        let given_up = matches!(kept.source, Source::Runway(_)) && kept.closed.is_some();
        if given_up && matches!(other.source, Source::Lane(..)) && other.closed.is_none() {
            let line = std::mem::take(&mut kept.line);
            let way = if same_sense { other.way } else { turned(other.way) };
            *kept = Segment { line, way, ..other };
        }
        // Otherwise they come in the order of rank, so the kept one is the stronger.
        return;
    }
    for letter in other.letters {
        if !kept.letters.iter().any(|l| l.to_lowercase() == letter.to_lowercase()) {
            kept.letters.push(letter);
        }
    }
    let stricter = |a: Option<f64>, b: Option<f64>| match (a, b) {
        (Some(a), Some(b)) => Some(a.min(b)),
        (a, b) => a.or(b),
    };
    kept.width_m = stricter(kept.width_m, other.width_m);
    kept.span_limit_m = stricter(kept.span_limit_m, other.span_limit_m);
    kept.speed_limit_mps = stricter(kept.speed_limit_mps, other.speed_limit_mps);
    if kept.surface == Surface::Unknown {
        kept.surface = other.surface;
    }
    let theirs = if same_sense { other.way } else { turned(other.way) };
    match (&kept.closed, &other.closed) {
        (None, Some(why)) => kept.closed = Some(why.clone()),
        (Some(_), None) => {}
        _ if kept.way != theirs => kept.way = Way::Both,
        _ => {}
    }
}

/// A permitted sense as it is seen from the other end.
fn turned(way: Way) -> Way {
    match way {
        Way::Forward => Way::Backward,
        Way::Backward => Way::Forward,
        Way::Both => Way::Both,
    }
}
