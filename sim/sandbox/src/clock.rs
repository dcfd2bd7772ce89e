//! Simulated time: 240 steps a second whatever the frame rate, and an honest word when the computer cannot keep up.

use bevy::prelude::*;
use std::time::Duration;

/// Longest frame whose whole time is simulated, seconds. A longer one is cut there, and the screen says so.
pub const LONGEST_FRAME_S: f64 = 2.0;
/// How long the screen goes on saying so, seconds.
const SAY_FOR_S: f64 = 4.0;

/// How simulated time keeps up with life.
#[derive(Resource, Clone, Copy, Debug, Default)]
pub struct Pace {
    /// Time of life that was not simulated, seconds since the program started.
    pub lost_s: f64,
    say_until_s: f64,
    now_s: f64,
}

impl Pace {
    /// Whether time was lost in the last few seconds.
    pub fn slower_than_life(&self) -> bool {
        self.now_s < self.say_until_s
    }
}

/// Sets the fixed step and watches the pace.
pub fn clock_plugin(app: &mut App) {
    app.insert_resource(Time::<Fixed>::from_seconds(toeline_dynamics::TICK_S))
        .init_resource::<Pace>()
        .add_systems(Startup, allow_long_frames)
        .add_systems(Update, watch_pace);
}

fn allow_long_frames(mut time: ResMut<Time<Virtual>>) {
    time.set_max_delta(Duration::from_secs_f64(LONGEST_FRAME_S));
}

fn watch_pace(mut pace: ResMut<Pace>, real: Res<Time<Real>>, simulated: Res<Time<Virtual>>) {
    // Time that is held or slowed on purpose is not lost.
    let wanted = if simulated.is_paused() {
        0.0
    } else {
        real.delta_secs_f64() * simulated.relative_speed_f64()
    };
    let lost = wanted - simulated.delta_secs_f64();
    pace.now_s = real.elapsed_secs_f64();
    // The first frame carries the start of the program; nothing was being simulated then.
    // While a screen of settings is open, time stands still on purpose.
    if pace.now_s > real.delta_secs_f64() && lost > 1e-3 && !simulated.is_paused() {
        pace.lost_s += lost;
        pace.say_until_s = pace.now_s + SAY_FOR_S;
    }
}
