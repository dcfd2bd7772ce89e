//! The harness that all integration tests share.

mod asking;
pub mod carried;
pub mod event_message;
pub mod fuzzed;
pub mod lanes;
pub mod lattice;
pub mod meetings;
mod open_data;
pub mod sketch;

pub use asking::{request, request_of};
pub use open_data::open_data;

use std::path::PathBuf;

/// The project's folder.
pub fn root() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
        .join("..")
        .canonicalize()
        .unwrap_or_else(|_| PathBuf::from(".."))
}

/// Text of the demo field.
pub fn demo_field() -> String {
    let path = root().join("maps/quillmere.geojson");
    std::fs::read_to_string(&path).unwrap_or_else(|e| panic!("{}: {e}", path.display()))
}
