//! Film formulas, stretch by marks and the arithmetic of the film balance: worked examples,
//! independent values made by `tests/oracles/film_balance.py`, and bad input.

use proptest::prelude::*;
use serde_json::Value;
use tautbook_core::analysis::balance::{
    Estimate, Inputs, balance, effective_stretch, predicted_mass,
};
use tautbook_core::analysis::film::{
    film_yield, neck_in, strip_mass, thickness_by_weight, thickness_on_load, unstretched_length,
};
use tautbook_core::analysis::stretch::{post_stretch, stretch_by_marks};
use tautbook_core::survey::{MarkPlace, Record, SetAside, StretchMark};
use tautbook_core::units::{Density, Length, Mass, Ratio, Thickness};

use crate::common::at;
use crate::common::marks::mark;

fn near(a: f64, b: f64, relative: f64) {
    assert!((a - b).abs() <= relative * b.abs(), "{a} is not {b}");
}

fn oracle(part: &str) -> Vec<Value> {
    let all: Value =
        serde_json::from_str(include_str!("../../../tests/oracles/film_balance.json")).unwrap();
    all[part].as_array().unwrap().clone()
}

fn number(value: &Value) -> f64 {
    value.as_f64().unwrap()
}

fn percent(percent: f64) -> Ratio {
    Ratio::from_percent(percent).unwrap()
}

/// Trade-unit shorthand.
fn film(density: f64, width: f64, gauge: f64) -> (Density, Length, Thickness) {
    (
        Density::from_g_per_cm3(density).unwrap(),
        Length::from_in(width).unwrap(),
        Thickness::from_gauge(gauge).unwrap(),
    )
}

#[test]
fn film_agrees_with_pint() {
    let cases = oracle("film");
    assert_eq!(cases.len(), 5);
    for case in cases {
        let get = |name: &str| number(&case[name]);
        let (rho, w, t) = film(get("density"), get("width"), get("thickness"));
        let length = Length::from_ft(get("length")).unwrap();
        let on_load = Length::from_in(get("on_load")).unwrap();
        let mass = strip_mass(length, rho, w, t).unwrap();
        near(mass.lb(), get("mass_lb"), 1e-12);
        let in2_per_lb = film_yield(rho, t).unwrap() * 0.453_592_37 / (0.0254 * 0.0254);
        near(in2_per_lb, get("yield_in2_per_lb"), 1e-12);
        let back = thickness_by_weight(mass, rho, length, w).unwrap();
        near(back.gauge(), get("thickness_back_gauge"), 1e-12);
        let narrower = neck_in(w, on_load).unwrap().percent();
        assert!((narrower - get("neck_in_percent")).abs() < 1e-10);
        let thinner = thickness_on_load(t, w, on_load, percent(get("stretch"))).unwrap();
        near(thinner.gauge(), get("thickness_on_load_gauge"), 1e-12);
        let six_oz = unstretched_length(Mass::from_oz(6.0).unwrap(), rho, w, t).unwrap();
        near(six_oz.ft(), get("length_of_6_oz_ft"), 1e-12);
    }
}

#[test]
fn film_worked_by_hand() {
    // 20 in x 6000 ft x 80 ga at 0.918 g/cm3: 38.2059 lb (from the definitions of the units).
    let (rho, w, t) = film(0.918, 20.0, 80.0);
    let roll = strip_mass(Length::from_ft(6_000.0).unwrap(), rho, w, t).unwrap();
    assert!((roll.lb() - 38.205_9).abs() < 5e-5, "{}", roll.lb());
    // Yield at 1 mil, 27679.9048 / rho in2/lb: the trade rounds to 30,000.
    for (density, expected) in [(0.915, 30_251.26), (0.918, 30_152.40), (0.925, 29_924.22)] {
        let (rho, _, mil) = film(density, 1.0, 100.0);
        let found = film_yield(rho, mil).unwrap() * 0.453_592_37 / (0.0254 * 0.0254);
        assert!((found - expected).abs() < 0.005, "{found}");
    }
    // 80 ga, 20 in drawn to 17 in and to 3.5 times its length: 26.8908 ga; 22.8571 without neck-in.
    let on_load = |inches| {
        let w1 = Length::from_in(inches).unwrap();
        thickness_on_load(t, w, w1, percent(250.0)).unwrap().gauge()
    };
    assert!((on_load(17.0) - 26.890_8).abs() < 5e-5);
    assert!((on_load(20.0) - 22.857_1).abs() < 5e-5);
    // 200 % in the rollers and 215 % on the load: 3.15 / 3 - 1 = 5 % between them.
    near(
        post_stretch(percent(215.0), percent(200.0))
            .unwrap()
            .percent(),
        5.0,
        1e-12,
    );
    let slack = post_stretch(percent(190.0), percent(200.0)).unwrap();
    assert!(slack.percent() < 0.0, "slack is said, not refused");
}

