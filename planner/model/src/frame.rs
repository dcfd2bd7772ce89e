//! Positions: longitude/latitude and local metres are different types, so that they cannot be mixed.

use crate::angle::Yaw;
use crate::math;
use core::ops::{Add, Mul, Sub};
use serde::{Deserialize, Serialize};

/// A place on the WGS 84 ellipsoid, degrees. Written as `[longitude, latitude]`, as RFC 7946 orders them.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(from = "[f64; 2]", into = "[f64; 2]")]
pub struct LonLat {
    /// Longitude, degrees east of Greenwich.
    pub lon_deg: f64,
    /// Latitude, degrees north of the equator.
    pub lat_deg: f64,
}

impl From<[f64; 2]> for LonLat {
    fn from([lon_deg, lat_deg]: [f64; 2]) -> LonLat {
        LonLat { lon_deg, lat_deg }
    }
}

impl From<LonLat> for [f64; 2] {
    fn from(p: LonLat) -> [f64; 2] {
        [p.lon_deg, p.lat_deg]
    }
}

/// A point or vector in a local plane, metres: x to the east, y to the north (or, for a part of an aeroplane, x forward
/// and y to the left). Written as `[x, y]`.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(from = "[f64; 2]", into = "[f64; 2]")]
pub struct Xy {
    /// Metres east (or forward).
    pub x: f64,
    /// Metres north (or left).
    pub y: f64,
}

impl From<[f64; 2]> for Xy {
    fn from([x, y]: [f64; 2]) -> Xy {
        Xy { x, y }
    }
}

impl From<Xy> for [f64; 2] {
    fn from(p: Xy) -> [f64; 2] {
        [p.x, p.y]
    }
}

impl Add for Xy {
    type Output = Xy;
    fn add(self, o: Xy) -> Xy {
        xy(self.x + o.x, self.y + o.y)
    }
}

impl Sub for Xy {
    type Output = Xy;
    fn sub(self, o: Xy) -> Xy {
        xy(self.x - o.x, self.y - o.y)
    }
}

impl Mul<f64> for Xy {
    type Output = Xy;
    fn mul(self, k: f64) -> Xy {
        xy(self.x * k, self.y * k)
    }
}

/// Shorthand for a point or vector in metres.
pub const fn xy(x: f64, y: f64) -> Xy {
    Xy { x, y }
}

impl Xy {
    /// Length of the vector, metres.
    pub fn norm(self) -> f64 {
        (self.x * self.x + self.y * self.y).sqrt()
    }

    /// Distance to another point, metres.
    pub fn distance(self, o: Xy) -> f64 {
        (o - self).norm()
    }

    /// Dot product, m².
    pub fn dot(self, o: Xy) -> f64 {
        self.x * o.x + self.y * o.y
    }

    /// Cross product, m²; positive when `o` is to the left of `self`.
    pub fn cross(self, o: Xy) -> f64 {
        self.x * o.y - self.y * o.x
    }

    /// The vector turned a quarter turn to the left.
    pub fn left(self) -> Xy {
        xy(-self.y, self.x)
    }

    /// The vector turned to the left by an angle in radians.
    pub fn rotated(self, left_rad: f64) -> Xy {
        let (c, s) = (math::cos(left_rad), math::sin(left_rad));
        xy(self.x * c - self.y * s, self.x * s + self.y * c)
    }

    /// Direction of the vector. A zero vector points east.
    pub fn direction(self) -> Yaw {
        Yaw::from_rad(math::atan2(self.y, self.x))
    }

    /// Unit vector of a direction.
    pub fn unit(direction: Yaw) -> Xy {
        let (x, y) = direction.unit();
        xy(x, y)
    }

    /// The point between `self` (t = 0) and `o` (t = 1).
    pub fn lerp(self, o: Xy, t: f64) -> Xy {
        self + (o - self) * t
    }
}
