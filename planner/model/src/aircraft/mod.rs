//! An aeroplane as data: what an aircraft file says. Axes: x forward from the middle of the main axle, y to the left,
//! z up from the ground. Every key carries its unit.

pub mod catalog;
pub mod check;
pub mod compass_card;
pub mod parts;
mod take_off;

pub use take_off::{LONGEST_SETTING, Light, TakeOff};

use crate::units::DEG;
use crate::{math, turning};
use serde::{Deserialize, Serialize};

/// The only version of the aircraft file format so far.
pub const FORMAT: u32 = 1;

/// A whole aircraft file.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Aircraft {
    /// Version of the file format: 1.
    pub toeline_aircraft: u32,
    /// Short name used on the command line: lower-case letters, digits and hyphens.
    pub id: String,
    /// What people call it.
    pub name: String,
    /// Where the figures come from.
    pub source: String,
    /// Wing.
    pub wing: Wing,
    /// Horizontal tail.
    pub tailplane: Tailplane,
    /// Vertical tail.
    pub fin: Fin,
    /// Fuselage.
    pub fuselage: Fuselage,
    /// Propellers, one or more.
    pub propellers: Vec<Propeller>,
    /// Landing gear.
    pub gear: Gear,
    /// Nose-wheel steering.
    pub steering: Steering,
    /// Wheel brakes.
    pub brakes: Brakes,
    /// Mass and its place.
    pub mass: Mass,
    /// Seats and the pilot's eye.
    pub seats: Seats,
    /// Engine, or each of the engines.
    pub engine: Engine,
    /// Figures of the engine check, from the aeroplane's own manual.
    pub engine_check: EngineCheck,
    /// How it is taxied.
    pub taxi: Taxi,
    /// Wind limits for choosing a runway.
    pub wind_limits: WindLimits,
    /// Lights fitted; absent when the file does not say.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub lights: Option<Vec<Light>>,
    /// Settings for take-off; absent when the file does not say.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub take_off: Option<TakeOff>,
    /// Deviation card of the magnetic compass, headings rising; absent when none is known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub compass_card: Option<Vec<compass_card::CardEntry>>,
}

/// Wing; the plan view of each half is a quadrilateral.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Wing {
    /// Tip to tip, metres.
    pub span_m: f64,
    /// Chord on the centreline, metres.
    pub root_chord_m: f64,
    /// Chord at the tip, metres.
    pub tip_chord_m: f64,
    /// Leading edge on the centreline, metres forward of the main axle.
    pub root_leading_edge_x_m: f64,
    /// Leading edge at the tip, metres forward of the main axle.
    pub tip_leading_edge_x_m: f64,
    /// Underside on the centreline, metres above the ground.
    pub root_underside_z_m: f64,
    /// Thickness, metres.
    pub thickness_m: f64,
    /// Dihedral, degrees; negative slopes down.
    pub dihedral_deg: f64,
}

/// Horizontal tail, a rectangle in plan.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Tailplane {
    /// Tip to tip, metres.
    pub span_m: f64,
    /// Chord, metres.
    pub chord_m: f64,
    /// Leading edge, metres forward of the main axle (negative: behind it).
    pub leading_edge_x_m: f64,
    /// Underside, metres above the ground.
    pub underside_z_m: f64,
    /// Thickness, metres.
    pub thickness_m: f64,
}

/// Vertical tail.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Fin {
    /// Top, metres above the ground: the tail height.
    pub top_z_m: f64,
    /// Leading edge at its foot, metres forward of the main axle (negative: behind it).
    pub leading_edge_x_m: f64,
    /// Trailing edge, metres forward of the main axle (negative: behind it).
    pub trailing_edge_x_m: f64,
}

/// Fuselage.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Fuselage {
    /// Foremost point of the cowling or nose, metres forward of the main axle.
    pub nose_x_m: f64,
    /// Rearmost point, metres forward of the main axle (negative: behind it).
    pub tail_x_m: f64,
    /// Greatest width, metres.
    pub width_m: f64,
    /// Underside, metres above the ground.
    pub underside_z_m: f64,
    /// Top of the cabin, metres above the ground.
    pub top_z_m: f64,
}

/// A propeller.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Propeller {
    /// Diameter, metres.
    pub diameter_m: f64,
    /// Plane of the disc, metres forward of the main axle.
    pub x_m: f64,
    /// Hub, metres to the left of the axis.
    pub y_m: f64,
    /// Hub, metres above the ground.
    pub hub_z_m: f64,
}

/// Landing gear: a nose wheel and two main wheels.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Gear {
    /// Nose wheel to main axle, metres.
    pub wheelbase_m: f64,
    /// Between the middles of the main tyres, metres.
    pub track_m: f64,
    /// Width of a main tyre, metres.
    pub main_tyre_width_m: f64,
    /// Diameter of a main tyre, metres.
    pub main_tyre_diameter_m: f64,
    /// Width of the nose tyre, metres.
    pub nose_tyre_width_m: f64,
    /// Diameter of the nose tyre, metres.
    pub nose_tyre_diameter_m: f64,
}

/// How the nose wheel is turned.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum SteeringKind {
    /// Through a spring linkage from the rudder pedals.
    Linked,
    /// Not at all: it casters freely and the brakes do the turning.
    FreeCaster,
}

/// Nose-wheel steering.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Steering {
    /// Linked to the pedals, or freely castering.
    pub kind: SteeringKind,
    /// Nose-wheel angle at full pedal, degrees each way; 0 for a free caster.
    pub pedal_limit_deg: f64,
    /// Nose-wheel angle at its stop, degrees each way, reached with inside brake.
    pub caster_stop_deg: f64,
}

/// Wheel brakes.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Brakes {
    /// Torque of one main wheel's brake at full pedal, cold, newton metres.
    pub full_torque_nm: f64,
}

