//! The noncentral t, tolerance factors and bounds: an oracle of 40 digits, published tables, laws.

use proptest::prelude::*;
use serde_json::Value;
use tautbook_core::analysis::statistics::{
    StatisticsError, Summary, coverage_shown, lower_tolerance_bound,
    lower_tolerance_bound_with_resolution, noncentral_t, student_t, summarise, tolerance_factor,
};

fn oracle() -> Value {
    serde_json::from_str(include_str!("../../../tests/oracles/tolerance_mpmath.json")).unwrap()
}

fn number(value: &Value) -> f64 {
    value
        .as_str()
        .map_or_else(|| value.as_f64(), |text| text.parse().ok())
        .unwrap()
}

fn rows(value: &Value) -> Vec<Vec<f64>> {
    let rows = value.as_array().unwrap().iter();
    rows.map(|row| row.as_array().unwrap().iter().map(number).collect())
        .collect()
}

#[test]
fn the_distribution_is_right_in_both_tails() {
    let rows = rows(&oracle()["cdf"]);
    assert!(rows.len() > 600, "{}", rows.len());
    let (mut worst, mut at) = (0.0_f64, vec![]);
    for row in rows {
        let [df, delta, t, lower, upper] = row[..] else {
            panic!("five numbers")
        };
        let found = noncentral_t::cdf(t, df, delta).unwrap();
        // The mirror image gives the other tail with all its digits.
        let mirrored = noncentral_t::cdf(-t, df, -delta).unwrap();
        let error = if lower < upper {
            (found / lower - 1.0).abs()
        } else {
            (mirrored / upper - 1.0).abs()
        };
        assert!(error.is_finite(), "{row:?}");
        let whole = found + mirrored;
        assert!((whole - 1.0).abs() < 1e-12, "{row:?} {found} {mirrored}");
        if error > worst {
            (worst, at) = (error, row);
        }
    }
    println!("worst relative error of the smaller tail {worst:.2e} at {at:?}");
    assert!(worst < 1e-12, "{worst:e} at {at:?}");
}

#[test]
fn the_factors_are_right() {
    let rows = rows(&oracle()["factors"]);
    assert_eq!(rows.len(), 256);
    let (mut worst, mut at) = (0.0_f64, vec![]);
    for row in rows {
        let [n, coverage, confidence, expected] = row[..] else {
            panic!("four numbers")
        };
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
        let found = tolerance_factor(n as usize, coverage, confidence).unwrap();
        let error = (found - expected).abs() / expected.abs().max(0.1);
        assert!(error.is_finite(), "{row:?}");
        if error > worst {
            (worst, at) = (error, row);
        }
    }
    println!("worst relative error of a factor {worst:.2e} at {at:?}");
    assert!(worst < 1e-12, "{worst:e} at {at:?}");
}

#[test]
fn tables_agree_to_their_digits() {
    // Columns coverage/confidence 90/95, 95/95, 90/90, 99/95; made with scipy.stats.nct 1.17. The
    // same figures stand in printed tables of one-sided tolerance factors (from memory).
    for (n, row) in [
        (2, [20.5815, 26.2597, 10.2527, 37.0936]),
        (3, [6.1553, 7.6559, 4.2582, 10.5527]),
        (4, [4.1619, 5.1439, 3.1878, 7.0424]),
        (5, [3.4066, 4.2027, 2.7423, 5.7411]),
        (6, [3.0063, 3.7077, 2.4937, 5.0620]),
        (7, [2.7554, 3.3995, 2.3326, 4.6417]),
        (8, [2.5819, 3.1873, 2.2186, 4.3539]),
        (9, [2.4538, 3.0312, 2.1329, 4.1430]),
        (10, [2.3546, 2.9110, 2.0657, 3.9811]),
        (12, [2.2101, 2.7363, 1.9662, 3.7471]),
        (15, [2.0684, 2.5660, 1.8668, 3.5201]),
        (20, [1.9260, 2.3960, 1.7652, 3.2952]),
        (25, [1.8381, 2.2917, 1.7015, 3.1580]),
        (30, [1.7773, 2.2198, 1.6571, 3.0639]),
    ] {
        let columns = [(0.90, 0.95), (0.95, 0.95), (0.90, 0.90), (0.99, 0.95)];
        for ((coverage, confidence), expected) in columns.into_iter().zip(row) {
            let k = tolerance_factor(n, coverage, confidence).unwrap();
            assert!((k - expected).abs() <= 6e-5, "{n} {coverage}: {k}");
        }
    }
}

#[test]
fn the_handbook_example() {
    // NIST/SEMATECH e-Handbook 7.2.6.3: n = 43, mean 97.07, s 0.0268, coverage 90 %, confidence
    // 99 %. The handbook works out the one-sided factor by an approximation and gets 1.8752; the
    // exact one is 1.87395 (scipy.stats.nct, mpmath).
    let k = tolerance_factor(43, 0.90, 0.99).unwrap();
    assert!((k - 1.873_95).abs() < 5e-6, "{k}");
    assert!((k - 1.8752).abs() < 0.002, "the approximation is near");
    let summary = Summary {
        n: 43,
        mean: 97.07,
        sd: Some(0.0268),
        min: 97.0,
        max: 97.2,
    };
    let bound = lower_tolerance_bound(&summary, 0.90, 0.99).unwrap();
    assert!((bound.bound - (97.07 - 1.873_95 * 0.0268)).abs() < 2e-7);
    assert_eq!((bound.n, bound.resolution_limited), (43, false));
    let shown = coverage_shown(&summary, bound.bound, 0.99, 0.0).unwrap();
    assert!((shown - 0.90).abs() < 1e-9, "{shown}");
}

