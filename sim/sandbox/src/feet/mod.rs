//! Feet and hands: devices with raw axes, how each is read, what drives what, and the screens where all of it is set.
//!
//! A [`device::DeviceSource`] reports; the [`device::Rack`] holds what is plugged in; [`settings::Settings`] say how an axis is
//! read and what it drives; [`lead::Lead`] decides between keys, mouse and axes. The fixed step sees only
//! [`crate::feel::Held`].

pub mod axis;
pub mod deeds;
pub mod desk;
pub mod device;
pub mod elsewhere;
pub mod guess;
pub mod input;
pub mod key_check;
pub mod key_names;
pub mod lead;
#[cfg(target_os = "linux")]
pub mod linux;
pub mod listing;
pub mod mouse;
pub mod rows;
pub mod settings;
pub mod store;

use crate::feel::{Hands, Held, Led};
use crate::flow::Flow;
use crate::keys::{Action, Bindings};
use bevy::prelude::*;
use desk::Desk;
use device::{DeviceSource, Rack, Report};
use input::Input;
use key_check::KeyCheck;
use lead::{Lead, Who};
use settings::Settings;
use std::path::Path;
use std::sync::Mutex;
use store::SettingsFile;

/// How long a notice stays on the screen, seconds.
const NOTICE_S: f64 = 12.0;

/// Which screen of settings is open. While one is, the drive stands still.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Screen {
    /// None.
    #[default]
    None,
    /// Where controls are rebound and axes calibrated.
    Controls,
    /// Which keys and combinations the keyboard delivers.
    KeyboardCheck,
}

/// The open screen, and whether it had the keys in this frame.
#[derive(Resource, Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct OpenScreen {
    /// What is open now.
    pub now: Screen,
    /// Whether a screen was open when this frame's keys were read: the drive does not hear them then.
    pub took_this_frame: bool,
}

/// Where reports about devices come from. Without it there are only keys and mouse.
#[derive(Resource)]
pub struct Source(pub Mutex<Box<dyn DeviceSource>>);

impl Source {
    /// A source to use.
    pub fn new(source: impl DeviceSource + 'static) -> Source {
        Source(Mutex::new(Box::new(source)))
    }

    /// The devices of this computer.
    pub fn of_this_computer() -> Source {
        #[cfg(target_os = "linux")]
        return Source::new(linux::EventNodes::default());
        #[cfg(not(target_os = "linux"))]
        return Source::new(elsewhere::Pads::default());
    }
}

/// Lines that tell what happened to devices and settings, each for a while.
#[derive(Resource, Clone, Debug, Default, PartialEq)]
pub struct Notices(pub Vec<(String, f64)>);

impl Notices {
    /// Says something.
    pub fn say(&mut self, words: impl Into<String>) {
        self.0.push((words.into(), NOTICE_S));
    }

    /// Everything that is being said.
    pub fn words(&self) -> String {
        let lines: Vec<&str> = self.0.iter().map(|(w, _)| w.as_str()).collect();
        lines.join("\n")
    }
}

/// Devices, settings and the two screens, without any picture. The systems
/// [`hear`], [`key_check::watch`], [`desk::listen`] and [`lead()`] are placed by the controls.
pub fn feet_plugin(app: &mut App) {
    app.init_resource::<Settings>()
        .init_resource::<SettingsFile>()
        .init_resource::<Rack>()
        .init_resource::<Lead>()
        .init_resource::<Notices>()
        .init_resource::<OpenScreen>()
        .init_resource::<Desk>()
        .init_resource::<KeyCheck>()
        .add_systems(Update, (fade, stand_still));
}

/// Reads settings and devices of this computer into an app that has the core plugins.
pub fn use_this_computer(app: &mut App, settings: Option<&Path>) {
    let usual = store::usual_file();
    let loaded = store::load(settings.or(usual.as_deref()));
    if let Some(words) = &loaded.trouble {
        warn!("{words}");
        app.world_mut().resource_mut::<Notices>().say(words.clone());
    }
    app.insert_resource(loaded.bindings)
        .insert_resource(loaded.settings)
        .insert_resource(loaded.file)
        .insert_resource(Source::of_this_computer());
}

