//! The briefing for a terminal: plain text, at most 100 columns, with or without colour.

use super::{
    Answer, Briefing, LegBriefing, NoWayBriefing, Units, WayBriefing, gaps, number, others, radio, running, verdict,
};
use crate::clearance::Verdict;
use crate::layout::{Page, Tone, left, right};
use crate::notices::{Shown, Status};
use crate::route::{LegKind, StopKind};
use toeline_model::airfield::Surface;

/// Least gaps shown; the rest is counted.
const GAPS_SHOWN: usize = 8;
/// Notices shown, those that decide first; the rest is counted.
const NOTAMS_SHOWN: usize = 40;
/// Repairs, doubts and omissions shown; the rest is counted.
const NOTICES_SHOWN: usize = 12;

/// Writes a briefing as plain text.
pub fn text(b: &Briefing) -> String {
    written(b).finish()
}

/// The same text with the rendition codes of ECMA-48 for a terminal that has colours: headings bold, the verdict and the
/// places to hold short told apart. Nothing is told by colour alone.
pub fn text_in_colour(b: &Briefing) -> String {
    written(b).finish_in_colour()
}

fn written(b: &Briefing) -> Page {
    let mut page = Page::default();
    page.wrapped("", "", &b.caution);
    page.blank();
    let invented = if b.invented { " (invented airfield)" } else { "" };
    page.wrapped("", "  ", &format!("TAXI BRIEFING  {}{invented}", b.field));
    let via = if b.via.is_empty() {
        String::new()
    } else {
        format!(" by way of {}", b.via.join(", "))
    };
    page.wrapped(
        "  ",
        "    ",
        &format!("{}: from {}{via} to {}", b.aeroplane, b.from, b.to),
    );
    page.wrapped("  ", "    ", &format!("wind {}", b.wind));
    page.wrapped(
        "  ",
        "    ",
        &format!(
            "declination {} on {}{} ({})",
            number::declination(b.declination_deg),
            b.date,
            b.time.as_ref().map(|t| format!(", {t}")).unwrap_or_default(),
            b.declination_from
        ),
    );
    page.wrapped("  ", "    ", &format!("compass: {}", b.compass_from));
    if let Some(credit) = &b.attribution {
        page.wrapped("  ", "    ", &format!("map data: {credit}"));
    }
    match &b.answer {
        Answer::Way(way) => way_text(&mut page, way, b.units),
        Answer::NoWay(none) => no_way_text(&mut page, none),
    }
    notams(&mut page, &b.notams);
    if let Some(r) = &b.radio {
        radio::text(&mut page, r);
    }
    others::text(&mut page, &b.others, b.units);
    notices(&mut page, "DOUBTS ABOUT THE MAP", &b.doubts);
    notices(&mut page, "LEFT OUT", &b.left_out);
    notices(&mut page, "REPAIRS TO THE MAP", &b.repairs);
    page
}

/// The notices laid over the field, each with its text.
pub(crate) fn notams(page: &mut Page, list: &[Shown]) {
    if list.is_empty() {
        return;
    }
    page.heading(&format!("NOTICES ({})", list.len()));
    for n in list.iter().take(NOTAMS_SHOWN) {
        let decides = n.counts && matches!(n.status, Status::NotPlaced | Status::PlacedInPart);
        let tone = if decides { Tone::Mind } else { Tone::Plain };
        for (i, sentence) in n.sentences().iter().enumerate() {
            let first = if i == 0 { "  - " } else { "    " };
            page.toned(if i == 1 { tone } else { Tone::Plain }, first, "    ", sentence);
        }
    }
    if list.len() > NOTAMS_SHOWN {
        page.wrapped(
            "  ",
            "  ",
            &format!("and {} more, all in the JSON form", list.len() - NOTAMS_SHOWN),
        );
    }
}

fn notices(page: &mut Page, title: &str, list: &[String]) {
    if list.is_empty() {
        return;
    }
    page.heading(&format!("{title} ({})", list.len()));
    page.list(&list[..list.len().min(NOTICES_SHOWN)]);
    if list.len() > NOTICES_SHOWN {
        page.wrapped(
            "  ",
            "  ",
            &format!("and {} more, all in the JSON form", list.len() - NOTICES_SHOWN),
        );
    }
}

fn section(page: &mut Page, title: &str, list: &[String]) {
    if !list.is_empty() {
        page.heading(title);
        page.list(list);
    }
}

