//! The answers as one self-contained HTML page: tables that read without colour, notes, and the pictures.

use super::rows::{self, Notes};
use super::{Cell, Fit, Fits, Largest, Reason};
use crate::briefing::CAUTION;
use crate::clean;
use crate::drawing::sheet::escape;
use std::fmt::Write as _;

const STYLE: &str = "\
body{font:16px/1.45 'Liberation Sans',Arial,Helvetica,'DejaVu Sans',sans-serif;color:#111;background:#fff;margin:0 auto;\
max-width:1180px;padding:12px}\
h1{font-size:1.5em;margin:.3em 0}h2{font-size:1.2em;margin:1.6em 0 .4em;border-top:2px solid #222;padding-top:.5em}\
.said{font-weight:700}.wide{overflow-x:auto;margin:.6em 0}\
table{border-collapse:collapse}caption{text-align:left;font-weight:700;padding:.2em 0}\
th,td{border:1px solid #777;padding:.25em .5em;text-align:left;vertical-align:top}\
thead th{background:#eceae4}td.a{text-align:center;white-space:nowrap}\
td.yes{background:#e4f0e0}td.unknown{background:#fff3c9;border-style:dashed}\
td.no{background:#333;color:#fff;font-weight:700}td.no a{color:#fff}\
td.m{white-space:nowrap}li{overflow-wrap:anywhere}td,th{overflow-wrap:break-word}\
.picture svg{width:100%;min-width:760px;height:auto;display:block}\
@media(max-width:700px){td.m{white-space:normal}}\
@media print{.wide{overflow:visible}.picture svg{min-width:0}h2{break-before:page}}";

/// Writes the answers as one HTML page.
pub fn html(fit: &Fit) -> String {
    let title = escape(&format!("Who fits where: {}", rows::title(fit)));
    let mut out = String::new();
    let _ = write!(
        out,
        "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n<meta name=\"viewport\" \
         content=\"width=device-width, initial-scale=1\">\n<title>{title}</title>\n<style>{STYLE}</style>\n</head>\n<body>\n\
         <h1>{title}</h1>\n<p class=\"said\">{}</p>\n<ul>\n",
        escape(&rows::summary(fit))
    );
    for n in &fit.notams {
        let _ = writeln!(out, "<li>{}</li>", escape(&n.line()));
    }
    for sentence in rows::basis(fit) {
        let _ = writeln!(out, "<li>{}</li>", escape(&sentence));
    }
    out.push_str(
        "</ul>\n<p><b>yes</b>: fits; <b>?</b>: not known; <b>NO</b>: does not fit; the number is that of the note under \
         the table.</p>\n",
    );
    for (a, aircraft) in fit.asked.aircraft.iter().enumerate() {
        let heading = format!(
            "{}: {}, span {} m",
            clean::name(&aircraft.id),
            clean::name(&aircraft.name),
            aircraft.wing.span_m
        );
        let _ = writeln!(out, "<h2>{}</h2>", escape(&heading));
        table(&mut out, fit, a);
        spans(&mut out, fit, a);
        let _ = writeln!(out, "<div class=\"wide picture\">\n{}</div>", super::picture(fit, a));
    }
    let _ = write!(out, "<p class=\"said\">{}</p>\n</body>\n</html>\n", escape(CAUTION));
    out
}

fn table(out: &mut String, fit: &Fit, aircraft: usize) {
    if fit.runways.is_empty() || fit.stands.is_empty() {
        return;
    }
    let notes = Notes::new(fit, aircraft);
    out.push_str(
        "<div class=\"wide\"><table>\n<caption>Stand to runway</caption>\n<thead><tr><th scope=\"col\">Stand</th>",
    );
    for r in &fit.runways {
        let _ = write!(out, "<th scope=\"col\">{}</th>", escape(&clean::name(r)));
    }
    out.push_str("</tr></thead>\n<tbody>\n");
    for (s, stand) in fit.stands.iter().enumerate() {
        let _ = write!(out, "<tr><th scope=\"row\">{}</th>", escape(&clean::name(&stand.name)));
        for c in rows::row(fit, aircraft, s) {
            cell(out, aircraft, c, &notes);
        }
        out.push_str("</tr>\n");
    }
    out.push_str("</tbody>\n</table></div>\n");
    if !notes.texts().is_empty() {
        out.push_str("<ol>\n");
        for (i, note) in notes.texts().iter().enumerate() {
            let _ = writeln!(out, "<li id=\"note-{aircraft}-{}\">{}</li>", i + 1, escape(note));
        }
        out.push_str("</ol>\n");
    }
}

fn cell(out: &mut String, aircraft: usize, c: &Cell, notes: &Notes<'_>) {
    let (class, word) = match c.fits {
        Fits::Fits => ("yes", "yes"),
        Fits::NotKnown => ("unknown", "?"),
        Fits::DoesNot => ("no", "NO"),
    };
    let note = notes
        .number(c)
        .map_or(String::new(), |n| format!(" <a href=\"#note-{aircraft}-{n}\">{n}</a>"));
    let _ = write!(out, "<td class=\"a {class}\">{word}{note}</td>");
}

fn spans(out: &mut String, fit: &Fit, aircraft: usize) {
    let spans = &fit.spans[aircraft];
    if spans.stands.is_empty() && spans.segments.is_empty() {
        return;
    }
    out.push_str(
        "<div class=\"wide\"><table>\n<caption>Largest span</caption>\n<thead><tr><th scope=\"col\">Where</th><th \
         scope=\"col\">Largest span</th><th scope=\"col\">What the next centimetre meets</th></tr></thead>\n<tbody>\n",
    );
    let mut row = |name: &str, l: &Result<Largest, Reason>| {
        let _ = writeln!(
            out,
            "<tr><th scope=\"row\">{}</th><td class=\"m\">{}</td><td>{}</td></tr>",
            escape(name),
            escape(&rows::span_words(l)),
            escape(rows::span_why(l))
        );
    };
    for s in &spans.stands {
        row(&clean::name(&fit.stands[s.stand].name), &s.largest);
    }
    for lane in rows::lanes(&spans.segments) {
        let of = if lane.pieces > 1 {
            format!(", narrowest of {} pieces", lane.pieces)
        } else {
            String::new()
        };
        row(&format!("{}{of}", lane.name), &lane.narrowest.largest);
    }
    out.push_str("</tbody>\n</table></div>\n");
}
