//! What moves on the aeroplane: control surfaces, nose wheel, wheels, legs, propeller.

use super::daylight::{Daylight, Finishes};
use super::stance::{Stance, Stood};
use crate::convert::narrow;
use crate::drive::Drive;
use bevy::prelude::*;
use std::f32::consts::TAU;
use toeline_dynamics::Controls;

/// Largest deflections drawn, radians: rudder 25, ailerons 20, elevator 24 degrees (ours, as the physics has them).
const RUDDER_RAD: f32 = 0.436;
const AILERON_RAD: f32 = 0.349;
const ELEVATOR_RAD: f32 = 0.419;
/// Speeds between which the eye stops to see blades and sees a disc, rpm. Ours.
const BLADES_TO_RPM: f32 = 250.0;
const DISC_FROM_RPM: f32 = 120.0;
const DISC_FULL_RPM: f32 = 700.0;

/// What moves a surface.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Moves {
    /// Ailerons; `side` is 1 on the left and -1 on the right.
    Aileron {
        /// The wing it hangs on.
        side: f32,
    },
    /// Elevator.
    Elevator,
    /// Rudder.
    Rudder,
}

impl Moves {
    /// Turn of the surface about its hinge, radians: hinges run to the right and, for the rudder, up.
    pub fn turn_rad(self, c: &Controls) -> f32 {
        match self {
            // Column to the left: left aileron up, right one down.
            Moves::Aileron { side } => narrow(c.aileron) * side * AILERON_RAD,
            // Column forward: elevator down.
            Moves::Elevator => narrow(c.elevator) * ELEVATOR_RAD,
            // Right foot forward: the rudder's rear edge swings to the right.
            Moves::Rudder => narrow(c.rudder) * RUDDER_RAD,
        }
    }
}

/// A control surface on its hinge.
#[derive(Component, Clone, Copy, Debug)]
pub struct Surface {
    moves: Moves,
    along: Vec3,
}

impl Surface {
    /// One that turns about a unit vector.
    pub fn new(moves: Moves, along: Vec3) -> Surface {
        Surface { moves, along }
    }
}

/// Fork and nose wheel about the contact point.
#[derive(Component)]
pub struct NoseWheel;

/// A wheel that rolls.
#[derive(Component)]
pub struct Rolls {
    wheel: usize,
    turned_rad: f32,
}

impl Rolls {
    /// Nose, left and right wheel are 0, 1 and 2.
    pub fn new(wheel: usize) -> Rolls {
        Rolls { wheel, turned_rad: 0.0 }
    }
}

/// A main leg between the body and its wheel.
#[derive(Component)]
pub struct Leg {
    /// On the body, in its axes.
    pub root: Vec3,
    /// At the wheel, in the axes of the frame on the ground.
    pub foot: Vec3,
}

/// The blades of a propeller about its hub.
#[derive(Component, Default)]
pub struct Blades {
    turned_rad: f32,
}

/// The disc that quick blades become.
#[derive(Component)]
pub struct Blur;

/// Moves everything that moves.
pub fn moving_plugin(app: &mut App) {
    app.add_systems(Update, (surfaces, steering, rolling, legs.after(Stood), propeller));
}

fn surfaces(drive: Res<Drive>, mut all: Query<(&Surface, &mut Transform)>) {
    for (s, mut t) in &mut all {
        t.rotation = Quat::from_axis_angle(s.along, s.moves.turn_rad(&drive.controls));
    }
}

fn steering(drive: Res<Drive>, mut fork: Query<&mut Transform, With<NoseWheel>>) {
    for mut t in &mut fork {
        t.rotation = Quat::from_rotation_y(narrow(drive.now.nose_wheel_rad));
    }
}

fn rolling(drive: Res<Drive>, time: Res<Time<Virtual>>, mut all: Query<(&mut Rolls, &mut Transform)>) {
    for (mut w, mut t) in &mut all {
        w.turned_rad = (w.turned_rad + narrow(drive.now.spin_radps[w.wheel]) * time.delta_secs()) % TAU;
        // Rolling forward, the top goes ahead.
        t.rotation = Quat::from_rotation_x(-w.turned_rad);
    }
}

fn legs(stance: Res<Stance>, mut all: Query<(&Leg, &mut Transform)>) {
    for (leg, mut t) in &mut all {
        let root = stance.body.transform_point(leg.root);
        let way = leg.foot - root;
        *t = Transform::from_translation(root)
            .with_rotation(Quat::from_rotation_arc(Vec3::Y, way.normalize_or(Vec3::NEG_Y)))
            .with_scale(Vec3::new(1.0, way.length(), 1.0));
    }
}

fn propeller(
    drive: Res<Drive>,
    time: Res<Time<Virtual>>,
    finishes: Res<Finishes>,
    mut materials: ResMut<Assets<Daylight>>,
    mut blades: Query<(&mut Blades, &mut Transform, &mut Visibility), Without<Blur>>,
    mut discs: Query<&mut Visibility, With<Blur>>,
    mut drawn: Local<Option<f32>>,
) {
    let rpm = narrow(drive.now.engine.rpm);
    for (mut b, mut t, mut seen) in &mut blades {
        b.turned_rad = (b.turned_rad + TAU * rpm / 60.0 * time.delta_secs()) % TAU;
        // Clockwise as the pilot sees it.
        t.rotation = Quat::from_rotation_z(-b.turned_rad);
        seen.set_if_neq(shown(rpm < BLADES_TO_RPM));
    }
    let opacity = ((rpm - DISC_FROM_RPM) / (DISC_FULL_RPM - DISC_FROM_RPM)).clamp(0.0, 1.0);
    for mut seen in &mut discs {
        seen.set_if_neq(shown(opacity > 0.0));
    }
    // Told to the graphics card only when it can be seen to differ.
    if drawn.is_none_or(|was| (was - opacity).abs() > 0.02)
        && let Some(mut blur) = materials.get_mut(&finishes.blur)
    {
        blur.set_opacity(opacity);
        *drawn = Some(opacity);
    }
}

fn shown(yes: bool) -> Visibility {
    if yes { Visibility::Inherited } else { Visibility::Hidden }
}
