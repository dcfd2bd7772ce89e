//! Any text: the reader answers, and what it calls an airfield becomes a sound graph.
#![no_main]

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| {
    toeline_tests::fuzzed::check_bytes(bytes);
});
