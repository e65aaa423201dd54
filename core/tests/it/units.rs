//! Quantities and their factors, what the record keeps, and what screens show.
//!
//! Factors are those of NIST SP 811 (2008), Appendix B.8, and NIST Handbook 44, Appendix C; the
//! numbers here are from memory and agree with the independent values of `units_oracle.rs`.

#![allow(clippy::float_cmp)]

use tautbook_core::units::{
    DecimalMark, Density, DensityUnit, Entered, Force, ForceUnit, KG_PER_LB, Length, LengthUnit,
    M_PER_FT, M_PER_IN, Mass, MassUnit, MinusSign, N_PER_LBF, OZ_PER_LB, Quantity, QuantityError,
    QuantityKind, Ratio, RatioUnit, STANDARD_GRAVITY, Style, Thickness, ThicknessUnit,
    UM_PER_GAUGE, UM_PER_MIL, UnitChoice, UnitSpace, UnitSystem, show_density, show_force,
    show_length, show_mass, show_number, show_ratio, show_thickness,
};

#[test]
fn factors_are_those_of_nist() {
    // NIST SP 811 (2008) Appendix B.8, exact ones in bold there; from memory.
    assert_eq!(KG_PER_LB, 0.453_592_37); // pound (avoirdupois) to kilogram
    assert_eq!(M_PER_IN, 0.0254); // inch to metre
    assert_eq!(M_PER_FT, 0.3048); // foot to metre
    assert_eq!(STANDARD_GRAVITY, 9.806_65); // acceleration of free fall, standard
    assert_eq!(UM_PER_MIL, 25.4); // mil (0.001 in) to metre, 2.54 E-05
    // pound-force to newton is printed rounded (4.448 222); exact is pound times standard gravity
    assert_eq!(N_PER_LBF, 4.448_221_615_260_5);
    assert!((KG_PER_LB * STANDARD_GRAVITY - N_PER_LBF).abs() < 1e-15);
    assert!((N_PER_LBF - 4.448_222).abs() < 5e-7);
    // NIST Handbook 44 Appendix C, avoirdupois units of mass: 1 lb = 16 oz; from memory.
    assert_eq!(OZ_PER_LB, 16);
    // ounce (avoirdupois) to kilogram, NIST SP 811 Appendix B.8: 2.834 952 E-02
    assert!((Mass::from_oz(1.0).unwrap().kg() - 2.834_952e-2).abs() < 5e-9);
    assert_eq!(Mass::from_oz(1.0).unwrap().g(), 28.349_523_125);
    // ounce-force to newton, NIST SP 811 Appendix B.8: 2.780 139 E-01
    assert!((Force::from_ozf(1.0).unwrap().n() - 2.780_139e-1).abs() < 5e-8);
    assert_eq!(Force::from_ozf(1.0).unwrap().n(), 0.278_013_850_953_781_2);
    // kilogram-force to newton, NIST SP 811 Appendix B.8: 9.806 65
    assert_eq!(Force::from_kgf(1.0).unwrap().n(), 9.806_65);
    // daN: SI prefix deca
    assert_eq!(Force::from_dan(1.0).unwrap().n(), 10.0);
    assert!((Force::from_dan(1.0).unwrap().lbf() - 2.248_089_4).abs() < 5e-8);
    // Gauge: common practice, no source.
    assert_eq!(UM_PER_GAUGE, 0.254);
}

#[test]
fn films_in_gauge_are_the_known_micrometres() {
    // Derived from 0.254 µm a gauge (common practice, no source).
    for (gauge, um) in [(80.0, 20.32), (60.0, 15.24), (47.0, 11.938), (37.0, 9.398)] {
        let film = Thickness::from_gauge(gauge).unwrap();
        assert!((film.um() - um).abs() < 1e-12, "{gauge} ga");
        assert!((film.mil() - gauge / 100.0).abs() < 1e-12, "{gauge} ga");
    }
}

