//! The camera and its three places: the pilot's own eye, behind the tail, straight above with north up.

use super::View;
use super::gaze::Gaze;
use super::panel::{PanelShown, seat_frame::seat_frame};
use super::quality::Quality;
use super::sky::{Dome, SKY_RADIUS_M};
use super::stance::{Stance, Stood};
use crate::controls::asked;
use crate::convert::{body, narrow, world};
use crate::drive::{Drive, Shown};
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
    /// The head, radians to the left and up.
    pub head: Vec2,
    behind: Option<Quat>,
}

/// Sets up the camera and moves it.
pub fn cameras_plugin(app: &mut App) {
    app.init_resource::<Edges>()
        .init_resource::<Lens>()
        .init_resource::<Turned>()
        .init_resource::<Gaze>()
        .add_systems(Startup, set_up)
        .add_systems(
            Update,
            (next_view.run_if(asked(Action::NextView)), place, carry_sky)
                .chain()
                .after(Stood),
        );
}

fn set_up(mut commands: Commands, edges: Res<Edges>, quality: Res<Quality>, adapter: Option<Res<RenderAdapterInfo>>) {
    // On a processor smooth edges cost about half of the frames.
    let by_processor = adapter.is_some_and(|a| format!("{:?}", a.device_type) == "Cpu");
    let smooth = match *edges {
        Edges::Auto => !by_processor && quality.smooth_edges(),
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

/// What the views depend on besides the drive.
type How<'w> = (
    Res<'w, View>,
    Res<'w, Lens>,
    Res<'w, Held>,
    Res<'w, Gaze>,
    Res<'w, PanelShown>,
);

pub(super) fn place(
    how: How,
    what: (Res<Scene>, Res<Shown>, Res<Drive>, Res<Stance>),
    time: Res<Time<Real>>,
    mut turned: ResMut<Turned>,
    camera: Single<(&mut Transform, &mut Projection, &mut Camera), With<Camera3d>>,
    window: Query<&Window, With<PrimaryWindow>>,
) {
    let (view, lens, held, first, panel) = how;
    let (scene, shown, drive, stance) = what;
    let (mut eye, mut projection, mut picture) = camera.into_inner();
    let a = &scene.aircraft;
    let pose = shown.0;
    let frame = stance.wheels;
    // The share of the rest of a turn that is done in this frame.
    let share = 1.0 - (-time.delta_secs() / lens.settle_s).exp();
    let gaze = Gaze::wanted(*held, *first).turn_deg(&scene, drive.way_m, pose, lens.seat_turn_deg);
    let look = Vec2::new(gaze.x.to_radians(), gaze.y.to_radians());
    let head = turned.head + (look - turned.head) * share;
    turned.head = head;
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
            let inside = stance.body_in_world();
            // Looking back the pilot leans: forward, and away from the shoulder that is looked over.
            let back = (head.x.abs() / std::f32::consts::FRAC_PI_2 - 1.0).max(0.0);
            let aside = head.x.abs().min(1.0) * 0.10;
            let lean = Vec3::new(head.x.signum() * 0.10, 0.0, -0.12) * back - Vec3::Z * aside;
            let at = body(s.pilot_eye_x_m, s.pilot_eye_y_m, s.pilot_eye_z_m) + lean;
            let down = down_deg.to_radians() * (1.0 - 0.5 * head.x.abs().min(1.0));
            let turn = Quat::from_rotation_y(head.x) * Quat::from_rotation_x(head.y - down);
            Transform::from_translation(inside.transform_point(at)).with_rotation(inside.rotation * turn)
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
    mut domes: Query<&mut Transform, With<Dome>>,
) {
    for mut dome in &mut domes {
        dome.translation = Vec3::new(camera.translation.x, 0.0, camera.translation.z);
    }
}
