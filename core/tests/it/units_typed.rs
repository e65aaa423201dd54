//! What people type: what is read, and what is kept of it.

#![allow(clippy::float_cmp)]

use tautbook_core::units::{
    DecimalMark, DensityUnit, Entered, Force, ForceUnit, Length, LengthUnit, Mass, MassUnit,
    QuantityKind, RatioUnit, ThicknessUnit, TypedError, Typing, parse_count, parse_density,
    parse_force, parse_length, parse_mass, parse_number, parse_percent, parse_ratio,
    parse_thickness, parse_turns,
};

const POINT: DecimalMark = DecimalMark::Point;
const COMMA: DecimalMark = DecimalMark::Comma;

fn force(text: &str) -> Result<Entered<Force>, TypedError> {
    parse_force(text, &Typing::new(POINT, ForceUnit::PoundOunce))
}

fn mass(text: &str) -> Result<Entered<Mass>, TypedError> {
    parse_mass(text, &Typing::new(POINT, MassUnit::PoundOunce))
}

fn length(text: &str, unit: LengthUnit) -> Result<Entered<Length>, TypedError> {
    parse_length(text, &Typing::new(POINT, unit))
}

/// Checks pounds and the text kept for each typed text.
fn pounds(cases: &[(&str, f64, &str)]) {
    for (typed, lb, kept) in cases {
        let read = force(typed).unwrap_or_else(|error| panic!("{typed:?}: {error}"));
        assert_eq!(read.value, Force::from_lbf(*lb).unwrap(), "{typed:?}");
        assert_eq!(read.text, *kept, "{typed:?}");
        let read = mass(typed).unwrap_or_else(|error| panic!("{typed:?}: {error}"));
        assert_eq!(read.value, Mass::from_lb(*lb).unwrap(), "{typed:?}");
    }
}

#[test]
fn pounds_and_ounces_in_all_their_spellings() {
    let pair = "12 lb 6 oz";
    pounds(&[
        ("12-6", 12.375, pair),
        ("12 - 6", 12.375, pair),
        ("12–6", 12.375, pair),
        ("12 lb 6", 12.375, pair),
        ("12 lb 6 oz", 12.375, pair),
        ("12lb6oz", 12.375, pair),
        ("12lb6", 12.375, pair),
        ("12 LB, 6 Oz.", 12.375, pair),
        ("12 lb - 6 oz", 12.375, pair),
        ("12# 6 oz", 12.375, pair),
        ("12 pounds 6 ounces", 12.375, pair),
        ("12 libras 6 onzas", 12.375, pair),
        ("12 livres 6 onces", 12.375, pair),
        ("  12\u{a0}lb\u{2009}6\u{202f}oz \r\n", 12.375, pair),
        ("１２－６", 12.375, pair),
        ("１２ｌｂ６ｏｚ", 12.375, pair),
        ("12\u{200b}-6", 12.375, pair),
        ("12 lb 6½ oz", 12.40625, "12 lb 6½ oz"),
        ("12 lb 6 1/2 oz", 12.40625, "12 lb 6 1/2 oz"),
        ("12lbs. 6.5 ozs", 12.40625, "12 lb 6.5 oz"),
        ("12-6,5", 12.40625, "12 lb 6,5 oz"),
        ("7 lb 8 oz", 7.5, "7 lb 8 oz"),
        ("120 oz", 7.5, "120 oz"),
        ("12 oz", 0.75, "12 oz"),
        ("0-8", 0.5, "0 lb 8 oz"),
        ("0", 0.0, "0 lb"),
        ("12 lb", 12.0, "12 lb"),
        ("½ lb", 0.5, "½ lb"),
        ("12 1/2 lb", 12.5, "12 1/2 lb"),
        (".5", 0.5, ".5 lb"),
        ("5.", 5.0, "5 lb"),
        ("+5", 5.0, "5 lb"),
        ("1,234.5", 1234.5, "1,234.5 lb"),
        ("1.234,5", 1234.5, "1.234,5 lb"),
        ("1,234,567", 1_234_567.0, "1,234,567 lb"),
        ("1\u{202f}234,5", 1234.5, "1\u{202f}234,5 lb"),
    ]);
}