#[test]
fn a_density_in_pounds_and_inches_comes_out() {
    // 1 g/cm³ = 0.036 127 292 lb/in³, derived from the exact pound and inch.
    let density = Density::from_g_per_cm3(1.0).unwrap().kg_per_m3();
    let pounds = Mass::from_kg(density * M_PER_IN.powi(3)).unwrap().lb();
    assert!((pounds - 0.036_127_292).abs() < 5e-10);
}

#[test]
fn pounds_and_ounces_of_the_same_weight_are_the_same_number() {
    let mass = Mass::from_lb(7.0).unwrap() + Mass::from_oz(8.0).unwrap();
    assert_eq!(mass, Mass::from_oz(120.0).unwrap());
    assert_eq!(mass, Mass::from_lb(7.5).unwrap());
    assert_eq!(Mass::from_oz(12.0).unwrap(), Mass::from_lb(0.75).unwrap());
}

#[test]
fn what_is_no_measurement_is_refused() {
    assert!(matches!(
        Mass::from_kg(f64::NAN),
        Err(QuantityError::NotFinite { kind: QuantityKind::Mass, value }) if value.is_nan()
    ));
    assert_eq!(
        Force::from_lbf(f64::INFINITY),
        Err(QuantityError::NotFinite {
            kind: QuantityKind::Force,
            value: f64::INFINITY
        })
    );
    // Finite in pounds but not in newtons.
    assert!(Force::from_lbf(f64::MAX).is_err());
    assert_eq!(
        Length::from_in(-1.0),
        Err(QuantityError::Negative {
            kind: QuantityKind::Length,
            value: -1.0
        })
    );
    assert!(Mass::from_g(-0.1).is_err());
    assert!(Thickness::from_gauge(-80.0).is_err());
    assert!(Density::from_g_per_cm3(-0.9).is_err());
    assert_eq!(Ratio::from_percent(-5.0).unwrap().fraction(), -0.05);
    assert!(Ratio::from_percent(f64::NAN).is_err());
    assert!(Mass::from_kg(-0.0).unwrap().kg().is_sign_positive());
}

#[test]
fn constructors_work_where_constants_are_made() {
    const LIMIT: Result<Force, QuantityError> = Force::from_lbf(50.0);
    assert_eq!(LIMIT.unwrap().lbf(), 50.0);
}

#[test]
fn arithmetic_keeps_to_what_can_be_measured() {
    let kg = |number| Mass::from_kg(number).unwrap();
    assert_eq!(kg(2.0) - kg(0.5), Some(kg(1.5)));
    assert_eq!(kg(0.5) - kg(2.0), None);
    assert_eq!(kg(2.0) * 1.5, Ok(kg(3.0)));
    assert!((kg(2.0) * -1.0).is_err());
    assert!((kg(2.0) * f64::NAN).is_err());
    assert_eq!(kg(2.0) * 3_u32, kg(6.0));
    assert_eq!(kg(3.0) / kg(2.0), 1.5);
    assert_eq!([kg(1.0), kg(2.0)].iter().sum::<Mass>(), kg(3.0));
    assert_eq!(Vec::<Mass>::new().into_iter().sum::<Mass>(), Mass::ZERO);
    let most = kg(f64::MAX);
    assert_eq!(most + most, most);
    assert_eq!(most * 2_u32, most);
    let percent = |number| Ratio::from_percent(number).unwrap();
    assert_eq!(percent(50.0) - percent(75.0), percent(-25.0));
    let mut masses = [kg(3.0), kg(1.0), kg(2.0)];
    masses.sort_by(Mass::total_cmp);
    assert_eq!(masses, [kg(1.0), kg(2.0), kg(3.0)]);
    assert_eq!(kg(3.0).min(kg(1.0)), kg(1.0));
    assert_eq!(kg(3.0).max(kg(1.0)), kg(3.0));
}

fn entered<Q>(value: Q, text: &str) -> Entered<Q> {
    Entered {
        value,
        text: text.to_owned(),
    }
}

