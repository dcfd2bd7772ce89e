//! Sound, made from what the aeroplane does: nothing is recorded. [`engine`] and [`noise`] are plain synthesis, [`mix`] puts
//! them together, and all three work without a device; `device` plays the result and is only built with the feature `sound`.

#[cfg(feature = "sound")]
pub mod device;
pub mod engine;
pub mod mix;
pub mod noise;

use crate::drive::Drive;
use toeline_dynamics::{State, Telemetry};
use toeline_model::airfield::Surface;
use toeline_model::units::G_MPS2;
use toeline_model::{Xy, Yaw};

/// What can be heard at a moment.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Heard {
    /// Engine speed, revolutions per minute.
    pub rpm: f64,
    /// Cylinders of an engine.
    pub cylinders: u8,
    /// Cylinders that fire: fewer run rough, none is a dead engine.
    pub firing: u8,
    /// Throttle, 0 to 1.
    pub throttle: f64,
    /// Slip speed of the tyres, each weighed with its share of the weight, metres per second.
    pub scrub_mps: f64,
    /// Speed through the air, metres per second.
    pub air_mps: f64,
    /// Speed over the ground, metres per second.
    pub ground_mps: f64,
    /// Whether the wheels roll on grass or other loose ground.
    pub off_pavement: bool,
}

impl Heard {
    /// What is heard of a drive now.
    pub fn of(drive: &Drive) -> Heard {
        let t = Telemetry::of(&drive.params, &drive.now, &drive.controls);
        let weight_n = drive.params.mass_kg * G_MPS2;
        let scrub = t
            .wheels
            .iter()
            .map(|w| w.load_n / weight_n * w.slip_along_mps.hypot(w.slip_across_mps))
            .sum();
        Heard {
            rpm: t.rpm,
            cylinders: toeline_dynamics::engine::CYLINDERS,
            firing: drive.now.engine.firing,
            throttle: drive.controls.throttle,
            scrub_mps: scrub,
            air_mps: air_speed_mps(drive),
            ground_mps: t.speed_mps,
            off_pavement: !matches!(drive.under, Surface::Paved | Surface::Unknown | Surface::Ice),
        }
    }
}

fn air_speed_mps(drive: &Drive) -> f64 {
    let State {
        yaw_rad,
        forward_mps,
        left_mps,
        ..
    } = drive.now;
    let ahead = Xy::unit(Yaw::from_rad(yaw_rad));
    let ground = ahead * forward_mps + ahead.left() * left_mps;
    let wind = drive
        .air
        .wind_from
        .map_or(Xy { x: 0.0, y: 0.0 }, |from| Xy::unit(from.yaw()) * -drive.air.wind_mps);
    (ground - wind).norm()
}
