//! Everything that the map screen is drawn from, for systems that only look.

use super::core::Trial;
use super::ends::Ends;
use super::hand::Hand;
use super::look::Sizes;
use super::planner::Planner;
use super::sheet::Sheet;
use super::side::Lit;
use super::table::{Table, Trouble};
use bevy::ecs::system::SystemParam;
use bevy::prelude::*;

/// The state of the map screen.
#[derive(SystemParam)]
pub struct Shown<'w> {
    /// The field.
    pub table: Option<Res<'w, Table>>,
    /// Where the sheet lies.
    pub sheet: Res<'w, Sheet>,
    /// The chosen points.
    pub ends: Res<'w, Ends>,
    /// A held point.
    pub trial: Res<'w, Trial>,
    /// The pointer.
    pub hand: Res<'w, Hand>,
    /// Question and answer.
    pub planner: Res<'w, Planner>,
    /// What is wrong.
    pub trouble: Res<'w, Trouble>,
    /// The lit leg.
    pub lit: Res<'w, Lit>,
    /// Sizes.
    pub sizes: Res<'w, Sizes>,
}
