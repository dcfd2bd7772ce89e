//! Reading and noding: read + build over parsing the same bytes to `serde_json::Value`, in the same run, at 1e2 to 1e5
//! features of one field; the projection over the geodesic it stands for; and the memory that the largest files take.
//!
//! `cargo bench -p toeline-tests --bench read`. What was read is counted before anything is timed. Times are this
//! thread's own processor seconds, so that other work on the machine disturbs them little.

#![allow(clippy::print_stdout)]

use cpu_time::ThreadTime;
use geographiclib_rs::{DirectGeodesic, Geodesic, InverseGeodesic};
use serde_json::Value;
use std::fmt::Write;
use std::hint::black_box;
use toeline_engine::plane::LocalPlane;
use toeline_engine::{graph, read};
use toeline_model::frame::xy;
use toeline_model::{Bearing, LonLat, Xy};

/// Seconds of this thread on a processor that a run takes.
fn seconds(f: impl FnOnce()) -> f64 {
    let begin = ThreadTime::now();
    f();
    begin.elapsed().as_secs_f64()
}

/// Median seconds of runs that take turns.
fn in_turns<const N: usize>(rounds: usize, mut runs: [&mut dyn FnMut(); N]) -> [f64; N] {
    let mut taken: [Vec<f64>; N] = std::array::from_fn(|_| Vec::with_capacity(rounds));
    for _ in 0..rounds {
        for (list, run) in taken.iter_mut().zip(&mut runs) {
            list.push(seconds(run));
        }
    }
    taken.map(|mut list| {
        list.sort_by(f64::total_cmp);
        list[rounds / 2]
    })
}

/// A small generator of our own (splitmix64).
struct Dice(u64);

impl Dice {
    fn unit(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        ((z ^ (z >> 31)) >> 11) as f64 / (1_u64 << 53) as f64
    }
}

/// How far apart the blocks of the field lie, metres.
const BLOCK_M: [f64; 2] = [100.0, 80.0];

/// What a field is written with, by kind.
#[derive(Debug, Default, PartialEq)]
struct Written {
    runways: usize,
    lanes: usize,
    stands: usize,
    holds: usize,
    obstacles: usize,
}

