//! Every unit that a person may type, with the ways of writing it.

use super::error::{QuantityError, QuantityKind};
use super::quantity::{Density, Force, Length, Mass, Quantity, Ratio, Thickness};

/// A unit as typed. `lb` and `oz` are both mass and force: scales print them for either.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Symbol {
    Lb,
    Oz,
    Kg,
    G,
    N,
    Lbf,
    Ozf,
    Kgf,
    DaN,
    M,
    Mm,
    Cm,
    In,
    Ft,
    Um,
    Mil,
    Gauge,
    Percent,
    KgPerM3,
    GPerCm3,
    Turn,
}

/// A unit, what it measures, how it is kept and shown, and every way it is written, in lower case.
type Row = (Symbol, QuantityKind, &'static str, &'static str);

const TABLE: &[Row] = &[
    (
        Symbol::Lb,
        QuantityKind::Mass,
        "lb",
        "lb lbs # pound pounds libra libras livre livres",
    ),
    (
        Symbol::Oz,
        QuantityKind::Mass,
        "oz",
        "oz ozs ounce ounces onza onzas once onces",
    ),
    (Symbol::Kg, QuantityKind::Mass, "kg", KILOGRAM),
    (
        Symbol::G,
        QuantityKind::Mass,
        "g",
        "g gr gram grams gramme grammes gramo gramos",
    ),
    (Symbol::N, QuantityKind::Force, "N", "n newton newtons"),
    (Symbol::Lbf, QuantityKind::Force, "lbf", "lbf lbsf"),
    (Symbol::Ozf, QuantityKind::Force, "ozf", "ozf"),
    (Symbol::Kgf, QuantityKind::Force, "kgf", "kgf kp"),
    (
        Symbol::DaN,
        QuantityKind::Force,
        "daN",
        "dan decanewton decanewtons",
    ),
    (
        Symbol::M,
        QuantityKind::Length,
        "m",
        "m metre metres meter meters metro metros mètre mètres",
    ),
    (Symbol::Mm, QuantityKind::Length, "mm", MILLIMETRE),
    (Symbol::Cm, QuantityKind::Length, "cm", CENTIMETRE),
    (
        Symbol::In,
        QuantityKind::Length,
        "in",
        "in ins \" inch inches pulgada pulgadas pouce pouces",
    ),
    (
        Symbol::Ft,
        QuantityKind::Length,
        "ft",
        "ft ' foot feet pie pies pied pieds",
    ),
    (Symbol::Um, QuantityKind::Thickness, "µm", MICROMETRE),
    (Symbol::Mil, QuantityKind::Thickness, "mil", "mil mils thou"),
    (Symbol::Gauge, QuantityKind::Thickness, "ga", GAUGE),
    (Symbol::Percent, QuantityKind::Ratio, "%", "% percent pct"),
    (
        Symbol::KgPerM3,
        QuantityKind::Density,
        "kg/m³",
        "kg/m³ kg/m3 kg/m^3",
    ),
    (
        Symbol::GPerCm3,
        QuantityKind::Density,
        "g/cm³",
        "g/cm³ g/cm3 g/cm^3 g/cc g/ml",
    ),
    (Symbol::Turn, QuantityKind::Turns, "turns", TURN),
];

const KILOGRAM: &str = "kg kgs kilo kilos kilogram kilograms kilogramme kilogrammes kilogramo \
    kilogramos";
const MILLIMETRE: &str = "mm millimetre millimetres millimeter millimeters milímetro milímetros \
    millimètre millimètres";
const CENTIMETRE: &str = "cm centimetre centimetres centimeter centimeters centímetro \
    centímetros centimètre centimètres";
const MICROMETRE: &str = "µm um µ micron microns micrometre micrometres micrometer micrometers \
    micra micras micrómetro micrómetros micromètre micromètres";
const GAUGE: &str = "ga gauge gauges gage gages galga galgas jauge jauges";
const TURN: &str = "turns turn rev revs revolution revolutions tour tours vuelta vueltas";

