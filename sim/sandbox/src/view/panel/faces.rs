//! Everything on the panel that does not move: board, dials with their marks, names.

use super::ink::{Ink, spoke};
use super::letters::{Hand, Side, write};
use crate::convert::narrow;
use crate::panel::layout::{Dial, Form, Layout};
use crate::panel::scales::{self, Straight};
use crate::view::palette;
use bevy::prelude::*;
use toeline_model::Aircraft;
use toeline_model::units::KNOT_MPS;

/// Draws the board and all faces.
pub fn draw(ink: &mut Ink, layout: &Layout, a: &Aircraft) {
    if layout.form == Form::Hidden {
        return;
    }
    board(ink, layout);
    for (dial, at, r) in &layout.dials {
        ink.disc(*at, *r, palette::FACE);
        match dial {
            Dial::Airspeed => airspeed(ink, *at, *r),
            Dial::Altimeter => altimeter(ink, *at, *r),
            Dial::Climb => climb(ink, *at, *r),
            Dial::Turn => turn(ink, *at, *r),
            Dial::Rpm => rpm(ink, *at, *r, a),
            // Drawn with their moving parts.
            Dial::Attitude | Dial::Heading => {}
        }
        ink.ring(*at, *r, 0.03 * r, palette::RIM);
    }
    let gauges = [
        ("OIL °C", Some(Straight::oil_c(a))),
        ("OIL KPA", Some(Straight::oil_kpa(a))),
        ("SUCTION KPA", Straight::suction_kpa(a)),
    ];
    for (area, (name, gauge)) in layout.straight.iter().zip(gauges) {
        straight(ink, *area, name, gauge, layout.cell);
    }
}

fn board(ink: &mut Ink, layout: &Layout) {
    let r = layout.board;
    let below = Rect::from_corners(r.min, r.max + Vec2::new(0.0, r.height()));
    let corner = match layout.form {
        Form::Full => 0.22 * layout.cell,
        _ => 0.06 * layout.cell,
    };
    ink.plate(below, corner, palette::BOARD);
    ink.frame(below, corner, (0.012 * layout.cell).max(ink.px), palette::BOARD_EDGE);
}

/// Where the scale of a straight gauge lies in its area: left end, right end.
pub fn straight_scale(area: Rect) -> [Vec2; 2] {
    let y = area.min.y + 0.56 * area.height();
    let room = 0.10 * area.width();
    [Vec2::new(area.min.x + room, y), Vec2::new(area.max.x - room, y)]
}

fn straight(ink: &mut Ink, area: Rect, name: &str, gauge: Option<Straight>, cell: f32) {
    ink.plate(area, 0.05 * cell, palette::FACE);
    ink.frame(area, 0.05 * cell, 0.012 * cell, palette::RIM);
    let high = 0.080 * cell;
    let head = Vec2::new(area.center().x, area.min.y + 0.16 * area.height());
    write(ink, name, head, Hand::upright(high, palette::NAME));
    let Some(gauge) = gauge else {
        let words = Hand::upright(high, palette::MARK);
        write(ink, "NONE", head + Vec2::new(0.0, 0.30 * area.height()), words);
        write(
            ink,
            "ELECTRIC GYROS",
            head + Vec2::new(0.0, 0.55 * area.height()),
            Hand {
                high: 0.72 * high,
                ..words
            },
        );
        return;
    };
    let [left, right] = straight_scale(area);
    let at = |value: f64| left.lerp(right, narrow(gauge.place(value)));
    let [low, top] = gauge.range.map(at);
    let thick = 0.05 * cell;
    ink.line(&[left, right], 0.015 * cell, palette::MARK);
    ink.bar(Rect::from_corners(low - Vec2::new(0.0, thick), top), palette::RANGE);
    for end in [low, top] {
        let up = Vec2::new(0.0, 0.085 * cell);
        ink.line(&[end - up, end + up * 0.25], 0.022 * cell, palette::LIMIT);
    }
    let figure = |value: f64| match value.fract() == 0.0 {
        true => format!("{value:.0}"),
        false => format!("{value:.1}"),
    };
    let words = format!("{}-{}", figure(gauge.range[0]), figure(gauge.range[1]));
    let foot = Vec2::new(area.center().x, area.max.y - 0.16 * area.height());
    write(ink, &words, foot, Hand::upright(0.080 * cell, palette::MARK));
}

fn tick(ink: &mut Ink, middle: Vec2, rad: f32, [from, to]: [f32; 2], width: f32, colour: Color) {
    let out = spoke(rad);
    // Ends are drawn half a width longer.
    let ends = [middle + out * (from + width / 2.0), middle + out * (to - width / 2.0)];
    ink.line(&ends, width, colour);
}

fn figures(r: f32) -> Hand {
    Hand::upright(0.165 * r, palette::MARK)
}

fn name(ink: &mut Ink, at: Vec2, r: f32, down: f32, text: &str) {
    write(
        ink,
        text,
        at + Vec2::new(0.0, down * r),
        Hand::upright(0.125 * r, palette::NAME),
    );
}

fn airspeed(ink: &mut Ink, at: Vec2, r: f32) {
    for kt in (40..=160).step_by(5) {
        let rad = narrow(scales::airspeed_rad(f64::from(kt) * KNOT_MPS));
        let (from, wide) = if kt % 10 == 0 { (0.80, 0.030) } else { (0.87, 0.018) };
        tick(ink, at, rad, [from * r, 0.94 * r], wide * r, palette::MARK);
        if kt % 20 == 0 {
            write(ink, &kt.to_string(), at + spoke(rad) * 0.62 * r, figures(r));
        }
    }
    tick(ink, at, 0.0, [0.80 * r, 0.94 * r], 0.030 * r, palette::MARK);
    name(ink, at, r, 0.34, "KNOTS");
}

