//! Feet and hands without a picture: made-up devices on the device trait drive the real core; the screen of controls is used
//! by keys as its user would; settings go to the disk and come back.

mod practice;

use bevy::input::mouse::AccumulatedMouseMotion;
use bevy::prelude::*;
use bevy::time::TimeUpdateStrategy;
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex};
use toeline_model::aircraft::catalog;
use toeline_sandbox::core_plugins;
use toeline_sandbox::drive::{Drive, Phase};
use toeline_sandbox::feel::Hands;
use toeline_sandbox::feet::deeds::Deed;
use toeline_sandbox::feet::desk::Desk;
use toeline_sandbox::feet::device::{AxisInfo, Description, DeviceId, DeviceSource, Rack, Report};
use toeline_sandbox::feet::input::Input;
use toeline_sandbox::feet::key_check::KeyCheck;
use toeline_sandbox::feet::lead::Lead;
use toeline_sandbox::feet::rows::rows;
use toeline_sandbox::feet::settings::Settings;
use toeline_sandbox::feet::store::{self, SettingsFile};
use toeline_sandbox::feet::{Notices, OpenScreen, Screen, Source};
use toeline_sandbox::keys::{Action, Bindings};
use toeline_sandbox::recorder::Recording;
use toeline_sandbox::scene::Scene;

/// A source that reports what the test puts in.
#[derive(Clone, Default)]
struct Played(Arc<Mutex<Vec<Report>>>);

impl DeviceSource for Played {
    fn poll(&mut self) -> Vec<Report> {
        std::mem::take(&mut *self.0.lock().expect("one thread"))
    }
}

impl Played {
    fn put(&self, report: Report) {
        self.0.lock().expect("one thread").push(report);
    }

    fn axis(&self, id: u32, code: u32, raw: i32) {
        self.put(Report::Axis(DeviceId(id), code, raw));
    }
}

const LEFT_BRAKE: u32 = 0;
const RIGHT_BRAKE: u32 = 1;
const BAR: u32 = 5;

fn pedals(product: u16) -> Description {
    let axis = |code, greatest, now| AxisInfo {
        code,
        least: 0,
        greatest,
        now,
    };
    Description {
        name: format!("Made-up pedals {product}"),
        vendor: 0x1209,
        product,
        axes: vec![
            axis(LEFT_BRAKE, 255, 0),
            axis(RIGHT_BRAKE, 255, 0),
            axis(BAR, 1000, 500),
        ],
        buttons: vec![],
    }
}

fn scene() -> Scene {
    let aircraft = catalog::find("trainer-high-2").expect("a built-in aeroplane");
    Scene {
        field: practice::field(),
        stops: vec![],
        path: practice::way(&aircraft),
        aircraft,
        swept: vec![],
        wind_from: None,
        wind_mps: 0.0,
        title: "practice".into(),
        job: serde_json::Value::Null,
    }
}

/// The core with a made-up source, driving; 24 ticks (0.1 s) a frame.
fn app(settings: Option<&Path>) -> (App, Played) {
    let played = Played::default();
    let mut app = App::new();
    app.add_plugins(MinimalPlugins)
        .insert_resource(TimeUpdateStrategy::FixedTimesteps(24))
        .init_resource::<ButtonInput<KeyCode>>()
        .init_resource::<ButtonInput<MouseButton>>()
        .init_resource::<AccumulatedMouseMotion>()
        .insert_resource(scene())
        .add_plugins(core_plugins)
        .insert_resource(Source::new(played.clone()));
    if let Some(file) = settings {
        let loaded = store::load(Some(file));
        assert_eq!(loaded.trouble, None);
        app.insert_resource(loaded.bindings)
            .insert_resource(loaded.settings)
            .insert_resource(loaded.file);
    }
    app.update();
    *app.world_mut().resource_mut::<Phase>() = Phase::Driving;
    (app, played)
}

fn press(app: &mut App, key: KeyCode) {
    app.world_mut().resource_mut::<ButtonInput<KeyCode>>().press(key);
}

