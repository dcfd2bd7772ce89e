//! Names on the map: what is told of the way first, then the field's, the ones a pilot needs first.

use super::ground::Scene;
use super::map::PRINTED;
use super::place::{Put, Sheet, Where, Wish, spaced};
use super::trace::{Pt, meets};
use super::way;
use crate::briefing::{GapBriefing, StopBriefing, Units, WayBriefing, number};
use crate::clean;
use crate::clearance::{Gap, Verdict};
use crate::drawing::sheet::{escape, fitted};
use crate::planning::Way;
use crate::route::{Block, StopKind};
use std::collections::BTreeMap;
use std::fmt::Write as _;
use toeline_model::airfield::NamedArea;
use toeline_model::frame::Xy;
use toeline_model::planar::{Shape, centroid};

/// Tight places that are told at every zoom; those that are not clear always are.
const GAPS_AT_ONCE: usize = 3;
/// Longest name, px.
const LONGEST: f64 = 230.0;

/// How a name looks: its class, its height in px, whether it is bold and stands on a plate.
#[derive(Clone, Copy)]
struct Look {
    class: &'static str,
    px: f64,
    bold: bool,
    plate: bool,
}

const NUMBER: Look = look("n", 12.0, true, false);
const STOP: Look = look("s", 12.5, true, true);
const GAP: Look = look("g", 12.0, true, true);
const GAP_BAD: Look = look("g bad", 12.0, true, true);
const RUNWAY: Look = look("r", 13.0, true, true);
const LANE: Look = look("l", 12.0, true, true);
const PLACE: Look = look("p", 12.0, false, false);
const SMALL: Look = look("q", 11.0, false, false);

const fn look(class: &'static str, px: f64, bold: bool, plate: bool) -> Look {
    Look { class, px, bold, plate }
}

/// Wishes with what is written when they are placed.
#[derive(Default)]
pub(super) struct Names {
    wishes: Vec<Wish>,
    looks: Vec<Look>,
    /// What lights up with it: `data-i` and the link to its row.
    items: Vec<Option<(String, String)>>,
}

impl Names {
    fn add(&mut self, at: Where, text: &str, look: Look, leader: bool, item: Option<(String, String)>) {
        // On the smallest map only the way, runways and lanes are told.
        let level = match look.class {
            "q" => PRINTED,
            "p" | "h" => 1,
            _ => 0,
        };
        self.add_from(level, at, text, look, leader, item);
    }

    fn add_from(
        &mut self,
        level: usize,
        at: Where,
        text: &str,
        look: Look,
        leader: bool,
        item: Option<(String, String)>,
    ) {
        let text = fitted(text, look.px, look.bold, LONGEST);
        let (width, height) = if look.class == "n" {
            (20.0, 20.0)
        } else {
            let room = if look.plate { 8.0 } else { 3.0 };
            (wide(&text, look) + room, look.px * 1.35)
        };
        self.wishes.push(Wish {
            at,
            level,
            size: (width, height),
            leader,
            text,
        });
        self.looks.push(look);
        self.items.push(item);
    }

    /// Legs, stops and tight places.
    pub(super) fn of_way(
        &mut self,
        scene: &Scene<'_>,
        planned: &Way,
        told: &WayBriefing,
        lines: &[Vec<Xy>],
        tight: &[(char, &Gap, &GapBriefing)],
        units: Units,
    ) {
        for (leg, line) in told.legs.iter().zip(lines) {
            let item = (leg.number.to_string(), format!("leg-{}", leg.number));
            let middle = scene.frame.pt(middle_of(line));
            self.add(Where::Around(middle), &item.0.clone(), NUMBER, true, Some(item));
        }
        for (i, (stop, said)) in planned.route.stops.iter().zip(&told.stops).enumerate() {
            let at = Where::Around(scene.frame.pt(stop.pose.nose));
            let item = (format!("s{i}"), format!("stop-{i}"));
            self.add(at, &stop_words(said), STOP, true, Some(item));
        }
        for (i, (letter, gap, said)) in tight.iter().enumerate() {
            // Where many things stand close together, only the tightest are told before the map is zoomed.
            let level = if i < GAPS_AT_ONCE || gap.verdict != Verdict::Clear {
                0
            } else {
                PRINTED + 1
            };
            let look = if gap.verdict == Verdict::NotClear { GAP_BAD } else { GAP };
            let at = Where::Around(scene.frame.pt(gap.on_aircraft.lerp(gap.on_obstacle, 0.5)));
            let item = (format!("g{letter}"), format!("gap-{letter}"));
            let text = format!("{letter}  {}", way::gap_words(said, units));
            self.add_from(level, at, &text, look, true, Some(item));
        }
    }

