//! The stage `notices`: forms read, schedules, conditions, placing.

mod conditions;
mod digital;
mod hostile;
mod own;
mod schedule;
