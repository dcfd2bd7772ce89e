//! Everything on the page that is a list or a small table: stops, engine check, running list, checks, gaps, radio, notices.

use super::legs::sentence;
use super::way;
use crate::briefing::{Briefing, EngineCheckBriefing, RadioBriefing, Units, WayBriefing, gaps, number, verdict};
use crate::drawing::sheet::escape;
use crate::notices::{Shown, Status};
use crate::planning::Way;
use std::fmt::Write as _;

/// Gaps told on the page; the rest is counted.
const GAPS_TOLD: usize = 40;
/// Sentences of a long list that are seen at once, and those that are on the page at all.
const SEEN: usize = 12;
const TOLD: usize = 200;

/// A list of sentences; what is beyond a dozen is folded away.
pub(super) fn list(out: &mut String, lines: &[String]) {
    let items = |out: &mut String, part: &[String]| {
        out.push_str("<ul>\n");
        for line in part {
            let _ = writeln!(out, "<li>{}</li>", escape(line));
        }
        out.push_str("</ul>\n");
    };
    if lines.is_empty() {
        return;
    }
    items(out, &lines[..lines.len().min(SEEN)]);
    if lines.len() > SEEN {
        let part = &lines[SEEN..lines.len().min(TOLD)];
        let _ = writeln!(out, "<details><summary>and {} more</summary>", lines.len() - SEEN);
        items(out, part);
        if lines.len() > TOLD {
            let _ = writeln!(out, "<p>and {} more, all in the JSON form</p>", lines.len() - TOLD);
        }
        out.push_str("</details>\n");
    }
}

/// Notices laid over the field, each with its text and what became of it.
pub(super) fn notams(out: &mut String, list: &[Shown]) {
    let items = |out: &mut String, part: &[Shown]| {
        out.push_str("<ul>\n");
        for n in part {
            let told = n.sentences();
            let (text, rest) = told.split_first().map_or(("", &[][..]), |(f, r)| (f.as_str(), r));
            let rest: Vec<String> = rest.iter().map(|t| sentence(t)).collect();
            let decides = n.counts && n.status != Status::Placed;
            let (open, close) = if decides { ("<b>", "</b>") } else { ("", "") };
            let _ = writeln!(
                out,
                "<li>{}<br>{open}{}{close} {}</li>",
                escape(text),
                escape(rest.first().map_or("", String::as_str)),
                escape(&rest.iter().skip(1).map(String::as_str).collect::<Vec<_>>().join(" "))
            );
        }
        out.push_str("</ul>\n");
    };
    items(out, &list[..list.len().min(SEEN)]);
    if list.len() > SEEN {
        let _ = writeln!(out, "<details><summary>and {} more</summary>", list.len() - SEEN);
        items(out, &list[SEEN..list.len().min(TOLD)]);
        if list.len() > TOLD {
            let _ = writeln!(out, "<p>and {} more, all in the JSON form</p>", list.len() - TOLD);
        }
        out.push_str("</details>\n");
    }
}

/// Heading of a column of ways.
fn at(units: Units) -> String {
    format!("At {}", units.length_unit())
}

fn head(out: &mut String, columns: &[(&str, &str)]) {
    out.push_str("<thead><tr>");
    for (class, text) in columns {
        let _ = write!(out, "<th scope=\"col\" class=\"{class}\">{text}</th>");
    }
    out.push_str("</tr></thead>\n<tbody>\n");
}

/// Stops with who may pass.
pub(super) fn stops(out: &mut String, told: &WayBriefing, units: Units) {
    let at = at(units);
    let _ = writeln!(out, "<p><b>Brake check:</b> {}</p>", escape(&told.brake_check));
    out.push_str("<div class=\"wide\"><table>");
    head(
        out,
        &[
            ("", "Stop"),
            ("n", at.as_str()),
            ("n", "Leg"),
            ("n", "HI"),
            ("", "What to do there"),
        ],
    );
    for (i, s) in told.stops.iter().enumerate() {
        let who = s
            .who_may_pass
            .as_ref()
            .map(|w| format!("<br><b>Who may pass:</b> {}", escape(&sentence(w))))
            .unwrap_or_default();
        let _ = writeln!(
            out,
            "<tr id=\"stop-{i}\" data-i=\"s{i}\"><th scope=\"row\"><a href=\"#ms{i}\">{}</a></th><td class=\"n\">{}</td><td class=\"n\">{}</td>\
             <td class=\"n\">{}</td><td>{}{who}</td></tr>",
            escape(&s.name),
            units.bare(s.at_m, 0),
            s.leg,
            number::three(s.heading_magnetic_deg),
            escape(&s.say)
        );
    }
    out.push_str("</tbody></table></div>\n");
}