#[test]
fn equal_readings_have_the_spread_of_the_scale() {
    let summary = summarise(&[55.0; 5]).unwrap();
    let bare = lower_tolerance_bound(&summary, 0.9, 0.95).unwrap();
    assert!(bare.resolution_limited);
    assert!((bare.bound - 55.0).abs() < 1e-12);
    let floored = lower_tolerance_bound_with_resolution(&summary, 0.9, 0.95, 0.5).unwrap();
    assert!(floored.resolution_limited);
    // k = 3.4066 for n = 5 at 90/95; u = d/√12 (JCGM 100:2008, F.2.2.1).
    let expected = 55.0 - 3.4066 * 0.5 / 12.0_f64.sqrt();
    assert!((floored.bound - expected).abs() < 1e-5, "{floored:?}");
    assert_eq!(
        coverage_shown(&summary, 50.0, 0.95, 0.0),
        Err(StatisticsError::NoSpread)
    );
}

#[test]
fn what_cannot_be_said_is_refused_in_words() {
    let one = summarise(&[12.0]).unwrap();
    let error = lower_tolerance_bound(&one, 0.9, 0.95).unwrap_err();
    assert_eq!(error, StatisticsError::TooFew { have: 1, needed: 2 });
    assert!(error.to_string().contains("take at least 2"), "{error}");
    let two = summarise(&[12.0, 13.0]).unwrap();
    for bad in [0.0, 1.0, -1.0, f64::NAN, f64::INFINITY] {
        assert!(lower_tolerance_bound(&two, bad, 0.95).is_err());
        assert!(lower_tolerance_bound(&two, 0.9, bad).is_err());
        if bad != 0.0 {
            let with = |d| lower_tolerance_bound_with_resolution(&two, 0.9, 0.95, d);
            assert_eq!(with(bad).is_err(), !(bad > 0.0 && bad < 2.0));
        }
    }
    let huge = summarise(&[-8e307, 8e307]).unwrap();
    assert_eq!(
        lower_tolerance_bound(&huge, 0.9, 0.95),
        Err(StatisticsError::TooLarge)
    );
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn without_noncentrality_it_is_students(t in -40.0..40.0_f64, ln_df in 0.0..11.5_f64) {
        let df = ln_df.exp();
        let (ours, students) =
            (noncentral_t::cdf(t, df, 0.0).unwrap(), student_t::cdf(t, df).unwrap());
        prop_assert!((ours - students).abs() <= 1e-11 * students + 1e-15, "{} {}", ours, students);
    }

    #[test]
    fn quantile_undoes_cdf(
        p in 1e-6..0.999_999_f64,
        ln_df in 0.0..11.5_f64,
        delta in -50.0..700.0_f64,
    ) {
        let df = ln_df.exp();
        let t = noncentral_t::quantile(p, df, delta).unwrap();
        let back = noncentral_t::cdf(t, df, delta).unwrap();
        prop_assert!((back - p).abs() <= 1e-10 * p.min(1.0 - p), "{} {} {}", t, back, p);
    }

    #[test]
    fn nothing_panics_or_leaks(
        t in prop::num::f64::ANY, df in prop::num::f64::ANY, delta in prop::num::f64::ANY, p in prop::num::f64::ANY,
        tame in 0.0..1.0_f64, n in 0_usize..200, mean in prop::num::f64::ANY, sd in prop::num::f64::ANY,
    ) {
        for value in [
            noncentral_t::cdf(t, df, delta), noncentral_t::cdf(t, 3.0, delta),
            noncentral_t::cdf(t, df.abs().clamp(1.0, 1e12), 1e3 * tame),
            noncentral_t::quantile(p, df, delta), noncentral_t::quantile(tame, 1.0, delta),
        ].into_iter().flatten() {
            prop_assert!(value.is_finite());
        }
        let summary = Summary { n, mean, sd: Some(sd), min: mean, max: mean };
        if let Ok(bound) = lower_tolerance_bound_with_resolution(&summary, tame, 0.95, 0.1) {
            prop_assert!(bound.bound.is_finite() && bound.factor.is_finite());
        }
        if let Ok(part) = coverage_shown(&summary, t, tame, 0.1) {
            prop_assert!((0.0..=1.0).contains(&part));
        }
    }

    #[test]
    fn the_factor_rises_with_coverage_and_confidence_and_falls_with_n(
        n in 2_usize..500, coverage in 0.5..0.99_f64, confidence in 0.5..0.99_f64,
    ) {
        let k = |n, p, c| tolerance_factor(n, p, c).unwrap();
        let here = k(n, coverage, confidence);
        prop_assert!(k(n, coverage + 0.005, confidence) > here);
        prop_assert!(k(n, coverage, confidence + 0.005) > here);
        if confidence > 0.7 {
            prop_assert!(k(n + 1, coverage, confidence) < here);
        }
    }
}
