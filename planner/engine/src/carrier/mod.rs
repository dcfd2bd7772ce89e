//! Stage 0: a file of another carrier becomes the GeoJSON text of one aerodrome, which [`crate::read`] then reads like any other.
//!
//! | carrier | recognised by |
//! |---|---|
//! | OpenStreetMap XML (`.osm`) | its outermost element `<osm>` |
//! | OpenStreetMap JSON (the answer of a query, or of the editing interface) | the member `elements` of its outermost object |
//! | OpenStreetMap PBF (`.osm.pbf`) | its first block, `OSMHeader` |
//! | AIXM 5.1 and 5.1.1 | its outermost element `AIXMBasicMessage` and that one's namespace |
//!
//! AIXM is in `aixm`, a stage of its own inside. A file of the open map may hold a whole country. It is read several times from its beginning and only what the step at hand needs is kept:
//!
//! | reading | kept |
//! |---|---|
//! | 1 | aerodromes; runways, lanes and stands with the numbers of their nodes |
//! | 2 | the nodes' places (before it, the ways that draw aerodromes which are relations) |
//! | 3 | the places of all nodes around the aerodrome that was picked |
//! | 4 | what is used and near it: features with their tags |
//! | 5 | ways and nodes that those need and that lie farther out, where there are any |
//!
//! What came out is in a fixed order (nodes, ways, relations, each by number), so the same place gives the same text
//! whatever the carrier. Nothing here touches the disk: the caller hands over something to read and to go back in.

pub(crate) mod aixm;
mod cut;
mod cutting;
mod element;
mod error;
mod features;
mod flat;
mod ground;
mod groups;
mod json;
mod listing;
mod meter;
mod pbf;
mod pbf_block;
mod pick;
mod places;
mod rings;
mod shapes;
mod source;
mod told;
mod wire;
mod write;
mod xml;

pub use aixm::{At, IDENTITIES, Message, NO_CREDIT};
pub use element::Form;
pub use error::CarrierError;
pub use listing::Aerodrome;
pub use source::{Carried, form};
pub(crate) use told::AerodromeOut;
pub use told::{json as aerodromes_json, text as aerodromes_text};

use source::Source;

/// What an OpenStreetMap file's data must be credited to wherever it or a picture of it is shown (ODbL 1.0, section 4.3).
pub const ATTRIBUTION: &str = "© OpenStreetMap contributors, Open Database License (ODbL) 1.0";
/// The property that tells what was doubtful about a feature before it became GeoJSON, one sentence a line; its reader makes
/// each a doubt.
pub const DOUBT: &str = "toeline:doubt";
/// The property that tells what a carrier did not use, one sentence a line; its reader makes each an omission.
pub const LEFT_OUT: &str = "toeline:left_out";
/// How far from an aerodrome's runways, lanes, stands and area other features are taken with it, metres. Ours: no wing is
/// nearly as long, and the pavement of a field whose area is drawn too small is within it.
pub const AROUND_M: f64 = 500.0;
/// How far from the box around all that the nodes are known at first, metres: an edge between two nodes that both lie farther
/// out is not seen to pass by. Ours.
pub const BOX_M: f64 = 1500.0;
/// How far from an aerodrome drawn as a point, or from the edge of its area, runways and lanes that lie in no area are taken
/// as its own, metres. Ours.
pub const OWN_M: f64 = 3000.0;
/// How far from an asked place an aerodrome may be, metres. Ours.
pub const PICK_M: f64 = 10_000.0;
/// Side of the squares by which runways and lanes of no aerodrome are put together, degrees: those in one square or in
/// touching ones belong together. Ours.
pub const SQUARE_DEG: f64 = 0.01;

/// Most aerodromes of one file. Ours: the whole world has fewer in the open map.
pub const AERODROME_LIMIT: usize = 100_000;
/// Most runways, lanes and stands of one file, and most features of one cut-out. Ours.
pub const FEATURE_LIMIT: usize = 300_000;
/// Most places of one cut-out: as many as the reader of GeoJSON takes.
pub const POSITION_LIMIT: usize = 1_000_000;
/// Most nodes of all aerodromes, runways, lanes and stands of one file. Ours.
pub const DRAWN_LIMIT: usize = 3_000_000;
/// Most nodes around one aerodrome. Ours: a large city has fewer on 100 square kilometres.
pub const AROUND_LIMIT: usize = 4_000_000;
/// Most nodes of one way, or members of one relation with their nodes. Ours: the open map allows 2000 and 32 000.
pub const PARTS_LIMIT: usize = 500_000;
/// Most tags of one element. Ours.
pub const TAGS_LIMIT: usize = 5000;
/// Most ways that are put together for one relation. Ours.
pub const RING_WAYS_LIMIT: usize = 5000;
/// Longest piece of XML (a tag with its attributes, or the text between two), bytes. Ours.
pub const XML_PIECE_LIMIT: usize = 1 << 20;
/// Longest element of JSON, bytes. Ours: the border of a country with every place written out has less.
pub const JSON_ELEMENT_LIMIT: usize = 32 << 20;
/// Longest header of a block of PBF, bytes (the published format's limit).
pub const PBF_HEADER_LIMIT: usize = 64 << 10;
/// Longest block of PBF, packed or unpacked, bytes (the published format's limit).
pub const PBF_BLOCK_LIMIT: usize = 32 << 20;
/// Most strings of one block of PBF. Ours: writers put 8000 elements in one.
pub const PBF_STRING_LIMIT: usize = 2_000_000;

