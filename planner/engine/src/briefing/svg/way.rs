//! The way over the field: swept outline, strong line, numbered legs, stops, tight places, the aeroplane where it stands.

use super::labels::{Labels, Name};
use super::sheet::{Ink, Sheet, Spot, Type, area, stroke, stroke_with};
use super::view::{Rect, View};
use crate::briefing::shape_json::steps;
use crate::briefing::{GapBriefing, StopBriefing, Units, WayBriefing, number};
use crate::clearance::{Gap, Verdict};
use crate::planning::Way;
use crate::route::StopKind;
use toeline_model::aircraft::parts;
use toeline_model::frame::Xy;
use toeline_model::{Aircraft, Pose};

/// The colour of the way: dark enough to be near black in a grey print.
pub(crate) const WAY: &str = "#0d4a58";
/// Spots of the way nearer than this are one on paper, mm.
const THIN: f64 = 0.12;
/// Radius of a leg's number, mm.
const NUMBER_R: f64 = 2.1;
/// Half of the bar across a stop, mm, and its width.
const BAR: (f64, f64) = (2.6, 0.9);
/// How far from its place a stop or a leg may be named, mm: each has to be.
const NAMED_WITHIN: f64 = 40.0;
/// Most tight places marked.
const GAPS_MARKED: usize = 10;

/// The nose wheel's way in steps of a metre, local metres.
pub(crate) fn nose_line(way: &Way) -> Vec<Xy> {
    let path = &way.route.path;
    let mut line = vec![path.start.nose];
    for piece in &path.pieces {
        line.extend(steps(piece.length_m, 1.0).map(|s| piece.pose(path.wheelbase_m, s).nose));
    }
    line
}

/// Draws the swept outline and the way.
pub(crate) fn draw(sheet: &mut Sheet, view: &View, way: &Way, aircraft: &Aircraft) {
    let swept = way.clearance.swept.iter();
    let rings: Vec<Vec<Spot>> = swept.map(|r| view.thin_spots(r, THIN)).collect();
    let more = "fill-opacity=\"0.15\" stroke-dasharray=\"1 0.6\"";
    sheet.rings(
        &rings,
        &Ink {
            fill: WAY,
            stroke: WAY,
            width: 0.2,
            more,
        },
    );
    let line = view.thin_spots(&nose_line(way), THIN);
    let round = "stroke-linejoin=\"round\" stroke-linecap=\"round\"";
    sheet.line(&line, &stroke_with("#fff", 1.7, round));
    sheet.line(&line, &stroke_with(WAY, 0.85, round));
    for stop in &way.route.stops {
        if !matches!(stop.kind, StopKind::HoldShort) {
            aeroplane(sheet, view, aircraft, &stop.pose);
        }
    }
}

/// The outline of the aeroplane in a pose.
fn aeroplane(sheet: &mut Sheet, view: &View, aircraft: &Aircraft, pose: &Pose) {
    for part in parts::parts(aircraft) {
        let placed: Vec<Xy> = part
            .outline
            .iter()
            .map(|p| pose.place(aircraft.gear.wheelbase_m, *p))
            .collect();
        sheet.rings(&[view.spots(&placed)], &area("#fff", "#111", 0.2));
    }
}

/// Marks and names of the way; takes its places before any name of the field.
pub(crate) fn marks(sheet: &mut Sheet, view: &View, way: &Way, told: &WayBriefing, units: Units, labels: &mut Labels) {
    for (spot, _) in view.along(&nose_line(way), 1.4) {
        labels.keep_off(spot, 1.8);
    }
    let gaps = worth_marking(way, told);
    gap_lines(sheet, view, &gaps, labels);
    stop_marks(sheet, view, way, labels);
    leg_numbers(sheet, view, way, labels);
    stop_names(sheet, view, way, told, labels);
    gap_values(sheet, view, &gaps, units, labels);
}

