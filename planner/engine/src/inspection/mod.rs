//! What a map file holds, what it lacks, each repair and each doubt: as data, then as text, JSON and a picture whose
//! marks bear the same numbers. Reads and joins the map as a plan would; no way is looked for.
//!
//! | kind | what it is | counts as a finding |
//! |---|---|---|
//! | doubt | something that is probably not what the map's author meant | always |
//! | repair | the map was mended to be read | when strict |
//! | left out | something in the file that is not used | never |
//!
//! What the map lacks is no finding: no map shows everything, and a plan says what it does not know.

mod buildings;
mod called;
mod census;
mod gap;
mod holds;
mod json;
mod lacks;
mod letters;
mod parts;
mod picture;
mod reach;
mod stands;
mod strict;
mod text;
mod widths;

pub use census::Content;
pub use json::{FORMAT, json};
pub use lacks::Lack;
pub use parts::{Part, PartGap};
pub use picture::picture;
pub use strict::refused;
pub use text::text;

use crate::clean;
use crate::graph::{self, TaxiGraph};
use crate::notice::{Notice, NoticeKind};
use crate::notices::{self, Notam, Shown, Status};
use crate::plane::LocalPlane;
use crate::read::{self, ReadError};
use serde::Serialize;
use toeline_model::airfield::FeatureId;
use toeline_model::date::{Date, TimeOfDay};
use toeline_model::{Airfield, LonLat, Xy};

/// What a finding is about. In the order in which doubts are told.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Topic {
    /// Parts of the field that are not joined.
    Parts,
    /// Stands without a way to a runway or from it.
    NoWay,
    /// Holding positions that are missing or guard nothing.
    HoldingPosition,
    /// A lane that runs into a building.
    Building,
    /// A width that can hardly be.
    Width,
    /// A letter borne by lanes that do not meet.
    Letters,
    /// A name borne by several stands.
    StandName,
    /// Told while the lines were joined.
    Joining,
    /// Told while the file was read.
    Reading,
    /// Something that is closed.
    Closed,
}

/// One repair, doubt or omission, numbered over all of them.
#[derive(Clone, Debug, PartialEq)]
pub struct Finding {
    /// Number, from 1; the same in every form.
    pub number: usize,
    /// Sort.
    pub kind: NoticeKind,
    /// What it is about.
    pub topic: Topic,
    /// Feature it is about, made safe to show.
    pub feature: FeatureId,
    /// Where, local metres.
    pub at: Option<Xy>,
    /// Where, longitude and latitude, rounded to 0.0000001 degree.
    pub place: Option<LonLat>,
    /// The two ends of a gap or overlap, local metres.
    pub between: Option<[Xy; 2]>,
    /// Size, metres.
    pub size_m: Option<f64>,
    /// What was assumed in place of what the map does not say.
    pub assumed: Option<String>,
    /// What was found, made safe to show.
    pub text: String,
    /// What to do about it in the map; `None` where the text says it.
    pub mend: Option<String>,
}

/// All that is told of a map.
#[derive(Clone, Debug, PartialEq)]
pub struct Inspection {
    /// The airfield as read.
    pub field: Airfield,
    /// What the file holds, line by line.
    pub content: Vec<Content>,
    /// Pieces of ground that an aeroplane cannot taxi between; the first is the main one.
    pub parts: Vec<Part>,
    /// What the map lacks.
    pub lacks: Vec<Lack>,
    /// Doubts, then repairs, then what is left out.
    pub findings: Vec<Finding>,
    /// Where holding positions were derived, local metres.
    pub derived: Vec<Xy>,
    /// Notices laid over the field, those that decide first.
    pub notams: Vec<Shown>,
}

impl Inspection {
    /// How many findings there are of a sort.
    pub fn count(&self, kind: NoticeKind) -> usize {
        self.findings.iter().filter(|f| f.kind == kind).count()
    }

    /// Whether anything is doubtful, or repaired when `strict`, or a notice in force could not be placed.
    pub fn is_doubtful(&self, strict: bool) -> bool {
        let unplaced = |n: &Shown| n.counts && matches!(n.status, Status::NotPlaced | Status::PlacedInPart);
        self.notams.iter().any(unplaced)
            || self.count(NoticeKind::Doubt) > 0
            || (strict && self.count(NoticeKind::Repair) > 0)
    }
}

