//! The legs of a found way as lines on the map and as lines of the list.

use toeline_engine::briefing::LegBriefing;
use toeline_engine::route::Route;
use toeline_model::Xy;
use toeline_model::planar::closest_on_line;

/// Longest piece of a drawn line, metres.
const STEP_M: f64 = 1.0;

/// The way of the nose wheel, leg by leg.
pub fn lines(route: &Route) -> Vec<Vec<Xy>> {
    let one = |from: f64, to: f64| -> Vec<Xy> {
        let steps = ((to - from) / STEP_M).ceil().max(1.0) as usize;
        (0..=steps)
            .map(|i| route.path.pose_at(from + (to - from) * i as f64 / steps as f64).nose)
            .collect()
    };
    route.legs.iter().map(|l| one(l.from_m, l.to_m)).collect()
}

/// The leg nearest to a point, no farther than `reach_m`.
pub fn nearest(lines: &[Vec<Xy>], p: Xy, reach_m: f64) -> Option<usize> {
    let near = lines.iter().enumerate().filter_map(|(i, line)| {
        let (q, _, _) = closest_on_line(p, line)?;
        Some((q.distance(p), i)).filter(|(d, _)| *d <= reach_m)
    });
    near.min_by(|a, b| a.0.total_cmp(&b.0)).map(|(_, i)| i)
}

fn three(deg: f64) -> String {
    let whole = (deg.round() as i64).rem_euclid(360);
    format!("{:03}", if whole == 0 { 360 } else { whole })
}

/// Name, length and magnetic bearing of a leg; a winding one gives its first and last bearing.
pub fn words(leg: &LegBriefing) -> [String; 3] {
    let d = &leg.directions;
    let bearing = match d.last_magnetic_deg {
        Some(last) => format!("{}-{}", three(d.magnetic_deg), three(last)),
        None => three(d.magnetic_deg),
    };
    [
        format!("{} {}", leg.number, leg.name),
        format!("{:.0} m", leg.length_m),
        bearing,
    ]
}
