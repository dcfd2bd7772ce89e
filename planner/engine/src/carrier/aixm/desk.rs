//! What every kind's maker needs: the features to look up, geometry, and a place for what is made, wrong or left out.

use super::shapes::Shapes;
use super::store::{Id, Kind, Live};
use super::tree::{Node, Space};
use super::units;
use super::usage::{Usage, usage};
use crate::carrier::write::{Feature, Shape};
use crate::clean;
use core::cell::RefCell;
use std::collections::{BTreeMap, BTreeSet};
use toeline_model::LonLat;

/// Whose features are made, and what came of it.
pub(super) struct Desk<'l> {
    pub(super) live: &'l BTreeMap<Id, Live>,
    /// Those of the aerodrome, and obstacles near it.
    pub(super) own: &'l BTreeSet<&'l Id>,
    pub(super) shapes: Shapes<'l>,
    /// Of features that many refer to, worked out once.
    pub(super) usages: RefCell<BTreeMap<&'l Id, Usage>>,
    /// Elevation of the aerodrome, metres.
    pub(super) elevation_m: Option<f64>,
    pub(super) made: Vec<Feature<LonLat>>,
    /// Features that cannot be read.
    pub(super) problems: Vec<String>,
    /// What is not used, counted by sentence.
    pub(super) left_out: BTreeMap<String, usize>,
}

/// A feature in the making.
pub(super) struct Draft {
    pub(super) id: String,
    tags: Vec<(String, String)>,
    pub(super) doubts: Vec<String>,
    identities: Vec<String>,
}

impl Draft {
    /// `KIND/uuid`.
    pub(super) fn of(id: &Id, live: &Live) -> Draft {
        Draft {
            id: format!("{}/{}", id.0.word(), id.1),
            tags: Vec::new(),
            doubts: live.doubts.clone(),
            identities: vec![id.1.clone()],
        }
    }

    pub(super) fn tag(&mut self, key: &str, value: impl Into<String>) {
        self.tags.push((key.to_string(), value.into()));
    }

    pub(super) fn tag_some(&mut self, key: &str, value: Option<impl Into<String>>) {
        if let Some(value) = value {
            self.tag(key, value);
        }
    }

    /// A notice that names it means this feature too.
    pub(super) fn also(&mut self, uuid: &str) {
        if !self.identities.iter().any(|i| i == uuid) {
            self.identities.push(uuid.to_string());
        }
    }

    pub(super) fn doubt(&mut self, text: impl Into<String>) {
        let text = text.into();
        if self.doubts.len() < DOUBTS && !self.doubts.contains(&text) {
            self.doubts.push(text);
        }
    }

    /// A length in metres, or a doubt.
    pub(super) fn length(&mut self, key: &str, node: Option<&Node>) {
        match node.map(units::length_m) {
            Some(Ok(m)) => self.tag(key, units::shown(m)),
            Some(Err(e)) => self.doubt(format!("{e}; left out")),
            None => {}
        }
    }

    /// `surface` from `surfaceProperties`.
    pub(super) fn surface(&mut self, node: &Node) {
        let given = node.at(Space::Aixm, &["surfaceProperties", "SurfaceCharacteristics"]);
        let Some(word) = given.and_then(|s| s.value(Space::Aixm, "composition")) else {
            return;
        };
        match SURFACES.iter().find(|(code, _)| *code == word) {
            Some((_, surface)) => self.tag("surface", *surface),
            None => self.doubt(format!(
                "its composition \"{}\" is none that is known; surface left out",
                clean::name(word)
            )),
        }
    }

    pub(super) fn usage(&mut self, usage: Usage) {
        self.tag_some("toeline:closed", usage.closed);
        self.tag_some("maxspan", usage.span_m.map(units::shown));
        usage.doubts.into_iter().for_each(|d| self.doubt(d));
    }

    /// With a shape, done.
    pub(super) fn drawn(mut self, shape: Shape<LonLat>) -> Feature<LonLat> {
        let identities = self.identities.join(" ");
        self.tag(IDENTITIES, identities);
        Feature {
            id: self.id,
            tags: self.tags,
            shape,
            doubt: (!self.doubts.is_empty()).then(|| self.doubts.join("\n")),
        }
    }
}

