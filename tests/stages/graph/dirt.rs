//! The kinds of dirt that were measured on real fields, by their numbers in the list of findings beside the data: each on
//! the real field where the data is there, and on a small one of our own. The kinds that are about tags alone (8, 9, 10, 11,
//! 15, 16, 17, 20, 21, 22) are in `tests/stages/read`. Data: OpenStreetMap contributors, Open Database License.

mod made;
mod network;
mod points;
mod shapes;
