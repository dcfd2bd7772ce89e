//! The instrument panel's core: the instruments stepped once a tick, the switches beside them, and the hand on the mouse.
//! Nothing here draws.

pub mod layout;
pub mod mouse;
pub mod scales;
pub mod switches;

use crate::drive::Drive;
use crate::feel::Held;
use crate::keys::Action;
use crate::recorder::{Noting, Recording};
use crate::scene::{Raise, Scene};
use bevy::prelude::*;
use toeline_dynamics::TICK_S;
use toeline_dynamics::instruments::{self, InstrumentParams, Instruments, Place, Seen, random_drift_radps};
use toeline_engine::job::Job;
use toeline_engine::magnetic;
use toeline_model::Bearing;
use toeline_model::date::Date;
use toeline_model::units::DEG;
use toeline_training::EventKind;

/// Turn of the heading indicator's knob while its key is held, radians of card a second (ours).
const KNOB_RADPS: f64 = 30.0 * DEG;
/// A knob or wheel that has rested this long is noted, ticks: half a second.
pub(crate) const RESTED_TICKS: u64 = 120;

/// How the instruments stand at the start of a drive.
#[derive(Resource, Clone, Copy, Debug)]
pub struct PanelStart {
    /// Heading indicator less compass at the start, radians.
    pub heading_off_rad: f64,
    /// Seed of the heading indicator's random drift.
    pub drift_seed: u64,
}

impl Default for PanelStart {
    /// Set to the compass.
    fn default() -> PanelStart {
        PanelStart {
            heading_off_rad: 0.0,
            drift_seed: 1,
        }
    }
}

/// The instruments of the aeroplane that is driven.
#[derive(Resource, Clone, Debug)]
pub struct Panel {
    /// What their needles show.
    pub shown: Instruments,
    /// Where they are.
    pub place: Place,
    params: InstrumentParams,
    tick: u64,
    /// Ticks since the heading indicator's knob was turned, if that is not noted yet.
    knob_rested: Option<u64>,
}

impl Panel {
    /// In step with a drive that stands at its start.
    pub fn at_start(scene: &Scene, drive: &Drive, start: &PanelStart) -> Panel {
        let params = InstrumentParams::from_aircraft(&scene.aircraft);
        let place = place(scene);
        let seen = Seen::of(&drive.params, &drive.air, &drive.before, &place, 0.0);
        let set = Instruments::set(&params, &seen);
        Panel {
            shown: set.with_heading(set.compass.reading_rad + start.heading_off_rad),
            place,
            params,
            tick: drive.tick,
            knob_rested: None,
        }
    }

    /// Turns the heading indicator's knob by an angle of its card, radians, greater figures positive.
    pub fn turn_knob(&mut self, by_rad: f64) {
        self.shown = self.shown.with_heading(self.shown.gyros.heading_rad + by_rad);
        self.knob_rested = Some(0);
    }

    /// One tick on.
    fn step(&mut self, drive: &Drive, start: &PanelStart) {
        let drift = random_drift_radps(start.drift_seed, drive.seconds());
        let seen = Seen::of(&drive.params, &drive.air, &drive.now, &self.place, drift);
        self.shown = instruments::next(&self.params, &self.shown, &seen, &drive.params.faults, TICK_S);
        self.tick = drive.tick;
    }

    /// What to note about the knob, once it has come to rest.
    fn knob_note(&mut self) -> Option<String> {
        let rested = self.knob_rested? + 1;
        self.knob_rested = (rested < RESTED_TICKS).then_some(rested);
        (rested >= RESTED_TICKS).then(|| {
            let figure = |rad: f64| scales::three_figures(rad);
            format!(
                "heading indicator set to {}, compass {}",
                figure(self.shown.gyros.heading_rad),
                figure(self.shown.compass.reading_rad)
            )
        })
    }
}

/// Where the field is, as its instruments feel it: the declination of the map, else of the magnetic model, and the model's
/// dip. A day that the model does not know is taken as the first of 2026, and a field without elevation as at the sea.
pub fn place(scene: &Scene) -> Place {
    let job: Option<Job> = serde_json::from_value(scene.job.clone()).ok();
    let (at, height_m) = (scene.field.origin, scene.field.elevation_m.unwrap_or(0.0));
    let fallback = Date::parse("2026-01-01").ok();
    let days = [job.map(|j| j.request.date), fallback];
    let of_model = |figure: fn(_, f64, Date) -> Result<f64, String>| {
        let mut known = days.iter().flatten().filter_map(|d| figure(at, height_m, *d).ok());
        known.next().unwrap_or(0.0)
    };
    Place {
        latitude_rad: at.lat_deg * DEG,
        dip_rad: of_model(magnetic::dip_deg) * DEG,
        declination_rad: scene
            .field
            .declination_deg
            .unwrap_or_else(|| of_model(magnetic::declination_deg))
            * DEG,
        elevation_m: height_m,
    }
}

/// Steps the instruments after the aeroplane, in the same tick.
pub fn panel_plugin(app: &mut App) {
    app.init_resource::<PanelStart>()
        .add_plugins((switches::switches_plugin, mouse::mouse_plugin))
        .add_systems(Raise, set_up)
        .add_systems(FixedPostUpdate, follow.in_set(Noting::Instruments));
}

fn set_up(mut commands: Commands, scene: Res<Scene>, drive: Res<Drive>, start: Res<PanelStart>) {
    commands.insert_resource(Panel::at_start(&scene, &drive, &start));
}

fn follow(
    drive: Res<Drive>,
    start: Res<PanelStart>,
    scene: Res<Scene>,
    held: Res<Held>,
    mut panel: ResMut<Panel>,
    mut recording: ResMut<Recording>,
) {
    if drive.tick == panel.tick {
        return;
    }
    if drive.tick != panel.tick + 1 {
        // The drive went back to its start, or somewhere else: so do the instruments.
        *panel = Panel::at_start(&scene, &drive, &start);
    }
    panel.step(&drive, &start);
    let way = f64::from(u8::from(held.is(Action::HeadingMore))) - f64::from(u8::from(held.is(Action::HeadingLess)));
    if way != 0.0 {
        panel.turn_knob(way * KNOB_RADPS * TICK_S);
    }
    if let Some(note) = panel.knob_note() {
        recording.event(EventKind::Note, &note);
    }
}

/// A heading as its three figures: 360 for north.
pub fn heading_figures(heading: Bearing) -> String {
    scales::three_figures(heading.deg() * DEG)
}
