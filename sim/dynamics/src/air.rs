//! The air that an aeroplane on the ground feels: wind, gusts, another aeroplane's propeller blast.

use serde::{Deserialize, Serialize};
use toeline_model::{Bearing, Xy, math};

/// Tangent of the half angle at which a propeller's blast spreads (a round jet: about 0.1 a diameter a diameter; ours).
const BLAST_SPREAD: f64 = 0.1;
/// Diameters within which a blast keeps its speed; beyond, it falls with distance (round jet, textbook, from memory).
const BLAST_CORE: f64 = 6.0;

/// The air.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Air {
    /// Direction it blows from, clockwise from true north; `None` when calm or without one direction.
    pub wind_from: Option<Bearing>,
    /// Speed, metres per second.
    pub wind_mps: f64,
    /// Gusts on top of it, from the same direction; `None` for a steady wind.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub gust: Option<Gust>,
    /// Propeller blast of another aeroplane that stands with its engine running.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub blast: Option<Blast>,
}

/// A gust in the shape 1 - cos (the discrete gust of 14 CFR 25.341), once or again and again. A function of time alone.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Gust {
    /// Speed at its height above the steady wind, metres per second.
    pub extra_mps: f64,
    /// From its beginning to its end, seconds.
    pub length_s: f64,
    /// When the first begins, seconds after tick 0.
    pub begins_s: f64,
    /// Whether one follows the other.
    pub repeats: bool,
}

/// The blast behind a propeller: a cone.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Blast {
    /// Place of the propeller, metres east.
    pub east_m: f64,
    /// The same, metres north.
    pub north_m: f64,
    /// Where it blows to, clockwise from true north.
    pub toward: Bearing,
    /// Speed close behind the propeller, metres per second.
    pub speed_mps: f64,
    /// Diameter of the propeller, metres.
    pub diameter_m: f64,
}

impl Gust {
    /// Speed above the steady wind at a time after tick 0, metres per second.
    pub fn extra_at(&self, time_s: f64) -> f64 {
        let since = time_s - self.begins_s;
        let sound = self.extra_mps.is_finite() && since.is_finite() && self.length_s.is_finite();
        if !sound || self.length_s <= 0.0 || since < 0.0 || (!self.repeats && since > self.length_s) {
            return 0.0;
        }
        let share = since / self.length_s;
        let share = share - share.floor();
        self.extra_mps * (1.0 - math::cos(core::f64::consts::TAU * share)) / 2.0
    }
}

impl Blast {
    /// Speed of the blast at a place, metres per second: nothing ahead of the propeller; behind it the speed falls beyond
    /// six diameters and toward the edge of a cone that widens by a tenth of the way.
    pub fn speed_at(&self, x_m: f64, y_m: f64) -> f64 {
        let axis = Xy::unit(self.toward.yaw());
        let from = Xy {
            x: x_m - self.east_m,
            y: y_m - self.north_m,
        };
        let (along, off) = (from.x * axis.x + from.y * axis.y, from.y * axis.x - from.x * axis.y);
        let half = self.diameter_m / 2.0 + BLAST_SPREAD * along;
        let sound = along > 0.0 && half > 0.0 && self.speed_mps.is_finite() && self.diameter_m > 0.0;
        if !sound || off.abs() >= half {
            return 0.0;
        }
        let fall = (BLAST_CORE * self.diameter_m / along).min(1.0);
        let edge = 1.0 - (off / half) * (off / half);
        self.speed_mps * fall * edge
    }
}

impl Air {
    /// Velocity of the steady wind over the ground, metres per second east and north.
    pub fn velocity_mps(&self) -> Xy {
        match self.wind_from {
            Some(from) if self.wind_mps.is_finite() => Xy::unit(from.yaw()) * -self.wind_mps,
            _ => Xy::default(),
        }
    }

    /// Velocity of the air over the ground at a place (metres east and north) and a time after tick 0 (seconds).
    pub fn velocity_at(&self, x_m: f64, y_m: f64, time_s: f64) -> Xy {
        let mut wind = self.velocity_mps();
        if let (Some(from), Some(gust)) = (self.wind_from, &self.gust) {
            wind = wind + Xy::unit(from.yaw()) * -gust.extra_at(time_s);
        }
        if let Some(blast) = &self.blast {
            wind = wind + Xy::unit(blast.toward.yaw()) * blast.speed_at(x_m, y_m);
        }
        wind
    }
}
