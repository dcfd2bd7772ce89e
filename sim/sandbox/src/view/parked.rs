//! Aeroplanes on the other stands. The planner takes every other stand as occupied by an aeroplane like ours, stretched or
//! shrunk to the stand's span limit; the same aeroplane is drawn in the same place, so that what is seen is never larger
//! than what was reckoned with. On a stand for much larger ones ours stands there as it is, because a trainer with the wing
//! of an airliner is nothing that a pilot ever sees.

use super::daylight::Finishes;
use super::field::layer;
use super::sketch::Sketch;
use super::{airframe, distant, lifting, wheels};
use crate::convert::{body, facing, narrow, world};
use crate::scene::{Raise, Scene};
use bevy::light::NotShadowCaster;
use bevy::prelude::*;
use std::collections::BTreeMap;
use toeline_engine::clearance::{like_ours, parked_pose};
use toeline_model::aircraft::parts::parts;
use toeline_model::airfield::{Obstacle, ObstacleKind};
use toeline_model::planar::{Shape, outline_to_outline};
use toeline_model::{Aircraft, Pose, Xy, Yaw};

/// Largest stretch of the wing that is drawn, as a share of our span. Ours.
const MOST_STRETCH: f64 = 1.6;

/// An aeroplane that stands on the field.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Parked {
    /// Where it stands; the nose wheel's place.
    pub pose: Pose,
    /// Its span, metres.
    pub span_m: f64,
    /// Its size as a share of ours, wings aside.
    pub scale: f64,
}

/// Every aeroplane that stands on a stand or that the map shows tied down in a four-cornered outline.
pub fn parked(scene: &Scene) -> Vec<Parked> {
    let ours = &scene.aircraft;
    let mut own = vec![scene.path.start];
    own.extend(scene.stops.iter().map(|s| scene.path.pose_at(s.at_m)));
    let own: Vec<(Xy, Vec<Vec<Xy>>)> = own.iter().map(|pose| (pose.nose, outlines(ours, *pose))).collect();
    let reach_m = ours.reach_m();
    let mut list = Vec::new();
    for s in scene.field.stands.iter().filter(|s| s.closed.is_none()) {
        let Some(pose) = parked_pose(&scene.field, s) else {
            continue;
        };
        let limit = s.span_limit_m.filter(|limit| *limit <= MOST_STRETCH * ours.wing.span_m);
        let other = like_ours(ours, limit);
        // Where we stand, at the start or at a stop, no other stands: two drawings of the same ground.
        let theirs = outlines(&other, pose);
        let meets = |(at, mine): &(Xy, Vec<Vec<Xy>>)| {
            at.distance(pose.nose) < 2.0 * (reach_m + other.reach_m())
                && mine
                    .iter()
                    .any(|m| theirs.iter().any(|t| outline_to_outline(m, t).distance_m == 0.0))
        };
        if !own.iter().any(meets) {
            list.push(Parked {
                pose,
                span_m: other.wing.span_m,
                scale: 1.0,
            });
        }
    }
    list.extend(scene.field.obstacles.iter().filter_map(|o| tied_down(ours, o)));
    list
}

fn outlines(a: &Aircraft, pose: Pose) -> Vec<Vec<Xy>> {
    let place = |p: &Xy| pose.place(a.gear.wheelbase_m, *p);
    parts(a).iter().map(|p| p.outline.iter().map(place).collect()).collect()
}

/// Whether the map's outline of a parked aeroplane is a box, in which one is drawn instead of the box itself.
pub fn drawn_as_aeroplane(o: &Obstacle) -> bool {
    o.kind == ObstacleKind::ParkedAeroplane
        && matches!(&o.shape, Shape::Area { outer, holes } if outer.len() == 4 && holes.is_empty())
}

/// An aeroplane as large as fits into the map's box, its nose along the first edge: the map does not say which way it points.
fn tied_down(ours: &Aircraft, o: &Obstacle) -> Option<Parked> {
    let Shape::Area { outer, .. } = &o.shape else {
        return None;
    };
    if !drawn_as_aeroplane(o) {
        return None;
    }
    let ahead = Xy::unit((outer[1] - outer[0]).direction());
    let middle = outer.iter().fold(Xy { x: 0.0, y: 0.0 }, |sum, p| sum + *p) * 0.25;
    // The inner measures of the box along and across.
    let least = |way: Xy| {
        let at = |p: &Xy| (*p - middle).dot(way);
        let mut all: Vec<f64> = outer.iter().map(at).collect();
        all.sort_by(f64::total_cmp);
        all[2] - all[1]
    };
    let front = ours
        .wing
        .root_leading_edge_x_m
        .max(ours.foremost_ahead_of_nose_m() + ours.gear.wheelbase_m);
    let tail = ours.fuselage.tail_x_m.min(ours.fin.trailing_edge_x_m);
    let tall = o.top_m.map_or(1.0, |top| top / ours.fin.top_z_m);
    let scale = (least(ahead) / (front - tail))
        .min(least(ahead.left()) / ours.wing.span_m)
        .min(tall)
        .min(1.0);
    let nose_from_middle = (ours.gear.wheelbase_m - f64::midpoint(front, tail)) * scale;
    Some(Parked {
        pose: Pose {
            nose: middle + ahead * nose_from_middle,
            heading_rad: Yaw::from_rad(ahead.direction().rad()),
        },
        span_m: ours.wing.span_m,
        scale,
    })
}

