//! The fuzzers' work on seeds and on their mutations, without a fuzzer.

#![allow(clippy::unwrap_used)] // In a test a failed unwrap is a failed test.

use tautbook_tests::fuzzed::label::{code, code_seeds, picture, picture_seeds};
use tautbook_tests::fuzzed::mutated;

#[test]
fn codes_are_read_or_refused() {
    let mut taken = 0;
    for seed in code_seeds() {
        assert!(code(&seed), "{}", String::from_utf8_lossy(&seed));
        for n in 0..4_000 {
            taken += usize::from(code(&mutated(&seed, n)));
        }
    }
    // Of 48,000 mutations a few are codes again: those that changed nothing, or one in 29.
    assert!(taken < 4_800, "{taken} of 48,000 taken");
}

#[test]
fn pictures_are_read_rightly_or_not_at_all() {
    for (seed, right) in picture_seeds() {
        assert_eq!(picture(&seed), [right]);
        // Few, as each takes a second without optimisation; the fuzzer tries more.
        for n in 0..6 {
            for read in picture(&mutated(&seed, n)) {
                assert_eq!(read, right, "mutation {n}");
            }
        }
    }
    for bytes in [&[][..], &[0], &[1, 2], &[255, 0, 0], &[3, 1, 2, 3, 4, 5]] {
        assert_eq!(picture(bytes), []);
    }
}
