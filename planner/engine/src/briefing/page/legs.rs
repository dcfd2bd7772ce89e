//! The legs: a table of figures, and every leg in words below it.

use crate::briefing::{LegBriefing, LiftMargin, TurnBriefing, Units, WayBriefing, number, wind};
use crate::drawing::sheet::escape;
use crate::route::{LegKind, TurnMeans};
use std::fmt::Write as _;
use toeline_model::airfield::Surface;

/// Columns of the table: class, heading.
const COLUMNS: [(&str, &str); 12] = [
    ("n", "Nr"),
    ("", "Leg"),
    ("n", "Length"),
    ("n", "HI"),
    ("n c1", "Compass"),
    ("n c1 p0", "True"),
    ("n c2", "Speed kt"),
    ("n c2", "Time"),
    ("c1", "Controls"),
    ("c1 p0", "Turn at its end"),
    ("n c1 p0", "Lift kt"),
    ("n", "Room"),
];

fn from_to(first: f64, last: Option<f64>) -> String {
    number::from_to(first, last, '\u{2013}')
}

fn controls(leg: &LegBriefing) -> String {
    if leg.kind == LegKind::HandPush {
        return "pushed by hand".to_string();
    }
    let more = if leg.control_changes.is_empty() {
        ""
    } else {
        ", then changing"
    };
    leg.wind
        .as_ref()
        .map(|w| wind::control_short(w.yoke, w.elevator) + more)
        .unwrap_or_default()
}

fn turn_short(t: &TurnBriefing, units: Units) -> String {
    let means = match t.means {
        TurnMeans::Steering => "",
        TurnMeans::InsideBrake => ", inside brake",
        TurnMeans::NotPossible => ", NOT POSSIBLE",
    };
    format!(
        "{} {:.0}°, radius {}{means}",
        t.direction,
        t.turn_deg,
        units.length(t.radius_m, 0)
    )
}

/// The margin above the gust where there is one, else above the steady wind.
fn above(m: &LiftMargin) -> String {
    m.above_gust_kt
        .or(m.above_steady_kt)
        .map_or_else(|| "none".to_string(), |kt| format!("{kt}"))
}

fn lift_short(leg: &LegBriefing) -> String {
    leg.lift.as_ref().map_or_else(
        || "\u{2013}".to_string(),
        |l| format!("{} / {}", above(&l.held_right), above(&l.held_wrong)),
    )
}

/// The table.
pub(super) fn table(out: &mut String, told: &WayBriefing, units: Units) {
    let unit = units.length_unit();
    out.push_str(
        "<div class=\"wide\"><table class=\"legs\"><caption>HI: heading indicator, set to the compass (magnetic). Compass: what it reads \
         when steady. Controls: at the start of the leg. <span class=\"p0\">Lift: knots of wind that are left before a wheel lifts, \
         controls held right / held wrong.</span> Room: least gap, rounded down; free: nothing comes near.</caption>\n<thead><tr>",
    );
    for (class, head) in COLUMNS {
        let unit = if matches!(head, "Length" | "Room") {
            format!(" {unit}")
        } else {
            String::new()
        };
        let _ = write!(out, "<th scope=\"col\" class=\"{class}\">{head}{unit}</th>");
    }
    out.push_str("</tr></thead>\n<tbody>\n");
    for leg in &told.legs {
        let d = &leg.directions;
        let n = leg.number;
        let turn = leg.turns.iter().rev().find(|t| t.at_end).map(|t| turn_short(t, units));
        let room = leg
            .least_gap_m
            .map_or_else(|| "free".to_string(), |m| units.bare_gap(m));
        let cells = [
            units.bare(leg.length_m, 0),
            from_to(d.heading_indicator_deg, d.last_magnetic_deg),
            from_to(d.compass_deg, d.last_compass_deg),
            from_to(d.true_deg, d.last_true_deg),
            format!("{:.0}", leg.speed_kt),
            number::clock(leg.time_s),
            controls(leg),
            turn.unwrap_or_default(),
            lift_short(leg),
            room,
        ];
        let _ = write!(
            out,
            "<tr id=\"leg-{n}\" data-i=\"{n}\"><td class=\"n\">{n}</td><th scope=\"row\"><a href=\"#m{n}\">{}</a></th>",
            escape(&leg.name)
        );
        for ((class, _), cell) in COLUMNS[2..].iter().zip(&cells) {
            let _ = write!(out, "<td class=\"{class}\">{}</td>", escape(cell));
        }
        out.push_str("</tr>\n");
    }
    let _ = writeln!(
        out,
        "</tbody>\n<tfoot><tr><td></td><th scope=\"row\">all</th><td class=\"n\">{}</td><td></td><td class=\"c1\"></td><td class=\"c1 p0\"></td>\
         <td class=\"c2\"></td><td class=\"n c2\">{}</td><td class=\"c1\"></td><td class=\"c1 p0\"></td><td class=\"c1 p0\"></td><td></td></tr></tfoot></table></div>",
        units.bare(told.length_m, 0),
        number::clock(told.time_s)
    );
}

