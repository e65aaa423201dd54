//! The printed label that gets spoilt: the square code with its quiet zone and bars for the text.

use tautbook_core::label::{LabelCode, QUIET, SIDE, Symbol};

use crate::seeded::Seeded;

/// A label of width 1 and height 1.4; its modules dark or light.
pub(super) struct Printed {
    dark: Vec<bool>,
    side: u32,
    /// Where each bar of text ends, from the left.
    bars: Vec<f64>,
}

/// Width of a label in modules of its code.
const ACROSS: f64 = 45.0;
/// Height over width.
pub(super) const TALL: f64 = 1.4;
const INK: f64 = 28.0;
const PAPER: f64 = 226.0;

impl Printed {
    pub(super) fn new(code: LabelCode, chance: &mut Seeded) -> Self {
        let dark = Symbol::new(code).map_or_else(
            |_| Vec::new(),
            |symbol| {
                (0..SIDE * SIDE)
                    .map(|at| symbol.is_dark(at % SIDE, at / SIDE))
                    .collect()
            },
        );
        Self::of(dark, SIDE, chance)
    }

    /// A code of somebody else.
    pub(super) fn other(chance: &mut Seeded) -> Self {
        let text = format!("HTTPS://EXAMPLE.COM/{}", chance.below(1_000_000));
        let symbol = qrcode::QrCode::new(text.as_bytes());
        let (dark, side) = symbol.map_or_else(
            |_| (Vec::new(), 1),
            |symbol| {
                let dark = symbol.to_colors();
                let dark = dark.iter().map(|&color| color == qrcode::Color::Dark);
                (dark.collect(), u32::try_from(symbol.width()).unwrap_or(1))
            },
        );
        Self::of(dark, side, chance)
    }

    fn of(dark: Vec<bool>, side: u32, chance: &mut Seeded) -> Self {
        let bars = (0..8).map(|_| chance.between(0.3, 0.85)).collect();
        Self { dark, side, bars }
    }

    /// The grey at a place of the label, `u` along its width and `v` down, both in its width;
    /// `None` beside it.
    pub(super) fn at(&self, u: f64, v: f64) -> Option<f64> {
        if !(0.0..1.0).contains(&u) || !(0.0..TALL).contains(&v) {
            return None;
        }
        let module = f64::from(SIDE) / f64::from(self.side);
        let across = |along: f64| {
            let modules = along * ACROSS - (ACROSS - f64::from(SIDE)) / 2.0;
            (modules / module).floor()
        };
        let column = across(u);
        let row = ((v * ACROSS - f64::from(QUIET + 2)) / module).floor();
        let side = f64::from(self.side);
        if (0.0..side).contains(&column) && (0.0..side).contains(&row) {
            let at = row as usize * self.side as usize + column as usize;
            let dark = self.dark.get(at).copied().unwrap_or(false);
            return Some(if dark { INK } else { PAPER });
        }
        // Text: words as short bars, from under the code to the bottom.
        let line = ((v - 0.92) / 0.055).floor();
        if line >= 0.0 && v < TALL - 0.04 && u > 0.08 {
            let end = self.bars.get(line as usize).copied().unwrap_or(0.5);
            let inside = (v - 0.92) / 0.055 - line;
            let letter = (u * 60.0 + line * 7.0).sin() + (u * 97.0).sin() * 0.7;
            if u < end && (0.25..0.8).contains(&inside) && letter > 0.1 {
                return Some(INK);
            }
        }
        Some(PAPER)
    }
}
