//! `toeline-sandbox`: opens the window and drives a job.

use bevy::diagnostic::FrameCount;
use bevy::prelude::*;
use bevy::render::RenderPlugin;
use bevy::render::settings::{MemoryHints, WgpuSettings};
use bevy::window::{PresentMode, WindowResolution};
use clap::{ArgGroup, Parser};
use std::io::Write;
use std::path::PathBuf;
use std::process::ExitCode;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use toeline_model::Wind;
use toeline_sandbox::core_plugins;
use toeline_sandbox::desk::choice::{Choice, find_fields, named_lesson, today, usual_folders};
use toeline_sandbox::desk::report::Reports;
use toeline_sandbox::drive::{Drive, Phase, Span};
use toeline_sandbox::feet::{self, OpenScreen, Screen, listing};
use toeline_sandbox::opening::end_in_words_without_graphics;
use toeline_sandbox::panel::PanelStart;
use toeline_sandbox::panel::mouse::Grip;
use toeline_sandbox::panel::switches::Switches;
use toeline_sandbox::recorder::{KeepAttempt, RecordTo, Recording, rescue};
use toeline_sandbox::scene::Scene;
use toeline_sandbox::scripted::Scripted;
use toeline_sandbox::view::cameras::Edges;
use toeline_sandbox::view::gaze::Gaze;
use toeline_sandbox::view::hour::TimeOfDay;
use toeline_sandbox::view::photo::Photo;
use toeline_sandbox::view::quality::Quality;
use toeline_sandbox::view::readout::{FiguresShown, TextScale};
use toeline_sandbox::view::{View, view_plugins};
use toeline_training::DrillKind;
use toeline_training::logbook::{self, usual_place};

/// Drive a planned taxi route, from the pilot's own seat, from behind or from above.
#[derive(Parser)]
#[command(version, about, group(ArgGroup::new("task").args(["job", "exercise"])))]
struct Args {
    /// The job to drive, as `toeline drive` writes it; without one the first screen lets you choose and draw.
    job: Option<PathBuf>,
    /// Map file that the first screen begins with.
    #[arg(long, value_name = "FILE", conflicts_with = "job")]
    field: Option<PathBuf>,
    /// An exercise to drive: its name in the course (see `toeline exercise list`) or a file of your own.
    #[arg(long, value_name = "NAME|FILE", conflicts_with = "field")]
    exercise: Option<String>,
    /// Aeroplane for the exercise, in place of the one that it names: a built-in one or a file of your own.
    #[arg(long, value_name = "NAME|FILE", requires = "exercise")]
    aircraft: Option<String>,
    /// Say on the terminal, line by line, what is shown and where the places of the map are.
    #[arg(long)]
    report: bool,
    /// View to begin with.
    #[arg(long, value_enum, default_value = "seat")]
    view: ViewArg,
    /// Size of the window, pixels.
    #[arg(long, value_name = "WIDTHxHEIGHT", default_value = "1280x720", value_parser = read_size)]
    size: (u32, u32),
    /// Size of all text, as a share of the ordinary size.
    #[arg(long, value_name = "SHARE", default_value_t = 1.0, value_parser = read_text_scale)]
    text_scale: f32,
    /// Start the drive this far along the route, metres; after the push by hand, if there is one, when not given.
    #[arg(long, value_name = "METRES", requires = "job")]
    from_way: Option<f64>,
    /// Drive from a script in place of the keyboard, and leave at its end.
    #[arg(long, value_name = "FILE", requires = "task")]
    script: Option<PathBuf>,
    /// End the drive after this many ticks of 1/240 s and leave.
    #[arg(long)]
    ticks: Option<u64>,
    /// Take a picture of the window and leave.
    #[arg(long, value_name = "FILE.png", requires = "after_frames")]
    screenshot: Option<PathBuf>,
    /// Frames before the picture is taken.
    #[arg(long, value_name = "N")]
    after_frames: Option<u32>,
    /// Where the attempt is written on leaving; the folder of the job and its name with "attempt" when not given.
    #[arg(long, value_name = "FILE")]
    record: Option<PathBuf>,
    /// Put every attempt into the logbook too, for this pupil: a name or number of your choice. It stays on this computer.
    #[arg(long, value_name = "PUPIL")]
    pupil: Option<String>,
    /// File of the logbook, in place of the usual one.
    #[arg(long, value_name = "FILE")]
    logbook: Option<PathBuf>,
    /// Smooth the edges: by itself this happens where a graphics card draws.
    #[arg(long, value_enum, default_value = "auto")]
    edges: Edges,
    /// Show neither distance off the path nor speed nor brake heat, as in a test; no key brings them back.
    #[arg(long)]
    unaided: bool,
    /// How far the heading indicator stands from the compass at the start, degrees; its knob sets it.
    #[arg(long, value_name = "DEGREES", default_value_t = 0.0, allow_negative_numbers = true, value_parser = read_heading_off)]
    heading_off: f64,
    /// Say on the terminal, every so many ticks, where the controls and the panel switches stand.
    #[arg(long, value_name = "TICKS")]
    report_every: Option<std::num::NonZeroU64>,
    /// File of the controls' settings, in place of the usual one.
    #[arg(long, value_name = "FILE.json")]
    settings: Option<PathBuf>,
    /// Open a screen of settings at once.
    #[arg(long, value_enum)]
    screen: Option<ScreenArg>,
    /// List pedals, sticks and gamepads with their raw axes, and leave.
    #[arg(long)]
    feet_list: bool,
    /// Print what pedals, sticks and gamepads do for so many seconds, raw and calibrated, and leave.
    #[arg(long, value_name = "SECONDS", value_parser = read_seconds)]
    feet_watch: Option<f64>,
    /// Time of day: lamps are lit at dusk and night.
    #[arg(long, value_enum, default_value = "day")]
    time_of_day: TimeOfDay,
    /// How much is drawn; low for a weak graphics card.
    #[arg(long, value_enum, default_value = "medium")]
    quality: Quality,
    /// Where the pilot looks while no look key is held.
    #[arg(long, value_enum, default_value = "ahead")]
    look: Gaze,
    /// Go straight into the drive; the caution is printed on the terminal instead.
    #[arg(long, requires = "task")]
    straight_in: bool,
}

