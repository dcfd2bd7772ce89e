//! The drive itself: the state of the aeroplane, one step a tick, and the start to go back to.

use crate::feel::{Feel, Hands, Held};
use crate::feet::Notices;
use crate::recorder::{RecordTo, Recording};
use crate::scene::Scene;
use crate::scripted::Scripted;
use crate::surface;
use bevy::prelude::*;
use toeline_dynamics::{Air, Controls, Ground, Params, State, TICK_S, Telemetry, step};
use toeline_model::airfield::Surface;
use toeline_model::{Pose, Xy};
use toeline_training::EventKind;

/// Ticks between two looks at the ground under the wheels and the place on the path.
const LOOK_EVERY: u64 = 12;
/// How far back and ahead along the path the aeroplane is looked for, metres: the path may pass one place twice.
const LOOK_BACK_M: f64 = 15.0;
const LOOK_AHEAD_M: f64 = 30.0;

/// What the program is showing.
#[derive(Resource, Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Phase {
    /// Choosing field, aeroplane, wind and drill.
    Choosing,
    /// Drawing the way on the map.
    Drawing,
    /// The first screen with the caution.
    #[default]
    Caution,
    /// The drive.
    Driving,
}

/// Where along the path a drive starts and after how many ticks it ends.
#[derive(Resource, Clone, Copy, Debug, Default)]
pub struct Span {
    /// Start, metres of way.
    pub from_m: f64,
    /// End, ticks; `None` for no end.
    pub ticks: Option<u64>,
}

/// The aeroplane that is driven.
#[derive(Resource, Clone, Debug)]
pub struct Drive {
    /// Its constants.
    pub params: Params,
    /// What the wheels feel. It stays for the whole drive, because an attempt holds one ground.
    pub ground: Ground,
    /// The surface under the nose wheel now.
    pub under: Surface,
    /// The wind, with its gusts.
    pub air: Air,
    /// State before the last tick.
    pub before: State,
    /// State now.
    pub now: State,
    /// Controls of the last tick.
    pub controls: Controls,
    /// Ticks since the start.
    pub tick: u64,
    /// Place on the path: metres of way.
    pub way_m: f64,
    /// Nose wheel off the path, metres, left positive; `None` when no part of the path is near.
    pub off_m: Option<f64>,
}

impl Drive {
    /// Parked at a way of `from_m` metres along the path.
    pub fn parked(scene: &Scene, from_m: f64) -> Drive {
        let params = scene.environment.params(&scene.aircraft);
        let pose = scene.path.pose_at(from_m);
        let state = State::parked(&params, pose);
        let under = surface::at(&scene.field, pose.nose);
        Drive {
            ground: scene.environment.ground,
            under,
            air: scene.environment.air,
            before: state,
            now: state,
            controls: Hands::default().controls(&Feel::default()),
            tick: 0,
            way_m: from_m,
            off_m: None,
            params,
        }
    }

    /// Simulated time since the start, seconds.
    pub fn seconds(&self) -> f64 {
        self.tick as f64 * TICK_S
    }

    /// Pose a share of a tick after the last but one, 0..=1, for drawing only.
    pub fn pose_between(&self, share: f64) -> Pose {
        let (a, b) = (self.before.pose(&self.params), self.now.pose(&self.params));
        let turned = a.heading_rad.to_rad(b.heading_rad);
        Pose {
            nose: a.nose.lerp(b.nose, share),
            heading_rad: a.heading_rad.turned(turned * share),
        }
    }

    /// Puts the aeroplane into an earlier state of the same drive.
    pub fn go_to(&mut self, state: &State, way_m: f64) {
        self.before = *state;
        self.now = *state;
        self.tick = state.tick;
        self.way_m = way_m;
    }

    fn look(&mut self, scene: &Scene, nose: Xy) {
        self.under = surface::at(&scene.field, nose);
        let near = scene
            .path
            .nearest(nose, self.way_m - LOOK_BACK_M, self.way_m + LOOK_AHEAD_M);
        self.off_m = near.map(|(_, off)| off);
        if let Some((way, _)) = near {
            self.way_m = way;
        }
    }
}

