//! Over unpainted apron: from a stand or a bare point that no line leads to, to the lanes round about.
//!
//! | file | what it holds |
//! |---|---|
//! | `bits` | edges and discs of the things there, found by boxes |
//! | `ground` | what carries the wheels and what the parts must keep clear of |
//! | `flood` | a grid, flooded: distances to the goals, and the narrowest place of the widest way |
//! | `search` | straights and arcs in position and heading, with Dubins ways to the goals |
//! | `shorten` | small moves made smooth |
//! | `start` | the place to start from, the lanes to join, and why not |
//!
//! What is found is found, not proven shortest, and clearance judges it by its sweep. See `docs/free-apron.md`.

mod bits;
mod flood;
mod ground;
mod search;
mod shorten;
mod start;

pub use flood::Narrow;
pub use ground::{Ground, Room, Thing};
pub use search::{Found, Goal, MOST_PLACES, search};
pub use start::{Join, Off, Refused, join_lanes, lanes_near, narrowest, place};

pub(crate) use search::Move;
