//! What the tests of the panel share: the core without a window, driven frame by frame.

use crate::practice;
use bevy::prelude::*;
use bevy::time::TimeUpdateStrategy;
use toeline_dynamics::instruments::Instruments;
use toeline_sandbox::core_plugins;
use toeline_sandbox::drive::Phase;
use toeline_sandbox::panel::Panel;
use toeline_sandbox::panel::switches::Switches;

pub(crate) fn start(ticks: u32, set: impl Fn(&mut App)) -> App {
    let mut app = App::new();
    app.add_plugins(MinimalPlugins)
        .insert_resource(TimeUpdateStrategy::FixedTimesteps(ticks))
        .init_resource::<ButtonInput<KeyCode>>()
        .insert_resource(practice::scene())
        .insert_resource(Phase::Driving);
    set(&mut app);
    app.add_plugins(core_plugins);
    // The first frame only starts the clock.
    app.update();
    app
}

pub(crate) fn press(app: &mut App, key: KeyCode) {
    app.world_mut().resource_mut::<ButtonInput<KeyCode>>().press(key);
}

pub(crate) fn frames(app: &mut App, count: u32) {
    for _ in 0..count {
        app.update();
        app.world_mut().resource_mut::<ButtonInput<KeyCode>>().clear();
    }
}

pub(crate) fn hold(app: &mut App, key: KeyCode, count: u32) {
    press(app, key);
    frames(app, count);
    app.world_mut().resource_mut::<ButtonInput<KeyCode>>().release(key);
}

pub(crate) fn shown(app: &App) -> Instruments {
    app.world().resource::<Panel>().shown
}

pub(crate) fn switches(app: &App) -> Switches {
    *app.world().resource::<Switches>()
}
