//! Lamps of the aeroplane: which are on, what they light up, and how they look from outside.

use super::aeroplane::{Built, Frame};
use super::airframe::shape;
use super::daylight::{Beams, Daylight, Finishes};
use super::glow::{Glowing, Lights};
use super::hour::TimeOfDay;
use super::palette;
use super::stance::{Stance, Stood};
use crate::convert::body;
use crate::panel::switches::{HandedOver, Switches};
use crate::scene::{Raise, Scene};
use bevy::prelude::*;
use toeline_model::Aircraft;

/// Which lamps of the aeroplane are on.
#[derive(Resource, Clone, Copy, Debug, PartialEq, Eq)]
pub struct Lamps {
    /// Taxi light: wide, ahead and down.
    pub taxi: bool,
    /// Landing light: narrow and far.
    pub landing: bool,
    /// Navigation lights: red on the left wing tip, green on the right, white on the tail.
    pub navigation: bool,
    /// Flashing red beacon on the fin.
    pub beacon: bool,
}

impl Lamps {
    /// As a pilot has them with the engine running: the beacon always, the others after dusk, the landing light off.
    pub fn of(hour: TimeOfDay) -> Lamps {
        let dark = hour.lamps_lit();
        Lamps {
            taxi: dark,
            landing: false,
            navigation: dark,
            beacon: true,
        }
    }
}

/// Strength of the taxi and the landing light at night, against a white face in full daylight. Ours.
const TAXI: f32 = 1.15;
const LANDING: f32 = 1.4;
/// Cosine of half the taxi light's opening: 64 degrees across. Ours.
const TAXI_EDGE: f32 = 0.848;
/// How far down the two point, radians (4 and 1.5 degrees, ours).
const TAXI_DOWN: f32 = 0.07;
const LANDING_DOWN: f32 = 0.026;
/// Flashes of the beacon: every so many seconds, for so long. 14 CFR 23.1401 of older editions: 40 to 100 a minute (from memory).
const FLASH_EVERY_S: f32 = 1.1;
const FLASH_S: f32 = 0.22;

/// Which lamp a glow belongs to.
#[derive(Component, Clone, Copy, Debug, PartialEq, Eq)]
enum Belongs {
    Taxi,
    Landing,
    Navigation,
    Beacon,
}

/// Hangs the lamps on the aeroplane and keeps their light where it points.
pub fn lamps_plugin(app: &mut App) {
    app.add_systems(PreStartup, first)
        .add_systems(Raise, hang.after(Built))
        .add_systems(
            Update,
            (
                hand_over.run_if(resource_changed::<TimeOfDay>),
                obey.run_if(resource_changed::<Switches>),
                (shine.after(Stood), switch),
            )
                .chain(),
        );
}

fn first(mut commands: Commands, hour: Res<TimeOfDay>, scene: Res<Scene>, lamps: Option<Res<Lamps>>) {
    let on = lamps.map_or_else(|| lamps_for(*hour, &scene), |given| *given);
    commands.insert_resource(on);
    commands.insert_resource(switches_for(on));
    commands.insert_resource(HandedOver(switches_for(on)));
}

/// The lamps that are on when the aeroplane is handed over. In a lesson the pupil puts on what the hour asks for himself.
fn lamps_for(hour: TimeOfDay, scene: &Scene) -> Lamps {
    Lamps::of(if scene.lesson.is_some() { TimeOfDay::Day } else { hour })
}

fn switches_for(on: Lamps) -> Switches {
    Switches {
        taxi_light: on.taxi,
        landing_light: on.landing,
        navigation_lights: on.navigation,
        beacon: on.beacon,
        ..Switches::default()
    }
}

/// Another hour was chosen before the drive: the aeroplane is handed over with the lamps of that hour.
fn hand_over(hour: Res<TimeOfDay>, scene: Res<Scene>, mut switches: ResMut<Switches>, mut handed: ResMut<HandedOver>) {
    if !hour.is_added() {
        *switches = switches_for(lamps_for(*hour, &scene));
        handed.0 = *switches;
    }
}

/// The lamps are what the panel's switches say.
fn obey(switches: Res<Switches>, mut lamps: ResMut<Lamps>) {
    lamps.set_if_neq(Lamps {
        taxi: switches.taxi_light,
        landing: switches.landing_light,
        navigation: switches.navigation_lights,
        beacon: switches.beacon,
    });
}

/// Where taxi and landing light sit: in the lower front of the cowling, or of the nose where the engines are on the wing.
pub fn lamp_place(a: &Aircraft) -> Vec3 {
    let nose = shape(a).sections[0];
    body(nose.x_m + 0.02, 0.0, nose.low_m + 0.06)
}

