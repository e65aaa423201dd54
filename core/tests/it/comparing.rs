//! Welch's comparison, numbers of readings and rates of events: published values, an oracle, laws.

use proptest::prelude::*;
use serde_json::Value;
use tautbook_core::analysis::statistics::{
    StatisticsError, Summary, compare_rates, how_many_more, mean_interval, poisson_rate,
    poisson_upper_bound, readings_needed, summarise, welch, welch_with_resolution,
};

fn oracle() -> Value {
    serde_json::from_str(include_str!("../../../tests/oracles/comparing_scipy.json")).unwrap()
}

fn number(value: &Value) -> f64 {
    value
        .as_str()
        .map_or_else(|| value.as_f64(), |text| text.parse().ok())
        .unwrap()
}

fn numbers(value: &Value) -> Vec<f64> {
    value.as_array().unwrap().iter().map(number).collect()
}

fn whole(value: f64) -> u32 {
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    let whole = value as u32;
    assert!((f64::from(whole) - value).abs() < 1e-9);
    whole
}

fn near(found: f64, expected: f64, relative: f64, what: &str) {
    let error = (found - expected).abs();
    assert!(
        error <= relative * expected.abs(),
        "{what}: {found}, not {expected}"
    );
}

fn summary(n: usize, mean: f64, sd: f64) -> Summary {
    Summary {
        n,
        mean,
        sd: Some(sd),
        min: mean - 2.0 * sd,
        max: mean + 2.0 * sd,
    }
}

#[test]
fn miles_per_gallon() {
    // NIST/SEMATECH e-Handbook 1.3.5.3, data set AUTO83B: T = -12.94627, 136.8750 degrees of
    // freedom without equal variances (as printed there, from memory; from its summary numbers).
    let us = summary(249, 20.14458, 6.41470);
    let japan = summary(79, 30.48101, 6.10771);
    let found = welch(&us, &japan).unwrap();
    assert!((found.t.unwrap() + 12.94627).abs() < 2e-5, "{found:?}");
    assert!((found.df - 136.8750).abs() < 1e-3, "{found:?}");
    assert!(found.p.unwrap() < 1e-20);
}

#[test]
fn two_small_sets() {
    // Computed with scipy.stats.ttest_ind(equal_var=False).
    let new = summarise(&[14.2, 13.1, 15.0, 13.8, 14.6]).unwrap();
    let old = summarise(&[12.1, 12.9, 11.7, 13.0]).unwrap();
    let found = welch(&new, &old).unwrap();
    near(found.t.unwrap(), 3.773_486_18, 2e-9, "t");
    near(found.df, 6.927_827_36, 2e-9, "df");
    near(found.p.unwrap(), 0.007_085_61, 1e-6, "p");
    let interval = found.interval(0.95).unwrap();
    near(interval.low, 0.638_035_50, 1e-8, "low");
    near(interval.high, 2.791_964_50, 1e-8, "high");
}

#[test]
fn many_sets_as_scipy_has_them() {
    let oracle = oracle();
    let rows = oracle["welch"].as_array().unwrap();
    assert_eq!(rows.len(), 300);
    for row in rows {
        let set = |name: &str| summarise(&numbers(&row[name])).unwrap();
        let found = welch(&set("new"), &set("old")).unwrap();
        let [confidence, t, df, p, low, high, one_sided] = numbers(&row["expected"])[..] else {
            panic!("seven numbers")
        };
        near(found.t.unwrap(), t, 1e-9, "t");
        near(found.df, df, 1e-9, "df");
        near(found.p.unwrap(), p, 1e-7, "p");
        let interval = found.interval(confidence).unwrap();
        let width = high - low;
        assert!((interval.low - low).abs() < 1e-9 * width);
        assert!((interval.high - high).abs() < 1e-9 * width);
        assert!((found.lower_bound(confidence).unwrap() - one_sided).abs() < 1e-9 * width);
    }
}

