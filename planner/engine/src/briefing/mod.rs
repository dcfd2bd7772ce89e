//! Stage 5: the plan as people read it, and the forms it is written in. Pure: no file, no clock, no printing.
//!
//! [`brief`] makes one [`Briefing`] with every number rounded; [`text`], [`json`], [`geojson`], [`svg`] and [`knee_sheet`] write it.

mod check_places;
mod compass;
mod controls;
mod design;
mod gaps;
mod geojson;
mod json;
mod json_form;
mod knee;
mod legs;
mod lift;
mod number;
mod odds;
mod others;
mod page;
mod radio;
mod running;
mod shape_json;
mod stops;
mod svg;
mod text;
mod times;
pub mod units;
mod verdict;
pub mod wind;

pub use check_places::{
    BRAKES_FIRST_M, CHECK_TURN_DEG, CheckPlace, CheckedThere, EYES_OUT_BEYOND_MARGIN_M, EYES_OUT_M,
};
pub use controls::ControlChange;
pub use gaps::{EdgeBriefing, GapBriefing};
pub use geojson::geojson;
pub use json::{FORMAT, json};
pub use knee::knee_sheet;
pub use legs::{Directions, LegBriefing, STRAIGHT_WITHIN_DEG, TurnBriefing, line_directions, magnetic};
pub use lift::{LIFT_LOOKED_TO_KT, LiftBriefing, LiftMargin, held_right, held_wrong};
pub use others::{OtherBriefing, others};
pub use page::page;
pub use radio::RadioBriefing;
pub use running::{FULL_PREPARATION, RUNNING_STAGES, RunningItem, RunningStage};
pub use stops::{EngineCheckBriefing, StopBriefing};
pub use svg::svg;
pub(crate) use text::notams as notams_text;
pub use text::{text, text_in_colour};
pub use units::{Units, in_units};
pub use wind::WindBriefing;

use crate::clean;
use crate::clearance::Verdict;
use crate::notice::NoticeKind;
use crate::notices::{self, Shown};
use crate::planning::{Outcome, Plan, Way};
use crate::route::{NoWay, Route};
use serde::{Deserialize, Serialize};
use toeline_model::airfield::NamedArea;
use toeline_model::planar::inside_ring;
use toeline_model::wind::{North, Wind};

/// What stands on every form.
pub const CAUTION: &str = "Training and planning aid only. Not for navigation. The current aerodrome chart, air traffic \
    control, the aeroplane's flight manual, local rules and the instructor come first.";

/// A plan in words and rounded numbers.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Briefing {
    /// What it must not be used for.
    pub caution: String,
    /// Airfield.
    pub field: String,
    /// Whether the airfield is invented.
    pub invented: bool,
    /// Credit that the map's data must be given wherever they or a picture of them are shown.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub attribution: Option<String>,
    /// Aeroplane.
    pub aeroplane: String,
    /// Start, as asked.
    pub from: String,
    /// Places to go by, as asked.
    pub via: Vec<String>,
    /// End, as asked.
    pub to: String,
    /// Wind in words, from both norths.
    pub wind: String,
    /// Day, UTC.
    pub date: String,
    /// Time of that day where one was given: UTC, and the reader's own where he named his time zone.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub time: Option<String>,
    /// Units of the sentences, and of what the forms for reading write; the keys of this form keep their own.
    #[serde(default, skip_serializing_if = "Units::is_metric")]
    pub units: Units,
    /// Declination, degrees, east positive.
    pub declination_deg: f64,
    /// Where it is from.
    pub declination_from: String,
    /// What the compass readings rest on: a deviation card, or none.
    #[serde(default)]
    pub compass_from: String,
    /// Way, or why there is none.
    pub answer: Answer,
    /// Notices laid over the field, those that decide first.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub notams: Vec<Shown>,
    /// What is said on the radio.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub radio: Option<RadioBriefing>,
    /// Other ways, where they were asked for: [`others`].
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub others: Vec<OtherBriefing>,
    /// What was read as nonsense or assumed, in sentences.
    pub doubts: Vec<String>,
    /// What the file holds that is not used.
    pub left_out: Vec<String>,
    /// What was mended in the map, in sentences.
    pub repairs: Vec<String>,
}

/// The answer.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(tag = "answer", rename_all = "snake_case")]
pub enum Answer {
    /// There is a way.
    Way(Box<WayBriefing>),
    /// There is none.
    NoWay(NoWayBriefing),
}

