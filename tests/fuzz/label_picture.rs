//! Pictures of labels.

#![no_main]

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| {
    let _ = tautbook_tests::fuzzed::label::picture(bytes);
});