#[test]
fn without_spread_no_certainty_is_made_up() {
    let one = summarise(&[5.0]).unwrap();
    let four = summarise(&[5.0; 4]).unwrap();
    let six = summarise(&[7.0; 6]).unwrap();
    for (a, b) in [(&one, &four), (&four, &one)] {
        assert_eq!(
            welch(a, b),
            Err(StatisticsError::TooFew { have: 1, needed: 2 })
        );
    }
    let bare = welch(&six, &four).unwrap();
    assert_eq!(
        (bare.t, bare.p, bare.resolution_limited),
        (None, None, true)
    );
    let floored = welch_with_resolution(&six, &four, 0.5).unwrap();
    assert!(floored.resolution_limited && floored.p.unwrap() > 0.0);
    // u = d/√12 on both sides (JCGM 100:2008, F.2.2.1).
    let expected = 0.5 / 12.0_f64.sqrt() * (1.0 / 6.0 + 1.0 / 4.0_f64).sqrt();
    near(floored.standard_error, expected, 1e-12, "standard error");
    let huge = |mean: f64| summary(3, mean, 1.0);
    assert_eq!(
        welch(&huge(1e308), &huge(-1e308)),
        Err(StatisticsError::TooLarge)
    );
    let wide = welch(&summary(3, 0.0, 1e200), &summary(4, 1.0, 1e-200)).unwrap();
    assert!((wide.df - 2.0).abs() < 1e-9, "{wide:?}");
}

#[test]
fn how_many_readings() {
    // Smallest n with t s/√n ≤ E at 95 %, by scipy; the normal distribution would say 4, 16, 62
    // and 385.
    for (half_width, n) in [(1.0, 7), (0.5, 18), (0.25, 64), (0.1, 387)] {
        assert_eq!(readings_needed(1.0, half_width, 0.95), Ok(n));
        let have = summary(5, 10.0, 1.0);
        assert_eq!(how_many_more(&have, half_width, 0.95, 0.0), Ok(n - 5));
    }
    for row in oracle()["readings"].as_array().unwrap() {
        let [n, ratio, confidence] = numbers(row)[..] else {
            panic!("three numbers")
        };
        let found = readings_needed(1.0 / ratio, 1.0, confidence).unwrap();
        assert_eq!(found, usize::try_from(whole(n)).unwrap(), "{row}");
    }
    assert_eq!(readings_needed(0.0, 1.0, 0.95), Ok(2));
    assert_eq!(how_many_more(&summary(30, 1.0, 1.0), 1.0, 0.95, 0.0), Ok(0));
    assert!(matches!(
        readings_needed(1.0, 1e-9, 0.95),
        Err(StatisticsError::TooMany { .. })
    ));
    for bad in [0.0, -1.0, f64::NAN, f64::INFINITY] {
        let error = readings_needed(1.0, bad, 0.95).unwrap_err();
        assert!(error.to_string().contains("more than zero"), "{error}");
    }
    assert!(how_many_more(&summarise(&[4.0]).unwrap(), 1.0, 0.95, 0.0).is_err());
}

#[test]
fn rates_of_events() {
    let oracle = oracle();
    let rows = oracle["poisson"].as_array().unwrap();
    assert_eq!(rows.len(), 56);
    for row in rows {
        let [events, confidence, low, high, one] = numbers(row)[..] else {
            panic!("five numbers")
        };
        let found = poisson_rate(whole(events), 8.0, confidence).unwrap();
        near(found.interval.low * 8.0, low, 1e-9, "low");
        near(found.interval.high * 8.0, high, 1e-9, "high");
        let upper = poisson_upper_bound(whole(events), 8.0, confidence).unwrap();
        near(upper * 8.0, one, 1e-9, "one-sided");
    }
    // The rule of three: no break over n loads is less than 3/n, said with 95 % (2.9957/n exactly;
    // J. A. Hanley, A. Lippman-Hand, JAMA 249 (1983), from memory). Two-sided it is 3.689/n.
    let none = poisson_rate(0, 40.0, 0.95).unwrap();
    assert!(none.interval.low.abs() < 1e-300 && none.rate.abs() < 1e-300);
    near(none.interval.high, 3.688_879_454 / 40.0, 1e-9, "two-sided");
    near(
        poisson_upper_bound(0, 40.0, 0.95).unwrap(),
        0.05_f64.ln() / -40.0,
        1e-12,
        "one-sided",
    );
    for bad in [0.0, -1.0, f64::NAN, f64::INFINITY] {
        assert!(poisson_rate(1, bad, 0.95).is_err());
    }
    assert!(poisson_rate(1_000_000, 1.0, 0.95).is_err());
}

