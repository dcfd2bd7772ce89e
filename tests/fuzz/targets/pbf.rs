//! Any bytes, as a whole file and as the content of a block of PBF: the carrier answers, and what it cuts out is read.
#![no_main]

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| {
    toeline_tests::fuzzed::check_carried_block(bytes);
});
