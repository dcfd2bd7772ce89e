//! The only border between the model's `f64` plane and Bevy's `f32` world; no other file narrows a number.
//!
//! | | model | Bevy |
//! |---|---|---|
//! | world | x east, y north, height up | x east, y up, z south |
//! | aeroplane | x forward of the main axle, y left, z up | z backward, x right, y up |

use bevy::math::{Quat, Vec3};
use toeline_model::{Xy, Yaw};

/// Narrows a plain number (metres, radians, a share) to `f32`.
pub fn narrow(value: f64) -> f32 {
    value as f32
}

/// A point of the local plane at a height above the ground, both in metres, in Bevy's world.
pub fn world(p: Xy, up_m: f64) -> Vec3 {
    Vec3::new(narrow(p.x), narrow(up_m), narrow(-p.y))
}

/// A point in the aeroplane's own axes (x forward, y left, z up, metres) as a Bevy child sees it.
pub fn body(x_m: f64, y_m: f64, z_m: f64) -> Vec3 {
    Vec3::new(narrow(-y_m), narrow(z_m), narrow(-x_m))
}

/// Bevy's rotation of something whose nose points in a direction of the plane.
pub fn facing(heading: Yaw) -> Quat {
    Quat::from_rotation_y(narrow(heading.rad()) - std::f32::consts::FRAC_PI_2)
}

#[cfg(test)]
mod tests {
    use super::*;
    use toeline_model::Bearing;
    use toeline_model::frame::xy;

    #[test]
    fn north_is_minus_z_and_east_is_x() {
        assert_eq!(world(xy(1.0, 2.0), 3.0), Vec3::new(1.0, 3.0, -2.0));
    }

    #[test]
    fn a_nose_toward_north_stays_and_one_toward_east_turns_right() {
        let nose = body(1.0, 0.0, 0.0);
        for (deg, want) in [
            (0.0, Vec3::NEG_Z),
            (90.0, Vec3::X),
            (180.0, Vec3::Z),
            (270.0, Vec3::NEG_X),
        ] {
            let got = facing(Bearing::from_deg(deg).yaw()) * nose;
            assert!(got.distance(want) < 1e-6, "bearing {deg}: {got} instead of {want}");
        }
        // The left wing of an aeroplane that faces north points west.
        assert!((facing(Bearing::from_deg(0.0).yaw()) * body(0.0, 1.0, 0.0)).distance(Vec3::NEG_X) < 1e-6);
    }
}
