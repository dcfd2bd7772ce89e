//! The map of the page: inline SVG in metres. What must keep its size on the screen is in groups that are scaled back
//! (class `u`, by the metres that one pixel shows); the script changes the view box and that figure together.

use super::ground::Scene;
use super::names::Names;
use super::place::Sheet;
use super::trace::{Frame, Pt, STEADY};
use super::way;
use crate::briefing::{Answer, Briefing, Units, number};
use crate::drawing::field::places;
use crate::drawing::sheet::escape;
use crate::planning::{Outcome, Plan};
use std::fmt::Write as _;
use toeline_model::frame::{Xy, xy};
use toeline_model::math;
use toeline_model::planar::{bounds, closest_on_line};
use toeline_model::units::DEG;

/// Width of the map in a print, px of 1/96 inch: A4 with margins of 10 mm, less the frame.
const PRINT_PX: f64 = 715.0;
/// Ground around the way, metres, and as a share of the way's extent; a map never shows less than the last (ours).
const MARGIN_M: f64 = 22.0;
const MARGIN_SHARE: f64 = 0.06;
const LEAST_ACROSS_M: f64 = 90.0;
/// A runway this near to the end of the way is shown with it, metres (ours: beyond the farthest holding positions).
const RUNWAY_SHOWN_M: f64 = 120.0;
/// Ground drawn in full beyond what is shown at first: a share of it, and metres.
const NEAR_SHARE: f64 = 0.6;
const NEAR_M: f64 = 120.0;
/// Scales at which names are laid out, as times of the printed one: from a phone's to the closest zoom.
const TIMES: [f64; 10] = [0.5, 0.7, 1.0, 1.4, 2.0, 2.8, 4.0, 5.6, 8.0, 16.0];
/// Which of them is the printed one.
pub(super) const PRINTED: usize = 2;
/// Closest zoom, px for a metre.
const CLOSEST: f64 = 50.0;

/// Lowest and highest corner of some places, at least a few metres apart.
fn corners(points: impl IntoIterator<Item = Xy>) -> (Xy, Xy) {
    let finite = points.into_iter().filter(|p| p.x.is_finite() && p.y.is_finite());
    bounds(finite).unwrap_or((xy(-50.0, -50.0), xy(50.0, 50.0)))
}

/// A box made wider by a share of its size and by metres.
fn wider((lo, hi): (Xy, Xy), share: f64, m: f64) -> (Xy, Xy) {
    let by = xy((hi.x - lo.x) * share + m, (hi.y - lo.y) * share + m);
    (lo - by, hi + by)
}

