//! A year's savings: the worked example, an oracle with every unit, limits, what is missing.

use proptest::prelude::*;
use serde_json::Value;
use tautbook_core::analysis::comparison::{FilmComparison, FilmMean};
use tautbook_core::analysis::savings::{
    Assumption, Breaks, Film, Missing, Outlook, Savings, Yearly, savings,
};
use tautbook_core::analysis::statistics::{StatisticsError, poisson_rate, welch_of};
use tautbook_core::survey::{Factor, FactorUnit, Factors};
use tautbook_core::units::Mass;

fn mean(kg: f64, standard_error_kg: f64, df: f64) -> FilmMean {
    FilmMean {
        weighings: 5,
        loads: 5,
        kg,
        load_sd_kg: standard_error_kg * 5.0_f64.sqrt(),
        standard_error_kg,
        df,
        resolution_limited: false,
        step_written: true,
    }
}

fn film(new: FilmMean, old: FilmMean) -> FilmComparison {
    let of = |film: &FilmMean| (film.kg, film.standard_error_kg, film.df);
    FilmComparison {
        new,
        old,
        saved: welch_of(of(&old), of(&new), false).unwrap(),
    }
}

fn oz(oz: f64) -> f64 {
    Mass::from_oz(oz).unwrap().kg()
}

/// Eight ounces a load before, five after, each known to a tenth of an ounce or so.
fn three_ounces() -> FilmComparison {
    film(mean(oz(5.0), oz(0.1), 4.0), mean(oz(8.0), oz(0.15), 4.0))
}

fn priced() -> Film {
    Film {
        price: Some(Factor::new(1.5, FactorUnit::MoneyPerPound, "invoice", None)),
        currency: "USD".to_owned(),
        roll_net_mass: Some(Mass::from_lb(38.2059).unwrap()),
        recycled_content: Some(0.1),
    }
}

fn factors() -> Factors {
    let factor = |value, unit| Some(Factor::new(value, unit, "a test", Some(2026)));
    Factors {
        currency: "USD".to_owned(),
        roll_change: factor(6.0, FactorUnit::Minutes),
        film_break: factor(2.0, FactorUnit::Minutes),
        labour: factor(30.0, FactorUnit::MoneyPerHour),
        co2e: factor(2.965_08, FactorUnit::KilogramsCo2ePerKilogram),
        levy: factor(223.69, FactorUnit::MoneyPerTonne),
        levy_free_from: factor(0.3, FactorUnit::Fraction),
    }
}

fn work(film: &FilmComparison, roll: &Film, factors: &Factors) -> Savings {
    savings(film, 100_000, (roll, roll), factors, None, 0.95).unwrap()
}

fn near(found: f64, expected: f64, within: f64) {
    assert!(
        (found - expected).abs() <= within,
        "{found}, not {expected}"
    );
}

#[test]
fn three_ounces_a_load() {
    // Worked by hand: 3 oz a load over 100,000 loads is 18,750 lb = 8,504.857 kg.
    let found = work(&three_ounces(), &priced(), &factors());
    near(found.film_kg.saved, 8_504.857, 0.001);
    near(found.film_cost.unwrap().saved, 28_125.0, 1e-6);
    near(found.rolls.unwrap().old, 1_308.698_4, 1e-4);
    near(found.co2e_kg.unwrap().saved, 25_217.58, 0.01);
    near(found.levy.unwrap().saved, 1_902.45, 0.005);
    // 100,000 · 3 oz / 38.2059 lb = 490.762 rolls of 6 minutes at 30 an hour.
    near(found.roll_change_hours.unwrap().saved, 49.0762, 1e-3);
    near(found.roll_change_cost.unwrap().saved, 1_472.286, 0.05);
    let sum = 28_125.0 + 1_902.45 + 1_472.286;
    near(found.money.unwrap().saved, sum, 0.1);
    assert_eq!((found.missing.len(), found.currency.as_str()), (0, "USD"));
    assert!(found.assumptions.contains(&Assumption::LevyPassedOn));
}

#[test]
fn the_limits_are_those_of_the_film() {
    let film = three_ounces();
    let found = work(&film, &priced(), &factors());
    let a_load = film.interval(0.95).unwrap();
    let per_kg = |yearly: Yearly| (yearly.interval.low, yearly.interval.high);
    let (low, high) = per_kg(found.film_kg);
    near(low, a_load.low * 1e5, 1e-6);
    near(high, a_load.high * 1e5, 1e-6);
    for (yearly, each) in [
        (found.film_cost, 1.5 / 0.453_592_37),
        (found.co2e_kg, 2.965_08),
        (found.levy, 0.223_69),
    ] {
        let yearly = yearly.unwrap();
        near(yearly.interval.low, low * each, 1e-6);
        near(yearly.interval.high, high * each, 1e-6);
        assert_eq!(yearly.outlook(), Outlook::Saving);
    }
}

