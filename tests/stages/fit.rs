//! Who fits where: the table is what a plan says, the spans stand between a span that clears and one that does not, and
//! every form tells the same whatever the names.

use serde_json::{Value, json};
use std::sync::OnceLock;
use toeline_engine::clearance::Verdict;
use toeline_engine::fit::{self, Fit, FitAsked, Fits, Largest};
use toeline_engine::planning::{self, Outcome, PlanError};
use toeline_engine::route::{RouteError, TurnMeans};
use toeline_model::aircraft::catalog;
use toeline_model::date::Date;
use toeline_model::{Aircraft, Bearing};
use toeline_tests::sketch::Sketch;

fn asked(ids: &[&str]) -> FitAsked {
    let aircraft = ids.iter().map(|id| catalog::find(id).unwrap()).collect();
    FitAsked::new(aircraft, Date::parse("2026-07-04").unwrap())
}

fn fitted(text: &str, asked: &FitAsked) -> Fit {
    fit::fit(text, asked, &|_| {}).unwrap()
}

/// The demo field for three aeroplanes, worked out once.
fn demo() -> &'static Fit {
    static DEMO: OnceLock<Fit> = OnceLock::new();
    DEMO.get_or_init(|| {
        fitted(
            &toeline_tests::demo_field(),
            &asked(&["trainer-high-2", "tourer-low-4", "motorglider-15"]),
        )
    })
}

/// What `plan()` says, by the words of `docs/fit.md`.
fn by_plan(text: &str, fit: &Fit, cell: &fit::Cell) -> Fits {
    let row = &fit.stands[cell.stand];
    let aircraft = &fit.asked.aircraft[cell.aircraft];
    let stand = &fit.field.stands[row.stand];
    // A stand's own limits hold for a hand-push too, where the way does not run along the stand's line.
    if stand.closed.is_some() || stand.span_limit_m.is_some_and(|m| aircraft.wing.span_m > m) {
        return Fits::DoesNot;
    }
    let Some(ask) = &row.ask else { return Fits::NotKnown };
    let plan = |heading| {
        let request = fit.asked.request(aircraft, ask, &fit.runways[cell.runway], heading);
        match planning::plan(text, &request).map(|p| p.outcome) {
            Ok(Outcome::NoWay(_)) => Ok(Fits::DoesNot),
            Ok(Outcome::Way(way)) => {
                let impossible = way.route.turns.iter().any(|t| t.means == TurnMeans::NotPossible);
                Ok(match way.clearance.verdict {
                    _ if impossible => Fits::DoesNot,
                    Verdict::Clear => Fits::Fits,
                    Verdict::NotKnown => Fits::NotKnown,
                    Verdict::NotClear => Fits::DoesNot,
                })
            }
            Err(PlanError::Route(e)) => Err(e),
            Err(e) => panic!("{e}"),
        }
    };
    let told = |answer: Result<Fits, RouteError>| match answer {
        Ok(fits) => fits,
        Err(RouteError::NotJoined { .. } | RouteError::NoEntry { .. }) => Fits::DoesNot,
        Err(_) => Fits::NotKnown,
    };
    match plan(None) {
        Err(RouteError::NeedsHeading { out_deg, in_deg, .. }) => {
            let [a, b] = [out_deg, in_deg].map(|d| told(plan(Some(Bearing::from_deg(f64::from(d))))));
            if a == b { a } else { Fits::NotKnown }
        }
        other => told(other),
    }
}

/// Every `step`-th answer from a start, which runs through all aeroplanes, stands and runways.
fn sample(fit: &Fit, count: usize) -> Vec<&fit::Cell> {
    // A multiplicative step that is prime to the number of answers visits them in a scattered order.
    let n = fit.cells.len();
    let step = (1..).map(|k| 7919 + 2 * k).find(|s| gcd(*s, n) == 1).unwrap();
    (0..count.min(n)).map(|i| &fit.cells[(i * step + 5) % n]).collect()
}

fn gcd(a: usize, b: usize) -> usize {
    if b == 0 { a } else { gcd(b, a % b) }
}

fn same_as_plan(text: &str, fit: &Fit, count: usize) {
    let list = sample(fit, count);
    assert!(!list.is_empty());
    for cell in list {
        let what = || {
            format!(
                "{} from {} to {}: {:?}",
                fit.asked.aircraft[cell.aircraft].id,
                fit.stands[cell.stand].name,
                fit.runways[cell.runway],
                cell.reasons
            )
        };
        assert_eq!(cell.fits, by_plan(text, fit, cell), "{}", what());
        assert_eq!(cell.fits == Fits::Fits, cell.reasons.is_empty(), "{}", what());
    }
}

