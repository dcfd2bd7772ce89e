//! Where on the field a notice means: by identity, else by name, and by the part that it draws or names.

use super::notam::{Kind, Target};
use super::stretch;
use crate::plane::LocalPlane;
use toeline_model::airfield::{Airfield, Closed, LaneKind, NamedArea};
use toeline_model::planar::{bounds, meets_ring};

/// Something of the field that is closed.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Placed {
    /// Its feature.
    pub(super) feature: String,
    /// What it is called: "taxiway B".
    pub(super) called: String,
    /// What of it.
    pub(super) closed: Closed,
}

/// What came of placing one target.
pub(super) enum Found {
    /// What is closed; something at least.
    On(Vec<Placed>),
    /// Why it cannot be placed.
    Nowhere(String),
}

/// Names the same, whatever the letter case and the blanks around.
fn same(a: &str, b: &str) -> bool {
    a.trim().eq_ignore_ascii_case(b.trim()) || a.trim().to_lowercase() == b.trim().to_lowercase()
}

/// The name without the word for its sort before it: "APRON B" is apron B, "TWY C" taxiway C.
fn bare(kind: Kind, name: &str) -> &str {
    let words: &[&str] = match kind {
        Kind::Taxiway => &["taxiway", "taxilane", "twy", "txl"],
        Kind::Stand => &["stand", "acft stand", "aircraft stand"],
        Kind::Apron => &["apron", "apn"],
        Kind::Runway => &["runway", "rwy"],
        Kind::HoldingPosition => &["holding position", "holding point", "hold"],
        Kind::Pavement | Kind::Line | Kind::Area => &[],
    };
    let name = name.trim();
    words
        .iter()
        .find_map(|w| {
            let (head, rest) = name.split_at_checked(w.len())?;
            (head.eq_ignore_ascii_case(w) && rest.starts_with(' ')).then(|| rest.trim())
        })
        .unwrap_or(name)
}

fn named(kind: Kind, name: &str, asked: &str) -> bool {
    same(name, asked) || same(bare(kind, name), bare(kind, asked))
}

/// "taxiway B", as every other sentence has it.
pub(super) fn lane_called(field: &Airfield, i: usize) -> String {
    let l = &field.lanes[i];
    let word = match l.kind {
        LaneKind::Taxiway => "taxiway",
        LaneKind::Taxilane => "taxilane",
    };
    match l.letters.as_slice() {
        [] => format!("unnamed {word}"),
        list => format!("{word} {}", list.join("/")),
    }
}

/// The lanes that bear a letter.
pub(super) fn lanes_named(field: &Airfield, asked: &str) -> Vec<usize> {
    let bears = |i: &usize| field.lanes[*i].letters.iter().any(|l| named(Kind::Taxiway, l, asked));
    (0..field.lanes.len()).filter(bears).collect()
}

pub(super) fn runways_named(field: &Airfield, asked: &str) -> Vec<usize> {
    let asked = bare(Kind::Runway, asked);
    let bears = |i: &usize| {
        let d = &field.runways[*i].designators;
        let both = match d {
            [Some(a), Some(b)] => [format!("{a}/{b}"), format!("{b}/{a}")].iter().any(|n| same(n, asked)),
            _ => false,
        };
        both || d.iter().flatten().any(|n| same(n, asked))
    };
    (0..field.runways.len()).filter(bears).collect()
}

pub(super) fn stands_named(field: &Airfield, asked: &str) -> Vec<usize> {
    let bears = |i: &usize| {
        field.stands[*i]
            .name
            .as_deref()
            .is_some_and(|n| named(Kind::Stand, n, asked))
    };
    (0..field.stands.len()).filter(bears).collect()
}

pub(super) fn holds_named(field: &Airfield, asked: &str) -> Vec<usize> {
    let list = &field.holding_positions;
    let bears = |i: &usize| {
        list[*i]
            .name
            .as_deref()
            .is_some_and(|n| named(Kind::HoldingPosition, n, asked))
    };
    (0..list.len()).filter(bears).collect()
}

