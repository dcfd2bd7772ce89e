//! The rules of the house, read from the manifests and the sources: who may use whom, which stage comes first, who touches
//! the disk, and that the map of the project names what is there.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};

fn root() -> PathBuf {
    toeline_tests::root()
}

fn read(path: &Path) -> String {
    fs::read_to_string(path).unwrap_or_else(|e| panic!("{}: {e}", path.display()))
}

fn sources(folder: &Path) -> Vec<PathBuf> {
    let mut list = Vec::new();
    for entry in fs::read_dir(folder).unwrap_or_else(|e| panic!("{}: {e}", folder.display())) {
        let path = entry.unwrap().path();
        if path.is_dir() && path.file_name().is_none_or(|n| n != "target") {
            list.extend(sources(&path));
        } else if path.extension().is_some_and(|e| e == "rs") {
            list.push(path);
        }
    }
    list.sort();
    list
}

const CRATES: [(&str, &str); 6] = [
    ("toeline-model", "planner/model"),
    ("toeline-engine", "planner/engine"),
    ("toeline-cli", "planner/cli"),
    ("toeline-dynamics", "sim/dynamics"),
    ("toeline-training", "sim/training"),
    ("toeline-sandbox", "sim/sandbox"),
];

/// Our own crates among the keys of `[dependencies]` of a manifest.
fn own_dependencies(manifest: &str) -> BTreeSet<String> {
    let mut inside = false;
    let mut set = BTreeSet::new();
    for line in manifest.lines() {
        if line.starts_with('[') {
            inside = line.trim() == "[dependencies]";
        } else if inside
            && let Some(name) = line.split(['.', ' ', '=']).next()
            && name.starts_with("toeline-")
        {
            set.insert(name.to_string());
        }
    }
    set
}

#[test]
fn no_arrow_points_back() {
    let allowed: BTreeMap<&str, &[&str]> = BTreeMap::from([
        ("toeline-model", &[][..]),
        ("toeline-engine", &["toeline-model"]),
        ("toeline-cli", &["toeline-engine", "toeline-training", "toeline-model"]),
        ("toeline-dynamics", &["toeline-model"]),
        (
            "toeline-training",
            &["toeline-dynamics", "toeline-engine", "toeline-model"],
        ),
        (
            "toeline-sandbox",
            &[
                "toeline-training",
                "toeline-dynamics",
                "toeline-engine",
                "toeline-model",
            ],
        ),
    ]);
    for (name, folder) in CRATES {
        let used = own_dependencies(&read(&root().join(folder).join("Cargo.toml")));
        for dependency in &used {
            assert!(
                allowed[name].contains(&dependency.as_str()),
                "{name} must not use {dependency}"
            );
        }
        if name != "toeline-model" {
            assert!(
                used.contains("toeline-model"),
                "{name}: its manifest was not read, or it no longer uses the model"
            );
        }
    }
}

#[test]
fn the_pure_crates_know_no_window_and_no_graph() {
    for (folder, forbidden) in [
        ("planner/model", ["bevy", "petgraph", "geo", "glam"]),
        ("planner/engine", ["bevy", "glam", "clap", "toeline-dynamics"]),
        ("sim/dynamics", ["bevy", "glam", "geo", "petgraph"]),
        ("sim/training", ["bevy", "glam", "clap", "petgraph"]),
    ] {
        let manifest = read(&root().join(folder).join("Cargo.toml"));
        for name in forbidden {
            let key = |l: &&str| l.split(['.', ' ', '=']).next() == Some(name);
            assert!(manifest.lines().find(key).is_none(), "{folder} must not use {name}");
        }
    }
}

#[test]
fn no_stage_uses_a_later_one() {
    let stages = [
        "carrier",
        "read",
        "notices",
        "graph",
        "route",
        "instruction",
        "clearance",
        "odds",
        "briefing",
    ];
    for (i, stage) in stages.iter().enumerate() {
        let files = sources(&root().join("planner/engine/src").join(stage));
        assert!(!files.is_empty(), "stage {stage} has no files");
        for file in files {
            let text = read(&file);
            for later in &stages[i + 1..] {
                for form in [
                    format!("crate::{later}::"),
                    format!("crate::{{{later}"),
                    format!("super::super::{later}"),
                ] {
                    assert!(
                        !text.contains(&form),
                        "{}: stage {stage} uses the later stage {later}",
                        file.display()
                    );
                }
            }
            assert!(
                !text.contains("crate::inspection"),
                "{}: a stage must not use the inspection",
                file.display()
            );
            if *stage != "briefing" {
                assert!(
                    !text.contains("crate::planning"),
                    "{}: a stage must not call the loop",
                    file.display()
                );
            }
        }
    }
}

