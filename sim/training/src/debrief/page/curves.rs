//! The plots along the way.

use super::super::Debrief;
use super::super::plot::{Line, Plot, Range, last_m, safe};
use std::fmt::Write as _;
use toeline_model::units::knots;

const FULL: &str = "";
const DASHES: &str = "8 5";
const DOTS: &str = "1 4";

/// Values of another drive at the ways of this one: of the last sample before each.
fn beside(d: &Debrief, o: &Debrief, of: &dyn Fn(&Debrief, usize) -> Option<f64>) -> Vec<Option<f64>> {
    // A drive may roll back a hand's breadth; looked for is the way that it has come to.
    let mut most = 0.0_f64;
    let there: Vec<f64> = o
        .series
        .samples
        .iter()
        .map(|s| {
            most = most.max(s.way_m);
            most
        })
        .collect();
    let at = |way_m: f64| {
        let k = there.partition_point(|t| *t <= way_m);
        if k == 0 || k >= there.len() { None } else { of(o, k - 1) }
    };
    d.series.samples.iter().map(|s| at(s.way_m)).collect()
}

/// Names of the legs over the plots, each as wide as its leg.
fn legs(out: &mut String, d: &Debrief, last: f64) {
    if d.legs.is_empty() {
        return;
    }
    out.push_str("<div class=\"legs\">");
    for (name, from_m, to_m) in &d.legs {
        let share = (to_m.min(last) - from_m.max(0.0)).max(0.0) / last * 100.0;
        if share > 0.0 {
            let name = safe(name);
            let _ = write!(out, "<span style=\"width:{share:.2}%\" title=\"{name}\">{name}</span>");
        }
    }
    out.push_str("</div>\n");
}

pub(super) fn plots(out: &mut String, d: &Debrief, others: &[Debrief]) {
    let s = &d.series.samples;
    let ways: Vec<f64> = s.iter().map(|s| s.way_m).collect();
    let last = last_m(d);
    let of = |what, dash, f: &dyn Fn(usize) -> Option<f64>| Line {
        what,
        dash,
        values: (0..s.len()).map(f).collect(),
        other: false,
    };
    let plot = |title, unit, range| Plot {
        title,
        unit,
        ways: &ways,
        last_m: last,
        legs: &d.legs,
        range,
    };
    let _ = writeln!(
        out,
        "<h2>Along the way, 0 to {last:.0} m</h2>\n<p>Upright lines: where a new leg begins.</p>"
    );
    legs(out, d, last);
    let mut deviation = vec![of("full line: this drive", FULL, &|k| s[k].offset_m)];
    let mut speed = vec![of("full line: this drive", FULL, &|k| Some(knots(s[k].speed_mps)))];
    if !d.intended_mps.is_empty() {
        let intended = |k: usize| d.intended_mps.get(k).copied().flatten().map(knots);
        speed.push(of("dashes: meant for the lane", DASHES, &intended));
    }
    if let Some(o) = others.first() {
        deviation.push(Line {
            what: "dots: the other drive",
            dash: DOTS,
            other: true,
            values: beside(d, o, &|o, k| o.series.samples[k].offset_m),
        });
        speed.push(Line {
            what: "dots: the other drive",
            dash: DOTS,
            other: true,
            values: beside(d, o, &|o, k| Some(knots(o.series.samples[k].speed_mps))),
        });
    }
    if s.iter().any(|s| s.offset_m.is_some()) {
        plot("Nose wheel off the line", "m, left up", Range::AroundZero).draw(out, &deviation);
    }
    plot("Speed", "kt", Range::FromZero).draw(out, &speed);
    let soles = [of("right pedal up", FULL, &|k| Some(100.0 * s[k].controls.rudder))];
    plot("Soles", "per cent", Range::BothWays).draw(out, &soles);
    let brakes = [
        of("full line: left", FULL, &|k| Some(100.0 * s[k].controls.brakes()[0])),
        of("dashes: right", DASHES, &|k| Some(100.0 * s[k].controls.brakes()[1])),
        of("dots: throttle", DOTS, &|k| Some(100.0 * s[k].controls.throttle)),
    ];
    plot("Brakes and throttle", "per cent", Range::Share).draw(out, &brakes);
    if d.gaps.iter().any(Option::is_some) {
        let gap = [of("nearest thing within 20 m", FULL, &|k| {
            d.gaps.get(k).copied().flatten()
        })];
        plot("Gap", "m", Range::FromZero).draw(out, &gap);
    }
    if s.iter().any(|s| s.felt.is_some_and(|f| f.headings.is_some())) {
        let shown = |k: usize| s[k].felt.and_then(|f| f.headings);
        let headings = [
            of("full line: true heading", FULL, &|k| {
                Some(s[k].heading_rad.bearing().deg())
            }),
            of("dashes: heading indicator", DASHES, &|k| {
                Some(shown(k)?.indicator_rad.to_degrees())
            }),
            of("dots: compass (both magnetic)", DOTS, &|k| {
                Some(shown(k)?.compass_rad.to_degrees())
            }),
        ];
        plot("Heading instruments", "degrees", Range::Compass).draw(out, &headings);
    }
}
