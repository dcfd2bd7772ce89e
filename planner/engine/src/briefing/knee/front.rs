//! The first page: what a pilot needs on the knee, without turning it over.

use super::setting::{INK, LINE, Part, Row, Section, TYPE, foot, large, paragraph};
use super::{legs, merge};
use crate::briefing::{Answer, Briefing, Units, WayBriefing, gaps, number, svg};
use crate::clearance::Verdict;
use crate::planning::{Plan, Way};
use merge::Group;
use toeline_model::Aircraft;

/// Height of the title and of the verdict, mm.
const TITLE: f64 = 4.6;
const VERDICT: f64 = 6.0;
/// Lines of the verdict's sentences under it; at least one sentence.
const SENTENCE_LINES: f64 = 5.0;
/// Tight places told.
const GAPS: usize = 3;
/// Picture: least and greatest height, mm.
const PICTURE: (f64, f64) = (56.0, 90.0);
/// What the line that says where the legs go on may take of it, mm.
const GOES_ON: f64 = 5.0;

/// The first page, laid out.
pub(super) struct Front {
    /// Above the picture.
    pub(super) top: Vec<Row>,
    /// Height of the picture, mm.
    pub(super) picture: f64,
    /// Below it.
    pub(super) bottom: Vec<Row>,
    /// What found no room: the first sections overleaf.
    pub(super) over: Vec<Section>,
    /// First sentence of the verdict that is not on it.
    pub(super) verdict_from: usize,
}

/// "Quillmere: stand 4 to D1, runway 26".
pub(super) fn title(b: &Briefing) -> String {
    let (from, to) = svg::from_to(b);
    format!("{}: {from} to {to}", b.field)
}

/// The caution, smallest type.
pub(super) fn caution(b: &Briefing, width: f64) -> Row {
    let mut row = Row::default();
    row.column((0.0, width), &b.caution, false);
    row.parts.push(Part::Rule((0.0, row.height + 0.4), width, 0.4));
    row.and_gap(1.2)
}

fn facts(b: &Briefing, width: f64) -> Vec<Row> {
    let via = if b.via.is_empty() {
        String::new()
    } else {
        format!(", by way of {}", b.via.join(", "))
    };
    let invented = if b.invented { "; invented airfield" } else { "" };
    let time = b.time.iter().map(|t| format!(" {t}")).collect::<String>();
    let first = format!("{}{via}{invented}; {}{time}", b.aeroplane, b.date);
    let length = match &b.answer {
        Answer::Way(w) => format!(
            "; {}, about {} under way",
            b.units.length(w.length_m, 0),
            number::duration(w.time_s)
        ),
        Answer::NoWay(_) => String::new(),
    };
    let second = format!(
        "wind {}; declination {}{length}",
        b.wind,
        number::declination(b.declination_deg)
    );
    [first, second]
        .iter()
        .flat_map(|t| paragraph("", 0.0, t, false, width))
        .collect()
}

/// A verdict that is seen at arm's length: white on black when the way is not clear, a heavy frame when it is not known.
pub(super) fn banner(text: &str, heavy: f64, dark: bool, width: f64) -> Row {
    let mut row = large(text, VERDICT, width - 4.0, 2);
    for part in &mut row.parts {
        if let Part::Text { at, fill, .. } = part {
            *at = (at.0 + 2.0, at.1 + 1.0);
            *fill = if dark { "#fff" } else { INK };
        }
    }
    row.height += 1.6;
    let inset = heavy / 2.0;
    let frame = Part::Frame(
        (inset, inset),
        (width - heavy, row.height - heavy),
        if dark { "#000" } else { "#fff" },
        heavy,
    );
    row.parts.insert(0, frame);
    row.and_gap(1.0)
}

/// The verdict, and how many of its sentences are told.
fn verdict(told: &WayBriefing, width: f64) -> (Vec<Row>, usize) {
    let mut rows = vec![match told.verdict {
        Verdict::Clear => banner("CLEAR of everything the map shows", 0.4, false, width),
        Verdict::NotClear => banner("NOT CLEAR", 0.4, true, width),
        Verdict::NotKnown => banner("NOT KNOWN: walk it first", 1.4, false, width),
    }];
    let mut used = 0.0;
    let mut count = 0;
    for sentence in &told.verdict_text {
        let said = paragraph("", 0.0, sentence, false, width);
        used += height(&said);
        if count > 0 && used > (SENTENCE_LINES + 0.5) * LINE {
            break;
        }
        rows.extend(said);
        count += 1;
    }
    (rows, count)
}

