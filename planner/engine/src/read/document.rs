//! The text as a list of features, each with its identity, its tags and its geometry: every form that RFC 7946 allows, and
//! sequences of such texts, one a line or after record separators (RFC 8142).

use super::credit::Said;
use super::geometry::{Geometry, KINDS};
use super::json::{Object, ObjectSeed, Reading};
use super::tags::Tags;
use super::{FeatureProblem, Progress, ReadError, TEXT_LIMIT_BYTES};
use serde::de::DeserializeSeed;
use std::borrow::Cow;

/// One feature of the file.
pub(super) struct RawFeature<'t> {
    /// Its `id`, its `@id`, or "feature N".
    pub(super) id: Cow<'t, str>,
    /// Its properties.
    pub(super) tags: Tags<'t>,
    /// Its geometry.
    pub(super) geometry: Geometry,
    /// What is wrong with it as a feature, when it is none.
    pub(super) broken: Option<String>,
}

/// Separates the texts of a sequence by RFC 8142.
const RECORD_SEPARATOR: char = '\u{1e}';

/// Every feature of a text, and what the text says of where its data are from.
pub(super) type Taken<'t> = (Vec<RawFeature<'t>>, Said);

/// Takes the text apart.
pub(super) fn features<'t>(text: &'t str, progress: &mut dyn FnMut(Progress)) -> Result<Taken<'t>, ReadError> {
    if text.len() > TEXT_LIMIT_BYTES {
        return Err(ReadError::TooLarge {
            found: format!(
                "{} bytes of text; the limit is {TEXT_LIMIT_BYTES} bytes ({} MiB)",
                text.len(),
                TEXT_LIMIT_BYTES >> 20
            ),
        });
    }
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let reading = Reading::new(text, progress);
    if text.trim_start().starts_with(RECORD_SEPARATOR) {
        let records = text.split(RECORD_SEPARATOR).skip(1).enumerate();
        return sequence(records.map(|(i, t)| (format!("record {}", i + 1), t)), &reading);
    }
    match value(text, &reading) {
        Ok(top) => whole(top),
        Err(Failure::TooLarge(e)) => Err(e),
        Err(Failure::More(_)) if first_line_is_whole(text) => {
            let reading = reading.anew();
            let lines = text.lines().enumerate();
            sequence(lines.map(|(i, t)| (format!("line {}", i + 1), t)), &reading)
        }
        Err(Failure::More(wrong) | Failure::NotJson(wrong)) => Err(ReadError::NotJson {
            line: wrong.line,
            column: wrong.column,
            found: wrong.found,
        }),
    }
}

/// Whether the first line that is not blank is a value by itself: then what follows is a value a line too.
fn first_line_is_whole(text: &str) -> bool {
    let first = text.lines().find(|l| !l.trim().is_empty());
    first.is_some_and(|l| serde_json::from_str::<serde::de::IgnoredAny>(l).is_ok())
}

/// Why a text is no value.
enum Failure {
    TooLarge(ReadError),
    /// More follows after a whole value.
    More(Wrong),
    NotJson(Wrong),
}

/// Where a text breaks, counted from 1, and how.
struct Wrong {
    line: usize,
    column: usize,
    found: String,
}

/// The one value of a text.
fn value<'t>(text: &'t str, reading: &Reading<'_>) -> Result<Object<'t>, Failure> {
    let wrong = |e: serde_json::Error| Wrong {
        line: e.line(),
        column: e.column(),
        found: what_is_wrong(text, &e),
    };
    let mut source = serde_json::Deserializer::from_str(text);
    let top = ObjectSeed { reading, top: true }
        .deserialize(&mut source)
        .map_err(|e| {
            let too_much = reading.too_much.borrow_mut().take();
            match too_much {
                Some(found) => Failure::TooLarge(ReadError::TooLarge { found }),
                None => Failure::NotJson(wrong(e)),
            }
        })?;
    source.end().map_err(|e| Failure::More(wrong(e)))?;
    Ok(top)
}