/// The property with the uuids of all AIXM features that a notice could name to mean this one, separated by blanks.
pub const IDENTITIES: &str = "toeline:identities";

/// Most doubts about one feature, and most features that one property of it may name. Ours.
const DOUBTS: usize = 20;
const LINKS: usize = 50;

/// Surface compositions of the standard with the map format's words. Mixtures with grass are not known.
const SURFACES: [(&str, &str); 18] = [
    ("ASPH", "asphalt"),
    ("CONC", "concrete"),
    ("CONC_ASPH", "concrete/asphalt"),
    ("BITUM", "bitumen"),
    ("BRICK", "paving_stones"),
    ("METAL", "metal"),
    ("MACADAM", "compacted"),
    ("STONE", "rock"),
    ("GRAVEL", "gravel"),
    ("GRASS", "grass"),
    ("EARTH", "earth"),
    ("SAND", "sand"),
    ("CLAY", "clay"),
    ("CORAL", "coral"),
    ("LATERITE", "laterite"),
    ("ICE", "ice"),
    ("WATER", "water"),
    ("PSP", "metal"),
];

impl<'l> Desk<'l> {
    /// The aerodrome's features of a kind, in order.
    pub(super) fn each(&self, kind: Kind) -> Vec<(&'l Id, &'l Live)> {
        let own = self.own.iter().filter(|id| id.0 == kind);
        own.filter_map(|id| Some((*id, self.live.get(*id)?))).collect()
    }

    /// What a property refers to: those of a kind that are there. Others are doubted.
    pub(super) fn linked(&self, draft: &mut Draft, node: &Node, property: &str, kind: Kind) -> Vec<(&'l Id, &'l Live)> {
        let mut list = Vec::new();
        let count = node.all(Space::Aixm, property).count();
        if count > LINKS {
            draft.doubt(format!("it has {count} {property}; the first {LINKS} count"));
        }
        for uuid in node.all(Space::Aixm, property).filter_map(Node::reference).take(LINKS) {
            match self.live.get_key_value(&(kind, uuid.clone())) {
                Some(found) => list.push(found),
                None => draft.doubt(format!(
                    "its {property} refers to the {} {}, which is not in the message or not there at this time",
                    kind.word(),
                    clean::name(&uuid)
                )),
            }
        }
        list
    }

    /// Whether and for whom a feature may be used; what is abandoned may not.
    pub(super) fn usage(&self, id: &'l Id, live: &'l Live) -> Usage {
        let made = || {
            let mut out = usage(&live.node);
            if live.node.value(Space::Aixm, "abandoned") == Some("YES") {
                out.closed = Some("abandoned".to_string());
            }
            out
        };
        self.usages.borrow_mut().entry(id).or_insert_with(made).clone()
    }

    pub(super) fn leave_out(&mut self, text: impl Into<String>) {
        *self.left_out.entry(text.into()).or_default() += 1;
    }

    /// Puts a feature down, or what is wrong with it.
    pub(super) fn put(&mut self, draft: Draft, live: &Live, shape: Result<Shape<LonLat>, String>) {
        match shape {
            Ok(shape) => self.made.push(draft.drawn(shape)),
            Err(e) => self.problems.push(format!("{} ({}): {e}", draft.id, live.place)),
        }
    }

    /// The point of a property.
    pub(super) fn point(&self, live: &Live, property: &str) -> Option<Result<LonLat, String>> {
        let node = live.node.child(Space::Aixm, property)?;
        Some(
            self.shapes
                .point(node, live.crs)
                .map_err(|e| format!("{property}: {e}")),
        )
    }

    /// The areas of a property.
    pub(super) fn areas(
        &self,
        live: &Live,
        property: &str,
        draft: &mut Draft,
    ) -> Option<Result<Shape<LonLat>, String>> {
        let node = live.node.child(Space::Aixm, property)?;
        let mut doubts = Vec::new();
        let areas = self.shapes.areas(node, live.crs, &mut doubts);
        doubts.into_iter().for_each(|d| draft.doubt(d));
        Some(areas.map(Shape::Areas).map_err(|e| format!("{property}: {e}")))
    }
}

/// A name as shown.
pub(super) fn named(node: &Node, property: &str) -> Option<String> {
    node.value(Space::Aixm, property).map(clean::name)
}
