//! The feet seen from above: each sole goes forward with its pedal, and its toe darkens, shortens and tips as the brake is
//! pressed. Beside them, when asked for, another pair as an outline.

use super::Look;
use super::ink::Ink;
use super::letters::{Hand, write};
use crate::convert::narrow;
use crate::view::palette;
use bevy::prelude::*;
use toeline_dynamics::brakes::{FADED_C, FADES_FROM_C};
use toeline_dynamics::{Controls, Telemetry};

/// Length of a sole and travel of a pedal each way, shares of the place's width.
const LONG: f32 = 0.50;
const TRAVEL: f32 = 0.085;
/// Height of the letters.
const TEXT: f32 = 0.072;
/// How much shorter a toe looks when tipped fully, share of its length.
const TIP: f32 = 0.50;
/// Where the ball of the foot lies, share of the length from the toe.
const BALL: f32 = 0.42;

/// A foot as drawn: pedal forward (-1 to 1), toe pressed (0 to 1).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pressed {
    /// Forward of the middle.
    pub forward: f32,
    /// Toe brake.
    pub toe: f32,
}

/// Left and right foot of a set of controls. The right foot goes forward as the left comes back.
pub fn feet_of(c: &Controls) -> [Pressed; 2] {
    let rudder = narrow(c.rudder);
    [
        Pressed {
            forward: -rudder,
            toe: narrow(c.left_brake),
        },
        Pressed {
            forward: rudder,
            toe: narrow(c.right_brake),
        },
    ]
}

/// Outline of a sole of a length about the point under the ball of its foot; `side` is 1 for a right foot.
fn sole(at: Vec2, long: f32, side: f32, toe: f32) -> Vec<Vec2> {
    // Half widths from toe to heel, inner side and outer side, and the place along the sole.
    const SHAPE: [[f32; 3]; 9] = [
        [0.00, 0.06, 0.02],
        [0.03, 0.13, 0.09],
        [0.10, 0.17, 0.15],
        [0.22, 0.185, 0.185],
        [0.40, 0.165, 0.19],
        [0.62, 0.125, 0.165],
        [0.82, 0.125, 0.145],
        [0.94, 0.10, 0.11],
        [1.00, 0.04, 0.045],
    ];
    let place = |along: f32, across: f32| {
        let along = along - BALL;
        let along = if along < 0.0 { along * (1.0 - TIP * toe) } else { along };
        at + Vec2::new(across * side, along) * long
    };
    let inner = SHAPE.iter().map(|[along, inner, _]| place(*along, -inner));
    let outer = SHAPE.iter().rev().map(|[along, _, outer]| place(*along, *outer));
    inner.chain(outer).collect()
}

/// Draws both feet, their figures and what the brakes feel.
pub fn draw(ink: &mut Ink, look: &Look) {
    let r = look.layout.feet;
    // Everything is measured in shares of the place's width.
    let unit = r.width();
    ink.plate(
        Rect::from_corners(r.min + Vec2::splat(0.01 * unit), r.max + Vec2::new(-0.02 * unit, unit)),
        0.05 * unit,
        palette::SHADE,
    );
    let t = Telemetry::of(&look.drive.params, &look.drive.now, &look.drive.controls);
    let own = feet_of(&look.drive.controls);
    let other = look.other.as_ref().map(feet_of);
    // With a second pair beside it, either foot moves toward the middle.
    let (apart, small) = if other.is_some() { (0.115, 0.82) } else { (0.17, 1.0) };
    for (i, side) in [-1.0, 1.0].into_iter().enumerate() {
        let place = |apart: f32, f: Pressed| {
            Vec2::new(
                r.center().x + side * apart * unit,
                r.min.y + (0.375 - f.forward * TRAVEL) * unit,
            )
        };
        if let Some(other) = other {
            let at = place(0.36, other[i]);
            pedal(ink, at, small * unit);
            outline(ink, at, small * unit, side, other[i].toe);
        }
        let at = place(apart, own[i]);
        pedal(ink, at, small * unit);
        foot(ink, at, small * unit, side, own[i].toe);
        let column = Vec2::new(r.center().x + side * 0.25 * unit, r.min.y);
        brake(ink, column, unit, side, &t, i, look.figures);
    }
    // A pedal out of the middle is said as well as shown.
    let words = match own[1].forward {
        f if f > 0.02 => format!("RIGHT {:.0} %", f * 100.0),
        f if f < -0.02 => format!("LEFT {:.0} %", -f * 100.0),
        _ => "LEVEL".into(),
    };
    let head = Vec2::new(r.center().x, r.min.y + 0.075 * unit);
    write(ink, &words, head, Hand::upright(TEXT * unit, palette::MARK));
}

fn pedal(ink: &mut Ink, at: Vec2, unit: f32) {
    let bar = Rect::from_center_size(at, Vec2::new(0.25, 0.085) * unit);
    ink.plate(bar, 0.02 * unit, palette::PEDAL);
}

fn foot(ink: &mut Ink, at: Vec2, unit: f32, side: f32, toe: f32) {
    let ring = sole(at, LONG * unit, side, toe);
    ink.area(&ring, palette::SOLE);
    let n = ring.len();
    // The first five points of either side are the toe.
    let front: Vec<Vec2> = ring[..5].iter().chain(&ring[n - 5..]).copied().collect();
    ink.area(&front, palette::SOLE.mix(&palette::SOLE_PRESSED, toe));
    ink.line(&[ring[4], ring[n - 5]], 0.010 * unit, palette::FACE);
}

