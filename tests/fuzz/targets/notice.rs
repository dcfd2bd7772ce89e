//! Any bytes that may be notices: they are read and laid on the demo field.
#![no_main]

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| {
    toeline_tests::fuzzed::check_notams(bytes);
});
