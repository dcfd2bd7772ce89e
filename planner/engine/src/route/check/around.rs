//! What stands around an engine-check area, and how near the parts of the aeroplane come to it on the way in, standing and
//! on the way out.
//!
//! A sieve, not the verdict: the parts are placed at poses half a metre apart and the margin is kept a little wider, by more
//! than can be overlooked between them on ways as smooth as these. The clearance of the whole way has the last word.

use super::blast::{self, BlastHarm, Target};
use crate::request::Request;
use crate::standing::{self, Occupant, bands_meet, obstacle_name};
use toeline_model::aircraft::parts::{self, Part};
use toeline_model::airfield::Lane;
use toeline_model::path::Pose;
use toeline_model::planar::{self, Shape};
use toeline_model::{Aircraft, Airfield, DrivenPath, Xy};

/// Poses looked at, metres of way apart.
const STEP_M: f64 = 0.5;
/// Kept on top of the margin for what lies between two poses, metres.
const BETWEEN_M: f64 = 0.1;
/// How far round the area things are looked at beyond the aeroplane and its blast, metres.
const BEYOND_M: f64 = 60.0;

struct Thing {
    name: String,
    shape: Shape,
    bounds: (Xy, Xy),
    /// Parts of the aeroplane whose height band it meets.
    parts: Vec<usize>,
    /// Whether the map is sure of it.
    sure: bool,
}

/// A part that comes too near something.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct TooNear {
    /// Part and thing.
    pub(super) part: String,
    pub(super) thing: String,
}

/// What a look along a way tells.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Look {
    /// The nearest thing that is nearer than the margin for sure, and its gap, metres.
    pub(super) too_near: Option<(f64, TooNear)>,
    /// Whether something would be nearer than the margin if the map is off by its accuracy.
    pub(super) unsure: bool,
}

/// Everything around an area.
pub(in super::super) struct Around {
    things: Vec<Thing>,
    pub(in super::super) targets: Vec<Target>,
    parts: Vec<Part>,
    /// The circle around each part, in the aeroplane's axes: middle and radius, metres.
    circles: Vec<(Xy, f64)>,
    wheelbase_m: f64,
    reach_m: f64,
    margin_m: f64,
    accuracy_m: f64,
}

/// The circle around the box of an outline.
fn circle(outline: &[Xy]) -> (Xy, f64) {
    let (low, high) = planar::bounds(outline.iter().copied()).unwrap_or_default();
    let middle = low.lerp(high, 0.5);
    (middle, outline.iter().map(|p| p.distance(middle)).fold(0.0, f64::max))
}

fn near((low, high): (Xy, Xy), (a, b): (Xy, Xy), r: f64) -> bool {
    low.x - r <= b.x && high.x + r >= a.x && low.y - r <= b.y && high.y + r >= a.y
}

