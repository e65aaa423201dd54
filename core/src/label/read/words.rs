//! From how dark each module looks to the code of the label.

use super::super::LabelCode;
use super::modules::{
    ACROSS, DATA, WORDS, block_of, format_bits, format_places, is_masked, word_places,
};
use super::solomon::{BLOCK, Field};

/// Every module's darkness: 1 surely dark, −1 surely light, 0 not known. Rows of [`ACROSS`].
pub(super) type Darkness = [f32; (ACROSS * ACROSS) as usize];

/// What a label's data begin with: alphanumeric mode, 35 signs, `TAUT1:`.
const START_BITS: usize = 46;
/// The signs of the alphanumeric mode by their worth.
const SIGNS: &[u8; 45] = b"0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ $%*+-./:";
/// Signs of a label's code.
const LENGTH: usize = 35;
/// How many of the doubtful codewords of a block count for nothing, tried in turn (generalised
/// minimum distance decoding: Forney, 1966). Four check signs are always left to check with.
const DOUBTFUL: [usize; 7] = [0, 4, 7, 10, 13, 16, 18];
/// Masks tried, the likeliest first.
const MASKS: usize = 3;

/// Reads symbols whose modules are known as far as they could be seen.
pub(super) struct Words {
    field: Field,
    places: Vec<(i32, i32)>,
    start: [u8; START_BITS / 8],
}

/// The module in that column and row; unknown outside.
fn module(darkness: &Darkness, column: i32, row: i32) -> f32 {
    usize::try_from(row * ACROSS + column)
        .ok()
        .and_then(|at| darkness.get(at).copied())
        .unwrap_or(0.0)
}

impl Words {
    pub(super) fn new() -> Self {
        // Mode 0010, count 35 in 9 bits, then each pair of signs in 11.
        let mut bits = 0b0010_u64 << 9 | 35;
        for pair in b"TAUT1:".chunks(2) {
            let worth = pair.iter().fold(0, |worth, sign| {
                let place = SIGNS.iter().position(|known| known == sign);
                worth * 45 + u64::try_from(place.unwrap_or(0)).unwrap_or(0)
            });
            bits = bits << 11 | worth;
        }
        let whole = bits >> (START_BITS % 8);
        Self {
            field: Field::new(),
            places: word_places(),
            start: std::array::from_fn(|n| {
                u8::try_from(whole >> (8 * (START_BITS / 8 - 1 - n)) & 0xff).unwrap_or(0)
            }),
        }
    }

    /// The code in a symbol, when enough of it can be seen.
    pub(super) fn code(&self, darkness: &Darkness) -> Option<LabelCode> {
        masks(darkness)
            .into_iter()
            .take(MASKS)
            .find_map(|mask| self.code_under(darkness, mask))
    }

    fn code_under(&self, darkness: &Darkness, mask: u32) -> Option<LabelCode> {
        let mut words = [[0_u8; BLOCK]; 2];
        let mut sure = [[0_f32; BLOCK]; 2];
        for (n, places) in self.places.chunks(8).enumerate().take(WORDS) {
            let mut word = 0;
            let mut least = f32::MAX;
            for &(column, row) in places {
                let dark = module(darkness, column, row);
                let bit = (dark > 0.0) != is_masked(mask, column, row);
                word = word << 1 | u8::from(bit);
                least = least.min(dark.abs());
            }
            let (block, at) = block_of(n);
            words[block][at] = word;
            sure[block][at] = least;
        }
        words[0][..self.start.len()].copy_from_slice(&self.start);
        sure[0][..self.start.len()].fill(f32::MAX);
        let [first, second] = [0, 1].map(|block| self.mended(&words[block], &sure[block]));
        let firsts = first.iter().filter(|word| word.starts_with(&self.start));
        firsts
            .flat_map(|first| second.iter().map(move |second| (first, second)))
            .find_map(|(first, second)| {
                let mut data = [0; 2 * DATA];
                data[..DATA].copy_from_slice(&first[..DATA]);
                data[DATA..].copy_from_slice(&second[..DATA]);
                LabelCode::parse(&text(&data)?).ok()
            })
    }

