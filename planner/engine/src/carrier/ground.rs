//! The ground of an aerodrome: its area and what is its own, and what lies near that.

use super::element::Place;
use super::flat::Flat;
use super::listing::Found;
use super::{AROUND_M, BOX_M};
use rstar::RTree;
use rstar::primitives::Line;
use toeline_model::Xy;
use toeline_model::planar::{bounds, inside_ring};

/// The ground of an aerodrome.
pub(super) struct Ground {
    flat: Flat,
    rings: Vec<Vec<Xy>>,
    edges: RTree<Line<[f64; 2]>>,
    low: Xy,
    high: Xy,
    /// The box around it in longitude and latitude, a little wider; `None` where that cannot be said.
    span: Option<(Place, Place)>,
}

impl Ground {
    pub(super) fn of(found: &Found) -> Ground {
        let flat = Flat::about(found.place);
        let rings: Vec<Vec<Xy>> = found.area.iter().map(|r| flat.line(r)).collect();
        let lines = found.lines.iter().map(|l| flat.line(l));
        let closed = rings.iter().map(|r| {
            let mut r = r.clone();
            r.extend(r.first().copied());
            r
        });
        let own = vec![flat.to_xy(found.place)];
        let all: Vec<Vec<Xy>> = lines.chain(closed).chain([own]).collect();
        let edge = |a: Xy, b: Xy| Line::new([a.x, a.y], [b.x, b.y]);
        let edges = all.iter().flat_map(|l| match l.as_slice() {
            [one] => vec![edge(*one, *one)],
            many => many.windows(2).map(|w| edge(w[0], w[1])).collect(),
        });
        let edges = RTree::bulk_load(edges.collect());
        let (low, high) = bounds(all.into_iter().flatten()).unwrap_or_default();
        Ground {
            flat,
            rings,
            edges,
            low,
            high,
            span: flat.span((low, high), BOX_M),
        }
    }

    /// Whether a place is in the box around it.
    pub(super) fn in_box(&self, place: Place) -> bool {
        if self.span.is_some_and(|(low, high)| {
            place.lon_nano < low.lon_nano
                || place.lon_nano > high.lon_nano
                || place.lat_nano < low.lat_nano
                || place.lat_nano > high.lat_nano
        }) {
            return false;
        }
        let p = self.flat.to_xy(place);
        let r = BOX_M;
        p.x >= self.low.x - r && p.x <= self.high.x + r && p.y >= self.low.y - r && p.y <= self.high.y + r
    }

    /// Whether a place is in its area or near what is its own.
    pub(super) fn is_near(&self, place: Place) -> bool {
        self.near(self.flat.to_xy(place))
    }

    fn near(&self, p: Xy) -> bool {
        let near = |at: [f64; 2]| {
            self.edges
                .locate_within_distance(at, AROUND_M * AROUND_M)
                .next()
                .is_some()
        };
        near([p.x, p.y]) || self.rings.iter().any(|r| inside_ring(p, r))
    }

    /// Whether a line, looked at every half of the distance, comes near.
    pub(super) fn meets(&self, line: &[Option<Place>]) -> bool {
        let line: Vec<Xy> = line.iter().flatten().map(|p| self.flat.to_xy(*p)).collect();
        if line.iter().any(|p| self.near(*p)) {
            return true;
        }
        line.windows(2).any(|w| {
            let steps = (w[0].distance(w[1]) / (AROUND_M / 2.0)).ceil().clamp(1.0, 200.0) as usize;
            (1..steps).any(|k| self.near(w[0] + (w[1] - w[0]) * (k as f64 / steps as f64)))
        })
    }
}