#[test]
fn only_the_program_the_store_and_the_window_touch_the_disk() {
    for (_, folder) in CRATES {
        for file in sources(&root().join(folder).join("src")) {
            let text = read(&file);
            let path = file.display().to_string();
            let may = path.contains("planner/cli/src")
                || path.contains("sim/sandbox/src")
                || path.contains("sim/training/src/store")
                || path.contains("sim/training/src/logbook");
            for form in ["std::fs", "File::open", "File::create"] {
                assert!(may || !text.contains(form), "{path} touches the disk ({form})");
            }
            if !path.contains("planner/cli/src") && !path.contains("sim/sandbox/src") {
                for form in ["SystemTime::now", "Instant::now", "println!", "eprintln!"] {
                    assert!(!text.contains(form), "{path}: {form} has no place in a library");
                }
            }
        }
    }
}

#[test]
fn a_file_holds_one_idea() {
    for (_, folder) in CRATES {
        for file in sources(&root().join(folder)) {
            let lines = read(&file).lines().count();
            assert!(lines <= 600, "{}: {lines} lines; the limit is 600", file.display());
        }
    }
}

#[test]
fn the_top_level_is_the_fixed_one() {
    let allowed = [
        "Cargo.toml",
        "Cargo.lock",
        "README.md",
        "DEVELOPERS.md",
        "LICENSE-MIT",
        "LICENSE-APACHE",
    ];
    let folders = ["planner", "sim", "maps", "tests", "docs"];
    // What git does not track is the business of whoever works here.
    let ignored = ["target", "out"];
    for entry in fs::read_dir(root()).unwrap() {
        let name = entry.unwrap().file_name().into_string().unwrap();
        let known = name.starts_with('.')
            || allowed.contains(&name.as_str())
            || folders.contains(&name.as_str())
            || ignored.contains(&name.as_str())
            // Drives from this folder are kept in it unless another name is asked for.
            || name.starts_with("attempt") && name.ends_with(".json");
        assert!(known, "{name} has no place on the top level");
    }
    for name in allowed.iter().chain(&folders) {
        assert!(root().join(name).exists(), "{name} is missing");
    }
}

#[test]
fn the_developers_map_names_what_is_there() {
    let text = read(&root().join("DEVELOPERS.md"));
    for (name, folder) in CRATES {
        assert!(text.contains(folder), "DEVELOPERS.md does not name {folder}");
        assert!(text.contains(name), "DEVELOPERS.md does not name {name}");
    }
    // Everything in `code` that looks like a path of the project must exist.
    for piece in text.split('`').skip(1).step_by(2) {
        let is_path = ["planner/", "sim/", "tests/", "maps/", "docs/"]
            .iter()
            .any(|p| piece.starts_with(p));
        if is_path && !piece.contains(['*', ' ', '<', '{']) {
            assert!(
                root().join(piece).exists(),
                "DEVELOPERS.md names {piece}, which is not there"
            );
        }
    }
    for folder in fs::read_dir(root().join("tests")).unwrap() {
        let folder = folder.unwrap();
        if folder.path().is_dir() && folder.file_name() != "target" {
            let name = format!("tests/{}", folder.file_name().to_string_lossy());
            assert!(text.contains(&name), "DEVELOPERS.md does not name {name}");
        }
    }
}

#[test]
fn sources_name_no_machine() {
    for folder in ["planner", "sim", "tests", "docs", "maps"] {
        for file in text_files(&root().join(folder)) {
            let text = fs::read_to_string(&file).unwrap_or_default();
            // Split, so that this file does not name them itself.
            for form in [
                concat!("/wo", "rk/"),
                concat!(".lib", "rary"),
                concat!("/ro", "ot/"),
                concat!("/ho", "me/"),
            ] {
                assert!(!text.contains(form), "{} holds the path {form}", file.display());
            }
        }
    }
}

fn text_files(folder: &Path) -> Vec<PathBuf> {
    let mut list = Vec::new();
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            if path.file_name().is_none_or(|n| n != "target") {
                list.extend(text_files(&path));
            }
        } else {
            list.push(path);
        }
    }
    list
}
