//! Where the aeroplane stops and what is done there: brake check, engine check, holding short, the end.

use super::{clean, compass, legs, number, wind};
use crate::planning::Plan;
use crate::route::{BlastHarm, BlastOn, CheckOther, CheckStand, LegKind, Route, Stop, StopKind};
use serde::{Deserialize, Serialize};
use toeline_model::Aircraft;

/// One stop as it is told.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct StopBriefing {
    /// Why.
    pub kind: StopKind,
    /// Name of the place.
    pub name: String,
    /// What it guards or is for.
    pub of: Option<String>,
    /// Way of the nose wheel, metres.
    pub at_m: f64,
    /// Number of the leg that ends or lies there, from 1.
    pub leg: usize,
    /// Heading there, degrees true.
    pub heading_true_deg: f64,
    /// Heading there, degrees magnetic: what the heading indicator reads.
    pub heading_magnetic_deg: f64,
    /// What a steady compass reads there, degrees.
    #[serde(default)]
    pub compass_deg: f64,
    /// Whether its place was derived because the map has none.
    pub derived: bool,
    /// Who may go on past it, at a place to hold short.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub who_may_pass: Option<String>,
    /// What to do.
    pub say: String,
}

/// The engine check as it is told; figures from the aeroplane's file.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct EngineCheckBriefing {
    /// Area.
    pub area: String,
    /// Heading, degrees true.
    pub heading_true_deg: f64,
    /// Heading, degrees magnetic.
    pub heading_magnetic_deg: f64,
    /// What a steady compass reads on it, degrees.
    #[serde(default)]
    pub compass_deg: f64,
    /// Angle between nose and wind, degrees; absent when the heading is free.
    pub off_wind_deg: Option<f64>,
    /// Why so.
    pub why: String,
    /// Where the blast goes and what it falls on.
    #[serde(default)]
    pub blast: String,
    /// What to do with the controls when the wind is from behind.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub controls: Option<String>,
    /// The next best places, one line each, with what is worse there.
    #[serde(default)]
    pub others: Vec<String>,
    /// The aeroplane's limits, one line each.
    pub limits: Vec<String>,
}

/// The brake check, said once.
pub(crate) fn brake_check(route: &Route) -> String {
    let pushed: f64 = route
        .legs
        .iter()
        .take_while(|l| l.kind == LegKind::HandPush)
        .map(|l| l.to_m - l.from_m)
        .sum();
    let first = if pushed > 0.0 { "after the push by hand, " } else { "" };
    format!(
        "{first}as the aeroplane begins to move: throttle closed, both brakes together, then each side alone. \
         No firm, even answer: stop, and do not taxi."
    )
}

/// Who may go on past a place to hold short, and past the end at a runway; nothing at other stops.
///
/// With a tower: AIM 4-3-18 (being assigned a runway authorises neither entering nor crossing any; each crossing is cleared by
/// name) and ICAO Doc 4444, 12.3.4.7 ("hold short of", "cross"). Without: common practice and AIM 4-1-9 (from memory).
fn who_may_pass(stop: &Stop) -> Option<String> {
    let guarded = stop.of.as_deref().map(clean::name);
    let runway = guarded.as_ref().filter(|g| g.contains("runway"));
    match (stop.kind, runway) {
        (StopKind::HoldShort | StopKind::End, Some(r)) => Some(format!(
            "Who may go on: with a tower only with permission that names {r} (cross, enter, line up, take off), read back; the \
             runway of departure and the way to taxi are none. Without a tower after looking both ways, along {r} and up both \
             approaches, and saying so on the radio."
        )),
        (StopKind::HoldShort, None) => {
            let past = guarded.unwrap_or_else(|| "it".to_string());
            Some(format!(
                "Who may go on: with a tower only when told to go past {past}. Without a tower when the way beyond is seen to be clear."
            ))
        }
        _ => None,
    }
}

fn say(stop: &Stop, set: String) -> String {
    let name = clean::name(&stop.name);
    let guarded = stop.of.as_deref().map(clean::name);
    let derived = if stop.derived {
        " The map shows no holding line here: its place was derived at the published distance, so look for the painted one."
    } else {
        ""
    };
    let runway = guarded.as_ref().filter(|g| g.contains("runway"));
    let body = match (stop.kind, &guarded, runway) {
        (StopKind::Start, ..) => format!("{name}: start here; {set}."),
        (StopKind::EngineCheck, ..) => format!("{name}: stop with the nose wheel straight, engine check."),
        (StopKind::HoldShort, _, Some(r)) => format!(
            "{name}: stop, look both ways; permission needed to cross or enter {r}. No part of the aeroplane beyond the line."
        ),
        (StopKind::HoldShort, Some(g), None) => format!("{name}: stop, look; go on past {g} only when told or clear."),
        (StopKind::HoldShort, None, None) => format!("{name}: stop, look; go on only when told or clear."),
        (StopKind::Place, ..) => format!("{name}: stop here."),
        (StopKind::End, _, Some(r)) => format!(
            "{name}: stop, no part of the aeroplane beyond the line; permission needed to enter {r}. The way ends here."
        ),
        (StopKind::End, ..) => format!("{name}: stop. The way ends here."),
    };
    body + derived
}