#[test]
fn film_of_a_load_worked_by_hand() {
    // 16.6667 turns of 176 in, 250 %, 20 in of 60 ga at 0.918: 5.336699 oz, flat turns.
    let (rho, w, t) = film(0.918, 20.0, 60.0);
    let path = Length::from_in(50.0 / 3.0 * 176.0).unwrap();
    let mass = predicted_mass(path, percent(250.0), rho, w, t).unwrap();
    assert!((mass.oz() - 5.336_699).abs() < 5e-7, "{}", mass.oz());
    // 6 oz instead: 942.2626 in off the roll, 211.307 % over 16.6667 x 176 in.
    let six = Mass::from_oz(6.0).unwrap();
    let off_roll = unstretched_length(six, rho, w, t).unwrap();
    assert!((off_roll.inches() - 942.262_6).abs() < 5e-5);
    let stretch = effective_stretch(path, six, rho, w, t).unwrap();
    assert!(
        (stretch.percent() - 211.307).abs() < 5e-4,
        "{}",
        stretch.percent()
    );
    // 13 turns of 4 m, 200 %, 500 mm of 17 um at 0.918: 135.2520 g.
    let mass = predicted_mass(
        Length::from_m(52.0).unwrap(),
        percent(200.0),
        rho,
        Length::from_mm(500.0).unwrap(),
        Thickness::from_um(17.0).unwrap(),
    )
    .unwrap();
    assert!((mass.g() - 135.252_0).abs() < 5e-5, "{}", mass.g());
}

#[test]
fn film_that_cannot_be_gives_no_figure() {
    let (rho, w, t) = film(0.918, 20.0, 60.0);
    let pound = Mass::from_lb(1.0).unwrap();
    assert_eq!(film_yield(rho, Thickness::ZERO), None);
    assert_eq!(thickness_by_weight(pound, rho, Length::ZERO, w), None);
    assert_eq!(thickness_by_weight(Mass::ZERO, rho, w, w), None);
    let wider = Length::from_in(21.0).unwrap();
    assert_eq!(neck_in(w, wider), None);
    assert_eq!(thickness_on_load(t, w, Length::ZERO, percent(0.0)), None);
    assert_eq!(thickness_on_load(t, w, w, percent(-100.0)), None);
    assert_eq!(post_stretch(percent(50.0), percent(-100.0)), None);
    assert_eq!(effective_stretch(w, Mass::ZERO, rho, w, t), None);
    assert_eq!(predicted_mass(w, percent(-100.0), rho, w, t), None);
}

#[test]
fn stretch_by_marks_agrees_with_the_package_uncertainties() {
    let cases = oracle("marks");
    assert_eq!(cases.len(), 5);
    let eighth = Length::from_in(0.125).unwrap();
    for case in cases {
        let marks: Vec<Record<StretchMark>> = case["pairs_in"]
            .as_array()
            .unwrap()
            .iter()
            .map(|pair| {
                let text = |index: usize| format!("{} in", pair[index]);
                mark(1, MarkPlace::OnLoad, &text(0), &text(1))
            })
            .collect();
        let found = stretch_by_marks(&marks, MarkPlace::OnLoad, eighth).unwrap();
        let expected = |name: &str| number(&case[name]);
        assert!((found.mean.fraction() - expected("mean")).abs() < 1e-12);
        near(found.uncertainty, expected("uncertainty"), 1e-9);
        near(found.half_width, expected("half_width"), 1e-9);
        assert_eq!(
            stretch_by_marks(&marks, MarkPlace::BeforeLoad, eighth),
            None,
            "read elsewhere"
        );
    }
}

#[test]
fn marks_that_cannot_be_take_no_part() {
    let eighth = Length::from_in(0.125).unwrap();
    let mut aside = mark(2, MarkPlace::OnLoad, "10 in", "90 in");
    aside.set_aside = Some(SetAside {
        at: at(),
        reason: "lost a mark".to_owned(),
    });
    let marks = [
        mark(1, MarkPlace::OnLoad, "10 in", "35 in"),
        aside,
        mark(3, MarkPlace::OnLoad, "10 in", "9 in"),
        mark(4, MarkPlace::OnLoad, "0 in", "9 in"),
    ];
    let found = stretch_by_marks(&marks, MarkPlace::OnLoad, eighth).unwrap();
    assert_eq!(found.summary.n, 1);
    near(found.mean.percent(), 250.0, 1e-12);
    assert_eq!(
        stretch_by_marks(&marks[1..], MarkPlace::OnLoad, eighth),
        None
    );
    assert_eq!(
        stretch_by_marks(&marks, MarkPlace::OnLoad, Length::ZERO),
        None,
        "nothing to say how sure it is"
    );
}