/// How near to the eye, along the ground, an aeroplane is drawn in full, metres, and how far away it is drawn plainly again.
/// Ours: at the first a span of 11 m is about 80 picture points of a window 1280 wide, and the change is hardly seen.
pub const FULL_WITHIN_M: f32 = 140.0;
const PLAIN_BEYOND_M: f32 = 160.0;

/// An aeroplane on a stand with its two drawings; far from the eye the plain one is shown.
#[derive(Component, Clone, Debug)]
pub struct Detail {
    full: Handle<Mesh>,
    plain: Handle<Mesh>,
}

/// Draws them: two meshes for each span, whatever the number of aeroplanes.
pub fn parked_plugin(app: &mut App) {
    app.add_systems(Raise, draw).add_systems(Update, choose_detail);
}

/// What is made once for each span.
struct Made {
    detail: Detail,
    shade: Handle<Mesh>,
    wheelbase_m: f64,
}

fn draw(mut commands: Commands, scene: Res<Scene>, mut meshes: ResMut<Assets<Mesh>>, finishes: Res<Finishes>) {
    let mut made: BTreeMap<i64, Made> = BTreeMap::new();
    for p in parked(&scene) {
        let millimetres = (p.span_m * 1000.0).round() as i64;
        let one = made.entry(millimetres).or_insert_with(|| {
            let a = like_ours(&scene.aircraft, Some(p.span_m));
            let mut mesh = |draw: &dyn Fn(&mut Sketch)| {
                let mut sketch = Sketch::default();
                draw(&mut sketch);
                meshes.add(sketch.mesh())
            };
            Made {
                detail: Detail {
                    full: mesh(&|s| whole(s, &a)),
                    plain: mesh(&|s| distant::whole(s, &a)),
                },
                shade: mesh(&|s| super::aeroplane::shadow_of(s, &a)),
                wheelbase_m: a.gear.wheelbase_m,
            }
        });
        let axle = p.pose.nose - Xy::unit(p.pose.heading_rad) * (one.wheelbase_m * p.scale);
        let at = Transform::from_translation(world(axle, 0.0))
            .with_rotation(facing(p.pose.heading_rad))
            .with_scale(Vec3::splat(narrow(p.scale)));
        commands
            .spawn((
                Name::new("parked aeroplane"),
                one.detail.clone(),
                Mesh3d(one.detail.plain.clone()),
                MeshMaterial3d(finishes.solid.clone()),
                at,
            ))
            .with_child((
                Mesh3d(one.shade.clone()),
                MeshMaterial3d(finishes.shade.clone()),
                NotShadowCaster,
                Transform::from_xyz(0.0, narrow(layer::SHADOW), 0.0),
            ));
    }
}

/// Shows the full drawing near an eye and the plain one far from all, with some room between so that none flickers.
fn choose_detail(
    eyes: Query<(&GlobalTransform, &Camera), With<Camera3d>>,
    mut list: Query<(&Transform, &Detail, &mut Mesh3d)>,
) {
    for (at, detail, mut mesh) in &mut list {
        let away = |eye: &GlobalTransform| eye.translation().xz().distance(at.translation.xz());
        let eyes = eyes.iter().filter(|(_, camera)| camera.is_active);
        let near_m = eyes.map(|(eye, _)| away(eye)).fold(f32::INFINITY, f32::min);
        let is_full = mesh.0 == detail.full;
        let limit_m = if is_full { PLAIN_BEYOND_M } else { FULL_WITHIN_M };
        if (near_m < limit_m) != is_full {
            mesh.0 = if is_full {
                detail.plain.clone()
            } else {
                detail.full.clone()
            };
        }
    }
}

/// A whole aeroplane at rest, controls in the middle, propeller upright.
pub fn whole(sketch: &mut Sketch, a: &Aircraft) {
    airframe::hull(sketch, a);
    airframe::rear_hull(sketch, a);
    lifting::wings(sketch, a);
    lifting::tailplane(sketch, a);
    airframe::fin(sketch, a);
    wheels::sleeve(sketch, a);
    let mut put = |draw: &dyn Fn(&mut Sketch) -> Vec3| {
        let mut part = Sketch::default();
        let at = draw(&mut part);
        sketch.place(&part, Transform::from_translation(at));
    };
    let g = &a.gear;
    for side in [1.0, -1.0] {
        put(&|s| lifting::aileron(s, a, side).at);
        put(&|s| lifting::elevator(s, a, side).at);
        let hub = body(0.0, side * g.track_m / 2.0, g.main_tyre_diameter_m / 2.0);
        put(&|s| {
            wheels::wheel(s, g.main_tyre_width_m, g.main_tyre_diameter_m);
            wheels::axle(s, a, side);
            hub
        });
        put(&|s| {
            let (root, foot) = wheels::leg_ends(a, side);
            s.bar(Vec3::ZERO, foot - root, (0.05, 0.035), 6, super::palette::METAL);
            root
        });
    }
    put(&|s| {
        airframe::rudder(s, a);
        body(airframe::rudder_hinge(a).0, 0.0, 0.0)
    });
    put(&|s| {
        wheels::fork(s, a);
        body(g.wheelbase_m, 0.0, 0.0)
    });
    put(&|s| {
        wheels::wheel(s, g.nose_tyre_width_m, g.nose_tyre_diameter_m);
        body(g.wheelbase_m, 0.0, g.nose_tyre_diameter_m / 2.0)
    });
    for p in &a.propellers {
        put(&|s| {
            airframe::spinner(s);
            airframe::blades(s, p.diameter_m);
            body(p.x_m, p.y_m, p.hub_z_m)
        });
    }
}