fn hang(
    mut commands: Commands,
    scene: Res<Scene>,
    frame: Single<Entity, With<Frame>>,
    mut meshes: ResMut<Assets<Mesh>>,
    glowing: Res<Glowing>,
) {
    let a = &scene.aircraft;
    let w = &a.wing;
    let tip = |side: f64| {
        let x = w.tip_leading_edge_x_m - 0.2 * w.tip_chord_m;
        body(
            x,
            side * (w.span_m / 2.0 + 0.03),
            a.tip_underside_z_m() + 0.3 * w.thickness_m,
        )
    };
    let tail = body(
        a.fuselage.tail_x_m.min(a.fin.trailing_edge_x_m) - 0.03,
        0.0,
        shape(a).sections[7].top_m,
    );
    let fin = body(
        f64::midpoint(a.fin.leading_edge_x_m, a.fin.trailing_edge_x_m),
        0.0,
        a.fin.top_z_m + 0.05,
    );
    let mut navigation = Lights::default();
    // Seen from ahead to a little behind abeam; the glow's own edge is soft.
    navigation.add(tip(1.0), palette::LAMP_RED, 0.16, body(0.6, 0.8, 0.0));
    navigation.add(tip(-1.0), palette::LAMP_GREEN, 0.16, body(0.6, -0.8, 0.0));
    navigation.add(tail, palette::LAMP_WHITE, 0.12, body(-1.0, 0.0, 0.0));
    let one = |at: Vec3, colour: Color, reach: f32, beam: Vec3| {
        let mut lights = Lights::default();
        lights.add(at, colour, reach, beam);
        lights
    };
    let ahead = body(1.0, 0.0, 0.0);
    let lamp = lamp_place(a);
    let all = [
        (Belongs::Navigation, navigation),
        (Belongs::Beacon, one(fin, palette::LAMP_RED, 0.30, Vec3::ZERO)),
        (Belongs::Taxi, one(lamp, palette::LAMP_WHITE, 0.40, ahead)),
        (Belongs::Landing, one(lamp, palette::LAMP_WHITE, 0.50, ahead)),
    ];
    for (belongs, lights) in all {
        commands.entity(*frame).with_child((
            belongs,
            Mesh3d(meshes.add(lights.mesh())),
            MeshMaterial3d(glowing.0.clone()),
            Transform::default(),
            Visibility::default(),
        ));
    }
}

/// The beams in the world.
pub fn beams(a: &Aircraft, lamps: Lamps, hour: TimeOfDay, body_in_world: &Transform) -> Beams {
    // Against daylight a lamp adds next to nothing.
    let share = match hour {
        TimeOfDay::Day => 0.02,
        TimeOfDay::Dusk => 0.75,
        TimeOfDay::Night => 1.0,
    };
    let strength = |on: bool, full: f32| if on { full * share } else { 0.0 };
    let ahead = |down: f32| body_in_world.rotation * Vec3::new(0.0, -down.sin(), -down.cos());
    Beams {
        at: body_in_world.transform_point(lamp_place(a)),
        taxi_to: ahead(TAXI_DOWN),
        taxi_edge: TAXI_EDGE,
        taxi: strength(lamps.taxi, TAXI),
        landing_to: ahead(LANDING_DOWN),
        landing: strength(lamps.landing, LANDING),
    }
}

fn shine(
    lamps: Res<Lamps>,
    hour: Res<TimeOfDay>,
    scene: Res<Scene>,
    stance: Res<Stance>,
    finishes: Res<Finishes>,
    mut materials: ResMut<Assets<Daylight>>,
    mut last: Local<Beams>,
) {
    let now = beams(&scene.aircraft, *lamps, *hour, &stance.body_in_world());
    // Nothing to tell the graphics card while all is dark, or while the aeroplane stands.
    let dark = |b: &Beams| b.taxi + b.landing == 0.0;
    if now == *last || dark(&now) && dark(&last) {
        return;
    }
    for handle in [&finishes.ground, &finishes.flat, &finishes.solid, &finishes.sign] {
        if let Some(mut made) = materials.get_mut(handle) {
            made.set_beams(&now);
        }
    }
    *last = now;
}

fn switch(lamps: Res<Lamps>, time: Res<Time<Virtual>>, mut all: Query<(&Belongs, &mut Visibility)>) {
    let flash = time.elapsed_secs() % FLASH_EVERY_S < FLASH_S;
    for (belongs, mut seen) in &mut all {
        let on = match belongs {
            Belongs::Taxi => lamps.taxi,
            Belongs::Landing => lamps.landing,
            Belongs::Navigation => lamps.navigation,
            Belongs::Beacon => lamps.beacon && flash,
        };
        seen.set_if_neq(if on { Visibility::Inherited } else { Visibility::Hidden });
    }
}