fn release(app: &mut App, key: KeyCode) {
    app.world_mut().resource_mut::<ButtonInput<KeyCode>>().release(key);
}

fn frames(app: &mut App, count: u32) {
    for _ in 0..count {
        app.update();
        app.world_mut().resource_mut::<ButtonInput<KeyCode>>().clear();
        app.world_mut().resource_mut::<ButtonInput<MouseButton>>().clear();
    }
}

fn tap(app: &mut App, key: KeyCode) {
    press(app, key);
    frames(app, 1);
    release(app, key);
    frames(app, 1);
}

fn get<R: Resource>(app: &App) -> &R {
    app.world().resource::<R>()
}

fn drive(app: &App) -> &Drive {
    get::<Drive>(app)
}

fn said(app: &App) -> String {
    get::<Notices>(app).words()
}

/// Opens the screen of controls if need be, walks to the cell that does `deed`, and presses Enter.
fn choose(app: &mut App, deed: Deed) {
    if get::<OpenScreen>(app).now == Screen::None {
        tap(app, KeyCode::F2);
    }
    let place = |app: &App| {
        rows(
            get::<Bindings>(app),
            get::<Settings>(app),
            get::<Rack>(app),
            get::<Lead>(app),
            get::<Hands>(app),
            get::<Desk>(app),
            false,
        )
        .iter()
        .enumerate()
        .find_map(|(r, row)| row.cells.iter().position(|c| c.deed == deed).map(|c| (r, c)))
        .unwrap_or_else(|| panic!("{deed:?} is not on the screen"))
    };
    let want = place(app);
    for _ in 0..200 {
        let at = get::<Desk>(app).focus;
        let key = match (at.0.cmp(&want.0), at.1.cmp(&want.1)) {
            (std::cmp::Ordering::Less, _) => KeyCode::ArrowDown,
            (std::cmp::Ordering::Greater, _) => KeyCode::ArrowUp,
            (_, std::cmp::Ordering::Less) => KeyCode::ArrowRight,
            (_, std::cmp::Ordering::Greater) => KeyCode::ArrowLeft,
            _ => return tap(app, KeyCode::Enter),
        };
        tap(app, key);
    }
    panic!("{deed:?} cannot be reached by the arrow keys");
}

/// A folder of the test's own, removed afterwards.
struct Folder(PathBuf);

impl Folder {
    fn new(name: &str) -> Folder {
        let path = std::env::temp_dir().join(format!("toeline-feet-{name}-{}", std::process::id()));
        std::fs::create_dir_all(&path).expect("a folder to work in");
        Folder(path)
    }

    fn file(&self) -> PathBuf {
        self.0.join("controls.json")
    }
}

impl Drop for Folder {
    fn drop(&mut self) {
        let _ = std::fs::remove_dir_all(&self.0);
    }
}

#[test]
fn pedals_move_rudder_and_brakes_and_the_one_moved_last_leads() {
    let (mut app, played) = app(None);
    played.put(Report::Here(DeviceId(1), pedals(1)));
    frames(&mut app, 1);
    assert!(
        said(&app).contains("Our guess: it moves left brake, right brake, rudder"),
        "{}",
        said(&app)
    );
    assert_eq!(drive(&app).controls.rudder, 0.0);
    played.axis(1, BAR, 1000);
    played.axis(1, RIGHT_BRAKE, 255);
    frames(&mut app, 1);
    let c = drive(&app).controls;
    assert_eq!(
        (c.rudder, c.left_brake, c.right_brake),
        (1.0, 0.0, 1.0),
        "felt at once, as they stand"
    );
    press(&mut app, KeyCode::KeyF);
    frames(&mut app, 12);
    assert_eq!(drive(&app).controls.rudder, -1.0, "the key was moved last");
    release(&mut app, KeyCode::KeyF);
    frames(&mut app, 10);
    assert_eq!(
        drive(&app).controls.rudder,
        0.0,
        "a key let go eases off, though the bar stands aside"
    );
    assert_eq!(
        drive(&app).controls.right_brake,
        1.0,
        "the other foot is still on its brake"
    );
    played.axis(1, BAR, 250);
    frames(&mut app, 1);
    let rudder = drive(&app).controls.rudder;
    // Half of the travel, with a dead zone of 3 %.
    assert!((rudder + (0.5 - 0.03) / 0.97).abs() < 1e-12, "{rudder}");
}