#[test]
fn the_table_is_what_a_plan_says() {
    let fit = demo();
    assert_eq!(fit.cells.len(), 3 * fit.stands.len() * fit.runways.len());
    // The sample would show little if all answers were one.
    assert!(fit.count(Fits::Fits) > 0 && fit.count(Fits::DoesNot) > 0);
    same_as_plan(&toeline_tests::demo_field(), fit, 60);
}

#[test]
fn a_published_rule_decides_in_the_table_as_in_a_plan() {
    let mut asked = asked(&["tourer-high-4"]);
    asked.rule = toeline_engine::request::MarginRule::Icao;
    let text = toeline_tests::demo_field();
    same_as_plan(&text, &fitted(&text, &asked), 12);
}

#[test]
fn the_table_is_what_a_plan_says_on_a_real_field() {
    let Some(path) =
        toeline_tests::open_data("airfields/maldives/by-airfield/vrmm-velana-international-airport.geojson")
    else {
        return;
    };
    let text = std::fs::read_to_string(path).unwrap();
    let fit = fitted(&text, &asked(&["trainer-high-2"]));
    same_as_plan(&text, &fit, 12);
    for spans in &fit.spans {
        assert_eq!(spans.stands.len(), fit.stands.len());
    }
}

/// A straight taxiway with a wall along it on one side and a stand at its end.
fn lane_by_a_wall(wall_m: f64, lane: Value) -> String {
    let mut tags = json!({ "aeroway": "taxiway", "ref": "A", "width": 12 });
    tags.as_object_mut().unwrap().extend(lane.as_object().unwrap().clone());
    Sketch::default()
        .runway("rwy", "09/27", &[[-450.0, 0.0], [0.0, 0.0], [450.0, 0.0]])
        .line("a", &[[0.0, 0.0], [0.0, -150.0]], tags)
        .line(
            "wall",
            &[[wall_m, -60.0], [wall_m, -120.0]],
            json!({ "barrier": "wall" }),
        )
        .point(
            "s1",
            [0.0, -170.0],
            json!({ "aeroway": "parking_position", "ref": "1", "direction": 0 }),
        )
        .text()
}

fn of_lane<'a>(fit: &'a Fit, name: &str) -> Vec<&'a Largest> {
    let all = fit.spans[0].segments.iter().filter(|s| s.name == name);
    all.filter_map(|s| s.largest.as_ref().ok()).collect()
}

#[test]
fn the_largest_span_beside_a_wall_is_the_closed_form() {
    let mut asked = asked(&["trainer-high-2"]);
    asked.accuracy_m = Some(0.5);
    // Half the span may reach to the wall less margin and accuracy; 3 mm more, so that the certified millimetre of the
    // gap does not decide about the centimetre.
    let fit = fitted(&lane_by_a_wall(12.003, json!({})), &asked);
    let least = |pick: fn(&Largest) -> Option<f64>| {
        of_lane(&fit, "taxiway A")
            .into_iter()
            .filter_map(pick)
            .fold(99.0, f64::min)
    };
    assert_eq!(least(|l| l.fits_m), 2.0 * (12.0 - 3.0 - 0.5));
    assert_eq!(least(|l| l.perhaps_m), 2.0 * (12.0 - 3.0));
    let tight = of_lane(&fit, "taxiway A")
        .into_iter()
        .find(|l| l.fits_m == Some(17.0))
        .unwrap();
    let why = tight.limited_by.as_ref().unwrap();
    assert_eq!(why.feature, "wall");
    assert_eq!(
        (why.value_m, why.limit_m),
        (Some(3.4), Some(3.0)),
        "17.01 m leaves 3.498 m, told downward"
    );
    // Without the wall nothing limits that lane.
    let free = fitted(&lane_by_a_wall(200.0, json!({})), &asked);
    assert!(
        of_lane(&free, "taxiway A")
            .iter()
            .all(|l| l.fits_m == Some(fit::MOST_SPAN_M) && l.limited_by.is_none())
    );
    // The map's own limit holds whatever the gap.
    let marked = fitted(&lane_by_a_wall(12.003, json!({ "maxspan": 11 })), &asked);
    let lanes = of_lane(&marked, "taxiway A");
    assert!(
        lanes
            .iter()
            .all(|l| l.fits_m == Some(11.0) && l.perhaps_m == Some(11.0)),
        "{lanes:?}"
    );
    // A wall on the line: no span fits, and it is said which was tried.
    let shut = fitted(&lane_by_a_wall(0.5, json!({})), &asked);
    assert!(
        of_lane(&shut, "taxiway A")
            .iter()
            .any(|l| l.fits_m.is_none() && l.perhaps_m.is_none() && l.limited_by.is_some())
    );
}

