//! The brakes: pressure that follows the toe, heat, fade, cooling; each side its own.
//!
//! The figures are ours, for a light single-disc brake: a disc of about 2 g for each kilogram of aeroplane and a lining
//! that keeps its grip to 200 C and has lost 60 per cent of it at 450 C. Published linings differ widely.

use crate::{LEFT, Params, RIGHT, State};

/// Time constant with which pressure follows the toe, seconds (ours).
const LAG_S: f64 = 0.12;
/// Pressure below which the pads let go.
const PADS_OFF: f64 = 1e-9;
/// Temperature of a brake that has stood, and of the air, degrees Celsius (ICAO standard atmosphere).
pub const COLD_C: f64 = 15.0;
/// Temperature at which a brake begins to fade, degrees Celsius (ours).
pub const FADES_FROM_C: f64 = 200.0;
/// Temperature at which it has faded as far as it does, degrees Celsius (ours).
pub const FADED_C: f64 = 450.0;
/// What is left of its torque then (ours).
pub const FADED_SHARE: f64 = 0.4;
/// Heat that leaves a brake standing, W/K (ours).
const COOLS_STANDING: f64 = 2.0;
/// The same for each metre a second, W/K (ours).
const COOLS_MOVING: f64 = 1.0;

/// Share of its cold torque that a brake has at a temperature, degrees Celsius.
pub fn fade(temperature_c: f64) -> f64 {
    let hot = (temperature_c - FADES_FROM_C) / (FADED_C - FADES_FROM_C);
    1.0 - (1.0 - FADED_SHARE) * hot.clamp(0.0, 1.0)
}

/// Pressure after a tick.
pub(crate) fn next_pressure(pressure: [f64; 2], toe: [f64; 2], dt_s: f64) -> [f64; 2] {
    let share = dt_s / (LAG_S + dt_s);
    core::array::from_fn(|i| {
        let next = pressure[i] + (toe[i] - pressure[i]) * share;
        if next < PADS_OFF { 0.0 } else { next }
    })
}

/// Torque that left and right brake can give, N·m, at a pressure and with the heat of the state.
pub(crate) fn torque_nm(p: &Params, state: &State, pressure: [f64; 2]) -> [f64; 2] {
    core::array::from_fn(|i| {
        let sound_nm = pressure[i] * p.full_brake_nm * fade(state.brake_c[i]);
        p.faults.brake_nm(i, sound_nm, p.full_brake_nm)
    })
}

/// Temperature after a tick: what the brake has taken from the turning wheel goes in, the air takes some out.
pub(crate) fn next_heat(p: &Params, state: &State, torque_nm: [f64; 2], spin: [f64; 3], dt_s: f64) -> [f64; 2] {
    let moving = COOLS_STANDING + COOLS_MOVING * state.forward_mps.abs();
    let wheels = [LEFT, RIGHT];
    core::array::from_fn(|i| {
        let taken_j = torque_nm[i] * spin[wheels[i]].abs() * dt_s;
        let warmed = state.brake_c[i] + taken_j / p.brake_jpk;
        COLD_C + (warmed - COLD_C) / (1.0 + moving * dt_s / p.brake_jpk)
    })
}
