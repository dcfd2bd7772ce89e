//! The chart: one A4 sheet across, true north up, readable in a grey print. Our own drawing, in a few greys and one
//! dark colour for the way.

mod list;
mod panel;
mod way;

use super::{Answer, Briefing, number};
use crate::drawing::{field, labels, names, scale, sheet, typeface, view};
use crate::planning::{Outcome, Plan, Way};
use labels::{Labels, Name};
use sheet::{Sheet, Type, area, fitted, stroke};
use toeline_model::frame::Xy;
use toeline_model::planar::closest_on_line;
use view::{Rect, View};
pub(crate) use way::{WAY, nose_line, stop_word, worth_marking};

/// The sheet, mm: A4 across with the margins that any printer leaves.
const PAGE: (f64, f64) = (277.0, 190.0);
const MAP: Rect = Rect {
    x: 1.0,
    y: 19.0,
    width: 213.0,
    height: 163.0,
};
const PANEL: Rect = Rect {
    x: 219.0,
    y: 19.0,
    width: 57.0,
    height: 163.0,
};

/// A runway this near to the end of the way is shown with it, metres (ours: beyond the farthest holding positions).
const RUNWAY_SHOWN_M: f64 = 120.0;

fn ground_area(view: &View) -> f64 {
    let (lo, hi) = view.ground();
    (hi.x - lo.x) * (hi.y - lo.y)
}

/// Every place that a picture of a way must show: the way, what the wings sweep, the tight places, the runway at its end.
pub(crate) fn places_of(plan: &Plan, way: &Way) -> Vec<Xy> {
    let gaps = way.clearance.gaps.iter().map(|g| g.on_obstacle);
    let swept = way.clearance.swept.iter().flatten().copied();
    let end = way.route.path.end().nose;
    let runways = plan.field.runways.iter().filter_map(|r| closest_on_line(end, &r.line));
    let runway = runways.map(|(q, _, _)| q).filter(|q| q.distance(end) < RUNWAY_SHOWN_M);
    nose_line(way)
        .into_iter()
        .chain(swept)
        .chain(gaps)
        .chain(runway)
        .collect()
}

/// Draws a plan as an SVG document.
pub fn svg(plan: &Plan, briefing: &Briefing) -> String {
    let whole = View::of(field::places(&plan.field), 30.0, MAP);
    let (view, nose_line) = match &plan.outcome {
        Outcome::Way(way) => {
            let nose_line = way::nose_line(way);
            (View::of(places_of(plan, way), 18.0, MAP), Some(nose_line))
        }
        Outcome::NoWay(none) => {
            let blocks = none.blocks.iter().map(|b| b.at);
            (
                View::of(field::places(&plan.field).into_iter().chain(blocks), 30.0, MAP),
                None,
            )
        }
    };
    let mut sheet = Sheet::default();
    let (w, h) = PAGE;
    sheet.raw(&format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{w}mm\" height=\"{h}mm\" viewBox=\"0 0 {w} {h}\" \
         font-family=\"{}\">",
        typeface::FAMILIES
    ));
    sheet.raw(&format!("<title>{}</title>", sheet::escape(&title(briefing))));
    sheet.raw(&format!(
        "<clipPath id=\"map\"><rect x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\"/></clipPath>",
        MAP.x, MAP.y, MAP.width, MAP.height
    ));
    sheet.frame((0.0, 0.0), w, h, &area("#fff", "none", 0.0));
    heading(&mut sheet, briefing);
    sheet.raw("<g clip-path=\"url(#map)\">");
    field::draw(&mut sheet, &view, &plan.field);
    if let Outcome::Way(way) = &plan.outcome {
        way::draw(&mut sheet, &view, way, &plan.request.aircraft);
    }
    sheet.raw("</g>");
    let mut labels = Labels::new(MAP);
    match (&plan.outcome, &briefing.answer) {
        (Outcome::Way(way), Answer::Way(told)) => way::marks(&mut sheet, &view, way, told, briefing.units, &mut labels),
        (Outcome::NoWay(none), _) => {
            for (i, b) in none
                .blocks
                .iter()
                .enumerate()
                .filter(|(_, b)| MAP.has(view.spot(b.at), 2.0))
            {
                let spot = view.spot(b.at);
                sheet.circle(spot, 1.8, &stroke("#111", 0.6));
                let text = format!("block {}", i + 1);
                let name = Name {
                    text: &text,
                    size: 2.6,
                    bold: true,
                    fill: "#fff",
                    plate: "#111",
                    leader: true,
                };
                labels.around(&mut sheet, spot, &name);
            }
        }
        _ => {}
    }
    let told = match &plan.outcome {
        Outcome::Way(way) => way.route.check.as_ref().map(|c| c.area.as_str()),
        Outcome::NoWay(_) => None,
    };
    names::draw(&mut sheet, &view, &plan.field, told, &mut labels);
    sheet.frame((MAP.x, MAP.y), MAP.width, MAP.height, &stroke("#222", 0.4));
    let small = nose_line
        .as_deref()
        .filter(|_| ground_area(&view) < ground_area(&whole) / 2.0);
    panel::draw(&mut sheet, &PANEL, &view, plan, briefing, small);
    let under = (MAP.x, MAP.y + MAP.height + 2.6);
    sheet.credit(under, briefing.attribution.as_deref(), w - 2.0 * MAP.x);
    let look = Type {
        size: 2.5,
        fill: "#111",
        anchor: "middle",
        bold: true,
        rim: false,
    };
    sheet.text(
        (w / 2.0, h - 2.4),
        &look,
        &fitted(&briefing.caution, 2.5, false, w - 2.0),
    );
    sheet.raw("</svg>");
    sheet.finish()
}