fn outline(ink: &mut Ink, at: Vec2, unit: f32, side: f32, toe: f32) {
    let ring = sole(at, LONG * unit, side, toe);
    let n = ring.len();
    let mut closed = ring.clone();
    closed.push(ring[0]);
    ink.line(&closed, 0.018 * unit, palette::OTHER_SOLE);
    ink.line(&[ring[4], ring[n - 5]], 0.014 * unit, palette::OTHER_SOLE);
    if toe > 0.02 {
        let front: Vec<Vec2> = ring[..5].iter().chain(&ring[n - 5..]).copied().collect();
        ink.area(&front, palette::OTHER_SOLE.with_alpha(0.75 * toe));
    }
}

/// How hot a brake is, in a word.
pub fn heat_word(celsius: f64) -> &'static str {
    match celsius {
        c if c >= FADES_FROM_C => "FADING",
        c if c >= 0.6 * FADES_FROM_C => "HOT",
        c if c >= 0.3 * FADES_FROM_C => "WARM",
        _ => "COOL",
    }
}

fn brake(ink: &mut Ink, column: Vec2, unit: f32, side: f32, t: &Telemetry, i: usize, heat: bool) {
    let line = |share: f32| column + Vec2::new(0.0, share * unit);
    let hand = Hand::upright(TEXT * unit, palette::MARK);
    write(ink, &format!("{:.0} %", t.brake[i] * 100.0), line(0.745), hand);
    let bar = |share_down: f32, share: f32, colour: Color, limit: Option<f32>| Bar {
        at: line(share_down),
        size: Vec2::new(0.43, 0.045) * unit,
        side,
        share,
        colour,
        limit,
    };
    bar(0.82, narrow(t.brake[i]), palette::SOLE, None).draw(ink);
    if heat {
        let c = t.brake_c[i];
        let share = |c: f64| narrow(c / FADED_C).clamp(0.0, 1.0);
        let hot = if c >= FADES_FROM_C {
            palette::LIMIT
        } else {
            palette::SET
        };
        write(ink, &format!("{c:.0} °C"), line(0.915), hand);
        bar(0.99, share(c), hot, Some(share(FADES_FROM_C))).draw(ink);
        write(ink, heat_word(c), line(1.08), hand);
    }
}

/// A bar that fills outward from the middle of the two feet, with a mark where its limit is.
struct Bar {
    at: Vec2,
    size: Vec2,
    side: f32,
    share: f32,
    colour: Color,
    limit: Option<f32>,
}

impl Bar {
    fn draw(&self, ink: &mut Ink) {
        let body = Rect::from_center_size(self.at, self.size);
        ink.bar(body, palette::FACE);
        let start = self.at.x - self.side * self.size.x / 2.0;
        let to = |s: f32| start + self.side * self.size.x * s;
        if self.share > 0.0 {
            let (a, b) = (Vec2::new(start, body.min.y), Vec2::new(to(self.share), body.max.y));
            ink.bar(Rect::from_corners(a, b), self.colour);
        }
        if let Some(limit) = self.limit {
            let (x, over) = (to(limit), 0.25 * self.size.y);
            let ends = [Vec2::new(x, body.min.y - over), Vec2::new(x, body.max.y + over)];
            ink.line(&ends, 0.2 * self.size.y, palette::MARK);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_soles_go_forward_with_their_own_pedal_and_shorten_with_their_own_toe() {
        let c = Controls {
            rudder: 0.5,
            left_brake: 0.0,
            right_brake: 1.0,
            ..Controls::default()
        };
        let [left, right] = feet_of(&c);
        assert_eq!((left.forward, right.forward), (-0.5, 0.5), "the right foot is forward");
        assert_eq!((left.toe, right.toe), (0.0, 1.0));
        let top = |ring: Vec<Vec2>| ring.iter().map(|p| p.y).fold(f32::MAX, f32::min);
        let (flat, tipped) = (
            top(sole(Vec2::ZERO, 100.0, 1.0, 0.0)),
            top(sole(Vec2::ZERO, 100.0, 1.0, 1.0)),
        );
        assert!(
            (flat + 42.0).abs() < 1e-3 && (tipped + 21.0).abs() < 1e-3,
            "{flat} {tipped}"
        );
    }

    #[test]
    fn the_two_soles_are_each_others_mirror() {
        for (l, r) in sole(Vec2::ZERO, 100.0, -1.0, 0.3)
            .iter()
            .zip(sole(Vec2::ZERO, 100.0, 1.0, 0.3))
        {
            assert_eq!((-l.x, l.y), (r.x, r.y));
        }
    }

    #[test]
    fn the_word_for_heat_says_fading_where_the_physics_fades() {
        assert_eq!(heat_word(20.0), "COOL");
        assert_eq!(heat_word(FADES_FROM_C - 1.0), "HOT");
        assert_eq!(heat_word(FADES_FROM_C), "FADING");
        assert!(toeline_dynamics::brakes::fade(FADES_FROM_C + 20.0) < 1.0);
    }
}