#[test]
fn rates_before_and_after() {
    let oracle = oracle();
    let rows = oracle["ratios"].as_array().unwrap();
    assert_eq!(rows.len(), 58);
    for row in rows {
        let [new, old, e1, e2, confidence, low, high, p] = numbers(row)[..] else {
            panic!("eight numbers")
        };
        let found = compare_rates((whole(new), e1), (whole(old), e2), confidence).unwrap();
        near(found.low, low, 1e-8, "low");
        assert_eq!(found.high.is_some(), old > 0.0);
        if let Some(found) = found.high {
            near(found, high, 1e-8, "high");
        }
        assert!((found.p - p).abs() <= 1e-9 * p.max(1e-3), "{} {p}", found.p);
    }
    let nothing = compare_rates((0, 10.0), (0, 20.0), 0.95).unwrap();
    assert_eq!((nothing.ratio, nothing.high), (None, None));
    near(nothing.p, 1.0, 1e-12, "p of nothing");
}

proptest! {
    #[test]
    fn the_comparison_is_even_handed(
        a in prop::collection::vec(-1e3..1e3_f64, 2..20),
        b in prop::collection::vec(-1e3..1e3_f64, 2..20),
    ) {
        let (a, b) = (summarise(&a).unwrap(), summarise(&b).unwrap());
        let (one, other) = (welch(&a, &b).unwrap(), welch(&b, &a).unwrap());
        prop_assert!((one.difference + other.difference).abs() < 1e-12);
        prop_assert!((one.df - other.df).abs() < 1e-9 * one.df);
        let least = a.n.min(b.n) - 1;
        let most = a.n + b.n - 2;
        #[allow(clippy::cast_precision_loss)]
        let (least, most) = (least as f64, most as f64);
        prop_assert!(one.df >= least * 0.999_999 && one.df <= most * 1.000_001);
        if let (Some(interval), Some(p)) = (one.interval(0.95), one.p) {
            // The interval holds 0 just where p says so.
            if (p - 0.05).abs() > 1e-9 {
                prop_assert_eq!(interval.low <= 0.0 && 0.0 <= interval.high, p > 0.05);
            }
        }
    }

    #[test]
    fn one_reading_fewer_is_not_enough(sd in 0.01..10.0_f64, half_width in 0.1..10.0_f64) {
        let n = readings_needed(sd, half_width, 0.95).unwrap();
        let width = |n| mean_interval(&summary(n, 0.0, sd), 0.95).unwrap().half_width();
        prop_assert!(width(n) <= half_width * 1.000_000_1);
        prop_assert!(n == 2 || width(n - 1) > half_width * 0.999_999_9);
    }

    #[test]
    fn nothing_panics_or_leaks(
        n in 0_usize..9, m in 0_usize..9, a in prop::num::f64::ANY, b in prop::num::f64::ANY, s in prop::num::f64::ANY,
        r in prop::num::f64::ANY, x in 0_u32..20_000, y in 0_u32..20_000, c in 0.0..1.0_f64,
    ) {
        let (one, two) = (summary(n, a, s), summary(m, b, r));
        if let Ok(found) = welch_with_resolution(&one, &two, c) {
            prop_assert!(found.difference.is_finite() && found.standard_error.is_finite());
            prop_assert!(found.df.is_finite() && found.t.is_none_or(f64::is_finite));
            prop_assert!(found.p.is_none_or(|p| (0.0..=1.0).contains(&p)));
            prop_assert!(found.interval(c).is_none_or(|i| i.low.is_finite() && i.high.is_finite()));
            prop_assert!(found.lower_bound(c).is_none_or(f64::is_finite));
        }
        let _ = readings_needed(s, a, c);
        let _ = how_many_more(&one, b, c, r);
        if let Ok(rate) = poisson_rate(x, a.abs(), c) {
            let (low, high) = (rate.interval.low, rate.interval.high);
            prop_assert!(low <= rate.rate && rate.rate <= high && high.is_finite());
        }
        if let Ok(found) = compare_rates((x, a.abs()), (y, b.abs()), c) {
            prop_assert!(found.low.is_finite() && found.high.is_none_or(f64::is_finite));
            prop_assert!((0.0..=1.0).contains(&found.p));
        }
    }
}
