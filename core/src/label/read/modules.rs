//! The modules that every label's symbol has alike, and where the others stand in its words.
//!
//! All after ISO/IEC 18004: function patterns, format information and the order of codewords for
//! version 3 at level H.

use super::super::SIDE;
use super::solomon::BLOCK;

/// Modules along a side, as a signed number.
pub(super) const ACROSS: i32 = SIDE.cast_signed();
/// Codewords in a symbol, in two blocks.
pub(super) const WORDS: usize = 2 * BLOCK;
/// Codewords of data in each block.
pub(super) const DATA: usize = 13;
/// The middle of the small pattern towards the lower right, in modules.
pub(super) const ALIGNMENT: f64 = 22.5;

/// Whether the module that all labels have in that place is dark; `None` for those that differ.
/// Outside the symbol is the quiet zone: light.
pub(super) fn fixed(column: i32, row: i32) -> Option<bool> {
    if column < 0 || row < 0 || column >= ACROSS || row >= ACROSS {
        return Some(false);
    }
    let from = |middle_column: i32, middle_row: i32| {
        (column - middle_column).abs().max((row - middle_row).abs())
    };
    for (middle_column, middle_row) in [(3, 3), (ACROSS - 4, 3), (3, ACROSS - 4)] {
        let ring = from(middle_column, middle_row);
        if ring <= 4 {
            return Some(ring != 2 && ring != 4);
        }
    }
    if from(22, 22) <= 2 {
        return Some(from(22, 22) != 1);
    }
    if (column, row) == (8, ACROSS - 8) {
        return Some(true);
    }
    let timing = row == 6 || column == 6;
    (timing && !is_format(column, row)).then_some((column + row) % 2 == 0)
}

/// Where the two copies of the format's bits stand, the lowest first.
pub(super) fn format_places() -> [[(i32, i32); 15]; 2] {
    let bit = |n: usize| i32::try_from(n).unwrap_or(0);
    let first = std::array::from_fn(|n| match n {
        0..=5 => (8, bit(n)),
        6 => (8, 7),
        7 => (8, 8),
        8 => (7, 8),
        _ => (14 - bit(n), 8),
    });
    let second = std::array::from_fn(|n| match n {
        0..=7 => (ACROSS - 1 - bit(n), 8),
        _ => (8, ACROSS - 15 + bit(n)),
    });
    [first, second]
}

fn is_format(column: i32, row: i32) -> bool {
    format_places()
        .iter()
        .flatten()
        .any(|&place| place == (column, row))
}

/// The 15 bits of the format for level H and one of the eight masks.
pub(super) fn format_bits(mask: u32) -> u32 {
    let data = 0b10 << 3 | mask;
    let mut rest = data;
    for _ in 0..10 {
        rest = (rest << 1) ^ ((rest >> 9) * 0x537);
    }
    (data << 10 | rest) ^ 0x5412
}

/// Whether a mask turns that module over.
pub(super) fn is_masked(mask: u32, column: i32, row: i32) -> bool {
    let both = column * row;
    0 == match mask {
        0 => (column + row) % 2,
        1 => row % 2,
        2 => column % 3,
        3 => (column + row) % 3,
        4 => (column / 3 + row / 2) % 2,
        5 => both % 2 + both % 3,
        6 => (both % 2 + both % 3) % 2,
        _ => ((column + row) % 2 + both % 3) % 2,
    }
}

/// Columns and rows of the bits of the codewords in their order, the highest bit of each first.
pub(super) fn word_places() -> Vec<(i32, i32)> {
    let mut places = Vec::with_capacity(WORDS * 8);
    let mut upwards = true;
    let mut right = ACROSS - 1;
    while right > 0 {
        if right == 6 {
            right -= 1;
        }
        for step in 0..ACROSS {
            let row = if upwards { ACROSS - 1 - step } else { step };
            for column in [right, right - 1] {
                if fixed(column, row).is_none() && !is_format(column, row) {
                    places.push((column, row));
                }
            }
        }
        upwards = !upwards;
        right -= 2;
    }
    places.truncate(WORDS * 8);
    places
}

/// Block and place in it of the `n`th codeword: data of both blocks in turn, then their checks.
pub(super) fn block_of(n: usize) -> (usize, usize) {
    (n % 2, n / 2)
}

#[cfg(test)]
mod tests {
    use uuid::Uuid;

    use super::super::super::{LabelCode, Symbol};
    use super::*;
    use crate::survey::Id;

    #[test]
    fn an_encoded_symbol_has_the_fixed_modules_and_one_of_the_formats() {
        for n in 0..40_u128 {
            let id = Uuid::from_u128(n * 0x0123_4567_89ab_cdef_1357_9bdf_0246_8ace);
            let symbol = Symbol::new(LabelCode::new(Id::from_uuid(id))).unwrap();
            let dark = |column: i32, row: i32| {
                symbol.is_dark(u32::try_from(column).unwrap(), u32::try_from(row).unwrap())
            };
            for row in 0..ACROSS {
                for column in 0..ACROSS {
                    if let Some(expected) = fixed(column, row) {
                        assert_eq!(dark(column, row), expected, "{column} {row}");
                    }
                }
            }
            for places in format_places() {
                let bits = (0..15).fold(0, |bits, n| {
                    let (column, row) = places[n];
                    bits | u32::from(dark(column, row)) << n
                });
                assert!((0..8).any(|mask| format_bits(mask) == bits), "{bits:b}");
            }
        }
    }

    #[test]
    fn there_are_as_many_places_as_the_standard_says() {
        // Table 1: 567 modules of data in version 3, 7 of them left over.
        let places = word_places();
        assert_eq!(places.len(), 560);
        let mut each = places.clone();
        each.sort_unstable();
        each.dedup();
        assert_eq!(each.len(), 560, "none twice");
    }
}
