//! The table of the legs, with the stops between them: a row for each, wrapped in its columns.

use super::merge::{Group, TURN_TOLD_DEG};
use super::setting::{LINE, Part, Row, THIN, TYPE, ending, foot, words};
use crate::briefing::svg::WAY;
use crate::briefing::{LegBriefing, StopBriefing, Units, WayBriefing, number, wind};
use crate::planning::Way;
use crate::route::{LegKind, StopKind, TurnMeans};

/// Columns of the table: left end and width, mm.
struct Columns {
    name: (f64, f64),
    indicator: f64,
    compass: Option<f64>,
    length: f64,
    yoke: (f64, f64),
    turns: (f64, f64),
}

/// Left end of the names: the widest number, "14-16", stands before it, mm.
const LEFT: f64 = 11.5;

const PLAIN: Columns = Columns {
    name: (LEFT, 30.0),
    indicator: 57.0,
    compass: None,
    length: 67.0,
    yoke: (69.5, 32.0),
    turns: (103.0, 33.0),
};

const WITH_CARD: Columns = Columns {
    name: (LEFT, 22.0),
    indicator: 49.0,
    compass: Some(65.0),
    length: 74.5,
    yoke: (77.0, 28.0),
    turns: (106.5, 29.5),
};

fn columns(told: &WayBriefing) -> Columns {
    // A column of its own only where a card makes a difference that is read.
    let differs = |l: &LegBriefing| {
        let d = &l.directions;
        number::three(d.compass_deg) != number::three(d.heading_indicator_deg)
            || d.last_compass_deg.map(number::three) != d.last_magnetic_deg.map(number::three)
    };
    if told.legs.iter().any(differs) {
        WITH_CARD
    } else {
        PLAIN
    }
}

/// Heading of the columns.
pub(super) fn head(told: &WayBriefing, units: Units, width: f64) -> Row {
    let c = columns(told);
    let y = foot(TYPE);
    let mut parts = vec![
        words((c.name.0, y), "leg", true),
        ending((c.indicator, y), "HI", true),
        ending((c.length, y), units.length_unit(), true),
        words((c.yoke.0, y), "yoke", true),
        words((c.turns.0, y), "turns", true),
    ];
    parts.extend(c.compass.map(|x| ending((x, y), "compass", true)));
    parts.push(Part::Rule((0.0, LINE), width, 0.4));
    Row {
        height: LINE + 0.6,
        parts,
    }
}

fn from_to(first: f64, last: Option<f64>) -> String {
    number::from_to(first, last, '-')
}

/// What is held, in the fewest words: "forward" only where the elevator goes down.
fn held(yoke: wind::Yoke, elevator: wind::Elevator) -> &'static str {
    use wind::{Elevator, Yoke};
    match (yoke, elevator) {
        (Yoke::Left, Elevator::Neutral) => "left",
        (Yoke::Right, Elevator::Neutral) => "right",
        (Yoke::Neutral, Elevator::Neutral) => "neutral",
        (Yoke::Left, Elevator::Down) => "left, forward",
        (Yoke::Right, Elevator::Down) => "right, forward",
        (Yoke::Neutral, Elevator::Down) => "forward",
    }
}

/// How the controls are held along a group, with where they change, metres from its start.
fn yoke(group: &Group, way: &Way, told: &WayBriefing, units: Units) -> String {
    let mut list: Vec<(f64, &str)> = Vec::new();
    let start = group.span(way).0;
    for i in group.legs.clone() {
        let (leg, from) = (&told.legs[i], way.route.legs[i].from_m - start);
        if leg.kind == LegKind::HandPush {
            list.push((from, "tow bar"));
        }
        list.extend(leg.wind.iter().map(|w| (from, held(w.yoke, w.elevator))));
        list.extend(
            leg.control_changes
                .iter()
                .map(|c| (from + c.after_m, held(c.yoke, c.elevator))),
        );
    }
    list.dedup_by(|b, a| b.1 == a.1);
    let said = list.iter().enumerate().map(|(i, (from, held))| match i {
        0 => (*held).to_string(),
        _ => format!("{}: {held}", units.length(*from, 0)).replacen(' ', "\u{a0}", 1),
    });
    said.collect::<Vec<_>>().join("; ")
}

/// Turns of a group in order, the one that ends it last.
fn turns(group: &Group, told: &WayBriefing) -> String {
    let mut list = Vec::new();
    for i in group.legs.clone() {
        for t in &told.legs[i].turns {
            let how = match t.means {
                TurnMeans::Steering => "",
                TurnMeans::InsideBrake => ", brake",
                TurnMeans::NotPossible => ", TOO TIGHT",
            };
            if t.turn_deg < TURN_TOLD_DEG && how.is_empty() {
                continue;
            }
            let ends = t.at_end && i + 1 == group.legs.end;
            let when = if ends { "then " } else { "on it " };
            list.push(format!("{when}{} {:.0}°{how}", t.direction, t.turn_deg));
        }
    }
    list.join("; ")
}