/// The values of the engine check in few words.
fn check(a: &Aircraft, told: &WayBriefing, units: Units, width: f64) -> Row {
    let c = &a.engine_check;
    let place = match &told.engine_check {
        Some(at) => format!("{} on HI {}", at.area, number::three(at.heading_magnetic_deg)),
        None => "no place for it on this way".to_string(),
    };
    let mut parts = vec![
        format!("{} rpm", c.check_rpm),
        format!(
            "magnetos drop {} at most, {} apart at most, no drop: stop",
            c.magneto_drop_rpm, c.magneto_difference_rpm
        ),
    ];
    if a.engine.carburettor_heat {
        parts.push("carburettor heat a clear drop".to_string());
    }
    parts.push(format!(
        "oil {} to {} C, {} to {} kPa",
        c.oil_least_c, c.oil_most_c, c.oil_pressure_kpa[0], c.oil_pressure_kpa[1]
    ));
    parts.extend(c.suction_kpa.map(|s| format!("suction {} to {} kPa", s[0], s[1])));
    parts.push(format!("idle {} rpm", a.engine.idle_rpm));
    if a.propellers.len() > 1 {
        parts.push("each engine by itself".to_string());
    }
    let mut row = Row::default();
    row.column((0.0, width), &format!("Engine check: {place}"), true);
    let mut values = Row::default();
    let said = units.sentence(&parts.join("; "));
    values.column((0.0, width), &format!("{said}. Manual first."), false);
    row.then(values).and_gap(0.8)
}

fn cautions(told: &WayBriefing, units: Units, width: f64) -> Vec<Row> {
    let mut texts = vec!["Brakes as it begins to move: both, then each side. No firm, even answer: stop.".to_string()];
    texts.extend(told.hot_spots.iter().cloned());
    let tight = gaps::by_name(&told.gaps);
    let said = tight.iter().take(GAPS).map(|g| {
        if g.touches {
            format!("TOUCHES {} with the {}, leg {}", g.obstacle, g.part, g.leg)
        } else {
            format!("{} {} to {}, leg {}", units.gap(g.gap_m), g.part, g.obstacle, g.leg)
        }
    });
    let said: Vec<String> = said.collect();
    if !said.is_empty() {
        texts.push(format!("Tightest: {}.", said.join("; ")));
    }
    let mut rows: Vec<Row> = texts
        .iter()
        .flat_map(|t| paragraph("-", 3.0, t, false, width))
        .collect();
    if let Some(first) = rows.first_mut() {
        let mut heading = Row::default();
        heading.column((0.0, width), "Mind", true);
        *first = heading.then(std::mem::take(first));
    }
    rows
}

fn height(rows: &[Row]) -> f64 {
    rows.iter().map(|r| r.height).sum()
}

/// What the table leaves out, said under it.
fn note(groups: &[Group], told: &WayBriefing, short: bool, units: Units, width: f64) -> Row {
    let merged = groups.len() < told.legs.len();
    let mut text = format!("HI: magnetic. Turns under {:.0}° are left out", merge::TURN_TOLD_DEG);
    if merged {
        text += "; legs of one lane are taken together";
    }
    if short {
        text += &format!(", and pieces under {} with the next", units.length(merge::SHORT_M, 0));
    }
    let mut row = Row::default();
    row.column((0.0, width), &format!("{text}."), false);
    row.and_gap(0.8)
}

