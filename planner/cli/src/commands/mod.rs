//! One file a command.

pub(crate) mod aircraft;
pub(crate) mod drive;
pub(crate) mod inspect;
pub(crate) mod plan;
mod script;