/// A number in a box of the colour of the way.
pub(super) fn number_box(text: &str) -> [Part; 2] {
    let wide = crate::drawing::sheet::text_width(text, TYPE, true) + 1.6;
    [
        Part::Frame((0.0, 0.0), (wide, LINE - 0.2), WAY, 0.0),
        Part::Text {
            at: (wide / 2.0, foot(TYPE)),
            text: text.to_string(),
            size: TYPE,
            bold: true,
            fill: "#fff",
            anchor: "middle",
        },
    ]
}

fn leg_row(group: &Group, way: &Way, told: &WayBriefing, units: Units, c: &Columns) -> Row {
    let mut row = Row {
        height: LINE,
        parts: Vec::from(number_box(&group.number())),
    };
    let legs = &told.legs[group.legs.clone()];
    let (Some(first), Some(last)) = (legs.first(), legs.last()) else {
        return row;
    };
    // As the other forms have it.
    let length: f64 = legs.iter().map(|l| l.length_m).sum();
    // A group of several legs ends on the heading of its last one.
    let end = |last_of: Option<f64>, whole: f64| last_of.or((legs.len() > 1).then_some(whole));
    let (a, b) = (&first.directions, &last.directions);
    let y = foot(TYPE);
    row.column(c.name, &group.names(told).join(", "), false);
    row.parts.push(ending(
        (c.indicator, y),
        from_to(
            a.heading_indicator_deg,
            end(b.last_magnetic_deg, b.heading_indicator_deg),
        ),
        true,
    ));
    if let Some(x) = c.compass {
        row.parts.push(ending(
            (x, y),
            from_to(a.compass_deg, end(b.last_compass_deg, b.compass_deg)),
            false,
        ));
    }
    row.parts.push(ending((c.length, y), units.bare(length, 0), false));
    row.column(c.yoke, &yoke(group, way, told, units), false);
    row.column(c.turns, &turns(group, told), false);
    row
}

/// A stop between the legs: a black box with what it is, then where.
fn stop_row(stop: &StopBriefing, group: &Group, way: &Way, units: Units, width: f64) -> Option<Row> {
    let word = match stop.kind {
        StopKind::Start => return None,
        StopKind::EngineCheck => "ENGINE CHECK",
        StopKind::HoldShort | StopKind::Place => "STOP",
        StopKind::End => "END",
    };
    let wide = crate::drawing::sheet::text_width(word, TYPE, true) + 1.6;
    let left = LEFT;
    let mut row = Row {
        height: LINE,
        parts: vec![
            Part::Frame((left, 0.0), (wide, LINE - 0.2), "#000", 0.0),
            Part::Text {
                at: (left + wide / 2.0, foot(TYPE)),
                text: word.to_string(),
                size: TYPE,
                bold: true,
                fill: "#fff",
                anchor: "middle",
            },
        ],
    };
    let of = stop.of.as_ref().map(|of| format!(", {of}")).unwrap_or_default();
    let (from, to) = group.span(way);
    let place = if stop.at_m >= to - 1.0 {
        String::new()
    } else {
        format!(", {} into leg {}", units.length(stop.at_m - from, 0), group.number())
    };
    let heading = number::three(stop.heading_magnetic_deg);
    let derived = if stop.derived {
        ", look for the painted line"
    } else {
        ""
    };
    let text = format!("{}{of}{place}, HI {heading}{derived}", stop.name);
    row.column((left + wide + 1.5, width - left - wide - 1.5), &text, true);
    Some(row)
}

/// Every leg with the stops that lie on it, in order; a thin line under each.
pub(super) fn rows(groups: &[Group], way: &Way, told: &WayBriefing, units: Units, width: f64) -> Vec<Row> {
    let c = columns(told);
    let mut list = Vec::new();
    let mut stops = told.stops.iter().peekable();
    for (i, group) in groups.iter().enumerate() {
        let mut row = leg_row(group, way, told, units, &c);
        let to = group.span(way).1;
        let last = i + 1 == groups.len();
        while let Some(stop) = stops.next_if(|s| last || s.at_m <= to + 0.1) {
            if let Some(below) = stop_row(stop, group, way, units, width) {
                row = row.and_gap(0.3).then(below);
            }
        }
        row.parts.push(Part::Rule((0.0, row.height + 0.25), width, THIN));
        row.height += 0.7;
        list.push(row);
    }
    list
}
