//! The forms of a briefing: each is made twice and must be the same before it is timed; then their times are told together,
//! beside the planning of the same way in the same run, and beside a general library that writes the same JSON.
//!
//! `cargo bench -p toeline-tests --bench forms`; the largest real field needs `TOELINE_OPEN_DATA`. The PDF of the knee sheet is
//! the program's own and not in here.

#![allow(clippy::print_stdout)]

use std::time::Instant;
use toeline_engine::briefing::{self, Briefing, Units};
use toeline_engine::planning::Outcome;
use toeline_engine::{Plan, Request, plan};

/// Median of the seconds that some runs take, and what the last one gave.
fn median_s<T>(runs: usize, mut f: impl FnMut() -> T) -> (f64, T) {
    let mut times = Vec::new();
    let mut last = None;
    for _ in 0..runs {
        let begin = Instant::now();
        let got = f();
        times.push(begin.elapsed().as_secs_f64());
        last = Some(got);
    }
    times.sort_by(f64::total_cmp);
    (times[runs / 2], last.expect("at least one run"))
}

fn request(from: &str, via: &[&str], to: &str) -> Request {
    toeline_tests::request("trainer-high-2", from, via, to, "240/12T")
}

type Form = fn(&Plan, &Briefing) -> String;

const FORMS: [(&str, Form); 7] = [
    ("text", |_, b| briefing::text(b)),
    ("text in colour", |_, b| briefing::text_in_colour(b)),
    ("JSON", briefing::json),
    ("GeoJSON", briefing::geojson),
    ("chart", briefing::svg),
    ("page", briefing::page),
    ("knee sheet", |p, b| briefing::knee_sheet(p, b).concat()),
];

fn forms(name: &str, text: &str, request: &Request) {
    let begin = Instant::now();
    let answer = plan(text, request).expect("a plan");
    let planning = begin.elapsed().as_secs_f64();
    let Outcome::Way(way) = &answer.outcome else {
        panic!("{name}: no way")
    };
    println!(
        "{name}: planned in {:.0} ms, {:.0} m of way",
        planning * 1e3,
        way.route.path.length_m()
    );
    let (told, b) = median_s(9, || briefing::brief(&answer));
    let (turned, feet) = median_s(9, || briefing::in_units(&b, Units::Imperial, &answer.field));
    assert!(feet != b, "nothing was turned into feet");
    println!(
        "  told {:.1} ms; sentences turned into feet {:.1} ms",
        told * 1e3,
        turned * 1e3
    );
    let mut all = told + turned;
    let mut json_s = 0.0;
    for (form, write) in FORMS {
        let first = write(&answer, &b);
        let (s, again) = median_s(9, || write(&answer, &b));
        assert!(
            !first.is_empty() && first == again,
            "{name}, {form}: not the same twice"
        );
        println!("  {form}: {:.1} ms, {} kB", s * 1e3, first.len() / 1000);
        all += s;
        if form == "JSON" {
            json_s = s;
            let value: serde_json::Value = serde_json::from_str(&first).expect("JSON");
            let (peer, _) = median_s(9, || serde_json::to_string(&value).expect("JSON"));
            println!(
                "    {:.2} of the time in which serde_json writes the same value again",
                json_s / peer
            );
        }
    }
    assert!(json_s > 0.0);
    println!(
        "  all forms {:.0} ms: {:.3} of the planning in this run",
        all * 1e3,
        all / planning
    );
}

fn main() {
    forms("demo field", &toeline_tests::demo_field(), &request("4", &["E"], "26"));
    if let Some(path) = toeline_tests::open_data("airfields/hubs/eddf-frankfurt-2023-08.geojson") {
        let text = std::fs::read_to_string(path).expect("read");
        for to in ["25C", "18", "25R"] {
            forms(
                &format!("the largest field, to {to}"),
                &text,
                &request("V 117", &[], to),
            );
        }
    }
}
