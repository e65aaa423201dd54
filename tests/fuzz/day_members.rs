//! Texts inside a day file.

#![no_main]

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| {
    let _ = tautbook_tests::fuzzed::day_members::text(bytes);
});