/// Tells every stop.
pub(crate) fn tell(plan: &Plan, route: &Route) -> Vec<StopBriefing> {
    let one = |stop: &Stop| {
        let heading = stop.pose.heading_rad.bearing();
        StopBriefing {
            kind: stop.kind,
            name: clean::name(&stop.name),
            of: stop.of.as_deref().map(clean::name),
            at_m: number::metres(stop.at_m),
            leg: legs::leg_at(route, stop.at_m) + 1,
            heading_true_deg: number::bearing(heading),
            heading_magnetic_deg: number::bearing(legs::magnetic(heading, plan.declination.deg)),
            compass_deg: number::bearing(compass::reading(plan, heading)),
            derived: stop.derived,
            who_may_pass: who_may_pass(stop),
            say: say(stop, compass::to_set(plan, heading)),
        }
    };
    route.stops.iter().map(one).collect()
}

/// Tells the engine check, when there is one.
pub(crate) fn engine_check(plan: &Plan, route: &Route) -> Option<EngineCheckBriefing> {
    let check = route.check.as_ref()?;
    Some(EngineCheckBriefing {
        area: clean::name(&check.area),
        heading_true_deg: number::bearing(check.heading),
        heading_magnetic_deg: number::bearing(legs::magnetic(check.heading, plan.declination.deg)),
        compass_deg: number::bearing(compass::reading(plan, check.heading)),
        off_wind_deg: check.off_wind_deg.map(number::degrees),
        why: sentence_case(&clean::sentence(&check.why)),
        blast: blast(check, &plan.request.aircraft),
        controls: tailwind(plan, check),
        others: check.others.iter().map(|o| other(plan, o)).collect(),
        limits: limits(&plan.request.aircraft),
    })
}

/// How far behind the blast reaches, rounded up, and on what, how far behind the propeller (rounded down).
fn blast(check: &CheckStand, a: &Aircraft) -> String {
    let told = |b: &BlastOn| {
        let in_use = if b.harm == BlastHarm::LaneInUse {
            " (in use)"
        } else {
            ""
        };
        let name = clean::name(&b.name);
        match b.behind_m.floor() {
            m if m < 1.0 => format!("{name}{in_use} right behind it"),
            m => format!("{name}{in_use} {m:.0} m behind it"),
        }
    };
    let of = |harms: bool| {
        let list = check
            .blast_on
            .iter()
            .filter(|b| (b.harm == BlastHarm::KeepOff) == harms);
        list.map(told).collect::<Vec<String>>().join(", ")
    };
    let falls_on = match (of(true), of(false)) {
        (h, l) if h.is_empty() && l.is_empty() => {
            "it falls on nothing that the map shows; people are not on it".to_string()
        }
        (h, l) if h.is_empty() => format!("it falls on {l}: wait until nobody is there"),
        (h, l) if l.is_empty() => format!("it falls on {h}: have the ground behind cleared, or go elsewhere"),
        (h, l) => format!("it falls on {h}: have the ground behind cleared, or go elsewhere; and on {l}"),
    };
    let (rpm, metres) = (a.engine_check.check_rpm, check.blast_m.ceil());
    format!("Look behind first. At {rpm} rpm the blast reaches about {metres:.0} m behind the propeller; {falls_on}.")
}

/// With the wind from behind, the rule for taxiing and the brakes want different things.
///
/// Ours, from the forces: at check power the air at the tail comes from the propeller, from ahead; elevator down then lifts
/// the tail and takes load off the braked wheels. The flight manual comes first.
fn tailwind(plan: &Plan, check: &CheckStand) -> Option<String> {
    let on = wind::on_heading(&plan.request.wind, plan.declination.deg, check.heading);
    let says = "Wind from behind on this heading: elevator down is right for taxiing, but at check power the propeller's \
                air over it lifts the tail and takes load off the braked main wheels, and they may slide. Hold the \
                elevator neutral while the power is up, add power slowly and look outside; if the aeroplane moves, \
                throttle closed. (Our advice; the flight manual comes first.)";
    (on.elevator == wind::Elevator::Down).then(|| says.to_string())
}

fn other(plan: &Plan, o: &CheckOther) -> String {
    let heading = number::three(number::bearing(legs::magnetic(o.heading, plan.declination.deg)));
    let off = match o.off_wind_deg {
        Some(off) => format!(", {off:.0} deg off the wind"),
        None => String::new(),
    };
    format!("or on {heading}{off}: {}", clean::sentence(&o.why))
}

/// A reason as a sentence of its own: a capital at its head and a full stop at its end.
fn sentence_case(text: &str) -> String {
    let mut chars = text.chars();
    let head: String = chars.next().map(|c| c.to_uppercase().collect()).unwrap_or_default();
    let stop = if text.ends_with('.') { "" } else { "." };
    format!("{head}{}{stop}", chars.as_str())
}

fn limits(a: &Aircraft) -> Vec<String> {
    let c = &a.engine_check;
    let range = |r: &[f64; 2]| format!("{} to {}", r[0], r[1]);
    let mut list = vec![
        format!(
            "oil at {} C or more before high power, never above {} C",
            c.oil_least_c, c.oil_most_c
        ),
        format!("oil pressure {} kPa", range(&c.oil_pressure_kpa)),
        format!("check at {} rpm, brakes held, nose wheel straight", c.check_rpm),
        format!(
            "each magneto: drop at most {} rpm, the two drops within {} rpm; no drop at all may mean a live magneto",
            c.magneto_drop_rpm, c.magneto_difference_rpm
        ),
    ];
    if a.engine.carburettor_heat {
        list.push("carburettor heat: a clear drop, and back again; a rise after the drop means there was ice".into());
    }
    if let Some(suction) = &c.suction_kpa {
        list.push(format!("suction {} kPa", range(suction)));
    }
    list.push(format!("throttle closed: idles at about {} rpm", a.engine.idle_rpm));
    if a.propellers.len() > 1 {
        list.push("each engine by itself".into());
    }
    list
}
