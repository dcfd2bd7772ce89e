//! Where the card of a magnetic compass settles under a steady acceleration.

use crate::units::G_MPS2;
use crate::{angle, math};
use core::f64::consts::TAU;

/// Reading, radians clockwise, of a card at rest under a steady acceleration.
///
/// The card settles normal to apparent gravity, and its needle along what of the earth's field lies in that plane; the
/// field dips, so a tilted card finds a piece of the vertical field in it. One formula for all cases: with only a turn it
/// is atan2(sin M · cos φ − tan I · sin φ, cos M), φ the bank of apparent gravity, right positive; with only an
/// acceleration a, ε = atan(a/g), it is atan2(sin M, cos M · cos ε + tan I · sin ε) (after Williams, re-derived). On
/// the ground the pendulous card feels the same apparent gravity although the wings stay level.
///
/// `magnetic_rad` is the magnetic heading, `dip_rad` the dip (north end down positive), `accel_mps2` the acceleration
/// forward and left in the level plane, `pitch_rad` the nose-up pitch of the case.
///
/// ```
/// use toeline_model::compass::settled_compass_rad;
/// let (east, dip) = (90_f64.to_radians(), 66.5_f64.to_radians());
/// let shown = settled_compass_rad(east, dip, [1.0, 0.0], 0.0).to_degrees();
/// assert!((shown - 76.867).abs() < 1e-3);
/// ```
pub fn settled_compass_rad(magnetic_rad: f64, dip_rad: f64, accel_mps2: [f64; 2], pitch_rad: f64) -> f64 {
    let [forward, left] = accel_mps2;
    // Up as the card feels it, then the case's lubber line and the direction to its left in the card's plane. The three
    // axes are forward, left and up in the level plane.
    let up = unit([forward, left, G_MPS2]);
    let nose = [math::cos(pitch_rad), 0.0, math::sin(pitch_rad)];
    let along = in_plane(nose, up);
    let across = cross(up, along);
    let (level, down) = (math::cos(dip_rad), math::sin(dip_rad));
    let field = [level * math::cos(magnetic_rad), level * math::sin(magnetic_rad), -down];
    around(math::atan2(dot(field, across), dot(field, along)))
}

/// Any angle in radians brought into 0..2π.
pub fn around(rad: f64) -> f64 {
    let r = angle::wrap(rad);
    let r = if r < 0.0 { r + TAU } else { r + 0.0 };
    // A hair below north rounds up to a whole turn.
    if r < TAU { r } else { 0.0 }
}

fn dot(a: [f64; 3], b: [f64; 3]) -> f64 {
    a[0] * b[0] + (a[1] * b[1] + a[2] * b[2])
}

fn cross(a: [f64; 3], b: [f64; 3]) -> [f64; 3] {
    [
        a[1] * b[2] - a[2] * b[1],
        a[2] * b[0] - a[0] * b[2],
        a[0] * b[1] - a[1] * b[0],
    ]
}

fn unit(a: [f64; 3]) -> [f64; 3] {
    let size = dot(a, a).sqrt();
    if size > 1e-12 {
        a.map(|x| x / size)
    } else {
        [1.0, 0.0, 0.0]
    }
}

/// The part of a direction in the plane with a given normal, at length 1.
fn in_plane(a: [f64; 3], normal: [f64; 3]) -> [f64; 3] {
    let through = dot(a, normal);
    unit([
        a[0] - through * normal[0],
        a[1] - through * normal[1],
        a[2] - through * normal[2],
    ])
}
