//! Every stop at a holding line: which part is foremost, and how far behind the line it stays.

use super::sweep::Walk;
use super::{HoldRoom, Verdict};
use crate::route::Route;
use toeline_model::Xy;
use toeline_model::path::Pose;
use toeline_model::planar;

/// Rounding allowed before a part counts as over the line, metres.
const ROUNDING_M: f64 = 1e-6;

/// Room behind the line at every stop that has one. The line is taken across the lane's centreline and without end:
/// a wing tip ahead of it beside the pavement counts too.
pub(super) fn rooms(route: &Route, walk: &Walk) -> Vec<HoldRoom> {
    let one = |(stop, s): (usize, &crate::route::Stop)| {
        let line_at = s.line_at?;
        let ahead = direction(route, line_at, s.at_m)?;
        let (part, over_m) = foremost(walk, &s.pose, line_at, ahead)?;
        Some(HoldRoom {
            stop,
            part: walk.parts[part].name.clone(),
            behind_m: -over_m,
            at_m: s.at_m,
            verdict: if over_m > ROUNDING_M {
                Verdict::NotClear
            } else {
                Verdict::Clear
            },
        })
    };
    route.stops.iter().enumerate().filter_map(one).collect()
}

/// Along the mapped centreline where it meets the line, in the sense of travel; without one, as the nose wheel moves.
fn direction(route: &Route, line_at: Xy, at_m: f64) -> Option<Xy> {
    let leg = route
        .legs
        .iter()
        .rfind(|l| l.from_m <= at_m + ROUNDING_M && l.mapped_line.len() >= 2);
    let stroke = leg.and_then(|l| {
        let (at, k, _) = planar::closest_on_line(line_at, &l.mapped_line)?;
        (at.distance(line_at) < 1.0).then(|| l.mapped_line[k + 1] - l.mapped_line[k])
    });
    let ahead = stroke.filter(|v| v.norm() > 0.0);
    let ahead = ahead.unwrap_or_else(|| Xy::unit(route.path.direction_at(at_m)));
    let length = ahead.norm();
    (length > 0.0).then(|| ahead * (1.0 / length))
}

/// The part that reaches farthest ahead, and how far beyond the line.
fn foremost(walk: &Walk, pose: &Pose, line_at: Xy, ahead: Xy) -> Option<(usize, f64)> {
    let reach = |k: usize| {
        let points = walk.place(k, pose).points;
        let most = points.iter().map(|p| (*p - line_at).dot(ahead));
        (k, most.fold(f64::NEG_INFINITY, f64::max))
    };
    // Of equal ones the first, in the fixed order of the parts.
    (0..walk.parts.len())
        .map(reach)
        .fold(None, |best: Option<(usize, f64)>, r| match best {
            Some(b) if b.1 >= r.1 => Some(b),
            _ => Some(r),
        })
}
