//! Day files from anywhere.

#![no_main]

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| tautbook_tests::fuzzed::taken_in::day_file(bytes));
