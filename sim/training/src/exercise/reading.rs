//! An exercise from a text. Every field is read by itself, so that one that is wrong hides no other.

use super::checking::{ExerciseProblem, check};
use super::{Breakdown, Exercise, FORMAT, GroundAs, Hour, Journey, Limits, Moment, Place, Stage, Start, Tower, Until};
use crate::drills::DrillKind;
use crate::faults;
use serde::de::DeserializeOwned;
use serde_json::{Map, Value};
use toeline_model::Wind;

/// Longest text of a file that is read, bytes (ours: a whole lesson is some thousand).
const MOST_BYTES: usize = 256 * 1024;
/// Characters of a wrong value that are shown.
const SHOWN: usize = 60;

impl Exercise {
    /// Reads an exercise.
    ///
    /// # Errors
    /// Everything wrong in it, in the order of the file; at least one problem.
    pub fn from_json(text: &str) -> Result<Exercise, Vec<ExerciseProblem>> {
        if text.len() > MOST_BYTES {
            let size = format!("{} bytes; at most {MOST_BYTES} are read", text.len());
            return Err(vec![ExerciseProblem::new("file", size)]);
        }
        let value: Value =
            serde_json::from_str(text).map_err(|e| vec![ExerciseProblem::new("file", format!("not JSON: {e}"))])?;
        Exercise::from_value(&value)
    }

    /// Reads an exercise from a JSON value.
    ///
    /// # Errors
    /// As [`Exercise::from_json`].
    pub fn from_value(value: &Value) -> Result<Exercise, Vec<ExerciseProblem>> {
        let mut desk = Desk::default();
        let Some(exercise) = desk.exercise(value) else {
            return Err(desk.problems);
        };
        // What could be read is checked too. A field that could not has a stand-in, of which nothing more is said.
        let said: Vec<String> = desk.problems.iter().map(|p| p.key.clone()).collect();
        let new = |p: &ExerciseProblem| !said.iter().any(|key| inside(&p.key, key));
        desk.problems.extend(check(&exercise).into_iter().filter(new));
        if desk.problems.is_empty() {
            Ok(exercise)
        } else {
            Err(desk.problems)
        }
    }
}

/// A value as it is shown in a message.
pub(super) fn shown(value: &Value) -> String {
    let text = value.to_string();
    if text.chars().count() <= SHOWN {
        return text;
    }
    let cut: String = text.chars().take(SHOWN).collect();
    format!("{cut}…")
}

#[derive(Default)]
struct Desk {
    problems: Vec<ExerciseProblem>,
}

impl Desk {
    fn say(&mut self, key: &str, text: impl Into<String>) {
        self.problems.push(ExerciseProblem::new(key, text));
    }

