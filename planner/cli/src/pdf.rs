//! The knee sheet's SVG pages as one PDF.
//!
//! The pages are our own drawings and use a handful of elements: those are drawn one by one, and any other is an error rather
//! than a hole in the page. Text stays text: letters come from the embedded type with the same widths that the page was laid
//! out with, so that no reader can shift a line. No clock and no chance: one plan gives one file.

use krilla::color::rgb;
use krilla::geom::{Path, PathBuilder, Point, Rect};
use krilla::metadata::Metadata;
use krilla::num::NormalizedF32;
use krilla::page::PageSettings;
use krilla::paint::{Fill, FillRule, LineCap, LineJoin, Stroke, StrokeDash};
use krilla::surface::Surface;
use krilla::text::{Font, GlyphId, KrillaGlyph};
use krilla::{Document, SerializeSettings};
use roxmltree::Node;
use toeline_engine::typeface;

/// Points for a millimetre.
const POINTS: f32 = 72.0 / 25.4;
/// A circle's quarter as a cubic curve: how far its handles reach, shares of the radius.
const HANDLE: f32 = 0.552_284_8;

struct Types {
    regular: Font,
    bold: Font,
}

/// One PDF of some pages.
pub(crate) fn of(pages: &[String]) -> Result<Vec<u8>, String> {
    let font =
        |file: &'static [u8]| Font::new(file.into(), 0).ok_or("the type that comes with the program cannot be read");
    let types = Types {
        regular: font(typeface::REGULAR)?,
        bold: font(typeface::BOLD)?,
    };
    let mut pdf = Document::new_with(SerializeSettings {
        xmp_metadata: false,
        ..SerializeSettings::default()
    });
    for (i, svg) in pages.iter().enumerate() {
        let parsed = roxmltree::Document::parse(svg).map_err(|e| format!("page {} of the knee sheet: {e}", i + 1))?;
        let root = parsed.root_element();
        if i == 0 {
            let title = root.children().find(|n| n.has_tag_name("title")).and_then(|n| n.text());
            let about = Metadata::new()
                .language("en".to_string())
                .creator("toeline".to_string());
            pdf.set_metadata(about.title(title.unwrap_or_default().to_string()));
        }
        page(&mut pdf, &types, root).map_err(|e| format!("page {} of the knee sheet: {e}", i + 1))?;
    }
    pdf.finish().map_err(|e| format!("the knee sheet as PDF: {e:?}"))
}

fn page(pdf: &mut Document, types: &Types, root: Node<'_, '_>) -> Result<(), String> {
    let size: Vec<f32> = root
        .attribute("viewBox")
        .unwrap_or_default()
        .split(' ')
        .filter_map(|n| n.parse().ok())
        .collect();
    let [_, _, width, height] = size[..] else {
        return Err("its size is not said".to_string());
    };
    let settings = PageSettings::from_wh(width * POINTS, height * POINTS).ok_or("it has no size")?;
    let mut page = pdf.start_page_with(settings);
    let mut surface = page.surface();
    children(&mut surface, types, root)?;
    surface.finish();
    page.finish();
    Ok(())
}

fn children(surface: &mut Surface<'_>, types: &Types, of: Node<'_, '_>) -> Result<(), String> {
    for node in of.children().filter(Node::is_element) {
        match node.tag_name().name() {
            // A clip is drawn where it is used.
            "title" | "clipPath" => {}
            "g" => {
                let clip = clip_of(node)?;
                surface.push_clip_path(&clip, &FillRule::NonZero);
                children(surface, types, node)?;
                surface.pop();
            }
            "rect" => shape(surface, node, rect(node))?,
            "circle" => shape(surface, node, circle(node))?,
            "path" => shape(surface, node, lines(node.attribute("d").unwrap_or_default())?)?,
            "text" => text(surface, types, node)?,
            other => return Err(format!("<{other}> is none of the marks that it is drawn with")),
        }
    }
    Ok(())
}

/// A length in points.
fn points(node: Node<'_, '_>, name: &str) -> f32 {
    let mm: Option<f32> = node.attribute(name).and_then(|v| v.parse().ok());
    mm.unwrap_or(0.0) * POINTS
}

fn rect(node: Node<'_, '_>) -> Option<Path> {
    let at = |name| points(node, name);
    let mut path = PathBuilder::new();
    path.push_rect(Rect::from_xywh(at("x"), at("y"), at("width"), at("height"))?);
    path.finish()
}

fn circle(node: Node<'_, '_>) -> Option<Path> {
    let (x, y, r) = (points(node, "cx"), points(node, "cy"), points(node, "r"));
    let h = r * HANDLE;
    let mut path = PathBuilder::new();
    path.move_to(x + r, y);
    path.cubic_to(x + r, y + h, x + h, y + r, x, y + r);
    path.cubic_to(x - h, y + r, x - r, y + h, x - r, y);
    path.cubic_to(x - r, y - h, x - h, y - r, x, y - r);
    path.cubic_to(x + h, y - r, x + r, y - h, x + r, y);
    path.close();
    path.finish()
}

