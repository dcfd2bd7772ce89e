//! The briefing as one self-contained page: nothing is fetched. Text, map and curve are there without scripts; the script
//! moves and zooms the map and lights up on map, curve and tables what is pointed at.

mod curve;
mod ground;
mod legs;
mod lists;
mod map;
mod names;
mod place;
mod trace;
mod way;

use super::{Answer, Briefing, NoWayBriefing, Units, WayBriefing, number, svg};
use crate::drawing::sheet::escape;
use crate::planning::{Outcome, Plan, Way};
use std::fmt::Write as _;

/// Writes a plan as an HTML page.
pub fn page(plan: &Plan, briefing: &Briefing) -> String {
    let title = escape(&svg::title(briefing));
    // Nothing is fetched, and the browser is told so: whatever a name in a map file may hold, no request leaves the page.
    let mut out = format!(
        "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n<meta name=\"viewport\" content=\"width=device-width, \
         initial-scale=1\">\n<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; style-src 'unsafe-inline'; \
         script-src 'unsafe-inline'; base-uri 'none'; form-action 'none'\">\n<meta name=\"color-scheme\" content=\"light\">\n<title>{title}</title>\n<style>{}</style>\n</head>\n<body>\n",
        include_str!("page.css")
    );
    let _ = writeln!(
        out,
        "<header><p class=\"caution\"><b>Caution.</b> {}</p>\n<h1>{title}</h1>",
        escape(&briefing.caution)
    );
    facts(&mut out, briefing);
    out.push_str("</header>\n");
    answer(&mut out, briefing);
    let sections = sections(plan, briefing);
    out.push_str("<nav aria-label=\"On this page\"><a href=\"#h-map\">Map</a>");
    for s in &sections {
        let _ = write!(out, " <a href=\"#h-{}\">{}</a>", s.id, s.title);
    }
    out.push_str("</nav>\n<main>\n<section class=\"seen\" aria-labelledby=\"h-map\"><h2 id=\"h-map\">Map</h2>\n");
    map::map(&mut out, plan, briefing, print_mm(briefing));
    if let Some(credit) = &briefing.attribution {
        let _ = writeln!(out, "<p class=\"small credit\">Map data: {}</p>", escape(credit));
    }
    let way = match (&plan.outcome, &briefing.answer) {
        (Outcome::Way(planned), Answer::Way(told)) => Some((planned.as_ref(), told.as_ref())),
        _ => None,
    };
    out.push_str("<div id=\"reading\" class=\"reading\" hidden></div>\n");
    if let Some((planned, told)) = way {
        curve::curve(&mut out, planned, told, briefing.units);
    }
    map::key(&mut out, way.is_some());
    out.push_str(map::HINT);
    out.push_str("</section>\n<div class=\"told\">\n");
    for s in &sections {
        let _ = writeln!(
            out,
            "<section class=\"{id}\" aria-labelledby=\"h-{id}\"><h2 id=\"h-{id}\">{}</h2>\n{}</section>",
            s.title,
            s.body,
            id = s.id
        );
    }
    let _ = writeln!(
        out,
        "</div>\n</main>\n<footer><p>{}</p></footer>\n<script>{}</script>\n</body>\n</html>",
        escape(&briefing.caution),
        include_str!("page.js")
    );
    out
}

/// Adds a section by its id and title; what it writes is its body.
type Adding<'a> = dyn FnMut(&'static str, &str, &dyn Fn(&mut String)) + 'a;

/// A section of the page.
struct Section {
    id: &'static str,
    title: String,
    body: String,
}

/// Every section that has something to say, in order.
fn sections(plan: &Plan, b: &Briefing) -> Vec<Section> {
    let mut all: Vec<Section> = Vec::new();
    let mut add = |id: &'static str, title: &str, write: &dyn Fn(&mut String)| {
        let mut body = String::new();
        write(&mut body);
        if !body.is_empty() {
            all.push(Section {
                id,
                title: title.to_string(),
                body,
            });
        }
    };
    if !b.notams.is_empty() {
        add("notams", &format!("Notices ({})", b.notams.len()), &|out| {
            lists::notams(out, &b.notams)
        });
    }
    match (&plan.outcome, &b.answer) {
        (Outcome::Way(planned), Answer::Way(told)) => of_way(planned, told, b.units, &mut add),
        (_, Answer::NoWay(none)) => add("blocks", "What blocks it", &|out| blocks(out, none)),
        _ => {}
    }
    if let Some(r) = b
        .radio
        .as_ref()
        .filter(|r| r.given.is_some() || r.instruction.is_some())
    {
        add("radio", "Radio", &|out| lists::radio(out, r));
    }
    if !b.others.is_empty() {
        add("others", "Other ways, cheapest first", &|out| lists::others(out, b));
    }
    add("map-doubts", "Doubts about the map", &|out| lists::list(out, &b.doubts));
    add("left-out", "Left out of the map", &|out| lists::list(out, &b.left_out));
    add("repairs", "Repairs to the map", &|out| lists::list(out, &b.repairs));
    all
}

