//! Reading an aircraft file and finding everything in it that cannot be.

use super::{Aircraft, FORMAT, SteeringKind, compass_card, take_off};
use crate::units::round_to;

/// One thing wrong in an aircraft file.
#[derive(Clone, Debug, PartialEq)]
pub struct AircraftProblem {
    /// The key, with its path.
    pub key: String,
    /// What is wrong, with number, unit and limit.
    pub text: String,
}

impl core::fmt::Display for AircraftProblem {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        write!(f, "{}: {}", self.key, self.text)
    }
}

/// Reads an aircraft file.
///
/// # Errors
/// Everything that is wrong in it at once; at least one problem.
pub fn read(text: &str) -> Result<Aircraft, Vec<AircraftProblem>> {
    let one = |key: &str, text: String| {
        vec![AircraftProblem {
            key: key.to_string(),
            text,
        }]
    };
    let aircraft: Aircraft = serde_json::from_str(text).map_err(|e| one("file", e.to_string()))?;
    let problems = problems(&aircraft);
    if problems.is_empty() {
        Ok(aircraft)
    } else {
        Err(problems)
    }
}

/// Everything in the data that cannot be; empty when it is sound. The limits are ours: light aeroplanes with room to
/// spare, so that a slip of a decimal point is caught.
pub fn problems(a: &Aircraft) -> Vec<AircraftProblem> {
    let mut list = Vec::new();
    let mut say = |key: &str, text: String| {
        list.push(AircraftProblem {
            key: key.to_string(),
            text,
        })
    };
    if a.toeline_aircraft != FORMAT {
        say(
            "toeline_aircraft",
            format!(
                "format {} is not known; this program reads format {FORMAT}",
                a.toeline_aircraft
            ),
        );
    }
    if a.id.is_empty()
        || !a
            .id
            .bytes()
            .all(|b| b.is_ascii_lowercase() || b.is_ascii_digit() || b == b'-')
    {
        say(
            "id",
            format!("\"{}\" must be lower-case letters, digits and hyphens", a.id),
        );
    }
    if a.propellers.is_empty() || a.propellers.len() > 4 {
        say("propellers", format!("{} given; 1 to 4 can be", a.propellers.len()));
    }
    let mut range = |key: &str, value: f64, unit: &str, low: f64, high: f64| {
        if !(low..=high).contains(&value) {
            say(key, format!("{value} {unit} is outside {low} to {high} {unit}"));
        }
    };
    range("wing.span_m", a.wing.span_m, "m", 3.0, 40.0);
    range("wing.root_chord_m", a.wing.root_chord_m, "m", 0.3, 6.0);
    range("wing.tip_chord_m", a.wing.tip_chord_m, "m", 0.1, 6.0);
    range(
        "wing.root_leading_edge_x_m",
        a.wing.root_leading_edge_x_m,
        "m",
        -5.0,
        8.0,
    );
    range("wing.tip_leading_edge_x_m", a.wing.tip_leading_edge_x_m, "m", -8.0, 8.0);
    range("wing.root_underside_z_m", a.wing.root_underside_z_m, "m", 0.2, 5.0);
    range("wing.thickness_m", a.wing.thickness_m, "m", 0.02, 1.5);
    range("wing.dihedral_deg", a.wing.dihedral_deg, "deg", -5.0, 12.0);
    range("tailplane.span_m", a.tailplane.span_m, "m", 0.5, 15.0);
    range("tailplane.chord_m", a.tailplane.chord_m, "m", 0.2, 4.0);
    range(
        "tailplane.leading_edge_x_m",
        a.tailplane.leading_edge_x_m,
        "m",
        -15.0,
        10.0,
    );
    range("tailplane.underside_z_m", a.tailplane.underside_z_m, "m", 0.2, 6.0);
    range("tailplane.thickness_m", a.tailplane.thickness_m, "m", 0.02, 1.0);
    range("fin.top_z_m", a.fin.top_z_m, "m", 0.5, 10.0);
    range("fin.leading_edge_x_m", a.fin.leading_edge_x_m, "m", -15.0, 5.0);
    range(
        "fin.trailing_edge_x_m",
        a.fin.trailing_edge_x_m,
        "m",
        -15.0,
        a.fin.leading_edge_x_m,
    );
    range("fuselage.nose_x_m", a.fuselage.nose_x_m, "m", 0.2, 10.0);
    range("fuselage.tail_x_m", a.fuselage.tail_x_m, "m", -15.0, -0.2);
    range("fuselage.width_m", a.fuselage.width_m, "m", 0.4, 3.0);
    range("fuselage.underside_z_m", a.fuselage.underside_z_m, "m", 0.1, 3.0);
    range(
        "fuselage.top_z_m",
        a.fuselage.top_z_m,
        "m",
        a.fuselage.underside_z_m,
        6.0,
    );
    for (i, p) in a.propellers.iter().enumerate() {
        range(&format!("propellers[{i}].diameter_m"), p.diameter_m, "m", 0.5, 4.0);
        range(&format!("propellers[{i}].x_m"), p.x_m, "m", -10.0, 10.0);
        range(&format!("propellers[{i}].y_m"), p.y_m, "m", -10.0, 10.0);
        // The blade must clear the ground.
        range(
            &format!("propellers[{i}].hub_z_m"),
            p.hub_z_m,
            "m",
            p.diameter_m / 2.0,
            5.0,
        );
    }
    let g = &a.gear;
    range("gear.wheelbase_m", g.wheelbase_m, "m", 0.8, 6.0);
    // The wheels stand under the wing: a track wider than the span is a slip of the pen.
    range("gear.track_m", g.track_m, "m", 0.8, a.wing.span_m.clamp(0.8, 8.0));
    range("gear.main_tyre_width_m", g.main_tyre_width_m, "m", 0.05, 0.6);
    range("gear.main_tyre_diameter_m", g.main_tyre_diameter_m, "m", 0.2, 1.2);
    range("gear.nose_tyre_width_m", g.nose_tyre_width_m, "m", 0.05, 0.6);
    range("gear.nose_tyre_diameter_m", g.nose_tyre_diameter_m, "m", 0.2, 1.2);
    range("steering.caster_stop_deg", a.steering.caster_stop_deg, "deg", 5.0, 90.0);
    match a.steering.kind {
        SteeringKind::Linked => {
            range(
                "steering.pedal_limit_deg",
                a.steering.pedal_limit_deg,
                "deg",
                3.0,
                a.steering.caster_stop_deg,
            );
        }
        SteeringKind::FreeCaster => range("steering.pedal_limit_deg", a.steering.pedal_limit_deg, "deg", 0.0, 0.0),
    }
    range("brakes.full_torque_nm", a.brakes.full_torque_nm, "Nm", 20.0, 5_000.0);
    let m = &a.mass;
    range("mass.empty_kg", m.empty_kg, "kg", 100.0, 5_700.0);
    range("mass.greatest_kg", m.greatest_kg, "kg", m.empty_kg, 5_700.0);
    range("mass.taxi_kg", m.taxi_kg, "kg", m.empty_kg, m.greatest_kg);
    // With the centre of gravity outside the wheels it would sit on its tail or its nose. A wheelbase that cannot be is
    // told above and gives no limit.
    if (0.8..=6.0).contains(&g.wheelbase_m) {
        let (fore, aft) = (0.5 * g.wheelbase_m, round_to(0.98 * g.wheelbase_m, 3));
        range("mass.cg_aft_of_nose_wheel_m", m.cg_aft_of_nose_wheel_m, "m", fore, aft);
    }
    range("mass.cg_z_m", m.cg_z_m, "m", 0.3, 3.0);
    range("mass.yaw_inertia_kgm2", m.yaw_inertia_kgm2, "kg m2", 50.0, 50_000.0);
    range("seats.pilot_eye_x_m", a.seats.pilot_eye_x_m, "m", -3.0, 6.0);
    range("seats.pilot_eye_y_m", a.seats.pilot_eye_y_m, "m", -1.5, 1.5);
    range("seats.pilot_eye_z_m", a.seats.pilot_eye_z_m, "m", 0.5, 4.0);
    range("engine.power_kw", a.engine.power_kw, "kW", 10.0, 800.0);
    range("engine.idle_rpm", a.engine.idle_rpm, "rpm", 300.0, 2_000.0);
    range(
        "engine.static_rpm",
        a.engine.static_rpm,
        "rpm",
        a.engine.idle_rpm,
        a.engine.red_line_rpm,
    );
    range("engine.red_line_rpm", a.engine.red_line_rpm, "rpm", 1_000.0, 6_000.0);
    range(
        "engine_check.check_rpm",
        a.engine_check.check_rpm,
        "rpm",
        a.engine.idle_rpm,
        a.engine.static_rpm,
    );
    range(
        "engine_check.magneto_drop_rpm",
        a.engine_check.magneto_drop_rpm,
        "rpm",
        10.0,
        500.0,
    );
    range(
        "engine_check.magneto_difference_rpm",
        a.engine_check.magneto_difference_rpm,
        "rpm",
        5.0,
        500.0,
    );
    range("engine_check.oil_least_c", a.engine_check.oil_least_c, "C", 0.0, 100.0);
    range(
        "engine_check.oil_most_c",
        a.engine_check.oil_most_c,
        "C",
        a.engine_check.oil_least_c,
        180.0,
    );
    range("taxi.straight_kt", a.taxi.straight_kt, "kt", 2.0, 30.0);
    range("taxi.apron_kt", a.taxi.apron_kt, "kt", 1.0, a.taxi.straight_kt);
    range("taxi.turn_kt", a.taxi.turn_kt, "kt", 1.0, a.taxi.straight_kt);
    range("taxi.turn_side_g", a.taxi.turn_side_g, "g", 0.01, 0.5);
    range("wind_limits.crosswind_kt", a.wind_limits.crosswind_kt, "kt", 1.0, 60.0);
    range("wind_limits.tailwind_kt", a.wind_limits.tailwind_kt, "kt", 0.0, 30.0);
    take_off::problems(a, &mut list);
    if let Some(card) = &a.compass_card {
        list.extend(compass_card::problems(card));
    }
    list
}
