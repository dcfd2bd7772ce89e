//! Meetings that a graph has no node for, found by other means than the noder's: every straight piece of every segment against
//! every other one whose box it meets.

use std::collections::HashMap;
use toeline_engine::graph::{Source, TaxiGraph};
use toeline_model::planar::{closest_on_segment, crossing};
use toeline_model::{Airfield, Xy};

/// Nearer than this is at one place, metres: what two programs' sums may differ by.
const SAME_M: f64 = 1e-6;

struct Piece {
    ends: [Xy; 2],
    segment: usize,
    level: i32,
    stand: bool,
}

impl Piece {
    /// Whether the two may meet at all: lines on different levels do not, and stands are no way to one another.
    fn may_meet(&self, other: &Piece) -> bool {
        self.level == other.level && !(self.stand && other.stand)
    }

    fn low(&self) -> Xy {
        let [a, b] = self.ends;
        Xy {
            x: a.x.min(b.x),
            y: a.y.min(b.y),
        }
    }

    fn high(&self) -> Xy {
        let [a, b] = self.ends;
        Xy {
            x: a.x.max(b.x),
            y: a.y.max(b.y),
        }
    }

    fn has_end(&self, p: Xy) -> bool {
        self.ends.iter().any(|e| e.distance(p) <= SAME_M)
    }

    /// Where the two meet away from an end that both have.
    fn meets(&self, other: &Piece) -> Option<Xy> {
        let ([a, b], [c, d]) = (self.ends, other.ends);
        let lies = |p: Xy, on: &Piece| {
            let near = closest_on_segment(p, on.ends[0], on.ends[1]).0.distance(p) <= SAME_M;
            near && !on.has_end(p)
        };
        let touch = [a, b].into_iter().find(|p| lies(*p, other));
        let touch = touch.or_else(|| [c, d].into_iter().find(|p| lies(*p, self)));
        if touch.is_some() {
            return touch;
        }
        match self.ends.iter().filter(|p| other.has_end(**p)).count() {
            0 => crossing(a, b, c, d).map(|(t, _)| a.lerp(b, t)),
            1 => None,
            _ => Some(a.lerp(b, 0.5)),
        }
    }
}

/// Every meeting without a node, with what is wrong there.
pub fn unjoined(field: &Airfield, graph: &TaxiGraph) -> Vec<String> {
    let mut pieces = Vec::new();
    for (segment, s) in graph.graph.edge_weights().enumerate() {
        let (level, stand) = match s.source {
            Source::Lane(i, _) => (field.lanes[i].level, false),
            Source::Runway(i) => (field.runways[i].level, false),
            Source::Stand(_) => (0, true),
        };
        pieces.extend(s.line.windows(2).map(|w| Piece {
            ends: [w[0], w[1]],
            segment,
            level,
            stand,
        }));
    }
    pieces.sort_by(|a, b| a.low().x.total_cmp(&b.low().x));
    let mut found = Vec::new();
    for (i, one) in pieces.iter().enumerate() {
        let (low, high) = (one.low(), one.high());
        for two in pieces[i + 1..].iter().take_while(|p| p.low().x <= high.x + SAME_M) {
            if two.high().y < low.y - SAME_M || two.low().y > high.y + SAME_M || !one.may_meet(two) {
                continue;
            }
            if let Some(at) = one.meets(two) {
                found.push(format!("segments {} and {} meet at {at:?}", one.segment, two.segment));
            }
        }
    }
    found.extend(passed(&pieces, graph));
    found
}

/// Places inside a segment that another one has too.
fn passed(pieces: &[Piece], graph: &TaxiGraph) -> Vec<String> {
    let bits = |p: Xy| (p.x.to_bits(), p.y.to_bits());
    let mut at: HashMap<(u64, u64), Vec<&Piece>> = HashMap::new();
    for piece in pieces {
        for p in piece.ends {
            at.entry(bits(p)).or_default().push(piece);
        }
    }
    let mut found = Vec::new();
    for (segment, s) in graph.graph.edge_weights().enumerate() {
        let own = |p: &&&Piece| p.segment == segment;
        for p in &s.line[1..s.line.len() - 1] {
            let here = at.get(&bits(*p)).map_or(&[][..], Vec::as_slice);
            let Some(mine) = here.iter().find(own) else { continue };
            if here.iter().filter(own).count() > 2 {
                found.push(format!("segment {segment} passes {p:?} twice, which is no node"));
            }
            if let Some(other) = here.iter().find(|o| o.segment != segment && o.may_meet(mine)) {
                found.push(format!(
                    "segment {segment} passes {p:?} of segment {}, which is no node of it",
                    other.segment
                ));
            }
        }
    }
    found
}