#[test]
fn pulled_out_mid_drive_the_pedals_ease_off_and_work_again_when_put_back() {
    let folder = Folder::new("replug");
    let (mut app, played) = app(Some(&folder.file()));
    played.put(Report::Here(DeviceId(1), pedals(1)));
    frames(&mut app, 1);
    app.world_mut().resource_mut::<Hands>().parking_brake = false;
    choose(&mut app, Deed::Invert(DeviceId(1), BAR));
    choose(&mut app, Deed::Close);
    played.axis(1, BAR, 0);
    played.axis(1, LEFT_BRAKE, 200);
    press(&mut app, KeyCode::KeyI);
    frames(&mut app, 20);
    release(&mut app, KeyCode::KeyI);
    let before = drive(&app).controls;
    assert!(
        before.rudder == 1.0 && before.left_brake > 0.7 && before.throttle > 0.4,
        "{before:?}"
    );
    played.put(Report::Gone(DeviceId(1)));
    // A straggler about the lost device changes nothing.
    played.axis(1, BAR, 1000);
    frames(&mut app, 1);
    assert!(
        said(&app).contains("Made-up pedals 1 was pulled out: the keys have rudder, left brake now."),
        "{}",
        said(&app)
    );
    let easing = drive(&app).controls;
    assert!(easing.rudder > 0.0 && easing.rudder < 1.0, "no jump: {easing:?}");
    frames(&mut app, 10);
    let c = drive(&app).controls;
    assert_eq!((c.rudder, c.left_brake), (0.0, 0.0));
    assert_eq!(c.throttle, before.throttle, "the throttle stays");
    let tick = drive(&app).tick;
    played.put(Report::Here(DeviceId(2), pedals(1)));
    frames(&mut app, 1);
    assert_eq!(drive(&app).tick, tick + 24, "the drive goes on");
    played.axis(2, BAR, 1000);
    frames(&mut app, 1);
    assert_eq!(drive(&app).controls.rudder, -1.0, "still inverted");
    assert_eq!(get::<Recording>(&app).trouble, None);
}

#[test]
fn while_a_screen_is_open_the_drive_stands_still_and_goes_on_afterwards() {
    let (mut app, _) = app(None);
    frames(&mut app, 5);
    tap(&mut app, KeyCode::F2);
    let stands = drive(&app).tick;
    press(&mut app, KeyCode::KeyI);
    frames(&mut app, 10);
    assert_eq!(drive(&app).tick, stands);
    release(&mut app, KeyCode::KeyI);
    tap(&mut app, KeyCode::F3);
    assert_eq!(get::<OpenScreen>(&app).now, Screen::KeyboardCheck);
    tap(&mut app, KeyCode::Escape);
    assert_eq!(get::<OpenScreen>(&app).now, Screen::None);
    assert!(
        app.should_exit().is_none(),
        "Esc closes the screen and does not leave the program"
    );
    frames(&mut app, 2);
    assert!(drive(&app).tick > stands);
    assert_eq!(
        drive(&app).controls.throttle,
        0.0,
        "a key pressed on the screen does not drive"
    );
    tap(&mut app, KeyCode::Escape);
    assert!(app.should_exit().is_some());
}

