//! Oil and suction: what the engine's gauges show of its health.

use super::EngineParams;

/// Time constants of oil warming with the engine running and cooling with it stopped, seconds (ours).
const WARM_S: f64 = 420.0;
const COOL_S: f64 = 2400.0;
/// Where oil settles between its least and its greatest temperature at idle, and how much more at full throttle (ours).
pub(crate) const SETTLES: [f64; 2] = [0.4, 0.35];
/// Temperature by which oil must warm for its pressure coefficient to fall by e, °C (ours), with (1 + x/4)⁴ in the place of
/// eˣ: both curves below are ours, and this one costs a tenth.
const THINS_C: f64 = 60.0;
/// Relief valve over the top of the pressure range, and pressure at idle with the hottest oil over its bottom (ours: a
/// sound engine stays just inside).
const RELIEF: f64 = 0.95;
const HOT_IDLE: f64 = 1.05;
/// Time constants of pressure and suction, seconds (ours).
const PRESSURE_S: f64 = 1.0;
const SUCTION_S: f64 = 0.7;
/// Share of static rpm from which the suction regulator holds the middle of the range (ours).
const REGULATES_FROM: f64 = 0.5;

fn lag(value: f64, target: f64, constant_s: f64, dt_s: f64) -> f64 {
    value + (target - value) * (dt_s / (constant_s + dt_s))
}

/// Oil temperature after `dt_s`, °C.
pub(crate) fn next_oil_c(p: &EngineParams, oil_c: f64, rpm: f64, running: bool, dt_s: f64) -> f64 {
    if !running {
        return lag(oil_c, p.outside_c, COOL_S, dt_s);
    }
    let share = rpm / p.static_rpm;
    let [least, most] = p.oil_c;
    let settles = least + (most - least) * (SETTLES[0] + SETTLES[1] * share * share);
    lag(oil_c, settles, WARM_S, dt_s)
}

/// Oil pressure after `dt_s`, kPa: a gear pump against a relief valve. Cold thick oil reads high, hot oil at idle low.
pub(crate) fn next_oil_kpa(p: &EngineParams, oil_kpa: f64, rpm: f64, oil_c: f64, dt_s: f64) -> f64 {
    lag(oil_kpa, settled_oil_kpa(p, rpm, oil_c), PRESSURE_S, dt_s)
}

pub(crate) fn settled_oil_kpa(p: &EngineParams, rpm: f64, oil_c: f64) -> f64 {
    let relief = RELIEF * p.oil_kpa[1];
    let thick = fourth((1.0 + (p.oil_c[1] - oil_c) / (4.0 * THINS_C)).max(0.0));
    let pumped = p.oil_at_idle * rpm / p.idle_rpm * thick;
    relief * (1.0 - 1.0 / fourth(1.0 + pumped))
}

/// What the pump does at idle with the hottest oil, for a range of pressure, kPa: see [`settled_oil_kpa`].
pub(crate) fn pumped_at_idle([low, high]: [f64; 2]) -> f64 {
    let relief = RELIEF * high;
    let hot_idle = (HOT_IDLE * low).min(0.9 * relief);
    1.0 / (1.0 - hot_idle / relief).sqrt().sqrt() - 1.0
}

fn fourth(x: f64) -> f64 {
    let square = x * x;
    square * square
}

/// Suction after `dt_s`, kPa: rises with rpm until its regulator holds it; none without suction-driven instruments.
pub(crate) fn next_suction_kpa(p: &EngineParams, suction_kpa: f64, rpm: f64, dt_s: f64) -> f64 {
    lag(suction_kpa, settled_suction_kpa(p, rpm), SUCTION_S, dt_s)
}

pub(crate) fn settled_suction_kpa(p: &EngineParams, rpm: f64) -> f64 {
    let Some([low, high]) = p.suction_kpa else {
        return 0.0;
    };
    (low + high) / 2.0 * (rpm / (REGULATES_FROM * p.static_rpm)).min(1.0)
}