fn kept<Q>(value: Q, text: &str, json: &str)
where
    Q: Quantity,
    Entered<Q>: for<'de> serde::Deserialize<'de>,
{
    let value = entered(value, text);
    assert_eq!(serde_json::to_string(&value).unwrap(), json);
    assert_eq!(serde_json::from_str::<Entered<Q>>(json).unwrap(), value);
}

#[test]
fn the_record_names_the_unit_and_keeps_the_words() {
    kept(
        Mass::from_kg(0.17).unwrap(),
        "170 g",
        r#"{"kg":0.17,"entered":"170 g"}"#,
    );
    kept(
        Force::from_n(55.0).unwrap(),
        "55 N",
        r#"{"n":55.0,"entered":"55 N"}"#,
    );
    kept(
        Length::from_m(1.2).unwrap(),
        "1200 mm",
        r#"{"m":1.2,"entered":"1200 mm"}"#,
    );
    kept(
        Thickness::from_um(20.32).unwrap(),
        "80 ga",
        r#"{"um":20.32,"entered":"80 ga"}"#,
    );
    kept(
        Ratio::from_percent(250.0).unwrap(),
        "250 %",
        r#"{"ratio":2.5,"entered":"250 %"}"#,
    );
    kept(
        Ratio::from_fraction(2.5).unwrap(),
        "2.5",
        r#"{"ratio":2.5,"entered":"2.5"}"#,
    );
    kept(
        Density::from_kg_per_m3(918.0).unwrap(),
        "0.918 g/cm³",
        r#"{"kg_per_m3":918.0,"entered":"0.918 g/cm³"}"#,
    );
    // Typed with a comma, whatever the mark chosen now.
    kept(
        Mass::from_kg(1.2).unwrap(),
        "1,200 kg",
        r#"{"kg":1.2,"entered":"1,200 kg"}"#,
    );
    // Rounded by another program, within a millionth.
    let force: Entered<Force> =
        serde_json::from_str(r#"{"entered":"12 lb 6 oz","n":55.04674}"#).unwrap();
    assert_eq!(force.value.n(), 55.046_74);
}

fn refused<T: for<'de> serde::Deserialize<'de> + std::fmt::Debug>(json: &str) -> String {
    serde_json::from_str::<T>(json).unwrap_err().to_string()
}

#[test]
fn a_record_that_contradicts_itself_is_refused_with_both_values() {
    let error = refused::<Entered<Force>>(r#"{"n":55.1,"entered":"55 N"}"#);
    assert!(
        error.contains("“55 N” is 55 n") && error.contains("55.1 n"),
        "{error}"
    );
    // A millionth and a half away, and one that is zero on one side only.
    refused::<Entered<Force>>(r#"{"n":55.0000825,"entered":"55 N"}"#);
    refused::<Entered<Force>>(r#"{"n":0,"entered":"55 N"}"#);
    refused::<Entered<Force>>(r#"{"n":55,"entered":"0 N"}"#);
    assert!(refused::<Entered<Force>>(r#"{"n":55,"entered":"55"}"#).contains("no unit"));
    assert!(refused::<Entered<Force>>(r#"{"n":55,"entered":"12-6"}"#).contains("no unit"));
    assert!(refused::<Entered<Force>>(r#"{"n":55,"entered":"55 kg"}"#).contains("mass"));
    assert!(refused::<Entered<Force>>(r#"{"n":-55,"entered":"55 N"}"#).contains("below zero"));
    assert!(refused::<Entered<Force>>(r#"{"n":55}"#).contains("entered"));
    assert!(refused::<Entered<Force>>(r#"{"entered":"55 N"}"#).contains("`n`"));
    assert!(refused::<Entered<Force>>(r#"{"kg":55,"entered":"55 N"}"#).contains("unknown key"));
    assert!(refused::<Entered<Force>>(r#"{"n":1,"n":2,"entered":"1 N"}"#).contains("duplicate"));
    refused::<Entered<Force>>(r#"{"n":null,"entered":"55 N"}"#);
    refused::<Entered<Force>>(r#"{"n":1e999,"entered":"55 N"}"#);
    assert!(refused::<Force>(r#"{"n":-1}"#).contains("below zero"));
    assert!(refused::<Force>(r#"{"n":1,"entered":"1 N"}"#).contains("unknown key"));
}

#[test]
fn a_value_alone_is_kept_with_its_unit() {
    let force = Force::from_n(55.5).unwrap();
    assert_eq!(serde_json::to_string(&force).unwrap(), r#"{"n":55.5}"#);
    assert_eq!(
        serde_json::from_str::<Force>(r#"{"n":55.5}"#).unwrap(),
        force
    );
    let slack: Ratio = serde_json::from_str(r#"{"ratio":-0.05}"#).unwrap();
    assert_eq!(slack.percent(), -5.0);
}

#[test]
fn ounces_are_carried_into_pounds_when_shown() {
    let pounds = |oz: f64, digits| {
        let style = Style::default().with_digits(digits);
        show_mass(Mass::from_oz(oz).unwrap(), MassUnit::PoundOunce, &style)
    };
    assert_eq!(pounds(127.94, 1), "7 lb 15.9 oz");
    assert_eq!(pounds(127.95, 1), "8 lb 0.0 oz");
    assert_eq!(pounds(127.96, 1), "8 lb 0.0 oz");
    assert_eq!(pounds(127.96, 2), "7 lb 15.96 oz");
    assert_eq!(pounds(127.994, 2), "7 lb 15.99 oz");
    assert_eq!(pounds(127.995, 2), "8 lb 0.00 oz");
    assert_eq!(pounds(127.6, 0), "8 lb 0 oz");
    assert_eq!(pounds(0.0, 1), "0 lb 0.0 oz");
    assert_eq!(pounds(6.35, 1), "0 lb 6.4 oz");
}

#[test]
fn a_thousand_small_ounces_add_up_as_on_paper() {
    // 0.1 oz a thousand times is 100 oz, 6 lb 4 oz.
    let tenth = Mass::from_oz(0.1).unwrap();
    let sum: Mass = std::iter::repeat_n(tenth, 1000).sum();
    let shown = show_mass(sum, MassUnit::PoundOunce, &Style::default().with_digits(2));
    assert_eq!(shown, "6 lb 4.00 oz");
}

#[test]
fn every_quantity_is_shown_in_every_unit() {
    let style = Style::default();
    let force = Force::from_lbf(12.375).unwrap();
    assert_eq!(
        show_force(force, ForceUnit::PoundOunce, &style),
        "12 lb 6.0 oz"
    );
    assert_eq!(show_force(force, ForceUnit::Newton, &style), "55.0 N");
    let mass = Mass::from_kg(17.33).unwrap();
    assert_eq!(
        show_mass(mass, MassUnit::PoundOunce, &style),
        "38 lb 3.3 oz"
    );
    assert_eq!(show_mass(mass, MassUnit::Ounce, &style), "611.3 oz");
    assert_eq!(show_mass(mass, MassUnit::Kilogram, &style), "17.330 kg");
    assert_eq!(show_mass(mass, MassUnit::Gram, &style), "17330 g");
    let length = Length::from_in(63.97).unwrap();
    assert_eq!(show_length(length, LengthUnit::Inch, &style), "63.97 in");
    assert_eq!(show_length(length, LengthUnit::Foot, &style), "5 ft 4.0 in");
    assert_eq!(
        show_length(length, LengthUnit::Millimetre, &style),
        "1625 mm"
    );
    assert_eq!(
        show_length(length, LengthUnit::Centimetre, &style),
        "162.5 cm"
    );
    assert_eq!(show_length(length, LengthUnit::Metre, &style), "1.625 m");
    let film = Thickness::from_gauge(80.0).unwrap();
    assert_eq!(show_thickness(film, ThicknessUnit::Gauge, &style), "80 ga");
    assert_eq!(show_thickness(film, ThicknessUnit::Mil, &style), "0.80 mil");
    assert_eq!(
        show_thickness(film, ThicknessUnit::Micrometre, &style),
        "20.3 µm"
    );
    let ratio = Ratio::from_percent(211.307).unwrap();
    assert_eq!(show_ratio(ratio, RatioUnit::Percent, &style), "211 %");
    assert_eq!(show_ratio(ratio, RatioUnit::Fraction, &style), "2.11");
    let density = Density::from_g_per_cm3(0.918).unwrap();
    let grams = DensityUnit::GramPerCubicCentimetre;
    assert_eq!(show_density(density, grams, &style), "0.918 g/cm³");
    assert_eq!(
        show_density(density, DensityUnit::KilogramPerCubicMetre, &style),
        "918 kg/m³"
    );
    assert_eq!(show_number(16.0, &style), "16");
    assert_eq!(show_number(16.75, &style), "16.75");
}

#[test]
fn style_sets_mark_sign_and_space() {
    let style = Style::new(DecimalMark::Comma).with_space(UnitSpace::NarrowNoBreak);
    let slack = Ratio::from_percent(-5.04).unwrap();
    let percent = |style: &Style| show_ratio(slack, RatioUnit::Percent, style);
    assert_eq!(percent(&style.with_digits(1)), "\u{2212}5,0\u{202f}%");
    assert_eq!(percent(&style.with_minus(MinusSign::Hyphen)), "-5\u{202f}%");
    assert_eq!(
        percent(&style.with_space(UnitSpace::NoBreak)),
        "\u{2212}5\u{a0}%"
    );
    // What rounds to nothing has no sign.
    let little = Ratio::from_percent(-0.4).unwrap();
    assert_eq!(
        show_ratio(little, RatioUnit::Percent, &Style::default()),
        "0 %"
    );
    let force = Force::from_lbf(12.4).unwrap();
    let shown = show_force(force, ForceUnit::PoundOunce, &style);
    assert_eq!(shown, "12\u{202f}lb 6,4\u{202f}oz");
    // Never more than six decimals; never a panic on the absurd.
    let n = |n, digits| {
        show_force(
            Force::from_n(n).unwrap(),
            ForceUnit::Newton,
            &Style {
                digits: Some(digits),
                ..Style::default()
            },
        )
    };
    assert_eq!(n(1.0, 200), "1.000000 N");
    assert!(n(1e300, 1).len() > 300);
    let most = Force::from_n(f64::MAX).unwrap();
    assert!(show_force(most, ForceUnit::PoundOunce, &Style::default()).ends_with(" lb"));
}

#[test]
fn a_choice_of_units_is_kept_by_name() {
    assert_eq!(UnitChoice::default(), UnitChoice::of(UnitSystem::Imperial));
    let metric = UnitChoice::of(UnitSystem::Metric).with_decimal(DecimalMark::Comma);
    let json = serde_json::to_string(&metric).unwrap();
    assert_eq!(
        json,
        r#"{"force":"newton","mass":"gram","length":"millimetre","thickness":"micrometre","decimal":"comma"}"#
    );
    assert_eq!(serde_json::from_str::<UnitChoice>(&json).unwrap(), metric);
    assert_eq!(metric.force_typing().decimal, DecimalMark::Comma);
    assert_eq!(
        UnitChoice::imperial().mass_typing().unit,
        MassUnit::PoundOunce
    );
    assert_eq!(metric.length_typing().unit.symbol(), "mm");
    assert_eq!(metric.thickness_typing().unit.symbol(), "µm");
}

#[cfg(feature = "schema")]
#[test]
fn the_schema_names_the_unit_and_its_least_value() {
    let schema = schemars::schema_for!(Entered<Force>);
    let schema = schema.as_value();
    assert_eq!(schema["title"], "EnteredForce");
    assert_eq!(schema["properties"]["n"]["minimum"], 0);
    assert_eq!(schema["required"], serde_json::json!(["n", "entered"]));
    let ratio = schemars::schema_for!(Ratio);
    assert_eq!(
        ratio.as_value()["properties"]["ratio"],
        serde_json::json!({ "type": "number" })
    );
    assert!(schemars::schema_for!(UnitChoice).as_value()["properties"]["decimal"].is_object());
}