#[test]
fn a_decimal_is_never_ounces() {
    // 7.8 lb is 7 lb 12.8 oz, and not 7 lb 8 oz, which is 7.5 lb.
    assert_eq!(force("7.8").unwrap(), force("7.8 lb").unwrap());
    assert!((force("7.8").unwrap().value.ozf() - 124.8).abs() < 1e-9);
    assert_eq!(force("12,4").unwrap().value, force("12.4").unwrap().value);
    assert_eq!(force("12,4").unwrap().text, "12,4 lb");
}

#[test]
fn a_field_in_newtons_takes_pounds_when_they_are_written() {
    let newtons = Typing::new(COMMA, ForceUnit::Newton);
    let read = |text| parse_force(text, &newtons);
    assert_eq!(read("55").unwrap().text, "55 N");
    assert_eq!(read("55").unwrap().value.n(), 55.0);
    assert_eq!(read("55,5 newtons").unwrap().text, "55,5 N");
    assert_eq!(read("12 lb 6").unwrap().value.lbf(), 12.375);
    assert_eq!(read("5.6 kgf").unwrap().value.kgf(), 5.6);
    assert_eq!(read("5.6 daN").unwrap().text, "5.6 daN");
    assert_eq!(read("12 lbf 6").unwrap().text, "12 lbf 6 ozf");
    assert_eq!(read("12 lbf 6 oz").unwrap().value.lbf(), 12.375);
    let error = TypedError::PairNotHere {
        part: "12-6".to_owned(),
        unit: "N",
    };
    assert_eq!(read("12-6"), Err(error));
}

#[test]
fn lengths_in_feet_inches_and_metres() {
    let inches = [
        ("48", 48.0, "48 in"),
        ("48\"", 48.0, "48 in"),
        ("48”", 48.0, "48 in"),
        ("48''", 48.0, "48 in"),
        ("48½", 48.5, "48½ in"),
        ("48 ½", 48.5, "48½ in"),
        ("3 1/2 in", 3.5, "3 1/2 in"),
        ("3-1/2\"", 3.5, "3-1/2 in"),
        ("3⁄4", 0.75, "3/4 in"),
        ("5' 4\"", 64.0, "5 ft 4 in"),
        ("5′ 4″", 64.0, "5 ft 4 in"),
        ("5’4”", 64.0, "5 ft 4 in"),
        ("5'-4\"", 64.0, "5 ft 4 in"),
        ("5 ft 4", 64.0, "5 ft 4 in"),
        ("5 ft 4 in", 64.0, "5 ft 4 in"),
        ("5 pies 4 pulgadas", 64.0, "5 ft 4 in"),
        ("5' 4 1/2\"", 64.5, "5 ft 4 1/2 in"),
        ("5'", 60.0, "5 ft"),
        ("1219.2 mm", 48.0, "1219.2 mm"),
        ("121,92 cm", 48.0, "121,92 cm"),
    ];
    for (typed, expected, kept) in inches {
        let read = length(typed, LengthUnit::Inch).unwrap_or_else(|e| panic!("{typed:?}: {e}"));
        assert!((read.value.inches() - expected).abs() < 1e-12, "{typed:?}");
        assert_eq!(read.text, kept, "{typed:?}");
    }
    assert_eq!(length("5-4", LengthUnit::Foot).unwrap().text, "5 ft 4 in");
    assert_eq!(
        length("1200", LengthUnit::Millimetre).unwrap().value.m(),
        1.2
    );
    assert_eq!(
        length("1.2 mètre", LengthUnit::Millimetre)
            .unwrap()
            .value
            .mm(),
        1200.0
    );
    assert!(matches!(
        length("5' 12\"", LengthUnit::Inch),
        Err(TypedError::PartTooBig { limit: 12, .. })
    ));
    assert!(matches!(
        length("5-4", LengthUnit::Inch),
        Err(TypedError::PairNotHere { unit: "in", .. })
    ));
}