/// The same aeroplane with another span, as the search tries it.
fn with_span(a: &Aircraft, span_m: f64) -> Aircraft {
    toeline_engine::clearance::like_ours(a, Some(span_m))
}

#[test]
fn the_search_agrees_with_the_table_beside_a_wall() {
    // From stand to runway there is one straight way past the wall: an aeroplane of just the largest span fits, and a
    // centimetre more does not.
    let text = lane_by_a_wall(9.003, json!({}));
    let mut base = asked(&["tourer-low-4"]);
    base.accuracy_m = Some(0.0);
    let ours = base.aircraft[0].clone();
    let largest = of_lane(&fitted(&text, &base), "taxiway A")
        .into_iter()
        .filter_map(|l| l.fits_m)
        .fold(99.0, f64::min);
    assert_eq!(largest, 12.0);
    let gap_fault = |span_m: f64| {
        let mut asked = base.clone();
        asked.aircraft = vec![with_span(&ours, span_m)];
        let fit = fitted(&text, &asked);
        let gap = |r: &fit::Reason| r.kind == fit::ReasonKind::Gap;
        fit.cells.iter().map(|c| c.reasons.iter().any(gap)).collect::<Vec<_>>()
    };
    assert!(gap_fault(largest).iter().all(|b| !b));
    assert!(gap_fault(largest + 0.01).iter().all(|b| *b));
}

#[test]
fn a_stand_without_a_heading_is_held_against_both() {
    let text = Sketch::default()
        .runway("rwy", "09/27", &[[-450.0, 0.0], [0.0, 0.0], [450.0, 0.0]])
        .line(
            "a",
            &[[0.0, 0.0], [0.0, -150.0], [60.0, -150.0]],
            json!({ "aeroway": "taxiway", "ref": "A", "width": 15 }),
        )
        .point(
            "s1",
            [40.0, -170.0],
            json!({ "aeroway": "parking_position", "ref": "1" }),
        )
        .point(
            "s2",
            [900.0, -900.0],
            json!({ "aeroway": "parking_position", "ref": "2" }),
        )
        .text();
    let mut asked = asked(&["trainer-high-2"]);
    asked.accuracy_m = Some(0.1);
    let fit = fitted(&text, &asked);
    same_as_plan(&text, &fit, 4);
    let far = fit
        .cells
        .iter()
        .find(|c| fit.stands[c.stand].name == "stand 2")
        .unwrap();
    assert_eq!((far.fits, far.reasons[0].kind), (Fits::DoesNot, fit::ReasonKind::NoWay));
    assert!(
        far.reasons[0].text.contains("too far from any lane"),
        "{}",
        far.reasons[0].text
    );
}

/// Every form of an answer.
fn forms(fit: &Fit) -> Vec<String> {
    let (table, spans) = fit::csv(fit);
    let mut all = vec![fit::text(fit), table, spans, fit::json(fit), fit::html(fit)];
    all.extend((0..fit.asked.aircraft.len()).map(|i| fit::picture(fit, i)));
    all
}

#[test]
fn every_form_is_the_same_on_one_thread_and_on_two() {
    let text = lane_by_a_wall(10.0, json!({}));
    let asked = asked(&["trainer-high-2", "twin-light-6"]);
    let on = |threads: usize| {
        let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build().unwrap();
        pool.install(|| forms(&fitted(&text, &asked)))
    };
    assert!(on(1) == on(2));
}

#[test]
fn all_fit_only_when_every_answer_does() {
    let text = lane_by_a_wall(200.0, json!({}));
    let mut asked = asked(&["trainer-high-2"]);
    asked.accuracy_m = Some(0.1);
    let fit = fitted(&text, &asked);
    let unknown = fit.count(Fits::NotKnown) + fit.count(Fits::DoesNot);
    assert_eq!(fit.all_fit(), unknown == 0);
    assert!(!demo().all_fit());
    // Nothing to answer is not "all fit".
    let bare = Sketch::default().taxiway("a", "A", &[[0.0, 0.0], [50.0, 0.0]]).text();
    assert!(!fitted(&bare, &asked).all_fit());
    assert!(fit::text(&fitted(&bare, &asked)).contains("Nothing to answer"));
}

const HOSTILE: &str = "=1+\"2\",<script>alert('x')</script>&amp;]]>\u{1b}[31m\u{202e}\r\n--> é東";