/// Takes in what the devices report.
pub fn hear(
    source: Option<Res<Source>>,
    mut rack: ResMut<Rack>,
    mut settings: ResMut<Settings>,
    mut lead: ResMut<Lead>,
    mut notices: ResMut<Notices>,
    saving: (Res<SettingsFile>, Res<Bindings>),
) {
    // A source that panicked once is not asked again; the keys go on.
    let Some(Ok(mut source)) = source.as_ref().map(|s| s.0.lock()) else {
        return;
    };
    for report in source.poll() {
        match &report {
            Report::Here(id, info) => {
                let key = info.key();
                if let Some(known) = settings.devices.get(&key) {
                    let guessed = if known.guessed { " Its axes are our guess." } else { "" };
                    notices.say(format!("{} is plugged in.{guessed}", info.name));
                } else {
                    let guess = guess::guess(info);
                    let drives: Vec<&str> = guess.axes.values().filter_map(|a| a.drives).map(Input::words).collect();
                    notices.say(if drives.is_empty() {
                        format!(
                            "{} is plugged in. Nothing is assigned to it yet: see the controls screen.",
                            info.name
                        )
                    } else {
                        format!(
                            "{} is plugged in. Our guess: it moves {}. Check it on the controls screen.",
                            info.name,
                            drives.join(", ")
                        )
                    });
                    settings.devices.insert(key.clone(), guess);
                    if let Err(words) = store::save(&saving.0, &saving.1, &settings) {
                        notices.say(words);
                    }
                }
                if let Some(setting) = settings.devices.get(&key) {
                    lead.meet(*id, info, setting);
                }
            }
            Report::Gone(id) => {
                let name = rack.get(*id).map_or("A device", |a| a.info.name.as_str());
                let lost: Vec<&str> = lead.gone(*id, None).into_iter().map(Input::words).collect();
                notices.say(if lost.is_empty() {
                    format!("{name} was pulled out.")
                } else {
                    format!("{name} was pulled out: the keys have {} now.", lost.join(", "))
                });
            }
            Report::Locked(words) | Report::NoSource(words) => notices.say(words.clone()),
            Report::Axis(..) | Report::Button(..) => {}
        }
        rack.take(&report);
    }
}

/// Decides who leads each input and tells the fixed step.
pub fn lead(
    rack: Res<Rack>,
    settings: Res<Settings>,
    screen: Res<OpenScreen>,
    mut lead: ResMut<Lead>,
    mut held: ResMut<Held>,
    mut hands: ResMut<Hands>,
    moved: mouse::Moved,
) {
    for a in &rack.list {
        let Some(setting) = settings.devices.get(&a.info.key()) else {
            continue;
        };
        for (code, axis) in &setting.axes {
            match (axis.drives, a.raw.get(code)) {
                (Some(input), Some(raw)) => {
                    let value = axis.calibration.value(f64::from(*raw), input);
                    lead.axis(input, a.id, *code, value);
                }
                _ => {
                    lead.gone(a.id, Some(*code));
                }
            }
        }
    }
    if !screen.took_this_frame {
        for input in Input::ALL {
            if held.any_key_of(input) {
                lead.take(input, Who::Keys);
            }
        }
        mouse::nudge(&settings, &moved.now(held.is(Action::MouseHand)), &mut lead, &mut hands);
    }
    for input in Input::ALL {
        held.lead(
            input,
            match (lead.who(input), lead.value(input)) {
                (_, Some(value)) => Led::At(value),
                (Who::Mouse, None) => Led::Still,
                _ => Led::ByKeys,
            },
        );
    }
}

fn fade(mut notices: ResMut<Notices>, real: Res<Time<Real>>) {
    if notices.0.is_empty() {
        return;
    }
    let passed = real.delta_secs_f64();
    notices.0.retain_mut(|(_, left)| {
        *left -= passed;
        *left > 0.0
    });
}

/// Time stands still while a screen of settings is open, and goes on where it was. Held time (see `flow`) stays held.
fn stand_still(screen: Res<OpenScreen>, flow: Res<Flow>, mut time: ResMut<Time<Virtual>>) {
    match (flow.held || screen.now != Screen::None, time.is_paused()) {
        (false, true) => time.unpause(),
        (true, false) => time.pause(),
        _ => {}
    }
}
