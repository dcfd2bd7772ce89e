//! Widths that can hardly be. The reader has left out what is no width at all, or beyond 1 to 200 m.

use super::{Finding, Topic, called, doubt};
use rstar::primitives::{GeomWithData, Line};
use rstar::{AABB, RTree};
use toeline_model::airfield::Surface;
use toeline_model::frame::xy;
use toeline_model::planar::{closest_on_segment, line_length};
use toeline_model::{Airfield, Xy};

/// A lane narrower than this carries no aeroplane, metres: the wheels of light aeroplanes stand 2 to 3 m apart (ours).
pub(super) const NARROW_M: f64 = 3.0;
/// A lane this many times as wide as the widest runway is doubted (ours: real taxiways are narrower than runways).
pub(super) const WIDER_THAN_RUNWAY: f64 = 1.5;
/// A lane as wide as to reach the centreline of another that runs beside it for this far is doubted, metres (ours).
pub(super) const BESIDE_M: f64 = 50.0;
/// How far two lines that run beside each other may turn apart, degrees (ours).
const PARALLEL_DEG: f64 = 10.0;
/// Lines nearer than this are the same lane drawn twice, metres (ours).
const SAME_M: f64 = 2.0;
/// Step along a lane, metres.
const STEP_M: f64 = 5.0;

/// The doubts.
pub(super) fn doubts(field: &Airfield) -> Vec<Finding> {
    let in_use = field.runways.iter().filter(|r| r.surface != Surface::Water);
    let widest_m = in_use
        .filter_map(|r| r.width_m)
        .fold(None, |a: Option<f64>, w| Some(a.map_or(w, |a| a.max(w))));
    let beside = Beside::new(field);
    let mut list = Vec::new();
    for (i, lane) in field.lanes.iter().enumerate() {
        let Some(width_m) = lane.width_m.filter(|_| lane.closed.is_none()) else {
            continue;
        };
        let at = Some(middle(&lane.line));
        let name = called::lane(field, i);
        let found = if width_m < NARROW_M {
            let text = format!("{name} is {width_m} m wide; below {NARROW_M:.0} m no aeroplane has its wheels on it");
            Some((text, at, "give the width of the pavement in metres"))
        } else if let Some(runway_m) = widest_m.filter(|r| width_m > WIDER_THAN_RUNWAY * r) {
            let text = format!(
                "{name} is {width_m} m wide, the widest runway {runway_m} m; more than {WIDER_THAN_RUNWAY} times that is doubtful"
            );
            Some((text, at, "give the width of the lane, not of the ground about it"))
        } else {
            beside.along(field, i, width_m).map(|(other, off_m, for_m, place)| {
                let text = format!(
                    "{name} is {width_m} m wide, and the centreline of {} runs {off_m:.1} m beside its own for {for_m:.0} m",
                    called::lane(field, other)
                );
                (text, Some(place), "give each lane the width of its own pavement")
            })
        };
        if let Some((text, at, mend)) = found {
            let mut f = doubt(Topic::Width, &lane.id, at, &text, mend);
            f.size_m = Some(width_m);
            list.push(f);
        }
    }
    list
}

/// Half way along a line of at least one point.
pub(super) fn middle(line: &[Xy]) -> Xy {
    let mut left_m = line_length(line) / 2.0;
    for w in line.windows(2) {
        let d = w[0].distance(w[1]);
        if d >= left_m && d > 0.0 {
            return w[0].lerp(w[1], left_m / d);
        }
        left_m -= d;
    }
    line[0]
}

struct Beside(RTree<GeomWithData<Line<[f64; 2]>, usize>>);

impl Beside {
    fn new(field: &Airfield) -> Beside {
        let lanes = field.lanes.iter().enumerate().filter(|(_, l)| l.closed.is_none());
        let pieces = lanes.flat_map(|(i, l)| {
            let one = move |w: &[Xy]| GeomWithData::new(Line::new(w[0].into(), w[1].into()), i);
            l.line.windows(2).map(one)
        });
        Beside(RTree::bulk_load(pieces.collect()))
    }

    /// The other lane whose centreline runs farthest within half the width of this one, with its least distance, for
    /// how long, and where that begins.
    fn along(&self, field: &Airfield, lane: usize, width_m: f64) -> Option<(usize, f64, f64, Xy)> {
        let (own, half_m) = (&field.lanes[lane], width_m / 2.0);
        let mut runs: std::collections::BTreeMap<usize, (f64, f64, Xy)> = Default::default();
        for w in own.line.windows(2) {
            let steps = (w[0].distance(w[1]) / STEP_M).ceil().max(1.0);
            let step_m = w[0].distance(w[1]) / steps;
            for k in 0..steps as usize {
                let p = w[0].lerp(w[1], (k as f64 + 0.5) / steps);
                for (other, d) in self.at(field, lane, p, w[1] - w[0], half_m) {
                    let run = runs.entry(other).or_insert((d, 0.0, p));
                    (run.0, run.1) = (run.0.min(d), run.1 + step_m);
                }
            }
        }
        let long = runs.into_iter().filter(|(_, (_, for_m, _))| *for_m >= BESIDE_M);
        long.map(|(other, (off_m, for_m, place))| (other, off_m, for_m, place))
            .max_by(|a, b| a.2.total_cmp(&b.2).then(b.0.cmp(&a.0)))
    }

    fn at(&self, field: &Airfield, lane: usize, p: Xy, along: Xy, half_m: f64) -> Vec<(usize, f64)> {
        let reach = xy(half_m, half_m);
        let near = AABB::from_corners((p - reach).into(), (p + reach).into());
        let mut found: Vec<(usize, f64)> = Vec::new();
        for piece in self.0.locate_in_envelope_intersecting(near) {
            let (a, b): (Xy, Xy) = (piece.geom().from.into(), piece.geom().to.into());
            let turned = (b - a).cross(along).abs() / ((b - a).norm() * along.norm()).max(1e-9);
            let d = closest_on_segment(p, a, b).0.distance(p);
            let level = field.lanes[piece.data].level == field.lanes[lane].level;
            let parallel = turned < (PARALLEL_DEG * toeline_model::units::DEG).sin();
            if piece.data != lane && level && parallel && (SAME_M..half_m).contains(&d) {
                match found.iter_mut().find(|f| f.0 == piece.data) {
                    Some(f) => f.1 = f.1.min(d),
                    None => found.push((piece.data, d)),
                }
            }
        }
        found
    }
}