/// Draws the map with its tools, north, wind and key. `print_mm` is the height it may take in a print.
pub(super) fn map(out: &mut String, plan: &Plan, told: &Briefing, print_mm: f64) {
    let field_places = places(&plan.field);
    let shown = match &plan.outcome {
        Outcome::Way(planned) => {
            let c = &planned.clearance;
            let end = planned.route.path.end().nose;
            let runways = plan.field.runways.iter().filter_map(|r| closest_on_line(end, &r.line));
            let runway = runways.map(|(q, _, _)| q).filter(|q| q.distance(end) < RUNWAY_SHOWN_M);
            let gaps = c.gaps.iter().take(40).map(|g| g.on_obstacle);
            let line = planned.route.path.pieces.iter().map(|p| p.start.nose);
            corners(
                line.chain([end])
                    .chain(c.swept.iter().flatten().copied())
                    .chain(gaps)
                    .chain(runway),
            )
        }
        Outcome::NoWay(none) => corners(field_places.iter().copied().chain(none.blocks.iter().map(|b| b.at))),
    };
    let (lo, hi) = wider(shown, MARGIN_SHARE, MARGIN_M);
    let middle = lo.lerp(hi, 0.5);
    let frame = Frame { middle };
    let half = (
        (hi.x - lo.x).max(LEAST_ACROSS_M) / 2.0,
        (hi.y - lo.y).max(LEAST_ACROSS_M / 2.0) / 2.0,
    );
    // In full: what any window shaped like a page, across or upright, can show at first.
    let reach = half.0.max(half.1) * (1.0 + NEAR_SHARE) + NEAR_M;
    let near = (middle - xy(reach, reach), middle + xy(reach, reach));
    let scene = Scene {
        frame,
        near,
        field: &plan.field,
    };
    let print_px = print_mm / 25.4 * 96.0;
    let scale = (PRINT_PX / (2.0 * half.0)).min(print_px / (2.0 * half.1));
    let whole = wider(corners(field_places.iter().copied().chain([lo, hi])), 0.02, 20.0);
    let (a, b) = (frame.pt(whole.0), frame.pt(whole.1));
    tools(out, plan, told);
    let _ = writeln!(
        out,
        "<div class=\"map\" id=\"frame\" role=\"group\" aria-label=\"Map, true north up\" aria-describedby=\"keys\">\n\
         <svg id=\"map\" viewBox=\"{:.2} {:.2} {:.2} {:.2}\" data-whole=\"{:.1} {:.1} {:.1} {:.1}\" data-closest=\"{CLOSEST}\" \
         style=\"--u:{u:.5};--p:{u:.5};--ph:{print_mm:.0}mm\">",
        -half.0,
        -half.1,
        2.0 * half.0,
        2.0 * half.1,
        a.0,
        b.1,
        b.0 - a.0,
        a.1 - b.1,
        u = 1.0 / scale,
    );
    out.push_str("<g aria-hidden=\"true\">\n");
    scene.draw(out);
    out.push_str("</g>\n");
    let mut names = Names::default();
    let mut keep_off: Vec<Vec<Pt>> = Vec::new();
    match (&plan.outcome, &told.answer) {
        (Outcome::Way(planned), Answer::Way(said)) => {
            let lines = way::leg_lines(planned);
            way::draw(out, frame, planned, said, &lines, &plan.request.aircraft);
            keep_off = lines.iter().map(|l| l.iter().map(|p| frame.pt(*p)).collect()).collect();
            let tight = way::lettered(planned, said);
            keep_off.extend(
                tight
                    .iter()
                    .map(|t| vec![frame.pt(t.1.on_aircraft), frame.pt(t.1.on_obstacle)]),
            );
            out.push_str("<g aria-hidden=\"true\">\n");
            way::gap_lines(out, frame, &tight);
            way::arrows(out, &keep_off[..lines.len()], scale);
            way::stop_marks(out, frame, planned);
            names.of_way(&scene, planned, said, &lines, &tight, told.units);
        }
        (Outcome::NoWay(none), _) => {
            out.push_str("<g aria-hidden=\"true\">\n");
            for (i, b) in none.blocks.iter().enumerate() {
                let (x, y) = frame.pt(b.at);
                let _ = writeln!(
                    out,
                    "<g id=\"mb{n}\" data-i=\"b{n}\" transform=\"translate({x:.1} {y:.1})\"><circle class=\"u block\" r=\"9\"/></g>",
                    n = i + 1
                );
            }
            names.of_blocks(&scene, &none.blocks);
        }
        _ => out.push_str("<g aria-hidden=\"true\">\n"),
    }
    let (told_area, used) = match &plan.outcome {
        Outcome::Way(planned) => {
            let letters = planned.route.legs.iter().flat_map(|l| &l.letters).map(String::as_str);
            (planned.route.check.as_ref().map(|c| c.area.as_str()), letters.collect())
        }
        Outcome::NoWay(_) => (None, Vec::new()),
    };
    names.of_field(&scene, told_area, &used);
    let levels: Vec<f64> = TIMES
        .map(|times| times * scale)
        .into_iter()
        .enumerate()
        .filter(|(i, s)| *i <= PRINTED || *s <= CLOSEST)
        .map(|(_, s)| s)
        .collect();
    names.draw(
        out,
        &Sheet {
            levels: &levels,
            home: [-half.0, -half.1, half.0, half.1],
            home_level: PRINTED,
            print_half: (PRINT_PX / 2.0, print_px / 2.0),
            keep_off: &keep_off,
        },
    );
    out.push_str("</g>\n");
    scale_bar(out, half, scale, told.units);
    out.push_str("</svg></div>\n");
}

/// How the map is moved, for those who have the script.
pub(super) const HINT: &str = "<p id=\"keys\" class=\"hint\" hidden>Drag or arrow keys move the map; the wheel, two fingers or + and - \
    zoom; 0 shows the whole way again. Point at a leg, a stop or a gap, here or in a table, and it lights up everywhere; a click \
    keeps it lit, Escape lets go.</p>\n";

/// A bar of a round length in the lower left corner; its length is ground, so it is true at any size of the picture.
fn scale_bar(out: &mut String, half: (f64, f64), scale: f64, units: Units) {
    let (one_m, unit) = (super::curve::one_m(units), units.length_unit());
    let lengths = [1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0, 200.0, 500.0, 1000.0, 2000.0];
    let fits = lengths
        .into_iter()
        .rev()
        .find(|n| n * one_m * scale <= 130.0)
        .unwrap_or(1.0);
    let long_m = fits * one_m;
    let (u, tick) = (1.0 / scale, 6.0 / scale);
    let d = format!("M0 {:.3}V0H{long_m}V{:.3}", -tick, -tick);
    let _ = writeln!(
        out,
        "<g id=\"bar\" data-unit=\"{unit}\" data-one=\"{one_m}\" data-n=\"{fits}\" transform=\"translate({:.2} {:.2})\"><rect class=\"u\" x=\"-8\" y=\"-22\" width=\"150\" height=\"30\"/><path class=\"rim\" {STEADY} d=\"{d}\"/><path id=\"rule\" class=\"line\" {STEADY} d=\"{d}\"/>\
         <g class=\"u\"><text x=\"4\" y=\"-5\">{fits} {unit}</text></g></g>",
        -half.0 + 12.0 * u,
        half.1 - 12.0 * u,
    );
}

