//! Where the pilot looks from the seat: ahead, to a side, over a shoulder, or up the approach before entering a runway.

use crate::convert::{narrow, world};
use crate::feel::Held;
use crate::keys::Action;
use crate::scene::Scene;
use bevy::prelude::*;
use toeline_model::airfield::Runway;
use toeline_model::planar::closest_on_line;
use toeline_model::{Pose, Xy};

/// A direction of the pilot's look.
#[derive(Resource, Clone, Copy, Debug, Default, PartialEq, Eq, clap::ValueEnum)]
pub enum Gaze {
    /// Over the cowling.
    #[default]
    Ahead,
    /// Out of the left side window.
    Left,
    /// Across the cabin to the right.
    Right,
    /// Back over the left shoulder.
    LeftShoulder,
    /// Back over the right shoulder.
    RightShoulder,
    /// Up the approach of the runway that is ahead.
    Approach,
}

/// How far along the approach the pilot looks, metres from the threshold, and the slope aeroplanes come down on. Ours; 3
/// degrees is common practice.
const LOOK_OUT_M: f64 = 1500.0;
const SLOPE: f64 = 0.0524;
/// A head with its shoulders turns no farther than this, degrees. Ours.
const FARTHEST_DEG: f32 = 140.0;

impl Gaze {
    /// What the held keys ask for; with none held, where the drive began to look.
    pub fn wanted(held: Held, first: Gaze) -> Gaze {
        let keys = [
            (Action::LookApproach, Gaze::Approach),
            (Action::LookLeftShoulder, Gaze::LeftShoulder),
            (Action::LookRightShoulder, Gaze::RightShoulder),
        ];
        if let Some((_, gaze)) = keys.iter().find(|(key, _)| held.is(*key)) {
            return *gaze;
        }
        match (held.is(Action::LookLeft), held.is(Action::LookRight)) {
            (true, false) => Gaze::Left,
            (false, true) => Gaze::Right,
            _ => first,
        }
    }

    /// Turn of the head to the left and upward, degrees, from a pose; `side_deg` is how far it turns to a side window.
    pub fn turn_deg(self, scene: &Scene, way_m: f64, pose: Pose, side_deg: f32) -> Vec2 {
        match self {
            Gaze::Ahead => Vec2::ZERO,
            Gaze::Left => Vec2::new(side_deg, 0.0),
            Gaze::Right => Vec2::new(-side_deg, 0.0),
            Gaze::LeftShoulder => Vec2::new(FARTHEST_DEG, 0.0),
            Gaze::RightShoulder => Vec2::new(-FARTHEST_DEG, 0.0),
            Gaze::Approach => approach(scene, way_m, pose.nose).map_or(Vec2::ZERO, |(at, up_m)| {
                let to = world(at, up_m) - world(pose.nose, 1.5);
                let left = pose.heading_rad.to_rad((at - pose.nose).direction());
                let up = to.y.atan2(to.xz().length());
                let turn = narrow(left.to_degrees()).clamp(-FARTHEST_DEG, FARTHEST_DEG);
                Vec2::new(turn, up.to_degrees())
            }),
        }
    }
}

/// A point on the approach of the runway ahead, and its height: of the designator that the next stop names alone, else of
/// the nearer end. `None` on a field without a runway.
pub fn approach(scene: &Scene, way_m: f64, nose: Xy) -> Option<(Xy, f64)> {
    let stop = scene.next_stop(way_m).map_or("", |(name, _)| name);
    // "D1 (runway 26)" names an end, "A1 (runway 17/35)" a runway that is only crossed.
    let named = stop.split("runway ").nth(1).unwrap_or("").trim_end_matches(')');
    let away = |r: &Runway| closest_on_line(nose, &r.line).map_or(f64::INFINITY, |(q, _, _)| q.distance(nose));
    let runway = scene.field.runways.iter().filter(|r| r.line.len() > 1).min_by(|a, b| {
        let names = |r: &Runway| r.designators.iter().flatten().any(|d| named.split('/').any(|n| n == d));
        names(b).cmp(&names(a)).then(away(a).total_cmp(&away(b)))
    })?;
    let last = runway.line.len() - 1;
    let ends = [
        (runway.line[0], runway.line[1]),
        (runway.line[last], runway.line[last - 1]),
    ];
    let asked = runway.designators.iter().position(|d| d.as_deref() == Some(named));
    let end = asked.unwrap_or_else(|| usize::from(ends[1].0.distance(nose) < ends[0].0.distance(nose)));
    let (threshold, inward) = ends[end];
    let out = Xy::unit((threshold - inward).direction());
    Some((threshold + out * LOOK_OUT_M, LOOK_OUT_M * SLOPE))
}