#[test]
fn films_of_unlike_price_are_weighed_by_it() {
    // Less film of a dearer kind: less mass and more money.
    let mut dear = priced();
    dear.price = Some(Factor::new(3.0, FactorUnit::MoneyPerPound, "offer", None));
    let found = savings(
        &three_ounces(),
        100_000,
        (&dear, &priced()),
        &Factors::default(),
        None,
        0.95,
    )
    .unwrap();
    let cost = found.film_cost.unwrap();
    near(cost.old, 100_000.0 * 0.5 * 1.5, 1e-6);
    near(cost.new, 100_000.0 * 5.0 / 16.0 * 3.0, 1e-6);
    assert_eq!(found.film_kg.outlook(), Outlook::Saving);
    assert_eq!(cost.outlook(), Outlook::Cost);
    assert!(cost.saved < 0.0, "a saving that is a cost");
    // SE² = (0.1 · 3)² + (0.15 · 1.5)² of an ounce's price.
    let per_oz = 100_000.0 / 16.0;
    let se = per_oz * (0.1_f64 * 3.0).hypot(0.15 * 1.5);
    let by_hand = welch_of(
        (cost.old, per_oz * 0.225, 4.0),
        (cost.new, per_oz * 0.3, 4.0),
        false,
    );
    near(by_hand.unwrap().standard_error, se, 1e-9 * se);
    near(
        cost.interval.low,
        by_hand.unwrap().interval(0.95).unwrap().low,
        1e-6,
    );
    // Recycled film may be free of the levy: then all of the old film's levy is saved.
    let mut recycled = priced();
    recycled.recycled_content = Some(0.3);
    let pair = (&recycled, &priced());
    let found = savings(&three_ounces(), 100_000, pair, &factors(), None, 0.95).unwrap();
    let levy = found.levy.unwrap();
    near(levy.new, 0.0, 0.0);
    near(levy.saved, 100_000.0 * oz(8.0) * 0.223_69, 1e-6);
}

#[test]
fn nothing_is_shown_within_the_scatter() {
    let alike = film(mean(oz(7.9), oz(0.2), 2.0), mean(oz(8.0), oz(0.2), 2.0));
    let found = work(&alike, &priced(), &factors());
    assert_eq!(found.film_kg.outlook(), Outlook::NotShown);
    assert!(found.film_kg.saved > 0.0);
}

#[test]
fn what_is_missing_is_said() {
    let nothing = Film::default();
    let found = savings(
        &three_ounces(),
        0,
        (&nothing, &nothing),
        &Factors::default(),
        None,
        0.95,
    )
    .unwrap();
    assert!(found.film_cost.is_none() && found.money.is_none() && found.co2e_kg.is_none());
    for missing in [
        Missing::Loads,
        Missing::Price,
        Missing::RollMass,
        Missing::RollChange,
        Missing::Labour,
        Missing::Co2e,
        Missing::Levy,
    ] {
        assert!(found.missing.contains(&missing), "{missing:?}");
        assert!(missing.to_string().ends_with('.'));
    }
    let mut euros = priced();
    euros.currency = "EUR".to_owned();
    let mixed = savings(
        &three_ounces(),
        1_000,
        (&euros, &priced()),
        &factors(),
        None,
        0.95,
    )
    .unwrap();
    assert!(mixed.missing.contains(&Missing::OneCurrency));
    assert!(mixed.money.is_none() && mixed.film_cost.is_none() && mixed.levy.is_none());
    assert!(mixed.co2e_kg.is_some() && mixed.rolls.is_some());
    let by_roll = Film {
        price: Some(Factor::new(60.0, FactorUnit::MoneyPerRoll, "", None)),
        ..Film::default()
    };
    let found = work(&three_ounces(), &by_roll, &Factors::default());
    assert!(
        found.missing.contains(&Missing::Price),
        "a roll of unknown mass"
    );
}

#[test]
fn breaks_cost_time() {
    let breaks = Breaks {
        new: poisson_rate(2, 400.0, 0.95).unwrap(),
        old: poisson_rate(30, 500.0, 0.95).unwrap(),
    };
    let roll = priced();
    let found = savings(
        &three_ounces(),
        100_000,
        (&roll, &roll),
        &factors(),
        Some(&breaks),
        0.95,
    )
    .unwrap();
    let cost = found.break_cost.unwrap();
    // 0.06 and 0.005 breaks a load, 2 minutes at 30 an hour: one unit of money each.
    near(cost.old, 6_000.0, 1e-6);
    near(cost.saved, 5_500.0, 1e-6);
    assert_eq!(cost.outlook(), Outlook::Saving);
    assert!(cost.interval.low > 2_500.0 && cost.interval.high < 9_000.0);
}