fn no_way_text(page: &mut Page, none: &NoWayBriefing) {
    page.heading("NO WAY");
    page.toned(
        Tone::Bad,
        "  ",
        "  ",
        &format!("{} cannot be reached from {}.", none.unreachable, none.from),
    );
    if none.blocks.is_empty() {
        page.wrapped(
            "  ",
            "  ",
            "Nothing that blocks it is on the map: no lane leads on from what can be reached.",
        );
    } else {
        page.wrapped(
            "  ",
            "  ",
            match none.fewest {
                Some(true) => "What blocks it, in the order of the way that it would open; no fewer would do:",
                Some(false) => "What blocks it, in the order of the way that it would open; not proven fewest:",
                None => "What blocks it:",
            },
        );
        page.list(&none.blocks);
    }
}

fn way_text(page: &mut Page, w: &WayBriefing, units: Units) {
    page.wrapped(
        "  ",
        "    ",
        &format!(
            "{}, about {} under way without stops; price in the search {:.1} s",
            units.length(w.length_m, 0),
            number::duration(w.time_s),
            w.cost_s
        ),
    );
    page.heading("ANSWER");
    let tone = match w.verdict {
        Verdict::Clear => Tone::Good,
        Verdict::NotClear => Tone::Bad,
        Verdict::NotKnown => Tone::Mind,
    };
    for (i, sentence) in w.verdict_text.iter().enumerate() {
        page.toned(if i == 0 { tone } else { Tone::Plain }, "  ", "    ", sentence);
    }
    page.wrapped(
        "  ",
        "    ",
        &format!(
            "Margins: {} beside, {} above and below; map accuracy {} ({}).",
            units.length(w.margin_m, 1),
            units.length(w.vertical_margin_m, 1),
            units.length(w.accuracy_m, 1),
            w.accuracy_from
        ),
    );
    section(page, "WHAT WOULD MAKE IT CLEAR", &w.remedies);
    page.heading("LEGS   (HI: heading indicator, set to the compass: magnetic)");
    page.line(&format!(
        "  {} {} {} {} {} {} {} {}",
        right("#", 2),
        left("leg", 39),
        right("length", 8),
        right("HI", 9),
        right("compass", 9),
        right("true", 9),
        right("kt", 5),
        right("time", 6)
    ));
    for leg in &w.legs {
        leg_text(page, leg, units);
    }
    page.heading("STOPS");
    for stop in &w.stops {
        let head = number::three(stop.heading_magnetic_deg);
        let tone = match stop.kind {
            StopKind::HoldShort | StopKind::End => Tone::Mind,
            StopKind::Start | StopKind::EngineCheck | StopKind::Place => Tone::Plain,
        };
        let at = units.length(stop.at_m, 0);
        page.toned(
            tone,
            "  - ",
            "    ",
            &format!("{at}, leg {}, HI {head}: {}", stop.leg, stop.say),
        );
        if let Some(who) = &stop.who_may_pass {
            page.wrapped("    ", "    ", &format!("Who may go on: {who}"));
        }
    }
    checks_text(page, w, units);
    if let Some(check) = &w.engine_check {
        page.heading(&format!("ENGINE CHECK in {}", check.area));
        let off = match check.off_wind_deg {
            Some(off) => format!("{off:.0} deg off the wind"),
            None => "heading free".to_string(),
        };
        let (m, t) = (
            number::three(check.heading_magnetic_deg),
            number::three(check.heading_true_deg),
        );
        page.wrapped(
            "  ",
            "    ",
            &format!(
                "Nose on {m} magnetic ({t} true, compass {}), {off}. {}",
                number::three(check.compass_deg),
                check.why
            ),
        );
        page.wrapped("  ", "    ", &check.blast);
        if let Some(controls) = &check.controls {
            page.wrapped("  ", "    ", controls);
        }
        page.list(&check.others);
        page.list(&check.limits);
        page.wrapped(
            "  ",
            "    ",
            "Figures from the aeroplane's file; its flight manual comes first.",
        );
    }
    running::text(page, &w.running, units);
    gaps_text(page, w, units);
    section(page, "WOBBLE ODDS", &w.odds);
    section(page, "PUBLISHED DESIGN ROWS   (they size new pavement)", &w.design_rows);
    section(page, "HOT SPOTS", &w.hot_spots);
    section(page, "WHAT THE MAP LACKS", &w.lacks);
    section(page, "DOUBTS ABOUT THE WAY", &w.doubts);
    section(page, "CLOSURES GONE AROUND", &w.gone_around);
    section(page, "WAYS GIVEN UP", &w.given_up);
}

