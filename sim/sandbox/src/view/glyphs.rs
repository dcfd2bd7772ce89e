//! Letters and figures as strokes, for paint on the ground and for signs: drawn by us on a grid four wide and six high.

use super::sketch::Sketch;
use bevy::prelude::*;

/// Width of a letter and of the gap after it, as shares of its height.
const WIDTH: f32 = 0.5;
const GAP: f32 = 0.2;

/// Polylines of a letter, each point two digits (x 0..4, y 0..6); empty for what is not in the set.
pub(super) fn strokes(letter: char) -> &'static str {
    match letter.to_ascii_uppercase() {
        '0' | 'O' => "10 01 05 16 36 45 41 30 10",
        '1' => "14 26 20",
        '2' => "05 16 36 45 44 00 40",
        '3' => "06 46 24 43 41 30 10 01",
        '4' => "30 36 02 42",
        '5' => "46 06 04 34 43 41 30 10 01",
        '6' => "36 16 05 01 10 30 41 42 33 03",
        '7' => "06 46 10",
        '8' => "13 04 05 16 36 45 44 33 13 02 01 10 30 41 42 33",
        '9' => "10 30 41 45 36 16 05 04 13 43",
        'A' => "00 26 40|12 32",
        'B' => "00 06 36 45 44 33 03|33 42 41 30 00",
        'C' => "45 36 16 05 01 10 30 41",
        'D' => "00 06 26 44 42 20 00",
        'E' => "46 06 00 40|03 33",
        'F' => "46 06 00|03 33",
        'G' => "45 36 16 05 01 10 30 41 43 23",
        'H' => "00 06|40 46|03 43",
        'I' => "20 26",
        'J' => "46 41 30 10 01",
        'K' => "00 06|46 03 40",
        'L' => "06 00 40",
        'M' => "00 06 23 46 40",
        'N' => "00 06 40 46",
        'P' => "00 06 36 45 44 33 03",
        'Q' => "10 01 05 16 36 45 41 30 10|22 40",
        'R' => "00 06 36 45 44 33 03|23 40",
        'S' => "45 36 16 05 04 13 33 42 41 30 10 01",
        'T' => "06 46|26 20",
        'U' => "06 01 10 30 41 46",
        'V' => "06 20 46",
        'W' => "06 10 24 30 46",
        'X' => "00 46|06 40",
        'Y' => "06 23 46|23 20",
        'Z' => "06 46 00 40",
        '-' => "03 43",
        '/' => "00 46",
        _ => "",
    }
}

/// Width of a text, as a share of its height.
pub fn width(text: &str) -> f32 {
    text.chars().count() as f32 * (WIDTH + GAP) - GAP
}

/// Where and how a text is written: `foot` is the middle of its foot, `right` and `up` unit vectors as the reader sees it.
#[derive(Clone, Copy, Debug)]
pub struct Hand {
    /// Middle of the foot of the text.
    pub foot: Vec3,
    /// Reading direction.
    pub right: Vec3,
    /// Toward the tops of the letters.
    pub up: Vec3,
    /// Height of the letters, metres.
    pub height: f32,
    /// Width of the strokes, metres.
    pub stroke: f32,
}

/// Writes a text.
pub fn write(sketch: &mut Sketch, text: &str, hand: Hand, colour: Color) {
    let mut x = -width(text) * hand.height / 2.0;
    for letter in text.chars() {
        for line in strokes(letter).split('|') {
            let points: Vec<Vec2> = line
                .split_whitespace()
                .filter_map(|p| {
                    let mut digits = p.chars().filter_map(|c| c.to_digit(10));
                    Some(Vec2::new(digits.next()? as f32 / 4.0 * WIDTH, digits.next()? as f32 / 6.0) * hand.height)
                })
                .map(|p| p + Vec2::new(x, 0.0))
                .collect();
            let place = |p: Vec2| hand.foot + hand.right * p.x + hand.up * p.y;
            for w in points.windows(2) {
                let along = (w[1] - w[0]).normalize_or_zero() * (hand.stroke / 2.0);
                let side = along.perp();
                // Half a stroke longer at both ends, so that corners close.
                let (a, b) = (w[0] - along, w[1] + along);
                sketch.face(
                    &[place(a - side), place(b - side), place(b + side), place(a + side)],
                    colour,
                );
            }
        }
        x += (WIDTH + GAP) * hand.height;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_letter_and_figure_has_strokes_on_the_grid() {
        for c in ('A'..='Z').chain('0'..='9').chain(['-', '/']) {
            let text = strokes(c);
            assert!(!text.is_empty(), "{c}");
            for p in text.split(['|', ' ']) {
                let d: Vec<u32> = p.chars().filter_map(|c| c.to_digit(10)).collect();
                assert!(d.len() == 2 && d[0] <= 4 && d[1] <= 6, "{c}: {p}");
            }
        }
    }

    #[test]
    fn a_text_faces_its_reader() {
        let mut s = Sketch::default();
        let hand = Hand {
            foot: Vec3::ZERO,
            right: Vec3::X,
            up: Vec3::NEG_Z,
            height: 1.0,
            stroke: 0.1,
        };
        write(&mut s, "A1", hand, Color::WHITE);
        assert!(!s.is_empty());
        assert!(s.top() < 1e-6, "text painted on the ground stays on the ground");
    }
}
