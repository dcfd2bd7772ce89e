//! Stage graph: every repair on one small field each, with what is said about it, and what must not be joined.

mod anew;
mod counts;
mod crossings;
mod dirt;
mod field;
mod free;
mod holds;
mod joins;
mod load;
mod order;
mod stands;
mod told;
mod whole;
