//! One file a command.

pub(crate) mod aircraft;
pub(crate) mod closing;
pub(crate) mod debrief;
pub(crate) mod drive;
pub(crate) mod exercise;
pub(crate) mod fit;
pub(crate) mod inspect;
pub(crate) mod logbook;
mod model_pilot;
pub(crate) mod plan;
pub(crate) mod pupil;
mod script;
