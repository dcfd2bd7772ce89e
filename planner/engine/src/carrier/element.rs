//! What every OpenStreetMap carrier holds: nodes, ways and relations with tags.

use super::{CarrierError, PARTS_LIMIT, TAGS_LIMIT};
use std::borrow::Cow;
use toeline_model::LonLat;

/// Which carrier a file is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Form {
    /// GeoJSON: no work for this stage.
    GeoJson,
    /// OpenStreetMap XML.
    Xml,
    /// OpenStreetMap JSON.
    Json,
    /// OpenStreetMap PBF.
    Pbf,
    /// AIXM 5.1 or 5.1.1.
    Aixm,
}

impl core::fmt::Display for Form {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        f.write_str(match self {
            Form::GeoJson => "GeoJSON",
            Form::Xml => "OpenStreetMap XML",
            Form::Json => "OpenStreetMap JSON",
            Form::Pbf => "OpenStreetMap PBF",
            Form::Aixm => "AIXM message",
        })
    }
}

/// A place in whole billionths of a degree: what any carrier can write, and equal where the file means it equal.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Place {
    pub(super) lon_nano: i64,
    pub(super) lat_nano: i64,
}

/// Billionths of a degree in a degree.
pub(super) const NANO: f64 = 1e9;

impl Place {
    pub(super) fn from_nano(lon_nano: i64, lat_nano: i64) -> Result<Place, String> {
        let place = Place { lon_nano, lat_nano };
        let LonLat { lon_deg, lat_deg } = place.lonlat();
        if !(-180.0..=180.0).contains(&lon_deg) {
            return Err(format!("longitude {lon_deg} is outside -180 to 180 degrees"));
        }
        if !(-90.0..=90.0).contains(&lat_deg) {
            return Err(format!("latitude {lat_deg} is outside -90 to 90 degrees"));
        }
        Ok(place)
    }

    pub(super) fn from_deg(lon_deg: f64, lat_deg: f64) -> Result<Place, String> {
        // Beyond these the whole number would not hold it; the check above says what is wrong.
        let nano = |deg: f64| (deg.clamp(-1e6, 1e6) * NANO).round() as i64;
        if lon_deg.is_nan() || lat_deg.is_nan() {
            return Err("longitude or latitude is not a number".to_string());
        }
        Place::from_nano(nano(lon_deg), nano(lat_deg))
    }

    pub(super) fn lonlat(self) -> LonLat {
        LonLat {
            lon_deg: self.lon_nano as f64 / NANO,
            lat_deg: self.lat_nano as f64 / NANO,
        }
    }
}

/// Sort of element, in the order in which features are written.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Kind {
    Node,
    Way,
    Relation,
}

impl Kind {
    pub(super) fn word(self) -> &'static str {
        match self {
            Kind::Node => "node",
            Kind::Way => "way",
            Kind::Relation => "relation",
        }
    }

    pub(super) fn of(word: &str) -> Option<Kind> {
        [Kind::Node, Kind::Way, Kind::Relation]
            .into_iter()
            .find(|k| k.word() == word)
    }
}

/// "way/123": what a feature is called.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Id(pub(super) Kind, pub(super) i64);

impl core::fmt::Display for Id {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        write!(f, "{}/{}", self.0.word(), self.1)
    }
}

/// One member of a relation.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Member {
    pub(super) kind: Kind,
    pub(super) id: i64,
    /// Whether its role is that of a hole.
    pub(super) inner: bool,
    /// Its places, where the carrier writes them beside it; one that it leaves out is `None`.
    pub(super) inline: Vec<Option<Place>>,
}

/// Key and value.
pub(super) type Tag<'a> = (Cow<'a, str>, Cow<'a, str>);

/// One element as it passes by.
#[derive(Clone, Copy, Debug)]
pub(super) struct Element<'a> {
    pub(super) id: Id,
    /// A node's place. `None` for one that is only named.
    pub(super) place: Option<Place>,
    pub(super) tags: &'a [Tag<'a>],
    /// A way's nodes.
    pub(super) refs: &'a [i64],
    /// A way's places, where the carrier writes them beside it: as many as nodes, or without them.
    pub(super) inline: &'a [Option<Place>],
    /// A relation's members.
    pub(super) members: &'a [Member],
}

impl Element<'_> {
    pub(super) fn tag(&self, key: &str) -> &str {
        self.tags.iter().find(|(k, _)| k == key).map_or("", |(_, v)| v.as_ref())
    }

    /// Whether it has more parts than any has.
    pub(super) fn check(&self) -> Result<(), CarrierError> {
        let parts = self.refs.len().max(self.inline.len())
            + self.members.len()
            + self.members.iter().map(|m| m.inline.len()).sum::<usize>();
        let too_many = |found: usize, what: &str, limit: usize| CarrierError::TooLarge {
            found: format!("{} has {found} {what}; the limit is {limit}", self.id),
        };
        if parts > PARTS_LIMIT {
            return Err(too_many(parts, "nodes or members", PARTS_LIMIT));
        }
        if self.tags.len() > TAGS_LIMIT {
            return Err(too_many(self.tags.len(), "tags", TAGS_LIMIT));
        }
        Ok(())
    }
}

/// Which elements a reading of the file is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Wants {
    pub(super) nodes: bool,
    pub(super) ways: bool,
    pub(super) relations: bool,
}

impl Wants {
    pub(super) const ALL: Wants = Wants::of(true, true, true);
    pub(super) const NODES: Wants = Wants::of(true, false, false);
    pub(super) const WAYS: Wants = Wants::of(false, true, false);

    pub(super) const fn of(nodes: bool, ways: bool, relations: bool) -> Wants {
        Wants { nodes, ways, relations }
    }

    pub(super) fn wants(self, kind: Kind) -> bool {
        match kind {
            Kind::Node => self.nodes,
            Kind::Way => self.ways,
            Kind::Relation => self.relations,
        }
    }

    pub(super) fn meets(self, other: Wants) -> bool {
        (self.nodes && other.nodes) || (self.ways && other.ways) || (self.relations && other.relations)
    }
}