/// One field of so many features, in blocks of five: a piece of taxiway that runs on into the next block, a stand beside it,
/// a hangar, a fence and a tree. In place of the tree every tenth block of a row has a cross lane up to the next row, some
/// have a pole and some a holding position on the taxiway. A runway lies beside the first row, with two entries in place of
/// two fences: one has its holding position, that of the other is to be derived.
fn field(features: usize) -> (String, Written) {
    let mut written = Written::default();
    let blocks = features / 5;
    let side = (blocks as f64).sqrt().ceil() as usize;
    let mut dice = Dice(features as u64);
    let mut text = String::from("{\"type\":\"FeatureCollection\",\"features\":[");
    // Round degrees for metres: the shape need not be true, only like a field.
    let position = |x: f64, y: f64| format!("[{:.7},{:.7}]", 11.0 + x / 75_000.0, 47.0 + y / 111_000.0);
    let mut id = 0_u64;
    let mut add = |properties: &str, kind: &str, coordinates: &str| {
        if id > 0 {
            text.push_str(",\n");
        }
        id += 1;
        write!(
            text,
            "{{\"type\":\"Feature\",\"id\":\"way/{}\",\"properties\":{{{properties},\"source\":\"a survey of our own\"}},\
             \"geometry\":{{\"type\":\"{kind}\",\"coordinates\":{coordinates}}}}}",
            700_000_000 + id
        )
        .expect("a string takes all");
    };
    for block in 0..blocks {
        let (column, row) = (block % side, block / side);
        let (x, y) = (column as f64 * BLOCK_M[0], row as f64 * BLOCK_M[1]);
        let letter = (b'A' + (row % 26) as u8) as char;
        let wiggle: Vec<String> = (0..=5)
            .map(|k| {
                let inside = k > 0 && k < 5;
                position(x + f64::from(k) * 20.0, if inside { y + dice.unit() } else { y })
            })
            .collect();
        let taxiway = format!(
            "\"aeroway\":\"taxiway\",\"ref\":\"{letter}{}\",\"surface\":\"asphalt\",\"width\":\"15 m\"",
            row / 26
        );
        add(&taxiway, "LineString", &format!("[{}]", wiggle.join(",")));
        written.lanes += 1;
        if block == 0 {
            written.runways += 1;
            let ends = format!("[{},{}]", position(-200.0, -150.0), position(1400.0, -150.0));
            add(
                "\"aeroway\":\"runway\",\"ref\":\"09/27\",\"width\":30",
                "LineString",
                &ends,
            );
        } else {
            written.stands += 1;
            let stand = format!("\"aeroway\":\"parking_position\",\"ref\":\"{block}\"");
            add(&stand, "Point", &position(x + 30.0 + dice.unit(), y + 20.0));
        }
        let (w, h) = (10.0 + 8.0 * dice.unit(), 8.0 + 4.0 * dice.unit());
        let corners: Vec<String> = [(0.0, 0.0), (w, 0.0), (w, h), (0.0, h), (0.0, 0.0)]
            .iter()
            .map(|(a, b)| position(x + 50.0 + a, y + 30.0 + b))
            .collect();
        add(
            "\"building\":\"hangar\",\"height\":\"7 m\",\"name\":\"hangar\"",
            "Polygon",
            &format!("[[{}]]", corners.join(",")),
        );
        written.obstacles += 1;
        let entry = row == 0 && (column == 2 || column == 4);
        let posts: Vec<String> = (0..4)
            .map(|k| position(x + 5.0 + f64::from(k) * 20.0, y + 60.0 + dice.unit()))
            .collect();
        if entry {
            written.lanes += 1;
            let way: Vec<String> = [0.0, -75.0, -150.0]
                .iter()
                .map(|south| position(x, y + south))
                .collect();
            add(
                "\"aeroway\":\"taxiway\",\"ref\":\"E\",\"surface\":\"asphalt\"",
                "LineString",
                &format!("[{}]", way.join(",")),
            );
        } else {
            written.obstacles += 1;
            add(
                "\"barrier\":\"fence\",\"height\":\"2.4\"",
                "LineString",
                &format!("[{}]", posts.join(",")),
            );
        }
        if entry && column == 4 {
            written.holds += 1;
            add(
                "\"aeroway\":\"holding_position\",\"ref\":\"E1\",\"holding_position:type\":\"runway\"",
                "Point",
                &position(x, y - 75.0),
            );
        } else if block % 20 == 3 {
            written.holds += 1;
            add(
                "\"aeroway\":\"holding_position\",\"holding_position:type\":\"intermediate\"",
                "Point",
                &wiggle[2],
            );
        } else if column % 10 == 9 && (row + 1) * side + column < blocks {
            written.lanes += 1;
            let ends = format!("[{},{}]", position(x, y), position(x, y + BLOCK_M[1]));
            add("\"aeroway\":\"taxilane\"", "LineString", &ends);
        } else if block % 4 == 1 {
            written.obstacles += 1;
            add("\"power\":\"pole\"", "Point", &position(x + 85.0, y + 15.0));
        } else {
            written.obstacles += 1;
            add(
                "\"natural\":\"tree\",\"height\":\"11\"",
                "Point",
                &position(x + 85.0, y + 40.0 + dice.unit()),
            );
        }
    }
    text.push_str("]}");
    (text, written)
}

