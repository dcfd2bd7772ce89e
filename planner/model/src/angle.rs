//! Two kinds of angle that must never be mixed: a compass bearing (clockwise from north) and a mathematical angle
//! (anticlockwise from east). This is the only file that converts between them.

use crate::math;
use crate::units::DEG;
use core::f64::consts::{FRAC_PI_2, PI, TAU};
use serde::{Deserialize, Serialize};

/// A direction as pilots give it: clockwise from true north, kept in 0..360 degrees.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd, Serialize, Deserialize)]
#[serde(transparent)]
pub struct Bearing(f64);

impl Bearing {
    /// From degrees clockwise from north; any finite number, wrapped into 0..360.
    ///
    /// ```
    /// use toeline_model::Bearing;
    /// assert_eq!(Bearing::from_deg(-7.29).deg(), 352.71);
    /// ```
    pub fn from_deg(deg: f64) -> Bearing {
        let wrapped = deg % 360.0;
        let wrapped = if wrapped < 0.0 { wrapped + 360.0 } else { wrapped };
        Bearing(if wrapped >= 360.0 { 0.0 } else { wrapped })
    }

    /// Degrees clockwise from north, 0..360.
    pub fn deg(self) -> f64 {
        self.0
    }

    /// The same direction as a mathematical angle.
    pub fn yaw(self) -> Yaw {
        Yaw::from_rad(FRAC_PI_2 - self.0 * DEG)
    }

    /// Smallest signed angle from `self` to `other` in degrees, clockwise positive, -180..=180.
    pub fn to_deg(self, other: Bearing) -> f64 {
        let d = (other.0 - self.0) % 360.0;
        if d > 180.0 {
            d - 360.0
        } else if d < -180.0 {
            d + 360.0
        } else {
            d
        }
    }

    /// Whole degrees as pilots say them, 1..=360 (north is 360).
    pub fn spoken(self) -> u32 {
        let whole = self.0.round() as u32 % 360;
        if whole == 0 { 360 } else { whole }
    }
}

/// A direction as mathematics gives it: radians anticlockwise from east, kept in -π..=π.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd, Serialize, Deserialize)]
#[serde(transparent)]
pub struct Yaw(f64);

impl Yaw {
    /// From radians anticlockwise from east; any finite number, wrapped into -π..=π.
    pub fn from_rad(rad: f64) -> Yaw {
        Yaw(wrap(rad))
    }

    /// Radians anticlockwise from east, -π..=π.
    pub fn rad(self) -> f64 {
        self.0
    }

    /// The same direction as a compass bearing.
    ///
    /// ```
    /// use toeline_model::Yaw;
    /// assert_eq!(Yaw::from_rad(0.0).bearing().deg(), 90.0);
    /// ```
    pub fn bearing(self) -> Bearing {
        Bearing::from_deg((FRAC_PI_2 - self.0) / DEG)
    }

    /// This direction turned by an angle in radians, left positive.
    pub fn turned(self, left_rad: f64) -> Yaw {
        Yaw::from_rad(self.0 + left_rad)
    }

    /// Smallest signed angle from `self` to `other` in radians, left (anticlockwise) positive.
    pub fn to_rad(self, other: Yaw) -> f64 {
        wrap(other.0 - self.0)
    }

    /// Cosine and sine: the unit vector of this direction.
    pub fn unit(self) -> (f64, f64) {
        let (sin, cos) = math::sin_cos(self.0);
        (cos, sin)
    }
}

/// Wraps radians into -π..=π.
pub fn wrap(rad: f64) -> f64 {
    if (-PI..=PI).contains(&rad) {
        return rad;
    }
    let r = rad % TAU;
    if r > PI {
        r - TAU
    } else if r < -PI {
        r + TAU
    } else {
        r
    }
}
