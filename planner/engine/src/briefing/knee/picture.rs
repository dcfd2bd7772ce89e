//! The picture of the way on the knee: few greys, thick lines, names of what lies at the way.

use super::ground;
use super::merge::Group;
use super::setting::{INK, LINE, THIN, TYPE};
use super::{field_places, labels, names, scale, sheet, view};
use crate::briefing::svg::{WAY, nose_line, places_of, stop_word, worth_marking};
use crate::briefing::{Briefing, StopBriefing, Units, WayBriefing, number};
use crate::clearance::Verdict;
use crate::planning::{Outcome, Plan, Way};
use crate::route::StopKind;
use labels::{Labels, Name, Pen};
use sheet::{Ink, Sheet, Spot, Type, area, stroke, stroke_with, text_width};
use toeline_model::planar::{Shape, centroid};
use toeline_model::units::DEG;
use toeline_model::{Airfield, math};
use view::{Rect, View};

/// Strip at the right with north, wind and scale, mm.
const STRIP: f64 = 21.0;
/// Spots nearer than this are one on paper, mm.
const APART: f64 = 0.15;
/// How far from its place a leg or a stop may be named, mm.
const NAMED_WITHIN: f64 = 40.0;
/// Places marked because they are not clear or not known.
const GAPS_MARKED: usize = 5;

const PEN: Pen = Pen {
    leader: THIN,
    edge: THIN,
    longest: 44.0,
    settable: true,
};

/// Names that must be told for what is on the picture.
pub(super) struct Told<'a> {
    /// The way.
    pub(super) way: &'a Way,
    /// The same in words.
    pub(super) words: &'a WayBriefing,
    /// Its legs as the table has them.
    pub(super) groups: &'a [Group],
}

/// Draws the picture; gives the letters that its names lack.
pub(super) fn draw(
    sheet: &mut Sheet,
    on: &Rect,
    plan: &Plan,
    briefing: &Briefing,
    told: Option<&Told<'_>>,
) -> Vec<char> {
    let map = Rect {
        width: on.width - STRIP,
        ..*on
    };
    let view = match &plan.outcome {
        Outcome::Way(way) => View::of(places_of(plan, way), 15.0, map),
        Outcome::NoWay(none) => {
            let blocks = none.blocks.iter().map(|b| b.at);
            View::of(field_places(&plan.field).into_iter().chain(blocks), 30.0, map)
        }
    };
    sheet.raw(&format!(
        "<clipPath id=\"picture\"><rect x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\"/></clipPath>",
        sheet::mm(map.x),
        sheet::mm(map.y),
        sheet::mm(map.width),
        sheet::mm(map.height)
    ));
    sheet.raw("<g clip-path=\"url(#picture)\">");
    ground::draw(sheet, &view, &plan.field, APART);
    if let Some(t) = told {
        draw_way(sheet, &view, t.way);
    }
    sheet.raw("</g>");
    let mut labels = Labels::with(map, PEN);
    match (&plan.outcome, told) {
        (_, Some(t)) => marks(sheet, &view, t, briefing.units, &mut labels),
        (Outcome::NoWay(none), _) => {
            for (i, b) in none
                .blocks
                .iter()
                .enumerate()
                .filter(|(_, b)| map.has(view.spot(b.at), 2.0))
            {
                let spot = view.spot(b.at);
                sheet.circle(spot, 1.8, &stroke(INK, 0.7));
                labels.mark(Rect::about(spot, 3.6, 3.6));
                labels.within(sheet, spot, &boxed(&format!("block {}", i + 1)), NAMED_WITHIN);
            }
        }
        _ => {}
    }
    field_names(sheet, &view, &plan.field, told.is_some(), &mut labels);
    sheet.frame((map.x, map.y), map.width, map.height, &stroke(INK, 0.5));
    strip(
        sheet,
        (map.x + map.width + 1.0, map.y),
        map.height,
        &view,
        plan,
        briefing,
    );
    labels.lacking
}

fn boxed(text: &str) -> Name<'_> {
    Name {
        text,
        size: TYPE,
        bold: true,
        fill: INK,
        plate: "#fff",
        leader: true,
    }
}

fn draw_way(sheet: &mut Sheet, view: &View, way: &Way) {
    let swept = way.clearance.swept.iter();
    let rings: Vec<Vec<Spot>> = swept.map(|r| view.thin_spots(r, APART)).collect();
    sheet.rings(
        &rings,
        &Ink {
            fill: WAY,
            stroke: "none",
            width: 0.0,
            more: "fill-opacity=\"0.22\"",
        },
    );
    let line = view.thin_spots(&nose_line(way), APART);
    let round = "stroke-linejoin=\"round\" stroke-linecap=\"round\"";
    sheet.line(&line, &stroke_with("#fff", 1.9, round));
    sheet.line(&line, &stroke_with(WAY, 1.0, round));
}

