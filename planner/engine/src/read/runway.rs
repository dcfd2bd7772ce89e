//! Runways: designators matched with the direction of the line, and pieces drawn apart put together.

use super::geometry::Part;
use super::pavement::outline;
use super::project;
use super::working::{Desk, Item, WIDTH_M};
use crate::notice::NoticeKind::{Doubt, LeftOut, Repair};
use toeline_model::airfield::{Runway, Surface};
use toeline_model::planar::line_length;
use toeline_model::{Bearing, Xy};

/// A designator farther from the direction of its line than this is doubted, degrees. Ours: magnetic declination at most
/// aerodromes, and the numbers are in tens.
const DESIGNATOR_OFF_DEG: f64 = 30.0;
/// Ends of two pieces nearer than this are the same place, metres. Ours.
const SAME_PLACE_M: f64 = 1.0;
/// Pieces of one runway run on within this angle, degrees. Ours.
const ALIGNED_DEG: f64 = 3.0;

/// A runway line as drawn, with the feature it is from.
pub(super) struct Piece<'a> {
    runway: Runway,
    item: &'a Item,
}

/// The runway lines of a feature.
pub(super) fn pieces<'a>(desk: &mut Desk, item: &'a Item, list: &mut Vec<Piece<'a>>) {
    if item.parts.iter().all(|p| outline(item, p)) {
        return desk.tell(LeftOut, item, "a runway drawn as an area has no centreline; left out");
    }
    let width_m = desk.length(item, "width", &WIDTH_M);
    let surface = desk.surface(item);
    for (i, part) in item.parts.iter().enumerate() {
        let Part::Line(places) = part else {
            desk.tell(
                LeftOut,
                item,
                format!("part {} of this runway is not a line; left out", i + 1),
            );
            continue;
        };
        let line = project::line(&desk.plane, places);
        let designators = designators(desk, item, &line);
        let runway = Runway {
            id: item.part_id(i),
            designators,
            line,
            width_m,
            surface,
            closed: item.tags.closed(),
            level: item.tags.level(),
        };
        list.push(Piece { runway, item });
    }
}

/// Runway number of a designator such as "08", "26L" or "14H": 1 to 36.
fn number(designator: &str) -> Option<u32> {
    let digits: String = designator.chars().take_while(char::is_ascii_digit).collect();
    let rest = &designator[digits.len()..];
    let letters = rest.len() <= 2 && rest.bytes().all(|b| b.is_ascii_alphabetic());
    (letters && digits.len() <= 2)
        .then(|| digits.parse().ok())
        .flatten()
        .filter(|n| (1..=36).contains(n))
}

/// Degrees between a designator and a direction.
fn off_deg(designator: &str, direction: Bearing) -> Option<f64> {
    number(designator).map(|n| direction.to_deg(Bearing::from_deg(f64::from(n) * 10.0)).abs())
}

fn designators(desk: &mut Desk, item: &Item, line: &[Xy]) -> [Option<String>; 2] {
    let Some(text) = item.tags.text("ref") else {
        return [None, None];
    };
    let list: Vec<&str> = text
        .split(['/', '-'])
        .map(str::trim)
        .filter(|t| !t.is_empty())
        .collect();
    let along = (line[line.len() - 1] - line[0]).direction().bearing();
    let back = Bearing::from_deg(along.deg() + 180.0);
    let own = |t: &&str| Some(t.to_string());
    let found = match list.as_slice() {
        [one] => off_deg(one, along).zip(off_deg(one, back)).map(|(a, b)| {
            if a <= b {
                ([own(one), None], a)
            } else {
                ([None, own(one)], b)
            }
        }),
        [p, q] => match (off_deg(p, along), off_deg(q, along)) {
            (Some(a), Some(b)) if a <= b => Some(([own(p), own(q)], a)),
            (Some(_), Some(b)) => Some(([own(q), own(p)], b)),
            _ => None,
        },
        _ => None,
    };
    match found {
        Some((pair, off)) => {
            if off > DESIGNATOR_OFF_DEG {
                let text = format!(
                    "ref=\"{text}\" is {off:.0} deg off the line, which runs {:03}/{:03} deg true; more than {DESIGNATOR_OFF_DEG:.0} deg is doubtful, kept by direction",
                    along.spoken(),
                    back.spoken()
                );
                desk.tell(Doubt, item, text);
            }
            pair
        }
        None => {
            desk.tell(
                Doubt,
                item,
                format!("ref=\"{text}\" is no pair of runway designators (such as 08/26); kept in file order"),
            );
            let mut list = list.iter().map(|t| t.to_string());
            [list.next(), list.next()]
        }
    }
}

/// Puts together pieces that meet end to end and run on in the same direction.
pub(super) fn merged(desk: &mut Desk, mut list: Vec<Piece<'_>>) -> Vec<Runway> {
    let mut i = 0;
    while i < list.len() {
        let mut others: Vec<String> = Vec::new();
        while let Some((j, line)) =
            (i + 1..list.len()).find_map(|j| joined(&list[i].runway, &list[j].runway).map(|l| (j, l)))
        {
            let Piece { runway: other, .. } = list.remove(j);
            others.push(other.id.clone());
            let own = &mut list[i].runway;
            take_over(own, other, line);
        }
        if !others.is_empty() {
            let piece = &list[i];
            let text = format!(
                "runway drawn in {} pieces ({}); put together, {:.0} m",
                others.len() + 1,
                others.join(", "),
                line_length(&piece.runway.line)
            );
            desk.tell(Repair, piece.item, text);
        }
        i += 1;
    }
    list.into_iter().map(|p| p.runway).collect()
}

/// The line of two pieces put together in the sense of the first, when they are one runway.
fn joined(a: &Runway, b: &Runway) -> Option<Vec<Xy>> {
    let water = |r: &Runway| r.surface == Surface::Water;
    if a.closed != b.closed || a.level != b.level || water(a) != water(b) {
        return None;
    }
    let mut turned = b.line.clone();
    turned.reverse();
    let direction = |l: &[Xy]| (l[l.len() - 1] - l[0]).direction().bearing();
    for other in [b.line.as_slice(), turned.as_slice()] {
        if direction(&a.line).to_deg(direction(other)).abs() > ALIGNED_DEG {
            continue;
        }
        for (first, second) in [(a.line.as_slice(), other), (other, a.line.as_slice())] {
            if first[first.len() - 1].distance(second[0]) < SAME_PLACE_M {
                return Some(first.iter().chain(&second[1..]).copied().collect());
            }
        }
    }
    None
}

/// Keeps the identity and designators of the piece that has designators, or else of the longer one.
fn take_over(own: &mut Runway, other: Runway, line: Vec<Xy>) {
    let named = |r: &Runway| r.designators.iter().flatten().count();
    let direction = |l: &[Xy]| l[l.len() - 1] - l[0];
    let same_sense = direction(&own.line).dot(direction(&other.line)) > 0.0;
    let mut theirs = other.designators.clone();
    if !same_sense {
        theirs.reverse();
    }
    let better = (named(&other), line_length(&other.line)) > (named(own), line_length(&own.line));
    if better {
        own.id = other.id;
        own.designators = theirs;
    } else {
        for (mine, their) in own.designators.iter_mut().zip(theirs) {
            if mine.is_none() {
                *mine = their;
            }
        }
    }
    own.width_m = match (own.width_m, other.width_m) {
        (Some(a), Some(b)) => Some(a.min(b)),
        (a, b) => a.or(b),
    };
    if own.surface == Surface::Unknown {
        own.surface = other.surface;
    }
    own.line = line;
}
