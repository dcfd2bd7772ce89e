//! The picture of one aeroplane's largest spans: every lane and stand in a class of span, by colour and by hatching, so
//! that it reads without colour too; the figures beside them where there is room. True north up.

use super::rows;
use super::{Fit, Largest, Reason, SegmentSpan};
use crate::briefing::CAUTION;
use crate::clean;
use crate::drawing::labels::{Labels, Name};
use crate::drawing::sheet::{Sheet, Type, area, bold, escape, fitted, plain, stroke, stroke_with, text_width};
use crate::drawing::view::{Rect, View};
use crate::drawing::{field, names, scale, typeface};

/// The sheet, mm: A4 across with the margins that any printer leaves.
const PAGE: (f64, f64) = (277.0, 190.0);
/// From this many segments the sheet is drawn twice as wide and high (ours).
const MANY: usize = 250;
/// Height above the map, mm.
const HEAD: f64 = 19.0;
/// Height of the key under the map, mm.
const KEY: f64 = 15.0;
/// Height of the caution at the foot, mm.
const FOOT: f64 = 7.0;
/// Width of a lane's band, mm.
const BAND: f64 = 2.2;
/// Radius of a stand's disc, mm.
const DISC: f64 = 1.7;

/// A class of span: from this many metres on (ours), its colour, and its hatching on a square of [`TILE`] mm.
struct Class {
    from_m: f64,
    words: &'static str,
    colour: &'static str,
    ink: &'static str,
    /// Path of the hatching; empty for none.
    hatch: &'static str,
    width: f64,
}

/// Side of the square that a hatching repeats on, mm.
const TILE: f64 = 1.2;

/// Narrow is dark and wide is light, so that a grey print keeps the order; each hatching runs its own way.
const CLASSES: [Class; 7] = [
    Class {
        from_m: 0.0,
        words: "below 8 m",
        colour: "#2b1b3d",
        ink: "#fff",
        hatch: "M0 0L1.2 1.2M0 1.2L1.2 0",
        width: 0.22,
    },
    Class {
        from_m: 8.0,
        words: "8 to 10 m",
        colour: "#4a3a86",
        ink: "#fff",
        hatch: "M0 1.2L1.2 0M-0.3 0.3L0.3 -0.3M0.9 1.5L1.5 0.9",
        width: 0.3,
    },
    Class {
        from_m: 10.0,
        words: "10 to 12 m",
        colour: "#3f6d9e",
        ink: "#fff",
        hatch: "M0 0L1.2 1.2M-0.3 0.9L0.3 1.5M0.9 -0.3L1.5 0.3",
        width: 0.22,
    },
    Class {
        from_m: 12.0,
        words: "12 to 15 m",
        colour: "#57a89b",
        ink: "#111",
        hatch: "M0.6 0L0.6 1.2",
        width: 0.3,
    },
    Class {
        from_m: 15.0,
        words: "15 to 18 m",
        colour: "#97c973",
        ink: "#111",
        hatch: "M0 0.6L1.2 0.6",
        width: 0.25,
    },
    Class {
        from_m: 18.0,
        words: "18 to 24 m",
        colour: "#dcdc62",
        ink: "#111",
        hatch: "M0.35 0.6L0.85 0.6",
        width: 0.4,
    },
    Class {
        from_m: 24.0,
        words: "24 m and more",
        colour: "#fdf7cf",
        ink: "#111",
        hatch: "",
        width: 0.0,
    },
];

/// How a largest span is drawn.
enum Look {
    /// In a class.
    Class(usize),
    /// No span fits for sure.
    None,
    /// Closed, or no matter of span.
    NotUsable,
}

fn look(l: &Result<Largest, Reason>) -> Look {
    match l {
        Err(_) => Look::NotUsable,
        Ok(l) => match l.fits_m {
            None => Look::None,
            // The first class begins at 0, so there is always one.
            Some(m) => Look::Class(CLASSES.iter().rposition(|c| m >= c.from_m).unwrap_or(0)),
        },
    }
}

fn paint(aircraft: usize, class: usize) -> String {
    if CLASSES[class].hatch.is_empty() {
        CLASSES[class].colour.to_string()
    } else {
        format!("url(#span-{aircraft}-{class})")
    }
}

