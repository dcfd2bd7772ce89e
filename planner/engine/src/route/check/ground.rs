//! The ground that the wheels may stand on: the area, the lane beside it, aprons and mapped outlines of pavement.

use super::super::guide::Guide;
use toeline_model::airfield::{NamedArea, Surface};
use toeline_model::frame::{Xy, xy};
use toeline_model::path::Pose;
use toeline_model::{Aircraft, Airfield, DrivenPath, Yaw, planar};

/// Pavement kept around every wheel, metres (ours): a beginner's wheel, and what lies between two places looked at.
const AROUND_WHEEL_M: f64 = 0.3;
/// Places looked at along a way, metres: first far apart, to throw out quickly what fails, then near.
const STEPS_M: [f64; 2] = [2.0, 0.5];

/// The ground around one area.
pub(super) struct Ground<'a> {
    area: &'a NamedArea,
    /// Other open pavement whose box comes near, with that box.
    open: Vec<(&'a NamedArea, (Xy, Xy))>,
    lane: &'a Guide,
    lane_half_m: f64,
    wheelbase_m: f64,
    /// Points about the wheels that have to be on it, in the aeroplane's axes.
    feet: Vec<Xy>,
}

impl<'a> Ground<'a> {
    pub(super) fn new(
        field: &'a Airfield,
        aircraft: &Aircraft,
        area: &'a NamedArea,
        lane: &'a Guide,
        lane_half_m: f64,
    ) -> Ground<'a> {
        let gear = &aircraft.gear;
        let m = AROUND_WHEEL_M;
        let (nose, main) = (gear.nose_tyre_width_m / 2.0 + m, aircraft.outer_gear_m() / 2.0 + m);
        let feet = vec![
            xy(gear.wheelbase_m + m, nose),
            xy(gear.wheelbase_m + m, -nose),
            xy(m, main),
            xy(m, -main),
            xy(-m, main),
            xy(-m, -main),
        ];
        let (low, high) = planar::bounds(area.outer.iter().chain(&lane.points).copied()).unwrap_or_default();
        let near = |b: &(Xy, Xy)| b.0.x <= high.x && b.1.x >= low.x && b.0.y <= high.y && b.1.y >= low.y;
        let open = field.aprons.iter().chain(&field.outlines);
        let open = open.filter(|a| a.surface != Surface::Water);
        let open = open.filter_map(|a| planar::bounds(a.outer.iter().copied()).filter(near).map(|b| (a, b)));
        Ground {
            area,
            open: open.collect(),
            lane,
            lane_half_m,
            wheelbase_m: gear.wheelbase_m,
            feet,
        }
    }

    fn holds(&self, p: Xy) -> bool {
        let inside = |b: &(Xy, Xy)| b.0.x <= p.x && p.x <= b.1.x && b.0.y <= p.y && p.y <= b.1.y;
        self.area.holds(p)
            || self.open.iter().any(|(a, b)| inside(b) && a.holds(p))
            || planar::closest_on_line(p, &self.lane.points).is_some_and(|(q, _, _)| q.distance(p) <= self.lane_half_m)
    }

    /// Whether every wheel stands on it.
    pub(super) fn carries(&self, pose: &Pose) -> bool {
        self.feet.iter().all(|b| self.holds(pose.place(self.wheelbase_m, *b)))
    }

    /// How far the nose wheel stays on it along a circle to the left and to the right, metres, forward or backward; at
    /// most once round. Necessary for any way that begins or ends so, and quickly looked up.
    pub(super) fn arcs_m(&self, nose: Xy, direction: Yaw, radius_m: f64, forward: bool) -> [f64; 2] {
        let step_m = STEPS_M[1];
        let steps = (core::f64::consts::TAU * radius_m / step_m).ceil() as usize;
        [1.0, -1.0].map(|side| {
            let centre = nose + Xy::unit(direction).left() * (side * radius_m);
            let sense = if forward { side } else { -side };
            let on = |k: &usize| {
                let turned = sense * *k as f64 * step_m / radius_m;
                self.holds(centre + (nose - centre).rotated(turned))
            };
            (1..=steps).take_while(on).count() as f64 * step_m + step_m
        })
    }

    /// Whether every wheel stays on it along a way.
    pub(super) fn carries_along(&self, path: &DrivenPath) -> bool {
        STEPS_M.iter().all(|step_m| {
            let steps = (path.length_m() / step_m).ceil().max(1.0) as usize;
            (0..=steps).all(|k| self.carries(&path.pose_at(path.length_m() * k as f64 / steps as f64)))
        })
    }
}
