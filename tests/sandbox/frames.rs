//! What a frame costs: the processor time of our own systems against an empty Bevy app in the same run, and whole frames of
//! the three views at 1920×1080 without a window, on whatever adapter there is. Asserts first that something is drawn and
//! that the drive goes on.
//!
//! `cargo bench -p toeline-sandbox --bench frames`, or the built program with a job file as its argument.

#![expect(clippy::print_stdout, reason = "a bench prints its figures")]

mod demo;

use bevy::app::{PluginsState, ScheduleRunnerPlugin};
use bevy::camera::RenderTarget;
use bevy::image::Image;
use bevy::log::LogPlugin;
use bevy::prelude::*;
use bevy::render::render_resource::{PollType, TextureFormat};
use bevy::render::renderer::{RenderAdapterInfo, RenderDevice};
use bevy::render::settings::{RenderCreation, WgpuSettings};
use bevy::render::view::screenshot::{Screenshot, ScreenshotCaptured};
use bevy::render::{Render, RenderApp, RenderPlugin, RenderSystems};
use bevy::time::TimeUpdateStrategy;
use bevy::window::{ExitCondition, WindowPlugin};
use bevy::winit::WinitPlugin;
use std::path::Path;
use std::time::{Duration, Instant};
use toeline_dynamics::Faults;
use toeline_sandbox::core_plugins;
use toeline_sandbox::desk::choice::{Choice, today};
use toeline_sandbox::drive::{Drive, Phase};
use toeline_sandbox::scene::Scene;
use toeline_sandbox::view::{View, view_plugins};

/// Size of the pictures, pixels.
const SIZE: UVec2 = UVec2::new(1920, 1080);
/// Frames before counting and frames counted.
const WARM: u32 = 20;
const COUNTED: u32 = 200;
/// Ticks in a frame: 60 frames a second.
const TICKS: u32 = 4;

/// The image that is drawn into.
#[derive(Resource)]
struct Sheet(Handle<Image>);

/// Share of the picture's pixels that differ from its first one.
#[derive(Resource, Default)]
struct Drawn(Option<f64>);

fn bare(drawing: bool) -> App {
    let mut app = App::new();
    let creation = if drawing {
        RenderCreation::default()
    } else {
        RenderCreation::Automatic(Box::new(WgpuSettings {
            backends: None,
            ..default()
        }))
    };
    app.add_plugins(
        DefaultPlugins
            .set(WindowPlugin {
                primary_window: None,
                exit_condition: ExitCondition::DontExit,
                ..default()
            })
            .set(RenderPlugin {
                synchronous_pipeline_compilation: true,
                render_creation: creation,
                ..default()
            })
            .disable::<LogPlugin>()
            .disable::<WinitPlugin>(),
    )
    .add_plugins(ScheduleRunnerPlugin::run_loop(Duration::ZERO))
    .insert_resource(TimeUpdateStrategy::FixedTimesteps(TICKS));
    app
}

fn ours(app: &mut App, scene: &Scene, view: View) {
    app.insert_resource(scene.clone())
        .insert_resource(view)
        .insert_resource(Phase::Driving)
        .insert_resource(Choice::new(vec![], today()))
        .add_plugins((core_plugins, view_plugins));
}

/// Waits for plugins that are made ready on other threads.
fn ready(app: &mut App) {
    while app.plugins_state() == PluginsState::Adding {
        bevy::tasks::tick_global_task_pools_on_main_thread();
    }
    app.finish();
    app.cleanup();
}

/// Times of single frames after a warm-up, seconds, in rising order.
fn times(app: &mut App) -> Vec<f64> {
    for _ in 0..WARM {
        app.update();
    }
    let mut all: Vec<f64> = (0..COUNTED)
        .map(|_| {
            let began = Instant::now();
            app.update();
            began.elapsed().as_secs_f64()
        })
        .collect();
    all.sort_by(f64::total_cmp);
    all
}

fn at(sorted: &[f64], share: f64) -> f64 {
    sorted[((sorted.len() - 1) as f64 * share) as usize] * 1e3
}

