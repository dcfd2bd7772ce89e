//! A way of many small moves made smooth: parts of it are replaced by Dubins ways where those are shorter and fit.

use super::super::dubins;
use super::ground::Ground;
use super::search::{Move, lay};
use toeline_model::path::Pose;
use toeline_model::{DrivenPath, Yaw};

/// Ways between the places that are tried to be joined directly, metres (ours).
const EVERY_M: f64 = 3.0;
/// What a shortcut must gain, metres.
const GAIN_M: f64 = 0.01;
/// Rounds (ours): the second one cuts between cuts.
const ROUNDS: usize = 3;

/// The driven path along moves.
pub(super) fn drive(ground: &Ground, start: &Pose, moves: &[Move], radius_m: f64) -> DrivenPath {
    let mut path = DrivenPath::new(ground.wheelbase_m(), *start);
    let mut direction = start.heading_rad;
    for m in joined(moves) {
        direction = lay(&mut path, direction, m, radius_m);
    }
    path
}

/// Moves of the same sense taken as one.
fn joined(moves: &[Move]) -> Vec<Move> {
    let mut list: Vec<Move> = Vec::new();
    for m in moves.iter().filter(|m| m.length_m > 1e-9) {
        match list.last_mut() {
            Some(last) if last.turn == m.turn => last.length_m += m.length_m,
            _ => list.push(*m),
        }
    }
    list
}

/// Cuts moves into such of at most [`EVERY_M`].
fn cut(moves: &[Move]) -> Vec<Move> {
    let mut list = Vec::new();
    for m in joined(moves) {
        let n = (m.length_m / EVERY_M).ceil().max(1.0);
        for _ in 0..n as usize {
            list.push(Move {
                turn: m.turn,
                length_m: m.length_m / n,
            });
        }
    }
    list
}

/// A path along moves, no longer than they are, that fits if they fit.
pub(super) fn shorten(ground: &Ground, start: &Pose, moves: &[Move], radius_m: f64) -> DrivenPath {
    let mut moves = joined(moves);
    for _ in 0..ROUNDS {
        let pieces = cut(&moves);
        // Pose and direction before every piece.
        let mut path = DrivenPath::new(ground.wheelbase_m(), *start);
        let mut at: Vec<(Pose, Yaw)> = vec![(*start, start.heading_rad)];
        let mut direction = start.heading_rad;
        for m in &pieces {
            direction = lay(&mut path, direction, *m, radius_m);
            at.push((path.end(), direction));
        }
        let Some(shorter) = first_cut(ground, start, &pieces, &at, radius_m) else {
            break;
        };
        moves = shorter;
    }
    drive(ground, start, &moves, radius_m)
}

/// One walk along the pieces, cutting as far ahead as fits; `None` when nothing is gained.
fn first_cut(ground: &Ground, start: &Pose, pieces: &[Move], at: &[(Pose, Yaw)], radius_m: f64) -> Option<Vec<Move>> {
    let mut out: Vec<Move> = Vec::new();
    let (mut i, mut gained) = (0, false);
    while i < pieces.len() {
        let mut next = None;
        for j in (i + 2..=pieces.len()).rev() {
            let now: f64 = pieces[i..j].iter().map(|m| m.length_m).sum();
            let (from, to) = (at[i], at[j]);
            if from.0.nose.distance(to.0.nose) + GAIN_M >= now {
                continue;
            }
            let words = dubins::words(from.0.nose, from.1, to.0.nose, to.1, radius_m);
            let Some(word) = words.first().filter(|w| w.length_m() + GAIN_M < now) else {
                continue;
            };
            let mut tried = out.clone();
            tried.extend(word.moves());
            let before: f64 = out.iter().map(|m| m.length_m).sum();
            tried.extend_from_slice(&pieces[j..]);
            // Behind the cut the heading follows otherwise: all the rest is tried again.
            if ground.path_fits(&drive(ground, start, &tried, radius_m), before) {
                next = Some((word.moves(), j));
                break;
            }
        }
        match next {
            Some((word, j)) => {
                out.extend(word);
                (i, gained) = (j, true);
            }
            None => {
                out.push(pieces[i]);
                i += 1;
            }
        }
    }
    gained.then_some(out)
}
