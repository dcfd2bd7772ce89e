//! The generic, fictional aeroplanes that come with toeline, by name. A user's own file is read the same way.

use super::{Aircraft, check};

const FILES: [&str; 6] = [
    include_str!("../../data/aircraft/trainer-high-2.json"),
    include_str!("../../data/aircraft/tourer-low-4.json"),
    include_str!("../../data/aircraft/tourer-high-4.json"),
    include_str!("../../data/aircraft/twin-light-6.json"),
    include_str!("../../data/aircraft/motorglider-15.json"),
    include_str!("../../data/aircraft/caster-low-2.json"),
];

/// All built-in aeroplanes in a fixed order. A file that is not sound is left out; a test shows that none is.
pub fn all() -> Vec<Aircraft> {
    FILES.iter().filter_map(|text| check::read(text).ok()).collect()
}

/// The number of built-in files, sound or not.
pub fn file_count() -> usize {
    FILES.len()
}

/// The built-in aeroplane with this id.
pub fn find(id: &str) -> Option<Aircraft> {
    all().into_iter().find(|a| a.id == id)
}
