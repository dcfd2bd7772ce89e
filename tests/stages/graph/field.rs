//! A small field with its graph, and what can be asked of both.

use petgraph::graph::NodeIndex;
use petgraph::visit::EdgeRef;
pub(super) use serde_json::json;
use std::collections::BTreeSet;
pub(super) use toeline_engine::graph::{self, Segment, Source, TaxiGraph};
pub(super) use toeline_engine::notice::{Notice, NoticeKind};
pub(super) use toeline_engine::read;
use toeline_model::planar::closest_on_line;
pub(super) use toeline_model::{Airfield, Xy};
pub(super) use toeline_tests::meetings;
pub(super) use toeline_tests::sketch::Sketch;

pub(super) struct Built {
    pub(super) field: Airfield,
    pub(super) graph: TaxiGraph,
    pub(super) notices: Vec<Notice>,
    /// Doubts about ends that meet nothing, apart from the others: on a small field nearly every lane has one.
    pub(super) free_ends: Vec<Notice>,
    pub(super) sketch: Sketch,
}

pub(super) fn build(sketch: Sketch) -> Built {
    let field = read::read(&sketch.text()).unwrap_or_else(|e| panic!("{e}")).field;
    built(field, sketch)
}

/// A real field, when the open data is there.
pub(super) fn real(file: &str) -> Option<Built> {
    let path = toeline_tests::open_data(&format!("airfields/{file}"))?;
    let field = read::read(&std::fs::read_to_string(path).unwrap())
        .unwrap_or_else(|e| panic!("{file}: {e}"))
        .field;
    Some(built(field, Sketch::default()))
}

pub(super) fn built(field: Airfield, sketch: Sketch) -> Built {
    let (graph, notices) = graph::build(&field);
    let free = |n: &Notice| n.text.contains("meets nothing") || n.text.contains("shows no runway");
    let (free_ends, notices) = notices.into_iter().partition(free);
    let b = Built {
        field,
        graph,
        notices,
        free_ends,
        sketch,
    };
    sound(&b);
    b
}

/// What holds for every graph.
pub(super) fn sound(b: &Built) {
    for s in b.graph.graph.edge_weights() {
        assert!(s.line.len() >= 2 && s.length_m > 0.0);
        assert_ne!(s.from, s.to, "no segment begins and ends at one node");
        assert_eq!(s.line[0], b.graph.at(s.from));
        assert_eq!(*s.line.last().unwrap(), b.graph.at(s.to));
        let length_m: f64 = s.line.windows(2).map(|w| w[0].distance(w[1])).sum();
        assert!((length_m - s.length_m).abs() < 1e-9);
    }
    for e in b.graph.graph.edge_indices() {
        let s = b.graph.segment(e);
        assert_eq!(b.graph.graph.edge_endpoints(e), Some((s.from, s.to)));
    }
    assert_eq!(meetings::unjoined(&b.field, &b.graph), Vec::<String>::new());
}

impl Built {
    pub(super) fn place(&self, at: [f64; 2]) -> Xy {
        self.sketch.in_field(self.field.origin, at)
    }

    /// The node at a place of the sketch, within 3 cm: a line of 1 km that is straight in longitude and latitude lies 2 cm
    /// beside the chord here.
    pub(super) fn node(&self, at: [f64; 2]) -> NodeIndex {
        self.try_node(at).unwrap_or_else(|| panic!("no node at {at:?}"))
    }

    pub(super) fn try_node(&self, at: [f64; 2]) -> Option<NodeIndex> {
        let p = self.place(at);
        self.graph
            .graph
            .node_indices()
            .find(|n| self.graph.at(*n).distance(p) < 0.03)
    }

    pub(super) fn degree(&self, at: [f64; 2]) -> usize {
        self.graph.graph.edges(self.node(at)).count()
    }

    pub(super) fn pieces(&self) -> usize {
        let mut left: BTreeSet<NodeIndex> = self.graph.graph.node_indices().collect();
        let mut count = 0;
        while let Some(start) = left.pop_first() {
            count += 1;
            let mut open = vec![start];
            while let Some(n) = open.pop() {
                for e in self.graph.graph.edges(n) {
                    if left.remove(&e.target()) {
                        open.push(e.target());
                    }
                }
            }
        }
        count
    }

    pub(super) fn of(&self, id: &str) -> Vec<&Segment> {
        self.graph
            .graph
            .edge_weights()
            .filter(|s| match s.source {
                Source::Lane(i, _) => self.field.lanes[i].id == id,
                Source::Runway(i) => self.field.runways[i].id == id,
                Source::Stand(i) => self.field.stands[i].id == id,
            })
            .collect()
    }

    pub(super) fn told(&self, kind: NoticeKind, feature: &str, words: &str) -> &Notice {
        self.notices
            .iter()
            .find(|n| n.kind == kind && n.feature == feature && n.text.contains(words))
            .unwrap_or_else(|| panic!("no {kind:?} about {feature} with \"{words}\" in {:#?}", self.notices))
    }

    /// How many notices of a kind hold some words.
    pub(super) fn count(&self, kind: NoticeKind, words: &str) -> usize {
        let all = self.notices.iter().chain(&self.free_ends);
        all.filter(|n| n.kind == kind && n.text.contains(words)).count()
    }

    pub(super) fn silent(&self) {
        assert_eq!(self.notices, []);
    }

    pub(super) fn off_runway(&self, i: usize, n: NodeIndex) -> f64 {
        closest_on_line(self.graph.at(n), &self.field.runways[i].line)
            .unwrap()
            .0
            .distance(self.graph.at(n))
    }
}

pub(super) const EAST: &[[f64; 2]] = &[[0.0, 0.0], [100.0, 0.0]];

pub(super) fn stand(s: Sketch, id: &str, points: &[[f64; 2]]) -> Sketch {
    s.line(id, points, json!({ "aeroway": "parking_position", "ref": id }))
}

pub(super) fn hold(s: Sketch, id: &str, at: [f64; 2], kind: &str) -> Sketch {
    s.point(
        id,
        at,
        json!({ "aeroway": "holding_position", "ref": id, "holding_position:type": kind }),
    )
}

/// A 980 m runway along the x axis, a parallel taxiway A 100 m south of it, and B between them at x = 0.
pub(super) fn strip() -> Sketch {
    Sketch::default()
        .runway("r", "09/27", &[[-490.0, 0.0], [0.0, 0.0], [490.0, 0.0]])
        .taxiway("a", "A", &[[-300.0, -100.0], [0.0, -100.0], [300.0, -100.0]])
        .taxiway("b", "B", &[[0.0, -100.0], [0.0, 0.0]])
}
