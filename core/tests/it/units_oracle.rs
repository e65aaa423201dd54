//! Units and typed texts against values made by `tests/oracles/units_pint.py`, which converts with
//! pint's own definitions and records the versions it ran with.

use serde_json::Value;
use tautbook_core::units::{
    DecimalMark, Density, DensityUnit, Force, ForceUnit, Length, LengthUnit, Mass, MassUnit,
    Quantity, QuantityError, Ratio, RatioUnit, Thickness, ThicknessUnit, Typing, parse_density,
    parse_force, parse_length, parse_mass, parse_ratio, parse_thickness,
};

fn oracle() -> Value {
    let path = concat!(
        env!("CARGO_MANIFEST_DIR"),
        "/../tests/oracles/units_pint.json"
    );
    serde_json::from_str(&std::fs::read_to_string(path).unwrap()).unwrap()
}

fn text<'a>(row: &'a Value, key: &str) -> &'a str {
    row[key].as_str().unwrap()
}

/// No further apart than a few roundings of an `f64`.
fn near(ours: f64, theirs: f64) -> bool {
    (ours - theirs).abs() <= 4.0 * f64::EPSILON * theirs.abs()
}

type Made = (f64, f64);

/// The stored number, and the number read back in the same unit.
fn made<Q: Quantity>(quantity: Result<Q, QuantityError>, back: fn(Q) -> f64) -> Made {
    let quantity = quantity.unwrap();
    (quantity.stored(), back(quantity))
}

fn convert(quantity: &str, unit: &str, number: f64) -> Made {
    match (quantity, unit) {
        ("mass", "kg") => made(Mass::from_kg(number), Mass::kg),
        ("mass", "g") => made(Mass::from_g(number), Mass::g),
        ("mass", "lb") => made(Mass::from_lb(number), Mass::lb),
        ("mass", "oz") => made(Mass::from_oz(number), Mass::oz),
        ("force", "n") => made(Force::from_n(number), Force::n),
        ("force", "lbf") => made(Force::from_lbf(number), Force::lbf),
        ("force", "ozf") => made(Force::from_ozf(number), Force::ozf),
        ("force", "kgf") => made(Force::from_kgf(number), Force::kgf),
        ("force", "dan") => made(Force::from_dan(number), Force::dan),
        ("length", "m") => made(Length::from_m(number), Length::m),
        ("length", "mm") => made(Length::from_mm(number), Length::mm),
        ("length", "cm") => made(Length::from_cm(number), Length::cm),
        ("length", "in") => made(Length::from_in(number), Length::inches),
        ("length", "ft") => made(Length::from_ft(number), Length::ft),
        ("thickness", "m") => made(Thickness::from_m(number), Thickness::m),
        ("thickness", "um") => made(Thickness::from_um(number), Thickness::um),
        ("thickness", "mil") => made(Thickness::from_mil(number), Thickness::mil),
        ("thickness", "gauge") => made(Thickness::from_gauge(number), Thickness::gauge),
        ("ratio", "fraction") => made(Ratio::from_fraction(number), Ratio::fraction),
        ("ratio", "percent") => made(Ratio::from_percent(number), Ratio::percent),
        ("density", "kg_per_m3") => made(Density::from_kg_per_m3(number), Density::kg_per_m3),
        ("density", "g_per_cm3") => made(Density::from_g_per_cm3(number), Density::g_per_cm3),
        other => panic!("the oracle has a unit that is not tested: {other:?}"),
    }
}

#[test]
fn every_unit_converts_as_pint_does_and_back() {
    let oracle = oracle();
    let rows = oracle["factors"].as_array().unwrap();
    assert_eq!(rows.len(), 22 * 12);
    for row in rows {
        let number: f64 = text(row, "number").parse().unwrap();
        let expected: f64 = text(row, "stored").parse().unwrap();
        let (stored, back) = convert(text(row, "quantity"), text(row, "unit"), number);
        assert!(near(stored, expected), "{row}: {stored}");
        assert!(near(back, number), "{row}: back {back}");
    }
}

#[test]
fn typed_texts_mean_what_pint_makes_of_their_parts() {
    let point = DecimalMark::Point;
    let oracle = oracle();
    let rows = oracle["typed"].as_array().unwrap();
    assert_eq!(rows.len(), 39);
    for row in rows {
        let typed = text(row, "text");
        let pounds = ForceUnit::PoundOunce;
        let found = match text(row, "quantity") {
            "force" => parse_force(typed, &Typing::new(point, pounds)).map(|e| e.value.n()),
            "mass" => {
                parse_mass(typed, &Typing::new(point, MassUnit::PoundOunce)).map(|e| e.value.kg())
            }
            "length" => {
                parse_length(typed, &Typing::new(point, LengthUnit::Inch)).map(|e| e.value.m())
            }
            "thickness" => parse_thickness(typed, &Typing::new(point, ThicknessUnit::Gauge))
                .map(|e| e.value.um()),
            "ratio" => parse_ratio(typed, &Typing::new(point, RatioUnit::Percent))
                .map(|e| e.value.fraction()),
            "density" => {
                let unit = DensityUnit::GramPerCubicCentimetre;
                parse_density(typed, &Typing::new(point, unit)).map(|e| e.value.kg_per_m3())
            }
            other => panic!("the oracle has a quantity that is not tested: {other}"),
        };
        let expected: f64 = text(row, "stored").parse().unwrap();
        assert!(near(found.clone().unwrap(), expected), "{row}: {found:?}");
    }
}