/// Reads a map file's text and tells what is in it.
///
/// # Errors
/// A text that cannot be read as an airfield.
pub fn inspect(field_text: &str) -> Result<Inspection, ReadError> {
    inspect_with(field_text, &mut |_| {})
}

/// The same, telling how far the reading of a long map is.
///
/// # Errors
/// As [`inspect`].
pub fn inspect_with(field_text: &str, progress: &mut dyn FnMut(read::Progress)) -> Result<Inspection, ReadError> {
    inspect_laid(field_text, None, progress)
}

/// Notices, and the day and time (UTC) for which they are laid.
pub type Notices<'a> = (&'a [Notam], Date, Option<TimeOfDay>);

/// The same with notices laid over the field: what became of each is told, and nothing is taken away.
///
/// # Errors
/// As [`inspect`].
pub fn inspect_laid(
    field_text: &str,
    notams: Option<Notices<'_>>,
    progress: &mut dyn FnMut(read::Progress),
) -> Result<Inspection, ReadError> {
    let read::ReadField { field, notices } = read::read_with(field_text, progress)?;
    let (graph, joining) = graph::build(&field);
    let split = parts::split(&graph);
    let parts = parts::parts(&field, &graph, &split);
    let mut list = told(notices, Topic::Reading);
    list.extend(told(joining, Topic::Joining));
    let doubted = Doubted::new(&list);
    list.extend(parts::doubts(&parts));
    list.extend(reach::doubts(&field, &graph, &split, &doubted));
    list.extend(holds::doubts(&field, &graph, &doubted));
    list.extend(buildings::doubts(&field, &graph));
    list.extend(widths::doubts(&field));
    list.extend(letters::doubts(&field, &graph));
    list.extend(stands::doubts(&field));
    list.extend(census::closed(&field));
    let rank = |f: &Finding| match f.kind {
        NoticeKind::Doubt => 0,
        NoticeKind::Repair => 1,
        NoticeKind::LeftOut => 2,
    };
    list.sort_by_key(|f| (rank(f), f.topic));
    let plane = LocalPlane::new(field.origin);
    for (i, f) in list.iter_mut().enumerate() {
        f.number = i + 1;
        f.place = f.at.map(|p| rounded(plane.to_lonlat(p)));
    }
    Ok(Inspection {
        content: census::contents(&field, &graph),
        lacks: lacks::lacks(&field),
        derived: derived(&graph),
        notams: notams.map_or(Vec::new(), |(list, date, time)| {
            notices::shown(&notices::lay(&field, list, date, time).told(None))
        }),
        parts,
        findings: list,
        field,
    })
}

/// A tenth of a micro-degree is a centimetre: finer than any map is drawn.
fn rounded(p: LonLat) -> LonLat {
    let round = |deg: f64| toeline_model::units::round_to(deg, 7);
    LonLat {
        lon_deg: round(p.lon_deg),
        lat_deg: round(p.lat_deg),
    }
}

fn derived(graph: &TaxiGraph) -> Vec<Xy> {
    let ours = graph.holds.iter().filter(|h| h.position.is_none());
    ours.map(|h| graph.at(h.node)).collect()
}

fn told(notices: Vec<Notice>, topic: Topic) -> Vec<Finding> {
    notices
        .into_iter()
        .map(|n| Finding {
            number: 0,
            kind: n.kind,
            topic,
            feature: clean::name(&n.feature),
            at: n.at,
            place: None,
            between: None,
            size_m: n.size_m,
            assumed: n.assumed.as_deref().map(clean::sentence),
            text: clean::sentence(&n.text),
            mend: None,
        })
        .collect()
}

/// Features that reading or joining doubts already, so that nothing is told twice.
struct Doubted(std::collections::BTreeSet<String>);

impl Doubted {
    fn new(list: &[Finding]) -> Doubted {
        let doubts = list.iter().filter(|f| f.kind == NoticeKind::Doubt);
        Doubted(doubts.map(|f| f.feature.clone()).collect())
    }

    fn has(&self, feature: &str) -> bool {
        self.0.contains(&clean::name(feature))
    }
}

/// A doubt of the inspection's own.
fn doubt(topic: Topic, feature: &str, at: Option<Xy>, text: &str, mend: &str) -> Finding {
    Finding {
        number: 0,
        kind: NoticeKind::Doubt,
        topic,
        feature: clean::name(feature),
        at,
        place: None,
        between: None,
        size_m: None,
        assumed: None,
        text: clean::sentence(text),
        mend: Some(clean::sentence(mend)),
    }
}