fn marks(sheet: &mut Sheet, view: &View, t: &Told<'_>, units: Units, labels: &mut Labels) {
    for (spot, _) in view.along(&nose_line(t.way), 1.4) {
        labels.keep_off(spot, 2.0);
    }
    for stop in &t.way.route.stops {
        stop_mark(
            sheet,
            view.spot(stop.pose.nose),
            stop.kind,
            stop.pose.heading_rad.unit(),
            labels,
        );
    }
    numbers(sheet, view, t, labels);
    for (stop, said) in t.way.route.stops.iter().zip(&t.words.stops) {
        let spot = view.spot(stop.pose.nose);
        if labels.within(sheet, spot, &boxed(&stop_name(said)), NAMED_WITHIN) {
            labels.tell(spot);
        }
    }
    let bad = worth_marking(t.way, t.words);
    for (gap, said) in bad
        .into_iter()
        .filter(|(g, _)| g.verdict != Verdict::Clear)
        .take(GAPS_MARKED)
    {
        let (a, b) = (view.spot(gap.on_aircraft), view.spot(gap.on_obstacle));
        sheet.circle(((a.0 + b.0) / 2.0, (a.1 + b.1) / 2.0), 1.6, &stroke(INK, 0.6));
        let text = match (said.touches, gap.verdict) {
            (true, _) => "TOUCHES".to_string(),
            (_, Verdict::NotClear) => format!("{} NOT CLEAR", units.gap(said.gap_m)),
            _ => format!("{} ?", units.gap(said.gap_m)),
        };
        let dark = gap.verdict == Verdict::NotClear;
        let name = Name {
            fill: if dark { "#fff" } else { INK },
            plate: if dark { "#000" } else { "#fff" },
            ..boxed(&text)
        };
        labels.within(sheet, a, &name, NAMED_WITHIN);
    }
}

/// What a stop is called on the picture; the table has the rest.
fn stop_name(said: &StopBriefing) -> String {
    match said.kind {
        StopKind::Start => format!("start {}", said.name),
        StopKind::EngineCheck => format!("CHECK {}, HI {}", said.name, number::three(said.heading_magnetic_deg)),
        StopKind::HoldShort => format!("STOP {}", stop_word(said)),
        StopKind::Place => format!("stop {}", said.name),
        StopKind::End => format!("END {}", stop_word(said)),
    }
}

fn stop_mark(sheet: &mut Sheet, (x, y): Spot, kind: StopKind, (c, s): (f64, f64), labels: &mut Labels) {
    let half = 2.8;
    let bar = |sheet: &mut Sheet, (x, y): Spot| {
        sheet.line(
            &[(x - s * half, y - c * half), (x + s * half, y + c * half)],
            &stroke(INK, 1.1),
        );
    };
    match kind {
        StopKind::Start => sheet.circle((x, y), 1.2, &area("#fff", WAY, 0.6)),
        StopKind::EngineCheck => {
            let r = 2.0;
            let diamond = vec![(x, y - r), (x + r, y), (x, y + r), (x - r, y)];
            sheet.rings(&[diamond], &area("#fff", WAY, 0.7));
        }
        StopKind::HoldShort => bar(sheet, (x, y)),
        StopKind::Place => sheet.frame((x - 1.2, y - 1.2), 2.4, 2.4, &area("#fff", WAY, 0.6)),
        StopKind::End => {
            bar(sheet, (x, y));
            bar(sheet, (x + c * 1.6, y - s * 1.6));
        }
    }
    labels.mark(Rect::about((x, y), 4.4, 4.4));
    if matches!(kind, StopKind::HoldShort | StopKind::End) {
        for share in [-1.0, 1.0] {
            labels.mark(Rect::about((x - s * half * share, y - c * half * share), 1.1, 1.1));
        }
    }
}