/// Places a target.
pub(super) fn place(field: &Airfield, plane: &LocalPlane, target: &Target) -> Found {
    if let Some(said) = &target.said {
        return Found::Nowhere(format!(
            "which part of {} is meant stands only in words: \"{said}\"",
            target.words()
        ));
    }
    if target.kind == Kind::Area {
        return match &target.ring {
            Some(_) => drawn(field, plane, target),
            None => Found::Nowhere("it draws no area".to_string()),
        };
    }
    let by_identity = target.identity.as_deref().map(|id| of_identity(field, id));
    let list = match by_identity {
        Some(list) if !list.is_empty() => list,
        _ => match &target.name {
            Some(name) => match of_name(field, target.kind, name) {
                Ok(list) => list,
                Err(why) => return Found::Nowhere(why),
            },
            None => {
                return Found::Nowhere(format!(
                    "the map has nothing of the identity of this {} ({}), and the notice does not name it",
                    target.kind.word(),
                    target.identity.as_deref().unwrap_or("none given")
                ));
            }
        },
    };
    if let Some(between) = &target.between {
        return stretch::between(field, target, between);
    }
    match &target.ring {
        Some(_) => cut(field, plane, target, list),
        None => Found::On(list),
    }
}

/// Everything of the map that bears an identity.
fn of_identity(field: &Airfield, identity: &str) -> Vec<Placed> {
    let id = identity.to_lowercase();
    let bears = |feature: &str| field.identities.get(feature).is_some_and(|l| l.contains(&id));
    let mut list = Vec::new();
    let mut add = |feature: &str, called: String, closed: Closed| {
        list.push(Placed {
            feature: feature.to_string(),
            called,
            closed,
        });
    };
    for i in (0..field.lanes.len()).filter(|i| bears(&field.lanes[*i].id)) {
        add(&field.lanes[i].id, lane_called(field, i), Closed::Itself);
    }
    for i in (0..field.stands.len()).filter(|i| bears(&field.stands[*i].id)) {
        add(&field.stands[i].id, stand_called(field, i), Closed::Itself);
    }
    for i in (0..field.runways.len()).filter(|i| bears(&field.runways[*i].id)) {
        add(&field.runways[i].id, runway_called(field, i), Closed::Itself);
    }
    for i in (0..field.holding_positions.len()).filter(|i| bears(&field.holding_positions[*i].id)) {
        add(&field.holding_positions[i].id, hold_called(field, i), Closed::Itself);
    }
    for a in field.outlines.iter().filter(|a| bears(&a.id)) {
        add(&a.id, area_called("pavement", a), Closed::Pavement(a.outer.clone()));
    }
    for a in field.aprons.iter().filter(|a| bears(&a.id)) {
        add(&a.id, area_called("apron", a), Closed::Within(a.outer.clone()));
    }
    for (word, areas) in [
        ("engine-check area", &field.check_areas),
        ("hot spot", &field.hot_spots),
        ("helipad", &field.helipads),
    ] {
        for a in areas.iter().filter(|a| bears(&a.id)) {
            add(&a.id, area_called(word, a), Closed::Within(a.outer.clone()));
        }
    }
    list
}

/// The one thing of a sort and name, with all its pieces; or why it is not one.
fn of_name(field: &Airfield, kind: Kind, name: &str) -> Result<Vec<Placed>, String> {
    let itself = |feature: &str, called: String| Placed {
        feature: feature.to_string(),
        called,
        closed: Closed::Itself,
    };
    // Several of one name are not one thing.
    let only = |all: Vec<usize>, placed: &dyn Fn(usize) -> Placed| {
        let one = all.len() < 2;
        (all.into_iter().map(placed).collect::<Vec<_>>(), one)
    };
    let (list, one): (Vec<Placed>, bool) = match kind {
        Kind::Taxiway | Kind::Line => {
            let lanes = lanes_named(field, name);
            let one = stretch::hang_together(field, &lanes);
            (
                lanes
                    .into_iter()
                    .map(|i| itself(&field.lanes[i].id, lane_called(field, i)))
                    .collect(),
                one,
            )
        }
        Kind::Runway => only(runways_named(field, name), &|i| {
            itself(&field.runways[i].id, runway_called(field, i))
        }),
        Kind::Stand => only(stands_named(field, name), &|i| {
            itself(&field.stands[i].id, stand_called(field, i))
        }),
        Kind::HoldingPosition => only(holds_named(field, name), &|i| {
            itself(&field.holding_positions[i].id, hold_called(field, i))
        }),
        Kind::Apron => {
            let bears = |a: &&NamedArea| a.name.as_deref().is_some_and(|n| named(kind, n, name));
            let all: Vec<Placed> = field
                .aprons
                .iter()
                .filter(bears)
                .map(|a| Placed {
                    feature: a.id.clone(),
                    called: area_called("apron", a),
                    closed: Closed::Within(a.outer.clone()),
                })
                .collect();
            // An apron may be drawn in pieces.
            (all, true)
        }
        Kind::Pavement | Kind::Area => (Vec::new(), true),
    };
    match (list.is_empty(), one) {
        (true, _) => Err(format!("the map has no {} {name}", kind.word())),
        (false, false) => {
            let features: Vec<&str> = list.iter().take(6).map(|p| p.feature.as_str()).collect();
            Err(format!(
                "the map has {} things called {} {name} that are not one ({}); which is meant is not known",
                list.len(),
                kind.word(),
                features.join(", ")
            ))
        }
        (false, true) => Ok(list),
    }
}