fn across(sheet: &mut Sheet, (x, y): Spot, heading: (f64, f64), half: f64, width: f64) {
    let (c, s) = heading;
    sheet.line(
        &[(x - s * half, y - c * half), (x + s * half, y + c * half)],
        &stroke("#111", width),
    );
}

fn stop_marks(sheet: &mut Sheet, view: &View, way: &Way, labels: &mut Labels) {
    for stop in &way.route.stops {
        let spot = view.spot(stop.pose.nose);
        let (x, y) = spot;
        match stop.kind {
            StopKind::Start => sheet.circle(spot, 1.0, &area("#fff", WAY, 0.5)),
            StopKind::EngineCheck => {
                let r = 1.6;
                let diamond = vec![(x, y - r), (x + r, y), (x, y + r), (x - r, y)];
                sheet.rings(&[diamond], &area("#fff", WAY, 0.5));
            }
            StopKind::HoldShort | StopKind::End => {
                across(sheet, spot, stop.pose.heading_rad.unit(), BAR.0, BAR.1);
                if stop.kind == StopKind::End {
                    let (c, s) = stop.pose.heading_rad.unit();
                    across(sheet, (x + c * 1.2, y - s * 1.2), (c, s), BAR.0, BAR.1);
                }
            }
            StopKind::Place => sheet.frame((x - 1.0, y - 1.0), 2.0, 2.0, &area("#fff", WAY, 0.5)),
        }
        labels.mark(Rect::about(spot, 4.4, 4.4));
        if matches!(stop.kind, StopKind::HoldShort | StopKind::End) {
            // The bar itself, whichever way it lies.
            let (c, s) = stop.pose.heading_rad.unit();
            for share in [-1.0, 1.0] {
                let end = (x - s * BAR.0 * share, y - c * BAR.0 * share);
                labels.mark(Rect::about(end, BAR.1, BAR.1));
            }
        }
    }
}

/// A number on every leg: on the way where there is room, otherwise beside it with a line to its middle.
fn leg_numbers(sheet: &mut Sheet, view: &View, way: &Way, labels: &mut Labels) {
    let path = &way.route.path;
    let mut beside = Vec::new();
    for (i, leg) in way.route.legs.iter().enumerate() {
        let fractions = [0.5, 0.42, 0.58, 0.34, 0.66, 0.26, 0.74, 0.15, 0.85];
        let spots = fractions.map(|f| view.spot(path.pose_at(leg.from_m + (leg.to_m - leg.from_m) * f).nose));
        let free = spots
            .iter()
            .find(|s| labels.take(Rect::about(**s, 2.0 * NUMBER_R, 2.0 * NUMBER_R), true));
        let Some(&(x, y)) = free else {
            beside.push((i + 1, spots[0]));
            continue;
        };
        sheet.circle((x, y), NUMBER_R, &area("#fff", WAY, 0.45));
        let look = Type {
            size: 2.7,
            fill: WAY,
            anchor: "middle",
            bold: true,
            rim: false,
        };
        sheet.text((x, y + 0.95), &look, &(i + 1).to_string());
    }
    for (number, spot) in beside {
        let text = number.to_string();
        let name = Name {
            text: &text,
            size: 2.7,
            bold: true,
            fill: WAY,
            plate: "#fff",
            leader: true,
        };
        labels.within(sheet, spot, &name, NAMED_WITHIN);
    }
}

/// What a stop is called on a picture: its own name, or what it guards when the map gives it none.
pub(crate) fn stop_word(said: &StopBriefing) -> &str {
    let nameless = said.derived || said.name.contains("holding position");
    match &said.of {
        Some(of) if nameless => of,
        _ => &said.name,
    }
}