/// Draws the largest spans for aeroplanes otherwise like one of those asked for, as an SVG document. Its ids hold the
/// number of the aeroplane, so that several may stand in one page.
pub fn picture(fit: &Fit, aircraft: usize) -> String {
    let spans = &fit.spans[aircraft];
    let times = if spans.segments.len() < MANY { 1.0 } else { 2.0 };
    let (width, height) = (PAGE.0 * times, PAGE.1 * times);
    let map = Rect {
        x: 1.0,
        y: HEAD,
        width: width - 2.0,
        height: height - HEAD - KEY - FOOT,
    };
    let view = View::of(field::places(&fit.field), 30.0, map);
    let mut labels = Labels::new(map);
    for s in &spans.segments {
        for (spot, _) in view.along(&s.line, BAND) {
            labels.keep_off(spot, BAND);
        }
    }
    let mut figures = Sheet::default();
    figure_labels(&mut figures, &view, fit, aircraft, &mut labels);
    let mut named = Sheet::default();
    names::draw(&mut named, &view, &fit.field, None, &mut labels);

    let mut sheet = Sheet::default();
    sheet.raw(&format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{width}mm\" height=\"{height}mm\" viewBox=\"0 0 {width} {height}\" \
         role=\"img\" font-family=\"{}\">",
        typeface::FAMILIES
    ));
    let title = heading_text(fit, aircraft);
    sheet.raw(&format!("<title>{}</title>", escape(&title)));
    sheet.raw(&format!(
        "<clipPath id=\"map-{aircraft}\"><rect x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\"/></clipPath>",
        map.x, map.y, map.width, map.height
    ));
    for (k, c) in CLASSES.iter().enumerate().filter(|(_, c)| !c.hatch.is_empty()) {
        sheet.raw(&format!(
            "<pattern id=\"span-{aircraft}-{k}\" width=\"{TILE}\" height=\"{TILE}\" patternUnits=\"userSpaceOnUse\"><rect \
             width=\"{TILE}\" height=\"{TILE}\" fill=\"{}\"/><path d=\"{}\" stroke=\"{}\" stroke-width=\"{}\" fill=\"none\"/></pattern>",
            c.colour, c.hatch, c.ink, c.width
        ));
    }
    sheet.frame((0.0, 0.0), width, height, &area("#fff", "none", 0.0));
    let room = width - 4.0;
    sheet.text((2.0, 5.4), &bold(4.4), &fitted(&title, 4.4, true, room));
    let a = &fit.asked.aircraft[aircraft];
    let facts = format!(
        "for an aeroplane otherwise like {} (its own span is {} m): {} m beside every part, map accurate to {} m, other \
         stands occupied",
        clean::name(&a.name),
        a.wing.span_m,
        fit.asked.margin_m,
        fit.accuracy_m
    );
    sheet.text((2.0, 10.6), &plain(2.9), &fitted(&facts, 2.9, false, room));
    let rule = "Lanes: piece by piece, driven from end to end. Discs: standing on the stand and leaving it. Turns from \
                lane to lane are in the table, not here.";
    sheet.text((2.0, 16.0), &plain(2.9), &fitted(rule, 2.9, false, room));
    sheet.raw(&format!("<g clip-path=\"url(#map-{aircraft})\">"));
    field::draw(&mut sheet, &view, &fit.field);
    bands(&mut sheet, &view, fit, aircraft);
    sheet.raw("</g>");
    sheet.raw(&named.finish());
    sheet.raw(&figures.finish());
    sheet.frame((map.x, map.y), map.width, map.height, &stroke("#222", 0.4));
    key(&mut sheet, &view, aircraft, map.y + map.height);
    sheet.credit((map.x, height - 5.0), fit.field.attribution.as_deref(), map.width);
    let caution = Type {
        anchor: "middle",
        ..bold(2.5)
    };
    sheet.text(
        (width / 2.0, height - 2.4),
        &caution,
        &fitted(CAUTION, 2.5, false, room),
    );
    sheet.raw("</svg>");
    sheet.finish()
}

fn heading_text(fit: &Fit, aircraft: usize) -> String {
    let id = clean::name(&fit.asked.aircraft[aircraft].id);
    format!("{}: largest spans, as {id}", rows::title(fit))
}

fn bands(sheet: &mut Sheet, view: &View, fit: &Fit, aircraft: usize) {
    let spans = &fit.spans[aircraft];
    // The narrow ones last, so that where bands meet the tight one is seen.
    let mut order: Vec<&SegmentSpan> = spans.segments.iter().filter(|s| view.shows(&s.line)).collect();
    let width_cm = |s: &&SegmentSpan| match &s.largest {
        Ok(l) => -(l.fits_m.unwrap_or(0.0) * 100.0) as i64,
        Err(_) => i64::MIN,
    };
    order.sort_by_key(width_cm);
    let round = "stroke-linejoin=\"round\"";
    for s in order {
        let spots = view.spots(&s.line);
        match look(&s.largest) {
            Look::NotUsable => sheet.line(&spots, &stroke_with("#111", 0.5, "stroke-dasharray=\"0.6 1.4\"")),
            Look::None => {
                sheet.line(&spots, &stroke_with("#111", BAND + 0.4, round));
                sheet.line(&spots, &stroke_with("#fff", BAND, round));
                sheet.line(&spots, &stroke_with("#111", 0.6, "stroke-dasharray=\"1.2 0.8\""));
            }
            Look::Class(k) => {
                sheet.line(&spots, &stroke_with("#111", BAND + 0.4, round));
                sheet.line(&spots, &stroke_with(&paint(aircraft, k), BAND, round));
            }
        }
    }
    for s in &spans.stands {
        let Some(at) = s.at.filter(|p| view.shows(&[*p])) else {
            continue;
        };
        let (x, y) = view.spot(at);
        match look(&s.largest) {
            Look::Class(k) => sheet.circle((x, y), DISC, &area(&paint(aircraft, k), "#111", 0.3)),
            Look::None => {
                sheet.circle((x, y), DISC, &area("#fff", "#111", 0.3));
                sheet.line(&[(x - 1.0, y), (x + 1.0, y)], &stroke("#111", 0.5));
            }
            Look::NotUsable => {
                sheet.circle((x, y), DISC, &area("#fff", "#111", 0.3));
                sheet.line(&[(x - 0.9, y - 0.9), (x + 0.9, y + 0.9)], &stroke("#111", 0.4));
                sheet.line(&[(x - 0.9, y + 0.9), (x + 0.9, y - 0.9)], &stroke("#111", 0.4));
            }
        }
    }
}