/// Lays the first page out in a box of `size`, mm.
pub(super) fn lay(
    plan: &Plan,
    b: &Briefing,
    (way, told): (&Way, &WayBriefing),
    (groups, short): (&[Group], bool),
    (width, most): (f64, f64),
) -> Front {
    let mut top = vec![caution(b, width), large(&title(b), TITLE, width - 24.0, 2)];
    top.extend(facts(b, width));
    let (verdict, verdict_from) = verdict(told, width);
    top.extend(verdict);
    let units = b.units;
    let head = legs::head(told, units, width);
    let note = note(groups, told, short, units, width);
    let check = check(&plan.request.aircraft, told, units, width);
    let mut mind = cautions(told, units, width);
    let mut table = legs::rows(groups, way, told, units, width);

    // Picture, table, check and cautions share what is left; cautions go overleaf before legs do.
    let fixed = height(&top) + head.height + note.height + check.height + 1.5;
    let room = most - fixed - PICTURE.0;
    let mut over = Vec::new();
    let mut kept_mind = mind.len();
    let table_wants = height(&table[..table.len().min(merge::MOST)]);
    while kept_mind > 1 && table_wants + height(&mind[..kept_mind]) > room {
        kept_mind -= 1;
    }
    let later_mind = mind.split_off(kept_mind);
    let for_table = room - height(&mind);
    let mut kept = 0;
    let mut used = 0.0;
    while kept < table.len().min(merge::MOST) && used + table[kept].height <= for_table {
        used += table[kept].height;
        kept += 1;
    }
    let later = table.split_off(kept);
    if let Some(group) = groups.get(kept).filter(|_| !later.is_empty()) {
        let mut more = Row::default();
        more.column(
            (0.0, width),
            &format!("Legs from {} on: overleaf.", group.legs.start + 1),
            true,
        );
        table.push(more.and_gap(0.6));
        over.push(Section {
            title: "Legs, continued".to_string(),
            head: Some(legs::head(told, units, width)),
            rows: later,
        });
    }
    if !later_mind.is_empty() {
        over.push(Section {
            title: "Mind, continued".to_string(),
            head: None,
            rows: later_mind,
        });
    }
    let mut bottom = vec![head];
    bottom.extend(table);
    bottom.extend([note, check]);
    bottom.extend(mind);
    let picture = (most - height(&top) - height(&bottom) - 1.5).clamp(PICTURE.0 - GOES_ON, PICTURE.1);
    Front {
        top,
        picture,
        bottom,
        over,
        verdict_from,
    }
}

/// The one page of an answer that has no way.
pub(super) fn lay_no_way(b: &Briefing, (width, most): (f64, f64)) -> Front {
    let mut top = vec![caution(b, width), large(&title(b), TITLE, width - 24.0, 2)];
    top.extend(facts(b, width));
    top.push(banner("NO WAY", 0.4, true, width));
    let mut bottom = Vec::new();
    if let Answer::NoWay(none) = &b.answer {
        let why = format!("{} cannot be reached from {}.", none.unreachable, none.from);
        top.extend(paragraph("", 0.0, &why, true, width));
        let intro = match (none.blocks.is_empty(), none.fewest) {
            (true, _) => "Nothing that blocks it is on the map: no lane leads on from what can be reached.",
            (_, Some(true)) => "What blocks it, in the order of the way that it would open; no fewer would do:",
            (_, Some(false)) => "What blocks it, in the order of the way that it would open; not proven fewest:",
            (_, None) => "What blocks it:",
        };
        bottom.extend(paragraph("", 0.0, intro, true, width));
        let room = most - height(&top) - PICTURE.0 - 1.5 - 2.0 * LINE;
        for (i, block) in none.blocks.iter().enumerate() {
            let rows = paragraph(&(i + 1).to_string(), 6.0, block, false, width);
            if height(&bottom) + height(&rows) > room {
                let more = format!("and {} more, in the other forms of this plan", none.blocks.len() - i);
                bottom.extend(paragraph("", 6.0, &more, true, width));
                break;
            }
            bottom.extend(rows);
        }
        // What the tower said, where its instruction is what cannot be followed.
        let notes = b.radio.iter().flat_map(|r| r.notes.iter());
        for note in notes {
            let rows = paragraph("-", 6.0, note, false, width);
            if height(&bottom) + height(&rows) <= room {
                bottom.extend(rows);
            }
        }
    }
    let picture = (most - height(&top) - height(&bottom) - 1.5).clamp(PICTURE.0 - GOES_ON, PICTURE.1 + 30.0);
    Front {
        top,
        picture,
        bottom,
        over: Vec::new(),
        verdict_from: 0,
    }
}

/// "page 2 of 4", at the right end of a line whose top is at `y`.
pub(super) fn page_number(page: usize, of: usize, width: f64) -> Part {
    Part::Text {
        at: (width, foot(TYPE)),
        text: format!("page {page} of {of}"),
        size: TYPE,
        bold: false,
        fill: INK,
        anchor: "end",
    }
}
