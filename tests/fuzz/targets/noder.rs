//! Lines that coincide, nearly meet, overlap and cross: the noder answers with a sound graph.
#![no_main]

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| {
    toeline_tests::fuzzed::check(&toeline_tests::fuzzed::map_from(bytes));
});
