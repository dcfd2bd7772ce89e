//! Lights, flaps, trim and transponder: states of the panel that the physics does not feel (flaps and trim are left out
//! there) but that later scoring reads, so every change goes into the attempt.

use super::RESTED_TICKS;
use crate::controls::Asked;
use crate::drive::{Drive, Phase};
use crate::feel::{Hands, Held};
use crate::keys::Action;
use crate::recorder::{Noting, Recording};
use crate::view::hour::TimeOfDay;
use bevy::prelude::*;
use toeline_dynamics::TICK_S;
use toeline_dynamics::engine::MagnetoSwitch;
use toeline_training::EventKind;

/// Positions of the flap lever after up.
pub const FLAP_POSITIONS: u8 = 3;
/// Trim while its key is held, shares of the way from neutral to an end a second (ours).
const TRIM_PER_S: f64 = 0.25;

/// The transponder's knob.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Transponder {
    /// Off.
    Off,
    /// Warm, silent.
    #[default]
    Standby,
    /// On, sending its altitude.
    OnWithAltitude,
}

impl Transponder {
    /// The position that the next press of its key gives.
    pub fn next(self) -> Transponder {
        match self {
            Transponder::Off => Transponder::Standby,
            Transponder::Standby => Transponder::OnWithAltitude,
            Transponder::OnWithAltitude => Transponder::Off,
        }
    }

    /// In words.
    pub fn words(self) -> &'static str {
        match self {
            Transponder::Off => "off",
            Transponder::Standby => "standby",
            Transponder::OnWithAltitude => "on with altitude",
        }
    }
}

/// Everything on the panel that the physics does not feel.
#[derive(Resource, Clone, Copy, Debug, PartialEq)]
pub struct Switches {
    /// Taxi light on.
    pub taxi_light: bool,
    /// Landing light on.
    pub landing_light: bool,
    /// Navigation lights on.
    pub navigation_lights: bool,
    /// Beacon on.
    pub beacon: bool,
    /// Flap lever, 0 (up) to [`FLAP_POSITIONS`] (full).
    pub flaps: u8,
    /// Trim, -1 (nose down) to 1 (nose up); 0 is the take-off mark.
    pub trim: f64,
    /// Transponder.
    pub transponder: Transponder,
}

impl Default for Switches {
    /// As the aeroplane is handed over with its engine running: beacon on, transponder at standby, the rest off.
    fn default() -> Switches {
        Switches {
            taxi_light: false,
            landing_light: false,
            navigation_lights: false,
            beacon: true,
            flaps: 0,
            trim: 0.0,
            transponder: Transponder::Standby,
        }
    }
}

/// The flap lever in words.
pub fn flap_words(flaps: u8) -> String {
    match flaps {
        0 => "up".into(),
        f if f >= FLAP_POSITIONS => "full".into(),
        f => format!("{f} of {FLAP_POSITIONS}"),
    }
}

/// The trim in words.
pub fn trim_words(trim: f64) -> String {
    let percent = (trim.abs() * 100.0).round();
    if percent < 1.0 {
        "at its take-off mark".into()
    } else {
        format!("{percent:.0} % nose {}", if trim > 0.0 { "up" } else { "down" })
    }
}

impl Switches {
    /// Does what a key asks for; the rest of the actions leave it as it is.
    pub fn press(&mut self, action: Action) {
        match action {
            Action::TaxiLight => self.taxi_light = !self.taxi_light,
            Action::LandingLight => self.landing_light = !self.landing_light,
            Action::NavigationLights => self.navigation_lights = !self.navigation_lights,
            Action::Beacon => self.beacon = !self.beacon,
            Action::FlapsUp => self.flaps = self.flaps.saturating_sub(1),
            Action::FlapsDown => self.flaps = (self.flaps + 1).min(FLAP_POSITIONS),
            Action::Transponder => self.transponder = self.transponder.next(),
            _ => {}
        }
    }