    /// What blocks, where there is no way.
    pub(super) fn of_blocks(&mut self, scene: &Scene<'_>, blocks: &[Block]) {
        for (i, b) in blocks.iter().enumerate() {
            let n = i + 1;
            let item = (format!("b{n}"), format!("block-{n}"));
            let at = Where::Around(scene.frame.pt(b.at));
            self.add(at, &format!("block {n}"), GAP_BAD, true, Some(item));
        }
    }

    /// What is on the field near the way. `told` is the engine-check area whose name a stop already bears,
    /// `used` holds the letters of the lanes that the way follows.
    pub(super) fn of_field(&mut self, scene: &Scene<'_>, told: Option<&str>, used: &[&str]) {
        let field = scene.field;
        let near = |points: &[Xy]| meets(points, &scene.near);
        for runway in &field.runways {
            let said: Vec<&str> = runway.designators.iter().flatten().map(String::as_str).collect();
            if !said.is_empty() {
                let text = clean::name(&format!("RWY {}", said.join("/")));
                self.add(along(scene, &runway.line, 60.0, 0.0), &text, RUNWAY, false, None);
            }
        }
        for lane in field.lanes.iter().filter(|l| !l.letters.is_empty() && near(&l.line)) {
            let text = clean::name(&lane.letters.join("/"));
            let half_m = lane.width_m.unwrap_or(4.0) / 2.0;
            let level = usize::from(!lane.letters.iter().any(|l| used.contains(&l.as_str())));
            self.add_from(level, along(scene, &lane.line, 25.0, half_m), &text, LANE, false, None);
        }
        let holds = field.holding_positions.iter().filter(|h| near(&[h.at]));
        for hold in holds {
            if let Some(text) = hold.name.as_deref().map(clean::name) {
                self.add(
                    Where::Around(scene.frame.pt(hold.at)),
                    &text,
                    look("h", 12.0, true, false),
                    false,
                    None,
                );
            }
        }
        for (list, what) in [
            (&field.check_areas, "engine check"),
            (&field.hot_spots, "hot spot"),
            (&field.helipads, "helipad"),
        ] {
            let untold = |a: &&NamedArea| what != "engine check" || told.is_none() || a.name.as_deref() != told;
            for a in list.iter().filter(|a| near(&a.outer)).filter(untold) {
                let text = clean::name(&format!("{what} {}", a.name.as_deref().unwrap_or("")));
                self.add(Where::On(scene.frame.pt(centroid(&a.outer))), &text, PLACE, true, None);
            }
        }
        for stand in field.stands.iter().filter(|s| near(&s.line)) {
            if let (Some(text), Some(at)) = (stand.name.as_deref().map(clean::name), stand.line.last()) {
                self.add(Where::Around(scene.frame.pt(*at)), &text, SMALL, false, None);
            }
        }
        for o in &field.obstacles {
            if let (Some(text), Shape::Area { outer, .. }) = (o.name.as_deref().map(clean::name), &o.shape)
                && near(outer)
            {
                self.add(Where::On(scene.frame.pt(centroid(outer))), &text, SMALL, true, None);
            }
        }
        for apron in field.aprons.iter().filter(|a| near(&a.outer)) {
            if let Some(text) = apron.name.as_deref().map(clean::name) {
                self.add(
                    Where::On(scene.frame.pt(centroid(&apron.outer))),
                    &text,
                    PLACE,
                    false,
                    None,
                );
            }
        }
    }

    /// Places and writes them, a group for each scale.
    pub(super) fn draw(&self, out: &mut String, sheet: &Sheet<'_>) {
        let puts = sheet.place(&self.wishes);
        let mut groups: BTreeMap<(usize, usize), Vec<&Put>> = BTreeMap::new();
        for put in &puts {
            groups.entry((put.level, put.until)).or_default().push(put);
        }
        for ((level, until), list) in groups {
            // What a print and a page without scripts do not show.
            let apart = level > sheet.home_level || until <= sheet.home_level;
            let class = if apart { "z apart" } else { "z" };
            let to = sheet
                .levels
                .get(until)
                .map(|s| format!(" data-to=\"{s:.4}\""))
                .unwrap_or_default();
            let _ = writeln!(out, "<g class=\"{class}\" data-s=\"{:.4}\"{to}>", sheet.levels[level]);
            for put in list {
                self.write(out, put);
            }
            out.push_str("</g>\n");
        }
    }

