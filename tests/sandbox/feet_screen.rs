//! The two screens used by keys, and the settings on the disk.

use crate::feet_bench::*;
use bevy::prelude::*;
use toeline_sandbox::feet::deeds::Deed;
use toeline_sandbox::feet::desk::Desk;
use toeline_sandbox::feet::device::{DeviceId, Report};
use toeline_sandbox::feet::input::Input;
use toeline_sandbox::feet::key_check::KeyCheck;
use toeline_sandbox::feet::settings::Settings;
use toeline_sandbox::feet::store::{self, SettingsFile};
use toeline_sandbox::feet::{OpenScreen, Screen};
use toeline_sandbox::keys::{Action, Bindings};

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