    /// The object at a key; every name in it that is not known is said.
    fn object<'a>(&mut self, at: &str, value: &'a Value, known: &[&str]) -> Option<&'a Map<String, Value>> {
        let Value::Object(map) = value else {
            self.say(
                at,
                format!("{} is no object; it has {}", shown(value), known.join(", ")),
            );
            return None;
        };
        for (name, value) in map {
            if !known.contains(&name.as_str()) {
                let text = format!("{} has no place here; there are {}", shown(value), known.join(", "));
                self.say(&join(at, name), text);
            }
        }
        Some(map)
    }

    /// One field by itself; `None` when it is not there or wrong, which is said.
    fn maybe<T: DeserializeOwned>(&mut self, map: &Map<String, Value>, at: &str, name: &str) -> Option<T> {
        let value = map.get(name)?;
        self.value(&join(at, name), value)
    }

    fn value<T: DeserializeOwned>(&mut self, key: &str, value: &Value) -> Option<T> {
        match T::deserialize(value) {
            Ok(read) => Some(read),
            Err(e) => {
                self.say(key, format!("{}: {e}", shown(value)));
                None
            }
        }
    }

    /// One field that must be there.
    fn must<T: DeserializeOwned>(&mut self, map: &Map<String, Value>, at: &str, name: &str) -> Option<T> {
        if !map.contains_key(name) {
            self.say(&join(at, name), "is missing");
        }
        self.maybe(map, at, name)
    }

    /// A list of which each part is read by itself.
    fn list<T>(
        &mut self,
        map: &Map<String, Value>,
        name: &str,
        mut each: impl FnMut(&mut Desk, &str, &Value) -> T,
    ) -> Vec<T> {
        match map.get(name) {
            None => Vec::new(),
            Some(Value::Array(all)) => {
                let at = |k: usize| format!("{name}[{k}]");
                all.iter().enumerate().map(|(k, v)| each(self, &at(k), v)).collect()
            }
            Some(other) => {
                self.say(name, format!("{} is no list", shown(other)));
                Vec::new()
            }
        }
    }

    fn exercise(&mut self, value: &Value) -> Option<Exercise> {
        const KNOWN: [&str; 14] = [
            "toeline_exercise",
            "id",
            "title",
            "teaches",
            "after",
            "where",
            "aircraft",
            "wind",
            "ground",
            "hour",
            "start",
            "stages",
            "faults",
            "scored",
        ];
        let map = self.object("file", value, &KNOWN)?;
        let top = "";
        let text = |desk: &mut Desk, key: &str, value: &Value| desk.value::<String>(key, value).unwrap_or_default();
        for name in ["where", "stages", "teaches", "scored"] {
            if !map.contains_key(name) {
                self.say(name, "is missing");
            }
        }
        Some(Exercise {
            toeline_exercise: self.must(map, top, "toeline_exercise").unwrap_or(FORMAT),
            id: self.must(map, top, "id").unwrap_or_else(|| "-".into()),
            title: self.must(map, top, "title").unwrap_or_else(|| "-".into()),
            teaches: self.list(map, "teaches", text),
            after: self.list(map, "after", text),
            place: map.get("where").and_then(|v| self.place(v)).unwrap_or(Place::Drill {
                drill: DrillKind::StraightLine,
            }),
            aircraft: self
                .must(map, top, "aircraft")
                .unwrap_or_else(|| "trainer-high-2".into()),
            wind: self.maybe(map, top, "wind").unwrap_or(Wind::Calm),
            ground: self.maybe::<GroundAs>(map, top, "ground"),
            hour: self.maybe::<Hour>(map, top, "hour").unwrap_or_default(),
            start: self.maybe::<Start>(map, top, "start"),
            stages: self.list(map, "stages", Desk::stage),
            faults: self.list(map, "faults", Desk::breakdown),
            scored: self.list(map, "scored", text),
        })
    }

    fn place(&mut self, value: &Value) -> Option<Place> {
        const AT: &str = "where";
        if value.get("drill").is_some() {
            let map = self.object(AT, value, &["drill"])?;
            let drill = self.must(map, AT, "drill")?;
            return Some(Place::Drill { drill });
        }
        const KNOWN: [&str; 8] = [
            "field",
            "from",
            "via",
            "to",
            "instruction",
            "parked_heading_deg",
            "date",
            "roll_m",
        ];
        let map = self.object(AT, value, &KNOWN)?;
        if map.is_empty() {
            self.say(AT, "{} names nothing; write a drill, or a field with from and to");
            return None;
        }
        let some = |text: Option<String>| text.unwrap_or_else(|| "-".into());
        Some(Place::Journey(Journey {
            field: some(self.must(map, AT, "field")),
            from: some(self.must(map, AT, "from")),
            via: self.maybe(map, AT, "via").unwrap_or_default(),
            to: some(self.must(map, AT, "to")),
            instruction: self.maybe(map, AT, "instruction"),
            parked_heading_deg: self.maybe(map, AT, "parked_heading_deg"),
            date: self.must(map, AT, "date").unwrap_or_default(),
            roll_m: self.maybe(map, AT, "roll_m"),
        }))
    }

    fn stage(&mut self, at: &str, value: &Value) -> Stage {
        let mut stage = Stage {
            title: "-".into(),
            prompt: "-".into(),
            until: Vec::new(),
            tower: None,
            limits: Limits::default(),
        };
        let Some(map) = self.object(at, value, &["title", "prompt", "until", "tower", "limits"]) else {
            return stage;
        };
        stage.title = self.must(map, at, "title").unwrap_or(stage.title);
        stage.prompt = self.must(map, at, "prompt").unwrap_or(stage.prompt);
        let key = join(at, "until");
        let mut until = |key: &str, value: &Value| self.value(key, value).unwrap_or(Until::PassedM(1.0));
        match map.get("until") {
            None => self.say(&key, "is missing: what ends the stage"),
            Some(Value::Array(all)) => {
                let each = all.iter().enumerate();
                stage.until = each.map(|(k, v)| until(&format!("{key}[{k}]"), v)).collect();
            }
            Some(one) => stage.until = vec![until(&key, one)],
        }
        stage.tower = map.get("tower").and_then(|v| self.tower(&join(at, "tower"), v));
        if let Some(limits) = map.get("limits") {
            stage.limits = self.limits(&join(at, "limits"), limits);
        }
        stage
    }

    fn tower(&mut self, at: &str, value: &Value) -> Option<Tower> {
        let map = self.object(at, value, &["tells", "words", "after_s", "upon"])?;
        let (tells, words) = (self.must(map, at, "tells"), self.must(map, at, "words"));
        Some(Tower {
            after_s: self.maybe(map, at, "after_s").unwrap_or(0.0),
            upon: self.maybe(map, at, "upon"),
            tells: tells?,
            words: words?,
        })
    }

    fn limits(&mut self, at: &str, value: &Value) -> Limits {
        const KNOWN: [&str; 6] = ["most_kt", "off_line_m", "heading_deg", "within_s", "by_m", "by_stop"];
        let Some(map) = self.object(at, value, &KNOWN) else {
            return Limits::default();
        };
        Limits {
            most_kt: self.maybe(map, at, "most_kt"),
            off_line_m: self.maybe(map, at, "off_line_m"),
            heading_deg: self.maybe(map, at, "heading_deg"),
            within_s: self.maybe(map, at, "within_s"),
            by_m: self.maybe(map, at, "by_m"),
            by_stop: self.maybe(map, at, "by_stop"),
        }
    }

    fn breakdown(&mut self, at: &str, value: &Value) -> Breakdown {
        let mut breakdown = Breakdown {
            from: Moment::default(),
            broken: faults::Faults::default(),
        };
        let Some(map) = self.object(at, value, &["from", "broken"]) else {
            return breakdown;
        };
        if let Some(from) = map.get("from") {
            breakdown.from = self.moment(&join(at, "from"), from);
        }
        let key = join(at, "broken");
        let Some(value) = map.get("broken") else {
            self.say(&key, "is missing: what breaks");
            return breakdown;
        };
        match faults::from_value(value) {
            Ok(broken) if broken.is_none() => self.say(&key, format!("{}: breaks nothing", shown(value))),
            Ok(broken) => breakdown.broken = broken,
            Err(list) => list.into_iter().for_each(|text| self.say(&key, text)),
        }
        breakdown
    }

    fn moment(&mut self, at: &str, value: &Value) -> Moment {
        let Some(map) = self.object(at, value, &["stage", "way_m", "kt"]) else {
            return Moment::default();
        };
        Moment {
            stage: self.maybe(map, at, "stage"),
            way_m: self.maybe(map, at, "way_m"),
            kt: self.maybe(map, at, "kt"),
        }
    }
}

/// Whether a key is another one or lies inside it.
fn inside(key: &str, other: &str) -> bool {
    key.strip_prefix(other)
        .is_some_and(|rest| rest.is_empty() || rest.starts_with(['.', '[']))
}

fn join(at: &str, name: &str) -> String {
    if at.is_empty() || at == "file" {
        name.to_string()
    } else {
        format!("{at}.{name}")
    }
}
