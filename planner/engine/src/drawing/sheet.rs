//! A sheet of SVG being written: numbers, escaping, and the few marks that everything is drawn with. Millimetres.

use super::typeface;
use std::fmt::Write as _;

/// Height of the type of a credit, mm.
const CREDIT: f64 = 2.0;

/// A place on the sheet: millimetres from the left and from the top.
pub(crate) type Spot = (f64, f64);

/// How a line or an area looks; written into the style attributes as they are.
pub(crate) struct Ink<'a> {
    /// Fill colour, or "none".
    pub(crate) fill: &'a str,
    /// Stroke colour, or "none".
    pub(crate) stroke: &'a str,
    /// Stroke width, mm.
    pub(crate) width: f64,
    /// More attributes, for example `stroke-dasharray="1 .5"`.
    pub(crate) more: &'a str,
}

/// A stroke without fill.
pub(crate) const fn stroke<'a>(colour: &'a str, width: f64) -> Ink<'a> {
    Ink {
        fill: "none",
        stroke: colour,
        width,
        more: "",
    }
}

/// A stroke without fill, with more attributes.
pub(crate) const fn stroke_with<'a>(colour: &'a str, width: f64, more: &'a str) -> Ink<'a> {
    Ink {
        fill: "none",
        stroke: colour,
        width,
        more,
    }
}

/// A filled area with an edge.
pub(crate) const fn area<'a>(fill: &'a str, edge: &'a str, width: f64) -> Ink<'a> {
    Ink {
        fill,
        stroke: edge,
        width,
        more: "",
    }
}

/// How a text looks.
pub(crate) struct Type<'a> {
    /// Height of the type, mm.
    pub(crate) size: f64,
    /// Colour.
    pub(crate) fill: &'a str,
    /// "start", "middle" or "end".
    pub(crate) anchor: &'a str,
    /// Whether it is bold.
    pub(crate) bold: bool,
    /// Whether it has a white rim, so that it reads over lines.
    pub(crate) rim: bool,
}

/// Plain black type of a height in mm, beginning at its spot.
pub(crate) fn plain(size: f64) -> Type<'static> {
    Type {
        size,
        fill: "#111",
        anchor: "start",
        bold: false,
        rim: false,
    }
}

/// The same, bold.
pub(crate) fn bold(size: f64) -> Type<'static> {
    Type {
        bold: true,
        ..plain(size)
    }
}

/// The sheet.
#[derive(Default)]
pub(crate) struct Sheet {
    out: String,
}

/// A length on the sheet, mm to a hundredth; never "NaN", never beyond any page.
pub(crate) fn mm(v: f64) -> String {
    let kept = if v.is_finite() {
        v.clamp(-20_000.0, 20_000.0)
    } else {
        0.0
    };
    let text = format!("{kept:.2}");
    if text == "-0.00" { "0.00".into() } else { text }
}

/// Text made safe for SVG: XML's own characters escaped, and nothing that XML 1.0 does not admit.
pub(crate) fn escape(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\'' => out.push_str("&#39;"),
            c if c.is_control() || c as u32 & 0xfffe == 0xfffe => out.push(' '),
            c => out.push(c),
        }
    }
    out
}

/// Width that a text takes, mm, in the type that pages are set in.
pub(crate) fn text_width(text: &str, size: f64, bold: bool) -> f64 {
    typeface::width(text, size, bold)
}

/// A text cut so that it fits into a width, mm.
pub(crate) fn fitted(text: &str, size: f64, bold: bool, width: f64) -> String {
    let mut most = text.chars().count();
    let mut kept = text.to_string();
    while most > 1 && text_width(&kept, size, bold) > width {
        most -= 1;
        kept = crate::clean::shown(text, most);
    }
    kept
}

impl Sheet {
    /// Writes ready markup that holds no text from a file.
    pub(crate) fn raw(&mut self, markup: &str) {
        self.out.push_str(markup);
        self.out.push('\n');
    }

    fn ink(&mut self, ink: &Ink<'_>) {
        let _ = write!(
            self.out,
            " fill=\"{}\" stroke=\"{}\" stroke-width=\"{}\" {}/>",
            ink.fill,
            ink.stroke,
            mm(ink.width),
            ink.more
        );
        self.out.push('\n');
    }

    /// A line through spots; nothing for fewer than two.
    pub(crate) fn line(&mut self, spots: &[Spot], ink: &Ink<'_>) {
        if spots.len() >= 2 {
            self.path(&[spots.to_vec()], false, ink);
        }
    }

    /// An area from rings; a hole runs against the outer ring or is made by the even-odd rule.
    pub(crate) fn rings(&mut self, rings: &[Vec<Spot>], ink: &Ink<'_>) {
        self.path(rings, true, ink);
    }

    fn path(&mut self, lines: &[Vec<Spot>], closed: bool, ink: &Ink<'_>) {
        self.out.push_str("<path fill-rule=\"evenodd\" d=\"");
        for line in lines {
            for (i, (x, y)) in line.iter().enumerate() {
                let _ = write!(self.out, "{}{} {}", if i == 0 { 'M' } else { 'L' }, mm(*x), mm(*y));
            }
            if closed {
                self.out.push('Z');
            }
        }
        self.out.push('"');
        self.ink(ink);
    }

    /// A circle.
    pub(crate) fn circle(&mut self, (x, y): Spot, radius: f64, ink: &Ink<'_>) {
        let _ = write!(
            self.out,
            "<circle cx=\"{}\" cy=\"{}\" r=\"{}\"",
            mm(x),
            mm(y),
            mm(radius)
        );
        self.ink(ink);
    }

    /// An upright box from its upper left corner.
    pub(crate) fn frame(&mut self, (x, y): Spot, width: f64, height: f64, ink: &Ink<'_>) {
        let _ = write!(
            self.out,
            "<rect x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\"",
            mm(x),
            mm(y),
            mm(width),
            mm(height)
        );
        self.ink(ink);
    }

    /// A text; whatever it holds stays text.
    pub(crate) fn text(&mut self, (x, y): Spot, look: &Type<'_>, text: &str) {
        let weight = if look.bold { " font-weight=\"700\"" } else { "" };
        let rim = if look.rim {
            " paint-order=\"stroke\" stroke=\"#fff\" stroke-width=\"0.70\" stroke-linejoin=\"round\""
        } else {
            ""
        };
        let _ = writeln!(
            self.out,
            "<text x=\"{}\" y=\"{}\" font-size=\"{}\" fill=\"{}\" text-anchor=\"{}\"{weight}{rim}>{}</text>",
            mm(x),
            mm(y),
            mm(look.size),
            look.fill,
            look.anchor,
            escape(text)
        );
    }

    /// The credit of the map's data from a lower left corner, where there is one; cut to a width, mm.
    pub(crate) fn credit(&mut self, at: Spot, attribution: Option<&str>, width: f64) {
        let Some(credit) = attribution else { return };
        let text = format!("Map data: {}", crate::clean::sentence(credit));
        self.text(at, &plain(CREDIT), &fitted(&text, CREDIT, false, width));
    }

    /// The markup so far.
    pub(crate) fn finish(self) -> String {
        self.out
    }
}
