//! The square code itself: its modules, dark or light.

use qrcode::bits::Bits;
use qrcode::types::{Color, QrResult};
use qrcode::{EcLevel, QrCode, Version};
use thiserror::Error;

use super::LabelCode;

/// The symbol could not be made: nothing a person can do.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
#[error("the square code of this label could not be made ({0})")]
pub struct SymbolError(pub String);

/// Modules along a side: a QR symbol of version 3 (ISO/IEC 18004).
pub const SIDE: u32 = 29;
/// Light modules that must be left on every side (ISO/IEC 18004).
pub const QUIET: u32 = 4;

/// The modules of a label's QR symbol, version 3 at correction level H, without its quiet zone.
///
/// Level H mends up to 30 % of the codewords and needs no larger symbol here than Q: the code was
/// made to fit.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Symbol(Vec<bool>);

impl Symbol {
    /// The symbol of a code.
    ///
    /// # Errors
    /// When the encoder refuses it, which it has no reason to.
    pub fn new(code: LabelCode) -> Result<Self, SymbolError> {
        let symbol = encoded(code).map_err(|error| SymbolError(error.to_string()))?;
        if u32::try_from(symbol.width()) != Ok(SIDE) {
            return Err(SymbolError(format!("{} modules", symbol.width())));
        }
        Ok(Self(
            symbol
                .to_colors()
                .into_iter()
                .map(|color| color == Color::Dark)
                .collect(),
        ))
    }

    /// Whether the module in that column and row, from the upper left, is dark. Outside the symbol
    /// every module is light.
    #[must_use]
    pub fn is_dark(&self, column: u32, row: u32) -> bool {
        column < SIDE
            && row < SIDE
            && usize::try_from(row * SIDE + column)
                .ok()
                .and_then(|at| self.0.get(at).copied())
                .unwrap_or(false)
    }

    /// Runs of dark modules: row, first column and how many, row by row. Drawn one over the other
    /// they make the symbol with the fewest edges between its own modules.
    pub fn runs(&self) -> impl Iterator<Item = (u32, u32, u32)> {
        (0..SIDE).flat_map(move |row| {
            let mut runs = Vec::new();
            let mut column = 0;
            while column < SIDE {
                let long = (column..SIDE)
                    .take_while(|&at| self.is_dark(at, row))
                    .count();
                let long = u32::try_from(long).unwrap_or(0);
                if long > 0 {
                    runs.push((row, column, long));
                }
                column += long.max(1);
            }
            runs
        })
    }
}

/// All signs in one segment of the alphanumeric mode. Left to choose, the encoder takes the numeric
/// mode for runs of digits, and what that adds at each change makes some codes too long.
fn encoded(code: LabelCode) -> QrResult<QrCode> {
    let mut bits = Bits::new(Version::Normal(3));
    bits.push_alphanumeric_data(code.to_string().as_bytes())?;
    bits.push_terminator(EcLevel::H)?;
    QrCode::with_bits(bits, EcLevel::H)
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;
    use uuid::Uuid;

    use super::*;
    use crate::survey::Id;

    #[test]
    fn the_three_finders_stand_in_their_corners() {
        let code = LabelCode::new(Id::from_uuid(Uuid::from_u128(77)));
        let symbol = Symbol::new(code).unwrap();
        for (left, top) in [(0, 0), (22, 0), (0, 22)] {
            for row in 0..7_u32 {
                for column in 0..7_u32 {
                    let ring = column.abs_diff(3).max(row.abs_diff(3));
                    assert_eq!(symbol.is_dark(left + column, top + row), ring != 2);
                }
            }
        }
        let dark: u32 = symbol.runs().map(|(.., long)| long).sum();
        let counted = (0..SIDE * SIDE)
            .filter(|at| symbol.is_dark(at % SIDE, at / SIDE))
            .count();
        assert_eq!(usize::try_from(dark), Ok(counted));
        assert!(!symbol.is_dark(SIDE, 0) && !symbol.is_dark(0, SIDE));
        assert!(!symbol.is_dark(0, u32::MAX) && !symbol.is_dark(u32::MAX, u32::MAX));
    }

    #[test]
    fn level_h_costs_no_larger_symbol_and_version_2_would_not_do() {
        let text = LabelCode::new(Id::from_uuid(Uuid::from_u128(77))).to_string();
        let fits = |version, level| {
            QrCode::with_version(text.as_bytes(), Version::Normal(version), level).is_ok()
        };
        assert!(fits(3, EcLevel::H) && !fits(2, EcLevel::Q));
    }

    #[test]
    fn an_id_with_long_runs_of_digits_fits_too() {
        // The encoder's own choice of modes made this one too long.
        let id = Uuid::from_u128(133_180_061_661_904_316_883_954_260_137_459_322_154);
        assert!(Symbol::new(LabelCode::new(Id::from_uuid(id))).is_ok());
    }

    proptest! {
        #[test]
        fn every_id_has_a_symbol(id: u128) {
            let code = LabelCode::new(Id::from_uuid(Uuid::from_u128(id)));
            prop_assert!(Symbol::new(code).is_ok());
        }
    }
}
