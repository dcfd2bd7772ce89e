//! Which words stand on the map and where: the important ones first, and none over another.

use super::ends::{Ends, Role};
use super::pick::{Place, label, spot};
use super::sheet::Sheet;
use toeline_engine::planning::Way;
use toeline_model::frame::xy;
use toeline_model::planar::{centroid, line_length};
use toeline_model::{Airfield, Xy, units};

/// How a label looks.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Style {
    /// Ink on a piece of paper.
    Plain,
    /// Light on dark: a chosen point, a gap, what is pointed at.
    Strong,
}

/// A label, placed.
#[derive(Clone, Debug, PartialEq)]
pub struct Label {
    /// Its words.
    pub words: String,
    /// Its upper left corner, pixels of the window.
    pub at: Xy,
    /// Its looks.
    pub style: Style,
}

struct Wanted {
    words: String,
    spot: Xy,
    style: Style,
}

/// Greatest length of the scale bar as a share of the view's width.
pub const SCALE_SHARE: f64 = 0.22;
/// Width of a character as a share of its height: the one typeface of the program has a fixed pitch.
const PITCH: f64 = 0.6;

/// Everything that the labels follow from.
#[derive(Clone, Copy)]
pub struct Subject<'a> {
    /// The field.
    pub field: &'a Airfield,
    /// The chosen points.
    pub ends: &'a Ends,
    /// The way that is shown.
    pub way: Option<&'a Way>,
    /// The place that is pointed at.
    pub over: Option<Place>,
}

/// The labels that find room, for text `size_px` high.
pub fn place(subject: Subject<'_>, sheet: &Sheet, size_px: f64) -> Vec<Label> {
    let v = sheet.view;
    // The corner of the scale bar is kept free.
    let bar = [
        v.left,
        v.top + v.height - size_px * 2.2,
        v.left + v.width * SCALE_SHARE + size_px * 13.0,
        v.top + v.height,
    ];
    let mut taken: Vec<[f64; 4]> = vec![bar];
    let mut placed = Vec::new();
    for w in wanted(subject, sheet) {
        let (wide, tall) = (
            w.words.chars().count() as f64 * PITCH * size_px + 6.0,
            size_px * 1.25 + 2.0,
        );
        let s = sheet.px(w.spot);
        if !v.holds(s) {
            continue;
        }
        // Beside the spot, then above and below it, drawn in from the edge where it lies near one.
        let (right, left) = (s.x + 8.0, s.x - 8.0 - wide);
        let (above, below, middle) = (s.y - 8.0 - tall, s.y + 8.0, s.y - tall / 2.0);
        let over = (s.x - wide / 2.0).clamp(v.left, (v.left + v.width - wide).max(v.left));
        let tries = [
            xy(right, middle),
            xy(left, middle),
            xy(over, above),
            xy(over, below),
            xy(right, above),
            xy(left, above),
            xy(over, above - tall),
        ];
        let room = tries.into_iter().find(|t| {
            let b = [t.x, t.y, t.x + wide, t.y + tall];
            let inside = b[0] >= v.left && b[1] >= v.top && b[2] <= v.left + v.width && b[3] <= v.top + v.height;
            inside
                && !taken
                    .iter()
                    .any(|o| b[0] < o[2] && o[0] < b[2] && b[1] < o[3] && o[1] < b[3])
        });
        if let Some(t) = room {
            taken.push([t.x, t.y, t.x + wide, t.y + tall]);
            placed.push(Label {
                words: w.words,
                at: t,
                style: w.style,
            });
        }
    }
    placed
}

/// All labels in the order of their importance.
fn wanted(subject: Subject<'_>, sheet: &Sheet) -> Vec<Wanted> {
    let Subject { field, ends, way, over } = subject;
    let mut list: Vec<Wanted> = Vec::new();
    let mut push = |words: String, spot: Option<Xy>, style: Style| {
        if let (false, Some(spot)) = (words.trim().is_empty(), spot) {
            list.push(Wanted { words, spot, style });
        }
    };
    let chosen = ends.all();
    for (role, place) in &chosen {
        push(
            format!(
                "{} {}",
                Role::word(*role),
                label(field, *place).replace("engine-check ", "")
            ),
            spot(field, *place),
            Style::Strong,
        );
    }
    if let Some(place) = over.filter(|o| !chosen.iter().any(|(_, p)| p == o)) {
        push(label(field, place), spot(field, place), Style::Strong);
    }
    if let Some(way) = way {
        for g in way.clearance.gaps.iter().take(super::way_ink::GAPS_DRAWN) {
            let name = way.clearance.considered.get(g.obstacle).map_or("", |c| c.name.as_str());
            let short = name.split(" (").next().unwrap_or(name);
            push(
                format!("{:.1} m {short}", units::gap_floor(g.gap_m)),
                Some(g.on_aircraft.lerp(g.on_obstacle, 0.5)),
                Style::Strong,
            );
        }
    }
    for r in &field.runways {
        for (end, at) in [r.line.first(), r.line.last()].into_iter().enumerate() {
            push(
                r.designators[end].clone().unwrap_or_default(),
                at.copied(),
                Style::Plain,
            );
        }
    }
    for (i, a) in field.check_areas.iter().enumerate() {
        let name = a.name.clone().unwrap_or_default();
        push(format!("check {name}"), spot(field, Place::CheckArea(i)), Style::Plain);
    }
    for (i, h) in field.holding_positions.iter().enumerate() {
        push(
            h.name.clone().unwrap_or_default(),
            spot(field, Place::Hold(i)),
            Style::Plain,
        );
    }
    for (i, s) in field.stands.iter().enumerate() {
        push(
            s.name.clone().unwrap_or_default(),
            spot(field, Place::Stand(i)),
            Style::Plain,
        );
    }
    for l in &field.lanes {
        let half = line_length(&l.line) / 2.0;
        // A lane's letter only where the lane is longer than the letter.
        if half > 12.0 * sheet.m_per_px {
            let middle = crate::view::sketch::part_of(&l.line, half, half + 1.0);
            let mut words = l.letters.join(" ");
            if l.closed.is_some() {
                words = format!("{words} closed");
            }
            push(words, middle.first().copied(), Style::Plain);
        }
    }
    for o in &field.obstacles {
        let at = match &o.shape {
            toeline_model::planar::Shape::Area { outer, .. } => Some(centroid(outer)),
            _ => None,
        };
        push(o.name.clone().unwrap_or_default(), at, Style::Plain);
    }
    list
}