/// Polylines: "M1.00 2.00L3.00 4.00Z".
fn lines(d: &str) -> Result<Option<Path>, String> {
    let mut path = PathBuilder::new();
    let mut rest = d;
    while let Some(verb) = rest.chars().next() {
        rest = &rest[verb.len_utf8()..];
        let end = rest.find(['M', 'L', 'Z']).unwrap_or(rest.len());
        let numbers: Vec<f32> = rest[..end].split(' ').filter_map(|n| n.parse().ok()).collect();
        rest = &rest[end..];
        match (verb, &numbers[..]) {
            ('M', [x, y]) => path.move_to(x * POINTS, y * POINTS),
            ('L', [x, y]) => path.line_to(x * POINTS, y * POINTS),
            ('Z', []) => path.close(),
            _ => {
                return Err(format!(
                    "\"{verb}\" with {} numbers is no step of a path",
                    numbers.len()
                ));
            }
        }
    }
    Ok(path.finish())
}

fn clip_of(node: Node<'_, '_>) -> Result<Path, String> {
    let named = node.attribute("clip-path").unwrap_or_default();
    let id = named.trim_start_matches("url(#").trim_end_matches(')');
    let document = node.document();
    let clip = document
        .descendants()
        .find(|n| n.has_tag_name("clipPath") && n.attribute("id") == Some(id));
    let inside = clip
        .and_then(|c| c.children().find(|n| n.has_tag_name("rect")))
        .and_then(rect);
    inside.ok_or_else(|| format!("\"{named}\" names no box to draw in"))
}

/// "#123" or "#112233"; `None` for "none" and for nothing at all.
fn colour(text: Option<&str>) -> Result<Option<rgb::Color>, String> {
    let Some(text) = text.filter(|t| *t != "none") else {
        return Ok(None);
    };
    let hex = text.strip_prefix('#').unwrap_or_default();
    let whole = match hex.len() {
        3 => hex.chars().flat_map(|c| [c, c]).collect(),
        _ => hex.to_string(),
    };
    match u32::from_str_radix(&whole, 16) {
        Ok(n) if whole.len() == 6 => Ok(Some(rgb::Color::new((n >> 16) as u8, (n >> 8) as u8, n as u8))),
        _ => Err(format!("\"{text}\" is no colour")),
    }
}

fn fill(node: Node<'_, '_>) -> Result<Option<Fill>, String> {
    let opacity = node
        .attribute("fill-opacity")
        .and_then(|o| o.parse().ok())
        .and_then(NormalizedF32::new);
    let even_odd = node.attribute("fill-rule") == Some("evenodd");
    Ok(colour(node.attribute("fill"))?.map(|c| Fill {
        paint: c.into(),
        opacity: opacity.unwrap_or(NormalizedF32::ONE),
        rule: if even_odd { FillRule::EvenOdd } else { FillRule::NonZero },
    }))
}

fn stroke(node: Node<'_, '_>) -> Result<Option<Stroke>, String> {
    let width = points(node, "stroke-width");
    let Some(paint) = colour(node.attribute("stroke"))?.filter(|_| width > 0.0) else {
        return Ok(None);
    };
    let dash = node.attribute("stroke-dasharray").map(|list| StrokeDash {
        array: list
            .split(' ')
            .filter_map(|n| n.parse::<f32>().ok())
            .map(|mm| mm * POINTS)
            .collect(),
        offset: 0.0,
    });
    let round = |name| node.attribute(name) == Some("round");
    Ok(Some(Stroke {
        paint: paint.into(),
        width,
        line_cap: if round("stroke-linecap") {
            LineCap::Round
        } else {
            LineCap::Butt
        },
        line_join: if round("stroke-linejoin") {
            LineJoin::Round
        } else {
            LineJoin::Miter
        },
        dash,
        ..Stroke::default()
    }))
}

fn shape(surface: &mut Surface<'_>, node: Node<'_, '_>, path: Option<Path>) -> Result<(), String> {
    // A shape without extent draws nothing in any reader.
    let Some(path) = path else { return Ok(()) };
    let (fill, stroke) = (fill(node)?, stroke(node)?);
    if fill.is_some() || stroke.is_some() {
        surface.set_fill(fill);
        surface.set_stroke(stroke);
        surface.draw_path(&path);
    }
    Ok(())
}

/// A text letter by letter, with the widths it was measured by.
fn text(surface: &mut Surface<'_>, types: &Types, node: Node<'_, '_>) -> Result<(), String> {
    let said = node.text().unwrap_or_default();
    let bold = node.attribute("font-weight") == Some("700");
    let size = points(node, "font-size");
    let mut glyphs = Vec::with_capacity(said.len());
    let mut width = 0.0;
    for (at, c) in said.char_indices() {
        let Some(g) = typeface::glyph(c, bold) else {
            return Err(format!("the type has no letter U+{:04X}", c as u32));
        };
        width += g.advance;
        let id = GlyphId::new(u32::from(g.id));
        glyphs.push(KrillaGlyph::new(
            id,
            g.advance as f32,
            0.0,
            0.0,
            0.0,
            at..at + c.len_utf8(),
            None,
        ));
    }
    let back = match node.attribute("text-anchor") {
        Some("middle") => 0.5,
        Some("end") => 1.0,
        _ => 0.0,
    };
    let start = Point::from_xy(points(node, "x") - width as f32 * size * back, points(node, "y"));
    let font = if bold { &types.bold } else { &types.regular };
    // The rim is drawn as outlines under the letters, so that it is no second text.
    if let Some(rim) = stroke(node)? {
        surface.set_fill(None);
        surface.set_stroke(Some(rim));
        surface.draw_glyphs(start, &glyphs, font.clone(), said, size, true);
    }
    surface.set_stroke(None);
    surface.set_fill(fill(node)?);
    surface.draw_glyphs(start, &glyphs, font.clone(), said, size, false);
    Ok(())
}