#[test]
fn films_ratios_and_densities() {
    let film = |text| parse_thickness(text, &Typing::new(POINT, ThicknessUnit::Gauge));
    for (typed, um, kept) in [
        ("80 ga", 20.32, "80 ga"),
        ("80", 20.32, "80 ga"),
        ("80ga.", 20.32, "80 ga"),
        ("0.8 mil", 20.32, "0.8 mil"),
        ("20 µm", 20.0, "20 µm"),
        ("20 μm", 20.0, "20 µm"),
        ("20um", 20.0, "20 µm"),
        ("20 micron", 20.0, "20 µm"),
        ("20 MICRONS", 20.0, "20 µm"),
        ("20µ", 20.0, "20 µm"),
    ] {
        let read = film(typed).unwrap_or_else(|error| panic!("{typed:?}: {error}"));
        assert!((read.value.um() - um).abs() < 1e-12, "{typed:?}");
        assert_eq!(read.text, kept, "{typed:?}");
    }
    for typed in ["250 %", "250%", "250", "250 ％", "250 percent"] {
        let read = parse_percent(typed, POINT).unwrap();
        assert_eq!(
            (read.value.fraction(), read.text.as_str()),
            (2.5, "250 %"),
            "{typed}"
        );
    }
    let fraction = Typing::new(POINT, RatioUnit::Fraction);
    let read = parse_ratio("2.5", &fraction).unwrap();
    assert_eq!((read.value.percent(), read.text.as_str()), (250.0, "2.5"));
    assert_eq!(parse_ratio("250 %", &fraction).unwrap().text, "250 %");
    let resin = |text| {
        parse_density(
            text,
            &Typing::new(COMMA, DensityUnit::GramPerCubicCentimetre),
        )
        .unwrap()
    };
    for typed in [
        "0,918",
        "0.918",
        "918 kg/m3",
        "918 kg/m³",
        "918kg/m^3",
        "0,918 g/cc",
    ] {
        assert!(
            (resin(typed).value.kg_per_m3() - 918.0).abs() < 1e-9,
            "{typed}"
        );
    }
    assert_eq!(resin("0,918").text, "0,918 g/cm³");
}

#[test]
fn numbers_counts_and_turns() {
    assert_eq!(parse_number("12.4", POINT), Ok(12.4));
    assert_eq!(parse_number("12,4", POINT), Ok(12.4));
    assert_eq!(parse_number("3 1/2", POINT), Ok(3.5));
    assert_eq!(parse_count("12", POINT), Ok(12));
    assert_eq!(parse_count("12.0", POINT), Ok(12));
    assert_eq!(parse_count("4294967295", POINT), Ok(u32::MAX));
    assert!(matches!(
        parse_count("4294967296", POINT),
        Err(TypedError::TooLarge { .. })
    ));
    assert!(matches!(
        parse_count("12.5", POINT),
        Err(TypedError::NotWhole { .. })
    ));
    assert!(matches!(
        parse_count("12-6", POINT),
        Err(TypedError::MoreThanOne { .. })
    ));
    assert_eq!(
        parse_count("12 kg", POINT),
        Err(TypedError::UnitNotWanted {
            unit: "kg",
            measures: QuantityKind::Mass
        })
    );
    assert_eq!(parse_turns("3", POINT), Ok(3.0));
    assert_eq!(parse_turns("16,75 turns", POINT), Ok(16.75));
    assert_eq!(parse_turns("2 ¼ tours", POINT), Ok(2.25));
    assert_eq!(parse_turns("2 3/4 revs", POINT), Ok(2.75));
    for text in ["3.3", "3.125", "2 1/3"] {
        let read = parse_turns(text, POINT);
        assert!(
            matches!(read, Err(TypedError::NotQuarterTurns { .. })),
            "{text}"
        );
    }
    assert!(matches!(
        parse_turns("3 %", POINT),
        Err(TypedError::UnitNotWanted { .. })
    ));
}

#[test]
fn the_same_value_comes_from_its_kept_text() {
    let again: Entered<Force> = force("12-6").unwrap().text.parse().unwrap();
    assert_eq!(again, force("12-6").unwrap());
    let missing = "55".parse::<Entered<Force>>();
    assert!(matches!(missing, Err(TypedError::UnitMissing { .. })));
    assert_eq!(again.to_string(), "12 lb 6 oz");
}
