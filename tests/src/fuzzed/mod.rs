//! What is done with bytes from outside, for the fuzzers in `fuzz` and for the tests that replay
//! seeds and their mutations without one.

pub mod day_members;
pub mod label;
pub mod taken_in;

use crate::seeded::Seeded;

/// The `n`th mutation of these bytes: some turned over, cut out, put twice, or cut off. The same on
/// every run.
#[must_use]
pub fn mutated(seed: &[u8], n: u64) -> Vec<u8> {
    let mut chance = Seeded::new(n);
    let mut bytes = seed.to_vec();
    for _ in 0..=chance.below(4) {
        let at = chance.index(bytes.len());
        let end = (at + chance.index(bytes.len() / 4 + 2)).min(bytes.len());
        match chance.below(6) {
            0 => bytes.truncate(at),
            1 => drop(bytes.drain(at..end)),
            2 => bytes.extend_from_within(at..end),
            3 => bytes[at..end].fill(chance.bits().to_le_bytes()[0]),
            _ => {
                for _ in 0..=chance.below(40) {
                    let at = chance.index(bytes.len());
                    if let Some(byte) = bytes.get_mut(at) {
                        *byte ^= chance.bits().to_le_bytes()[0];
                    }
                }
            }
        }
    }
    bytes
}