/// The number of every row of the table: on the way where there is room, otherwise beside it with a line.
fn numbers(sheet: &mut Sheet, view: &View, t: &Told<'_>, labels: &mut Labels) {
    let path = &t.way.route.path;
    let mut beside = Vec::new();
    for group in t.groups {
        let (text, (from, to)) = (group.number(), group.span(t.way));
        let wide = text_width(&text, TYPE, true) + 1.6;
        let spots = [0.5, 0.42, 0.58, 0.34, 0.66, 0.26, 0.74, 0.15, 0.85]
            .map(|f| view.spot(path.pose_at(from + (to - from) * f).nose));
        let free = spots
            .iter()
            .find(|s| labels.take(Rect::about(**s, wide, LINE + 0.2), true));
        let Some(&(x, y)) = free else {
            beside.push((text, spots[0]));
            continue;
        };
        let back = Rect::about((x, y), wide, LINE + 0.2);
        sheet.frame((back.x, back.y), back.width, back.height, &area(WAY, "#fff", THIN));
        let look = Type {
            size: TYPE,
            fill: "#fff",
            anchor: "middle",
            bold: true,
            rim: false,
        };
        sheet.text((x, y + TYPE * 0.35), &look, &text);
    }
    for (text, spot) in beside {
        let name = Name {
            fill: "#fff",
            plate: WAY,
            ..boxed(&text)
        };
        labels.within(sheet, spot, &name, NAMED_WITHIN);
    }
}

/// A name without a box.
fn plain(text: &str) -> Name<'_> {
    Name {
        bold: false,
        plate: "none",
        ..boxed(text)
    }
}

fn field_names(sheet: &mut Sheet, view: &View, field: &Airfield, at_way: bool, labels: &mut Labels) {
    names::runways(sheet, view, field, TYPE, labels);
    for a in field.hot_spots.iter().filter(|a| view.shows(&a.outer)) {
        let text = crate::clean::name(&format!("hot spot {}", a.name.as_deref().unwrap_or("")));
        labels.around(sheet, view.spot(centroid(&a.outer)), &plain(&text));
    }
    names::lanes(
        sheet,
        view,
        field,
        &names::LaneNames {
            size: TYPE,
            plate: "#fff",
            at_way,
        },
        labels,
    );
    for hold in &field.holding_positions {
        let spot = view.spot(hold.at);
        if let Some(text) = hold.name.as_deref().map(crate::clean::name)
            && !labels.is_told(spot)
            && (!at_way || labels.near_line(spot, names::NEAR_THE_WAY))
        {
            let name = Name {
                leader: false,
                ..plain(&text)
            };
            labels.around(sheet, spot, &name);
        }
    }
    for o in &field.obstacles {
        if let (Some(text), Shape::Area { outer, .. }) = (o.name.as_deref().map(crate::clean::name), &o.shape)
            && view.shows(outer)
        {
            let spot = view.spot(centroid(outer));
            let name = Name {
                leader: false,
                ..plain(&text)
            };
            let _ = labels.on(sheet, &[spot], &name) || labels.around(sheet, spot, &name);
        }
    }
}

/// North, wind and scale beside the picture.
fn strip(sheet: &mut Sheet, (x, y): Spot, height: f64, view: &View, plan: &Plan, briefing: &Briefing) {
    let middle = x + (STRIP - 1.0) / 2.0;
    let said = |sheet: &mut Sheet, y: f64, text: &str, bold: bool| {
        let look = Type {
            size: TYPE,
            fill: INK,
            anchor: "middle",
            bold,
            rim: false,
        };
        sheet.text((middle, y), &look, text);
    };
    said(sheet, y + 3.2, "N", true);
    scale::arrow(sheet, (middle, y + 15.0), (middle, y + 4.2), 0.7);
    let centre = (middle, y + 25.5);
    let wind = &plan.request.wind;
    match wind
        .from_true(briefing.declination_deg)
        .filter(|_| wind.speed_mps() > 0.0)
    {
        Some(from) => {
            let (s, c) = (math::sin(from.deg() * DEG), math::cos(from.deg() * DEG));
            sheet.circle(centre, 7.4, &stroke("#777", THIN));
            let ends = [1.0, -1.0].map(|k| (centre.0 + 6.8 * s * k, centre.1 - 6.8 * c * k));
            scale::arrow(sheet, ends[0], ends[1], 1.1);
        }
        None => sheet.circle(centre, 7.4, &stroke_with("#444", 0.4, "stroke-dasharray=\"1 1\"")),
    }
    said(sheet, y + 37.0, "wind", false);
    said(sheet, y + 41.0, &wind.to_string(), true);
    let foot = y + height - 1.0;
    let units = briefing.units;
    let (round, width) = scale::round_length(view.scale * units.unit_m(), STRIP - 2.0);
    said(sheet, foot - 3.0, &format!("{round:.0} {}", units.length_unit()), false);
    sheet.line(
        &[(middle - width / 2.0, foot - 0.8), (middle + width / 2.0, foot - 0.8)],
        &stroke(INK, 0.7),
    );
    for end in [-width / 2.0, width / 2.0] {
        sheet.line(&[(middle + end, foot - 2.2), (middle + end, foot)], &stroke(INK, 0.5));
    }
}
