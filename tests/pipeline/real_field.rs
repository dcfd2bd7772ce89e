//! The whole plan on real open data: it must work as it is, say what the map lacks, and never pass an unknown width.

use super::demo::{request, way};
use super::from_outside::{recheck_costs, recheck_gaps, recheck_track};
use toeline_engine::clearance::Verdict;
use toeline_engine::{briefing, plan};

/// From the first stand that can be used to a runway end, for a light trainer.
fn plan_on(file: &str, from: &str, to: &str) -> Option<toeline_engine::Plan> {
    let path = toeline_tests::open_data(file)?;
    let text = std::fs::read_to_string(path).unwrap();
    Some(plan(&text, &request("trainer-high-2", from, &[], to, "240/12T")).unwrap_or_else(|e| panic!("{file}: {e}")))
}

fn check(plan: &toeline_engine::Plan) {
    let way = way(plan);
    assert!(way.route.path.length_m() > 100.0);
    // Open maps give no lane widths here: the answer must not be "clear".
    assert_ne!(way.clearance.verdict, Verdict::Clear);
    assert!(
        way.clearance.lacks.iter().any(|l| l.contains("width")),
        "{:?}",
        way.clearance.lacks
    );
    let json = serde_json::from_str(&briefing::json(plan, &briefing::brief(plan))).unwrap();
    recheck_gaps(&json);
    recheck_track(&json);
    recheck_costs(&json);
}

#[test]
fn frankfurt() {
    if let Some(plan) = plan_on("airfields/hubs/eddf-frankfurt-2023-08.geojson", "V 117", "25C") {
        check(&plan);
    }
}

#[test]
fn malta() {
    if let Some(plan) = plan_on("airfields/malta/malta-airfield.geojson", "way/304191637", "31") {
        check(&plan);
        // The map has no holding position at all: the last stop is derived, and says so.
        assert!(way(&plan).route.stops.last().unwrap().derived);
    }
}
