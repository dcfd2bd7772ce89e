//! An attempt as it lies in the logbook: one form of its text, its name made from that text, and packed small.

use crate::attempt::Attempt;
use crate::reading::AttemptError;
use flate2::Compression;
use flate2::read::ZlibDecoder;
use flate2::write::ZlibEncoder;
use serde_json::Value;
use std::io::{Read, Write};

/// Largest attempt that is kept, bytes of its text: as the store's files.
pub(super) const MOST_BYTES: u64 = 512 * 1024 * 1024;

/// An attempt in the one form that its name is made from.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Canonical {
    /// The text: JSON without spaces, the keys of every object in alphabetical order.
    pub(super) text: String,
    /// Its name: the first 128 bits of BLAKE3 of the text, 32 hexadecimal digits.
    pub(super) id: String,
    /// The attempt, read and found sound.
    pub(super) attempt: Attempt,
}

/// Brings the text of an attempt into its one form. Spaces and the order of keys make no difference, so that the file, the
/// export and the window's own memory of a drive give the same name.
///
/// # Errors
/// What is wrong with the attempt.
pub(super) fn canonical(text: &str) -> Result<Canonical, AttemptError> {
    let attempt = Attempt::from_json(text)?;
    let value: Value = serde_json::from_str(text).map_err(|e| AttemptError::Shape(e.to_string()))?;
    let mut sorted = String::with_capacity(text.len());
    write_sorted(&value, &mut sorted);
    Ok(Canonical {
        id: id_of(&sorted),
        text: sorted,
        attempt,
    })
}

fn id_of(text: &str) -> String {
    let hash = blake3::hash(text.as_bytes()).to_hex();
    hash[..32].to_string()
}

/// By hand, because whether the JSON library sorts keys depends on how a whole program was built.
fn write_sorted(value: &Value, out: &mut String) {
    match value {
        Value::Object(map) => {
            let mut keys: Vec<&String> = map.keys().collect();
            keys.sort();
            out.push('{');
            for (i, key) in keys.into_iter().enumerate() {
                if i > 0 {
                    out.push(',');
                }
                *out += &Value::String(key.clone()).to_string();
                out.push(':');
                write_sorted(&map[key], out);
            }
            out.push('}');
        }
        Value::Array(list) => {
            out.push('[');
            for (i, item) in list.iter().enumerate() {
                if i > 0 {
                    out.push(',');
                }
                write_sorted(item, out);
            }
            out.push(']');
        }
        other => *out += &other.to_string(),
    }
}

/// Packs a text (zlib, RFC 1950, which carries a check of its own).
pub(super) fn pack(text: &str) -> std::io::Result<Vec<u8>> {
    let mut encoder = ZlibEncoder::new(Vec::new(), Compression::default());
    encoder.write_all(text.as_bytes())?;
    encoder.finish()
}

/// Unpacks it again and looks whether it is what was packed.
///
/// # Errors
/// A sentence that says what is wrong.
pub(super) fn unpack(id: &str, bytes: u64, packed: &[u8]) -> Result<String, String> {
    if bytes > MOST_BYTES {
        return Err(format!("it says {bytes} bytes; at most {MOST_BYTES} are read"));
    }
    let mut text = String::new();
    ZlibDecoder::new(packed)
        .take(bytes + 1)
        .read_to_string(&mut text)
        .map_err(|e| format!("it cannot be unpacked: {e}"))?;
    if text.len() as u64 != bytes {
        return Err(format!("it unpacks to {} bytes, {bytes} were packed", text.len()));
    }
    let found = id_of(&text);
    if found != id {
        return Err(format!("its content has the name {found}"));
    }
    Ok(text)
}