#[derive(Clone, Copy, clap::ValueEnum)]
enum ViewArg {
    /// The pilot's own eye.
    Seat,
    /// Behind the tail.
    Behind,
    /// Straight down, north up.
    Above,
}

#[derive(Clone, Copy, clap::ValueEnum)]
enum ScreenArg {
    /// Where controls are rebound and axes calibrated.
    Controls,
    /// Which key combinations the keyboard delivers.
    KeyboardCheck,
}

fn read_seconds(text: &str) -> Result<f64, String> {
    match text.parse::<f64>() {
        Ok(n) if (0.0..=3600.0).contains(&n) => Ok(n),
        _ => Err(format!("\"{text}\" is not a number of seconds from 0 to 3600")),
    }
}

fn read_size(text: &str) -> Result<(u32, u32), String> {
    let (w, h) = text
        .split_once('x')
        .ok_or_else(|| format!("size \"{text}\" is not written as WIDTHxHEIGHT, for example 1280x720"))?;
    let side = |s: &str| match s.parse::<u32>() {
        Ok(n @ 160..=7680) => Ok(n),
        _ => Err(format!(
            "size \"{text}\": \"{s}\" is not a number of pixels from 160 to 7680"
        )),
    };
    Ok((side(w)?, side(h)?))
}

fn read_text_scale(text: &str) -> Result<f32, String> {
    match text.parse::<f32>() {
        Ok(n) if (0.4..=3.0).contains(&n) => Ok(n),
        _ => Err(format!("text scale \"{text}\" is not a number from 0.4 to 3")),
    }
}

fn read_heading_off(text: &str) -> Result<f64, String> {
    match text.parse::<f64>() {
        Ok(n) if (-180.0..=180.0).contains(&n) => Ok(n),
        _ => Err(format!(
            "heading off \"{text}\" is not a number of degrees from -180 to 180"
        )),
    }
}

