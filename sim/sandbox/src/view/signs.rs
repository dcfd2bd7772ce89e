//! Upright signs where an aerodrome has them. Colours as published: mandatory white on red, location yellow on black,
//! direction black on yellow with an arrow (AIM 2-3-8 to 2-3-10; ICAO Annex 14 5.4). A sign is drawn only where the map gives
//! a name and a place to put it; the places beside the pavement are ours, and so are the dimensions, close to the smallest
//! that Annex 14 allows.

use super::free_ground::FreeGround;
use super::glyphs::{self, Hand, width};
use super::junctions::{self, Junction};
use super::markings::{HoldingPlace, flat, guards_runway, holding_place};
use super::palette;
use super::sketch::Sketch;
use crate::convert::{narrow, world};
use bevy::prelude::{Color, Quat, Vec3};
use toeline_model::airfield::Runway;
use toeline_model::planar::closest_on_line;
use toeline_model::{Airfield, Xy};

/// Height of the letters, metres.
const LETTER_M: f32 = 0.40;
/// Height of a sign's face, metres.
const FACE_M: f32 = 0.62;
/// Foot of a sign above the ground, metres.
const FOOT_M: f64 = 0.25;
/// From the edge of the lane to the near end of the sign, metres.
const FROM_EDGE_M: f64 = 5.0;
/// A holding position this near to a runway's end stands at that end: its sign names that runway alone, metres. Ours.
const AT_END_M: f64 = 60.0;
/// Nearest two groups of boards, metres. Ours.
const APART_M: f64 = 6.0;

/// What a board is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum BoardKind {
    /// Do not pass without leave.
    Mandatory,
    /// Where you are.
    Location,
    /// Where that way leads.
    Direction,
}

/// One board of a sign.
#[derive(Clone, Debug, PartialEq)]
pub struct Board {
    /// What it is for.
    pub kind: BoardKind,
    /// Its words.
    pub text: String,
    /// Its arrow: the turn to the left from straight ahead, radians.
    pub arrow_rad: Option<f64>,
}

/// A row of boards, read while moving `toward`.
#[derive(Clone, Debug, PartialEq)]
pub struct Sign {
    /// Middle of its foot.
    pub at: Xy,
    /// Direction of those who read it.
    pub toward: Xy,
    /// From left to right as they see it.
    pub boards: Vec<Board>,
}

/// All signs of a field.
pub fn signs(field: &Airfield) -> Vec<Sign> {
    let free = FreeGround::new(field);
    let mut all: Vec<Sign> = Vec::new();
    let mut put = |sign: Option<Sign>| {
        if let Some(sign) = sign
            && all.iter().all(|s| s.at.distance(sign.at) > APART_M)
        {
            all.push(sign);
        }
    };
    for h in &field.holding_positions {
        let Some(place) = holding_place(field, h) else { continue };
        let lane = h.name.clone().or_else(|| place.lane.letters.first().cloned());
        let runway = place.runway.filter(|_| guards_runway(h, &place));
        let words = runway.map(|r| designators(r, &place)).unwrap_or_default();
        for left in [true, false] {
            put(at_holding(&free, &place, &words, lane.as_deref(), left));
        }
    }
    for junction in junctions::find(field) {
        for i in 0..junction.arms.len() {
            put(at_junction(&free, &junction, i));
        }
    }
    all
}

/// Draws all signs.
pub fn draw(sketch: &mut Sketch, field: &Airfield) {
    for sign in signs(field) {
        let whole = sign_width_m(&sign.boards);
        let right = sign.toward.left() * -1.0;
        let mut from = -whole / 2.0;
        for b in &sign.boards {
            let wide = board_width_m(b);
            board(
                sketch,
                sign.at + right * (from + wide / 2.0),
                sign.toward,
                b,
                sign.boards.len() == 1,
            );
            from += wide + GAP_M;
        }
    }
}

/// Between two boards, metres.
const GAP_M: f64 = 0.05;

fn sign_width_m(boards: &[Board]) -> f64 {
    boards.iter().map(|b| board_width_m(b) + GAP_M).sum::<f64>() - GAP_M
}

