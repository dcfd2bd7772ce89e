//! The way held against the published design rows, leg by leg: centreline to object on lanes, part to object on stands
//! and off the lanes, wheel to pavement edge. The rows of the rule that was asked for decide; all are shown.

use super::advance::{self, Near};
use super::published::{self, Group, Publication};
use super::solid::Solid;
use super::sweep::{Outline, Walk};
use super::verdict::{self, Rule};
use super::{EdgeRoom, Gap, LOOK_AROUND_M, Margins, Verdict};
use crate::request::MarginRule;
use crate::route::{Leg, LegKind, Route};
use serde::{Deserialize, Serialize};
use toeline_model::planar;
use toeline_model::{Aircraft, Airfield, Xy};

/// How near the bounds of a gap on one leg must come, metres.
const TOLERANCE_M: f64 = 0.0005;

/// Which row of a publication.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Row {
    /// Taxiway centreline to object.
    TaxiwayToObject,
    /// Taxilane centreline to object.
    TaxilaneToObject,
    /// Wing tip to object on a taxiway.
    TaxiwayTip,
    /// Wing tip to object on a taxilane.
    TaxilaneTip,
    /// Any part to object on a stand.
    StandTip,
    /// Outside of a main tyre to the pavement edge.
    WheelToEdge,
}

/// One row on one leg.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct RowFound {
    /// Index of the leg.
    pub leg: usize,
    /// Row.
    pub row: Row,
    /// Whether the kind of lane is assumed: the map does not say whether it is a taxiway or a taxilane, so both are shown.
    pub assumed: bool,
    /// What the row asks, metres.
    pub asked_m: f64,
    /// What there is, metres; `None` when nothing lies near enough to matter, or when the pavement has no width on the
    /// map (row [`Row::WheelToEdge`]).
    pub found_m: Option<f64>,
    /// Index in `considered` of what is nearest.
    pub obstacle: Option<usize>,
    /// Verdict on this row.
    pub verdict: Verdict,
}

/// The way held against one publication.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Compared {
    /// Short name, for example "faa-13b".
    pub id: String,
    /// Title, edition, table and where the figures are from.
    pub source: String,
    /// "code letter A", "Airplane Design Group I"; `None` when the aeroplane is beyond the table.
    pub class: Option<String>,
    /// Whether its rows decide the verdict of this check.
    pub decides: bool,
    /// Every row that applies, leg by leg.
    pub rows: Vec<RowFound>,
    /// The worst of them; `None` without a row that applies.
    pub verdict: Option<Verdict>,
}

/// What the rule that was asked for says of obstacles and edges; empty for the pilot's own margin.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Decided {
    /// Verdict on each obstacle, in the order of the solids.
    pub(super) obstacles: Vec<Verdict>,
    /// Whether the aeroplane is beyond the classes: then nothing is known by this rule.
    pub(super) beyond: bool,
    /// Verdict on each edge, in the order of the edges; `None` where the publication has no row.
    pub(super) edges: Vec<Option<Verdict>>,
}

impl Decided {
    /// Puts these verdicts in the place of the pilot's. A contact is never clear, whatever a row says of a centreline.
    pub(super) fn apply(&self, gaps: &mut [Gap], edges: &mut [EdgeRoom]) {
        for g in gaps {
            let touches = g.contact_m.is_some().then_some(g.verdict);
            g.verdict = verdict::worst([self.obstacles[g.obstacle]].into_iter().chain(touches));
        }
        for (e, decided) in edges.iter_mut().zip(&self.edges) {
            e.verdict = decided.unwrap_or(e.verdict);
        }
    }
}

/// Everything that the rows are held against.
pub(super) struct Scene<'a> {
    pub(super) field: &'a Airfield,
    pub(super) aircraft: &'a Aircraft,
    pub(super) route: &'a Route,
    pub(super) walk: &'a Walk,
    pub(super) solids: &'a [Solid],
    pub(super) near: &'a [Near],
    pub(super) edges: &'a [EdgeRoom],
    pub(super) margins: &'a Margins,
    pub(super) accuracy_m: f64,
}

/// Where the figures of a leg come from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Place {
    Lane(Row),
    Apron,
    OffLane,
    Stand,
    None,
}

/// A leg with what lies near it: the obstacle and the distance that its rows speak of.
struct Measured {
    place: Place,
    found: Vec<(usize, f64)>,
}