#[test]
fn a_key_is_rebound_on_the_screen_saved_and_there_the_next_time() {
    let folder = Folder::new("rebind");
    {
        let (mut app, _) = app(Some(&folder.file()));
        choose(&mut app, Deed::Rebind(Action::LeftToe));
        tap(&mut app, KeyCode::Escape);
        assert_eq!(
            get::<Bindings>(&app).key(Action::LeftToe),
            Some(KeyCode::KeyR),
            "Esc leaves it"
        );
        choose(&mut app, Deed::Rebind(Action::LeftToe));
        tap(&mut app, KeyCode::KeyU);
        let said = &get::<Desk>(&app).said;
        assert!(
            said.contains("\"right toe: right brake\" has no key any more"),
            "{said}"
        );
        choose(&mut app, Deed::Rebind(Action::Magnetos));
        tap(&mut app, KeyCode::Delete);
    }
    let (mut app, _) = app(Some(&folder.file()));
    let b = get::<Bindings>(&app);
    assert_eq!(b.key(Action::LeftToe), Some(KeyCode::KeyU));
    assert_eq!((b.key(Action::RightToe), b.key(Action::Magnetos)), (None, None));
    press(&mut app, KeyCode::KeyU);
    frames(&mut app, 5);
    let c = drive(&app).controls;
    assert!(c.left_brake > 0.0 && c.right_brake == 0.0, "{c:?}");
    choose(&mut app, Deed::Defaults);
    assert_eq!(*get::<Bindings>(&app), Bindings::default());
}

#[test]
fn an_axis_is_found_by_moving_it_and_calibrated_by_moving_it_and_kept_for_its_device_only() {
    let folder = Folder::new("calibrate");
    {
        let (mut app, played) = app(Some(&folder.file()));
        played.put(Report::Here(DeviceId(1), pedals(1)));
        played.put(Report::Here(DeviceId(2), pedals(2)));
        frames(&mut app, 1);
        choose(&mut app, Deed::FindAxis(Input::Throttle));
        played.axis(1, RIGHT_BRAKE, 20);
        frames(&mut app, 1);
        assert!(get::<Desk>(&app).waiting.is_some(), "a tremble chooses nothing");
        played.axis(1, RIGHT_BRAKE, 150);
        frames(&mut app, 1);
        choose(&mut app, Deed::Calibrate(DeviceId(1), RIGHT_BRAKE));
        for raw in [240, 30, 120, 238] {
            played.axis(1, RIGHT_BRAKE, raw);
            frames(&mut app, 1);
        }
        tap(&mut app, KeyCode::Enter);
        assert_eq!(get::<Desk>(&app).said, "Y: from 30 to 240.");
        choose(&mut app, Deed::Curve(DeviceId(1), RIGHT_BRAKE));
        choose(&mut app, Deed::DeadZone(DeviceId(1), RIGHT_BRAKE));
    }
    let (mut app, played) = app(Some(&folder.file()));
    let kept = get::<Settings>(&app);
    let y = |key: &str| kept.devices[key].axes[&RIGHT_BRAKE];
    assert_eq!(y("1209:0001").drives, Some(Input::Throttle));
    let c = y("1209:0001").calibration;
    assert_eq!(
        (c.low, c.high, c.inverted, c.curve, c.dead_zone),
        (30.0, 240.0, true, 0.2, 0.03)
    );
    assert_eq!(
        (y("1209:0002").drives, y("1209:0002").calibration.high),
        (Some(Input::RightBrake), 255.0)
    );
    assert!(!kept.devices["1209:0001"].guessed && kept.devices["1209:0002"].guessed);
    played.put(Report::Here(DeviceId(1), pedals(1)));
    // Standing at its open end when plugged in, it opens nothing; moved to idle and back it does.
    frames(&mut app, 5);
    assert_eq!(drive(&app).controls.throttle, 0.0);
    for (raw, throttle) in [(240, 0.0), (30, 1.0)] {
        played.axis(1, RIGHT_BRAKE, raw);
        frames(&mut app, 1);
        assert_eq!(drive(&app).controls.throttle, throttle, "at {raw}");
    }
}