impl Around {
    /// What stands around points of the plane: the map's own things, and aeroplanes on stands other than the one that the
    /// way begins on.
    pub(in super::super) fn new(
        field: &Airfield,
        aircraft: &Aircraft,
        request: &Request,
        start: &Pose,
        points: &[Xy],
        in_use: &dyn Fn(&Lane) -> bool,
    ) -> Around {
        let parts = parts::parts(aircraft);
        let mut around = Around {
            things: Vec::new(),
            targets: Vec::new(),
            circles: parts.iter().map(|p| circle(&p.outline)).collect(),
            parts,
            wheelbase_m: aircraft.gear.wheelbase_m,
            reach_m: aircraft.reach_m(),
            margin_m: request.margin_m,
            accuracy_m: request.accuracy_m.unwrap_or(field.accuracy_m),
        };
        let Some(here) = planar::bounds(points.iter().copied()) else {
            return around;
        };
        let vertical_m = request.vertical_margin_m;
        for o in &field.obstacles {
            // A band that cannot be is taken as all heights, as the clearance does.
            let sound = o.bottom_m >= 0.0 && o.top_m.unwrap_or(f64::INFINITY) > o.bottom_m;
            let (bottom_m, top_m) = if sound { (o.bottom_m, o.top_m) } else { (0.0, None) };
            around.add(
                obstacle_name(o),
                &o.shape,
                (bottom_m, top_m, vertical_m),
                !o.radius_assumed,
                here,
            );
        }
        let blast_m = blast::blast_behind_m(aircraft, aircraft.engine_check.check_rpm);
        let far_m = BEYOND_M + blast_m + around.reach_m;
        around.targets = blast::targets(field, obstacle_name, in_use);
        let own: Vec<Vec<Xy>> = around.placed(start);
        for (i, stand) in field.stands.iter().enumerate() {
            // Of stands far away nobody needs to know how another aeroplane stands there.
            let bounds = planar::bounds(stand.line.iter().copied());
            let away_m = far_m + standing::like_ours(aircraft, stand.span_limit_m).reach_m();
            if field.is_empty_stand(stand) || !bounds.is_some_and(|b| near(b, here, away_m)) {
                continue;
            }
            let Occupant { outlines, sure, .. } = standing::occupant(field, i, aircraft);
            let name = format!("aeroplane on {}", standing::name(stand));
            let ours = own.iter().any(|part| {
                let meets = |s: &Shape| planar::outline_to_shape(part, s).distance_m == 0.0;
                outlines.iter().any(|o| meets(&o.shape))
            });
            for o in outlines {
                let target = Target::new(standing::name(stand), BlastHarm::KeepOff, o.shape.clone(), 0.0);
                around.targets.push(target);
                if !ours {
                    around.add(
                        name.clone(),
                        &o.shape,
                        (o.bottom_m, Some(o.top_m), vertical_m),
                        sure,
                        here,
                    );
                }
            }
        }
        around.targets.retain(|t| near(t.bounds, here, far_m + t.half_m));
        around
    }

    fn add(&mut self, name: String, shape: &Shape, band: (f64, Option<f64>, f64), sure: bool, here: (Xy, Xy)) {
        let bounds = shape.bounds();
        let parts: Vec<usize> = (0..self.parts.len())
            .filter(|k| bands_meet(&self.parts[*k], band.0, band.1, band.2))
            .collect();
        if near(bounds, here, BEYOND_M) && !parts.is_empty() {
            self.things.push(Thing {
                name,
                shape: shape.clone(),
                bounds,
                parts,
                sure,
            });
        }
    }

    fn placed(&self, pose: &Pose) -> Vec<Vec<Xy>> {
        let place = |p: &Part| p.outline.iter().map(|b| pose.place(self.wheelbase_m, *b)).collect();
        self.parts.iter().map(place).collect()
    }

    fn look_into(&self, pose: &Pose, look: &mut Look) {
        let (sure_m, safe_m) = (self.margin_m + BETWEEN_M, self.margin_m + self.accuracy_m + BETWEEN_M);
        let about = (pose.nose, pose.nose);
        for t in &self.things {
            if !near(t.bounds, about, self.reach_m + safe_m) {
                continue;
            }
            for k in &t.parts {
                // The circle around a part stays away from most things.
                let (middle, radius_m) = self.circles[*k];
                let middle = pose.place(self.wheelbase_m, middle);
                if !near(t.bounds, (middle, middle), radius_m + safe_m) {
                    continue;
                }
                let part = &self.parts[*k];
                let outline: Vec<Xy> = part.outline.iter().map(|b| pose.place(self.wheelbase_m, *b)).collect();
                let gap_m = planar::outline_to_shape(&outline, &t.shape).distance_m;
                look.unsure |= gap_m < safe_m;
                let worst = look.too_near.as_ref().map_or(sure_m, |(g, _)| *g);
                if t.sure && gap_m < worst {
                    let what = TooNear {
                        part: part.name.clone(),
                        thing: t.name.clone(),
                    };
                    look.too_near = Some((gap_m, what));
                }
            }
        }
    }

    /// Standing at one place.
    pub(super) fn look_at(&self, pose: &Pose) -> Look {
        let mut look = Look::default();
        self.look_into(pose, &mut look);
        look
    }

    /// Along a way.
    pub(super) fn look_along(&self, path: &DrivenPath) -> Look {
        let mut look = Look::default();
        let steps = (path.length_m() / STEP_M).ceil().max(1.0) as usize;
        for k in 0..=steps {
            self.look_into(&path.pose_at(path.length_m() * k as f64 / steps as f64), &mut look);
        }
        look
    }
}