/// The parser's words, or ours where they are better.
fn what_is_wrong(text: &str, e: &serde_json::Error) -> String {
    let told = e.to_string();
    let told = told.split(" at line ").next().unwrap_or_default();
    if told.starts_with("recursion limit") {
        return "lists or objects nested more than 127 deep; no map needs more than a dozen levels".to_string();
    }
    let line = text.lines().nth(e.line().saturating_sub(1)).unwrap_or_default();
    let column = e.column().saturating_sub(1);
    // The parser stops at the word, or just behind a sign before it.
    let word = (column.saturating_sub(1)..=column)
        .filter_map(|at| line.get(at..))
        .find_map(|rest| {
            ["-Infinity", "Infinity", "NaN"]
                .into_iter()
                .find(|w| rest.starts_with(w))
        });
    match word {
        Some(word) => format!("{word} is no number in JSON; write a number, or leave the member out"),
        None => told.to_string(),
    }
}

/// The features of a text that is one value.
fn whole(mut top: Object<'_>) -> Result<Taken<'_>, ReadError> {
    let not = |found: String| ReadError::NotGeoJson { found };
    if !top.is_object {
        return Err(not("its outermost value is not an object".to_string()));
    }
    foreign_reference_system(&top)?;
    let said = core::mem::take(&mut top.said);
    let list = match top.kind.as_deref() {
        Some("FeatureCollection") => match top.features.take() {
            Some(Some(list)) => list,
            Some(None) => return Err(not("\"features\" of the FeatureCollection is not a list".to_string())),
            None => return Err(not("the FeatureCollection has no \"features\"".to_string())),
        },
        Some("Feature") => vec![top],
        Some(t) if KINDS.contains(&t) => return Err(ReadError::BareGeometry { kind: t.to_string() }),
        Some(t) => return Err(not(format!("\"type\" is \"{t}\"; a FeatureCollection is expected"))),
        None => return Err(not("it has no \"type\"; a FeatureCollection is expected".to_string())),
    };
    let list = list.into_iter().enumerate().map(|(i, object)| one(i, object)).collect();
    Ok((list, said))
}

/// The features of a sequence of texts, each with the name of its place.
fn sequence<'t>(texts: impl Iterator<Item = (String, &'t str)>, reading: &Reading<'_>) -> Result<Taken<'t>, ReadError> {
    let (mut list, mut problems, mut said) = (Vec::new(), Vec::new(), Said::default());
    for (place, text) in texts {
        if text.trim().is_empty() {
            continue;
        }
        let mut told = |text: String| {
            problems.push(FeatureProblem {
                feature: place.clone(),
                text,
            });
        };
        match value(text, reading) {
            Err(Failure::TooLarge(e)) => return Err(e),
            Err(Failure::More(Wrong { column, found, .. }) | Failure::NotJson(Wrong { column, found, .. })) => {
                told(format!("is not JSON: column {column}: {found}"));
            }
            Ok(mut top) => {
                foreign_reference_system(&top)?;
                said.join(core::mem::take(&mut top.said));
                match top.features.take() {
                    Some(Some(members)) if top.kind.as_deref() == Some("FeatureCollection") => {
                        for object in members {
                            list.push(one(list.len(), object));
                        }
                    }
                    _ => {
                        reading.record().map_err(|found| ReadError::TooLarge { found })?;
                        list.push(one(list.len(), top));
                    }
                }
            }
        }
    }
    if problems.is_empty() {
        Ok((list, said))
    } else {
        Err(ReadError::Features(problems))
    }
}

/// Files older than RFC 7946 may name another reference system; its numbers would not be degrees of WGS 84.
fn foreign_reference_system(top: &Object<'_>) -> Result<(), ReadError> {
    let named = top.crs.as_ref().and_then(|c| c.tags.as_ref()?.text("name"));
    match named {
        Some(n) if !n.contains("CRS84") && !n.contains("4326") => Err(ReadError::NotGeoJson {
            found: format!(
                "its \"crs\" member names \"{n}\"; only longitude and latitude on WGS 84 are read, convert it first"
            ),
        }),
        _ => Ok(()),
    }
}

fn one(index: usize, object: Object<'_>) -> RawFeature<'_> {
    let tags = object.tags.unwrap_or_default();
    let broken = match object.kind.as_deref() {
        _ if !object.is_object => Some("is not an object".to_string()),
        Some("Feature") => None,
        Some(kind) if KINDS.contains(&kind) => Some(format!("is a bare {kind} without properties")),
        _ => Some("has no \"type\": \"Feature\"".to_string()),
    };
    let id = object
        .id
        .filter(|t| !t.is_empty())
        .or_else(|| tags.text("@id").map(Cow::Owned))
        .unwrap_or_else(|| Cow::Owned(format!("feature {}", index + 1)));
    RawFeature {
        id,
        tags,
        geometry: object.geometry,
        broken,
    }
}
