//! What the instruments show: needles, the two cards, the horizon, the ball.

use super::Look;
use super::faces::{ball_place, straight_scale, turn_pivot};
use super::ink::{Ink, circle, spoke};
use super::letters::{Hand, write};
use crate::convert::narrow;
use crate::panel::layout::Dial;
use crate::panel::scales::{self, Straight};
use crate::view::palette;
use bevy::prelude::*;
use core::cmp::Ordering;
use toeline_model::units::DEG;

/// Way of the horizon for a radian of pitch, radii of the dial: 25 degrees reach the rim.
const PITCH_R: f32 = 1.9;

/// Draws all of it.
pub fn draw(ink: &mut Ink, look: &Look) {
    let shown = &look.panel.shown;
    for (dial, at, r) in &look.layout.dials {
        let (at, r) = (*at, *r);
        match dial {
            Dial::Airspeed => needle(
                ink,
                at,
                0.78 * r,
                0.075 * r,
                narrow(scales::airspeed_rad(shown.air.airspeed_mps)),
            ),
            Dial::Attitude => attitude(ink, at, r, narrow(shown.gyros.pitch_rad), narrow(shown.gyros.roll_rad)),
            Dial::Altimeter => {
                let [long, short] = scales::altitude_rad(shown.air.altitude_m).map(narrow);
                needle(ink, at, 0.46 * r, 0.135 * r, short);
                needle(ink, at, 0.82 * r, 0.070 * r, long);
            }
            Dial::Turn => turn(ink, at, r, shown.gyros.turn_radps, shown.gyros.ball_rad),
            Dial::Heading => heading(ink, at, r, shown.gyros.heading_rad),
            Dial::Climb => needle(
                ink,
                at,
                0.78 * r,
                0.075 * r,
                narrow(scales::climb_rad(shown.air.vertical_mps)),
            ),
            Dial::Rpm => {
                let most = scales::rpm_most(&look.scene.aircraft);
                needle(ink, at, 0.80 * r, 0.075 * r, narrow(scales::rpm_rad(shown.rpm, most)));
            }
        }
    }
    compass(ink, look.layout.compass, shown.compass.reading_rad, look.layout.cell);
    let a = &look.scene.aircraft;
    let gauges = [
        (Some(Straight::oil_c(a)), shown.oil_c),
        (Some(Straight::oil_kpa(a)), shown.oil_kpa),
        (Straight::suction_kpa(a), shown.suction_kpa),
    ];
    for (area, (gauge, value)) in look.layout.straight.iter().zip(gauges) {
        if let Some(gauge) = gauge {
            pointer(ink, *area, &gauge, value, look.layout.cell);
        }
    }
}

/// A plain tapered needle with a hub.
fn needle(ink: &mut Ink, at: Vec2, long: f32, wide: f32, rad: f32) {
    let (out, side) = (spoke(rad), spoke(rad).perp());
    let shape = |grow: f32| {
        [
            at - out * grow - side * (wide / 2.0 + grow),
            at + out * 0.72 * long - side * (wide / 2.0 + grow),
            at + out * (long + grow),
            at + out * 0.72 * long + side * (wide / 2.0 + grow),
            at - out * grow + side * (wide / 2.0 + grow),
        ]
    };
    // A dark rim keeps it apart from the marks that it passes over.
    ink.area(&shape(0.22 * wide), palette::FACE);
    ink.area(&shape(0.0), palette::MARK);
    ink.disc(at, 0.95 * wide, palette::RIM);
}

fn pointer(ink: &mut Ink, area: Rect, gauge: &Straight, value: f64, cell: f32) {
    let [left, right] = straight_scale(area);
    let tip = left.lerp(right, narrow(gauge.place(value)));
    let (side, high) = (Vec2::new(0.055 * cell, 0.0), Vec2::new(0.0, 0.115 * cell));
    let colour = match gauge.holds(value) {
        Ordering::Equal => palette::MARK,
        _ => palette::SET,
    };
    ink.line(&[tip - high, tip], 0.055 * cell, palette::FACE);
    ink.line(&[tip - high, tip], 0.028 * cell, colour);
    ink.area(&[tip - high * 0.0, tip - high - side, tip - high + side], colour);
}

