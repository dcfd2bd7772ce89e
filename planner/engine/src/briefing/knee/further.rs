//! What the first page has no room for, section by section.

use super::setting::{LINE, Row, Section, paragraph};
use crate::briefing::{Answer, Briefing, CheckedThere, LegBriefing, Units, WayBriefing, gaps, number, verdict};
use crate::notices::Shown;

/// Rows of a list that a map can make endless; the rest is counted.
const SHOWN: usize = 12;
/// Column of what is done, and of how it should be, mm.
const WHAT: (f64, f64) = (4.0, 58.0);
const TO_BE: (f64, f64) = (64.0, 72.0);

fn section(title: impl Into<String>, rows: Vec<Row>) -> Option<Section> {
    (!rows.is_empty()).then(|| Section {
        title: title.into(),
        head: None,
        rows,
    })
}

fn list<T: AsRef<str>>(texts: &[T], width: f64) -> Vec<Row> {
    let mut rows: Vec<Row> = texts
        .iter()
        .take(SHOWN)
        .flat_map(|t| paragraph("-", 3.0, t.as_ref(), false, width))
        .collect();
    if texts.len() > SHOWN {
        let more = format!("and {} more, all in the other forms of this plan", texts.len() - SHOWN);
        rows.extend(paragraph("-", 3.0, &more, false, width));
    }
    rows
}

/// What to do in order: each stage's heading stays with its first line.
fn running(told: &WayBriefing, units: Units, width: f64) -> Vec<Row> {
    let mut rows = Vec::new();
    for stage in &told.running {
        let mut heading = Row {
            height: LINE,
            parts: Vec::new(),
        };
        let place = match (stage.leg, stage.at_m) {
            (Some(leg), Some(at)) => format!(" (leg {leg}, {})", units.length(at, 0)),
            _ => String::new(),
        };
        heading.column((0.0, width), &format!("{}{place}", stage.title), true);
        let mut heading = Some(heading);
        for item in &stage.items {
            let mut row = Row::default();
            let room = if item.to_be.is_some() { WHAT.1 } else { width - WHAT.0 };
            row.column((0.0, 4.0), "-", false);
            row.column((WHAT.0, room), &item.what, false);
            row.column(TO_BE, item.to_be.as_deref().unwrap_or(""), true);
            rows.push(match heading.take() {
                Some(h) => h.then(row),
                None => row,
            });
        }
        rows.extend(heading);
        if let Some(last) = rows.last_mut() {
            last.height += 1.2;
        }
    }
    rows
}

fn stops(told: &WayBriefing, units: Units, width: f64) -> Vec<Row> {
    let one = |s: &crate::briefing::StopBriefing| {
        let heading = number::three(s.heading_magnetic_deg);
        let who = s.who_may_pass.as_ref().map(|w| format!(" {w}")).unwrap_or_default();
        let text = format!(
            "{}, leg {}, HI {heading}: {}{who}",
            units.length(s.at_m, 0),
            s.leg,
            s.say
        );
        paragraph("-", 3.0, &text, false, width)
    };
    told.stops.iter().flat_map(one).collect()
}

fn check(told: &WayBriefing, width: f64) -> Option<Section> {
    let c = told.engine_check.as_ref()?;
    let off = match c.off_wind_deg {
        Some(off) => format!("{off:.0}° off the wind"),
        None => "heading free".to_string(),
    };
    let heading = number::three(c.heading_magnetic_deg);
    let mut texts = vec![
        format!("Nose on {heading} by the HI, {off}. {}", c.why),
        c.blast.clone(),
    ];
    texts.extend(c.controls.clone());
    texts.extend(c.limits.iter().cloned());
    texts.extend(c.others.iter().cloned());
    section(format!("Engine check in {}", c.area), list(&texts, width))
}

fn check_places(told: &WayBriefing, units: Units, width: f64) -> Vec<Row> {
    let mut texts = vec![format!("Brakes: {}", told.brake_check)];
    let others = told.check_places.iter().filter(|p| p.kind != CheckedThere::Brakes);
    texts.extend(others.map(|p| {
        let what = p.kind.word();
        format!("{}, leg {}, {what}: {}", units.length(p.at_m, 0), p.leg, p.say)
    }));
    texts.extend(told.no_check_place.iter().cloned());
    texts
        .iter()
        .flat_map(|t| paragraph("-", 3.0, t, false, width))
        .collect()
}