fn board_width_m(b: &Board) -> f64 {
    let arrow = if b.arrow_rad.is_some() { ARROW } else { 0.0 };
    f64::from((width(&b.text) + 0.7 + arrow) * LETTER_M)
}

/// Room of an arrow, as a share of the letters' height.
const ARROW: f32 = 1.15;

/// What the sign at a holding position calls the runway: one designator at that runway's end, elsewhere both, the one whose
/// threshold lies to the left first (ICAO Annex 14 5.4.2, from memory).
pub fn designators(r: &Runway, place: &HoldingPlace) -> String {
    let [first, last] = &r.designators;
    let (Some(&start), Some(&end)) = (r.line.first(), r.line.last()) else {
        return String::new();
    };
    let on = closest_on_line(place.at, &r.line).map_or(place.at, |(q, _, _)| q);
    let both = || {
        let start_left = (start - on).dot(place.toward.left()) > 0.0;
        let pair = if start_left { [first, last] } else { [last, first] };
        let names: Vec<&str> = pair.into_iter().flatten().map(String::as_str).collect();
        names.join("-")
    };
    let near =
        |threshold: Xy, name: &Option<String>| (on.distance(threshold) < AT_END_M).then(|| name.clone()).flatten();
    near(start, first).or_else(|| near(end, last)).unwrap_or_else(both)
}

/// The mandatory board nearest to the pavement, the location beyond it; a location alone at an intermediate position.
fn at_holding(free: &FreeGround, place: &HoldingPlace, runway: &str, lane: Option<&str>, left: bool) -> Option<Sign> {
    let board = |kind, text: &str| Board {
        kind,
        text: text.into(),
        arrow_rad: None,
    };
    let mut boards = Vec::new();
    if !runway.is_empty() {
        boards.push(board(BoardKind::Mandatory, runway));
    }
    boards.extend(lane.map(|name| board(BoardKind::Location, name)));
    if runway.is_empty() && !left {
        // Who may pass needs to be told once.
        return None;
    }
    if left {
        boards.reverse();
    }
    beside(free, place.at, place.toward, place.width_m, boards, left)
}

/// The way on for those who come along one arm: every other lettered way, left turns to the left of where you are.
fn at_junction(free: &FreeGround, junction: &Junction, from: usize) -> Option<Sign> {
    let own = &junction.arms[from];
    let before = own.sign_at_m?;
    let toward = own.away * -1.0;
    let mut ways: Vec<(f64, &str)> = junction
        .arms
        .iter()
        .filter(|a| a.letter != own.letter)
        .map(|a| (toward.cross(a.away).atan2(toward.dot(a.away)), a.letter.as_str()))
        .collect();
    ways.sort_by(|a, b| b.0.total_cmp(&a.0));
    ways.dedup_by(|a, b| a.1 == b.1 && (a.0 - b.0).abs() < 0.35);
    if ways.is_empty() {
        return None;
    }
    let direction = |(turn, letter): &(f64, &str)| Board {
        kind: BoardKind::Direction,
        text: (*letter).into(),
        arrow_rad: Some((turn / (std::f64::consts::PI / 4.0)).round() * std::f64::consts::PI / 4.0),
    };
    let mut boards: Vec<Board> = ways.iter().filter(|w| w.0 > 0.0).map(direction).collect();
    boards.push(Board {
        kind: BoardKind::Location,
        text: own.letter.clone(),
        arrow_rad: None,
    });
    boards.extend(ways.iter().filter(|w| w.0 <= 0.0).map(direction));
    let at = junction.at + own.away * before;
    let sign = |left| beside(free, at, toward, own.width_m, boards.clone(), left);
    sign(true).or_else(|| sign(false))
}

fn beside(free: &FreeGround, at: Xy, toward: Xy, width_m: f64, boards: Vec<Board>, left: bool) -> Option<Sign> {
    let whole = sign_width_m(&boards);
    let out = toward.left() * (width_m / 2.0 + FROM_EDGE_M + whole / 2.0);
    let at = if left { at + out } else { at - out };
    (!boards.is_empty() && free.is_free(at, whole / 2.0 + 1.0)).then_some(Sign { at, toward, boards })
}

