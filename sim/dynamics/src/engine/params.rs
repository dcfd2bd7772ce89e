//! An aircraft file boiled down to the numbers of one engine.

use super::oil;
use super::propeller::NO_THRUST_ADVANCE;
use toeline_model::Aircraft;

/// One revolution per minute, rad/s.
pub(crate) const RPM_RADPS: f64 = core::f64::consts::PI / 30.0;
/// Friction and pumping of the engine over its full torque (ours; 10 to 15 % is usual for a piston engine).
const FRICTION_SHARE: f64 = 0.12;
/// Moment of inertia of propeller and crankshaft over diameter⁵, kg/m³: propellers of one shape go with the fifth power
/// (ours: 1.25 kg·m² at 1.78 m).
const INERTIA_PER_M5: f64 = 0.07;
/// Outside air, degrees Celsius (ICAO standard atmosphere at sea level).
const OUTSIDE_C: f64 = 15.0;

/// Plain numbers of one engine with its propeller.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct EngineParams {
    /// Idle, rpm.
    pub idle_rpm: f64,
    /// Full throttle standing still, rpm.
    pub static_rpm: f64,
    /// Greatest torque on the shaft, N·m: that of the file's power at the red-line rpm (see [`shaft_power_w`]).
    pub full_torque_nm: f64,
    /// Torque of friction and pumping, N·m.
    pub friction_nm: f64,
    /// Moment of inertia of propeller and crankshaft, kg·m².
    pub inertia_kgm2: f64,
    /// Speed through the air at which thrust at `static_rpm` has gone, m/s.
    pub no_thrust_mps: f64,
    /// Whether there is a carburettor with heat; without one there is no ice either.
    pub carburettor: bool,
    /// Least oil temperature for high power, and greatest, degrees Celsius.
    pub oil_c: [f64; 2],
    /// Range of oil pressure, kPa.
    pub oil_kpa: [f64; 2],
    /// What the oil pump does at idle with the hottest oil, as the oil's pressure curve takes it; follows from `oil_kpa`.
    pub oil_at_idle: f64,
    /// Range of suction, kPa; `None` without suction-driven instruments.
    pub suction_kpa: Option<[f64; 2]>,
    /// Outside air, degrees Celsius.
    pub outside_c: f64,
}

/// Power on one shaft at full throttle standing still, W. The file's power is the engine's rating at its red-line rpm, and
/// a piston engine's torque hardly changes from there down to the static rpm (textbook), so power goes with rpm.
pub fn shaft_power_w(a: &Aircraft) -> f64 {
    a.engine.power_kw * 1000.0 * a.engine.static_rpm / a.engine.red_line_rpm
}

impl EngineParams {
    /// The numbers of one engine of an aeroplane. Where a file has no figure the estimate is stated in this module.
    pub fn from_aircraft(a: &Aircraft) -> EngineParams {
        let (e, check) = (&a.engine, &a.engine_check);
        let diameter = a.propellers.first().map_or(1.8, |p| p.diameter_m);
        let full_torque_nm = shaft_power_w(a) / (e.static_rpm * RPM_RADPS);
        let d2 = diameter * diameter;
        EngineParams {
            idle_rpm: e.idle_rpm,
            static_rpm: e.static_rpm,
            full_torque_nm,
            friction_nm: FRICTION_SHARE * full_torque_nm,
            inertia_kgm2: INERTIA_PER_M5 * d2 * d2 * diameter,
            no_thrust_mps: NO_THRUST_ADVANCE * e.static_rpm / 60.0 * diameter,
            carburettor: e.carburettor_heat,
            oil_c: [check.oil_least_c, check.oil_most_c],
            oil_kpa: check.oil_pressure_kpa,
            oil_at_idle: oil::pumped_at_idle(check.oil_pressure_kpa),
            suction_kpa: check.suction_kpa,
            outside_c: OUTSIDE_C,
        }
    }
}