impl Symbol {
    /// The unit so written, whatever its capitals.
    pub(super) fn find(written: &str) -> Option<Self> {
        let written = written.to_lowercase();
        TABLE
            .iter()
            .find(|(.., ways)| ways.split(' ').any(|way| way == written))
            .map(|(symbol, ..)| *symbol)
    }

    fn row(self) -> &'static Row {
        // The table has a row for each symbol (a test goes through them all).
        TABLE
            .iter()
            .find(|(symbol, ..)| *symbol == self)
            .unwrap_or(&TABLE[0])
    }

    /// How it is kept and shown.
    pub(super) fn text(self) -> &'static str {
        self.row().2
    }

    /// What it measures; mass for `lb` and `oz`.
    pub(super) fn measures(self) -> QuantityKind {
        self.row().1
    }
}

/// A larger unit with the smaller one that may stand beside it.
#[derive(Clone, Copy, Debug)]
pub(super) struct Pair {
    pub(super) big: &'static [Symbol],
    pub(super) small: &'static [Symbol],
    pub(super) per: u32,
}

const POUNDS: Pair = Pair {
    big: &[Symbol::Lb, Symbol::Lbf],
    small: &[Symbol::Oz, Symbol::Ozf],
    per: 16,
};
const FEET: Pair = Pair {
    big: &[Symbol::Ft],
    small: &[Symbol::In],
    per: 12,
};

/// A quantity that can be typed.
pub(super) trait Typable: Quantity {
    /// The units it takes, as messages list them.
    const ACCEPTED: &'static [&'static str];
    /// The pair of units it takes, if any.
    const PAIR: Option<Pair>;

    /// Makes one from a number of a unit; `None` if the unit measures something else.
    fn of(symbol: Symbol, value: f64) -> Option<Result<Self, QuantityError>>;
}

macro_rules! typable {
    ($name:ident, $accepted:expr, $pair:expr, $( $($symbol:ident)|+ => $make:ident ),+) => {
        impl Typable for $name {
            const ACCEPTED: &'static [&'static str] = $accepted;
            const PAIR: Option<Pair> = $pair;

            fn of(symbol: Symbol, value: f64) -> Option<Result<Self, QuantityError>> {
                match symbol {
                    $( $(Symbol::$symbol)|+ => Some(Self::$make(value)), )+
                    _ => None,
                }
            }
        }
    };
}

typable!(Mass, &["lb", "oz", "kg", "g"], Some(POUNDS),
    Lb => from_lb, Oz => from_oz, Kg => from_kg, G => from_g);
typable!(Force, &["lb", "oz", "N", "daN", "kgf"], Some(POUNDS),
    Lb | Lbf => from_lbf, Oz | Ozf => from_ozf, N => from_n, DaN => from_dan, Kgf => from_kgf);
typable!(Length, &["in", "ft", "mm", "cm", "m"], Some(FEET),
    In => from_in, Ft => from_ft, Mm => from_mm, Cm => from_cm, M => from_m);
typable!(Thickness, &["ga", "mil", "µm"], None,
    Gauge => from_gauge, Mil => from_mil, Um => from_um);
typable!(Ratio, &["%"], None, Percent => from_percent);
typable!(Density, &["g/cm³", "kg/m³"], None,
    GPerCm3 => from_g_per_cm3, KgPerM3 => from_kg_per_m3);

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_way_of_writing_means_two_units_and_all_are_lower_case() {
        let ways: Vec<&str> = TABLE
            .iter()
            .flat_map(|(.., ways)| ways.split(' '))
            .collect();
        for (index, way) in ways.iter().enumerate() {
            assert!(!ways[..index].contains(way), "{way} twice");
            assert_eq!(*way, way.to_lowercase());
        }
    }

    #[test]
    fn what_is_kept_is_read_as_the_same_unit() {
        for (symbol, measures, text, _) in TABLE {
            assert_eq!(Symbol::find(text), Some(*symbol));
            assert_eq!(symbol.text(), *text);
            assert_eq!(symbol.measures(), *measures);
        }
    }
}