fn main() -> ExitCode {
    let args = Args::parse();
    if args.feet_list || args.feet_watch.is_some() {
        return listing::run(args.settings.as_deref(), args.feet_watch);
    }
    let mut choice = first_choice(&args);
    // Without a job the free apron waits behind the first screen, so that there is always something to drive.
    let scene = match (&args.job, choice.built_in.first()) {
        (Some(job), _) => Scene::from_job_file(job),
        _ if args.exercise.is_some() => {
            let name = args.exercise.as_deref().unwrap_or_default();
            named_lesson(name, args.aircraft.as_deref()).map(Scene::from_lesson)
        }
        (None, Some(aircraft)) => Ok(Scene::from_drill(DrillKind::FreeApron, aircraft.clone(), &Wind::Calm)),
        (None, None) => Err("no built-in aeroplane is sound".into()),
    };
    let scene = match scene {
        Ok(scene) => scene,
        Err(message) => {
            let _ = writeln!(std::io::stderr(), "toeline-sandbox: {message}");
            return ExitCode::from(2);
        }
    };
    if let Some(file) = scene.job.get("field_file").and_then(|f| f.as_str())
        && scene.lesson.is_none()
    {
        choice.field = file.into();
    }
    let script = match args.script.as_deref().map(Scripted::from_file).transpose() {
        Ok(script) => script,
        Err(message) => {
            let _ = writeln!(std::io::stderr(), "toeline-sandbox: {message}");
            return ExitCode::from(2);
        }
    };
    let length_m = scene.path.length_m();
    let from_m = args.from_way.unwrap_or_else(|| scene.first_driven_m());
    if !(0.0..=length_m).contains(&from_m) {
        let _ = writeln!(
            std::io::stderr(),
            "toeline-sandbox: start at {from_m} m is outside the route, which is {length_m:.1} m long"
        );
        return ExitCode::from(2);
    }
    // A name that was asked for is used as it is; the one that is made up never hides an older attempt.
    let record = args
        .record
        .clone()
        .or_else(|| args.job.as_ref().map(|j| j.with_extension("attempt.json")))
        .unwrap_or_else(|| PathBuf::from("attempt.json"));
    for news in rescue(&record) {
        let _ = writeln!(std::io::stdout(), "{news}");
    }
    choice.logbook = args.logbook.clone().or_else(usual_place);
    choice.time = args.time_of_day;
    choice.pupil = args.pupil.clone().unwrap_or_default();
    if let Some(why) = args.pupil.as_deref().and_then(|p| logbook::name(p).err()) {
        let _ = writeln!(
            std::io::stderr(),
            "toeline-sandbox: --pupil: this cannot be the name of a pupil: {why}"
        );
        return ExitCode::from(2);
    }
    let book = choice.book();
    if args.pupil.is_some() && book.is_none() {
        let _ = writeln!(
            std::io::stderr(),
            "toeline-sandbox: no logbook to write to: this system names no folder for data of yours; give --logbook FILE"
        );
        return ExitCode::from(2);
    }
    if args.straight_in {
        let _ = writeln!(std::io::stdout(), "{}", toeline_engine::briefing::CAUTION);
    }
    end_in_words_without_graphics();
    let mut app = App::new();
    app.add_plugins(
        DefaultPlugins
            .set(WindowPlugin {
                primary_window: Some(Window {
                    title: "toeline sandbox".into(),
                    resolution: WindowResolution::new(args.size.0, args.size.1),
                    present_mode: PresentMode::AutoVsync,
                    ..default()
                }),
                ..default()
            })
            .set(RenderPlugin {
                // Nothing is shown before everything can be drawn.
                synchronous_pipeline_compilation: true,
                // Blocks of card memory as small as they can be: a whole airfield is 50 MB, and a computer that draws without
                // a card pays for every block in its own memory.
                render_creation: WgpuSettings {
                    memory_hints: MemoryHints::Manual {
                        suballocated_device_memory_block_size: 4 << 20..16 << 20,
                    },
                    ..default()
                }
                .into(),
                ..default()
            })
            // Devices are read by our own source, which sees pedals without a button too.
            .disable::<bevy::gilrs::GilrsPlugin>(),
    )
    .insert_resource(RecordTo {
        file: Some(record),
        replace: args.record.is_some(),
        book,
    })
    .insert_resource(args.edges)
    .insert_resource(TextScale(args.text_scale))
    .insert_resource(if args.unaided {
        FiguresShown::unaided()
    } else {
        FiguresShown::default()
    })
    .insert_resource(PanelStart {
        heading_off_rad: args.heading_off.to_radians(),
        ..default()
    })
    .insert_resource(match &scene.lesson {
        Some(lesson) => TimeOfDay::of(lesson.exercise.hour),
        None => args.time_of_day,
    })
    .insert_resource(args.quality)
    .insert_resource(args.look)
    .insert_resource(scene)
    .insert_resource(Span {
        from_m,
        ticks: args.ticks.or(script.as_ref().map(|s| s.0.ticks)),
    })
    .insert_resource(match args.view {
        ViewArg::Seat => View::Seat,
        ViewArg::Behind => View::Behind,
        ViewArg::Above => View::Above,
    })
    .insert_resource(match (&args.job, args.straight_in) {
        (None, _) if args.exercise.is_none() => Phase::Choosing,
        (_, true) => Phase::Driving,
        (_, false) => Phase::Caution,
    })
    .insert_resource(choice)
    .add_plugins((core_plugins, view_plugins))
    .add_systems(Last, report_end.after(KeepAttempt));
    feet::use_this_computer(&mut app, args.settings.as_deref());
    app.world_mut().resource_mut::<OpenScreen>().now = match args.screen {
        None => Screen::None,
        Some(ScreenArg::Controls) => Screen::Controls,
        Some(ScreenArg::KeyboardCheck) => Screen::KeyboardCheck,
    };
    #[cfg(feature = "sound")]
    app.add_plugins(toeline_sandbox::sound::device::sound_plugin);
    if let Some(script) = script {
        app.insert_resource(script);
    }
    if let Some(every) = args.report_every {
        app.insert_resource(ReportEvery(every.get()))
            .add_systems(FixedLast, report_tick);
    }
    if args.report {
        app.insert_resource(Reports);
    }
    if let (Some(file), Some(after_frames)) = (args.screenshot, args.after_frames) {
        app.insert_resource(Photo { file, after_frames });
    }
    let missed = Missed::default();
    app.insert_resource(missed.clone());
    match app.run() {
        // As `toeline exercise drive` says without a window: 1 when a stage of the last drive was not done.
        AppExit::Success if missed.0.load(Ordering::Relaxed) => ExitCode::from(1),
        AppExit::Success => ExitCode::SUCCESS,
        AppExit::Error(code) => ExitCode::from(code.get()),
    }
}