fn stop_names(sheet: &mut Sheet, view: &View, way: &Way, told: &WayBriefing, labels: &mut Labels) {
    for (stop, said) in way.route.stops.iter().zip(&told.stops) {
        let hi = number::three(said.heading_magnetic_deg);
        let text = match stop.kind {
            StopKind::Start => format!("start {}", said.name),
            StopKind::EngineCheck => format!("ENGINE CHECK {}, HI {hi}", said.name),
            StopKind::HoldShort => format!("STOP {}", said.of.as_deref().unwrap_or(&said.name)),
            StopKind::Place => format!("stop {}", said.name),
            StopKind::End => format!("END {}", stop_word(said)),
        };
        let name = Name {
            text: &text,
            size: 2.6,
            bold: true,
            fill: "#111",
            plate: "#fff",
            leader: true,
        };
        let spot = view.spot(stop.pose.nose);
        if labels.within(sheet, spot, &name, NAMED_WITHIN) {
            labels.tell(spot);
        }
    }
}

/// The places worth marking: every one that is not clear or not known, and the tightest of each leg; one mark for each
/// thing by name, because an aeroplane on a stand has several outlines.
pub(crate) fn worth_marking<'a>(way: &'a Way, told: &'a WayBriefing) -> Vec<(&'a Gap, &'a GapBriefing)> {
    let mut legs = vec![false; way.route.legs.len() + 1];
    let mut list: Vec<(&Gap, &GapBriefing)> = Vec::new();
    for (gap, said) in way.clearance.gaps.iter().zip(&told.gaps) {
        let first_here = legs.get_mut(said.leg).is_some_and(|s| !std::mem::replace(s, true));
        let marked = list.iter().any(|(_, m)| m.obstacle == said.obstacle);
        if !marked && list.len() < GAPS_MARKED && (gap.verdict != Verdict::Clear || first_here) {
            list.push((gap, said));
        }
    }
    list
}

/// Lines of the tight places; names keep off them.
fn gap_lines(sheet: &mut Sheet, view: &View, marks: &[(&Gap, &GapBriefing)], labels: &mut Labels) {
    for (gap, _) in marks {
        let (a, b) = (view.spot(gap.on_aircraft), view.spot(gap.on_obstacle));
        let (dx, dy) = (b.0 - a.0, b.1 - a.1);
        let length = (dx * dx + dy * dy).sqrt();
        sheet.line(&[a, b], &stroke("#fff", 1.1));
        sheet.line(&[a, b], &stroke("#111", 0.45));
        if length > 0.6 {
            let (ux, uy) = (dx / length, dy / length);
            for (x, y) in [a, b] {
                let end = [(x - uy * 0.8, y + ux * 0.8), (x + uy * 0.8, y - ux * 0.8)];
                sheet.line(&end, &stroke("#111", 0.35));
            }
        } else {
            sheet.circle(middle_of(a, b), 1.5, &stroke("#111", 0.4));
        }
        for (spot, _) in view.along(&[gap.on_aircraft, gap.on_obstacle], 1.0) {
            labels.keep_off(spot, 1.2);
        }
    }
}

fn middle_of(a: Spot, b: Spot) -> Spot {
    ((a.0 + b.0) / 2.0, (a.1 + b.1) / 2.0)
}

fn gap_values(sheet: &mut Sheet, view: &View, marks: &[(&Gap, &GapBriefing)], units: Units, labels: &mut Labels) {
    for (gap, said) in marks {
        let mark = match gap.verdict {
            Verdict::Clear => "",
            Verdict::NotClear => " NOT CLEAR",
            Verdict::NotKnown => " ?",
        };
        let text = if said.touches {
            "TOUCHES".to_string()
        } else {
            format!("{}{mark}", units.gap(said.gap_m))
        };
        let (fill, plate) = if gap.verdict == Verdict::NotClear {
            ("#fff", "#111")
        } else {
            ("#111", "#fff")
        };
        let name = Name {
            text: &text,
            size: 2.3,
            bold: true,
            fill,
            plate,
            leader: true,
        };
        labels.around(
            sheet,
            middle_of(view.spot(gap.on_aircraft), view.spot(gap.on_obstacle)),
            &name,
        );
    }
}