#[test]
fn pulled_out_while_being_calibrated_nothing_is_changed() {
    let (mut app, played) = app(None);
    played.put(Report::Here(DeviceId(1), pedals(1)));
    frames(&mut app, 1);
    choose(&mut app, Deed::Calibrate(DeviceId(1), BAR));
    played.put(Report::Gone(DeviceId(1)));
    frames(&mut app, 2);
    let desk = get::<Desk>(&app);
    assert_eq!(
        (desk.waiting.as_ref(), desk.said.as_str()),
        (None, "The device was pulled out: nothing was changed.")
    );
    // The focus stood on a row that is gone: keys still work.
    tap(&mut app, KeyCode::Enter);
    tap(&mut app, KeyCode::ArrowDown);
    tap(&mut app, KeyCode::Escape);
    assert_eq!(get::<OpenScreen>(&app).now, Screen::None);
}

#[test]
fn a_button_of_a_device_does_what_it_is_given() {
    let (mut app, played) = app(None);
    let mut stick = pedals(7);
    stick.buttons = vec![0x120];
    played.put(Report::Here(DeviceId(1), stick));
    frames(&mut app, 1);
    choose(&mut app, Deed::Rebind(Action::ParkingBrake));
    played.put(Report::Button(DeviceId(1), 0x120, true));
    played.put(Report::Button(DeviceId(1), 0x120, false));
    frames(&mut app, 1);
    choose(&mut app, Deed::Close);
    frames(&mut app, 1);
    assert!(get::<Hands>(&app).parking_brake);
    // Down and up within one frame still counts once.
    played.put(Report::Button(DeviceId(1), 0x120, true));
    played.put(Report::Button(DeviceId(1), 0x120, false));
    frames(&mut app, 3);
    assert!(!get::<Hands>(&app).parking_brake);
    tap(&mut app, KeyCode::KeyP);
    assert!(get::<Hands>(&app).parking_brake, "the key does it too");
}

#[test]
fn the_mouse_moves_the_column_while_its_button_is_held() {
    let (mut app, _) = app(None);
    let moved = |app: &mut App, x: f32, y: f32| {
        app.world_mut().resource_mut::<AccumulatedMouseMotion>().delta = Vec2::new(x, y);
        frames(app, 1);
        app.world_mut().resource_mut::<AccumulatedMouseMotion>().delta = Vec2::ZERO;
    };
    moved(&mut app, 200.0, 0.0);
    assert_eq!(drive(&app).controls.aileron, 0.0, "not held");
    app.world_mut()
        .resource_mut::<ButtonInput<MouseButton>>()
        .press(MouseButton::Right);
    moved(&mut app, 200.0, -100.0);
    let c = drive(&app).controls;
    // 3 full travels for 1000 pixels; the dynamics count a push forward as positive.
    assert!(
        (c.aileron - 0.6).abs() < 1e-6 && (c.elevator - 0.3).abs() < 1e-6,
        "{c:?}"
    );
    app.world_mut()
        .resource_mut::<ButtonInput<MouseButton>>()
        .release(MouseButton::Right);
    frames(&mut app, 5);
    assert_eq!(drive(&app).controls.aileron, c.aileron, "it stays where it was put");
}

#[test]
fn settings_that_cannot_be_understood_are_kept_aside_and_nothing_is_lost() {
    let folder = Folder::new("broken");
    let file = folder.file();
    for (number, text) in ["{ \"toeline_controls\": 1, \"keys\"", "", "{\"toeline_controls\": 99}"]
        .into_iter()
        .enumerate()
    {
        std::fs::write(&file, text).expect("written");
        let loaded = store::load(Some(&file));
        let trouble = loaded.trouble.expect("it is said");
        assert_eq!(
            (loaded.bindings, loaded.settings),
            (Bindings::default(), Settings::default())
        );
        let aside = match number {
            0 => folder.0.join("controls.broken.json"),
            n => folder.0.join(format!("controls.broken-{}.json", n + 1)),
        };
        assert!(trouble.contains(&aside.display().to_string()), "{trouble}");
        assert_eq!(std::fs::read_to_string(&aside).expect("kept"), text);
        assert!(!file.exists());
        store::save(&loaded.file, &Bindings::default(), &Settings::default()).expect("a fresh file");
        assert_eq!(store::load(Some(&file)).trouble, None);
    }
    std::fs::write(&file, [0xff, 0xfe, 0x00]).expect("written");
    assert!(
        store::load(Some(&file))
            .trouble
            .is_some_and(|t| t.contains("it is not text"))
    );
}