fn surface_words(leg: &LegBriefing, units: Units) -> String {
    let surface = match leg.surface {
        Surface::Paved => "Paved",
        Surface::Grass => "Grass",
        Surface::Loose => "Loose ground",
        Surface::Ice => "Ice",
        Surface::Water => "Water",
        Surface::Unknown => "Surface not mapped",
    };
    let width = leg.width_m.map_or_else(
        || "width not mapped".to_string(),
        |w| format!("{} wide", units.length(w, 1)),
    );
    let slope = leg.slope_percent.filter(|s| *s != 0.0).map(|s| {
        let way = if s > 0.0 { "rises" } else { "falls" };
        format!(", {way} by up to {:.1} %", s.abs())
    });
    format!("{surface}, {width}{}.", slope.unwrap_or_default())
}

fn room_words(leg: &LegBriefing, units: Units) -> String {
    match (leg.least_gap_m, &leg.tightest) {
        (None, None) => "Nothing the map shows comes near.".to_string(),
        (None, Some(g)) => format!("Tightest {}, {} to {}.", units.gap(g.gap_m), g.part, g.obstacle),
        (Some(least), Some(g)) => format!(
            "Nowhere less than {}; {} from the {} to {}.",
            units.gap(least),
            units.gap(g.gap_m),
            g.part,
            g.obstacle
        ),
        (Some(least), None) => format!("Nowhere less than {}.", units.gap(least)),
    }
}

/// A sentence of its own: a capital at its head and a full stop at its end.
pub(super) fn sentence(text: &str) -> String {
    let mut chars = text.chars();
    let head: String = chars.next().map(|c| c.to_uppercase().collect()).unwrap_or_default();
    let stop = if text.ends_with(['.', '?', '!']) { "" } else { "." };
    format!("{head}{}{stop}", chars.as_str())
}

/// Everything about a leg, in sentences.
fn words(leg: &LegBriefing, told: &WayBriefing, units: Units) -> Vec<String> {
    let d = &leg.directions;
    let mut list = vec![format!(
        "HI {}, compass {}, true {}; {}, {:.0} kt, {}.",
        from_to(d.heading_indicator_deg, d.last_magnetic_deg),
        from_to(d.compass_deg, d.last_compass_deg),
        from_to(d.true_deg, d.last_true_deg),
        units.length(leg.length_m, 0),
        leg.speed_kt,
        number::duration(leg.time_s)
    )];
    if leg.kind == LegKind::HandPush {
        list.push("By hand with a tow bar, engine off; the bearing is where the nose points.".to_string());
    }
    if d.winding {
        list.push("Winding: the bearings hold at its start and its end.".to_string());
    }
    list.extend(leg.wind.as_ref().map(|w| sentence(&w.say)));
    list.extend(leg.control_changes.iter().map(|c| sentence(&c.say)));
    list.extend(leg.lift.as_ref().map(|l| sentence(&l.say)));
    list.push(surface_words(leg, units));
    list.push(room_words(leg, units));
    for e in told.edges.iter().filter(|e| e.leg == leg.number) {
        list.extend(e.room_m.map(|room| match room {
            r if r < 0.0 => format!("A main wheel runs {} off the pavement.", units.length(-r, 1)),
            r => format!("Main wheels to the pavement edge: {}.", units.gap(r)),
        }));
    }
    for t in &leg.turns {
        let when = if t.at_end { "Then" } else { "On it" };
        list.push(format!("{when} {}", sentence_end(&t.say)));
    }
    list
}

fn sentence_end(text: &str) -> String {
    let stop = if text.ends_with('.') { "" } else { "." };
    format!("{text}{stop}")
}

/// Every leg in words.
pub(super) fn in_words(out: &mut String, told: &WayBriefing, units: Units) {
    for leg in &told.legs {
        let n = leg.number;
        let _ = writeln!(
            out,
            "<div class=\"leg\" data-i=\"{n}\" id=\"said-{n}\"><h3>{n} {}</h3><ul>",
            escape(&leg.name)
        );
        for line in words(leg, told, units) {
            let _ = writeln!(out, "<li>{}</li>", escape(&line));
        }
        out.push_str("</ul></div>\n");
    }
}