fn altimeter(ink: &mut Ink, at: Vec2, r: f32) {
    for i in 0..50 {
        let rad = std::f32::consts::TAU * i as f32 / 50.0;
        let (from, wide) = if i % 5 == 0 { (0.80, 0.030) } else { (0.88, 0.018) };
        tick(ink, at, rad, [from * r, 0.94 * r], wide * r, palette::MARK);
        if i % 5 == 0 {
            write(ink, &(i / 5).to_string(), at + spoke(rad) * 0.65 * r, figures(r));
        }
    }
    name(ink, at, r, 0.34, "X100 FT");
}

fn climb(ink: &mut Ink, at: Vec2, r: f32) {
    for hundreds in (-20..=20).step_by(1) {
        let fpm = f64::from(hundreds) * 100.0;
        let rad = narrow(scales::climb_rad(fpm * 0.3048 / 60.0));
        let (from, wide) = match hundreds % 5 {
            0 => (0.80, 0.030),
            _ => (0.88, 0.016),
        };
        tick(ink, at, rad, [from * r, 0.94 * r], wide * r, palette::MARK);
        if hundreds % 10 == 0 && hundreds != 20 {
            let figure = (hundreds / 10_i32).abs().to_string();
            if hundreds == -20 {
                write(ink, &figure, at + Vec2::new(0.60 * r, 0.0), figures(r));
            } else {
                write(ink, &figure, at + spoke(rad) * 0.63 * r, figures(r));
            }
        }
    }
    // The needle rests to the left, so the words stand to the right of the hub.
    let quiet = Hand::upright(0.115 * r, palette::NAME);
    write(ink, "X1000", at + Vec2::new(0.24 * r, -0.20 * r), quiet);
    write(ink, "FT/MIN", at + Vec2::new(0.24 * r, 0.20 * r), quiet);
    write(ink, "UP", at + Vec2::new(-0.34 * r, -0.24 * r), quiet);
    write(ink, "DOWN", at + Vec2::new(-0.34 * r, 0.24 * r), quiet);
}

/// Middle of the turn needle's pivot.
pub fn turn_pivot(at: Vec2, r: f32) -> Vec2 {
    at + Vec2::new(0.0, 0.22 * r)
}

/// Where the ball lies in its tube: a share of the way from the middle to an end, right positive.
pub fn ball_place(at: Vec2, r: f32, share: f32) -> Vec2 {
    // The tube is an arc about a point above the dial, hanging in the middle.
    let rad = std::f32::consts::PI - share * 0.36;
    at + Vec2::new(0.0, -0.62 * r) + spoke(rad) * 1.18 * r
}

fn turn(ink: &mut Ink, at: Vec2, r: f32) {
    let pivot = turn_pivot(at, r);
    let mark = narrow(scales::STANDARD_MARK_RAD);
    for rad in [-mark, 0.0, mark] {
        tick(ink, pivot, rad, [0.84 * r, 1.00 * r], 0.085 * r, palette::MARK);
    }
    write(ink, "L", at + Vec2::new(-0.70 * r, -0.26 * r), figures(r));
    write(ink, "R", at + Vec2::new(0.70 * r, -0.26 * r), figures(r));
    let tube: Vec<Vec2> = (-12..=12).map(|i| ball_place(at, r, i as f32 / 10.5)).collect();
    ink.line(&tube, 0.21 * r, palette::RIM);
    ink.line(&tube, 0.17 * r, palette::MARK);
    for side in [-0.30, 0.30] {
        let (here, up) = (ball_place(at, r, side), Vec2::new(0.0, -0.62 * r));
        let along = (here - at - up).normalize_or_zero() * 0.115 * r;
        ink.line(&[here - along, here + along], 0.03 * r, palette::FACE);
    }
    let small = Hand::upright(0.105 * r, palette::NAME);
    write(ink, "2 MIN TURN", at + Vec2::new(0.0, 0.80 * r), small);
}

fn rpm(ink: &mut Ink, at: Vec2, r: f32, a: &Aircraft) {
    let most = scales::rpm_most(a);
    let count = (most / 100.0).round() as i32;
    for hundreds in 0..=count {
        let rad = narrow(scales::rpm_rad(f64::from(hundreds) * 100.0, most));
        let (from, wide) = if hundreds % 5 == 0 {
            (0.80, 0.030)
        } else {
            (0.88, 0.016)
        };
        tick(ink, at, rad, [from * r, 0.94 * r], wide * r, palette::MARK);
        if hundreds % 5 == 0 {
            write(ink, &hundreds.to_string(), at + spoke(rad) * 0.63 * r, figures(r));
        }
    }
    limit(ink, at, r, narrow(scales::rpm_rad(a.engine.red_line_rpm, most)));
    name(ink, at, r, 0.36, "RPM");
    name(ink, at, r, 0.56, "X100");
}

/// A limit on a round scale: a long mark across it and a wedge outside.
fn limit(ink: &mut Ink, at: Vec2, r: f32, rad: f32) {
    tick(ink, at, rad, [0.74 * r, 0.97 * r], 0.055 * r, palette::LIMIT);
    let out = spoke(rad);
    let tip = at + out * 0.74 * r;
    let side = out.perp() * 0.075 * r;
    ink.area(
        &[
            tip - out * 0.02 * r,
            tip + out * 0.12 * r + side,
            tip + out * 0.12 * r - side,
        ],
        palette::LIMIT,
    );
}

/// A text to the right of a point, for the controls.
pub fn beside(ink: &mut Ink, text: &str, at: Vec2, high: f32, colour: Color) {
    write(ink, text, at, Hand::upright(high, colour).on(Side::Right));
}
