//! The F distribution against 40-digit arithmetic made by `tests/oracles/f_mpmath.py`.

use proptest::prelude::*;
use serde_json::Value;
use tautbook_core::analysis::statistics::{StatisticsError, f, student_t};

fn oracle() -> Value {
    serde_json::from_str(include_str!("../../../tests/oracles/f_mpmath.json")).unwrap()
}

/// Largest relative error over a table of (df above, df below, argument, expected).
fn worst(table: &Value, rows: usize, function: impl Fn(f64, f64, f64) -> f64) -> f64 {
    let table = table.as_array().unwrap();
    assert_eq!(table.len(), rows);
    let mut worst = 0.0_f64;
    for row in table {
        let row: Vec<f64> = row
            .as_array()
            .unwrap()
            .iter()
            .map(|text| text.as_str().unwrap().parse().unwrap())
            .collect();
        let error = ((function(row[2], row[0], row[1]) - row[3]) / row[3]).abs();
        assert!(error.is_finite(), "{row:?}");
        worst = worst.max(error);
    }
    println!("worst relative error {worst:.2e}");
    worst
}

#[test]
fn survival() {
    let error = worst(&oracle()["survival"], 1564, |x, a, b| {
        f::survival(x, a, b).unwrap()
    });
    assert!(error < 1e-10, "{error:e}");
}

#[test]
fn upper_quantile() {
    let error = worst(&oracle()["upper_quantile"], 512, |tail, a, b| {
        f::upper_quantile(tail, a, b).unwrap()
    });
    assert!(error < 1e-10, "{error:e}");
}

/// NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.6.7.3 (upper critical values of F), as
/// remembered; to the three decimals printed there.
#[test]
fn printed_critical_values() {
    for (tail, above, below, printed) in [
        (0.05, 1.0, 10.0, 4.965),
        (0.05, 2.0, 20.0, 3.493),
        (0.05, 5.0, 30.0, 2.534),
        (0.01, 3.0, 12.0, 5.953),
        (0.10, 4.0, 8.0, 2.806),
    ] {
        let found = f::upper_quantile(tail, above, below).unwrap();
        assert!((found - printed).abs() <= 0.000_51, "{found} for {printed}");
    }
}

#[test]
fn refused() {
    assert_eq!(
        f::survival(1.0, 0.0, 3.0),
        Err(StatisticsError::DegreesOfFreedom(0.0))
    );
    assert_eq!(
        f::survival(f64::NAN, 1.0, 3.0),
        Err(StatisticsError::NotANumber)
    );
    assert_eq!(
        f::quantile(1.0, 1.0, 3.0),
        Err(StatisticsError::Probability(1.0))
    );
    assert!(f::survival(1.0, f64::NAN, 3.0).is_err());
    assert!(f::survival(-1.0, 2.0, 3.0).is_err());
    assert!(f::FTest::of(1.0, 1, 0.0, 4).is_none());
    assert!(f::FTest::of(1.0, 0, 1.0, 4).is_none());
    assert!(f::FTest::of(f64::NAN, 1, 1.0, 4).is_none());
}

proptest! {
    /// F with one degree of freedom above is the square of Student's t.
    #[test]
    fn one_degree_above_is_t_squared(t in 0.01..30.0_f64, df in 1.0..500.0_f64) {
        let both = 2.0 * student_t::cdf(-t, df).unwrap();
        let tail = f::survival(t * t, 1.0, df).unwrap();
        prop_assert!((tail - both).abs() <= 1e-10 * both, "{} {}", tail, both);
    }

    /// Turned upside down, F is F with its degrees of freedom exchanged.
    #[test]
    fn upside_down(x in 0.01..50.0_f64, a in 1.0..100.0_f64, b in 1.0..100.0_f64) {
        let one = f::survival(x, a, b).unwrap();
        let other = f::cdf(1.0 / x, b, a).unwrap();
        prop_assert!((one - other).abs() <= 1e-10 * one.max(1e-300), "{} {}", one, other);
    }

    #[test]
    fn quantile_undoes_cdf(p in 0.001..0.999_f64, a in 1.0..60.0_f64, b in 1.0..60.0_f64) {
        let x = f::quantile(p, a, b).unwrap();
        prop_assert!((f::cdf(x, a, b).unwrap() - p).abs() <= 1e-9, "{}", x);
    }

    #[test]
    fn whatever_comes_in_nothing_but_a_probability_comes_out(
        x in any::<f64>(), a in any::<f64>(), b in any::<f64>(),
        df_a in 0.5..1e6_f64, df_b in 0.5..1e6_f64,
    ) {
        for (a, b) in [(a, b), (df_a, df_b), (a, df_b), (df_a, b)] {
            for found in [f::survival(x, a, b), f::cdf(x, a, b)].into_iter().flatten() {
                prop_assert!((0.0..=1.0).contains(&found));
            }
            if let Ok(found) = f::quantile(x, a, b) {
                prop_assert!(found.is_finite());
            }
        }
        for found in [f::quantile(x.abs().fract(), df_a, df_b), f::upper_quantile(0.05, df_a, df_b)]
            .into_iter().flatten()
        {
            prop_assert!(found.is_finite() && found >= 0.0);
        }
    }
}
