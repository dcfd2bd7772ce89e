//! A file of one of the carriers, read from its beginning as often as is needed.

use super::element::{Element, Form, Wants};
use super::{CarrierError, Progress, json, pbf, xml};
use std::io::{Read, Seek, SeekFrom};

/// Something to read and to go back in: a file, or bytes in memory behind a cursor.
pub trait Carried: Read + Seek {}

impl<T: Read + Seek> Carried for T {}

/// What is done with each element.
pub(super) type Visit<'v> = dyn FnMut(&Element<'_>) -> Result<(), CarrierError> + 'v;

/// How much of the beginning is looked at to recognise a carrier, bytes.
const BEGINNING: usize = 64 << 10;
/// Progress is told after as much of the file, bytes. Ours.
const TELL_BYTES: u64 = 1 << 20;

/// A file of a carrier.
pub(super) struct Source<'r> {
    bytes: &'r mut dyn Carried,
    form: Form,
    /// What each block of a PBF holds, once that is known: later readings go past those that they have no use for.
    blocks: Vec<Wants>,
    teller: Teller<'r>,
}

/// Tells how far a reading has come, now and then.
pub(super) struct Teller<'r> {
    progress: &'r mut dyn FnMut(Progress),
    of_bytes: u64,
    reading: usize,
    told: u64,
}

impl<'r> Teller<'r> {
    pub(super) fn new(progress: &'r mut dyn FnMut(Progress), of_bytes: u64) -> Teller<'r> {
        Teller {
            progress,
            of_bytes,
            reading: 1,
            told: 0,
        }
    }

    pub(super) fn tell(&mut self, done_bytes: u64) {
        if done_bytes >= self.told + TELL_BYTES {
            self.told = done_bytes;
            (self.progress)(Progress {
                reading: self.reading,
                done_bytes,
                of_bytes: self.of_bytes,
            });
        }
    }
}

impl<'r> Source<'r> {
    pub(super) fn open(
        bytes: &'r mut dyn Carried,
        progress: &'r mut dyn FnMut(Progress),
    ) -> Result<Source<'r>, CarrierError> {
        let form = form(bytes)?;
        if form == Form::GeoJson {
            return Err(CarrierError::NotKnown {
                found: "it is GeoJSON, or no map: GeoJSON holds one airfield and is read as it is".to_string(),
            });
        }
        let of_bytes = bytes.seek(SeekFrom::End(0))?;
        Ok(Source {
            bytes,
            form,
            blocks: Vec::new(),
            teller: Teller {
                progress,
                of_bytes,
                reading: 0,
                told: 0,
            },
        })
    }

    /// Reads the file from its beginning and shows each element of the wanted kinds.
    pub(super) fn each(&mut self, wants: Wants, visit: &mut Visit<'_>) -> Result<(), CarrierError> {
        self.bytes.seek(SeekFrom::Start(0))?;
        self.teller.reading += 1;
        self.teller.told = 0;
        let mut checked = |e: &Element<'_>| {
            if !wants.wants(e.id.0) {
                return Ok(());
            }
            e.check()?;
            visit(e)
        };
        let (bytes, teller) = (&mut *self.bytes, &mut self.teller);
        match self.form {
            Form::Xml => xml::each(bytes, teller, &mut checked),
            Form::Json => json::each(bytes, teller, &mut checked),
            Form::Pbf => pbf::each(bytes, &mut self.blocks, wants, teller, &mut checked),
            // Neither is a file of elements.
            Form::GeoJson | Form::Aixm => Ok(()),
        }
    }
}

/// What is wrong at a place.
pub(super) fn broken(form: Form, place: impl Into<String>, found: impl AsRef<str>) -> CarrierError {
    CarrierError::Broken {
        form,
        place: place.into(),
        found: crate::clean::sentence(found.as_ref()),
    }
}

/// Which carrier a file is, by its beginning. What looks like none of ours and is text in braces counts as GeoJSON, whose
/// reader says what is wrong with it.
///
/// # Errors
/// Bytes that cannot be read, and those that begin like none.
pub fn form(bytes: &mut dyn Carried) -> Result<Form, CarrierError> {
    bytes.seek(SeekFrom::Start(0))?;
    let mut beginning = Vec::new();
    bytes.take(BEGINNING as u64).read_to_end(&mut beginning)?;
    of_beginning(&beginning).map_err(|found| CarrierError::NotKnown { found })
}

fn of_beginning(bytes: &[u8]) -> Result<Form, String> {
    let packed: [(&[u8], &str); 5] = [
        (&[0x1f, 0x8b], "it is packed (gzip): unpack it first"),
        (b"BZh", "it is packed (bzip2): unpack it first"),
        (b"PK\x03\x04", "it is packed (zip): unpack it first"),
        (&[0xfd, b'7', b'z', b'X', b'Z'], "it is packed (xz): unpack it first"),
        (&[0x28, 0xb5, 0x2f, 0xfd], "it is packed (zstd): unpack it first"),
    ];
    if let Some((_, text)) = packed.iter().find(|(sign, _)| bytes.starts_with(sign)) {
        return Err((*text).to_string());
    }
    // Length of the header in four bytes, then the field "type" of the header: its key, its length and its text.
    if bytes.len() > 15 && bytes[..2] == [0, 0] && &bytes[4..15] == b"\x0a\x09OSMHeader" {
        return Ok(Form::Pbf);
    }
    if bytes.starts_with(&[0xff, 0xfe]) || bytes.starts_with(&[0xfe, 0xff]) {
        return Err("it is text in UTF-16: save it as UTF-8".to_string());
    }
    let text = bytes.strip_prefix(b"\xef\xbb\xbf").unwrap_or(bytes).trim_ascii_start();
    match text.first() {
        Some(b'<') => xml::outermost(text),
        Some(b'{') if json::has_elements(text) => Ok(Form::Json),
        // Sequences begin with a record separator; what is no JSON at all is told by its reader.
        Some(_) if core::str::from_utf8(&bytes[..bytes.len().min(512)]).is_ok_and(|t| !t.contains('\0')) => {
            Ok(Form::GeoJson)
        }
        None => Ok(Form::GeoJson),
        Some(_)
            if bytes
                .iter()
                .take(512)
                .all(|b| *b >= 0x20 || b.is_ascii_whitespace() || *b == 0x1e) =>
        {
            Ok(Form::GeoJson)
        }
        Some(_) => Err("it is no text, and no OpenStreetMap PBF either".to_string()),
    }
}
