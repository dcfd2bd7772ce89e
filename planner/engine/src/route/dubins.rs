//! Shortest ways of bounded curvature between two poses in the free plane: the six words of Dubins (1957), in closed
//! form. Used for the nose wheel inside an engine-check area; containment is tested by the caller.

use core::f64::consts::TAU;
use toeline_model::frame::Xy;
use toeline_model::{DrivenPath, Yaw, math};

/// One way: three pieces, each an arc (left positive angle, radians) or a straight (metres).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Word {
    /// Signs of the pieces: 1 left, -1 right, 0 straight.
    turns: [i8; 3],
    /// Lengths of the pieces over the radius.
    lengths: [f64; 3],
    radius_m: f64,
}

fn positive(angle: f64) -> f64 {
    let a = angle % TAU;
    // A hair below a whole turn is rounding, not a turn.
    if a < -1e-9 {
        a + TAU
    } else if a > TAU - 1e-9 {
        0.0
    } else {
        a.max(0.0)
    }
}

impl Word {
    /// Length, metres.
    pub fn length_m(&self) -> f64 {
        self.lengths.iter().sum::<f64>() * self.radius_m
    }

    /// Its pieces as moves over the apron.
    pub(super) fn moves(&self) -> impl Iterator<Item = super::apron::Move> + use<> {
        let (turns, lengths, radius_m) = (self.turns, self.lengths, self.radius_m);
        (0..3).map(move |i| super::apron::Move {
            turn: turns[i],
            length_m: lengths[i] * radius_m,
        })
    }

    /// The first and the last piece: sign of the turn (1 left, -1 right, 0 straight) and length, metres.
    pub fn ends(&self) -> [(i8, f64); 2] {
        [0, 2].map(|k| (self.turns[k], self.lengths[k] * self.radius_m))
    }

    /// Whether every point of the way, not more than a step apart, is as wanted.
    pub(super) fn all_along(&self, from: Xy, heading: Yaw, step_m: f64, wanted: impl Fn(Xy) -> bool) -> bool {
        let (mut at, mut direction) = (from, heading);
        for (turn, length) in self.turns.iter().zip(self.lengths) {
            let steps = (length * self.radius_m / step_m).ceil();
            let share = length / steps.max(1.0);
            let ahead = Xy::unit(direction);
            if *turn == 0 {
                let step = ahead * (share * self.radius_m);
                for _ in 0..steps as usize {
                    at = at + step;
                    if !wanted(at) {
                        return false;
                    }
                }
            } else {
                let left = f64::from(*turn);
                let arm = ahead.left() * (left * self.radius_m);
                let centre = at + arm;
                let (c, s) = (math::cos(left * share), math::sin(left * share));
                let mut out = at - centre;
                for _ in 0..steps as usize {
                    out = Xy {
                        x: out.x * c - out.y * s,
                        y: out.x * s + out.y * c,
                    };
                    if !wanted(centre + out) {
                        return false;
                    }
                }
                at = centre + out;
                direction = direction.turned(left * length);
            }
        }
        true
    }

    /// Appends the way to a path that stands at its start.
    pub fn append(&self, path: &mut DrivenPath, from: Yaw, leg: usize) {
        let mut direction = from;
        for (turn, length) in self.turns.iter().zip(self.lengths) {
            if *turn == 0 {
                path.straight(direction, length * self.radius_m, leg);
            } else {
                let left = f64::from(*turn) * length;
                path.arc(direction, self.radius_m, left, leg);
                direction = direction.turned(left);
            }
        }
    }
}

/// All words that exist between two poses, shortest first.
pub fn words(from: Xy, heading: Yaw, to: Xy, arrive: Yaw, radius_m: f64) -> Vec<Word> {
    let mut list = words_with(from, heading, to, arrive, radius_m, |_| true);
    list.sort_by(|x, y| x.length_m().total_cmp(&y.length_m()));
    list
}