/// Buttons for the script, and north and wind, which nothing covers.
fn tools(out: &mut String, plan: &Plan, told: &Briefing) {
    out.push_str("<div class=\"bar\"><div class=\"tools\" id=\"tools\" role=\"group\" aria-label=\"Map\" hidden>");
    for (what, sign, label) in [
        ("in", "+", "Zoom in"),
        ("out", "\u{2212}", "Zoom out"),
        ("home", "Whole way", ""),
        ("left", "\u{2190}", "Move west"),
        ("up", "\u{2191}", "Move north"),
        ("down", "\u{2193}", "Move south"),
        ("right", "\u{2192}", "Move east"),
    ] {
        let label = if label.is_empty() {
            String::new()
        } else {
            format!(" aria-label=\"{label}\"")
        };
        let _ = write!(out, "<button type=\"button\" data-do=\"{what}\"{label}>{sign}</button>");
    }
    out.push_str("</div>\n");
    let wind = plan.request.wind.to_string();
    let said = format!(
        "True north up; magnetic north {}. Wind {}.",
        number::declination(told.declination_deg),
        told.wind
    );
    let _ = write!(
        out,
        "<svg class=\"rose\" viewBox=\"0 0 216 76\" role=\"img\" aria-label=\"{}\">",
        escape(&said)
    );
    // True north as a full arrow, magnetic north as dashes.
    let turned = |deg: f64, r: f64| (r * math::sin(deg * DEG), -r * math::cos(deg * DEG));
    let (mx, my) = turned(told.declination_deg, 42.0);
    let _ = write!(
        out,
        "<g transform=\"translate(48 60)\"><path class=\"full\" d=\"M0 0V-30M-5-29 0-42 5-29z\"/><text x=\"0\" y=\"-46\">N</text>\
         <path class=\"dash\" d=\"M0 0L{mx:.1} {my:.1}\"/><text class=\"small\" x=\"0\" y=\"13\">mag {}</text></g>",
        number::declination(told.declination_deg)
    );
    let from = plan.request.wind.from_true(plan.declination.deg);
    out.push_str("<g transform=\"translate(158 31)\"><circle class=\"ring\" r=\"26\"/>");
    if let Some(from) = from.filter(|_| plan.request.wind.speed_mps() > 0.0) {
        let _ = write!(
            out,
            "<path class=\"full wind\" transform=\"rotate({:.0})\" d=\"M0-25V14M-7 12 0 25 7 12z\"/>",
            from.deg()
        );
    }
    let _ = writeln!(
        out,
        "<text class=\"small\" x=\"0\" y=\"40\">wind {}</text></g></svg></div>",
        escape(&wind)
    );
}

/// What the signs on the map mean.
pub(super) fn key(out: &mut String, is_way: bool) {
    let way = [
        (
            "<path class=\"line\" d=\"M2 9h28\"/><path class=\"arrow\" d=\"M13 4.500 21 9l-8 4.500\"/>",
            "way of the nose wheel",
        ),
        (
            "<path class=\"swept\" d=\"M2 2h28v14h-28z\"/>",
            "swept by the aeroplane",
        ),
        ("<path class=\"stop dark\" d=\"M14 1h4v16h-4z\"/>", "stop"),
        ("<path class=\"stop\" d=\"M16 2l7 7-7 7-7-7z\"/>", "engine check"),
        ("<path class=\"end\" d=\"M4 9h24M4 4v10M28 4v10\"/>", "least gap"),
    ];
    let field = [
        ("<path class=\"hold\" d=\"M16 1v16\"/>", "holding line"),
        (
            "<path class=\"area check\" d=\"M3 3h26v12h-26z\"/>",
            "engine-check area",
        ),
        ("<path class=\"area hot\" d=\"M3 3h26v12h-26z\"/>", "hot spot"),
        (
            "<path class=\"fence\" d=\"M2 9h28\"/><path class=\"posts\" d=\"M2 9h28\"/>",
            "fence",
        ),
        (
            "<path class=\"shut\" d=\"M2 9h28\"/><path class=\"cross\" d=\"M12 5l8 8M12 13l8-8\"/>",
            "closed",
        ),
        ("<path class=\"thing hangar\" d=\"M4 3h24v12h-24z\"/>", "building"),
        ("<circle class=\"thing tree\" cx=\"16\" cy=\"9\" r=\"6\"/>", "tree"),
        ("<path class=\"mast\" d=\"M16 9h0\"/>", "pole, mast"),
    ];
    let list = way.iter().take(if is_way { 5 } else { 0 }).chain(&field);
    out.push_str("<ul class=\"key\">");
    for (sign, words) in list {
        let _ = write!(
            out,
            "<li><svg viewBox=\"0 0 32 18\" aria-hidden=\"true\">{sign}</svg> {words}</li>"
        );
    }
    out.push_str("</ul>\n");
}
