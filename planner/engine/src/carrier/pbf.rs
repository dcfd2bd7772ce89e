//! OpenStreetMap PBF: blocks of packed elements (the published formats `fileformat.proto` and `osmformat.proto`).
//!
//! The wire format is read by a well-kept library, its messages by the few lines here and in `pbf_block.rs`: a reader that
//! builds every message first lets 32 MiB of empty messages become gigabytes, and one that adds up differences unchecked
//! stops at a hostile one.

use super::element::{Form, Wants};
use super::pbf_block::{Wrong, block};
use super::source::{Teller, Visit, broken};
use super::wire::{Field, Fields};
use super::{Carried, CarrierError, PBF_BLOCK_LIMIT, PBF_HEADER_LIMIT};
use std::io::{Read, SeekFrom};

/// What a file may require of its reader.
const KNOWN: [&str; 2] = ["OsmSchema-V0.6", "DenseNodes"];

pub(super) fn each(
    bytes: &mut dyn Carried,
    blocks: &mut Vec<Wants>,
    wants: Wants,
    teller: &mut Teller<'_>,
    visit: &mut Visit<'_>,
) -> Result<(), CarrierError> {
    let mut at = 0_u64;
    let mut buffer = Vec::new();
    for number in 0_usize.. {
        teller.tell(at);
        let place = format!("block {}, byte {at}", number + 1);
        let wrong = |found: String| broken(Form::Pbf, place.as_str(), found);
        let Some(size) = begin(bytes).map_err(|e| e.at(&place))? else {
            return Ok(());
        };
        let header = exactly(bytes, size, "header").map_err(|e| e.at(&place))?;
        let (kind, length) = blob_header(&header).map_err(wrong)?;
        at += 4 + (size + length) as u64;
        if blocks.get(number).is_some_and(|holds| !holds.meets(wants)) {
            bytes.seek(SeekFrom::Start(at))?;
            continue;
        }
        let blob = exactly(bytes, length, "content").map_err(|e| e.at(&place))?;
        let mut holds = Wants::of(false, false, false);
        match kind.as_str() {
            "OSMHeader" => {
                unpack(&blob, &mut buffer).map_err(wrong)?;
                file_header(&buffer).map_err(wrong)?;
            }
            "OSMData" => {
                unpack(&blob, &mut buffer).map_err(wrong)?;
                let shown = block(&buffer, &mut holds, visit);
                shown.map_err(|e| match e {
                    Wrong::Here(found) => wrong(found),
                    Wrong::Stop(e) => e,
                })?;
            }
            // The format says: pass over what is not known.
            _ => {}
        }
        if blocks.len() == number {
            blocks.push(holds);
        }
    }
    Ok(())
}

/// Bytes that are not there, or cannot be read.
enum Short {
    Cut(String),
    Unreadable(std::io::Error),
}

impl Short {
    fn at(self, place: &str) -> CarrierError {
        match self {
            Short::Cut(found) => broken(Form::Pbf, place, found),
            Short::Unreadable(e) => e.into(),
        }
    }
}

/// As many bytes; their room grows as they come, so a length that is a lie costs nothing.
fn exactly(bytes: &mut dyn Carried, length: usize, what: &str) -> Result<Vec<u8>, Short> {
    let mut list = Vec::new();
    let read = bytes
        .take(length as u64)
        .read_to_end(&mut list)
        .map_err(Short::Unreadable)?;
    if read < length {
        return Err(Short::Cut(format!(
            "the file ends in its {what}, after {read} of {length} bytes"
        )));
    }
    Ok(list)
}

/// The length of the next header; `None` at the end of the file.
fn begin(bytes: &mut dyn Carried) -> Result<Option<usize>, Short> {
    let mut list = Vec::new();
    let read = bytes.take(4).read_to_end(&mut list).map_err(Short::Unreadable)?;
    let Ok(four) = <[u8; 4]>::try_from(list.as_slice()) else {
        return match read {
            0 => Ok(None),
            _ => Err(Short::Cut(format!(
                "the file ends in the length of its header, after {read} of 4 bytes"
            ))),
        };
    };
    let size = u32::from_be_bytes(four) as usize;
    if size == 0 || size > PBF_HEADER_LIMIT {
        return Err(Short::Cut(format!(
            "its header is {size} bytes long; 1 to {PBF_HEADER_LIMIT} bytes are allowed"
        )));
    }
    Ok(Some(size))
}

/// Kind and length of the content.
fn blob_header(bytes: &[u8]) -> Result<(String, usize), String> {
    let (mut kind, mut length) = (String::new(), None);
    for field in Fields(bytes) {
        match field? {
            (1, Field::Bytes(text)) => kind = String::from_utf8_lossy(text).into_owned(),
            (3, Field::Number(n)) => length = Some(n),
            _ => {}
        }
    }
    let length = length.ok_or("its header does not say how long its content is")?;
    // Negative numbers are written as enormous ones.
    match usize::try_from(length) {
        Ok(n) if n <= PBF_BLOCK_LIMIT => Ok((kind, n)),
        _ => Err(format!(
            "its content is {} bytes long; at most {PBF_BLOCK_LIMIT} bytes are allowed",
            length as i64
        )),
    }
}

/// Unpacks the content of a block.
fn unpack(blob: &[u8], into: &mut Vec<u8>) -> Result<(), String> {
    into.clear();
    let (mut raw, mut packed, mut size) = (None, None, None);
    for field in Fields(blob) {
        match field? {
            (1, Field::Bytes(b)) => raw = Some(b),
            (2, Field::Number(n)) => size = Some(n),
            (3, Field::Bytes(b)) => packed = Some(b),
            (n @ 4..=7, Field::Bytes(_)) => {
                let by = ["lzma", "bzip2", "lz4", "zstd"][n as usize - 4];
                return Err(format!("it is packed by {by}; only zlib is read: pack the file anew"));
            }
            _ => {}
        }
    }
    if let Some(raw) = raw {
        into.extend_from_slice(raw);
        return Ok(());
    }
    let packed = packed.ok_or("it holds no content")?;
    let size = size.ok_or("it does not say how long its content is unpacked")?;
    let size = match usize::try_from(size) {
        Ok(n) if n <= PBF_BLOCK_LIMIT => n,
        _ => {
            return Err(format!(
                "its content is {} bytes long unpacked; at most {PBF_BLOCK_LIMIT} bytes are allowed",
                size as i64
            ));
        }
    };
    let mut unpacking = flate2::read::ZlibDecoder::new(packed).take(size as u64 + 1);
    unpacking
        .read_to_end(into)
        .map_err(|e| format!("its content cannot be unpacked (zlib): {e}"))?;
    if into.len() != size {
        let more = if into.len() > size { "more" } else { "fewer" };
        return Err(format!(
            "its content has {more} bytes unpacked than the {size} it states"
        ));
    }
    Ok(())
}

fn file_header(bytes: &[u8]) -> Result<(), String> {
    for field in Fields(bytes) {
        if let (4, Field::Bytes(text)) = field? {
            let text = String::from_utf8_lossy(text);
            if text == "HistoricalInformation" {
                return Err("the file holds the history of its elements; take one of a single day".to_string());
            }
            if !KNOWN.contains(&text.as_ref()) {
                return Err(format!(
                    "the file requires \"{text}\" of its reader, which this one cannot do"
                ));
            }
        }
    }
    Ok(())
}