/// Those words between two poses whose first and last piece ([`Word::ends`]) are wanted, in no order: of many poses most
/// words can be thrown out by them, before anything else is computed.
pub(super) fn words_with(
    from: Xy,
    heading: Yaw,
    to: Xy,
    arrive: Yaw,
    radius_m: f64,
    wanted: impl Fn([(i8, f64); 2]) -> bool,
) -> Vec<Word> {
    let delta = to - from;
    let d = delta.norm() / radius_m;
    let along = if d > 0.0 {
        delta * (1.0 / delta.norm())
    } else {
        Xy { x: 1.0, y: 0.0 }
    };
    // Sines and cosines of the angles from the line between the poses to their headings.
    let (first, last) = (Xy::unit(heading), Xy::unit(arrive));
    let (sa, ca) = (along.cross(first), along.dot(first));
    let (sb, cb) = (along.cross(last), along.dot(last));
    let (a, b) = (math::atan2(sa, ca), math::atan2(sb, cb));
    let cab = first.dot(last);
    let mut list = Vec::new();
    let mut add = |turns: [i8; 3], t: f64, p: f64, q: f64| {
        let word = Word {
            turns,
            lengths: [positive(t), p, positive(q)],
            radius_m,
        };
        // A closed formula is kept only when it arrives.
        if wanted(word.ends()) && end_of(&word, from, heading).distance(to) < 1e-6 * (1.0 + d * radius_m) {
            list.push(word);
        }
    };
    let square = 2.0 + d * d - 2.0 * cab + 2.0 * d * (sa - sb);
    if square >= 0.0 {
        let turn = math::atan2(cb - ca, d + sa - sb);
        add([1, 0, 1], turn - a, square.sqrt(), b - turn);
    }
    let square = 2.0 + d * d - 2.0 * cab + 2.0 * d * (sb - sa);
    if square >= 0.0 {
        let turn = math::atan2(ca - cb, d - sa + sb);
        add([-1, 0, -1], a - turn, square.sqrt(), turn - b);
    }
    let square = d * d - 2.0 + 2.0 * cab + 2.0 * d * (sa + sb);
    if square >= 0.0 {
        let p = square.sqrt();
        let turn = math::atan2(-ca - cb, d + sa + sb) - math::atan2(-2.0, p);
        add([1, 0, -1], turn - a, p, turn - b);
    }
    let square = d * d - 2.0 + 2.0 * cab - 2.0 * d * (sa + sb);
    if square >= 0.0 {
        let p = square.sqrt();
        let turn = math::atan2(ca + cb, d - sa - sb) - math::atan2(2.0, p);
        add([-1, 0, 1], a - turn, p, b - turn);
    }
    let cosine = (6.0 - d * d + 2.0 * cab + 2.0 * d * (sa - sb)) / 8.0;
    if cosine.abs() <= 1.0 {
        let p = TAU - math::acos(cosine);
        let t = a - math::atan2(ca - cb, d - sa + sb) + p / 2.0;
        add([-1, 1, -1], t, p, a - b - t + p);
    }
    let cosine = (6.0 - d * d + 2.0 * cab + 2.0 * d * (sb - sa)) / 8.0;
    if cosine.abs() <= 1.0 {
        let p = TAU - math::acos(cosine);
        let t = -a + math::atan2(cb - ca, d + sa - sb) + p / 2.0;
        add([1, -1, 1], t, p, b - a - t + p);
    }
    list
}

/// Where a word really ends.
fn end_of(word: &Word, from: Xy, heading: Yaw) -> Xy {
    let (mut at, mut direction) = (from, heading);
    for (turn, length) in word.turns.iter().zip(word.lengths) {
        if *turn == 0 {
            at = at + Xy::unit(direction) * (length * word.radius_m);
        } else {
            let left = f64::from(*turn);
            let centre = at + Xy::unit(direction).left() * (left * word.radius_m);
            at = centre + (at - centre).rotated(left * length);
            direction = direction.turned(left * length);
        }
    }
    at
}

#[cfg(test)]
mod tests {
    use super::*;
    use toeline_model::frame::xy;

    #[test]
    fn every_word_arrives_and_the_shortest_straight_is_straight() {
        let east = Yaw::from_rad(0.0);
        let list = words(xy(0.0, 0.0), east, xy(30.0, 0.0), east, 8.0);
        assert!((list[0].length_m() - 30.0).abs() < 1e-9);
        // A U-turn to the left with two radii between: half a circle.
        let back = words(
            xy(0.0, 0.0),
            east,
            xy(0.0, 16.0),
            Yaw::from_rad(core::f64::consts::PI),
            8.0,
        );
        assert!((back[0].length_m() - 8.0 * core::f64::consts::PI).abs() < 1e-9);
        for i in 0..200 {
            let f = f64::from(i);
            let to = xy(25.0 * math::sin(f), 25.0 * math::cos(1.7 * f));
            let arrive = Yaw::from_rad(2.3 * f);
            assert!(
                !words(xy(0.0, 0.0), east, to, arrive, 8.0).is_empty(),
                "no word for case {i}"
            );
        }
    }
}
