//! The aeroplane that is driven, built from its parts: wheels and shadow stay on the ground, everything else hangs on the
//! sprung body.

use super::daylight::Finishes;
use super::field::layer;
use super::lifting::Hinge;
use super::moving::{Blades, Blur, Leg, Moves, NoseWheel, Rolls, Surface};
use super::sketch::Sketch;
use super::stance::{Stance, Stood};
use super::{SeenFrom, View, airframe, lifting, palette, wheels};
use crate::convert::{body, narrow};
use crate::scene::{Raise, Scene};
use bevy::light::NotShadowCaster;
use bevy::prelude::*;
use toeline_model::Aircraft;
use toeline_model::aircraft::parts::parts;

/// The frame on the ground: the middle of the main axle. Wheels and shadow hang on it.
#[derive(Component)]
pub struct Wheels;

/// The sprung body, in the aeroplane's own axes: cabin, wings, tail, lamps and the cockpit hang on it.
#[derive(Component)]
pub struct Frame;

/// Builds the aeroplane and keeps it in place.
pub fn aeroplane_plugin(app: &mut App) {
    app.add_systems(Raise, build.in_set(Built))
        .add_systems(Update, (follow.after(Stood), show_by_view));
}

/// The set in which the frame is made; the cockpit hangs itself on it afterwards.
#[derive(SystemSet, Clone, Debug, PartialEq, Eq, Hash)]
pub struct Built;

fn build(mut commands: Commands, scene: Res<Scene>, mut meshes: ResMut<Assets<Mesh>>, finishes: Res<Finishes>) {
    let a = &scene.aircraft;
    let mut mesh = |draw: &dyn Fn(&mut Sketch)| {
        let mut sketch = Sketch::default();
        draw(&mut sketch);
        Mesh3d(meshes.add(sketch.mesh()))
    };
    let outside = SeenFrom(&[View::Behind, View::Above]);
    let paint = MeshMaterial3d(finishes.solid.clone());
    let at = |h: Hinge| (Transform::from_translation(h.at), h.along);
    let mut none = Sketch::default();
    let ground = (Wheels, Transform::default(), Visibility::default());
    let ground = commands.spawn((Name::new("wheels"), ground)).id();
    let frame = (Frame, Transform::default(), Visibility::default());
    let frame = commands.spawn((Name::new("aeroplane"), frame, ChildOf(ground))).id();

    commands.entity(frame).with_children(|f| {
        f.spawn((mesh(&|s| airframe::hull(s, a)), paint.clone(), outside));
        let lining = mesh(&|s| airframe::rear_lining(s, a));
        f.spawn((lining, paint.clone(), SeenFrom(&[View::Seat])));
        f.spawn((
            mesh(&|s| {
                airframe::rear_hull(s, a);
                lifting::wings(s, a);
                lifting::tailplane(s, a);
                airframe::fin(s, a);
                wheels::sleeve(s, a);
            }),
            paint.clone(),
        ));
        for side in [1.0, -1.0] {
            let (place, along) = at(lifting::aileron(&mut none, a, side));
            let moves = Surface::new(Moves::Aileron { side: narrow(side) }, along);
            let drawn = mesh(&|s| {
                lifting::aileron(s, a, side);
            });
            f.spawn((drawn, paint.clone(), moves, place));
            let (place, along) = at(lifting::elevator(&mut none, a, side));
            let drawn = mesh(&|s| {
                lifting::elevator(s, a, side);
            });
            f.spawn((drawn, paint.clone(), Surface::new(Moves::Elevator, along), place));
        }
        let (hinge, _) = airframe::rudder_hinge(a);
        f.spawn((
            mesh(&|s| airframe::rudder(s, a)),
            paint.clone(),
            Surface::new(Moves::Rudder, Vec3::Y),
            Transform::from_translation(body(hinge, 0.0, 0.0)),
        ));
        for p in &a.propellers {
            let hub = Transform::from_translation(body(p.x_m, p.y_m, p.hub_z_m));
            f.spawn((mesh(&airframe::spinner), paint.clone(), outside, hub));
            let blades = mesh(&|s| airframe::blades(s, p.diameter_m));
            f.spawn((blades, paint.clone(), Blades::default(), hub));
            f.spawn((
                mesh(&|s| airframe::blurred(s, p.diameter_m)),
                MeshMaterial3d(finishes.blur.clone()),
                Blur,
                NotShadowCaster,
                hub,
            ));
        }
    });

    let g = &a.gear;
    let main_wheel = mesh(&|s| wheels::wheel(s, g.main_tyre_width_m, g.main_tyre_diameter_m));
    let leg = mesh(&wheels::leg);
    commands.entity(ground).with_children(|w| {
        for (i, side) in [(1, 1.0), (2, -1.0)] {
            let hub = Transform::from_translation(body(0.0, side * g.track_m / 2.0, g.main_tyre_diameter_m / 2.0));
            w.spawn((main_wheel.clone(), paint.clone(), Rolls::new(i), hub));
            w.spawn((mesh(&|s| wheels::axle(s, a, side)), paint.clone(), hub));
            let (root, foot) = wheels::leg_ends(a, side);
            w.spawn((leg.clone(), paint.clone(), Leg { root, foot }, Transform::default()));
        }
        let nose = Transform::from_translation(body(g.wheelbase_m, 0.0, 0.0));
        w.spawn((mesh(&|s| wheels::fork(s, a)), paint.clone(), NoseWheel, nose))
            .with_child((
                mesh(&|s| wheels::wheel(s, g.nose_tyre_width_m, g.nose_tyre_diameter_m)),
                paint.clone(),
                Rolls::new(0),
                Transform::from_translation(body(0.0, 0.0, g.nose_tyre_diameter_m / 2.0)),
            ));
        w.spawn((
            mesh(&|s| shadow_of(s, a)),
            MeshMaterial3d(finishes.shade.clone()),
            NotShadowCaster,
            Transform::from_xyz(0.0, narrow(layer::SHADOW), 0.0),
        ));
    });
}

/// The plan outline of all parts, flat on the ground. Parts overlap only under the body.
pub fn shadow_of(sketch: &mut Sketch, a: &Aircraft) {
    for part in parts(a)
        .iter()
        .filter(|p| !p.name.contains("propeller") && !p.name.contains("wheel") && p.name != "fin")
    {
        let ring: Vec<Vec3> = part.outline.iter().map(|p| body(p.x, p.y, 0.0)).collect();
        sketch.face(&ring, palette::BLACK.with_alpha(0.38));
    }
}

fn follow(
    stance: Res<Stance>,
    mut wheels: Single<&mut Transform, (With<Wheels>, Without<Frame>)>,
    mut frame: Single<&mut Transform, (With<Frame>, Without<Wheels>)>,
) {
    **wheels = stance.wheels;
    **frame = stance.body;
}

fn show_by_view(view: Res<View>, mut things: Query<(&SeenFrom, &mut Visibility)>) {
    for (seen, mut visibility) in &mut things {
        let want = if seen.0.contains(&view) {
            Visibility::Inherited
        } else {
            Visibility::Hidden
        };
        if *visibility != want {
            *visibility = want;
        }
    }
}