/// The pose that is drawn this frame: interpolated, and never read back by the simulation.
#[derive(Resource, Clone, Copy, Debug)]
pub struct Shown(pub Pose);

/// Puts the aeroplane at the start and steps it.
pub fn drive_plugin(app: &mut App) {
    app.init_resource::<Phase>()
        .init_resource::<Span>()
        .init_resource::<Hands>()
        .add_systems(PreStartup, park)
        .add_systems(FixedUpdate, tick.run_if(driving))
        .add_systems(
            RunFixedMainLoop,
            interpolate.in_set(RunFixedMainLoopSystems::AfterFixedMainLoop),
        );
}

/// Whether the drive is on and not at its end.
pub fn driving(phase: Res<Phase>, span: Res<Span>, drive: Res<Drive>) -> bool {
    *phase == Phase::Driving && span.ticks.is_none_or(|end| drive.tick < end)
}

/// Puts everything back to the start, and keeps the attempt that ends there.
pub fn park(
    mut commands: Commands,
    scene: Res<Scene>,
    span: Res<Span>,
    to: Res<RecordTo>,
    old: Option<ResMut<Recording>>,
    notices: Option<ResMut<Notices>>,
) {
    let mut drive = Drive::parked(&scene, span.from_m);
    let pose = drive.now.pose(&drive.params);
    drive.look(&scene, pose.nose);
    let recording = match old {
        None => Recording::new(&scene, &drive, &to, true),
        Some(mut old) => {
            old.event(EventKind::Reset, "back to the start");
            let ended = old.keep();
            if let (Some(_), Some(trouble), Some(mut notices)) = (&ended, old.last_trouble(), notices) {
                notices.say(trouble);
            }
            let kept = old.kept().to_vec();
            let earlier = ended.or_else(|| old.earlier().cloned());
            Recording::new(&scene, &drive, &to, false).after(earlier).carrying(kept)
        }
    };
    commands.insert_resource(recording);
    commands.insert_resource(Shown(pose));
    commands.insert_resource(drive);
    commands.insert_resource(Hands::default());
}

fn tick(
    mut drive: ResMut<Drive>,
    mut hands: ResMut<Hands>,
    mut recording: ResMut<Recording>,
    hand: (Res<Held>, Res<Feel>, Option<Res<Scripted>>),
    scene: Res<Scene>,
) {
    let (held, feel, script) = hand;
    let controls = match &script {
        Some(script) => {
            let controls = script.at(drive.tick);
            hands.put(&controls);
            controls
        }
        None => {
            hands.advance(*held, &feel, TICK_S);
            hands.controls(&feel)
        }
    }
    .clamped();
    let next = step(&drive.params, &drive.ground, &drive.air, &drive.now, &controls);
    drive.before = std::mem::replace(&mut drive.now, next);
    drive.controls = controls;
    drive.tick += 1;
    recording.push(&controls, &drive.now);
    if drive.tick.is_multiple_of(LOOK_EVERY) {
        let nose = drive.now.pose(&drive.params).nose;
        drive.look(&scene, nose);
    }
}

fn interpolate(drive: Res<Drive>, fixed: Res<Time<Fixed>>, mut shown: ResMut<Shown>) {
    shown.0 = drive.pose_between(fixed.overstep_fraction_f64());
}

/// What the instruments and the feet show, from the state now.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Gauges {
    /// Speed over the ground, metres per second.
    pub speed_mps: f64,
    /// Propeller speed, revolutions per minute.
    pub rpm: f64,
    /// Nose-wheel angle, radians, left positive.
    pub nose_wheel_rad: f64,
    /// Left brake, share of full pressure.
    pub left_brake: f64,
    /// Right brake, share of full pressure.
    pub right_brake: f64,
}

impl Drive {
    /// Reads the instruments.
    pub fn gauges(&self) -> Gauges {
        let t = Telemetry::of(&self.params, &self.now, &self.controls);
        Gauges {
            speed_mps: t.speed_mps,
            rpm: t.rpm,
            nose_wheel_rad: t.nose_wheel_rad,
            left_brake: t.brake[0],
            right_brake: t.brake[1],
        }
    }
}