/// A way in words and rounded numbers.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct WayBriefing {
    /// Verdict.
    pub verdict: Verdict,
    /// Verdict in sentences, the summary first.
    pub verdict_text: Vec<String>,
    /// Way of the nose wheel, metres.
    pub length_m: f64,
    /// Time under way, stops apart, seconds.
    pub time_s: f64,
    /// Price that the search compared: time with penalties, seconds.
    pub cost_s: f64,
    /// Wing-tip margin, metres.
    pub margin_m: f64,
    /// Vertical margin, metres.
    pub vertical_margin_m: f64,
    /// Horizontal accuracy of the map, metres.
    pub accuracy_m: f64,
    /// Where that is from.
    pub accuracy_from: String,
    /// What would make it clear, when it is not.
    pub remedies: Vec<String>,
    /// The way beside the published design rows.
    pub design_rows: Vec<String>,
    /// Legs.
    pub legs: Vec<LegBriefing>,
    /// Stops.
    pub stops: Vec<StopBriefing>,
    /// Brake check.
    pub brake_check: String,
    /// Where brakes and instruments are checked, in the order of the way.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub check_places: Vec<CheckPlace>,
    /// What this way gives no place to check, in sentences.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub no_check_place: Vec<String>,
    /// What to do in order, from before the aeroplane moves to the take-off roll.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub running: Vec<RunningStage>,
    /// Engine check.
    pub engine_check: Option<EngineCheckBriefing>,
    /// Least gaps, smallest first.
    pub gaps: Vec<GapBriefing>,
    /// Odds that a wobbling pupil touches something, in sentences; empty when none were asked for.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub odds: Vec<String>,
    /// Wheels against the pavement edge.
    pub edges: Vec<EdgeBriefing>,
    /// Hot spots on the way.
    pub hot_spots: Vec<String>,
    /// What the map lacks.
    pub lacks: Vec<String>,
    /// Doubts about the way itself.
    pub doubts: Vec<String>,
    /// Cheaper ways that were given up, with the reason.
    pub given_up: Vec<String>,
    /// Closures in force that keep it off the cheapest way.
    pub gone_around: Vec<String>,
}

/// Why there is no way, in words.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct NoWayBriefing {
    /// The stop that cannot be reached.
    pub unreachable: String,
    /// From where.
    pub from: String,
    /// What blocks, in the order of the way that it would open.
    pub blocks: Vec<String>,
    /// Whether no fewer would do, where that was searched for.
    pub fewest: Option<bool>,
}

/// Tells a plan.
pub fn brief(plan: &Plan) -> Briefing {
    let told = |kind: NoticeKind| -> Vec<String> {
        let of_kind = plan.notices.iter().filter(|n| n.kind == kind);
        of_kind
            .map(|n| format!("{}: {}", clean::name(&n.feature), clean::sentence(&n.text)))
            .collect()
    };
    let field = plan.field.name.as_deref().unwrap_or("unnamed airfield");
    Briefing {
        caution: CAUTION.to_string(),
        field: clean::name(field),
        invented: plan.field.invented,
        attribution: plan.field.attribution.as_deref().map(clean::sentence),
        aeroplane: clean::name(&plan.request.aircraft.name),
        from: clean::name(&plan.request.from),
        via: plan.request.via.iter().map(|v| clean::name(v)).collect(),
        to: clean::name(&plan.request.to),
        wind: wind_words(&plan.request.wind, plan.declination.deg),
        date: plan.request.date.to_string(),
        time: plan.request.time_utc.map(|t| t.to_string()),
        units: Units::Metric,
        declination_deg: number::degrees(plan.declination.deg),
        declination_from: clean::sentence(&plan.declination.source),
        compass_from: compass::rests_on(plan),
        answer: match &plan.outcome {
            Outcome::Way(way) => Answer::Way(Box::new(way_briefing(plan, way))),
            Outcome::NoWay(none) => Answer::NoWay(no_way(none)),
        },
        notams: notices::shown(&plan.notams),
        radio: radio::tell(plan),
        others: Vec::new(),
        doubts: told(NoticeKind::Doubt),
        left_out: told(NoticeKind::LeftOut),
        repairs: told(NoticeKind::Repair),
    }
}

