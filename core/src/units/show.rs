//! Shows quantities the way people read them, and the way the parsers read back.

use super::choice::{DensityUnit, ForceUnit, LengthUnit, MassUnit, RatioUnit, ThicknessUnit};
use super::number::DecimalMark;
use super::quantity::{Density, Force, Length, Mass, Ratio, Thickness};

/// The sign before numbers below zero.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum MinusSign {
    /// U+2212, as wide as a plus sign; for screens and paper.
    #[default]
    Minus,
    /// The hyphen of keyboards; for files that other programs read.
    Hyphen,
}

/// The space between a number and its unit.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum UnitSpace {
    /// An ordinary space, at which a line may break.
    #[default]
    Plain,
    /// U+00A0, at which no line breaks.
    NoBreak,
    /// U+202F, narrow, at which no line breaks.
    NarrowNoBreak,
}

impl UnitSpace {
    const fn as_char(self) -> char {
        match self {
            Self::Plain => ' ',
            Self::NoBreak => '\u{a0}',
            Self::NarrowNoBreak => '\u{202f}',
        }
    }
}

/// How numbers are shown.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub struct Style {
    /// The mark between whole and decimal digits.
    pub decimal: DecimalMark,
    /// Decimals of the number, or of the ounces or inches in a pair; `None` for what suits the
    /// unit: `12 lb 6.0 oz`, `55.0 N`, `80 ga`. At most six are shown.
    pub digits: Option<u8>,
    /// The sign before numbers below zero.
    pub minus: MinusSign,
    /// The space between a number and its unit.
    pub space: UnitSpace,
}

impl Style {
    /// What suits each unit, with this decimal mark.
    #[must_use]
    pub const fn new(decimal: DecimalMark) -> Self {
        Self {
            decimal,
            digits: None,
            minus: MinusSign::Minus,
            space: UnitSpace::Plain,
        }
    }

    /// The same with so many decimals.
    #[must_use]
    pub const fn with_digits(self, digits: u8) -> Self {
        Self {
            digits: Some(digits),
            ..self
        }
    }

    /// The same with this space before units.
    #[must_use]
    pub const fn with_space(self, space: UnitSpace) -> Self {
        Self { space, ..self }
    }

    /// The same with this minus sign.
    #[must_use]
    pub const fn with_minus(self, minus: MinusSign) -> Self {
        Self { minus, ..self }
    }

    fn digits_or(self, usual: u8) -> u8 {
        self.digits.unwrap_or(usual).min(MAX_DECIMALS)
    }

    /// A number, an integer of `10^-digits`, with its unit.
    fn join(self, negative: bool, number: &str, unit: &str) -> String {
        let mut shown = String::new();
        if negative {
            shown.push(match self.minus {
                MinusSign::Minus => '\u{2212}',
                MinusSign::Hyphen => '-',
            });
        }
        shown.extend(
            number
                .chars()
                .map(|c| if c == '.' { self.decimal.as_char() } else { c }),
        );
        if !unit.is_empty() {
            shown.push(self.space.as_char());
            shown.push_str(unit);
        }
        shown
    }

    fn number(self, value: f64, usual: u8, unit: &str) -> String {
        let digits = self.digits_or(usual);
        let number = Rounded::new(value.abs(), digits).map_or_else(
            || format!("{:.*}", usize::from(digits), value.abs()),
            |rounded| rounded.to_string(),
        );
        let zero = !number.contains(|c: char| c.is_ascii_digit() && c != '0');
        self.join(value < 0.0 && !zero, &number, unit)
    }

    /// A pair of units; `value` is in the smaller one. What rounds up to a whole larger unit is
    /// carried, so that "7 lb 16.0 oz" is never shown.
    fn pair(self, value: f64, per: u32, usual: u8, big: &str, small: &str) -> String {
        let digits = self.digits_or(usual);
        let Some(total) = Rounded::new(value, digits) else {
            return self.number(value / f64::from(per), usual, big);
        };
        let step = u128::from(per) * 10_u128.pow(u32::from(digits));
        let part = Rounded {
            units: total.units % step,
            digits,
        };
        format!(
            "{} {}",
            self.join(false, &(total.units / step).to_string(), big),
            self.join(false, &part.to_string(), small)
        )
    }
}