/// Start and end: the stops found say more than the words asked with: "stand 4", not "4".
pub(crate) fn from_to(b: &Briefing) -> (String, String) {
    let (from, to) = match &b.answer {
        Answer::Way(w) => {
            let end = w.stops.last().map(|s| match &s.of {
                Some(of) => format!("{}, {of}", s.name),
                None => s.name.clone(),
            });
            (w.stops.first().map(|s| s.name.clone()), end)
        }
        Answer::NoWay(n) => (Some(n.from.clone()), None),
    };
    (
        from.unwrap_or_else(|| b.from.clone()),
        to.unwrap_or_else(|| b.to.clone()),
    )
}

pub(super) fn title(b: &Briefing) -> String {
    let via = if b.via.is_empty() {
        String::new()
    } else {
        format!(" by way of {}", b.via.join(", "))
    };
    let (from, to) = from_to(b);
    format!("{}: taxi from {from}{via} to {to}", b.field)
}

fn heading(sheet: &mut Sheet, b: &Briefing) {
    let line = |bold: bool, size: f64| Type {
        size,
        fill: "#111",
        anchor: "start",
        bold,
        rim: false,
    };
    let width = PAGE.0 - 4.0;
    sheet.text((2.0, 5.4), &line(true, 4.4), &fitted(&title(b), 4.4, true, width));
    let (length, answer) = match &b.answer {
        Answer::Way(w) => (
            format!(
                "; {}, about {} under way",
                b.units.length(w.length_m, 0),
                number::duration(w.time_s)
            ),
            w.verdict_text.join(" "),
        ),
        Answer::NoWay(n) => (
            String::new(),
            format!("NO WAY: {} cannot be reached from {}.", n.unreachable, n.from),
        ),
    };
    let invented = if b.invented { "; invented airfield" } else { "" };
    let time = b.time.iter().map(|t| format!(" {t}")).collect::<String>();
    let facts = format!("{}; wind {}; {}{time}{length}{invented}", b.aeroplane, b.wind, b.date);
    sheet.text((2.0, 10.6), &line(false, 2.9), &fitted(&facts, 2.9, false, width));
    sheet.text((2.0, 16.0), &line(true, 3.2), &fitted(&answer, 3.2, true, width));
}