    /// Every switch with its position, in words; the trim is left out.
    pub fn positions(&self) -> [(&'static str, String); 6] {
        let on = |lit: bool| if lit { "on" } else { "off" }.to_string();
        [
            ("taxi light", on(self.taxi_light)),
            ("landing light", on(self.landing_light)),
            ("navigation lights", on(self.navigation_lights)),
            ("beacon", on(self.beacon)),
            ("flaps", flap_words(self.flaps)),
            ("transponder", self.transponder.words().to_string()),
        ]
    }

    /// The switches that have changed since, with their new positions; the trim is left out.
    pub fn changes_since(&self, old: &Switches) -> Vec<(&'static str, String)> {
        let pairs = self.positions().into_iter().zip(old.positions());
        pairs.filter(|(now, was)| now != was).map(|(now, _)| now).collect()
    }
}

/// The switches as they were last noted in the attempt.
#[derive(Resource, Clone, Copy, Debug, Default)]
struct Noted {
    switches: Switches,
    tick: u64,
    /// Trim in the last tick, and for how many ticks it has stood there.
    trim: f64,
    rested: u64,
}

/// How the aeroplane is handed over at the start and after every restart: with its lights on when it is dark.
#[derive(Resource, Clone, Copy, Debug, Default, PartialEq)]
pub struct HandedOver(pub Switches);

/// Answers the keys once a frame and notes what changed once a tick.
pub fn switches_plugin(app: &mut App) {
    app.init_resource::<Switches>()
        .init_resource::<HandedOver>()
        .init_resource::<Noted>()
        .add_systems(
            RunFixedMainLoop,
            press
                .after(RunFixedMainLoopSystems::BeforeFixedMainLoop)
                .before(RunFixedMainLoopSystems::FixedMainLoop),
        )
        .add_systems(FixedPostUpdate, (trim, note).chain().in_set(Noting::Switches));
}

fn press(mut asked: MessageReader<Asked>, phase: Res<Phase>, mut switches: ResMut<Switches>, mut hands: ResMut<Hands>) {
    for Asked(action) in asked.read() {
        if *phase != Phase::Driving {
            continue;
        }
        if *action == Action::MagnetosOff {
            hands.magnetos = MagnetoSwitch::Off;
        }
        switches.press(*action);
    }
}

fn trim(held: Res<Held>, drive: Res<Drive>, noted: Res<Noted>, mut switches: ResMut<Switches>) {
    let way = f64::from(u8::from(held.is(Action::TrimNoseUp))) - f64::from(u8::from(held.is(Action::TrimNoseDown)));
    if way != 0.0 && drive.tick > noted.tick {
        switches.trim = (switches.trim + way * TRIM_PER_S * TICK_S).clamp(-1.0, 1.0);
    }
}

fn note(
    drive: Res<Drive>,
    handed: Res<HandedOver>,
    time: Option<Res<TimeOfDay>>,
    mut switches: ResMut<Switches>,
    mut noted: ResMut<Noted>,
    mut recording: ResMut<Recording>,
) {
    if drive.tick == noted.tick {
        return;
    }
    if drive.tick < noted.tick && drive.tick <= 1 {
        // Back at the start: the aeroplane is handed over anew.
        *switches = handed.0;
        *noted = Noted::default();
    }
    if recording.ticks() <= 1 {
        // The first tick of an attempt: how the aeroplane was handed over, or how it stood after a step back.
        for (name, position) in switches.positions() {
            let words = format!("{name} {position} at the start");
            recording.deed(EventKind::Switched, Some(name), &position, &words);
        }
        noted.switches = Switches {
            trim: noted.switches.trim,
            ..*switches
        };
        if let Some(time) = &time {
            let name = time.name().to_lowercase();
            recording.deed(
                EventKind::Note,
                Some("time of day"),
                &name,
                &format!("time of day: {name}"),
            );
        }
    }
    noted.tick = drive.tick;
    for (name, position) in switches.changes_since(&noted.switches) {
        let words = format!("{name} {position}");
        recording.deed(EventKind::Switched, Some(name), &position, &words);
    }
    noted.rested = if switches.trim == noted.trim {
        noted.rested + 1
    } else {
        0
    };
    noted.trim = switches.trim;
    let trim_noted = noted.switches.trim;
    noted.switches = Switches {
        trim: trim_noted,
        ..*switches
    };
    if noted.rested >= RESTED_TICKS && switches.trim != trim_noted {
        let position = trim_words(switches.trim);
        let words = format!("trim {position}");
        recording.deed(EventKind::Switched, Some("trim"), &position, &words);
        noted.switches.trim = switches.trim;
    }
}