/// Tightest gaps.
pub(super) fn gaps(out: &mut String, planned: &Way, told: &WayBriefing, units: Units) {
    let (at, gap) = (at(units), format!("Gap {}", units.length_unit()));
    if told.gaps.is_empty() {
        out.push_str("<p>Nothing the map shows comes near.</p>\n");
        return;
    }
    let letters = way::lettered(planned, told);
    out.push_str(
        "<div class=\"wide\"><table><caption>Rounded down to a tenth. Letters stand on the map and the curve.</caption>",
    );
    head(
        out,
        &[
            ("", "Mark"),
            ("n", gap.as_str()),
            ("", "Part to what"),
            ("n", "Leg"),
            ("n", at.as_str()),
            ("", "Verdict"),
        ],
    );
    let by_name = gaps::by_name(&told.gaps);
    for (i, g) in by_name.iter().take(GAPS_TOLD).enumerate() {
        let touches = if g.touches { ", TOUCHES" } else { "" };
        let sure = if g.sure { "" } else { ", place or shape not sure" };
        let (row, mark) = match letters.get(i) {
            Some((c, _, _)) => (
                format!(" id=\"gap-{c}\" data-i=\"g{c}\""),
                format!("<a href=\"#mg{c}\">{c}</a>"),
            ),
            None => (String::new(), "\u{2013}".to_string()),
        };
        let _ = writeln!(
            out,
            "<tr{row}><th scope=\"row\">{mark}</th><td class=\"n\">{}</td><td>{} to {}</td><td class=\"n\">{}</td><td class=\"n\">{}</td>\
             <td>{}{touches}{sure}</td></tr>",
            units.bare_gap(g.gap_m),
            escape(&g.part),
            escape(&g.obstacle),
            g.leg,
            units.bare(g.at_m, 0),
            verdict::word(g.verdict)
        );
    }
    out.push_str("</tbody></table></div>\n");
    if by_name.len() > GAPS_TOLD {
        let _ = writeln!(
            out,
            "<p>and {} wider ones, all in the JSON form</p>",
            by_name.len() - GAPS_TOLD
        );
    }
}

/// Engine check: how to stand, and the aeroplane's values.
pub(super) fn engine_check(out: &mut String, c: &EngineCheckBriefing) {
    let off = match c.off_wind_deg {
        Some(off) => format!("{off:.0} degrees off the wind"),
        None => "heading free".to_string(),
    };
    let _ = writeln!(
        out,
        "<p><b>In {}: nose on HI {}</b> ({} true), {off}. {}</p>\n<p>{}</p>",
        escape(&c.area),
        number::three(c.heading_magnetic_deg),
        number::three(c.heading_true_deg),
        escape(&c.why),
        escape(&c.blast)
    );
    if let Some(controls) = &c.controls {
        let _ = writeln!(out, "<p>{}</p>", escape(controls));
    }
    list(out, &c.limits.iter().map(|l| sentence(l)).collect::<Vec<_>>());
    out.push_str("<p class=\"small\">Figures from the aeroplane's file; its flight manual comes first.</p>\n");
    if !c.others.is_empty() {
        out.push_str("<h3>Or else</h3>\n");
        list(out, &c.others.iter().map(|l| sentence(l)).collect::<Vec<_>>());
    }
}

/// What to do in order, with boxes to tick.
pub(super) fn running(out: &mut String, told: &WayBriefing, units: Units) {
    out.push_str("<p class=\"small\">Ticks stay on this page only and are gone when it is closed.</p>\n");
    for stage in &told.running {
        let at = stage
            .at_m
            .map(|m| format!(", {}", units.length(m, 0)))
            .unwrap_or_default();
        let _ = writeln!(out, "<h3>{}{at}</h3>\n<ul class=\"ticks\">", escape(&stage.title));
        for item in &stage.items {
            let to_be = item
                .to_be
                .as_ref()
                .map(|t| format!(" <b>{}</b>", escape(t)))
                .unwrap_or_default();
            let _ = writeln!(
                out,
                "<li><label><input type=\"checkbox\"> <span>{}{to_be}</span></label></li>",
                escape(&item.what)
            );
        }
        out.push_str("</ul>\n");
    }
}

/// Where brakes and instruments are checked.
pub(super) fn check_places(out: &mut String, told: &WayBriefing, units: Units) {
    let at = at(units);
    out.push_str("<div class=\"wide\"><table>");
    head(
        out,
        &[("", "Check"), ("n", at.as_str()), ("n", "Leg"), ("", "What to look at")],
    );
    for p in &told.check_places {
        let what = p.kind.word();
        let _ = writeln!(
            out,
            "<tr><th scope=\"row\">{what}</th><td class=\"n\">{}</td><td class=\"n\">{}</td><td>{}</td></tr>",
            units.bare(p.at_m, 0),
            p.leg,
            escape(&sentence(&p.say))
        );
    }
    out.push_str("</tbody></table></div>\n");
    for missing in &told.no_check_place {
        let _ = writeln!(out, "<p>{}</p>", escape(missing));
    }
}

/// What is said on the radio.
pub(super) fn radio(out: &mut String, r: &RadioBriefing) {
    out.push_str(
        "<p class=\"small\">The words of the tower come first; (callsign) is your own.</p>\n<dl class=\"said\">\n",
    );
    let read_as = if r.given.is_some() {
        "Read as"
    } else {
        "Instruction for this way"
    };
    let runway_first = r.runway_first.as_ref().filter(|t| Some(*t) != r.instruction.as_ref());
    let must = (!r.must.is_empty()).then(|| r.must.join("; "));
    for (title, text) in [
        ("Instruction given", r.given.as_ref()),
        (read_as, r.instruction.as_ref()),
        ("Runway first", runway_first),
        ("Read back", r.read_back.as_ref()),
        ("Spoken", r.spoken.as_ref()),
        ("Must be read back", must.as_ref()),
        ("Compared", r.compared.as_ref()),
    ] {
        if let Some(text) = text {
            let _ = writeln!(out, "<dt>{title}</dt><dd>{}</dd>", escape(text));
        }
    }
    out.push_str("</dl>\n");
    list(out, &r.later);
    list(out, &r.notes);
    if !r.without_tower.is_empty() {
        out.push_str("<h3>Without a tower, announce</h3>\n");
        list(out, &r.without_tower);
    }
}

/// Other ways, cheapest first.
pub(super) fn others(out: &mut String, told: &Briefing) {
    let line = |o: &crate::briefing::OtherBriefing| {
        format!(
            "{}, {}: {}; {}",
            verdict::word(o.verdict),
            told.units.length(o.length_m, 0),
            o.legs.join(", "),
            o.words
        )
    };
    list(out, &told.others.iter().map(line).collect::<Vec<_>>());
}