    /// The true words that this one may be, the likeliest first.
    fn mended(&self, word: &[u8; BLOCK], sure: &[f32; BLOCK]) -> Vec<[u8; BLOCK]> {
        let mut order: [usize; BLOCK] = std::array::from_fn(|at| at);
        order.sort_by(|&a, &b| sure[a].total_cmp(&sure[b]));
        let mut found: Vec<[u8; BLOCK]> = Vec::new();
        for doubtful in DOUBTFUL {
            if let Some(mended) = self.field.mend(word, &order[..doubtful])
                && !found.contains(&mended)
            {
                found.push(mended);
            }
        }
        found
    }
}

/// All masks, those first whose format looks most like what is seen.
fn masks(darkness: &Darkness) -> Vec<u32> {
    let mut masks: Vec<(f32, u32)> = (0..8)
        .map(|mask| {
            let bits = format_bits(mask);
            let alike = format_places()
                .iter()
                .flat_map(|copy| copy.iter().enumerate())
                .map(|(n, &(column, row))| {
                    let seen = module(darkness, column, row);
                    if bits >> n & 1 == 1 { seen } else { -seen }
                })
                .sum();
            (alike, mask)
        })
        .collect();
    masks.sort_by(|a, b| b.0.total_cmp(&a.0));
    masks.into_iter().map(|(_, mask)| mask).collect()
}

/// The signs in a symbol's data; `None` when they are not 35 of the alphanumeric mode.
fn text(data: &[u8; 2 * DATA]) -> Option<String> {
    let mut at = 0;
    let mut take = |count: usize| {
        let value = (at..at + count).fold(0_usize, |value, bit| {
            value << 1 | usize::from(data[bit / 8] >> (7 - bit % 8) & 1)
        });
        at += count;
        value
    };
    if take(4) != 0b0010 || take(9) != LENGTH {
        return None;
    }
    let mut text = String::with_capacity(LENGTH);
    while text.len() < LENGTH {
        if text.len() + 1 < LENGTH {
            let pair = take(11);
            text.push(char::from(*SIGNS.get(pair / 45)?));
            text.push(char::from(*SIGNS.get(pair % 45)?));
        } else {
            text.push(char::from(*SIGNS.get(take(6))?));
        }
    }
    Some(text)
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;
    use uuid::Uuid;

    use super::super::super::Symbol;
    use super::*;
    use crate::survey::Id;

    fn label(id: u128) -> (LabelCode, Darkness) {
        let code = LabelCode::new(Id::from_uuid(Uuid::from_u128(id)));
        let symbol = Symbol::new(code).unwrap();
        let side = u32::try_from(ACROSS).unwrap();
        let darkness = std::array::from_fn(|at| {
            let at = u32::try_from(at).unwrap();
            if symbol.is_dark(at % side, at / side) {
                1.0
            } else {
                -1.0
            }
        });
        (code, darkness)
    }

    proptest! {
        #[test]
        fn a_clean_symbol_is_read(id: u128) {
            let (code, darkness) = label(id);
            prop_assert_eq!(Words::new().code(&darkness), Some(code));
        }

        #[test]
        fn a_corner_that_is_not_seen_is_done_without(id: u128, right: bool, bottom: bool) {
            // 10 by 10 modules of 29 by 29, unknown: the library's decoder has no such word.
            let (code, mut darkness) = label(id);
            for row in 0..10 {
                for column in 0..10 {
                    let column = if right { ACROSS - 1 - column } else { column };
                    let row = if bottom { ACROSS - 1 - row } else { row };
                    darkness[usize::try_from(row * ACROSS + column).unwrap()] = 0.0;
                }
            }
            prop_assert_eq!(Words::new().code(&darkness), Some(code));
        }

        #[test]
        fn noise_is_never_taken_for_a_label(bits in proptest::collection::vec(-1.0_f32..1.0, 841)) {
            let darkness: Darkness = bits.try_into().unwrap();
            prop_assert_eq!(Words::new().code(&darkness), None);
        }

        #[test]
        fn a_spoilt_symbol_is_read_rightly_or_not_at_all(
            id: u128,
            turned in proptest::collection::vec((0_usize..841, -1.0_f32..1.0), 0..400),
        ) {
            let (code, mut darkness) = label(id);
            for (at, dark) in turned {
                darkness[at] = dark;
            }
            let read = Words::new().code(&darkness);
            prop_assert!(read.is_none() || read == Some(code), "{read:?}");
        }
    }
}