/// How far the reading of a carrier has come.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Progress {
    /// Which reading of the file, from 1.
    pub reading: usize,
    /// Bytes of it done.
    pub done_bytes: u64,
    /// Bytes of the file.
    pub of_bytes: u64,
}

/// One aerodrome, cut out.
#[derive(Clone, Debug, PartialEq)]
pub struct Cut {
    /// Which.
    pub aerodrome: Aerodrome,
    /// GeoJSON text with its attribution. What was doubtful about a feature is in its property `toeline:doubt`.
    pub text: String,
}

/// The aerodromes of a file at a time, which counts for AIXM only: those it names, and groups of runways and lanes that lie in none. Those with most lanes first.
///
/// # Errors
/// A file that is none of the carriers, is broken, or exceeds a limit.
pub fn aerodromes(
    bytes: &mut dyn Carried,
    at: At,
    progress: &mut dyn FnMut(Progress),
) -> Result<Vec<Aerodrome>, CarrierError> {
    if form(bytes)? == Form::Aixm {
        return aerodromes_of_messages(&mut [alone(bytes)], at, progress);
    }
    let mut source = Source::open(bytes, progress)?;
    Ok(listing::list(&mut source)?.into_iter().map(|f| f.aerodrome).collect())
}

/// Cuts out the aerodrome that is asked for by name, code, feature id or "longitude,latitude"; without a word the only one
/// that has anything to taxi on. As it is at a time, which counts for AIXM only.
///
/// # Errors
/// As [`aerodromes`]; features that cannot be read; no such aerodrome; several.
pub fn cut_out(
    bytes: &mut dyn Carried,
    asked: Option<&str>,
    at: At,
    progress: &mut dyn FnMut(Progress),
) -> Result<Cut, CarrierError> {
    if form(bytes)? == Form::Aixm {
        return cut_out_of_messages(&mut [alone(bytes)], asked, at, progress);
    }
    let mut source = Source::open(bytes, progress)?;
    let found = listing::list(&mut source)?;
    let which = pick::pick(&found, asked)?;
    cut::cut(&mut source, which)
}

/// The only file of its messages.
fn alone(bytes: &mut dyn Carried) -> Message<'_> {
    Message {
        name: String::new(),
        bytes,
    }
}

/// The aerodromes of AIXM messages that lie in several files.
///
/// # Errors
/// As [`aerodromes`].
pub fn aerodromes_of_messages(
    messages: &mut [Message<'_>],
    at: At,
    progress: &mut dyn FnMut(Progress),
) -> Result<Vec<Aerodrome>, CarrierError> {
    aixm::list(messages, at, progress)
}

/// Cuts an aerodrome out of AIXM messages that lie in several files.
///
/// # Errors
/// As [`cut_out`].
pub fn cut_out_of_messages(
    messages: &mut [Message<'_>],
    asked: Option<&str>,
    at: At,
    progress: &mut dyn FnMut(Progress),
) -> Result<Cut, CarrierError> {
    aixm::cut(messages, asked, at, progress)
}

/// What [`cut_each`] hands over: an aerodrome by its number from 0, how many there are, and what was cut out; `None` where it
/// has nothing to taxi on. The answer says whether to go on.
pub type TakeCut<'t> = dyn FnMut(usize, usize, &Aerodrome, Option<Result<Cut, CarrierError>>) -> bool + 't;

/// Cuts out every aerodrome of a file, in the order of [`aerodromes`], many of them in the same readings. One that exceeds
/// a limit is handed over as its error, and the others go on.
///
/// # Errors
/// As [`aerodromes`].
pub fn cut_each(
    bytes: &mut dyn Carried,
    at: At,
    progress: &mut dyn FnMut(Progress),
    take: &mut TakeCut<'_>,
) -> Result<(), CarrierError> {
    if form(bytes)? == Form::Aixm {
        return cut_each_of_messages(&mut [alone(bytes)], at, progress, take);
    }
    let mut source = Source::open(bytes, progress)?;
    let found = listing::list(&mut source)?;
    let of = found.len();
    // Those with lanes, then those with runways come first.
    let (ground, bare): (Vec<_>, Vec<_>) = found.iter().partition(|f| f.aerodrome.has_ground());
    let mut go_on = true;
    cut::cut_each(&mut source, &ground, &mut |i, cut| {
        go_on = take(i, of, &ground[i].aerodrome, Some(cut));
        go_on
    })?;
    for (i, f) in bare.iter().enumerate() {
        go_on = go_on && take(ground.len() + i, of, &f.aerodrome, None);
    }
    Ok(())
}

/// Cuts out every aerodrome of AIXM messages that lie in several files.
///
/// # Errors
/// As [`cut_each`].
pub fn cut_each_of_messages(
    messages: &mut [Message<'_>],
    at: At,
    progress: &mut dyn FnMut(Progress),
    take: &mut TakeCut<'_>,
) -> Result<(), CarrierError> {
    aixm::cut_each(messages, at, progress, take)
}
