//! `knee.pdf`: the same bytes for the same plan, and what a library of others reads in it.

use super::harness::{demo, journey, toeline_in};
use serde_json::Value;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

/// Plans the demo journey with changes and gives the PDF's path; `folder` holds the files.
fn planned(folder: &Path, changes: &[(&str, &str)]) -> PathBuf {
    let out = folder.display().to_string();
    let mut options = changes.to_vec();
    options.push(("--out", &out));
    let args = journey("plan", &options);
    let ran = toeline_in(folder, &args.iter().map(String::as_str).collect::<Vec<_>>());
    assert!(ran.code < 2, "{}", ran.err);
    assert!(ran.out.contains("knee.pdf"), "{}", ran.out);
    folder.join("knee.pdf")
}

#[test]
fn one_plan_gives_one_file() {
    let (a, b) = (tempfile::tempdir().unwrap(), tempfile::tempdir().unwrap());
    let [first, second] = [&a, &b].map(|f| std::fs::read(planned(f.path(), &[])).unwrap());
    assert!(first.starts_with(b"%PDF-1."));
    assert!(first == second, "{} and {} bytes", first.len(), second.len());
    // A clock or a random identity would be in these.
    for key in ["/CreationDate", "/ModDate"] {
        assert!(!first.windows(key.len()).any(|w| w == key.as_bytes()), "{key}");
    }
    let other = std::fs::read(planned(b.path(), &[("--wind", "060/12T")])).unwrap();
    assert!(first != other);
    // Two faces are carried, of which a page holds what it needs.
    assert!(first.len() < 200_000, "{} bytes", first.len());
}

/// What a library of others reads in the files; `None` without the Python of the external checks.
fn read(files: &[PathBuf]) -> Option<Vec<Value>> {
    let Some(python) = std::env::var_os("TOELINE_PYTHON").filter(|v| !v.is_empty()) else {
        println!("skipped: TOELINE_PYTHON names no Python with what tests/external/python/requirements.txt lists");
        return None;
    };
    let mut child = Command::new(python)
        .args(["-B", "knee_pdf.py"])
        .current_dir(toeline_tests::root().join("tests/external/python"))
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .unwrap();
    serde_json::to_writer(child.stdin.take().unwrap(), files).unwrap();
    let done = child.wait_with_output().unwrap();
    assert!(done.status.success(), "knee_pdf.py failed: {}", done.status);
    Some(serde_json::from_slice(&done.stdout).unwrap())
}

#[test]
fn a_library_of_others_reads_a5_nine_points_embedded_fonts_and_every_leg() {
    let folders: Vec<_> = (0..3).map(|_| tempfile::tempdir().unwrap()).collect();
    let mut files = vec![
        planned(folders[0].path(), &[]),
        planned(folders[1].path(), &[("--aircraft", "motorglider-15"), ("--from", "H3")]),
    ];
    // Greek and Cyrillic come out as they went in.
    let field = std::fs::read_to_string(demo()).unwrap();
    let named = field.replace("\"Quillmere\"", "\"Ελληνικό Домодедово Łódź\"");
    assert_ne!(named, field);
    let map = folders[2].path().join("named.geojson");
    std::fs::write(&map, named).unwrap();
    files.push(planned(folders[2].path(), &[("FIELD", &map.display().to_string())]));
    let Some(read) = read(&files) else { return };
    for (file, pages) in read.iter().enumerate() {
        for page in pages.as_array().unwrap() {
            let number = |key: &str| page[key].as_f64().unwrap();
            assert!((number("width") - 419.53).abs() < 0.5 && (number("height") - 595.28).abs() < 0.5);
            let list = |key: &str| -> Vec<f64> {
                page[key]
                    .as_array()
                    .unwrap()
                    .iter()
                    .map(|v| v.as_f64().unwrap())
                    .collect()
            };
            assert!(
                !list("sizes").is_empty() && list("sizes").iter().all(|s| *s >= 9.0),
                "{:?}",
                list("sizes")
            );
            // 0.3 mm is 0.85 points.
            assert!(
                !list("lines").is_empty() && list("lines").iter().all(|w| *w >= 0.85),
                "{:?}",
                list("lines")
            );
            let fonts = page["fonts"].as_object().unwrap();
            assert!(
                !fonts.is_empty() && fonts.values().all(|embedded| embedded == true),
                "{fonts:?}"
            );
            assert!(
                fonts.keys().all(|name| name.contains("DejaVuSansCondensed")),
                "{fonts:?}"
            );
        }
        let text: String = pages
            .as_array()
            .unwrap()
            .iter()
            .map(|p| p["text"].as_str().unwrap())
            .collect();
        let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
        match file {
            1 => assert!(text.contains("NO WAY"), "{text}"),
            _ => {
                let json = std::fs::read_to_string(folders[file].path().join("plan.json")).unwrap();
                let plan: Value = serde_json::from_str(&json).unwrap();
                for leg in plan["briefing"]["answer"]["legs"].as_array().unwrap() {
                    let name = leg["name"].as_str().unwrap();
                    assert!(text.contains(name), "{name} is not in: {text}");
                }
            }
        }
    }
    let third = read[2][0]["text"].as_str().unwrap();
    assert!(third.contains("Ελληνικό Домодедово Łódź"), "{third}");
}
