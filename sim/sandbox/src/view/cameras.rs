//! The camera and its three places: the pilot's own eye, behind the tail, straight above with north up.

use super::View;
use super::panel::{PanelShown, seat_frame::seat_frame};
use super::sky::{Dome, SKY_RADIUS_M};
use crate::controls::asked;
use crate::convert::{body, facing, narrow, world};
use crate::drive::Shown;
use crate::feel::Held;
use crate::keys::Action;
use crate::scene::Scene;
use bevy::core_pipeline::tonemapping::Tonemapping;
use bevy::prelude::*;
use bevy::render::renderer::RenderAdapterInfo;
use bevy::window::PrimaryWindow;

/// Whether edges are smoothed.
#[derive(Resource, Clone, Copy, Debug, Default, PartialEq, Eq, clap::ValueEnum)]
pub enum Edges {
    /// Where a graphics card draws.
    #[default]
    Auto,
    /// Always.
    Smooth,
    /// Never.
    Rough,
}

/// Figures of the three views. All ours.
#[derive(Resource, Clone, Copy, Debug)]
pub struct Lens {
    /// Vertical opening from the seat, degrees.
    pub seat_open_deg: f32,
    /// How far the pilot looks down, degrees.
    pub seat_down_deg: f32,
    /// How far the head turns to the side while a look key is held, degrees.
    pub seat_turn_deg: f32,
    /// Vertical opening of the other two, degrees.
    pub out_open_deg: f32,
    /// Behind the main axle, spans.
    pub behind_spans: f32,
    /// Above the ground behind the tail, spans.
    pub behind_up_spans: f32,
    /// Straight above, spans.
    pub above_spans: f32,
    /// Time in which a turn of the head or of the view behind is two thirds done, seconds.
    pub settle_s: f32,
}

impl Default for Lens {
    fn default() -> Lens {
        Lens {
            seat_open_deg: 52.0,
            seat_down_deg: 7.0,
            seat_turn_deg: 68.0,
            out_open_deg: 42.0,
            behind_spans: 1.55,
            behind_up_spans: 0.52,
            above_spans: 5.5,
            settle_s: 0.35,
        }
    }
}

/// Where head and view behind have turned to.
#[derive(Resource, Clone, Copy, Debug, Default)]
pub struct Turned {
    /// The head, radians to the left.
    pub head_rad: f32,
    behind: Option<Quat>,
}

/// Sets up the camera and moves it.
pub fn cameras_plugin(app: &mut App) {
    app.init_resource::<Edges>()
        .init_resource::<Lens>()
        .init_resource::<Turned>()
        .add_systems(Startup, set_up)
        .add_systems(
            Update,
            (next_view.run_if(asked(Action::NextView)), place, carry_sky).chain(),
        );
}

fn set_up(mut commands: Commands, edges: Res<Edges>, adapter: Option<Res<RenderAdapterInfo>>) {
    // On a processor smooth edges cost about half of the frames.
    let by_processor = adapter.is_some_and(|a| format!("{:?}", a.device_type) == "Cpu");
    let smooth = match *edges {
        Edges::Auto => !by_processor,
        Edges::Smooth => true,
        Edges::Rough => false,
    };
    let msaa = if smooth { Msaa::Sample4 } else { Msaa::Off };
    commands.spawn((
        Camera3d::default(),
        Projection::Perspective(PerspectiveProjection {
            near: 0.08,
            far: SKY_RADIUS_M * 1.5,
            ..default()
        }),
        Tonemapping::None,
        msaa,
    ));
}

fn next_view(mut view: ResMut<View>) {
    *view = view.next();
}

pub(super) fn place(
    how: (Res<View>, Res<Lens>, Res<Held>, Res<PanelShown>),
    scene: Res<Scene>,
    shown: Res<Shown>,
    time: Res<Time<Real>>,
    mut turned: ResMut<Turned>,
    camera: Single<(&mut Transform, &mut Projection, &mut Camera), With<Camera3d>>,
    window: Query<&Window, With<PrimaryWindow>>,
) {
    let (view, lens, held, panel) = how;
    let (mut eye, mut projection, mut picture) = camera.into_inner();
    let a = &scene.aircraft;
    let pose = shown.0;
    let frame =
        Transform::from_translation(world(pose.axle(a.gear.wheelbase_m), 0.0)).with_rotation(facing(pose.heading_rad));
    // The share of the rest of a turn that is done in this frame.
    let share = 1.0 - (-time.delta_secs() / lens.settle_s).exp();
    let look = match (held.is(Action::LookLeft), held.is(Action::LookRight)) {
        (true, false) => lens.seat_turn_deg.to_radians(),
        (false, true) => -lens.seat_turn_deg.to_radians(),
        _ => 0.0,
    };
    turned.head_rad += (look - turned.head_rad) * share;
    let behind = turned.behind.map_or(frame.rotation, |q| q.slerp(frame.rotation, share));
    turned.behind = Some(behind);
    let span = narrow(a.wing.span_m);
    let mut open_deg = lens.out_open_deg;
    let mut part = None;
    *eye = match *view {
        View::Seat => {
            open_deg = lens.seat_open_deg;
            let mut down_deg = lens.seat_down_deg;
            if let Some(window) = window.iter().next().filter(|_| panel.0) {
                // The head stays level, and the window shows the part of the picture that leaves room for the panel.
                let (open_rad, view) = seat_frame(a, window.size()).lens();
                (open_deg, down_deg, part) = (open_rad.to_degrees(), 0.0, Some(view));
            }
            let s = &a.seats;
            let at = frame.transform_point(body(s.pilot_eye_x_m, s.pilot_eye_y_m, s.pilot_eye_z_m));
            let turn = Quat::from_rotation_y(turned.head_rad) * Quat::from_rotation_x(-down_deg.to_radians());
            Transform::from_translation(at).with_rotation(frame.rotation * turn)
        }
        View::Behind => {
            let back = Vec3::new(0.0, lens.behind_up_spans * span, lens.behind_spans * span);
            let ahead = frame.translation + behind * Vec3::new(0.0, 1.2, -0.35 * span);
            Transform::from_translation(frame.translation + behind * back).looking_at(ahead, Vec3::Y)
        }
        View::Above => {
            let up = lens.above_spans * span;
            Transform::from_translation(world(pose.nose, 0.0) + Vec3::Y * up).looking_to(Vec3::NEG_Y, Vec3::NEG_Z)
        }
    };
    if let Projection::Perspective(p) = projection.as_mut()
        && p.fov != open_deg.to_radians()
    {
        p.fov = open_deg.to_radians();
    }
    if picture.sub_camera_view != part {
        picture.sub_camera_view = part;
    }
}

fn carry_sky(
    camera: Single<&Transform, (With<Camera3d>, Without<Dome>)>,
    mut dome: Single<&mut Transform, With<Dome>>,
) {
    dome.translation = Vec3::new(camera.translation.x, 0.0, camera.translation.z);
}
