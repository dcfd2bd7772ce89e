//! Stage 2: an [`Airfield`]'s lines become a graph of pieces that meet where an aeroplane can go from one to another.

use crate::notice::{Notice, NoticeKind};
use petgraph::graph::{EdgeIndex, NodeIndex, UnGraph};
use toeline_model::airfield::{LaneKind, Surface, Way};
use toeline_model::{Airfield, Xy};

mod assemble;
mod crossings;
mod derive;
mod ends;
mod facing;
mod free;
mod holds;
mod levels;
pub(crate) mod names;
mod near;
mod net;
mod obstacles;
mod rounds;
mod settle;
mod stands;

pub use free::{FreeArea, LINE_HALF_WIDTH_M, ROUND_CORNERS};

/// A place where pieces meet or end, local metres.
#[derive(Clone, Debug, PartialEq)]
pub struct Node {
    /// Where.
    pub at: Xy,
}

/// What a segment is a piece of; the number is the index in the airfield's list.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Source {
    /// A taxiway or taxilane.
    Lane(usize, LaneKind),
    /// A runway.
    Runway(usize),
    /// A stand's line, or the straight connection of a stand point to the nearest lane.
    Stand(usize),
}

/// A piece of line between two nodes. It may be used in both senses unless `way` says otherwise.
#[derive(Clone, Debug, PartialEq)]
pub struct Segment {
    /// What it is a piece of.
    pub source: Source,
    /// Line from `from` to `to`, local metres, at least two points.
    pub line: Vec<Xy>,
    /// The node at the start of `line`.
    pub from: NodeIndex,
    /// The node at the end of `line`.
    pub to: NodeIndex,
    /// Length, metres.
    pub length_m: f64,
    /// Letters it is known by.
    pub letters: Vec<String>,
    /// Pavement width, metres.
    pub width_m: Option<f64>,
    /// Surface.
    pub surface: Surface,
    /// Permitted sense, relative to `line`.
    pub way: Way,
    /// Greatest wingspan admitted, metres.
    pub span_limit_m: Option<f64>,
    /// Speed limit, metres per second.
    pub speed_limit_mps: Option<f64>,
    /// Distance from the line to the nearest obstacle of any height, metres; `None` when none lies within
    /// [`FREE_HALF_WIDTH_REACH_M`].
    pub nearest_obstacle_m: Option<f64>,
    /// Why it is closed; a closed segment is kept so that "no way" can name it, and is never routed on.
    pub closed: Option<String>,
}

/// How far from a segment obstacles are looked for, metres.
pub const FREE_HALF_WIDTH_REACH_M: f64 = 60.0;

/// A stand joined to the graph.
#[derive(Clone, Debug, PartialEq)]
pub struct StandPlace {
    /// Index in the airfield's stands.
    pub stand: usize,
    /// Node where the nose wheel stops.
    pub node: NodeIndex,
    /// Node where the stand's line meets its lane.
    pub lane_node: NodeIndex,
}

/// A holding position joined to the graph.
#[derive(Clone, Debug, PartialEq)]
pub struct Hold {
    /// Index in the airfield's holding positions; `None` when it was derived at the published distance.
    pub position: Option<usize>,
    /// What to call it: its name on the map, or a description.
    pub name: String,
    /// Node on the lane.
    pub node: NodeIndex,
    /// Index of the runway it guards; `None` for one that guards none (intermediate).
    pub guards: Option<usize>,
    /// Node on the runway that the lane leads to beyond it.
    pub runway_node: Option<NodeIndex>,
    /// Direction of travel toward the guarded runway at the holding position.
    pub toward: Option<toeline_model::Yaw>,
}

/// The taxi graph.
#[derive(Clone, Debug)]
pub struct TaxiGraph {
    /// Pieces and where they meet.
    pub graph: UnGraph<Node, Segment>,
    /// Stands that could be joined.
    pub stands: Vec<StandPlace>,
    /// Holding positions, mapped and derived.
    pub holds: Vec<Hold>,
    /// Where an aeroplane can be manoeuvred off the lines: the aprons less what stands on them.
    pub free: Vec<FreeArea>,
}

impl TaxiGraph {
    /// A segment.
    pub fn segment(&self, e: EdgeIndex) -> &Segment {
        &self.graph[e]
    }