    fn write(&self, out: &mut String, put: &Put) {
        let (wish, look, item) = (&self.wishes[put.wish], self.looks[put.wish], &self.items[put.wish]);
        let (w, h) = wish.size;
        let (x, y) = put.off;
        let _ = write!(
            out,
            "<g transform=\"translate({:.1} {:.1})\"><g class=\"u\">",
            put.at.0, put.at.1
        );
        if put.led {
            // To the nearest point of the box's edge.
            let to = (
                0.0_f64.clamp(x - w / 2.0, x + w / 2.0),
                0.0_f64.clamp(y - h / 2.0, y + h / 2.0),
            );
            let _ = write!(out, "<path class=\"lead\" d=\"M0 0L{:.1} {:.1}\"/>", to.0, to.1);
        }
        if let Some((id, row)) = item {
            let _ = write!(
                out,
                "<a class=\"{}\" href=\"#{row}\" tabindex=\"-1\" data-i=\"{id}\">",
                look.class
            );
        }
        if look.class == "n" {
            let _ = write!(out, "<circle cx=\"{x:.1}\" cy=\"{y:.1}\" r=\"9.5\"/>");
        } else {
            // Where there is no frame, a white ground keeps the name readable over lines.
            let class = if look.plate && look.class != "l" {
                ""
            } else {
                " class=\"pl\""
            };
            let _ = write!(
                out,
                "<rect{class} x=\"{:.1}\" y=\"{:.1}\" width=\"{w:.1}\" height=\"{h:.1}\"/>",
                x - w / 2.0,
                y - h / 2.0
            );
        }
        // On a plate the text takes its width, whatever type the reader's browser has.
        let length = if look.plate {
            format!(" textLength=\"{:.1}\" lengthAdjust=\"spacingAndGlyphs\"", w - 8.0)
        } else {
            String::new()
        };
        let class = if item.is_some() {
            String::new()
        } else {
            format!(" class=\"{}\"", look.class)
        };
        let _ = write!(
            out,
            "<text{class} x=\"{x:.1}\" y=\"{:.1}\"{length}>{}</text>",
            y + look.px * 0.36,
            escape(&wish.text)
        );
        if item.is_some() {
            out.push_str("</a>");
        }
        out.push_str("</g></g>\n");
    }
}

/// Width of a text, px, by the widths that sans-serif types have in common.
fn wide(text: &str, look: Look) -> f64 {
    let em = |c: char| match c {
        'i' | 'j' | 'l' | 'I' | '.' | ',' | ':' | ';' | '\'' | '!' | '|' | ' ' | '(' | ')' | '[' | ']' | '/' => 0.31,
        'f' | 't' | 'r' | '-' => 0.37,
        'm' | 'M' | 'w' | 'W' | '@' | '%' => 0.86,
        c if c.is_ascii_uppercase() => 0.69,
        c if c.is_ascii() => 0.57,
        c => 0.65 * clean::columns(c.encode_utf8(&mut [0; 4])) as f64,
    };
    let bolder = if look.bold { 1.06 } else { 1.0 };
    text.chars().map(em).sum::<f64>() * look.px * bolder
}

/// What a stop is called on the map.
fn stop_words(said: &StopBriefing) -> String {
    let hi = number::three(said.heading_magnetic_deg);
    match said.kind {
        StopKind::Start => format!("START {}", said.name),
        StopKind::EngineCheck => format!("ENGINE CHECK {}, HI {hi}", said.name),
        StopKind::HoldShort => format!("STOP {}", said.of.as_deref().unwrap_or(&said.name)),
        StopKind::Place => format!("STOP {}", said.name),
        StopKind::End => format!("END {}", said.name),
    }
}

/// The point half-way along a line.
fn middle_of(line: &[Xy]) -> Xy {
    let whole: f64 = line.windows(2).map(|w| w[0].distance(w[1])).sum();
    let mut left = whole / 2.0;
    for w in line.windows(2) {
        let length = w[0].distance(w[1]);
        if length > 0.0 && left <= length {
            return w[0].lerp(w[1], left / length);
        }
        left -= length;
    }
    line.first().copied().unwrap_or_default()
}

/// Places along a line that lie near, from its middle outward, every `step_m` metres.
fn along(scene: &Scene<'_>, line: &[Xy], step_m: f64, half_m: f64) -> Where {
    let pts: Vec<Pt> = line.iter().map(|p| scene.frame.pt(*p)).collect();
    let (lo, hi) = (scene.frame.pt(scene.near.0), scene.frame.pt(scene.near.1));
    let mut places: Vec<(Pt, Pt)> = Vec::new();
    spaced(&pts, 1.0, step_m, |p, d| {
        if p.0 >= lo.0 && p.0 <= hi.0 && p.1 <= lo.1 && p.1 >= hi.1 {
            places.push((p, d));
        }
    });
    let middle = places.len() / 2;
    places.rotate_left(middle);
    Where::Along(places, half_m)
}
