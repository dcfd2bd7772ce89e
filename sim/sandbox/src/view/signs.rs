//! Upright signs where an aerodrome has them: white on red at a runway-holding position, with the yellow letter of the lane
//! on black beside it. Dimensions ours, close to the smallest that Annex 14 allows.

use super::glyphs::{self, Hand, width};
use super::markings::{HoldingPlace, flat, holding_place};
use super::palette;
use super::sketch::Sketch;
use crate::convert::{narrow, world};
use bevy::prelude::{Color, Vec3};
use toeline_model::airfield::HoldingKind;
use toeline_model::{Airfield, Xy};

/// Height of the letters, metres.
const LETTER_M: f32 = 0.40;
/// Height of a sign's face, metres.
const FACE_M: f32 = 0.62;
/// Foot of a sign above the ground, metres.
const FOOT_M: f64 = 0.25;
/// From the edge of the lane to the near end of the sign, metres.
const FROM_EDGE_M: f64 = 5.0;

/// Draws all signs.
pub fn draw(sketch: &mut Sketch, field: &Airfield) {
    for h in &field.holding_positions {
        if h.kind == HoldingKind::Intermediate {
            continue;
        }
        if let Some(place) = holding_place(field, h) {
            at_holding(sketch, &place, h.name.as_deref());
        }
    }
}

fn at_holding(sketch: &mut Sketch, place: &HoldingPlace, name: Option<&str>) {
    let runway = place.runway.map_or(String::new(), |r| {
        let ends: Vec<&str> = r.designators.iter().flatten().map(String::as_str).collect();
        ends.join("-")
    });
    let lane = name.map_or_else(
        || place.lane.letters.first().cloned().unwrap_or_default(),
        str::to_string,
    );
    // On the left, where the pilot sits: the mandatory sign nearest to the pavement.
    let left = place.toward.left();
    let mut out = place.width_m / 2.0 + FROM_EDGE_M;
    for (text, face, ink) in [
        (runway.as_str(), palette::RED, palette::WHITE),
        (lane.as_str(), palette::BLACK, palette::YELLOW),
    ] {
        if text.is_empty() {
            continue;
        }
        let wide = f64::from(face_width(text));
        let at = place.at + left * (out + wide / 2.0);
        board(sketch, at, place.toward, text, face, ink);
        out += wide + 0.05;
    }
}

fn face_width(text: &str) -> f32 {
    (width(text) + 0.7) * LETTER_M
}

/// One board that is read while moving in a direction.
fn board(sketch: &mut Sketch, at: Xy, toward: Xy, text: &str, face: Color, ink: Color) {
    let right = flat(toward.left() * -1.0);
    let front = flat(toward * -1.0);
    let half = right * face_width(text) / 2.0;
    let foot = world(at, FOOT_M);
    let up = Vec3::Y * FACE_M;
    let thick = front * -0.15;
    let corners = [foot - half, foot + half, foot + half + up, foot - half + up];
    sketch.face(&corners, face);
    // Back, ends and top in black.
    let back = corners.map(|c| c + thick);
    sketch.face(&[back[1], back[0], back[3], back[2]], palette::BLACK);
    for i in 0..4 {
        let j = (i + 1) % 4;
        sketch.leaf(&[corners[i], corners[j], back[j], back[i]], palette::BLACK);
    }
    for end in [-0.7, 0.7] {
        let leg = world(at, 0.0) + half * end + thick * 0.5;
        sketch.bar(leg, leg + Vec3::Y * narrow(FOOT_M), (0.03, 0.03), 5, palette::POLE);
    }
    let hand = Hand {
        foot: foot + Vec3::Y * ((FACE_M - LETTER_M) / 2.0) + front * 0.01,
        right,
        up: Vec3::Y,
        height: LETTER_M,
        stroke: 0.07,
    };
    glyphs::write(sketch, text, hand, ink);
}