/// RFC 4180, read strictly.
fn records(csv: &str) -> Vec<Vec<String>> {
    let (mut list, mut record, mut cell) = (Vec::new(), Vec::new(), String::new());
    let mut chars = csv.chars().peekable();
    while let Some(c) = chars.next() {
        match c {
            '"' if cell.is_empty() => loop {
                match chars.next().expect("quotes are closed") {
                    '"' if chars.peek() == Some(&'"') => cell.push(chars.next().unwrap()),
                    '"' => {
                        assert!(
                            matches!(chars.peek(), Some(',' | '\r')),
                            "nothing after a closing quote"
                        );
                        break;
                    }
                    c => cell.push(c),
                }
            },
            '"' => panic!("a quote inside an unquoted field"),
            ',' => record.push(std::mem::take(&mut cell)),
            '\r' => {
                assert_eq!(chars.next(), Some('\n'), "lines end with CRLF");
                record.push(std::mem::take(&mut cell));
                list.push(std::mem::take(&mut record));
            }
            '\n' => panic!("a bare line feed"),
            c => cell.push(c),
        }
    }
    assert!(cell.is_empty() && record.is_empty(), "the last line is ended");
    list
}

#[test]
fn hostile_names_stay_text_in_every_form() {
    let text = Sketch::default()
        .point(
            "field",
            [0.0, -300.0],
            json!({ "aeroway": "aerodrome", "name": HOSTILE }),
        )
        .line(
            "rwy",
            &[[-450.0, 0.0], [0.0, 0.0], [450.0, 0.0]],
            json!({ "aeroway": "runway", "ref": "09/27", "width": 23 }),
        )
        .line(
            "a",
            &[[0.0, 0.0], [0.0, -150.0]],
            json!({ "aeroway": "taxiway", "ref": HOSTILE, "width": 12 }),
        )
        .line(
            "wall",
            &[[6.0, -60.0], [6.0, -120.0]],
            json!({ "barrier": "wall", "name": HOSTILE }),
        )
        .point(
            "s1",
            [0.0, -170.0],
            json!({ "aeroway": "parking_position", "ref": HOSTILE, "direction": 0 }),
        )
        .text();
    let mut asked = asked(&["trainer-high-2"]);
    asked.aircraft[0].name = HOSTILE.to_string();
    let fit = fitted(&text, &asked);
    assert!(fit.count(Fits::Fits) < fit.cells.len());
    for form in forms(&fit) {
        assert!(!form.contains(['\u{1b}', '\u{202e}']), "{form}");
    }
    let page = fit::html(&fit);
    assert!(!page.contains("<script") && page.contains("&lt;script&gt;"));
    for (i, _) in fit.asked.aircraft.iter().enumerate() {
        let svg = fit::picture(&fit, i);
        let read = roxmltree::Document::parse(&svg).expect("the picture is sound XML");
        assert!(read.descendants().all(|n| n.tag_name().name() != "script"));
    }
    let (table, spans) = fit::csv(&fit);
    for csv in [&table, &spans] {
        let records = records(csv);
        assert!(records.iter().all(|r| r.len() == records[0].len()));
        assert!(records.len() > 1 && records.iter().flatten().all(|f| !f.starts_with('=')));
    }
    assert_eq!(records(&table).len(), fit.cells.len() + 1);
    let value: Value = serde_json::from_str(&fit::json(&fit)).unwrap();
    assert_eq!(value["toeline_fit"], json!(fit::FORMAT));
}

#[test]
fn lines_of_text_are_at_most_a_hundred_columns_and_csv_counts_add_up() {
    let fit = demo();
    assert!(fit::text(fit).lines().all(|l| l.chars().count() <= 100));
    let (table, spans) = fit::csv(fit);
    let table = records(&table);
    assert_eq!(table.len(), fit.cells.len() + 1);
    let fits = table[1..].iter().filter(|r| r[5] == "fits").count();
    assert_eq!(fits, fit.count(Fits::Fits));
    let each = fit
        .spans
        .iter()
        .map(|s| s.segments.len() + s.stands.len())
        .sum::<usize>();
    assert_eq!(records(&spans).len(), each + 1);
}

#[test]
fn figures_out_of_range_are_refused_by_name() {
    let text = lane_by_a_wall(10.0, json!({}));
    let mut bad = asked(&["trainer-high-2"]);
    bad.margin_m = -1.0;
    let e = fit::fit(&text, &bad, &|_| {}).unwrap_err();
    assert!(e.to_string().contains("margin of -1"), "{e}");
    let none = FitAsked {
        aircraft: Vec::new(),
        ..bad
    };
    assert!(fit::fit(&text, &none, &|_| {}).is_err());
}
