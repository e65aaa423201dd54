//! Laws that hold for every text and every value, tried on many made at random.

use proptest::prelude::*;
use tautbook_core::units::{
    DecimalMark, Density, DensityUnit, Entered, Force, ForceUnit, Length, LengthUnit, Mass,
    MassUnit, Quantity, Ratio, RatioUnit, Style, Thickness, ThicknessUnit, TypedError, Typing,
    UnitSpace, parse_count, parse_density, parse_force, parse_length, parse_mass, parse_number,
    parse_ratio, parse_thickness, parse_turns, show_density, show_force, show_length, show_mass,
    show_ratio, show_thickness,
};

const MARKS: [DecimalMark; 2] = [DecimalMark::Point, DecimalMark::Comma];
const SPACES: [UnitSpace; 3] = [
    UnitSpace::Plain,
    UnitSpace::NoBreak,
    UnitSpace::NarrowNoBreak,
];

/// Texts nearly right: what a hand in a glove makes.
fn nearly() -> impl Strategy<Value = String> {
    let pieces = [
        "12", "6", "0", "1", "200", "5.6", "3,5", "1,200", "1.200", "1/2", "½", " ", "\u{a0}",
        "\u{202f}", "-", "–", "\u{2212}", ".", ",", "lb", "oz", "lbf", "N", "kg", "g", "'", "\"",
        "ft", "in", "mm", "ga", "mil", "µm", "%", "/", "kg/m3", "g/cm³", "^", "\n", "\u{200b}",
        "１", "x", "turns", "+", "#", "daN", "'' ",
    ];
    prop::collection::vec(prop::sample::select(pieces.to_vec()), 0..9).prop_map(|p| p.concat())
}

type Parsed<Q> = Result<Entered<Q>, TypedError>;

/// What must hold of any text in any field.
fn lawful<Q, U: Copy>(
    text: &str,
    units: &[U],
    parse: impl Fn(&str, &Typing<U>) -> Parsed<Q>,
) -> Result<(), TestCaseError>
where
    Q: Quantity,
    Entered<Q>: for<'de> serde::Deserialize<'de>,
{
    for &unit in units {
        let [point, comma] = MARKS.map(|mark| parse(text, &Typing::new(mark, unit)));
        // The mark chosen decides what is asked about, never what a text means.
        if let (Ok(point), Ok(comma)) = (&point, &comma) {
            prop_assert_eq!(point, comma);
        }
        for (mark, read) in MARKS.into_iter().zip([point, comma]) {
            match read {
                Ok(read) => {
                    prop_assert!(read.value.stored() >= 0.0 && read.value.stored().is_finite());
                    let json = serde_json::to_string(&read).unwrap();
                    prop_assert_eq!(&serde_json::from_str::<Entered<Q>>(&json).unwrap(), &read);
                    // Typing the kept text again changes nothing.
                    prop_assert_eq!(parse(&read.text, &Typing::new(mark, unit)), Ok(read));
                }
                Err(TypedError::Ambiguous {
                    as_thousands,
                    as_decimal,
                }) => {
                    prop_assert_ne!(&as_thousands, &as_decimal);
                    // Either answer, put back into the field, is read without another question.
                    for answer in [as_thousands, as_decimal] {
                        let again = parse(&answer, &Typing::new(mark, unit));
                        prop_assert!(again.is_ok(), "{} -> {:?}", answer, again);
                    }
                }
                Err(error) => {
                    prop_assert!(error.to_string().len() < 300, "{}", error);
                    if text.trim().is_empty() {
                        prop_assert_eq!(error, TypedError::Blank);
                    }
                }
            }
        }
    }
    Ok(())
}

fn lawful_everywhere(text: &str) -> Result<(), TestCaseError> {
    lawful(text, ForceUnit::ALL, parse_force)?;
    lawful(text, MassUnit::ALL, parse_mass)?;
    lawful(text, LengthUnit::ALL, parse_length)?;
    lawful(text, ThicknessUnit::ALL, parse_thickness)?;
    lawful(text, RatioUnit::ALL, parse_ratio)?;
    lawful(text, DensityUnit::ALL, parse_density)?;
    for mark in MARKS {
        let number = parse_number(text, mark);
        if let Ok(count) = parse_count(text, mark) {
            prop_assert_eq!(number.clone(), Ok(f64::from(count)));
        }
        if let (Ok(turns), Ok(number)) = (parse_turns(text, mark), number) {
            prop_assert!((turns - number).abs() < f64::EPSILON);
        }
    }
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(1500))]

    #[test]
    fn any_text_is_read_or_refused_in_words(text in any::<String>()) {
        lawful_everywhere(&text)?;
    }

    #[test]
    fn any_nearly_right_text_is_read_or_refused_in_words(text in nearly()) {
        lawful_everywhere(&text)?;
    }
}