fn reading(features: usize) -> f64 {
    let (text, written) = field(features);
    let read_and_build = || {
        let found = read::read(&text).expect("a field");
        let built = graph::build(&found.field);
        (found, built)
    };
    // What is timed is counted first.
    let (found, (taxi_graph, _)) = read_and_build();
    let value: Value = serde_json::from_str(&text).expect("JSON");
    assert_eq!(value["features"].as_array().map(Vec::len), Some(features));
    let f = &found.field;
    let read = Written {
        runways: f.runways.len(),
        lanes: f.lanes.len(),
        stands: f.stands.len(),
        holds: f.holding_positions.len(),
        obstacles: f.obstacles.len(),
    };
    assert_eq!(read, written);
    let Written {
        lanes, stands, holds, ..
    } = read;
    assert_eq!(written.runways + lanes + stands + holds + written.obstacles, features);
    assert_eq!(taxi_graph.holds.len(), holds + 1, "one is derived");
    assert_eq!(taxi_graph.holds.iter().filter(|h| h.guards.is_some()).count(), 2);
    assert_eq!(taxi_graph.stands.len(), f.stands.len(), "every stand is joined");
    let pieces = taxi_graph.graph.edge_count();
    assert!(
        pieces >= lanes + stands && pieces <= 2 * lanes + 2 * stands + holds + 10,
        "{pieces}"
    );
    drop((found, taxi_graph, value));

    let rounds = (300_000 / features).clamp(3, 301) | 1;
    let value = || serde_json::from_str::<Value>(black_box(&text)).expect("JSON");
    let found = read::read(&text).expect("a field");
    let [read_s, build_s, parse_s] = in_turns(
        rounds,
        [
            &mut || drop(black_box(read::read(black_box(&text)))),
            &mut || drop(black_box(graph::build(&found.field))),
            &mut || drop(black_box(value())),
        ],
    );
    let ratio = (read_s + build_s) / parse_s;
    println!(
        "{features:>6} features, {:>6.2} MiB: parse {:>8.2} ms, read {:>8.2} ms, build {:>8.2} ms; read {:.2}, read + build {ratio:.2} \
         of the parse",
        text.len() as f64 / f64::from(1 << 20),
        parse_s * 1e3,
        read_s * 1e3,
        build_s * 1e3,
        read_s / parse_s,
    );
    ratio
}

fn projection() {
    let mut dice = Dice(1);
    let origin = LonLat {
        lon_deg: 11.0,
        lat_deg: 47.0,
    };
    let plane = LocalPlane::new(origin);
    let earth = Geodesic::wgs84();
    let metres: Vec<Xy> = (0..100_000)
        .map(|_| xy(dice.unit() * 8000.0 - 4000.0, dice.unit() * 8000.0 - 4000.0))
        .collect();
    let places: Vec<LonLat> = metres.iter().map(|p| plane.to_lonlat(*p)).collect();
    let inverse = |p: &LonLat| {
        let (m, azimuth_deg, _, _): (f64, f64, f64, f64) =
            earth.inverse(origin.lat_deg, origin.lon_deg, p.lat_deg, p.lon_deg);
        Xy::unit(Bearing::from_deg(azimuth_deg).yaw()) * m
    };
    let direct = |p: &Xy| {
        let (lat_deg, lon_deg): (f64, f64) =
            earth.direct(origin.lat_deg, origin.lon_deg, p.direction().bearing().deg(), p.norm());
        LonLat { lon_deg, lat_deg }
    };
    for (p, place) in metres.iter().zip(&places).step_by(97) {
        assert!(plane.to_xy(*place).distance(inverse(place)) < 1e-6);
        assert!(plane.to_xy(direct(p)).distance(*p) < 1e-6);
    }
    let sum = |list: &mut dyn Iterator<Item = Xy>| black_box(list.fold(xy(0.0, 0.0), |a, b| a + b));
    let [ours, theirs, back, direct_s] = in_turns(
        5,
        [
            &mut || _ = sum(&mut places.iter().map(|p| plane.to_xy(*p))),
            &mut || _ = sum(&mut places.iter().map(inverse)),
            &mut || _ = black_box(metres.iter().map(|p| plane.to_lonlat(*p).lon_deg).sum::<f64>()),
            &mut || _ = black_box(metres.iter().map(|p| direct(p).lon_deg).sum::<f64>()),
        ],
    );
    let ns = |s: f64| s / places.len() as f64 * 1e9;
    println!(
        "projection: {:.0} ns to metres, the geodesic {:.0} ns ({:.1} times as long); {:.0} ns to degrees, the geodesic {:.0} ns \
         ({:.1} times)",
        ns(ours),
        ns(theirs),
        theirs / ours,
        ns(back),
        ns(direct_s),
        direct_s / back
    );
}