fn attitude(ink: &mut Ink, at: Vec2, r: f32, pitch: f32, roll: f32) {
    let inner = 0.84 * r;
    let along = Vec2::from_angle(-roll);
    let down = along.perp();
    let horizon = at + down * (pitch * PITCH_R * r);
    // The disc cut by the horizon: all its points below go to the ground.
    let rim = circle(at, inner);
    ink.disc(at, inner, palette::ABOVE);
    let below = cut(&rim, horizon, down);
    ink.area(&below, palette::BELOW);
    let chord = |line: Vec2, half: f32| {
        let off = (line - at).dot(down);
        let reach = (inner * inner - off * off).max(0.0).sqrt().min(half);
        let middle = at + down * off;
        (reach > 0.0).then_some([middle - along * reach, middle + along * reach])
    };
    if let Some(ends) = chord(horizon, 2.0 * r) {
        ink.line(&ends.map(|e| at.lerp(e, 0.985)), 0.03 * r, palette::MARK);
    }
    for deg in [-20, -10, 10, 20] {
        let half = if deg % 20 == 0 { 0.30 } else { 0.20 };
        let line = horizon - down * (deg as f32).to_radians() * PITCH_R * r;
        if (line - at).dot(down).abs() < 0.70 * r
            && let Some(ends) = chord(line, half * r)
        {
            ink.line(&ends, 0.022 * r, palette::MARK);
        }
    }
    // Ring with the marks of bank, which stay; the wedge leans with the horizon.
    ink.ring(at, 0.91 * r, 0.15 * r, palette::FACE);
    for deg in [-60, -30, -20, -10, 0, 10, 20, 30, 60] {
        let out = spoke((deg as f32).to_radians());
        let from = if deg % 30 == 0 { 0.85 } else { 0.89 };
        ink.line(&[at + out * from * r, at + out * 0.95 * r], 0.028 * r, palette::MARK);
    }
    let out = spoke(-roll);
    let side = out.perp() * 0.07 * r;
    let (tip, foot) = (at + out * 0.83 * r, at + out * 0.68 * r);
    ink.area(&[tip, foot + side, foot - side], palette::MARK);
    // The aeroplane: a bar on either side and a point between, in front of everything.
    for side in [-1.0, 1.0] {
        let bar = [
            Vec2::new(0.62 * side * r, 0.0),
            Vec2::new(0.24 * side * r, 0.0),
            Vec2::new(0.24 * side * r, 0.10 * r),
        ];
        ink.line(&bar.map(|p| at + p), 0.10 * r, palette::FACE);
        ink.line(&bar.map(|p| at + p), 0.055 * r, palette::SET);
    }
    ink.disc(at, 0.055 * r, palette::FACE);
    ink.disc(at, 0.04 * r, palette::SET);
}

/// The part of a convex outline on the side that a direction points to from a point.
fn cut(ring: &[Vec2], through: Vec2, toward: Vec2) -> Vec<Vec2> {
    let depth = |p: Vec2| (p - through).dot(toward);
    let mut out = vec![];
    for i in 0..ring.len() {
        let (a, b) = (ring[i], ring[(i + 1) % ring.len()]);
        let (da, db) = (depth(a), depth(b));
        if da >= 0.0 {
            out.push(a);
        }
        if (da < 0.0) != (db < 0.0) {
            out.push(a.lerp(b, da / (da - db)));
        }
    }
    out
}