fn of_way(planned: &Way, told: &WayBriefing, units: Units, add: &mut Adding<'_>) {
    add("legs", "Legs", &|out| legs::table(out, told, units));
    add("by-leg", "Leg by leg", &|out| legs::in_words(out, told, units));
    add("stops", "Stops", &|out| lists::stops(out, told, units));
    if let Some(check) = &told.engine_check {
        add("check", "Engine check", &|out| lists::engine_check(out, check));
    }
    if !told.running.is_empty() {
        add("running", "Running list", &|out| lists::running(out, told, units));
    }
    if !told.check_places.is_empty() {
        add("places", "Brake and instrument checks", &|out| {
            lists::check_places(out, told, units)
        });
    }
    add("gaps", "Tightest gaps", &|out| lists::gaps(out, planned, told, units));
    add("odds", "Wobble odds", &|out| lists::list(out, &told.odds));
    add("hot", "Hot spots", &|out| lists::list(out, &sentences(&told.hot_spots)));
    add("lacks", "What the map lacks", &|out| {
        lists::list(out, &sentences(&told.lacks))
    });
    add("doubts", "Doubts about the way", &|out| {
        lists::list(out, &sentences(&told.doubts))
    });
    add("around", "Closures gone around", &|out| {
        lists::list(out, &sentences(&told.gone_around))
    });
    add("given-up", "Ways given up", &|out| {
        lists::list(out, &sentences(&told.given_up))
    });
    add("rows", "Published design rows", &|out| {
        out.push_str("<p class=\"small\">They size new pavement and stand here for comparison.</p>\n");
        lists::list(out, &told.design_rows);
    });
}

fn sentences(list: &[String]) -> Vec<String> {
    list.iter().map(|s| legs::sentence(s)).collect()
}

fn facts(out: &mut String, b: &Briefing) {
    let mut rows = vec![("Aeroplane", b.aeroplane.clone()), ("Wind", b.wind.clone())];
    if let Answer::Way(w) = &b.answer {
        let way = format!(
            "{}, about {} under way without stops",
            b.units.length(w.length_m, 0),
            number::duration(w.time_s)
        );
        rows.push(("Way", way));
    }
    let declination = format!(
        "{}{}, declination {} ({})",
        b.date,
        b.time.as_ref().map(|t| format!(", {t}")).unwrap_or_default(),
        number::declination(b.declination_deg),
        b.declination_from
    );
    rows.push(("Day", declination));
    rows.push(("Compass", b.compass_from.clone()));
    if b.invented {
        rows.push(("Airfield", "invented".to_string()));
    }
    out.push_str("<dl class=\"facts\">");
    for (name, value) in rows.iter().filter(|(_, v)| !v.is_empty()) {
        let _ = write!(out, "<div><dt>{name}</dt><dd>{}</dd></div>", escape(value));
    }
    out.push_str("</dl>\n");
}

/// The answer in words: the summary set off, what decides it below.
fn answer(out: &mut String, b: &Briefing) {
    out.push_str("<section class=\"answer\" aria-labelledby=\"h-answer\"><h2 id=\"h-answer\">Answer</h2>\n");
    match &b.answer {
        Answer::Way(w) => {
            let (first, rest) = w
                .verdict_text
                .split_first()
                .map_or(("", &[][..]), |(f, r)| (f.as_str(), r));
            let _ = writeln!(out, "<p class=\"verdict\">{}</p>", escape(first));
            lists::list(out, rest);
            let _ = writeln!(
                out,
                "<p class=\"small\">Margins: {} beside, {} above and below; map accuracy {} ({}).</p>",
                b.units.length(w.margin_m, 1),
                b.units.length(w.vertical_margin_m, 1),
                b.units.length(w.accuracy_m, 1),
                escape(&w.accuracy_from)
            );
            if !w.remedies.is_empty() {
                out.push_str("<h3>What would make it clear</h3>\n");
                lists::list(out, &sentences(&w.remedies));
            }
        }
        Answer::NoWay(n) => {
            let _ = writeln!(
                out,
                "<p class=\"verdict\">NO WAY: {} cannot be reached from {}.</p>",
                escape(&n.unreachable),
                escape(&n.from)
            );
        }
    }
    out.push_str("</section>\n");
}

fn blocks(out: &mut String, n: &NoWayBriefing) {
    if n.blocks.is_empty() {
        out.push_str("<p>Nothing that blocks it is on the map: no lane leads on from what can be reached.</p>\n");
        return;
    }
    let said = match n.fewest {
        Some(true) => "In the order of the way that it would open; no fewer would do.",
        Some(false) => "In the order of the way that it would open; not proven fewest.",
        None => "",
    };
    let _ = writeln!(out, "<p>{said}</p>\n<ol>");
    for (i, text) in n.blocks.iter().enumerate() {
        let k = i + 1;
        let _ = writeln!(
            out,
            "<li id=\"block-{k}\" data-i=\"b{k}\"><a href=\"#mb{k}\">{}</a></li>",
            escape(&legs::sentence(text))
        );
    }
    out.push_str("</ol>\n");
}

/// Height that is left for the map on the first sheet of a print, mm: what stands above and below it is reckoned in lines
/// (ours; the test prints it).
fn print_mm(b: &Briefing) -> f64 {
    let lines = |text: &str| (text.chars().count() as f64 / 105.0).ceil();
    let Answer::Way(w) = &b.answer else { return 130.0 };
    let answer: f64 = w.verdict_text.iter().take(12).map(|t| lines(t)).sum();
    let legs: f64 = w
        .legs
        .iter()
        .map(|l| (l.name.chars().count() as f64 / 26.0).ceil())
        .sum();
    let title = (svg::title(b).chars().count() as f64 / 62.0).ceil();
    let credit = b.attribution.as_deref().map_or(0.0, |t| lines(t) + 0.3);
    (277.0 - 157.0 - 5.5 * title - 4.8 * answer - 4.7 * legs - 4.0 * credit).clamp(60.0, 125.0)
}
