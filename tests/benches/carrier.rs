//! OpenStreetMap carriers on a generated country of a million features: what is listed and cut out is checked, then time and
//! the most memory that a program held are told.
//!
//! `cargo bench -p toeline-tests --bench carrier`. Times are this thread's own processor seconds. The peer is pyosmium
//! (libosmium), which reads the file once for the same tags; its times are those of all its threads.

#![allow(clippy::print_stdout)]

use cpu_time::ThreadTime;
use std::io::{BufWriter, Write};
use std::path::Path;
use std::time::Instant;
use toeline_engine::carrier;
use toeline_engine::fit::{self, FitAsked};
use toeline_engine::read;
use toeline_model::aircraft::catalog;
use toeline_model::date::Date;
use toeline_tests::carried::{AT, Osm, Packing, Tags, json, pbf, xml};

/// Aerodromes of the country.
const FIELDS: i64 = 1000;
/// Buildings and the like around each: a thousand times as many features in all.
const AROUND: i64 = 1000;

fn tags(list: &[(&str, &str)]) -> Tags {
    list.iter().map(|(k, v)| (k.to_string(), v.to_string())).collect()
}

/// A country: its fields lie on a grid of 0.1 degrees, each with a strip, two lanes, a stand and buildings within and beyond 500 m.
fn country() -> Osm {
    let mut osm = Osm::default();
    let mut id = 0;
    let mut next = || {
        id += 1;
        id
    };
    for f in 0..FIELDS {
        let (x, y) = (
            5_000_000_000 + (f % 40) * 100_000_000,
            45_000_000_000 + (f / 40) * 100_000_000,
        );
        // A step is 1e-5 degrees: about a metre.
        let mut way = |osm: &mut Osm, places: &[(i64, i64)], close: bool, list: &[(&str, &str)]| {
            let mut refs: Vec<i64> = Vec::new();
            for (dx, dy) in places {
                let node = next();
                osm.nodes.push((node, (x + dx * 10_000, y + dy * 10_000), Vec::new()));
                refs.push(node);
            }
            if close {
                refs.push(refs[0]);
            }
            let way = next();
            osm.ways.push((way, refs, tags(list)));
        };
        let name = format!("Field {f}");
        let square = [(-1000, -1000), (1000, -1000), (1000, 1000), (-1000, 1000)];
        way(&mut osm, &square, true, &[("aeroway", "aerodrome"), ("name", &name)]);
        way(
            &mut osm,
            &[(-400, 0), (400, 0)],
            false,
            &[("aeroway", "runway"), ("ref", "09/27")],
        );
        way(
            &mut osm,
            &[(0, 0), (0, 60)],
            false,
            &[("aeroway", "taxiway"), ("ref", "A")],
        );
        way(&mut osm, &[(0, 60), (100, 60)], false, &[("aeroway", "taxilane")]);
        way(
            &mut osm,
            &[(100, 60), (100, 75)],
            false,
            &[("aeroway", "parking_position"), ("ref", "1")],
        );
        for b in 0..AROUND - 5 {
            let (bx, by) = ((b % 32 - 16) * 150, (b / 32 + 5) * 60);
            let corners = [(bx, by), (bx + 12, by), (bx + 12, by + 9), (bx, by + 9)];
            way(
                &mut osm,
                &corners,
                true,
                &[("building", "yes"), ("addr:housenumber", "12")],
            );
        }
    }
    osm
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

/// Lists and cuts out in a program of its own, so that its peak is its own.
fn measure(path: &Path) {
    let before = peak_mib();
    let mut file = std::fs::File::open(path).expect("the file");
    let bytes = file.metadata().expect("its size").len();
    let begin = ThreadTime::now();
    let list = carrier::aerodromes(&mut file, AT, &mut |_| {}).expect("a list");
    let listed_s = begin.elapsed().as_secs_f64();
    assert_eq!(list.len() as i64, FIELDS);
    assert!(list.iter().all(|a| (a.runways, a.lanes) == (1, 2)));
    let begin = ThreadTime::now();
    let mut readings = 0;
    let made = carrier::cut_out(&mut file, Some("Field 517"), AT, &mut |p| readings = p.reading).expect("one");
    let cut_s = begin.elapsed().as_secs_f64();
    let field = read::read(&made.text).expect("a field").field;
    assert_eq!((field.runways.len(), field.lanes.len()), (1, 2));
    assert!(field.obstacles.len() > 100, "{}", field.obstacles.len());
    if let (Some(before), Some(after)) = (before, peak_mib()) {
        println!(
            "{}: {:.0} MiB; listed in {listed_s:.1} s, one cut out in {cut_s:.1} s ({readings} readings); peak {before:.0} MiB \
             before, {after:.0} MiB after",
            path.extension().unwrap_or_default().display(),
            bytes as f64 / f64::from(1 << 20)
        );
    }
}

/// Cuts out and answers for every aerodrome, in a program of its own; the cutting alone beside that of a few one by one.
fn survey(path: &Path) {
    let mut file = std::fs::File::open(path).expect("the file");
    let alone = 5;
    let begin = Instant::now();
    for k in 0..alone {
        let name = format!("Field {}", 100 * k);
        carrier::cut_out(&mut file, Some(&name), AT, &mut |_| {}).expect("one");
    }
    let one_s = begin.elapsed().as_secs_f64() / f64::from(alone);
    let aeroplanes = ["trainer-high-2", "tourer-low-4"].map(|id| catalog::find(id).expect("built in"));
    let asked = FitAsked {
        spans: false,
        ..FitAsked::new(aeroplanes.to_vec(), Date::parse("2026-07-04").expect("a day"))
    };
    let (mut count, mut answering_s) = (0, 0.0);
    let begin = Instant::now();
    carrier::cut_each(&mut file, AT, &mut |_| {}, &mut |_, _, _, cut| {
        let text = cut.expect("ground").expect("a cut").text;
        let begin = Instant::now();
        let found = fit::fit(&text, &asked, &|_| {}).expect("an answer");
        assert_eq!(found.cells.len(), 2 * 2, "one stand, two runway ends, two aeroplanes");
        answering_s += begin.elapsed().as_secs_f64();
        count += 1;
        true
    })
    .expect("all");
    let all_s = begin.elapsed().as_secs_f64();
    assert_eq!(count, FIELDS);
    let cutting_s = all_s - answering_s;
    println!(
        "survey of {count} aerodromes: {all_s:.0} s, {answering_s:.0} s of it answering; listed and cut out {cutting_s:.0} s, one by \
         one {:.0} times as long ({one_s:.2} s each); peak {:.0} MiB",
        one_s * count as f64 / cutting_s,
        peak_mib().unwrap_or(f64::NAN)
    );
}

/// Reads the file once with a general library, where its Python is there: the same counts, and what they cost. It has no
/// reader of JSON.
fn peer(path: &Path) {
    let Some(python) = std::env::var_os("TOELINE_PYTHON") else {
        println!("skipped: the peer; TOELINE_PYTHON is not set");
        return;
    };
    let script = toeline_tests::root().join("tests/external/python/carrier_peer.py");
    let done = std::process::Command::new(python)
        .arg(script)
        .arg(path)
        .output()
        .expect("runs");
    assert!(done.status.success(), "{}", String::from_utf8_lossy(&done.stderr));
    let told: serde_json::Value = serde_json::from_slice(&done.stdout).expect("JSON");
    for (word, count) in [
        ("aerodrome", FIELDS),
        ("runway", FIELDS),
        ("taxiway", FIELDS),
        ("taxilane", FIELDS),
    ] {
        assert_eq!(told["counts"][word], count, "{word}");
    }
    println!(
        "     pyosmium, one reading: {:.1} s, peak {:.0} MiB",
        told["processor_s"].as_f64().expect("seconds"),
        told["peak_mib"].as_f64().expect("MiB")
    );
}

fn main() {
    if let Some(path) = std::env::var_os("CARRIER_BENCH_FILE") {
        return match std::env::var_os("CARRIER_BENCH_SURVEY") {
            Some(_) => survey(Path::new(&path)),
            None => measure(Path::new(&path)),
        };
    }
    let folder = std::env::temp_dir().join(format!("toeline-carrier-bench-{}", std::process::id()));
    std::fs::create_dir_all(&folder).expect("a folder");
    let osm = country();
    println!("{} ways, {} nodes", osm.ways.len(), osm.nodes.len());
    let write = |name: &str, bytes: &[u8]| {
        let path = folder.join(name);
        let mut out = BufWriter::new(std::fs::File::create(&path).expect("a file"));
        out.write_all(bytes).expect("written");
        path
    };
    let mut paths = vec![write("country.pbf", &pbf(&osm, Packing::default()))];
    paths.push(write("country.osm", xml(&osm).as_bytes()));
    paths.push(write("country.json", json(&osm, false).as_bytes()));
    drop(osm);
    for path in &paths {
        let packed = path.extension().is_some_and(|e| e == "pbf");
        for survey in [false, true].into_iter().take(1 + usize::from(packed)) {
            let mut own = std::process::Command::new(std::env::current_exe().expect("this program"));
            own.env("CARRIER_BENCH_FILE", path);
            if survey {
                own.env("CARRIER_BENCH_SURVEY", "1");
            }
            assert!(own.status().expect("runs").success(), "{}", path.display());
        }
        if path.extension().is_some_and(|e| e != "json") {
            peer(path);
        }
    }
    std::fs::remove_dir_all(&folder).expect("removed");
}