fn way_briefing(plan: &Plan, way: &Way) -> WayBriefing {
    let (route, c) = (&way.route, &way.clearance);
    let (gaps, edges) = (gaps::tell(route, c), gaps::edges(c));
    let checks = check_places::tell(plan, route, c);
    let sentences = |list: &[String]| list.iter().map(|s| clean::sentence(s)).collect();
    let mut told = WayBriefing {
        verdict: c.verdict,
        verdict_text: verdict::sentences(route, c, &gaps, &edges),
        remedies: c.remedies.iter().map(|r| clean::sentence(&r.text)).collect(),
        design_rows: design::sentences(route, c),
        length_m: number::metres(route.path.length_m()),
        time_s: number::seconds(times::total_s(&plan.request.aircraft, route)),
        cost_s: number::metres(route.cost_ms as f64 / 1000.0),
        margin_m: number::metres(c.margin_m),
        vertical_margin_m: number::metres(c.vertical_margin_m),
        accuracy_m: number::metres(c.accuracy_m),
        accuracy_from: clean::sentence(&c.accuracy_from),
        legs: legs::tell(plan, route, c),
        stops: stops::tell(plan, route),
        brake_check: stops::brake_check(route),
        check_places: checks.places,
        no_check_place: checks.no_place,
        running: Vec::new(),
        engine_check: stops::engine_check(plan, route),
        gaps,
        odds: way.odds.as_ref().map(odds::sentences).unwrap_or_default(),
        edges,
        hot_spots: hot_spots(plan, route),
        lacks: sentences(&c.lacks),
        doubts: sentences(&route.doubts),
        given_up: sentences(&way.given_up),
        gone_around: sentences(&way.gone_around),
    };
    told.running = running::tell(plan, route, &told);
    told
}

fn no_way(none: &NoWay) -> NoWayBriefing {
    NoWayBriefing {
        unreachable: clean::name(&none.unreachable),
        from: clean::name(&none.from),
        blocks: none.blocks.iter().map(|b| clean::sentence(&b.text)).collect(),
        fewest: none.fewest,
    }
}

/// Hot spots that the nose wheel enters, with the way at which it does, in the order of the way; looked at every metre.
fn hot_spots_entered<'a>(plan: &'a Plan, route: &Route) -> Vec<(f64, &'a NamedArea)> {
    let path = &route.path;
    let steps = path.length_m().ceil() as usize;
    let entered = |spot: &'a NamedArea| {
        let inside = |s: &f64| inside_ring(path.pose_at(*s).nose, &spot.outer);
        Some(((0..=steps).map(|i| i as f64).find(inside)?, spot))
    };
    let mut list: Vec<(f64, &NamedArea)> = plan.field.hot_spots.iter().filter_map(entered).collect();
    list.sort_by(|a, b| a.0.total_cmp(&b.0));
    list
}

fn hot_spots(plan: &Plan, route: &Route) -> Vec<String> {
    let told = |(entered, spot): &(f64, &NamedArea)| {
        let name = clean::name(spot.name.as_deref().unwrap_or("unnamed"));
        let note = spot
            .note
            .as_deref()
            .map(|n| format!(": {}", clean::sentence(n)))
            .unwrap_or_default();
        format!("leg {}, hot spot {name}{note}", legs::leg_at(route, *entered) + 1)
    };
    hot_spots_entered(plan, route).iter().map(told).collect()
}

fn wind_words(wind: &Wind, declination_deg: f64) -> String {
    let speed = |kt: f64, gust: Option<f64>| match gust {
        Some(g) => format!("{kt:.0} kt, gusts {g:.0} kt"),
        None => format!("{kt:.0} kt"),
    };
    match *wind {
        Wind::Calm => "calm".to_string(),
        Wind::Variable { speed_kt, gust_kt } => format!("variable, {}", speed(speed_kt, gust_kt)),
        Wind::From {
            from_deg,
            north,
            speed_kt,
            gust_kt,
        } => {
            let (true_deg, magnetic_deg) = match north {
                North::True => (from_deg, from_deg - declination_deg),
                North::Magnetic => (from_deg + declination_deg, from_deg),
            };
            let as_given = if north == North::True { "true" } else { "magnetic" };
            let (t, m) = (number::three(true_deg), number::three(magnetic_deg));
            format!(
                "from {t} true, {m} magnetic (given {as_given}), {}",
                speed(speed_kt, gust_kt)
            )
        }
    }
}
