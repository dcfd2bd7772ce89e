//! Faults as a person writes them: a JSON object with the names of [`Faults`], each of which may be left out.

use serde::Deserialize;
use serde_json::{Map, Value};
pub use toeline_dynamics::Faults;

/// Reads faults from a text.
///
/// # Errors
/// Everything wrong in it, in sentences; at least one.
pub fn from_text(text: &str) -> Result<Faults, Vec<String>> {
    let value: Value = serde_json::from_str(text).map_err(|e| vec![format!("not JSON: {e}")])?;
    from_value(&value)
}

/// Reads faults from a JSON object.
///
/// # Errors
/// Everything wrong in it, in sentences; at least one.
pub fn from_value(value: &Value) -> Result<Faults, Vec<String>> {
    let Value::Object(given) = value else {
        return Err(vec![format!(
            "faults are {value}; write an object, for example {{\"brake\": [\"weak\", \"none\"]}}"
        )]);
    };
    let sound = object(&Faults::default());
    let mut problems = Vec::new();
    for (name, value) in given {
        if !sound.contains_key(name) {
            problems.push(format!(
                "\"{name}\" is no fault; there are, nearest first: {}",
                nearest_first(name, &sound)
            ));
            continue;
        }
        match read(Map::from_iter([(name.clone(), value.clone())])) {
            Err(e) => problems.push(format!("{name} {value}: {e}")),
            Ok(faults) if faults.clamped() != faults => {
                let most = &object(&faults.clamped())[name];
                problems.push(format!(
                    "{name} {value} is out of range; the nearest that can be is {most}"
                ));
            }
            Ok(_) => {}
        }
    }
    if !problems.is_empty() {
        return Err(problems);
    }
    read(given.clone()).map_err(|e| vec![e])
}

fn read(given: Map<String, Value>) -> Result<Faults, String> {
    Faults::deserialize(Value::Object(given)).map_err(|e| e.to_string())
}

fn object(faults: &Faults) -> Map<String, Value> {
    match serde_json::to_value(faults) {
        Ok(Value::Object(map)) => map,
        _ => Map::new(),
    }
}

fn nearest_first(name: &str, sound: &Map<String, Value>) -> String {
    let near = |known: &String| (strsim::jaro_winkler(name, known) * 1000.0).round() as i64;
    let mut names: Vec<(i64, &str)> = sound.keys().map(|k| (near(k), k.as_str())).collect();
    names.sort_by(|a, b| b.0.cmp(&a.0).then(a.1.cmp(b.1)));
    let list: Vec<&str> = names.into_iter().map(|n| n.1).collect();
    list.join(", ")
}
