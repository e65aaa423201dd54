//! What people type: what is refused with a reason, and what is asked about.

#![allow(clippy::float_cmp)]

use tautbook_core::units::{
    DecimalMark, Entered, Force, ForceUnit, Length, LengthUnit, Mass, MassUnit, QuantityKind,
    ThicknessUnit, TypedError, Typing, parse_count, parse_force, parse_length, parse_mass,
    parse_percent, parse_thickness,
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

#[test]
fn ounces_of_a_pair_stay_below_sixteen() {
    let error = force("7 lb 18 oz").unwrap_err();
    assert_eq!(
        error,
        TypedError::PartTooBig {
            typed: "7 lb 18 oz".to_owned(),
            small_unit: "oz",
            limit: 16,
            carried: "8 lb 2 oz".to_owned(),
            all_small: "130 oz".to_owned(),
        }
    );
    assert_eq!(
        error.to_string(),
        "7 lb 18 oz: the oz part must be less than 16; write 8 lb 2 oz or 130 oz if you mean that \
         much in all, or else read it again"
    );
    // Both ways out are read as that much.
    assert_eq!(
        force("8 lb 2 oz").unwrap().value,
        force("130 oz").unwrap().value
    );
    for text in ["7 lb 16 oz", "7-16", "7 lb 16.0", "7-99"] {
        assert!(
            matches!(force(text), Err(TypedError::PartTooBig { .. })),
            "{text}"
        );
    }
    assert_eq!(force("7 lb 15.99 oz").unwrap().text, "7 lb 15.99 oz");
    // Written so that the field asked reads it without a question.
    let comma = Typing::new(COMMA, MassUnit::PoundOunce);
    let Err(TypedError::PartTooBig {
        carried, all_small, ..
    }) = parse_mass("7-17,125", &comma)
    else {
        panic!("17 oz beside pounds")
    };
    assert_eq!(
        (carried.as_str(), all_small.as_str()),
        ("8 lb 1,125 oz", "129,125 oz")
    );
    assert_eq!(
        parse_mass(&carried, &comma).unwrap().value,
        parse_mass(&all_small, &comma).unwrap().value
    );
}

#[test]
fn a_fraction_of_pounds_stands_alone() {
    for text in ["7.8-3", "7.8 lb 3 oz", "7,8-3", "7½ lb 3 oz", "7.0-3"] {
        assert!(
            matches!(force(text), Err(TypedError::FractionWithPart { .. })),
            "{text}"
        );
    }
    assert!(matches!(
        length("5.5 ft 4 in", LengthUnit::Inch),
        Err(TypedError::FractionWithPart {
            big_unit: "ft",
            small_unit: "in",
            ..
        })
    ));
    // Three and a half, or three pounds and half an ounce?
    assert!(matches!(
        force("3-1/2"),
        Err(TypedError::NotUnderstood { .. })
    ));
}

#[test]
fn blank_is_not_zero() {
    for text in ["", " ", "\n", "\u{a0}\t\u{2009}", "\u{200b}\u{feff}"] {
        assert_eq!(force(text), Err(TypedError::Blank), "{text:?}");
        assert_eq!(parse_count(text, POINT), Err(TypedError::Blank), "{text:?}");
    }
}

#[test]
fn below_zero_is_refused() {
    for text in [
        "-5",
        "- 5 N",
        "\u{2212}5",
        "\u{2013}5 lb",
        "-5-3",
        "－５",
        "-0",
    ] {
        assert!(
            matches!(force(text), Err(TypedError::Negative { .. })),
            "{text:?}"
        );
    }
    assert!(matches!(
        parse_percent("-5 %", POINT),
        Err(TypedError::Negative { .. })
    ));
}

#[test]
fn a_unit_of_something_else_is_named_with_what_it_measures() {
    let error = force("5 kg").unwrap_err();
    assert_eq!(
        error,
        TypedError::WrongUnit {
            unit: "kg",
            measures: QuantityKind::Mass,
            wanted: QuantityKind::Force,
            accepted: &["lb", "oz", "N", "daN", "kgf"],
        }
    );
    assert_eq!(
        error.to_string(),
        "kg measures weight (mass), and this field wants a force; use lb, oz, N, daN or kgf"
    );
    let wrong = |error| match error {
        Err(TypedError::WrongUnit { unit, measures, .. }) => Some((unit, measures)),
        _ => None,
    };
    assert_eq!(
        wrong(mass("5 N").map(|_| ())),
        Some(("N", QuantityKind::Force))
    );
    assert_eq!(
        wrong(mass("5 lbf").map(|_| ())),
        Some(("lbf", QuantityKind::Force))
    );
    assert_eq!(
        wrong(mass("5' 4\"").map(|_| ())),
        Some(("ft", QuantityKind::Length))
    );
    assert_eq!(
        wrong(force("12 lb 6 in").map(|_| ())),
        Some(("in", QuantityKind::Length))
    );
    assert_eq!(
        wrong(force("5 turns").map(|_| ())),
        Some(("turns", QuantityKind::Turns))
    );
    let film = parse_thickness("0.02 mm", &Typing::new(POINT, ThicknessUnit::Micrometre));
    assert_eq!(wrong(film.map(|_| ())), Some(("mm", QuantityKind::Length)));
}

#[test]
fn thousands_or_decimals_are_asked_about() {
    let asked = |text, decimal| match parse_mass(text, &Typing::new(decimal, MassUnit::Gram)) {
        Err(TypedError::Ambiguous {
            as_thousands,
            as_decimal,
        }) => {
            // Either answer, put back into the field, is read without another question.
            let read = |text: &str| {
                parse_mass(text, &Typing::new(decimal, MassUnit::Gram))
                    .unwrap()
                    .value
                    .g()
            };
            let values = (read(&as_thousands), read(&as_decimal));
            Some((as_thousands, as_decimal, values))
        }
        _ => None,
    };
    let answer = |thousands: &str, decimal: &str, values| {
        Some((thousands.to_owned(), decimal.to_owned(), values))
    };
    assert_eq!(
        asked("1,200", POINT),
        answer("1200 g", "1.200 g", (1200.0, 1.2))
    );
    assert_eq!(
        asked("1.200", COMMA),
        answer("1200 g", "1,200 g", (1200.0, 1.2))
    );
    assert_eq!(
        asked("12,500 g", POINT),
        answer("12500 g", "12.500 g", (12500.0, 12.5))
    );
    // No question where one reading only is possible.
    for (text, decimal) in [
        ("1.200", POINT),
        ("1,200", COMMA),
        ("0,250", POINT),
        ("1234,500", POINT),
        ("1,2000", POINT),
        ("1,20", POINT),
        ("1,200.0", POINT),
        ("1 lb 1,200", POINT),
        ("1,200 lb 1", POINT),
    ] {
        assert_eq!(asked(text, decimal), None, "{text}");
        assert!(
            parse_mass(text, &Typing::new(decimal, MassUnit::Gram)).is_ok(),
            "{text}"
        );
    }
    assert!(matches!(
        parse_count("1,200", POINT),
        Err(TypedError::Ambiguous { .. })
    ));
}

#[test]
fn what_is_not_understood_is_quoted() {
    let part = |text| match force(text) {
        Err(TypedError::NotUnderstood { part } | TypedError::BadNumber { part }) => part,
        other => panic!("{text:?}: {other:?}"),
    };
    assert_eq!(part("about 12 lb"), "about");
    assert_eq!(part("12 lb 6 oz at the top"), "at");
    assert_eq!(part("12 lb oz"), "oz");
    assert_eq!(part("12 stone"), "stone");
    assert_eq!(part("48x40"), "x");
    assert_eq!(part("12 lb 6 oz 🙂"), "🙂");
    assert_eq!(part("12--6"), "-");
    assert_eq!(part("12-"), "-");
    assert_eq!(part("12 lb/6"), "/");
    assert_eq!(part("1e3"), "e");
    assert_eq!(part("NaN"), "NaN");
    assert_eq!(part("1..2"), "1..2");
    assert_eq!(part("1.2.3"), "1.2.3");
    assert_eq!(part("1,23,4.5"), "1,23,4.5");
    assert_eq!(part("1.234,5.6"), "1.234,5.6");
    assert_eq!(part("0,123,456"), "0,123,456");
    assert_eq!(part("1/0"), "1/0");
    assert_eq!(part("1.5/2"), "1.5/2");
    assert_eq!(part("٣"), "٣");
    assert_eq!(
        force("about 12 lb").unwrap_err().to_string(),
        "“about” is not understood here; type only a number and its unit"
    );
    assert_eq!(
        force("lb"),
        Err(TypedError::NoNumber {
            part: "lb".to_owned()
        })
    );
}

#[test]
fn one_value_at_a_time() {
    let two = |text| match force(text) {
        Err(TypedError::MoreThanOne { first, second }) => (first, second),
        other => panic!("{text:?}: {other:?}"),
    };
    let pair = |first: &str, second: &str| (first.to_owned(), second.to_owned());
    assert_eq!(two("12 6"), pair("12", "6"));
    assert_eq!(two("6 oz 12 lb"), pair("6 oz", "12 lb"));
    assert_eq!(two("12 lb 13 lb"), pair("12 lb", "13 lb"));
    assert_eq!(two("55 N 54 N"), pair("55 N", "54 N"));
    assert_eq!(two("12-6 oz"), pair("12", "6 oz"));
    assert_eq!(two("12-6-3"), pair("12", "6"));
    // Two lines are two values, even where one line would be one.
    assert_eq!(two("12 lb\n6 oz"), pair("12 lb", "6 oz"));
}

#[test]
fn a_pasted_page_is_refused_in_few_words() {
    let page = "12 lb 6 oz ".repeat(1000);
    let error = force(&page).unwrap_err();
    assert!(
        matches!(
            error,
            TypedError::TooLong {
                chars: 10_999,
                limit: 100
            }
        ),
        "{error}"
    );
    assert!(error.to_string().len() < 120);
    assert!(matches!(
        force(&"9".repeat(100)),
        Err(TypedError::TooManyDigits { .. })
    ));
    let word = "w".repeat(99);
    let Err(TypedError::NotUnderstood { part }) = force(&word) else {
        panic!("a word of 99 letters")
    };
    assert_eq!(part.chars().count(), 25);
}