/// Whether a stage of the lesson that was driven last was not done.
#[derive(Resource, Clone, Default)]
struct Missed(Arc<AtomicBool>);

/// Ticks from one report to the next.
#[derive(Resource)]
struct ReportEvery(u64);

/// One line about a tick, for scripts that work the window from outside.
fn report_tick(
    every: Res<ReportEvery>,
    drive: Res<Drive>,
    switches: Res<Switches>,
    grip: Res<Grip>,
    mut last: Local<u64>,
) {
    if drive.tick == *last || !drive.tick.is_multiple_of(every.0) {
        return;
    }
    *last = drive.tick;
    let c = &drive.controls;
    // No minus before a nought.
    let plain = |x: f64| x + 0.0;
    let _ = writeln!(
        std::io::stdout(),
        "tick {} rudder {:.3} left brake {:.3} right brake {:.3} parking brake {} aileron {:.3} elevator {:.3} \
         throttle {:.3} mixture {:.3} heat {:.3} magnetos {:?} starter {} taxi light {} transponder {} hand {:?}",
        drive.tick,
        plain(c.rudder),
        c.left_brake,
        c.right_brake,
        c.parking_brake,
        plain(c.aileron),
        plain(c.elevator),
        c.throttle,
        c.mixture,
        c.carburettor_heat,
        c.magnetos,
        c.starter,
        switches.taxi_light,
        switches.transponder.words(),
        grip.target
    );
}

/// What the first screen begins with: the field that was named, or the first that is found.
fn first_choice(args: &Args) -> Choice {
    let mut choice = Choice::new(find_fields(&usual_folders()), today());
    if let Some(file) = &args.field {
        choice.field = file.display().to_string();
    }
    choice
}

/// Says on the terminal where the drive ended and what was kept.
fn report_end(
    mut leaving: MessageReader<AppExit>,
    drive: Res<Drive>,
    scene: Res<Scene>,
    recording: Res<Recording>,
    missed: Res<Missed>,
    frames: Res<FrameCount>,
    time: Res<Time<Real>>,
) {
    if leaving.read().count() == 0 {
        return;
    }
    let pose = drive.now.pose(&drive.params);
    let mut out = std::io::stdout();
    // With nothing driven only the desk was used.
    if drive.tick > 0 || scene.job.get("toeline_drill").is_none() {
        let _ = writeln!(
            out,
            "end of the drive: tick {}, nose wheel x {:.3} m y {:.3} m, heading {:.2} deg, way {:.1} m; {} frames in {:.1} s",
            drive.tick,
            pose.nose.x,
            pose.nose.y,
            pose.heading_rad.bearing().deg(),
            drive.way_m,
            frames.0,
            time.elapsed_secs_f64()
        );
    }
    for kept in recording.kept() {
        if let Some(stages) = &kept.stages {
            let _ = write!(out, "{stages}");
        }
        if let Some(file) = &kept.file {
            let _ = writeln!(out, "attempt written to {}", file.display());
        }
        if let Some(trouble) = &kept.trouble {
            let _ = writeln!(std::io::stderr(), "toeline-sandbox: {trouble}");
        }
    }
    missed
        .0
        .store(recording.kept().last().is_some_and(|k| !k.all_done), Ordering::Relaxed);
    // Trouble of a drive too short to be kept.
    if let (Some(trouble), None) = (&recording.trouble, recording.last_trouble()) {
        let _ = writeln!(std::io::stderr(), "toeline-sandbox: {trouble}");
    }
}
