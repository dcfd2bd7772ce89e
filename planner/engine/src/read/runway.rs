//! Runways: designators matched with the direction of the line, and pieces drawn apart put together.

use super::area;
use super::geometry::Part;
use super::lifecycle::{Shut, shut};
use super::outline::Outline;
use super::pavement::outline;
use super::project;
use super::properties::WIDTH;
use super::working::{Desk, Item};
use crate::notice::NoticeKind::{Doubt, LeftOut, Repair};
use toeline_model::airfield::{Closure, Runway, Surface};
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
    item: &'a Item<'a>,
    shut: Shut,
}

/// "runway 08/26", or its feature when it has no designator.
pub(super) fn called(runway: &Runway) -> String {
    let names: Vec<&str> = runway.designators.iter().flatten().map(String::as_str).collect();
    if names.is_empty() {
        format!("runway without designator ({})", runway.id)
    } else {
        format!("runway {}", names.join("/"))
    }
}

/// The runway lines of a feature, and its outlines.
pub(super) fn pieces<'a>(
    desk: &mut Desk,
    item: &'a Item<'a>,
    list: &mut Vec<Piece<'a>>,
    outlines: &mut Vec<Outline<'a>>,
) {
    let width_m = desk.length(item, &WIDTH);
    let surface = desk.surface(item);
    let shut = shut(desk, item);
    for (i, part) in item.parts.iter().enumerate() {
        if outline(item, part) {
            if let Some(area) = area::named(desk, item, i) {
                outlines.push(Outline {
                    item,
                    area,
                    runway: true,
                    width_m,
                    shut: shut.clone(),
                    level: item.tags.level(),
                });
            }
            continue;
        }
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
            closed: shut.for_good(),
            level: item.tags.level(),
        };
        list.push(Piece {
            runway,
            item,
            shut: shut.clone(),
        });
    }
}

/// Whether a text is a pair of runway designators, such as "18L/36R".
pub(super) fn is_pair(text: &str) -> bool {
    let parts: Vec<&str> = text.split('/').map(str::trim).collect();
    parts.len() == 2 && parts.iter().all(|p| number(p).is_some())
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

pub(super) fn designators(desk: &mut Desk, item: &Item<'_>, line: &[Xy]) -> [Option<String>; 2] {
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
pub(super) fn merged(desk: &mut Desk, mut list: Vec<Piece<'_>>, closures: &mut Vec<Closure>) -> Vec<Runway> {
    let mut i = 0;
    while i < list.len() {
        let mut others: Vec<String> = Vec::new();
        while let Some((j, line)) = (i + 1..list.len()).find_map(|j| {
            let alike = list[i].shut == list[j].shut;
            joined(&list[i].runway, &list[j].runway)
                .filter(|_| alike)
                .map(|l| (j, l))
        }) {
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
    for p in &list {
        closures.extend(p.shut.dated(&p.runway.id, called(&p.runway)));
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