/// The figure that stands beside a band or a disc.
fn figure(l: &Result<Largest, Reason>) -> Option<String> {
    let l = l.as_ref().ok()?;
    // Printed to 10 cm, downward; the table has the centimetre.
    Some(match l.fits_m {
        Some(m) if m == super::MOST_SPAN_M => format!(">{m:.0}"),
        Some(m) => format!("{:.1}", ((m * 10.0 + 1e-6).floor()) / 10.0),
        None => "?".to_string(),
    })
}

fn figure_labels(sheet: &mut Sheet, view: &View, fit: &Fit, aircraft: usize, labels: &mut Labels) {
    let spans = &fit.spans[aircraft];
    for s in &spans.stands {
        let (Some(at), Some(text)) = (s.at, figure(&s.largest)) else {
            continue;
        };
        let stand = &fit.field.stands[fit.stands[s.stand].stand];
        let text = match &stand.name {
            Some(name) => format!("{}: {text}", clean::shown(name, 8)),
            None => text,
        };
        let name = Name {
            text: &text,
            size: 2.1,
            bold: true,
            fill: "#111",
            plate: "#fff",
            leader: true,
        };
        if view.shows(&[at]) && labels.around(sheet, view.spot(at), &name) {
            // The stand's name need not be told again.
            for p in &stand.line {
                labels.tell(view.spot(*p));
            }
        }
    }
    for s in &spans.segments {
        let Some(text) = figure(&s.largest) else { continue };
        let name = Name {
            text: &text,
            size: 2.1,
            bold: false,
            fill: "#111",
            plate: "#fff",
            leader: false,
        };
        let mut places = view.along(&s.line, 3.0);
        let middle = places.len() / 2;
        places.rotate_left(middle);
        let off = BAND / 2.0 + 2.0;
        let spots = places
            .iter()
            .flat_map(|((x, y), (dx, dy))| [(x - dy * off * 1.4, y + dx * off), (x + dy * off * 1.4, y - dx * off)]);
        labels.on(sheet, &spots.collect::<Vec<_>>(), &name);
    }
}

/// The classes, and the scale.
fn key(sheet: &mut Sheet, view: &View, aircraft: usize, top: f64) {
    let foot = top + 5.0;
    let mut left = 3.0;
    let words = |sheet: &mut Sheet, left: &mut f64, text: &str| {
        sheet.text((*left + 8.0, foot), &plain(2.5), text);
        *left += 11.0 + text_width(text, 2.5, false);
    };
    for (k, c) in CLASSES.iter().enumerate() {
        sheet.frame((left, foot - 2.6), 6.8, 3.4, &area(&paint(aircraft, k), "#111", 0.25));
        words(sheet, &mut left, c.words);
    }
    let foot = top + 10.6;
    left = 3.0;
    let words = |sheet: &mut Sheet, left: &mut f64, text: &str| {
        sheet.text((*left + 8.0, foot), &plain(2.5), text);
        *left += 11.0 + text_width(text, 2.5, false);
    };
    sheet.frame((left, foot - 2.6), 6.8, 3.4, &area("#fff", "#111", 0.25));
    let dash = "stroke-dasharray=\"1.2 0.8\"";
    sheet.line(
        &[(left, foot - 0.9), (left + 6.8, foot - 0.9)],
        &stroke_with("#111", 0.6, dash),
    );
    words(sheet, &mut left, "none fits for sure");
    let dash = "stroke-dasharray=\"0.6 1.4\"";
    sheet.line(
        &[(left, foot - 0.9), (left + 6.8, foot - 0.9)],
        &stroke_with("#111", 0.5, dash),
    );
    words(sheet, &mut left, "not usable, whatever the span");
    words(sheet, &mut left, "figures: largest span in metres; true north is up");
    scale::scale_bar(sheet, (view.on.x + view.on.width - 42.0, top + 7.6), view.scale, 36.0);
}
