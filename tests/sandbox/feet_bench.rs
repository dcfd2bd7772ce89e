//! What the tests of feet and hands share: a made-up source of devices, the core driving with it, and a pair of hands that uses
//! the screen of controls by its keys.

use crate::practice;
use bevy::input::mouse::AccumulatedMouseMotion;
use bevy::prelude::*;
use bevy::time::TimeUpdateStrategy;
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex};
use toeline_sandbox::core_plugins;
use toeline_sandbox::drive::{Drive, Phase};
use toeline_sandbox::feel::Hands;
use toeline_sandbox::feet::deeds::Deed;
use toeline_sandbox::feet::desk::Desk;
use toeline_sandbox::feet::device::{AxisInfo, Description, DeviceId, DeviceSource, Rack, Report};
use toeline_sandbox::feet::lead::Lead;
use toeline_sandbox::feet::rows::rows;
use toeline_sandbox::feet::settings::Settings;
use toeline_sandbox::feet::store;
use toeline_sandbox::feet::{Notices, OpenScreen, Screen, Source};
use toeline_sandbox::keys::Bindings;
use toeline_sandbox::scene::Scene;
use toeline_training::Environment;

/// A source that reports what the test puts in.
#[derive(Clone, Default)]
pub(crate) struct Played(Arc<Mutex<Vec<Report>>>);

impl DeviceSource for Played {
    fn poll(&mut self) -> Vec<Report> {
        std::mem::take(&mut *self.0.lock().expect("one thread"))
    }
}

impl Played {
    pub(crate) fn put(&self, report: Report) {
        self.0.lock().expect("one thread").push(report);
    }

    pub(crate) fn axis(&self, id: u32, code: u32, raw: i32) {
        self.put(Report::Axis(DeviceId(id), code, raw));
    }
}

pub(crate) const LEFT_BRAKE: u32 = 0;
pub(crate) const RIGHT_BRAKE: u32 = 1;
pub(crate) const BAR: u32 = 5;

pub(crate) fn pedals(product: u16) -> Description {
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

/// The practice drive in calm air.
pub(crate) fn scene() -> Scene {
    Scene {
        environment: Environment::default(),
        ..practice::scene()
    }
}

/// The core with a made-up source, driving; 24 ticks (0.1 s) a frame.
pub(crate) fn app(settings: Option<&Path>) -> (App, Played) {
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

pub(crate) fn press(app: &mut App, key: KeyCode) {
    app.world_mut().resource_mut::<ButtonInput<KeyCode>>().press(key);
}

pub(crate) fn release(app: &mut App, key: KeyCode) {
    app.world_mut().resource_mut::<ButtonInput<KeyCode>>().release(key);
}

pub(crate) fn frames(app: &mut App, count: u32) {
    for _ in 0..count {
        app.update();
        app.world_mut().resource_mut::<ButtonInput<KeyCode>>().clear();
        app.world_mut().resource_mut::<ButtonInput<MouseButton>>().clear();
    }
}

pub(crate) fn tap(app: &mut App, key: KeyCode) {
    press(app, key);
    frames(app, 1);
    release(app, key);
    frames(app, 1);
}

pub(crate) fn get<R: Resource>(app: &App) -> &R {
    app.world().resource::<R>()
}

pub(crate) fn drive(app: &App) -> &Drive {
    get::<Drive>(app)
}

pub(crate) fn said(app: &App) -> String {
    get::<Notices>(app).words()
}

/// Opens the screen of controls if need be, walks to the cell that does `deed`, and presses Enter.
pub(crate) fn choose(app: &mut App, deed: Deed) {
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
pub(crate) struct Folder(pub(crate) PathBuf);

impl Folder {
    pub(crate) fn new(name: &str) -> Folder {
        let path = std::env::temp_dir().join(format!("toeline-feet-{name}-{}", std::process::id()));
        std::fs::create_dir_all(&path).expect("a folder to work in");
        Folder(path)
    }

    pub(crate) fn file(&self) -> PathBuf {
        self.0.join("controls.json")
    }
}

impl Drop for Folder {
    fn drop(&mut self) {
        let _ = std::fs::remove_dir_all(&self.0);
    }
}
