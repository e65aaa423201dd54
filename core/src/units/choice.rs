//! The units a person works in.

use super::number::DecimalMark;
use super::show::Style;
use super::symbol::Symbol;
use super::typed::Typing;
use serde::{Deserialize, Serialize};

/// A unit a field may be in, `U` in [`Typing`].
pub(super) trait FieldUnit: Copy {
    /// The unit of a number that stands alone.
    fn bare(self) -> Option<Symbol>;
    /// Whether two numbers joined by a dash are a pair of units here.
    fn takes_pair(self) -> bool;
}

macro_rules! field_unit {
    (
        $(#[$doc:meta])* $name:ident,
        $( $(#[$variant_doc:meta])* $variant:ident = $symbol:ident, $shown:literal, $pair:literal; )+
    ) => {
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
        #[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
        #[serde(rename_all = "snake_case")]
        pub enum $name {
            $( $(#[$variant_doc])* $variant, )+
        }

        impl $name {
            /// All of them, in the order screens list them.
            pub const ALL: &'static [Self] = &[$( Self::$variant, )+];

            /// The unit as screens write it beside a field.
            #[must_use]
            pub const fn symbol(self) -> &'static str {
                match self {
                    $( Self::$variant => $shown, )+
                }
            }
        }

        impl FieldUnit for $name {
            fn bare(self) -> Option<Symbol> {
                Some(match self {
                    $( Self::$variant => Symbol::$symbol, )+
                })
            }

            fn takes_pair(self) -> bool {
                match self {
                    $( Self::$variant => $pair, )+
                }
            }
        }
    };
}

field_unit! {
    /// Units of force. Pounds and ounces here are pounds-force and ounces-force.
    ForceUnit,
    /// Pounds and ounces, as a pull scale shows them.
    PoundOunce = Lb, "lb oz", true;
    /// Newtons.
    Newton = N, "N", false;
}

field_unit! {
    /// Units of mass.
    MassUnit,
    /// Pounds and ounces.
    PoundOunce = Lb, "lb oz", true;
    /// Ounces alone.
    Ounce = Oz, "oz", false;
    /// Kilograms.
    Kilogram = Kg, "kg", false;
    /// Grams.
    Gram = G, "g", false;
}

field_unit! {
    /// Units of length.
    LengthUnit,
    /// Inches.
    Inch = In, "in", false;
    /// Feet, with inches beside them.
    Foot = Ft, "ft", true;
    /// Millimetres.
    Millimetre = Mm, "mm", false;
    /// Centimetres.
    Centimetre = Cm, "cm", false;
    /// Metres.
    Metre = M, "m", false;
}

field_unit! {
    /// Units of film thickness.
    ThicknessUnit,
    /// Gauge, a hundredth of a mil.
    Gauge = Gauge, "ga", false;
    /// Mil, a thousandth of an inch.
    Mil = Mil, "mil", false;
    /// Micrometres.
    Micrometre = Um, "µm", false;
}

field_unit! {
    /// Units of density.
    DensityUnit,
    /// Grams per cubic centimetre.
    GramPerCubicCentimetre = GPerCm3, "g/cm³", false;
    /// Kilograms per cubic metre.
    KilogramPerCubicMetre = KgPerM3, "kg/m³", false;
}

/// Ways of writing a ratio.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum RatioUnit {
    /// `250` is 250 %.
    Percent,
    /// `2.5` is 250 %.
    Fraction,
}

impl RatioUnit {
    /// Both, in the order screens list them.
    pub const ALL: &'static [Self] = &[Self::Percent, Self::Fraction];

    /// The unit as screens write it beside a field; nothing for a fraction.
    #[must_use]
    pub const fn symbol(self) -> &'static str {
        match self {
            Self::Percent => "%",
            Self::Fraction => "",
        }
    }
}

impl FieldUnit for RatioUnit {
    fn bare(self) -> Option<Symbol> {
        match self {
            Self::Percent => Some(Symbol::Percent),
            Self::Fraction => None,
        }
    }

    fn takes_pair(self) -> bool {
        false
    }
}

/// The two families of units.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum UnitSystem {
    /// Pounds and ounces, inches, gauge.
    #[default]
    Imperial,
    /// Newtons, kilograms, millimetres, micrometres.
    Metric,
}

/// The units and the decimal mark that a person has chosen.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct UnitChoice {
    /// For containment force.
    pub force: ForceUnit,
    /// For film and rolls on the scale.
    pub mass: MassUnit,
    /// For loads, faces and marks.
    pub length: LengthUnit,
    /// For film.
    pub thickness: ThicknessUnit,
    /// For every number.
    pub decimal: DecimalMark,
}

impl UnitChoice {
    /// Pounds and ounces, inches, gauge, decimal point.
    #[must_use]
    pub const fn imperial() -> Self {
        Self {
            force: ForceUnit::PoundOunce,
            mass: MassUnit::PoundOunce,
            length: LengthUnit::Inch,
            thickness: ThicknessUnit::Gauge,
            decimal: DecimalMark::Point,
        }
    }

    /// Newtons, grams, millimetres, micrometres, decimal point.
    #[must_use]
    pub const fn metric() -> Self {
        Self {
            force: ForceUnit::Newton,
            mass: MassUnit::Gram,
            length: LengthUnit::Millimetre,
            thickness: ThicknessUnit::Micrometre,
            decimal: DecimalMark::Point,
        }
    }

    /// The usual choice of a family of units.
    #[must_use]
    pub const fn of(system: UnitSystem) -> Self {
        match system {
            UnitSystem::Imperial => Self::imperial(),
            UnitSystem::Metric => Self::metric(),
        }
    }

    /// The same units with another decimal mark.
    #[must_use]
    pub const fn with_decimal(self, decimal: DecimalMark) -> Self {
        Self { decimal, ..self }
    }

    /// How numbers are shown: with this decimal mark.
    #[must_use]
    pub fn style(&self) -> Style {
        Style {
            decimal: self.decimal,
            ..Style::default()
        }
    }

    /// How a force is typed.
    #[must_use]
    pub const fn force_typing(&self) -> Typing<ForceUnit> {
        Typing::new(self.decimal, self.force)
    }

    /// How a mass is typed.
    #[must_use]
    pub const fn mass_typing(&self) -> Typing<MassUnit> {
        Typing::new(self.decimal, self.mass)
    }

    /// How a length is typed.
    #[must_use]
    pub const fn length_typing(&self) -> Typing<LengthUnit> {
        Typing::new(self.decimal, self.length)
    }

    /// How a film thickness is typed.
    #[must_use]
    pub const fn thickness_typing(&self) -> Typing<ThicknessUnit> {
        Typing::new(self.decimal, self.thickness)
    }
}

impl Default for UnitChoice {
    fn default() -> Self {
        Self::of(UnitSystem::default())
    }
}
