//! Codes of labels, as typed or read.

#![no_main]

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| {
    let _ = tautbook_tests::fuzzed::label::code(bytes);
});