fn estimate(value: &Value) -> Estimate {
    Estimate {
        value: number(&value[0]),
        uncertainty: number(&value[1]),
        degrees_of_freedom: value[2].as_f64(),
    }
}

#[test]
fn the_balance_agrees_with_the_package_uncertainties() {
    let cases = oracle("balance");
    assert_eq!(cases.len(), 62);
    let mut open = 0;
    for case in cases {
        let given = |name: &str| estimate(&case["given"][name]);
        let found = balance(&Inputs {
            turns: 13.0,
            path: given("path"),
            stretch: given("stretch"),
            density: given("density"),
            width: given("width"),
            thickness: given("thickness"),
            weighed: given("weighed"),
            stretch_measured: false,
            thickness_measured: false,
        })
        .unwrap();
        for (name, result) in [
            ("predicted_length", found.predicted_length),
            ("predicted", found.predicted),
            ("weighed_length", found.weighed_length),
            ("effective_stretch", found.effective_stretch),
            ("difference", found.difference),
            ("ratio", found.ratio),
        ] {
            let expected = &case["result"][name];
            let [value, u, expanded] = [0, 1, 2].map(|index| number(&expected[index]));
            let scale = value.abs().max(u);
            assert!(
                (result.value - value).abs() < 1e-12 * scale + 1e-13,
                "{name}"
            );
            near(result.uncertainty, u, 1e-9);
            near(result.expanded(), expanded, 1e-8);
        }
        let difference = &case["result"]["difference"];
        let closes = number(&difference[0]).abs() <= number(&difference[2]);
        assert_eq!(found.closes, closes);
        assert_eq!(found.causes.is_empty(), closes);
        open += u32::from(!closes);
    }
    assert!(
        (10..60).contains(&open),
        "both kinds are among them: {open}"
    );
}

/// Any number a file may hold.
fn any_number() -> impl Strategy<Value = f64> {
    prop_oneof![
        4 => 0.0..3.0_f64,
        1 => prop::num::f64::ANY,
        1 => prop::sample::select(vec![
            0.0, -1.0, f64::NAN, f64::INFINITY, f64::NEG_INFINITY, f64::MAX, 5e-324, 1e-300, 1e300,
        ]),
    ]
}

fn any_estimate() -> impl Strategy<Value = Estimate> {
    (any_number(), any_number(), prop::option::of(any_number())).prop_map(
        |(value, uncertainty, degrees_of_freedom)| Estimate {
            value,
            uncertainty,
            degrees_of_freedom,
        },
    )
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(4_000))]

    #[test]
    fn nothing_but_numbers_or_words_comes_out(
        turns in any_number(),
        parts in prop::array::uniform6(any_estimate()),
    ) {
        let [path, stretch, density, width, thickness, weighed] = parts;
        let inputs = Inputs {
            turns, path, stretch, density, width, thickness, weighed,
            stretch_measured: false,
            thickness_measured: true,
        };
        let Ok(found) = balance(&inputs) else { return Ok(()); };
        for part in [
            found.predicted_length, found.predicted, found.weighed_length,
            found.effective_stretch, found.difference, found.ratio,
        ] {
            let out = [part.value, part.uncertainty, part.expanded(), part.low(), part.high()];
            prop_assert!(out.iter().all(|x| x.is_finite()), "{part:?} {out:?}");
        }
    }

    /// Film made from its own prediction balances, and gives back the stretch it was made with.
    #[test]
    fn film_as_predicted_closes(
        path in 10.0..300.0, stretch in 0.0..4.0, width in 0.2..1.0, um in 8.0..40.0,
    ) {
        let length = |m| Length::from_m(m).unwrap();
        let density = Density::from_g_per_cm3(0.918).unwrap();
        let thickness = Thickness::from_um(um).unwrap();
        let set = Ratio::from_fraction(stretch).unwrap();
        let mass = predicted_mass(length(path), set, density, length(width), thickness).unwrap();
        let back =
            effective_stretch(length(path), mass, density, length(width), thickness).unwrap();
        prop_assert!((back.fraction() - stretch).abs() < 1e-9);
        let found = balance(&Inputs {
            turns: 10.0,
            path: Estimate::within(path, 0.01 * path),
            stretch: Estimate::new(stretch, 0.0),
            density: Estimate::within(918.0, 1.0),
            width: Estimate::new(width, 0.0),
            thickness: Estimate::within(thickness.m(), 0.0),
            weighed: Estimate::new(mass.kg(), 0.0),
            stretch_measured: false,
            thickness_measured: false,
        }).unwrap();
        prop_assert!(found.closes);
    }
}