fn board(sketch: &mut Sketch, at: Xy, toward: Xy, b: &Board, alone: bool) {
    let (face, ink) = match b.kind {
        BoardKind::Mandatory => (palette::RED, palette::WHITE),
        BoardKind::Location => (palette::BLACK, palette::YELLOW),
        BoardKind::Direction => (palette::YELLOW, palette::BLACK),
    };
    let right = flat(toward.left() * -1.0);
    let front = flat(toward * -1.0);
    let wide = narrow(board_width_m(b));
    let half = right * wide / 2.0;
    let foot = world(at, FOOT_M);
    let up = Vec3::Y * FACE_M;
    let thick = front * -0.15;
    let corners = [foot - half, foot + half, foot + half + up, foot - half + up];
    sketch.face(&corners, face);
    if alone && b.kind == BoardKind::Location {
        rim(sketch, &corners, front, right, ink);
    }
    // Back, ends and top in black; nobody sees it from below.
    let back = corners.map(|c| c + thick);
    sketch.face(&[back[1], back[0], back[3], back[2]], palette::BLACK);
    for i in 1..4 {
        let j = (i + 1) % 4;
        sketch.face(&[corners[j], corners[i], back[i], back[j]], palette::BLACK);
    }
    for end in [-0.7, 0.7] {
        let leg = world(at, 0.0) + half * end + thick * 0.5;
        sketch.bar(leg, leg + Vec3::Y * narrow(FOOT_M), (0.03, 0.03), 3, palette::BLACK);
    }
    // Text and arrow share the face: the arrow stands on the side that it points to.
    let to_left = b.arrow_rad.is_some_and(|turn| turn > 0.1);
    let shift = b.arrow_rad.map_or(0.0, |_| ARROW * LETTER_M / 2.0) * if to_left { 1.0 } else { -1.0 };
    let low = foot + Vec3::Y * ((FACE_M - LETTER_M) / 2.0) + front * 0.01;
    let hand = Hand {
        foot: low + right * shift,
        right,
        up: Vec3::Y,
        height: LETTER_M,
        stroke: 0.07,
    };
    glyphs::write(sketch, &b.text, hand, ink);
    if let Some(turn) = b.arrow_rad {
        let aside = (width(&b.text) + 0.15) * LETTER_M / 2.0 + shift.abs() - 0.02;
        let middle = low + Vec3::Y * (LETTER_M / 2.0) + right * if to_left { -aside } else { aside };
        arrow(sketch, middle, right, front, narrow(turn), ink);
    }
}

fn rim(sketch: &mut Sketch, corners: &[Vec3; 4], front: Vec3, right: Vec3, ink: Color) {
    let (inset, thick) = (0.04, 0.03);
    let lift = front * 0.006;
    let sides = [
        (
            corners[0] + (right + Vec3::Y) * inset,
            corners[1] + (Vec3::Y - right) * inset,
        ),
        (
            corners[3] + (right - Vec3::Y) * inset,
            corners[2] - (right + Vec3::Y) * inset,
        ),
        (
            corners[0] + (right + Vec3::Y) * inset,
            corners[3] + (right - Vec3::Y) * inset,
        ),
        (
            corners[1] + (Vec3::Y - right) * inset,
            corners[2] - (right + Vec3::Y) * inset,
        ),
    ];
    for (a, b) in sides {
        let along = (b - a).normalize_or(Vec3::Y);
        let side = front.cross(along) * (thick / 2.0);
        let quad = [a - side, b - side, b + side, a + side].map(|p| p + lift);
        sketch.leaf(&quad, ink);
    }
}

/// A shaft with a head; a turn of zero points up.
fn arrow(sketch: &mut Sketch, middle: Vec3, right: Vec3, front: Vec3, turn_rad: f32, ink: Color) {
    let spin = Quat::from_axis_angle(front, turn_rad);
    let (ahead, side) = (spin * Vec3::Y, spin * right);
    let at = |along: f32, across: f32| middle + (ahead * along + side * across) * LETTER_M;
    let shaft = 0.09;
    sketch.face(
        &[at(-0.46, -shaft), at(-0.46, shaft), at(0.15, shaft), at(0.15, -shaft)],
        ink,
    );
    sketch.face(&[at(0.05, -0.30), at(0.05, 0.30), at(0.48, 0.0)], ink);
}