/// Mass.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Mass {
    /// Empty, kilograms.
    pub empty_kg: f64,
    /// Greatest permitted, kilograms.
    pub greatest_kg: f64,
    /// As taxied, kilograms.
    pub taxi_kg: f64,
    /// Centre of gravity behind the nose wheel, metres.
    pub cg_aft_of_nose_wheel_m: f64,
    /// Centre of gravity above the ground, metres.
    pub cg_z_m: f64,
    /// Moment of inertia in yaw, kg·m².
    pub yaw_inertia_kgm2: f64,
}

/// Seats.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Seats {
    /// Number of seats.
    pub count: u32,
    /// Eye of the pilot in the left seat, metres forward of the main axle.
    pub pilot_eye_x_m: f64,
    /// The same, metres to the left of the axis.
    pub pilot_eye_y_m: f64,
    /// The same, metres above the ground.
    pub pilot_eye_z_m: f64,
}

/// Engine; figures of each one when there are several.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Engine {
    /// Greatest shaft power, kilowatts.
    pub power_kw: f64,
    /// Idle, revolutions per minute of the propeller.
    pub idle_rpm: f64,
    /// Full throttle standing still, rpm.
    pub static_rpm: f64,
    /// Red line, rpm.
    pub red_line_rpm: f64,
    /// Whether there is carburettor heat.
    pub carburettor_heat: bool,
}

/// Engine-check figures.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct EngineCheck {
    /// Speed at which the checks are made, rpm.
    pub check_rpm: f64,
    /// Greatest drop on either magneto, rpm.
    pub magneto_drop_rpm: f64,
    /// Greatest difference between the two drops, rpm.
    pub magneto_difference_rpm: f64,
    /// Least oil temperature before high power, degrees Celsius.
    pub oil_least_c: f64,
    /// Greatest oil temperature, degrees Celsius.
    pub oil_most_c: f64,
    /// Range of oil pressure, kilopascals.
    pub oil_pressure_kpa: [f64; 2],
    /// Range of suction, kilopascals below the outside; absent without suction-driven instruments.
    pub suction_kpa: Option<[f64; 2]>,
}

/// How it is taxied.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Taxi {
    /// Speed on a straight taxiway, knots.
    pub straight_kt: f64,
    /// Speed on an apron, a taxilane or a stand, knots.
    pub apron_kt: f64,
    /// Greatest speed in a turn, knots.
    pub turn_kt: f64,
    /// Side acceleration accepted in a turn, in units of g.
    pub turn_side_g: f64,
    /// Whether it may be taxied on grass.
    pub grass: bool,
    /// Whether it may be taxied on gravel and other loose ground.
    pub loose: bool,
}

/// Wind limits.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct WindLimits {
    /// Across the runway, knots.
    pub crosswind_kt: f64,
    /// From behind, knots.
    pub tailwind_kt: f64,
}

impl Aircraft {
    /// Smallest radius of the nose wheel's way with steering alone, metres; infinite for a free caster.
    pub fn steering_radius_m(&self) -> f64 {
        match self.steering.kind {
            SteeringKind::FreeCaster => f64::INFINITY,
            SteeringKind::Linked => turning::nose_radius_m(self.gear.wheelbase_m, self.steering.pedal_limit_deg * DEG),
        }
    }

    /// Smallest radius of the nose wheel's way with inside brake, metres: at the caster stop, or about the inner wheel
    /// when the stop lies beyond the pivot angle.
    pub fn tightest_radius_m(&self) -> f64 {
        let pivot = turning::pivot_angle_rad(self.gear.wheelbase_m, self.gear.track_m);
        turning::nose_radius_m(self.gear.wheelbase_m, pivot.min(self.steering.caster_stop_deg * DEG))
    }

    /// Outer edges of the main tyres, metres apart (the "outer main gear wheel span" of ICAO Annex 14).
    pub fn outer_gear_m(&self) -> f64 {
        self.gear.track_m + self.gear.main_tyre_width_m
    }

    /// Foremost point of all, propeller included, metres forward of the nose wheel.
    pub fn foremost_ahead_of_nose_m(&self) -> f64 {
        let propeller = self.propellers.iter().map(|p| p.x_m).fold(f64::NEG_INFINITY, f64::max);
        propeller.max(self.fuselage.nose_x_m) + parts::PROPELLER_HALF_DEPTH_M - self.gear.wheelbase_m
    }

    /// Taxi speed in a turn of the nose wheel's radius, m/s: √(a·r), never above the turn speed of the file.
    pub fn turn_speed_mps(&self, radius_m: f64) -> f64 {
        let by_side = (self.taxi.turn_side_g * crate::units::G_MPS2 * radius_m.max(0.0)).sqrt();
        by_side.min(self.taxi.turn_kt * crate::units::KNOT_MPS)
    }

    /// Farthest distance of any part from the nose wheel, metres.
    pub fn reach_m(&self) -> f64 {
        let nose = crate::frame::xy(self.gear.wheelbase_m, 0.0);
        parts::parts(self)
            .iter()
            .flat_map(|p| &p.outline)
            .map(|q| q.distance(nose))
            .fold(0.0, f64::max)
    }

    /// What the compass shows, steady, on a magnetic heading: by its deviation card, where the file has one.
    pub fn compass(&self, magnetic: crate::Bearing) -> crate::Bearing {
        compass_card::steer(self.compass_card.as_deref().unwrap_or_default(), magnetic)
    }

    /// Height of the wing tip's underside, metres above the ground.
    pub fn tip_underside_z_m(&self) -> f64 {
        self.wing.root_underside_z_m + math::tan(self.wing.dihedral_deg * DEG) * self.wing.span_m / 2.0
    }
}