#[test]
fn settings_that_cannot_be_read_or_written_are_said_and_not_written_over() {
    let folder = Folder::new("unreadable");
    // A folder in the place of the file can neither be read nor replaced.
    std::fs::create_dir_all(folder.file()).expect("made");
    let loaded = store::load(Some(&folder.file()));
    assert!(loaded.trouble.is_some_and(|t| t.contains("changes are not saved")));
    assert_eq!(loaded.file, SettingsFile(None));
    let told = store::save(
        &SettingsFile(Some(folder.file())),
        &Bindings::default(),
        &Settings::default(),
    );
    assert!(told.is_err_and(|t| t.contains("controls.json") && t.contains("cannot be saved")));
    assert!(folder.file().is_dir());
    assert!(store::load(None).trouble.is_some());
}

#[test]
fn a_locked_device_and_a_broken_source_are_said_in_words() {
    let (mut app, played) = app(None);
    played.put(Report::Locked("Made-up pedals may not be read.".into()));
    played.put(Report::NoSource("Nothing can be read.".into()));
    frames(&mut app, 1);
    assert_eq!(said(&app), "Made-up pedals may not be read.\nNothing can be read.");
    assert_eq!(drive(&app).tick, 24);
}

#[test]
fn the_keyboard_check_sees_what_is_down_on_its_screen_and_in_the_drive() {
    let (mut app, _) = app(None);
    for key in [KeyCode::KeyF, KeyCode::KeyR, KeyCode::KeyI] {
        press(&mut app, key);
    }
    frames(&mut app, 1);
    let came = |app: &App| {
        let all = get::<KeyCheck>(app).combinations();
        all.into_iter()
            .filter(|c| c.delivered)
            .map(|c| c.words)
            .collect::<Vec<String>>()
    };
    assert_eq!(came(&app), ["F R", "F I", "R I", "F R I"]);
    for key in [KeyCode::KeyF, KeyCode::KeyR, KeyCode::KeyI] {
        release(&mut app, key);
    }
    tap(&mut app, KeyCode::F3);
    press(&mut app, KeyCode::KeyJ);
    frames(&mut app, 1);
    assert_eq!(get::<KeyCheck>(&app).down, ["J"]);
    release(&mut app, KeyCode::KeyJ);
    tap(&mut app, KeyCode::Delete);
    assert_eq!(came(&app), Vec::<String>::new());
}

#[test]
fn what_was_driven_with_pedals_replays_to_the_same_bits() {
    let folder = Folder::new("replay");
    let file = folder.0.join("attempt.json");
    let (mut app, played) = app(None);
    app.insert_resource(toeline_sandbox::recorder::RecordTo {
        file: Some(file.clone()),
        replace: true,
    });
    played.put(Report::Here(DeviceId(1), pedals(1)));
    tap(&mut app, KeyCode::Backspace);
    tap(&mut app, KeyCode::KeyP);
    press(&mut app, KeyCode::KeyI);
    for step in 0..40 {
        played.axis(1, BAR, 500 + 12 * step);
        played.axis(1, LEFT_BRAKE, (step * 7) % 256);
        frames(&mut app, 1);
    }
    tap(&mut app, KeyCode::Escape);
    let attempt = toeline_training::store::load(&file).expect("the attempt was written");
    assert!(attempt.inputs.iter().any(|c| c.rudder > 0.5), "the pedals are in it");
    attempt.replay().expect("it replays bit for bit");
}