/// An area that the notice draws itself.
fn drawn(field: &Airfield, plane: &LocalPlane, target: &Target) -> Found {
    let ring: Vec<_> = target.ring.iter().flatten().map(|p| plane.to_xy(*p)).collect();
    let name = target.name.as_deref().unwrap_or("drawn by the notice");
    let on_field = bounds(field_places(field))
        .zip(bounds(ring.iter().copied()))
        .is_some_and(|((a, b), (lo, hi))| {
            lo.x <= b.x + NEAR_M && hi.x >= a.x - NEAR_M && lo.y <= b.y + NEAR_M && hi.y >= a.y - NEAR_M
        });
    if !on_field {
        return Found::Nowhere(format!(
            "the area that it draws lies more than {NEAR_M:.0} m off every runway, lane and stand of this field"
        ));
    }
    Found::On(vec![Placed {
        feature: String::new(),
        called: format!("area {name}"),
        closed: Closed::Within(ring),
    }])
}

/// An area farther than this from everything that one taxies on is drawn for another place, or wrongly, metres. Ours.
const NEAR_M: f64 = 500.0;

fn field_places(field: &Airfield) -> impl Iterator<Item = toeline_model::Xy> + '_ {
    let lanes = field.lanes.iter().flat_map(|l| l.line.iter());
    let runways = field.runways.iter().flat_map(|r| r.line.iter());
    let stands = field.stands.iter().flat_map(|s| s.line.iter());
    lanes.chain(runways).chain(stands).copied()
}

/// The part of what is named that lies in the ring of the notice.
fn cut(field: &Airfield, plane: &LocalPlane, target: &Target, list: Vec<Placed>) -> Found {
    let ring: Vec<_> = target.ring.iter().flatten().map(|p| plane.to_xy(*p)).collect();
    let line_of = |feature: &str| {
        let lane = field.lanes.iter().find(|l| l.id == feature).map(|l| &l.line);
        lane.or_else(|| field.runways.iter().find(|r| r.id == feature).map(|r| &r.line))
            .or_else(|| field.stands.iter().find(|s| s.id == feature).map(|s| &s.line))
    };
    let meets = |p: &Placed| match p.closed.ring() {
        Some(own) => {
            let around: Vec<_> = own.iter().chain(own.first()).copied().collect();
            meets_ring(&around, &ring) || meets_ring(&ring, own)
        }
        None => line_of(&p.feature).is_some_and(|line| meets_ring(line, &ring)),
    };
    let mut kept: Vec<Placed> = Vec::new();
    for p in list.into_iter().filter(|p| meets(p)) {
        let lane = p.closed == Closed::Itself && field.lanes.iter().any(|l| l.id == p.feature);
        let closed = if lane {
            Closed::Within(ring.clone())
        } else {
            p.closed.clone()
        };
        kept.push(Placed { closed, ..p });
    }
    if kept.is_empty() {
        return Found::Nowhere(format!(
            "the part that it draws touches nothing of {} on this map",
            target.words()
        ));
    }
    Found::On(kept)
}

fn stand_called(field: &Airfield, i: usize) -> String {
    let s = &field.stands[i];
    s.name
        .as_ref()
        .map_or_else(|| format!("stand without name ({})", s.id), |n| format!("stand {n}"))
}

fn hold_called(field: &Airfield, i: usize) -> String {
    let h = &field.holding_positions[i];
    format!("holding position {}", h.name.as_ref().unwrap_or(&h.id))
}

fn runway_called(field: &Airfield, i: usize) -> String {
    let r = &field.runways[i];
    match &r.designators {
        [Some(a), Some(b)] => {
            let (low, high) = if a <= b { (a, b) } else { (b, a) };
            format!("runway {low}/{high}")
        }
        [Some(a), None] | [None, Some(a)] => format!("runway {a}"),
        [None, None] => format!("runway without designator ({})", r.id),
    }
}

fn area_called(word: &str, a: &NamedArea) -> String {
    match &a.name {
        Some(name) if word == "apron" => format!("{word} {}", bare(Kind::Apron, name)),
        Some(name) => format!("{word} {name}"),
        None => format!("{word} ({})", a.id),
    }
}