#[test]
fn every_unit_as_pint_has_it() {
    let oracle: Value =
        serde_json::from_str(include_str!("../../../tests/oracles/savings_pint.json")).unwrap();
    let cases = oracle["cases"].as_array().unwrap();
    assert_eq!(cases.len(), 60);
    for case in cases {
        let number = |name: &str| case[name].as_f64().unwrap();
        let factor = |name: &str, unit| Some(Factor::new(number(name), unit, "", None));
        let unit: FactorUnit = serde_json::from_value(case["price_unit"].clone()).unwrap();
        let roll = Film {
            price: factor("price", unit),
            roll_net_mass: Some(Mass::from_lb(number("roll_lb")).unwrap()),
            ..Film::default()
        };
        let factors = Factors {
            roll_change: factor("minutes", FactorUnit::Minutes),
            labour: factor("wage", FactorUnit::MoneyPerHour),
            co2e: factor("co2e", FactorUnit::KilogramsCo2ePerKilogram),
            levy: factor("levy", FactorUnit::MoneyPerTonne),
            ..Factors::default()
        };
        let a_load = film(
            mean(oz(number("new_oz")), 0.001, 3.0),
            mean(oz(number("old_oz")), 0.001, 3.0),
        );
        let loads = case["loads"].as_u64().unwrap();
        let found = savings(&a_load, loads, (&roll, &roll), &factors, None, 0.9).unwrap();
        for (name, yearly) in [
            ("film_kg", Some(found.film_kg)),
            ("film_cost", found.film_cost),
            ("rolls", found.rolls),
            ("hours", found.roll_change_hours),
            ("hours_cost", found.roll_change_cost),
            ("co2e_kg", found.co2e_kg),
            ("levy_cost", found.levy),
        ] {
            let yearly = yearly.unwrap();
            let whole = yearly.old.abs() + yearly.new.abs();
            assert!(
                (yearly.saved - number(name)).abs() <= 1e-12 * whole,
                "{name} {yearly:?} {case}"
            );
        }
    }
}

#[test]
fn factors_are_kept_with_their_source() {
    let kept = serde_json::to_string(&factors()).unwrap();
    assert!(
        kept.contains(r#""unit":"money_per_tonne","source":"a test","year":2026"#),
        "{kept}"
    );
    assert_eq!(serde_json::from_str::<Factors>(&kept).unwrap(), factors());
    assert_eq!(
        serde_json::from_str::<Factors>("{}").unwrap(),
        Factors::default()
    );
}

proptest! {
    #[test]
    fn nothing_panics_or_leaks(
        values in prop::collection::vec(prop::num::f64::ANY, 12), loads in any::<u64>(),
        tame in 0.0..1.0_f64,
    ) {
        let factor = |i: usize, unit| Some(Factor::new(values[i], unit, "", None));
        let roll = Film {
            price: factor(0, FactorUnit::MoneyPerRoll),
            roll_net_mass: Mass::from_kg(values[1].abs()).ok(),
            recycled_content: Some(values[2]),
            ..Film::default()
        };
        let factors = Factors {
            roll_change: factor(3, FactorUnit::Minutes),
            film_break: factor(4, FactorUnit::Minutes),
            labour: factor(5, FactorUnit::MoneyPerHour),
            co2e: factor(6, FactorUnit::KilogramsCo2ePerKilogram),
            levy: factor(7, FactorUnit::MoneyPerTonne),
            levy_free_from: factor(8, FactorUnit::Fraction),
            ..Factors::default()
        };
        for a_load in [
            three_ounces(),
            FilmComparison {
                new: mean(values[9].abs(), values[10].abs(), 1.0),
                ..three_ounces()
            },
        ] {
            match savings(&a_load, loads, (&roll, &priced()), &factors, None, tame) {
                Ok(found) => {
                    let parts = [
                        Some(found.film_kg), found.film_cost, found.rolls,
                        found.roll_change_hours, found.roll_change_cost, found.co2e_kg,
                        found.levy, found.money,
                    ];
                    for yearly in parts.into_iter().flatten() {
                        prop_assert!(yearly.old.is_finite() && yearly.new.is_finite());
                        prop_assert!(yearly.saved.is_finite());
                        prop_assert!(yearly.interval.low.is_finite());
                        prop_assert!(yearly.interval.high.is_finite());
                    }
                }
                Err(error) => prop_assert!(
                    matches!(error, StatisticsError::TooLarge | StatisticsError::Probability(_)),
                    "{:?}", error
                ),
            }
        }
    }
}
