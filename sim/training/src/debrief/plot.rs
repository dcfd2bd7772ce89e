//! Plots along the way as SVG that stretches with the page: lines keep their width, words stand outside in HTML.

use super::Debrief;
use std::fmt::Write as _;
use toeline_engine::briefing::CAUTION;

/// Size of a plot in its own units.
pub(super) const WIDE: f64 = 1000.0;
pub(super) const HIGH: f64 = 120.0;

/// Lines keep their width however the plot is stretched.
const THIN: &str = "vector-effect=\"non-scaling-stroke\"";

/// A line of a plot: what it shows, dashes, values at the samples.
pub(super) struct Line {
    pub(super) what: &'static str,
    pub(super) dash: &'static str,
    pub(super) values: Vec<Option<f64>>,
    /// Whether it is of another drive: then it does not set the plot's range, and is cut off where it leaves it.
    pub(super) other: bool,
}

/// What a plot's height stands for.
#[derive(Clone, Copy, PartialEq)]
pub(super) enum Range {
    /// From zero, or the least value below it, to the greatest.
    FromZero,
    /// As much below zero as above it.
    AroundZero,
    /// From zero to a hundred per cent.
    Share,
    /// A hundred per cent each way.
    BothWays,
    /// Headings, degrees: all round where one passes north, and the line is broken there.
    Compass,
}

/// A plot along the way.
pub(super) struct Plot<'a> {
    pub(super) title: &'static str,
    pub(super) unit: &'static str,
    pub(super) ways: &'a [f64],
    pub(super) last_m: f64,
    pub(super) legs: &'a [(String, f64, f64)],
    pub(super) range: Range,
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

fn dashes(dash: &str) -> String {
    if dash.is_empty() {
        return String::new();
    }
    format!("stroke-dasharray=\"{dash}\" ")
}

/// Whether a line is broken between two values: where a compass passes north.
fn jumps(range: Range, from: f64, to: f64) -> bool {
    range == Range::Compass && (to - from).abs() > 180.0
}

impl Plot<'_> {
    /// Points of a line that are worth drawing: breaks where nothing is known, at most about two a unit.
    fn points(&self, values: &[Option<f64>], low: f64, high: f64) -> String {
        let mut path = String::new();
        let mut pen_down = false;
        let mut drawn: (f64, f64) = (f64::NAN, f64::NAN);
        let mut last = f64::NAN;
        for (way, value) in self.ways.iter().zip(values) {
            let Some(v) = value else {
                pen_down = false;
                continue;
            };
            let x = way / self.last_m * WIDE;
            let y = HIGH - (v - low) / (high - low) * HIGH;
            let y = y.clamp(-HIGH, 2.0 * HIGH);
            pen_down &= !jumps(self.range, last, *v);
            last = *v;
            if pen_down && (x - drawn.0).abs() < 0.5 && (y - drawn.1).abs() < 0.5 {
                continue;
            }
            let _ = write!(path, "{}{x:.1} {y:.1}", if pen_down { 'L' } else { 'M' });
            pen_down = true;
            drawn = (x, y);
        }
        path
    }

    fn limits(&self, lines: &[Line]) -> (f64, f64) {
        let own = || lines.iter().filter(|l| !l.other);
        let known = || own().flat_map(|l| l.values.iter().flatten().copied());
        let (low, high) = known().fold((0.0_f64, 0.0_f64), |(a, b), v| (a.min(v), b.max(v)));
        match self.range {
            Range::Compass => {
                let passes_north = own().any(|l| {
                    let values: Vec<f64> = l.values.iter().flatten().copied().collect();
                    values.windows(2).any(|w| jumps(self.range, w[0], w[1]))
                });
                let least = known().fold(360.0, f64::min);
                if passes_north {
                    return (0.0, 360.0);
                }
                // A little room, to whole tens.
                (
                    ((least - 5.0) / 10.0).floor() * 10.0,
                    ((high + 5.0) / 10.0).ceil() * 10.0,
                )
            }
            Range::AroundZero => {
                let most = low.abs().max(high.abs()).max(0.5);
                (-most, most)
            }
            Range::Share => (0.0, 100.0),
            Range::BothWays => (-100.0, 100.0),
            Range::FromZero if high - low < 1e-6 => (low, low + 1.0),
            Range::FromZero => (low, high),
        }
    }

    /// Draws it with its heading, its range and its cursor.
    pub(super) fn draw(&self, out: &mut String, lines: &[Line]) {
        let (low, high) = self.limits(lines);
        let places = usize::from(high - low < 100.0 && self.range != Range::Compass);
        let (title, unit) = (safe(self.title), safe(self.unit));
        let names: Vec<String> = lines
            .iter()
            .filter(|l| !l.what.is_empty())
            .map(|l| safe(l.what))
            .collect();
        let names = if names.is_empty() {
            String::new()
        } else {
            format!(": {}", names.join(", "))
        };
        let _ = writeln!(
            out,
            "<figure class=\"plot\"><figcaption><b>{title}</b>, {unit}{names}</figcaption>\n<div class=\"box\"><span \
             class=\"top\">{high:.places$}</span><span class=\"foot\">{low:.places$}</span><svg viewBox=\"0 0 {WIDE} {HIGH}\" \
             preserveAspectRatio=\"none\" role=\"img\" aria-label=\"{title} along the way, {low:.places$} to {high:.places$} \
             {unit}\">",
        );
        let begins: String = self
            .legs
            .iter()
            .skip(1)
            .map(|l| format!("M{:.1} 0V{HIGH}", l.1 / self.last_m * WIDE))
            .collect();
        if !begins.is_empty() {
            let _ = writeln!(out, "<path class=\"leg\" {THIN} d=\"{begins}\"/>");
        }
        let zero = (HIGH + low / (high - low) * HIGH).min(2.0 * HIGH);
        let _ = writeln!(out, "<path class=\"zero\" {THIN} d=\"M0 {zero:.1}H{WIDE}\"/>");
        for l in lines {
            let d = self.points(&l.values, low, high);
            if !d.is_empty() {
                let _ = writeln!(out, "<path class=\"curve\" {THIN} {}d=\"{d}\"/>", dashes(l.dash));
            }
        }
        let _ = writeln!(
            out,
            "<path class=\"cursor\" {THIN} d=\"M0 0V{HIGH}\"/></svg></div></figure>"
        );
    }
}