/// Where brakes and instruments are checked.
fn checks_text(page: &mut Page, w: &WayBriefing, units: Units) {
    page.heading("CHECKS ON THE WAY   (eyes outside first; a glance is enough)");
    for place in &w.check_places {
        let at = units.length(place.at_m, 0);
        let what = place.kind.word();
        page.wrapped(
            "  - ",
            "    ",
            &format!("{at}, leg {}, {what}: {}", place.leg, place.say),
        );
    }
    page.list(&w.no_check_place);
}

fn gaps_text(page: &mut Page, w: &WayBriefing, units: Units) {
    page.heading(&format!(
        "TIGHTEST GAPS   (rounded down to 0.1 {})",
        units.length_unit()
    ));
    if w.gaps.is_empty() {
        page.wrapped("  ", "  ", "Nothing the map shows comes near.");
    }
    let gaps = gaps::by_name(&w.gaps);
    for g in gaps.iter().take(GAPS_SHOWN) {
        let touches = if g.touches { ", TOUCHES" } else { "" };
        let sure = if g.sure { "" } else { ", place or shape not sure" };
        let said = format!(
            "{} to {}, leg {}: {}{touches}{sure}",
            g.part,
            g.obstacle,
            g.leg,
            verdict::word(g.verdict)
        );
        page.wrapped(
            &format!("  {} {}  ", right(&units.bare_gap(g.gap_m), 5), units.length_unit()),
            "           ",
            &said,
        );
    }
    if gaps.len() > GAPS_SHOWN {
        page.wrapped(
            "  ",
            "  ",
            &format!("and {} wider ones, all in the JSON form", gaps.len() - GAPS_SHOWN),
        );
    }
}

fn leg_text(page: &mut Page, leg: &LegBriefing, units: Units) {
    let d = &leg.directions;
    page.line(&format!(
        "  {} {} {} {} {} {} {} {}",
        right(&leg.number.to_string(), 2),
        left(&leg.name, 39),
        right(&units.length(leg.length_m, 0), 8),
        right(&number::from_to(d.heading_indicator_deg, d.last_magnetic_deg, '-'), 9),
        right(&number::from_to(d.compass_deg, d.last_compass_deg, '-'), 9),
        right(&number::from_to(d.true_deg, d.last_true_deg, '-'), 9),
        right(&format!("{:.0}", leg.speed_kt), 5),
        right(&number::clock(leg.time_s), 6)
    ));
    let indent = "     ";
    let mut note = |text: &str| page.wrapped(indent, "       ", text);
    if leg.kind == LegKind::HandPush {
        note("by hand with a tow bar, engine off; the bearing is where the nose points");
    }
    if d.winding {
        note("winding: the bearings hold at its start and its end");
    }
    if let Some(w) = &leg.wind {
        note(&w.say);
    }
    for change in &leg.control_changes {
        note(&change.say);
    }
    if let Some(lift) = &leg.lift {
        note(&lift.say);
    }
    let surface = match leg.surface {
        Surface::Paved => "paved",
        Surface::Grass => "grass",
        Surface::Loose => "loose ground",
        Surface::Ice => "ice",
        Surface::Water => "water",
        Surface::Unknown => "surface not mapped",
    };
    let width = leg.width_m.map_or_else(
        || "width not mapped".to_string(),
        |w| format!("{} wide", units.length(w, 1)),
    );
    note(&format!("{surface}, {width}; {}", room(leg, units)));
    if let Some(slope) = leg.slope_percent.filter(|s| *s != 0.0) {
        let way = if slope > 0.0 {
            "rises: a little more power, and it rolls back if you stop without brakes"
        } else {
            "falls: idle early, and stop with brakes before you need to"
        };
        note(&format!("up to {:.1} % {way}", slope.abs()));
    }
    for t in &leg.turns {
        let when = if t.at_end { "then" } else { "on it" };
        note(&format!("{when} {}", t.say));
    }
}

/// What is tight on a leg: the bound along it, and the nearest obstacle when it is the one that sets the bound.
fn room(leg: &LegBriefing, units: Units) -> String {
    match (leg.least_gap_m, &leg.tightest) {
        (_, Some(g)) if leg.least_gap_m.is_none_or(|least| g.gap_m <= least + 0.1) => {
            format!("tightest {}, {} to {}", units.gap(g.gap_m), g.part, g.obstacle)
        }
        (Some(least), Some(g)) => {
            format!(
                "nowhere less than {}; {} from the {} to {}",
                units.gap(least),
                units.gap(g.gap_m),
                g.part,
                g.obstacle
            )
        }
        (Some(least), None) => format!("nowhere less than {}", units.gap(least)),
        (None, _) => "nothing the map shows comes near".to_string(),
    }
}
