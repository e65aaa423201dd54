//! Student's t, Grubbs' critical values, summaries and intervals against independent values made
//! by `tests/oracles/statistics_scipy.py` (which records the versions it ran with).

use serde_json::Value;
use tautbook_core::analysis::statistics::{
    Sides, grubbs_critical, mean_interval, student_t, summarise,
};

fn oracle() -> Value {
    serde_json::from_str(include_str!("../../../tests/oracles/statistics_scipy.json")).unwrap()
}

fn number(value: &Value) -> f64 {
    value.as_str().unwrap().parse().unwrap()
}

fn numbers(value: &Value) -> Vec<f64> {
    value.as_array().unwrap().iter().map(number).collect()
}

/// Largest relative error over a table of (degrees of freedom, argument, expected).
fn worst(table: &Value, rows: usize, function: impl Fn(f64, f64) -> f64) -> f64 {
    let table = table.as_array().unwrap();
    assert_eq!(table.len(), rows);
    let mut worst = (0.0_f64, vec![]);
    for row in table.iter().map(numbers) {
        let [df, argument, expected] = row[..] else {
            panic!("a row of three numbers")
        };
        let error = ((function(argument, df) - expected) / expected).abs();
        assert!(error.is_finite(), "{row:?}");
        if error > worst.0 {
            worst = (error, row);
        }
    }
    println!("worst relative error {:.2e} at {:?}", worst.0, worst.1);
    worst.0
}

#[test]
fn the_oracle_says_what_made_it() {
    let oracle = oracle();
    for tool in ["python", "numpy", "scipy", "mpmath"] {
        assert!(
            oracle["versions"][tool]
                .as_str()
                .is_some_and(|v| !v.is_empty()),
            "{tool}"
        );
    }
}

#[test]
fn t_cdf() {
    let error = worst(&oracle()["student_t"]["cdf"], 1122, |t, df| {
        student_t::cdf(t, df).unwrap()
    });
    assert!(error < 1e-13, "{error:e}");
}

#[test]
fn t_quantile() {
    let error = worst(&oracle()["student_t"]["quantile"], 1160, |p, df| {
        student_t::quantile(p, df).unwrap()
    });
    assert!(error < 1e-13, "{error:e}");
}

#[test]
fn grubbs_critical_values() {
    let oracle = oracle();
    let rows = oracle["grubbs_critical"].as_array().unwrap();
    assert_eq!(rows.len(), 130);
    for row in rows {
        let n = usize::try_from(row[0].as_u64().unwrap()).unwrap();
        let sides = if row[1] == 1 { Sides::One } else { Sides::Two };
        let found = grubbs_critical(n, sides, number(&row[2])).unwrap();
        let expected = number(&row[3]);
        assert!(
            ((found - expected) / expected).abs() < 1e-12,
            "{row}: {found}"
        );
    }
}

#[test]
fn summaries_and_intervals() {
    let oracle = oracle();
    let samples = oracle["samples"].as_array().unwrap();
    assert_eq!(samples.len(), 21);
    for sample in samples {
        let summary = summarise(&numbers(&sample["readings"])).unwrap();
        let [mean, sd] = numbers(&sample["mean_sd"])[..] else {
            panic!("mean and sd")
        };
        assert!(((summary.mean - mean) / mean).abs() <= f64::EPSILON);
        assert!(((summary.sd.unwrap() - sd) / sd).abs() <= 4.0 * f64::EPSILON);
        let [confidence, low, high] = numbers(&sample["confidence_low_high"])[..] else {
            panic!("confidence, low, high")
        };
        let interval = mean_interval(&summary, confidence).unwrap();
        // Relative to the width: a small interval far from zero must not hide an error.
        let allowed = 1e-12 * (high - low) + 2.0 * f64::EPSILON * mean.abs();
        assert!(
            (interval.low - low).abs() <= allowed,
            "{interval:?} {sample}"
        );
        assert!(
            (interval.high - high).abs() <= allowed,
            "{interval:?} {sample}"
        );
    }
}
