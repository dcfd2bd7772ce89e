//! Lettering of the panel: the strokes of our own letters, their bevelled corners rounded, at any size and angle.

use super::ink::Ink;
use crate::view::glyphs;
use bevy::prelude::*;

/// Width of a letter and of the gap after it, shares of its height.
const WIDE: f32 = 0.52;
const GAP: f32 = 0.24;
/// Width of a stroke, share of the height.
const STROKE: f32 = 0.13;
/// A word lower than this many screen pixels is left out: it would be a smear. A plain figure of a dial may be a little
/// lower, because its place says it too.
const LEAST_PX: f32 = 6.0;
const LEAST_FIGURE_PX: f32 = 4.8;
/// A corner blunter than this is rounded, radians.
const BLUNT_RAD: f32 = 1.1;

/// Where a text stands about its point.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Side {
    /// Its middle is there.
    Middle,
    /// It begins there.
    Right,
    /// It ends there.
    Left,
}

fn advance(letter: char) -> f32 {
    match letter {
        '.' => 0.30,
        '1' => 0.42,
        '°' => 0.50,
        _ => WIDE + GAP,
    }
}

/// Width of a text, as a share of its height.
pub fn width(text: &str) -> f32 {
    text.chars().map(advance).sum::<f32>() - GAP
}

/// Strokes of a letter, x 0..=4 and y 0..=6 upward.
fn strokes(letter: char) -> Vec<Vec<Vec2>> {
    let own = match letter {
        '+' => "03 43|21 25",
        '%' => "00 46|06 16 15 05 06|40 30 31 41 40",
        '1' => "04 16 10",
        _ => glyphs::strokes(letter),
    };
    own.split('|')
        .map(|line| {
            line.split_whitespace()
                .filter_map(|p| {
                    let mut digits = p.chars().filter_map(|c| c.to_digit(10));
                    Some(Vec2::new(digits.next()? as f32, digits.next()? as f32))
                })
                .collect()
        })
        .collect()
}

/// Cuts the blunt corners of a line twice, which leaves a curve; sharp ones stay.
fn soften(line: &[Vec2]) -> Vec<Vec2> {
    let mut line = line.to_vec();
    for _ in 0..2 {
        let n = line.len();
        if n < 3 {
            return line;
        }
        let closed = line[0] == line[n - 1];
        let corner = |before: Vec2, at: Vec2, after: Vec2| {
            let blunt = (at - before).angle_to(after - at).abs() < BLUNT_RAD;
            if blunt {
                vec![at.lerp(before, 0.25), at.lerp(after, 0.25)]
            } else {
                vec![at]
            }
        };
        let mut next = vec![];
        if closed {
            for i in 0..n - 1 {
                next.extend(corner(line[(i + n - 2) % (n - 1)], line[i], line[i + 1]));
            }
            next.push(next[0]);
        } else {
            next.push(line[0]);
            for w in line.windows(3) {
                next.extend(corner(w[0], w[1], w[2]));
            }
            next.push(line[n - 1]);
        }
        line = next;
    }
    line
}

/// How a text is written.
#[derive(Clone, Copy, Debug)]
pub struct Hand {
    /// Height of the letters, logical pixels.
    pub high: f32,
    /// Turned clockwise by, radians.
    pub turned: f32,
    /// Which part of it stands at its point.
    pub side: Side,
    /// Colour.
    pub colour: Color,
}

impl Hand {
    /// Upright and about its middle.
    pub fn upright(high: f32, colour: Color) -> Hand {
        Hand {
            high,
            turned: 0.0,
            side: Side::Middle,
            colour,
        }
    }

    /// The same on another side of its point.
    pub fn on(self, side: Side) -> Hand {
        Hand { side, ..self }
    }
}

/// Writes a text; its middle height is at the point.
pub fn write(ink: &mut Ink, text: &str, at: Vec2, hand: Hand) {
    let figure = text.len() <= 3 && text.chars().all(|c| c.is_ascii_digit()) || text.len() == 1;
    let least = if figure { LEAST_FIGURE_PX } else { LEAST_PX };
    if hand.high < least * ink.px {
        return;
    }
    let long = width(text);
    let mut x = match hand.side {
        Side::Middle => -long / 2.0,
        Side::Right => 0.0,
        Side::Left => -long,
    };
    let turn = Vec2::from_angle(hand.turned);
    let stroke = (STROKE * hand.high).max(1.05 * ink.px);
    for letter in text.chars() {
        let place = |x4: f32, y6: f32| at + turn.rotate(Vec2::new(x + x4 / 4.0 * WIDE, 0.5 - y6 / 6.0) * hand.high);
        match letter {
            '.' => ink.disc(place(0.3, 0.2), 0.75 * stroke, hand.colour),
            '°' => ink.ring(place(1.0, 5.2), 0.12 * hand.high, stroke, hand.colour),
            _ => {}
        }
        for line in strokes(letter) {
            let points: Vec<Vec2> = soften(&line).iter().map(|p| place(p.x, p.y)).collect();
            ink.line(&points, stroke, hand.colour);
        }
        x += advance(letter);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_sign_that_the_panel_writes_has_strokes() {
        for c in ('A'..='Z').chain('0'..='9').chain("+-%/".chars()) {
            assert!(strokes(c).iter().any(|l| l.len() > 1), "{c}");
        }
        for c in ['.', '°'] {
            let mut ink = Ink::new(1.0);
            write(&mut ink, &c.to_string(), Vec2::ZERO, Hand::upright(20.0, Color::WHITE));
            assert!(ink.triangles() > 0, "{c}");
        }
    }

    #[test]
    fn rounding_keeps_ends_and_sharp_corners() {
        let bend = [Vec2::ZERO, Vec2::new(4.0, 0.0), Vec2::new(4.0, 6.0)];
        assert_eq!(soften(&bend), bend, "a right angle stays");
        let bevel = [
            Vec2::ZERO,
            Vec2::new(2.0, 0.0),
            Vec2::new(4.0, 2.0),
            Vec2::new(4.0, 6.0),
        ];
        let soft = soften(&bevel);
        assert!(soft.len() > 4 && soft[0] == bevel[0] && soft[soft.len() - 1] == bevel[3]);
    }

    #[test]
    fn a_text_too_small_to_read_is_left_out() {
        let mut ink = Ink::new(1.0);
        write(&mut ink, "RPM", Vec2::ZERO, Hand::upright(3.0, Color::WHITE));
        assert_eq!(ink.triangles(), 0);
        write(&mut ink, "RPM", Vec2::ZERO, Hand::upright(9.0, Color::WHITE));
        assert!(ink.triangles() > 20);
    }
}