/// The most decimals shown.
const MAX_DECIMALS: u8 = 6;
/// Decimals to which a number is taken before it is rounded, so that 6.35 oz held as
/// 6.3499999999999996 rounds as the 6.35 that was typed.
const GUARD: u8 = 9;

/// A number zero or more, rounded half away from zero to `digits` decimals.
struct Rounded {
    units: u128,
    digits: u8,
}

impl Rounded {
    /// `None` if the number is too large to be split, which no measurement is.
    fn new(value: f64, digits: u8) -> Option<Self> {
        if !(0.0..1e15).contains(&value) {
            return None;
        }
        let text = format!("{value:.*}", usize::from(GUARD));
        let guarded: u128 = text.replace('.', "").parse().ok()?;
        let step = 10_u128.pow(u32::from(GUARD - digits.min(MAX_DECIMALS)));
        Some(Self {
            units: (guarded + step / 2) / step,
            digits,
        })
    }
}

impl std::fmt::Display for Rounded {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        if self.digits == 0 {
            return write!(f, "{}", self.units);
        }
        let step = 10_u128.pow(u32::from(self.digits));
        let width = usize::from(self.digits);
        write!(f, "{}.{:0width$}", self.units / step, self.units % step)
    }
}

/// Shows a force: `12 lb 6.0 oz`, `55.0 N`.
#[must_use]
pub fn show_force(force: Force, unit: ForceUnit, style: &Style) -> String {
    match unit {
        ForceUnit::PoundOunce => style.pair(force.ozf(), 16, 1, "lb", "oz"),
        ForceUnit::Newton => style.number(force.n(), 1, "N"),
    }
}

/// Shows a mass: `38 lb 3.3 oz`, `6.0 oz`, `17.330 kg`, `170 g`.
#[must_use]
pub fn show_mass(mass: Mass, unit: MassUnit, style: &Style) -> String {
    match unit {
        MassUnit::PoundOunce => style.pair(mass.oz(), 16, 1, "lb", "oz"),
        MassUnit::Ounce => style.number(mass.oz(), 1, "oz"),
        MassUnit::Kilogram => style.number(mass.kg(), 3, "kg"),
        MassUnit::Gram => style.number(mass.g(), 0, "g"),
    }
}

/// Shows a length: `48.00 in`, `5 ft 4.0 in`, `1200 mm`, `120.0 cm`, `1.200 m`.
#[must_use]
pub fn show_length(length: Length, unit: LengthUnit, style: &Style) -> String {
    match unit {
        LengthUnit::Inch => style.number(length.inches(), 2, "in"),
        LengthUnit::Foot => style.pair(length.inches(), 12, 1, "ft", "in"),
        LengthUnit::Millimetre => style.number(length.mm(), 0, "mm"),
        LengthUnit::Centimetre => style.number(length.cm(), 1, "cm"),
        LengthUnit::Metre => style.number(length.m(), 3, "m"),
    }
}

/// Shows a film thickness: `80 ga`, `0.80 mil`, `20.3 µm`.
#[must_use]
pub fn show_thickness(thickness: Thickness, unit: ThicknessUnit, style: &Style) -> String {
    match unit {
        ThicknessUnit::Gauge => style.number(thickness.gauge(), 0, "ga"),
        ThicknessUnit::Mil => style.number(thickness.mil(), 2, "mil"),
        ThicknessUnit::Micrometre => style.number(thickness.um(), 1, "µm"),
    }
}

/// Shows a ratio: `250 %`, `2.50`.
#[must_use]
pub fn show_ratio(ratio: Ratio, unit: RatioUnit, style: &Style) -> String {
    match unit {
        RatioUnit::Percent => style.number(ratio.percent(), 0, "%"),
        RatioUnit::Fraction => style.number(ratio.fraction(), 2, ""),
    }
}

/// Shows a density: `0.918 g/cm³`, `918 kg/m³`.
#[must_use]
pub fn show_density(density: Density, unit: DensityUnit, style: &Style) -> String {
    match unit {
        DensityUnit::GramPerCubicCentimetre => style.number(density.g_per_cm3(), 3, "g/cm³"),
        DensityUnit::KilogramPerCubicMetre => style.number(density.kg_per_m3(), 0, "kg/m³"),
    }
}

/// Shows a number without a unit; none if `style` has no digits and it is whole, else two.
#[must_use]
pub fn show_number(value: f64, style: &Style) -> String {
    style.number(value, if value.fract() == 0.0 { 0 } else { 2 }, "")
}