    /// Every segment known by a letter, trimmed and whatever its letter case, in order. A name is a set of segments and
    /// not one path: on real fields a taxiway lies in several parts, and two share a stretch.
    pub fn named(&self, letter: &str) -> Vec<EdgeIndex> {
        let asked = letter.trim().to_lowercase();
        let own = |e: &EdgeIndex| self.graph[*e].letters.iter().any(|l| l.trim().to_lowercase() == asked);
        self.graph.edge_indices().filter(own).collect()
    }

    /// Where a node is, local metres.
    pub fn at(&self, n: NodeIndex) -> Xy {
        self.graph[n].at
    }
}

/// Ends of lanes nearer to another line than this are joined to it, metres. Ours, measured on real maps: a larger figure
/// gains nothing below 2 m and melts neighbouring lanes together above.
pub const SNAP_M: f64 = 0.5;
/// Ends of lanes nearer than this, but not joined, are doubted, metres. Ours. Ends of stand lines join up to here.
pub const NEAR_MISS_M: f64 = 5.0;
/// Farthest that a stand is connected straight to a lane, metres. Ours.
pub const STAND_REACH_M: f64 = 60.0;
/// Holding positions up to this far beside their lane are taken to be on it without a word, metres. Ours.
pub const HOLD_ON_LANE_M: f64 = 1.0;
/// Holding positions farther than this from every lane are left out, metres. Ours.
pub const HOLD_REACH_M: f64 = 25.0;
/// How far along the lanes the runway of a holding position is looked for, metres. Ours.
pub const GUARD_REACH_M: f64 = 400.0;
/// How far along a lane from its runway a mapped holding position is looked for before one is derived, metres. Ours.
pub const HOLD_SEARCH_M: f64 = 250.0;

/// What the map's author may decide about the joining. The default is what a real map needs.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Rules {
    /// Whether lanes that cross or touch without a shared point meet there. Runways are always met: an entry onto a
    /// runway must not go unseen.
    pub split_crossings: bool,
}

impl Default for Rules {
    fn default() -> Rules {
        Rules { split_crossings: true }
    }
}

/// Builds the graph by the default rules. Never fails: what cannot be joined is told in the notices.
pub fn build(field: &Airfield) -> (TaxiGraph, Vec<Notice>) {
    build_by(field, Rules::default())
}

/// Builds the graph. Never fails: what cannot be joined is told in the notices.
pub fn build_by(field: &Airfield, rules: Rules) -> (TaxiGraph, Vec<Notice>) {
    let areas = obstacles::Areas::new(field);
    let mut net = net::Net::new(field);
    if field.runways.iter().all(|r| r.closed.is_some()) {
        let text = "the map shows no runway that is open; nothing leads to one and no holding position is derived";
        net.say(Notice::new(NoticeKind::Doubt, "airfield", text));
    }
    ends::snap(&mut net, ends::Of::Lanes);
    rounds::meet(&mut net, rules);
    let stands = stands::join(&mut net, &areas);
    rounds::again(&mut net, rules);
    ends::tell_free(&mut net, &areas);
    let mapped = holds::place(&mut net);
    let first = assemble::assemble(&net);
    let mut placed = holds::aim(&net, &first, mapped);
    let derived = derive::derive(&mut net, &first, &placed);
    let mut whole = first;
    if !derived.is_empty() {
        whole = assemble::assemble(&net);
        placed.extend(derived);
        placed = holds::aim(&net, &whole, placed);
    }
    assemble::tell_doubled(&mut net, &whole);
    holds::aimless(&mut net, &placed);
    areas.measure(&mut whole.graph);
    let at = |v: usize| whole.node[net.now(v)];
    let holds = placed
        .into_iter()
        .filter_map(|h| {
            Some(Hold {
                position: h.position,
                name: h.name,
                node: at(h.vertex)?,
                guards: h.guards,
                runway_node: h.runway_vertex.and_then(at),
                toward: h.toward,
            })
        })
        .collect();
    let stands = stands
        .into_iter()
        .filter_map(|s| {
            Some(StandPlace {
                stand: s.stand,
                node: at(s.stop)?,
                lane_node: at(s.lane)?,
            })
        })
        .collect();
    (
        TaxiGraph {
            graph: whole.graph,
            stands,
            holds,
            free: free::areas(field, &areas),
        },
        net.notices,
    )
}