/// Our own systems, without any drawing, against an app that has nothing of ours.
fn processor(scene: &Scene) {
    let mut empty = bare(false);
    ready(&mut empty);
    let mut full = bare(false);
    ours(&mut full, scene, View::Seat);
    ready(&mut full);
    // By turns, so that a noisy machine is noisy for both.
    let (mut without, mut with) = (Vec::new(), Vec::new());
    for _ in 0..3 {
        without.extend(times(&mut empty));
        with.extend(times(&mut full));
    }
    assert!(
        full.world().resource::<Drive>().tick > u64::from(COUNTED * TICKS),
        "the drive goes on"
    );
    without.sort_by(f64::total_cmp);
    with.sort_by(f64::total_cmp);
    let (a, b) = (at(&without, 0.5), at(&with, 0.5));
    println!(
        "frames: processor, {TICKS} ticks a frame, no drawing: empty app {a:.3} ms, with ours {b:.3} ms, ratio {:.2}, \
         ours {:.3} ms a frame",
        b / a,
        b - a
    );
}

/// Whole frames with everything drawn, each waited for.
fn whole(scene: &Scene, view: View) {
    let mut app = bare(true);
    ours(&mut app, scene, view);
    app.init_resource::<Drawn>().add_systems(PostStartup, draw_into_a_sheet);
    if let Some(render) = app.get_sub_app_mut(RenderApp) {
        render.add_systems(Render, wait_for_the_device.in_set(RenderSystems::Cleanup));
    }
    ready(&mut app);
    let all = times(&mut app);
    let sheet = app.world().resource::<Sheet>().0.clone();
    app.world_mut()
        .spawn(Screenshot(RenderTarget::Image(sheet.into())))
        .observe(|shot: On<ScreenshotCaptured>, mut drawn: ResMut<Drawn>| {
            let data = shot.image.data.as_deref().unwrap_or_default();
            let first = data.get(..4).unwrap_or_default();
            let differ = data.chunks_exact(4).filter(|p| *p != first).count();
            drawn.0 = Some(differ as f64 * 4.0 / data.len().max(1) as f64);
        });
    for _ in 0..30 {
        app.update();
    }
    let drawn = app.world().resource::<Drawn>().0.expect("a picture came back");
    assert!(drawn > 0.2, "nothing much was drawn: {drawn}");
    let adapter = app
        .world()
        .get_resource::<RenderAdapterInfo>()
        .map_or("unknown adapter".to_string(), |a| {
            format!("{} ({:?}, {:?})", a.name, a.device_type, a.backend)
        });
    println!(
        "frames: {view:?} at {}x{} without a window on {adapter}: median {:.2} ms, 95 of 100 under {:.2} ms, longest {:.2} ms",
        SIZE.x,
        SIZE.y,
        at(&all, 0.5),
        at(&all, 0.95),
        at(&all, 1.0)
    );
}

fn draw_into_a_sheet(mut commands: Commands, mut images: ResMut<Assets<Image>>, cameras: Query<Entity, With<Camera>>) {
    let sheet = images.add(Image::new_target_texture(
        SIZE.x,
        SIZE.y,
        TextureFormat::Rgba8UnormSrgb,
        None,
    ));
    for camera in &cameras {
        commands
            .entity(camera)
            .insert((RenderTarget::Image(sheet.clone().into()), IsDefaultUiCamera));
    }
    commands.insert_resource(Sheet(sheet));
}

/// Nothing is presented, so nothing else would wait for the card.
fn wait_for_the_device(device: Res<RenderDevice>) {
    let _ = device.poll(PollType::wait_indefinitely());
}

/// A planned drive on the project's own invented field.
fn demo_scene() -> Scene {
    Scene::from_plan(demo::plan(), Faults::default(), serde_json::Value::Null).expect("a way")
}

fn main() {
    // `cargo bench` hands over flags of its own.
    let job = std::env::args().skip(1).find(|a| !a.starts_with('-'));
    let scene = match job {
        Some(job) => Scene::from_job_file(Path::new(&job)).unwrap_or_else(|e| panic!("{e}")),
        None => demo_scene(),
    };
    processor(&scene);
    for view in [View::Seat, View::Behind, View::Above] {
        whole(&scene, view);
    }
}
