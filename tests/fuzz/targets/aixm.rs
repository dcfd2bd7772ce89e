//! Any bytes that may be an AIXM message: the carrier answers, and what it cuts out is read.
#![no_main]

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| {
    toeline_tests::fuzzed::check_carried(bytes);
});
