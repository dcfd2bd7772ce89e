//! Dense sets of lines, many of them nearly at one place, against shapely (GEOS) in Python. The noder joins what is within a
//! tolerance and GEOS joins only what meets, so the two cannot be equal there. What must hold all the same:
//!
//! 1. **Nothing is left unjoined.** GEOS makes a union of our net: it finds no meeting that is no node of ours, to a micrometre,
//!    the same length (nothing lies on anything else), and as many parts as the graph has.
//! 2. **What nothing comes near stays.** Pieces of GEOS's union of the lines, with only the loose ends joined by rule 1 of
//!    `noding.rs`, that no other place comes near and no joined end turns: to a micrometre where lines are short, else within
//!    the reach, as a bend beside them may go on to the next joint.
//! 3. **Nothing strays.** Every point of our net is within the reach and [`graph::SNAP_M`] of GEOS's union, and the reverse; taken
//!    at every 0.25 m.
//! 4. **Parts.** Lines that meet in GEOS's union are in one part of ours, and lines of one part of ours hang together in it by
//!    gaps that the tolerance and the reach explain.
//! 5. **Length.** At least that of what stays; at most that of GEOS's union and what the ends of the other pieces may have
//!    moved.
//!
//! The reach is reckoned from GEOS's union alone: two places become one when they are within the tolerance of one and the same
//! meeting, so at most twice the tolerance apart; a chain of such steps moves none of them farther than the widest group of
//! places that hang together so; and a line bends aside by the tolerance to go through a place, where its end is joined, where it
//! crosses and where it is touched.

use super::noding::{Numbers, SAME_M, lane, points};
use super::python::{answer, python};
use serde_json::{Value, json};
use toeline_engine::graph;
use toeline_model::{Airfield, LonLat, Xy};

/// How a set is drawn.
#[derive(Clone, Copy, Debug)]
enum Drawn {
    /// Lines of 2 to 6 points anywhere in a small square: so many crossings that several fall within the tolerance.
    Anywhere,
    /// Lines from corner to corner of a grid, each time up to 10 cm beside it: many run nearly over one another.
    Again,
    /// Short lines scattered about: many parts, some of them nearly meeting.
    Scattered,
}

impl Drawn {
    /// Lines of a set, and the side of their square, metres.
    fn size(self) -> (usize, f64) {
        match self {
            Drawn::Anywhere => (40, 60.0),
            Drawn::Again => (25, 200.0),
            Drawn::Scattered => (150, 60.0),
        }
    }
}

fn set(seed: u64, drawn: Drawn) -> Airfield {
    let mut n = Numbers(seed);
    let origin = LonLat {
        lon_deg: 11.0,
        lat_deg: 47.0,
    };
    let mut field = Airfield::bare(origin, 2.0);
    let (count, side_m) = drawn.size();
    for i in 0..count {
        let places = 2 + n.below(5) as usize;
        let mut line: Vec<Xy> = Vec::new();
        while line.len() < places {
            let p = match (drawn, line.last()) {
                (Drawn::Again, _) => {
                    let mut corner = || n.below(5) as f64 * side_m / 4.0;
                    let (x, y) = (corner(), corner());
                    let (r, turn) = (0.1 * n.next(), std::f64::consts::TAU * n.next());
                    Xy {
                        x: x + r * turn.cos(),
                        y: y + r * turn.sin(),
                    }
                }
                (Drawn::Scattered, Some(p)) => Xy {
                    x: p.x + 4.0 * (n.next() - 0.5),
                    y: p.y + 4.0 * (n.next() - 0.5),
                },
                _ => Xy {
                    x: n.next() * side_m,
                    y: n.next() * side_m,
                },
            };
            if line.last().is_none_or(|last| last.distance(p) > 1.0) {
                line.push(p);
            }
        }
        let mut lane = lane(i, line, 0);
        // Its number as a letter tells which segments are of it.
        lane.letters = vec![i.to_string()];
        field.lanes.push(lane);
    }
    field
}

/// The lines and our net of them.
fn question(field: &Airfield) -> Value {
    let (net, _) = graph::build(field);
    let segments = net.graph.edge_weights().map(|s| {
        let of: Vec<usize> = s.letters.iter().map(|l| l.parse().expect("a number")).collect();
        json!({ "points": points(&s.line), "ends": [s.from.index(), s.to.index()], "of": of })
    });
    json!({
        "lines": field.lanes.iter().map(|l| points(&l.line)).collect::<Vec<_>>(),
        "segments": segments.collect::<Vec<_>>(),
    })
}

fn figure(of: &Value, name: &str) -> f64 {
    of[name].as_f64().unwrap_or_else(|| panic!("{name} of {of}"))
}

/// What does not hold of one set's figures.
fn wrong(name: &str, drawn: Drawn, f: &Value) -> Vec<String> {
    let of = |key: &str| figure(f, key);
    let stray_m = of("reach_m") + graph::SNAP_M;
    let moved_m = 2.0 * stray_m * (of("geos_pieces") - of("quiet_pieces"));
    let still_m = match drawn {
        Drawn::Scattered => 1e-6,
        Drawn::Anywhere | Drawn::Again => of("reach_m"),
    };
    let over_itself_m = (of("length_m") - of("drawn_length_m")).abs();
    let rules = [
        ("meets without a node", of("unjoined") == 0.0),
        ("lies over itself", over_itself_m <= 1e-6),
        ("has other parts than it is drawn in", of("parts") == of("drawn_parts")),
        ("has moved what nothing comes near", of("quiet_moved_m") <= still_m),
        ("has little that nothing comes near", of("quiet_pieces") >= 30.0),
        ("strays from the lines", of("added_m") <= stray_m),
        ("leaves lines out", of("lost_m") <= stray_m),
        ("parts lines that meet", of("torn") == 0.0),
        ("joins lines that are apart", of("tied") == 0.0),
        ("is too short", of("length_m") >= of("quiet_m")),
        ("is too long", of("length_m") <= of("geos_length_m") + moved_m),
    ];
    rules
        .into_iter()
        .filter(|(_, holds)| !holds)
        .map(|(what, _)| format!("{name}: the net {what}: {f}"))
        .collect()
}

#[test]
fn dense_sets_are_joined_as_geos_finds_them_within_the_tolerance() {
    let Some(python) = python() else { return };
    let mut sets = Vec::new();
    for seed in 1..=6 {
        for drawn in [Drawn::Anywhere, Drawn::Again, Drawn::Scattered] {
            sets.push((format!("{drawn:?} {seed}"), drawn, set(seed, drawn)));
        }
    }
    let asked = json!({
        "fields": sets.iter().map(|(_, _, f)| question(f)).collect::<Vec<_>>(),
        "same_m": SAME_M,
        "snap_m": graph::SNAP_M,
    });
    let figures = answer(&python, "noding_dense.py", &asked);
    let figures = figures.as_array().expect("a list");
    assert_eq!(figures.len(), sets.len());
    let mut all = Vec::new();
    for ((name, drawn, _), f) in sets.iter().zip(figures) {
        println!("{name}: {f}");
        all.extend(wrong(name, *drawn, f));
    }
    assert_eq!(all, Vec::<String>::new());
}