/// Most memory that this program has held, MiB; Linux only.
fn peak_mib() -> Option<f64> {
    let told = std::fs::read_to_string("/proc/self/status").ok()?;
    let line = told.lines().find(|l| l.starts_with("VmHWM"))?;
    line.split_whitespace()
        .nth(1)?
        .parse::<f64>()
        .ok()
        .map(|kib| kib / 1024.0)
}

/// Reads one file of the largest size in a program of its own, so that its peak is its own.
fn memory(name: &str) {
    let limit = read::TEXT_LIMIT_BYTES;
    let feature = |properties: &str, kind: &str, coordinates: &str| {
        format!(
            "{{\"type\":\"Feature\",\"properties\":{{{properties}}},\"geometry\":{{\"type\":\"{kind}\",\"coordinates\":{coordinates}}}}}"
        )
    };
    let collection =
        |list: Vec<String>| format!("{{\"type\":\"FeatureCollection\",\"features\":[{}]}}", list.join(","));
    let text = match name {
        // The bench's field as large as the limits let it be.
        "field" => field(199_995).0,
        // As many positions as are read, all of them in use.
        "positions" => {
            let line = |row: usize| {
                let places: Vec<String> = (0..1000)
                    .map(|k| format!("[{:.7},{:.7}]", 11.0 + k as f64 * 1e-4, 47.0 + row as f64 * 1e-4))
                    .collect();
                feature(
                    "\"aeroway\":\"taxiway\"",
                    "LineString",
                    &format!("[{}]", places.join(",")),
                )
            };
            collection((0..read::POSITION_LIMIT / 1000).map(line).collect())
        }
        // Features that hold nothing, as many as are read, and properties up to the limit.
        "properties" => {
            let many: Vec<String> = (0..9).map(|k| format!("\"k{k}\":0")).collect();
            let mut list = vec![feature(&many.join(","), "Point", "[11,47]"); read::FEATURE_LIMIT - 1];
            list.push(feature(
                "\"aeroway\":\"taxiway\"",
                "LineString",
                "[[11,47],[11.001,47]]",
            ));
            collection(list)
        }
        // One name as long as the text may be.
        _ => {
            let one = feature(
                &format!("\"aeroway\":\"taxiway\",\"name\":\"{}\"", "x".repeat(limit - 300)),
                "LineString",
                "[[11,47],[11.001,47]]",
            );
            collection(vec![one])
        }
    };
    assert!(text.len() <= limit, "{name}: {} bytes", text.len());
    let before = peak_mib();
    let found = read::read(&text).expect("a field");
    let after_read = peak_mib();
    let built = graph::build(&found.field);
    if let (Some(before), Some(after_read), Some(after)) = (before, after_read, peak_mib()) {
        println!(
            "memory, {name}: text of {:.0} MiB; peak {before:.0} MiB before, {after_read:.0} MiB with reading, {after:.0} MiB with \
             the graph of {} pieces",
            text.len() as f64 / f64::from(1 << 20),
            built.0.graph.edge_count()
        );
    }
}

fn main() {
    if let Ok(name) = std::env::var("READ_BENCH_MEMORY") {
        return memory(&name);
    }
    projection();
    let ratios: Vec<f64> = [100, 1_000, 10_000, 100_000].map(reading).to_vec();
    let (low, high) = ratios
        .iter()
        .fold((f64::MAX, 0.0_f64), |(l, h), r| (l.min(*r), h.max(*r)));
    println!("read + build over parse: {low:.2} to {high:.2}; the goal is at most 2.0 and flat");
    for name in ["field", "positions", "properties", "text"] {
        let own = std::env::current_exe().expect("this program");
        let done = std::process::Command::new(own)
            .env("READ_BENCH_MEMORY", name)
            .status()
            .expect("runs");
        assert!(done.success(), "{name}");
    }
}