fn each_leg(told: &WayBriefing, width: f64, say: impl Fn(&LegBriefing) -> Vec<String>) -> Vec<Row> {
    let one = |leg: &LegBriefing| {
        let texts = say(leg);
        let numbered = format!("{}", leg.number);
        let mark = |i: usize| if i == 0 { numbered.clone() } else { String::new() };
        let rows = texts
            .iter()
            .enumerate()
            .flat_map(|(i, t)| paragraph(&mark(i), 6.0, t, false, width));
        rows.collect::<Vec<Row>>()
    };
    told.legs.iter().flat_map(one).collect()
}

fn wind(leg: &LegBriefing) -> Vec<String> {
    let mut texts: Vec<String> = leg.wind.iter().map(|w| w.say.clone()).collect();
    texts.extend(leg.control_changes.iter().map(|c| c.say.clone()));
    texts.extend(leg.lift.iter().map(|l| l.say.clone()));
    texts
}

fn speed(leg: &LegBriefing) -> Vec<String> {
    let mut texts = vec![format!(
        "{}: {:.0} kt, {}",
        leg.name,
        leg.speed_kt,
        number::clock(leg.time_s)
    )];
    texts.extend(
        leg.turns
            .iter()
            .map(|t| format!("{}{}", if t.at_end { "then " } else { "on it " }, t.say)),
    );
    texts
}

fn gap_rows(told: &WayBriefing, units: Units, width: f64) -> Vec<Row> {
    let by_name = gaps::by_name(&told.gaps);
    let texts: Vec<String> = by_name
        .iter()
        .map(|g| {
            let sure = if g.sure { "" } else { ", place or shape not sure" };
            let touches = if g.touches { ", TOUCHES" } else { "" };
            let said = verdict::word(g.verdict);
            format!(
                "{}, leg {}: {} to {}: {said}{touches}{sure}",
                units.gap(g.gap_m),
                g.leg,
                g.part,
                g.obstacle
            )
        })
        .collect();
    list(&texts, width)
}

fn radio(b: &Briefing, width: f64) -> Vec<Row> {
    let Some(r) = &b.radio else { return Vec::new() };
    let mut texts = Vec::new();
    for (what, said) in [
        ("Instruction given", &r.given),
        (
            if r.given.is_some() {
                "Read as"
            } else {
                "Instruction for this way"
            },
            &r.instruction,
        ),
        ("Read back", &r.read_back),
        ("Spoken", &r.spoken),
        ("Compared", &r.compared),
    ] {
        texts.extend(said.iter().map(|s| format!("{what}: {s}")));
    }
    texts.extend(r.later.iter().cloned());
    texts.extend(r.notes.iter().cloned());
    texts.extend(
        r.without_tower
            .iter()
            .map(|t| format!("Without a tower, announce: {t}")),
    );
    list(&texts, width)
}

/// The sections after the first page; `verdict_from` is the first sentence of the verdict that it does not have.
pub(super) fn sections(b: &Briefing, width: f64, verdict_from: usize) -> Vec<Section> {
    let notams: Vec<String> = b.notams.iter().map(Shown::line).collect();
    let notams = section(format!("Notices ({})", b.notams.len()), list(&notams, width));
    let Answer::Way(told) = &b.answer else {
        return notams.into_iter().collect();
    };
    let verdict = told.verdict_text.get(verdict_from..).unwrap_or_default();
    let compass = if b.compass_from.is_empty() {
        Vec::new()
    } else {
        list(&[&b.compass_from], width)
    };
    [
        section("Verdict, continued", list(verdict, width)),
        notams,
        section("What would make it clear", list(&told.remedies, width)),
        section("Running list", running(told, b.units, width)),
        section("Stops", stops(told, b.units, width)),
        check(told, width),
        section("Brakes and instruments", check_places(told, b.units, width)),
        section("Compass", compass),
        section("Radio (the words of the tower come first)", radio(b, width)),
        section(
            "Wind, controls and what lifts a wheel, by leg",
            each_leg(told, width, wind),
        ),
        section("Speed and turns, by leg", each_leg(told, width, speed)),
        section("Tightest gaps, rounded down", gap_rows(told, b.units, width)),
        section("Odds of a touch", list(&told.odds, width)),
        section("What the map lacks", list(&told.lacks, width)),
        section("Doubts about the way", list(&told.doubts, width)),
        section("Closures gone around", list(&told.gone_around, width)),
        section("Doubts about the map", list(&b.doubts, width)),
    ]
    .into_iter()
    .flatten()
    .collect()
}
