//! The panel as it is seen: a flat drawing over the picture of the outside. Faces are drawn anew when the window or the
//! view changes, needles and levers in every frame.

pub mod controls;
pub mod faces;
pub mod feet;
pub mod hint;
pub mod ink;
pub mod letters;
pub mod needles;
pub mod seat_frame;

use super::View;
use super::cameras::{Turned, place};
use super::readout::FiguresShown;
use crate::beside::OtherFeet;
use crate::controls::asked;
use crate::drive::{Drive, Phase};
use crate::feel::Hands;
use crate::keys::Action;
use crate::panel::Panel;
use crate::panel::layout::{Form, Layout, Target};
use crate::panel::switches::Switches;
use crate::scene::Scene;
use bevy::core_pipeline::tonemapping::Tonemapping;
use bevy::ecs::system::SystemParam;
use bevy::prelude::*;
use bevy::sprite_render::AlphaMode2d;
use bevy::window::PrimaryWindow;
use ink::Ink;
use seat_frame::seat_frame;

/// Whether the panel is shown.
#[derive(Resource, Clone, Copy, Debug, PartialEq, Eq)]
pub struct PanelShown(pub bool);

/// Any drawing of the panel.
#[derive(Component)]
struct Sheet;

/// What is drawn when the layout changes.
#[derive(Component)]
struct Faces;

/// What is drawn in every frame.
#[derive(Component)]
struct Movers;

/// Draws the panel over everything but the words on the screen.
pub fn panel_view_plugin(app: &mut App) {
    app.insert_resource(PanelShown(true))
        .add_plugins(hint::hint_plugin)
        .add_systems(PostStartup, set_up)
        .add_systems(
            Update,
            (
                show_or_hide.run_if(asked(Action::PanelShown)),
                uncover,
                lay_out.after(place),
                (draw_faces.run_if(resource_exists_and_changed::<Layout>), draw_movers)
                    .run_if(resource_exists::<Layout>),
            )
                .chain(),
        );
}

fn set_up(
    mut commands: Commands,
    mut meshes: ResMut<Assets<Mesh>>,
    mut materials: ResMut<Assets<ColorMaterial>>,
    outside: Single<&Msaa, With<Camera3d>>,
) {
    // Both cameras draw into one picture, so they must agree on how edges are smoothed.
    commands.spawn((
        Camera2d,
        Camera {
            order: 1,
            clear_color: ClearColorConfig::None,
            ..default()
        },
        Tonemapping::None,
        **outside,
        IsDefaultUiCamera,
    ));
    let material = materials.add(ColorMaterial {
        color: Color::WHITE,
        alpha_mode: AlphaMode2d::Blend,
        ..default()
    });
    let mut sheet = |z: f32| {
        (
            Mesh2d(meshes.add(Ink::new(1.0).mesh())),
            MeshMaterial2d(material.clone()),
            Transform::from_xyz(0.0, 0.0, z),
            bevy::camera::visibility::NoFrustumCulling,
        )
    };
    let (below, above) = (sheet(0.0), sheet(1.0));
    commands.spawn((Name::new("panel faces"), below, Sheet, Faces));
    commands.spawn((Name::new("panel needles"), above, Sheet, Movers));
}

/// Nothing of it is seen behind the first screen.
fn uncover(phase: Res<Phase>, mut sheets: Query<&mut Visibility, With<Sheet>>) {
    let want = if *phase == Phase::Driving {
        Visibility::Inherited
    } else {
        Visibility::Hidden
    };
    for mut v in &mut sheets {
        v.set_if_neq(want);
    }
}

fn show_or_hide(mut shown: ResMut<PanelShown>) {
    shown.0 = !shown.0;
}

fn lay_out(
    mut commands: Commands,
    window: Single<&Window, With<PrimaryWindow>>,
    view: Res<View>,
    shown: Res<PanelShown>,
    turned: Res<Turned>,
    scene: Res<Scene>,
    now: Option<ResMut<Layout>>,
) {
    let size = window.size();
    let next = match (*view, shown.0) {
        (_, false) => Layout::hidden(size),
        (View::Seat, true) => {
            let frame = seat_frame(&scene.aircraft, size);
            frame.layout().moved(frame.moved(turned.head.x).round())
        }
        _ => Layout::strip(size),
    };
    let next = if scene.aircraft.engine.carburettor_heat {
        next
    } else {
        next.without(Target::CarburettorHeat)
    };
    match now {
        None => commands.insert_resource(next),
        Some(mut now) => {
            now.set_if_neq(next);
        }
    }
}

fn draw_faces(
    layout: Res<Layout>,
    scene: Res<Scene>,
    window: Single<&Window, With<PrimaryWindow>>,
    sheet: Single<(&Mesh2d, &mut Transform), With<Faces>>,
    mut meshes: ResMut<Assets<Mesh>>,
) {
    let mut ink = Ink::new(window.scale_factor());
    faces::draw(&mut ink, &layout, &scene.aircraft);
    let (mesh, mut place) = sheet.into_inner();
    lay_down(ink, mesh, &mut place, &layout, &mut meshes);
}

/// What the moving parts are drawn from.
pub struct Look<'a> {
    /// Places.
    pub layout: &'a Layout,
    /// The aeroplane that is driven.
    pub drive: &'a Drive,
    /// Its instruments.
    pub panel: &'a Panel,
    /// Where the hands have put everything.
    pub hands: &'a Hands,
    /// The switches that the physics does not feel.
    pub switches: &'a Switches,
    /// What is driven.
    pub scene: &'a Scene,
    /// Whether brake heat is shown.
    pub figures: bool,
    /// The other pair of feet.
    pub other: Option<toeline_dynamics::Controls>,
}

/// Everything that the moving parts look at.
#[derive(SystemParam)]
struct Sources<'w> {
    layout: Res<'w, Layout>,
    drive: Res<'w, Drive>,
    panel: Res<'w, Panel>,
    hands: Res<'w, Hands>,
    switches: Res<'w, Switches>,
    scene: Res<'w, Scene>,
    figures: Res<'w, FiguresShown>,
    other: Res<'w, OtherFeet>,
}

fn draw_movers(
    sources: Sources,
    window: Single<&Window, With<PrimaryWindow>>,
    sheet: Single<(&Mesh2d, &mut Transform), With<Movers>>,
    mut meshes: ResMut<Assets<Mesh>>,
) {
    let layout = &*sources.layout;
    let look = Look {
        layout,
        drive: &sources.drive,
        panel: &sources.panel,
        hands: &sources.hands,
        switches: &sources.switches,
        scene: &sources.scene,
        figures: sources.figures.shown(),
        other: sources.other.0,
    };
    let mut ink = Ink::new(window.scale_factor());
    if layout.form != Form::Hidden {
        needles::draw(&mut ink, &look);
        controls::draw(&mut ink, &look);
    }
    feet::draw(&mut ink, &look);
    let (mesh, mut place) = sheet.into_inner();
    lay_down(ink, mesh, &mut place, layout, &mut meshes);
}

/// Puts a drawing on its sheet: the origin goes to the top left corner of the window.
fn lay_down(ink: Ink, sheet: &Mesh2d, place: &mut Mut<Transform>, layout: &Layout, meshes: &mut Assets<Mesh>) {
    let corner = Vec3::new(-layout.window.x / 2.0, layout.window.y / 2.0, place.translation.z);
    if place.translation != corner {
        place.translation = corner;
    }
    if let Some(mut mesh) = meshes.get_mut(&sheet.0) {
        *mesh = ink.mesh();
    }
}
