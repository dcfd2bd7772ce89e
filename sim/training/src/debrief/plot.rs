//! Plots along the way as SVG that stretches with the page: lines keep their width, words stand outside in HTML.

use super::Debrief;
use std::fmt::Write as _;
use toeline_engine::briefing::CAUTION;

/// Size of a plot in its own units.
pub(super) const WIDE: f64 = 1000.0;
pub(super) const HIGH: f64 = 120.0;

/// A line of a plot: what it shows, dashes, values at the samples.
pub(super) struct Line {
    pub(super) what: &'static str,
    pub(super) dash: &'static str,
    pub(super) values: Vec<Option<f64>>,
}

/// The last way that is shown, metres, at least 1.
pub(super) fn last_m(d: &Debrief) -> f64 {
    d.series.samples.iter().map(|s| s.way_m).fold(1.0, f64::max)
}

/// Text made safe for HTML.
pub(super) fn safe(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            c if c.is_control() => out.push(' '),
            c => out.push(c),
        }
    }
    out
}

/// The caution, safe for HTML.
pub(super) fn caution() -> String {
    safe(CAUTION)
}

/// Points of a line that are worth drawing: breaks where nothing is known, at most about two a unit.
fn points(ways: &[f64], values: &[Option<f64>], last_m: f64, low: f64, high: f64) -> String {
    let mut path = String::new();
    let mut pen_down = false;
    let mut drawn: (f64, f64) = (f64::NAN, f64::NAN);
    for (way, value) in ways.iter().zip(values) {
        let Some(v) = value else {
            pen_down = false;
            continue;
        };
        let x = way / last_m * WIDE;
        let y = HIGH - (v - low) / (high - low) * HIGH;
        let y = y.clamp(-HIGH, 2.0 * HIGH);
        if pen_down && (x - drawn.0).abs() < 0.5 && (y - drawn.1).abs() < 0.5 {
            continue;
        }
        let _ = write!(path, "{}{x:.1} {y:.1}", if pen_down { 'L' } else { 'M' });
        pen_down = true;
        drawn = (x, y);
    }
    path
}

/// One plot with its heading, its range and its cursor.
pub(super) fn plot(
    out: &mut String,
    title: &str,
    unit: &str,
    ways: &[f64],
    last_m: f64,
    lines: &[Line],
    around_zero: bool,
) {
    let known = || lines.iter().flat_map(|l| l.values.iter().flatten().copied());
    let (mut low, mut high) = known().fold((0.0_f64, 0.0_f64), |(a, b), v| (a.min(v), b.max(v)));
    if around_zero {
        let most = low.abs().max(high.abs()).max(0.5);
        (low, high) = (-most, most);
    }
    if high - low < 1e-6 {
        high = low + 1.0;
    }
    let names: Vec<String> = lines.iter().map(|l| safe(l.what)).collect();
    let _ = write!(
        out,
        "<figure class=\"plot\"><figcaption><b>{}</b>, {}: {}</figcaption>\n<div class=\"box\"><span class=\"top\">{high:.1}</span>\
         <span class=\"foot\">{low:.1}</span><svg viewBox=\"0 0 {WIDE} {HIGH}\" preserveAspectRatio=\"none\" role=\"img\" \
         aria-label=\"{} along the way, {low:.1} to {high:.1} {}\">\n",
        safe(title),
        safe(unit),
        names.join(", "),
        safe(title),
        safe(unit)
    );
    let zero = HIGH + low / (high - low) * HIGH;
    let _ = writeln!(out, "<path class=\"zero\" d=\"M0 {zero:.1}H{WIDE}\"/>");
    for l in lines {
        let d = points(ways, &l.values, last_m, low, high);
        if !d.is_empty() {
            let _ = writeln!(out, "<path class=\"curve\" stroke-dasharray=\"{}\" d=\"{d}\"/>", l.dash);
        }
    }
    let _ = write!(out, "<path class=\"cursor\" d=\"M0 0V{HIGH}\"/></svg></div></figure>\n");
}