fn turn(ink: &mut Ink, at: Vec2, r: f32, right_radps: f64, ball_rad: f64) {
    let (pivot, rad) = (turn_pivot(at, r), narrow(scales::turn_rad(right_radps)));
    let out = spoke(rad);
    let side = out.perp() * 0.055 * r;
    let (foot, tip) = (pivot - out * 0.05 * r, pivot + out * 0.72 * r);
    ink.area(
        &[foot + side, foot - side, tip - side, tip + out * 0.06 * r, tip + side],
        palette::MARK,
    );
    let ball = ball_place(at, r, narrow(scales::ball_share(ball_rad)));
    ink.disc(ball, 0.088 * r, palette::FACE);
}

/// Letters of the four quarters and tens of degrees between, as headings are written.
fn mark_name(deg: i32) -> String {
    match deg {
        0 => "N".into(),
        90 => "E".into(),
        180 => "S".into(),
        270 => "W".into(),
        d => (d / 10).to_string(),
    }
}

fn heading(ink: &mut Ink, at: Vec2, r: f32, heading_rad: f64) {
    for deg in (0..360).step_by(5) {
        let rad = narrow(scales::heading_mark_rad(f64::from(deg) * DEG, heading_rad));
        let out = spoke(rad);
        let (from, wide) = if deg % 10 == 0 { (0.80, 0.026) } else { (0.86, 0.018) };
        ink.line(&[at + out * from * r, at + out * 0.92 * r], wide * r, palette::MARK);
        if deg % 30 == 0 {
            let quarter = deg % 90 == 0;
            let hand = Hand {
                turned: rad,
                ..Hand::upright(if quarter { 0.20 } else { 0.165 } * r, palette::MARK)
            };
            write(ink, &mark_name(deg), at + out * 0.63 * r, hand);
        }
    }
    // The case: a wedge at the top and the aeroplane in the middle.
    let wedge = [Vec2::new(0.0, -0.76), Vec2::new(-0.075, -0.97), Vec2::new(0.075, -0.97)];
    ink.area(&wedge.map(|p| at + p * r), palette::SET);
    let strokes: [&[Vec2]; 3] = [
        &[Vec2::new(0.0, -0.34), Vec2::new(0.0, 0.30)],
        &[Vec2::new(-0.27, -0.06), Vec2::new(0.27, -0.06)],
        &[Vec2::new(-0.11, 0.27), Vec2::new(0.11, 0.27)],
    ];
    for stroke in strokes {
        let line: Vec<Vec2> = stroke.iter().map(|p| at + *p * r).collect();
        ink.line(&line, 0.055 * r, palette::SET);
    }
}

/// The card of the compass seen through its window: the near side, so figures grow to the left.
fn compass(ink: &mut Ink, window: Rect, reading_rad: f64, cell: f32) {
    ink.plate(window, 0.05 * cell, palette::FACE);
    let middle = window.center();
    let wide = 0.80 * window.width();
    for deg in (0..360).step_by(10) {
        let [across, front] = scales::compass_mark(f64::from(deg) * DEG, reading_rad).map(narrow);
        let x = across * wide;
        if front <= 0.2 || x.abs() > 0.46 * window.width() {
            continue;
        }
        let at = Vec2::new(middle.x + x, window.max.y);
        let (long, thick) = if deg % 30 == 0 { (0.12, 0.022) } else { (0.07, 0.014) };
        ink.line(
            &[
                at - Vec2::new(0.0, 0.03 * cell),
                at - Vec2::new(0.0, (0.03 + long) * cell),
            ],
            thick * cell,
            palette::MARK,
        );
        if deg % 30 == 0 && x.abs() < 0.40 * window.width() {
            let hand = Hand::upright(0.105 * cell, palette::MARK);
            write(ink, &mark_name(deg), at - Vec2::new(0.0, 0.235 * cell), hand);
        }
    }
    ink.line(
        &[
            Vec2::new(middle.x, window.min.y + 0.03 * cell),
            Vec2::new(middle.x, window.max.y - 0.03 * cell),
        ],
        0.018 * cell,
        palette::SET,
    );
    ink.frame(window, 0.05 * cell, 0.012 * cell, palette::RIM);
}
