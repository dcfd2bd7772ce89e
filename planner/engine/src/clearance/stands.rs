//! Which of our own places an aeroplane on another stand would overlap.

use super::sweep::Walk;
use crate::route::{Route, Stop, StopKind};
use crate::standing::Placed;
use toeline_model::path::Pose;
use toeline_model::planar::{self, Shape};

/// Which of our own places an aeroplane there would overlap in plan, whatever the heights: then the stands are two
/// drawings of the same ground, and with us there the other one is empty. A disc stands for an unknown heading; only
/// its middle, the place of the nose wheel, is covered for sure.
pub(super) fn shares_ground(outlines: &[Placed], route: &Route, walk: &Walk) -> Option<&'static str> {
    let start = ("the start of this way", route.path.start);
    let places = route.stops.iter().filter(|s| s.kind == StopKind::Place);
    let places = places.map(|s| ("a place where this way stops", s.pose));
    // At a line one only holds; a way that ends elsewhere ends on a stand, and parks there.
    let parks = |s: &&Stop| s.kind == StopKind::End && s.line_at.is_none();
    let end = route.stops.iter().filter(parks);
    let end = end.map(|s| ("the stand that this way ends on", s.pose));
    core::iter::once(start)
        .chain(places)
        .chain(end)
        .find(|(_, pose)| overlaps(outlines, pose, walk))
        .map(|(words, _)| words)
}

fn overlaps(outlines: &[Placed], pose: &Pose, walk: &Walk) -> bool {
    (0..walk.parts.len()).any(|k| {
        let own = walk.place(k, pose).points;
        outlines.iter().any(|o| match &o.shape {
            Shape::Disc { at, .. } => planar::inside_ring(*at, &own),
            shape => planar::outline_to_shape(&own, shape).distance_m == 0.0,
        })
    })
}