/// Shows, reads back and shows again; the text must stay, and the value be as near as shown.
fn comes_back<Q: Quantity, U: Copy>(
    value: Q,
    units: &[U],
    half_step: impl Fn(U) -> f64,
    style: Style,
    show: impl Fn(Q, U, &Style) -> String,
    parse: impl Fn(&str, &Typing<U>) -> Parsed<Q>,
) -> Result<(), TestCaseError> {
    let decimals = f64::from(style.digits.unwrap());
    for &unit in units {
        let shown = show(value, unit, &style);
        let read = parse(&shown, &Typing::new(style.decimal, unit));
        let Ok(read) = read else {
            return Err(TestCaseError::fail(format!("{shown:?}: {read:?}")));
        };
        prop_assert_eq!(&show(read.value, unit, &style), &shown);
        let apart = (read.value.stored() - value.stored()).abs();
        let most = half_step(unit) / 10_f64.powf(decimals) * 1.0001 + 1e-8 * half_step(unit);
        prop_assert!(
            apart <= most,
            "{}: {} apart, at most {}",
            shown,
            apart,
            most
        );
    }
    Ok(())
}

fn styles() -> impl Strategy<Value = Style> {
    (
        prop::sample::select(MARKS.to_vec()),
        0..=4_u8,
        prop::sample::select(SPACES.to_vec()),
    )
        .prop_map(|(mark, digits, space)| Style::new(mark).with_digits(digits).with_space(space))
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(1500))]

    #[test]
    fn what_is_shown_can_be_typed(number in 0.0..5000.0_f64, style in styles()) {
        let half = |one: f64| one / 2.0;
        comes_back(Force::from_n(number).unwrap(), ForceUnit::ALL, |unit| half(match unit {
            ForceUnit::PoundOunce => Force::from_ozf(1.0).unwrap().n(),
            ForceUnit::Newton => 1.0,
        }), style, show_force, parse_force)?;
        comes_back(Mass::from_g(number).unwrap(), MassUnit::ALL, |unit| half(match unit {
            MassUnit::PoundOunce | MassUnit::Ounce => Mass::from_oz(1.0).unwrap().kg(),
            MassUnit::Kilogram => 1.0,
            MassUnit::Gram => 0.001,
        }), style, show_mass, parse_mass)?;
        comes_back(Length::from_mm(number).unwrap(), LengthUnit::ALL, |unit| half(match unit {
            LengthUnit::Inch | LengthUnit::Foot => 0.0254,
            LengthUnit::Millimetre => 0.001,
            LengthUnit::Centimetre => 0.01,
            LengthUnit::Metre => 1.0,
        }), style, show_length, parse_length)?;
        comes_back(Thickness::from_gauge(number).unwrap(), ThicknessUnit::ALL, |unit| {
            half(match unit {
                ThicknessUnit::Gauge => 0.254,
                ThicknessUnit::Mil => 25.4,
                ThicknessUnit::Micrometre => 1.0,
            })
        }, style, show_thickness, parse_thickness)?;
        comes_back(Ratio::from_percent(number).unwrap(), RatioUnit::ALL, |unit| half(match unit {
            RatioUnit::Percent => 0.01,
            RatioUnit::Fraction => 1.0,
        }), style, show_ratio, parse_ratio)?;
        comes_back(Density::from_kg_per_m3(number).unwrap(), DensityUnit::ALL, |unit| {
            half(match unit {
                DensityUnit::GramPerCubicCentimetre => 1000.0,
                DensityUnit::KilogramPerCubicMetre => 1.0,
            })
        }, style, show_density, parse_density)?;
    }

    #[test]
    fn sixteen_ounces_are_never_shown_beside_pounds(ounces in 0.0..1000.0_f64, digits in 0..=6_u8) {
        let style = Style::default().with_digits(digits);
        let shown = show_mass(Mass::from_oz(ounces).unwrap(), MassUnit::PoundOunce, &style);
        let part: f64 = shown.split(' ').nth(2).unwrap().parse().unwrap();
        prop_assert!(part < 16.0, "{}", shown);
    }

    #[test]
    fn pounds_with_ounces_are_as_exact_as_one_number(lb in 0..500_u32, tenths in 0..160_u32) {
        let text = format!("{lb}-{}.{}", tenths / 10, tenths % 10);
        let typing = Typing::new(DecimalMark::Point, MassUnit::PoundOunce);
        let pair = parse_mass(&text, &typing).unwrap().value;
        // The nearest number of ounces, then one multiplication.
        let ounces = f64::from(lb * 160 + tenths) / 10.0;
        prop_assert_eq!(pair, Mass::from_oz(ounces).unwrap());
        let shown = show_mass(pair, MassUnit::PoundOunce, &Style::default());
        prop_assert_eq!(shown, format!("{lb} lb {}.{} oz", tenths / 10, tenths % 10));
    }

    #[test]
    fn order_is_total(a in 0.0..1e9_f64, b in 0.0..1e9_f64) {
        let (x, y) = (Force::from_n(a).unwrap(), Force::from_n(b).unwrap());
        prop_assert_eq!(Some(x.total_cmp(&y)), x.partial_cmp(&y));
        prop_assert_eq!(x.total_cmp(&y), a.total_cmp(&b));
        prop_assert_eq!((x.min(y), x.max(y)), if a < b { (x, y) } else { (y, x) });
    }
}
