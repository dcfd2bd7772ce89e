//! How the aeroplane stands this frame: where its wheels are on the ground, and how the sprung body sits on them. Interpolated
//! between two ticks and never read back.

use crate::convert::{body, facing, narrow, world};
use crate::drive::{Drive, Shown};
use crate::scene::Scene;
use bevy::prelude::*;
use toeline_dynamics::{Params, State};

/// Where wheels and body are.
#[derive(Resource, Clone, Copy, Debug, Default)]
pub struct Stance {
    /// The middle of the main axle on the ground, facing ahead: wheels and shadow hang on it.
    pub wheels: Transform,
    /// The body as seen from there: the same when it rests.
    pub body: Transform,
}

impl Stance {
    /// The body in the world.
    pub fn body_in_world(&self) -> Transform {
        self.wheels * self.body
    }
}

/// Heave, pitch and roll of the body a share of a tick after the last but one, metres and radians.
pub fn lean_between(before: &State, now: &State, share: f64) -> [f64; 3] {
    let mix = |a: f64, b: f64| a + (b - a) * share;
    [
        mix(before.heave_m, now.heave_m),
        mix(before.pitch_rad, now.pitch_rad),
        mix(before.roll_rad, now.roll_rad),
    ]
}

/// Where the body is above its wheels. It turns about its centre of gravity, which sways against the wheels as the struts
/// have it.
pub fn body_on_wheels(p: &Params, [heave_m, pitch_rad, roll_rad]: [f64; 3]) -> Transform {
    let (ahead, high) = (p.axle_behind_m, p.cg_height_m);
    let rest = body(ahead, 0.0, high);
    let now = body(ahead - high * pitch_rad, -high * roll_rad, high + heave_m);
    let turn = Quat::from_rotation_x(narrow(pitch_rad)) * Quat::from_rotation_z(-narrow(roll_rad));
    Transform::from_translation(now - turn * rest).with_rotation(turn)
}

/// Finds the stance anew every frame.
pub fn stance_plugin(app: &mut App) {
    app.init_resource::<Stance>().add_systems(Update, stand.in_set(Stood));
}

/// The set in which the stance is found: what draws the aeroplane or looks out of it comes after.
#[derive(SystemSet, Clone, Debug, PartialEq, Eq, Hash)]
pub struct Stood;

fn stand(shown: Res<Shown>, drive: Res<Drive>, fixed: Res<Time<Fixed>>, scene: Res<Scene>, mut stance: ResMut<Stance>) {
    let pose = shown.0;
    let axle = pose.axle(scene.aircraft.gear.wheelbase_m);
    stance.wheels = Transform::from_translation(world(axle, 0.0)).with_rotation(facing(pose.heading_rad));
    let lean = lean_between(&drive.before, &drive.now, fixed.overstep_fraction_f64());
    stance.body = body_on_wheels(&drive.params, lean);
}