impl Scene<'_> {
    fn place(&self, leg: &Leg) -> Place {
        match leg.kind {
            LegKind::Taxiway if self.on_apron(&leg.mapped_line) => Place::Apron,
            LegKind::Taxiway => Place::Lane(Row::TaxiwayToObject),
            LegKind::Taxilane => Place::Lane(Row::TaxilaneToObject),
            LegKind::CheckArea | LegKind::Apron => Place::OffLane,
            LegKind::Stand | LegKind::HandPush => Place::Stand,
            LegKind::Runway => Place::None,
        }
    }

    /// Whether a centreline runs inside an apron for part of its way: then it may be a taxilane whatever its tag.
    fn on_apron(&self, line: &[Xy]) -> bool {
        let middles = || {
            line.windows(2)
                .map(|w| w[0].lerp(w[1], 0.5))
                .chain(line.iter().copied())
        };
        let on = |p: Xy, a: &toeline_model::airfield::NamedArea| {
            planar::inside_ring(p, &a.outer) && !a.holes.iter().any(|h| planar::inside_ring(p, h))
        };
        self.field.aprons.iter().any(|a| middles().any(|p| on(p, a)))
    }

    fn measured(&self) -> Vec<Measured> {
        let one = |leg: &Leg| {
            let place = self.place(leg);
            let found = match place {
                Place::Lane(_) | Place::Apron => self.beside_line(leg),
                Place::OffLane | Place::Stand | Place::None => self.beside_parts(leg),
            };
            Measured { place, found }
        };
        self.route.legs.iter().map(one).collect()
    }

    /// The pairs of cell and obstacle on a leg.
    fn on(&self, leg: &Leg) -> impl Iterator<Item = &Near> {
        let cells = &self.walk.cells;
        let first = cells.partition_point(|c| c.to_m <= leg.from_m);
        let last = cells.partition_point(|c| c.from_m < leg.to_m);
        self.near.iter().filter(move |n| (first..last).contains(&n.cell))
    }

    fn solids_on(&self, leg: &Leg) -> Vec<usize> {
        let mut list: Vec<usize> = self.on(leg).map(|n| n.solid).collect();
        list.sort_unstable();
        list.dedup();
        list
    }

    /// Distance of the mapped centreline from everything that comes near on the leg.
    fn beside_line(&self, leg: &Leg) -> Vec<(usize, f64)> {
        let strokes: Vec<Outline> = leg
            .mapped_line
            .windows(2)
            .map(|w| Outline::new(vec![w[0], w[1]]))
            .collect();
        // More than any row asks of a wing of this span.
        let limit_m = 2.0 * LOOK_AROUND_M + self.aircraft.wing.span_m;
        let to = |k: usize| {
            let from = |o: &Outline| self.solids[k].distance(o, limit_m).distance_m;
            (k, strokes.iter().map(from).fold(limit_m, f64::min))
        };
        self.solids_on(leg).into_iter().map(to).collect()
    }

    /// Least gap of any part to everything that comes near on the leg.
    fn beside_parts(&self, leg: &Leg) -> Vec<(usize, f64)> {
        let to = |k: usize| {
            let pairs = self.on(leg).filter(|n| n.solid == k);
            let found = advance::least(self.walk, self.solids, pairs, TOLERANCE_M);
            found.best.map(|_| (k, found.lower_m))
        };
        self.solids_on(leg).into_iter().filter_map(to).collect()
    }

    fn of(&self, asked_m: f64, (k, found_m): (usize, f64)) -> Verdict {
        let rule = Rule {
            margin_m: asked_m,
            accuracy_m: self.accuracy_m,
        };
        rule.of(found_m, &self.solids[k])
    }

    /// The rows of a group at a place, with what each asks.
    fn rows(place: Place, group: &Group) -> Vec<(Row, f64)> {
        let line = |row: Row| match row {
            Row::TaxiwayToObject => (row, group.taxiway_to_object),
            _ => (Row::TaxilaneToObject, group.taxilane_to_object),
        };
        match place {
            Place::Lane(row) => vec![line(row)],
            Place::Apron => vec![line(Row::TaxiwayToObject), line(Row::TaxilaneToObject)],
            Place::OffLane => vec![
                (Row::TaxiwayTip, group.taxiway_tip_m()),
                (Row::TaxilaneTip, group.taxilane_tip_m()),
            ],
            Place::Stand => group.stand_tip.map(|m| (Row::StandTip, m)).into_iter().collect(),
            Place::None => Vec::new(),
        }
    }

    fn wheel_row(&self, publication: &Publication, e: &EdgeRoom) -> Option<RowFound> {
        let leg = self.route.legs.get(e.leg)?;
        if !matches!(leg.kind, LegKind::Taxiway | LegKind::Taxilane) {
            return None;
        }
        let asked_m = publication.gear_class(self.aircraft.outer_gear_m())?.wheel_to_edge;
        let verdict = match e.room_m {
            // A room that is certified within a millimetre from below.
            Some(m) if m >= asked_m - 1e-3 => Verdict::Clear,
            Some(_) if e.verdict == Verdict::NotKnown => Verdict::NotKnown,
            Some(_) => Verdict::NotClear,
            None => Verdict::NotKnown,
        };
        Some(RowFound {
            leg: e.leg,
            row: Row::WheelToEdge,
            assumed: false,
            asked_m,
            found_m: e.room_m,
            obstacle: None,
            verdict,
        })
    }

    fn against(&self, publication: &Publication, measured: &[Measured], asked_for: bool) -> Compared {
        let group = publication.group(self.aircraft);
        let mut rows: Vec<RowFound> = Vec::new();
        for (leg, m) in measured.iter().enumerate() {
            let Some(group) = group else { break };
            let list = Self::rows(m.place, group);
            let assumed = list.len() > 1;
            for (row, asked_m) in list {
                let least = m.found.iter().copied().min_by(|a, b| a.1.total_cmp(&b.1));
                rows.push(RowFound {
                    leg,
                    row,
                    assumed,
                    asked_m,
                    found_m: least.map(|(_, found_m)| found_m),
                    obstacle: least.map(|(k, _)| k),
                    verdict: verdict::worst(m.found.iter().map(|f| self.of(asked_m, *f))),
                });
            }
        }
        if group.is_some() {
            rows.extend(self.edges.iter().filter_map(|e| self.wheel_row(publication, e)));
        }
        // Of two assumed rows neither is known to hold.
        let mut told: Vec<Verdict> = Vec::new();
        for r in &rows {
            let other = rows.iter().find(|o| r.assumed && o.leg == r.leg && o.row != r.row);
            told.push(other.map_or(r.verdict, |o| either(r.verdict, o.verdict)));
        }
        Compared {
            id: publication.id.clone(),
            source: format!(
                "{}, {}, {}; {}",
                publication.publication,
                publication.edition,
                publication.table,
                // The rest of it stands in the data file.
                publication.basis.split(';').next().unwrap_or_default()
            ),
            class: group.map(|g| format!("{} {}", publication.class_word, g.name)),
            decides: asked_for && publication.decides,
            verdict: (!rows.is_empty()).then(|| verdict::worst(told)),
            rows,
        }
    }

    /// What a publication decides: its rows, and the pilot's own margin where it has none. Beyond its table the answer
    /// is not known.
    fn decided(&self, publication: &Publication, measured: &[Measured]) -> Decided {
        let group = publication.group(self.aircraft);
        let of_leg = |m: &Measured, k: usize| -> Option<Verdict> {
            let found = *m.found.iter().find(|f| f.0 == k)?;
            let Some(group) = group else {
                return Some(Verdict::NotKnown);
            };
            let mut all = Self::rows(m.place, group)
                .into_iter()
                .map(|(_, asked_m)| self.of(asked_m, found));
            match (all.next(), all.next()) {
                (Some(a), Some(b)) => Some(either(a, b)),
                (Some(a), None) => Some(a),
                _ => Some(self.of(self.margins.margin_m, found)),
            }
        };
        Decided {
            beyond: group.is_none(),
            obstacles: (0..self.solids.len())
                .map(|k| verdict::worst(measured.iter().filter_map(|m| of_leg(m, k))))
                .collect(),
            edges: self
                .edges
                .iter()
                .map(|e| self.wheel_row(publication, e).map(|r| r.verdict))
                .collect(),
        }
    }
}

/// The verdict when one of two rows holds and nobody knows which.
fn either(a: Verdict, b: Verdict) -> Verdict {
    if a == b { a } else { Verdict::NotKnown }
}

/// The way against every publication, and what the rule that was asked for decides.
pub(super) fn compare(scene: &Scene<'_>) -> (Vec<Compared>, Option<Decided>) {
    let measured = scene.measured();
    let mut list = Vec::new();
    let mut decided = None;
    for p in published::publications() {
        let asked_for = scene.margins.rule != MarginRule::Pilot && p.rule == scene.margins.rule;
        if asked_for && p.decides {
            decided = Some(scene.decided(p, &measured));
        }
        list.push(scene.against(p, &measured, asked_for));
    }
    (list, decided)
}
