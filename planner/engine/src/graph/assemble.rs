//! From joined lines to the graph: lines are cut wherever something meets, ends or must stop, and doubles fall together.

use super::net::Net;
use super::{Node, Segment, Source};
use crate::notice::Notice;
use crate::notice::NoticeKind::Repair;
use petgraph::graph::{NodeIndex, UnGraph};
use std::collections::BTreeMap;
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
    // Equal pieces under the key of the places they run through, whichever way; in order of their first one.
    let mut drafts: Vec<Vec<(Vec<usize>, usize)>> = Vec::new();
    let mut seen: BTreeMap<Vec<usize>, usize> = BTreeMap::new();
    for (s, strand) in net.strands.iter().enumerate() {
        for cut in cuts(&strand.v, &is_node) {
            let mut key = cut.clone();
            key.reverse();
            if key > cut {
                key.clone_from(&cut);
            }
            let draft = *seen.entry(key).or_insert(drafts.len());
            if draft == drafts.len() {
                drafts.push(Vec::new());
            }
            drafts[draft].push((cut, s));
        }
    }
    let mut out = Assembled {
        graph: UnGraph::default(),
        node: vec![None; net.place_count()],
        vertex: Vec::new(),
        doubled: BTreeMap::new(),
    };
    for mut draft in drafts {
        // By rank and identity, so that the order in the file decides nothing.
        draft.sort_by_cached_key(|(_, s)| (rank(net.strands[*s].source), net.id(*s), *s));
        let (cut, kept) = &draft[0];
        let mut segment = segment(net, net.strands[*kept].source, cut);
        for (other, s) in draft.iter().skip(1) {
            if s != kept {
                let length_m = segment.length_m;
                out.doubled.entry((*kept, *s)).or_insert((segment.line[0], 0.0)).1 += length_m;
                collapse(
                    &mut segment,
                    self::segment(net, net.strands[*s].source, other),
                    other == cut,
                );
            }
        }
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

/// A place is a node when a line ends there, when it must be one, or when it has not exactly two neighbours. Two lines
/// drawn over each other so stay in long pieces.
fn nodes(net: &Net<'_>) -> Vec<bool> {
    let mut node = vec![false; net.place_count()];
    let mut pairs: Vec<(usize, usize)> = Vec::new();
    for strand in &net.strands {
        for w in strand.v.windows(2) {
            pairs.extend([(w[0], w[1]), (w[1], w[0])]);
        }
        for end in [strand.v.first(), strand.v.last()].into_iter().flatten() {
            node[*end] = true;
        }
    }
    pairs.sort_unstable();
    pairs.dedup();
    for neighbours in pairs.chunk_by(|a, b| a.0 == b.0) {
        node[neighbours[0].0] |= neighbours.len() != 2;
    }
    for v in &net.forced {
        node[*v] = true;
    }
    node
}

fn cuts(v: &[usize], is_node: &[bool]) -> Vec<Vec<usize>> {
    let mut list = Vec::new();
    let mut current: Vec<usize> = Vec::new();
    for place in v {
        current.push(*place);
        if is_node[*place] && current.len() > 1 {
            list.push(std::mem::replace(&mut current, vec![*place]));
        }
    }
    // A piece from a node back to itself is cut in the middle, so that no segment begins and ends at one node.
    list.into_iter()
        .flat_map(|cut| {
            if cut.first() == cut.last() && cut.len() > 3 {
                // The same middle whichever way it was drawn, so that equal loops fall together.
                let turned = cut.iter().rev().lt(cut.iter());
                let middle = if turned {
                    cut.len() - 1 - cut.len() / 2
                } else {
                    cut.len() / 2
                };
                vec![cut[..=middle].to_vec(), cut[middle..].to_vec()]
            } else {
                vec![cut]
            }
        })
        .filter(|cut| cut.len() > 1 && cut.first() != cut.last())
        .collect()
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
