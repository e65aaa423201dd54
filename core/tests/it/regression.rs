//! Least squares through the origin: certified and independent values, laws, bad input.

use proptest::prelude::*;
use serde_json::Value;
use tautbook_core::analysis::statistics::regression::{
    Fit, Point, RegressionError, fit_groups, fit_through_origin,
};

fn points(x: &[f64], y: &[f64]) -> Vec<Point> {
    assert_eq!(x.len(), y.len());
    x.iter().zip(y).map(|(&x, &y)| Point { x, y }).collect()
}

fn near(found: f64, expected: f64, relative: f64) {
    assert!(
        (found - expected).abs() <= relative * expected.abs(),
        "{found} is not {expected}"
    );
}

/// `NIST` `StRD`, linear regression, `NoInt1` and `NoInt2` (no intercept): data and certified values
/// from memory, and confirmed by working the data out with 40 digits (mpmath).
#[test]
fn nist_no_intercept() {
    let x: Vec<f64> = (60..=70).map(f64::from).collect();
    let y: Vec<f64> = (130..=140).map(f64::from).collect();
    let fit = fit_through_origin(&points(&x, &y), 0.0).unwrap();
    near(fit.slope, 2.074_380_165_289_26, 2e-15);
    near(fit.slope_se.unwrap(), 0.016_528_925_619_834_7, 4e-15);
    near(fit.residual_sd.unwrap(), 3.567_530_340_063_38, 2e-15);
    near(fit.residual_ss, 127.272_727_272_727, 4e-15);
    assert_eq!((fit.n, fit.df), (11, 10));

    let fit = fit_through_origin(&points(&[4.0, 5.0, 6.0], &[3.0, 4.0, 4.0]), 0.0).unwrap();
    near(fit.slope, 0.727_272_727_272_727, 2e-15);
    near(fit.slope_se.unwrap(), 0.042_082_731_807_843_2, 4e-15);
    near(fit.residual_sd.unwrap(), 0.369_274_472_937_998, 4e-15);
    near(fit.residual_ss, 0.272_727_272_727_273, 4e-15);
}

fn oracle() -> Value {
    serde_json::from_str(include_str!(
        "../../../tests/oracles/regression_statsmodels.json"
    ))
    .unwrap()
}

fn numbers(value: &Value) -> Vec<f64> {
    value
        .as_array()
        .unwrap()
        .iter()
        .map(|text| text.as_str().unwrap().parse().unwrap())
        .collect()
}

/// statsmodels: OLS without a constant, `get_prediction` and `compare_f_test`.
#[test]
fn statsmodels_fits_the_same_line() {
    let oracle = oracle();
    let rows = oracle["fits"].as_array().unwrap();
    assert_eq!(rows.len(), 5);
    let mut tested = 0;
    for row in rows {
        let points = points(&numbers(&row["x"]), &numbers(&row["y"]));
        let fit = fit_through_origin(&points, 0.0).unwrap();
        let expected = numbers(&row["slope_se_sd_ss"]);
        near(fit.slope, expected[0], 1e-13);
        near(fit.slope_se.unwrap(), expected[1], 1e-12);
        near(fit.residual_sd.unwrap(), expected[2], 1e-12);
        near(fit.residual_ss, expected[3], 1e-12);
        for row in row["predictions"].as_array().unwrap() {
            let expected = numbers(row);
            let (x0, confidence) = (expected[0], expected[1]);
            let predictor = fit.predictor(confidence, 1).unwrap();
            let scale = expected[2].abs().max(expected[4].abs());
            for (found, expected) in [
                (predictor.reading_low(x0), expected[2]),
                (predictor.mean_low(x0), expected[3]),
                (predictor.reading_high(x0), expected[4]),
                (predictor.mean_high(x0), expected[5]),
                (fit.reading_low(x0, confidence), expected[2]),
                (fit.mean_low(x0, confidence), expected[3]),
            ] {
                let found = found.unwrap();
                assert!(
                    (found - expected).abs() <= 1e-11 * scale,
                    "{found} {expected}"
                );
            }
        }
        if let Some(expected) = row.get("lack_of_fit").map(numbers) {
            let test = fit.lack_of_fit.unwrap().test.unwrap();
            near(test.statistic, expected[0], 1e-9);
            near(test.p, expected[1], 1e-9);
            near(
                f64::from(u32::try_from(test.df_above).unwrap()),
                expected[2],
                0.0,
            );
            let expected = numbers(&row["intercept"]);
            let found = fit.intercept.unwrap();
            near(found.intercept, expected[0], 1e-10);
            near(found.test.unwrap().statistic, expected[1], 1e-9);
            near(found.test.unwrap().p, expected[2], 1e-9);
            tested += 1;
        }
    }
    assert_eq!(tested, 3);
}

#[test]
fn statsmodels_compares_the_groups_the_same() {
    let oracle = oracle();
    let rows = oracle["groups"].as_array().unwrap();
    assert_eq!(rows.len(), 4);
    for row in rows {
        let (x, y) = (row["x"].as_array().unwrap(), row["y"].as_array().unwrap());
        let groups: Vec<Vec<Point>> = x
            .iter()
            .zip(y)
            .map(|(x, y)| points(&numbers(x), &numbers(y)))
            .collect();
        let fitted = fit_groups(&groups, 0.05, 0.0).unwrap();
        let slopes = numbers(&row["slopes"]);
        let errors = numbers(&row["se_common_spread"]);
        for (index, (slope, error)) in slopes.iter().zip(errors).enumerate() {
            near(fitted.own[index].slope, *slope, 1e-12);
            near(
                fitted.own_common_spread[index].slope_se.unwrap(),
                error,
                1e-12,
            );
        }
        let pooled = numbers(&row["pooled_slope_se"]);
        near(fitted.pooled.slope, pooled[0], 1e-12);
        near(fitted.pooled.slope_se.unwrap(), pooled[1], 1e-12);
        let expected = numbers(&row["f_p"]);
        let test = fitted.common_slope.unwrap();
        near(test.statistic, expected[0], 1e-10);
        near(test.p, expected[1], 1e-9);
        assert_eq!(fitted.agree, Some(expected[1] >= 0.05));
        let slope = fitted.chosen(0).unwrap().slope;
        let own_or_pooled = if expected[1] >= 0.05 {
            pooled[0]
        } else {
            slopes[0]
        };
        near(slope, own_or_pooled, 1e-12);
        assert!(fitted.chosen(groups.len()).is_none());
    }
}

#[test]
fn one_point_has_a_slope_and_no_bounds() {
    let fit = fit_through_origin(&points(&[4.0], &[36.0]), 0.28).unwrap();
    near(fit.slope, 9.0, 0.0);
    assert_eq!((fit.slope_se, fit.residual_sd, fit.df), (None, None, 0));
    assert!(fit.predictor(0.95, 1).is_none());
    assert_eq!((fit.lack_of_fit, fit.intercept), (None, None));
}

#[test]
fn points_on_the_line_get_the_resolution_as_their_scatter() {
    let exact = points(&[2.0, 4.0, 6.0], &[18.0, 36.0, 54.0]);
    let fit = fit_through_origin(&exact, 0.0).unwrap();
    assert_eq!(fit.residual_sd, Some(0.0));
    assert!(fit.resolution_limited);
    let fit = fit_through_origin(&exact, 0.3).unwrap();
    near(fit.residual_sd.unwrap(), 0.3 / 12.0_f64.sqrt(), 1e-15);
    assert!(fit.resolution_limited);
    assert!(fit.reading_low(4.0, 0.95).unwrap() < 36.0);

    let groups = [exact.clone(), points(&[1.0, 3.0], &[9.0, 27.0])];
    let alike = fit_groups(&groups, 0.05, 0.3).unwrap();
    assert_eq!(alike.agree, Some(true));
    assert_eq!(fit_groups(&groups, 0.05, 0.0).unwrap().agree, None);
    let unlike = [exact, points(&[1.0, 3.0], &[12.0, 36.0])];
    assert_eq!(fit_groups(&unlike, 0.05, 0.3).unwrap().agree, Some(false));
}

#[test]
fn more_readings_together_ask_for_a_lower_bound() {
    let fit = fit_through_origin(
        &points(&[2.0, 3.0, 4.0, 5.0], &[19.0, 26.0, 37.0, 44.0]),
        0.0,
    )
    .unwrap();
    // Three readings together at 94 % are each at 98 %.
    let joint = fit.predictor(0.94, 3).unwrap().reading_low(4.0).unwrap();
    let single = fit.predictor(0.98, 1).unwrap().reading_low(4.0).unwrap();
    near(joint, single, 1e-13);
    assert!(joint < fit.reading_low(4.0, 0.94).unwrap());
    for (confidence, readings) in [(0.0, 1), (1.0, 1), (f64::NAN, 1), (0.95, 0)] {
        assert!(fit.predictor(confidence, readings).is_none());
    }
}

#[test]
fn refused() {
    let point = |x, y| Point { x, y };
    let fit = |points: &[Point]| fit_through_origin(points, 0.0);
    assert_eq!(fit(&[]), Err(RegressionError::Empty));
    assert_eq!(
        fit(&[point(0.0, 3.0), point(0.0, 4.0)]),
        Err(RegressionError::AllZero)
    );
    assert_eq!(
        fit(&[point(1.0, 3.0), point(f64::NAN, 4.0)]),
        Err(RegressionError::NotFinite { index: 1 })
    );
    assert_eq!(
        fit(&[point(1.0, f64::INFINITY)]),
        Err(RegressionError::NotFinite { index: 0 })
    );
    assert_eq!(fit(&[point(1e200, 3.0)]), Err(RegressionError::OutOfRange));
    assert_eq!(
        fit_through_origin(&[point(1.0, 3.0)], -1.0),
        Err(RegressionError::Resolution(-1.0))
    );
    assert_eq!(
        fit_groups(&[vec![point(1.0, 3.0)], vec![]], 0.05, 0.0),
        Err(RegressionError::EmptyGroup { index: 1 })
    );
    assert_eq!(fit_groups(&[], 0.05, 0.0), Err(RegressionError::Empty));
    assert_eq!(
        fit_groups(&[vec![point(1.0, 3.0)]], 0.0, 0.0),
        Err(RegressionError::Significance(0.0))
    );
}

fn all_finite(fit: &Fit) -> bool {
    let mut numbers = vec![fit.slope, fit.residual_ss, fit.sum_x2, fit.x_min, fit.x_max];
    numbers.extend(fit.slope_se);
    numbers.extend(fit.residual_sd);
    if let Some(lack) = fit.lack_of_fit {
        numbers.extend([lack.lack_ss, lack.pure_ss]);
        numbers.extend(lack.test.iter().flat_map(|test| [test.statistic, test.p]));
    }
    if let Some(line) = fit.intercept {
        numbers.push(line.intercept);
        numbers.extend(line.test.iter().flat_map(|test| [test.statistic, test.p]));
    }
    numbers.into_iter().all(f64::is_finite)
}

fn any_point() -> impl Strategy<Value = Point> {
    let number = || {
        prop_oneof![
            any::<f64>(),
            -1e3..1e3_f64,
            prop::sample::select(vec![0.0, 1.0, -0.0, 1e-300, 1e150, f64::NAN, f64::INFINITY]),
        ]
    };
    (number(), number()).prop_map(|(x, y)| Point { x, y })
}

proptest! {
    #[test]
    fn whatever_comes_in_nothing_but_numbers_come_out(
        groups in prop::collection::vec(prop::collection::vec(any_point(), 0..6), 0..4),
        resolution in prop_oneof![Just(0.0), any::<f64>(), 0.0..2.0_f64],
        x0 in any::<f64>(),
        confidence in prop_oneof![any::<f64>(), 0.0..1.0_f64],
        readings in 0..5_usize,
    ) {
        if let Ok(fitted) = fit_groups(&groups, 0.05, resolution) {
            let fits = fitted.own.iter().chain(&fitted.own_common_spread).chain([&fitted.pooled]);
            for fit in fits {
                prop_assert!(all_finite(fit), "{:?}", fit);
                prop_assert!(fit.at(x0).is_none_or(f64::is_finite));
                if let Some(predictor) = fit.predictor(confidence, readings) {
                    for bound in [predictor.reading_low(x0), predictor.reading_high(x0),
                                  predictor.mean_low(x0), predictor.mean_high(x0)] {
                        prop_assert!(bound.is_none_or(f64::is_finite));
                    }
                }
            }
            prop_assert!(fitted.common_slope.is_none_or(|t| t.statistic.is_finite() && t.p.is_finite()));
        }
    }

    /// Residuals are at right angles to x, and no other slope leaves less.
    #[test]
    fn the_least_squares_are_least(
        xy in prop::collection::vec((0.1..10.0_f64, -50.0..50.0_f64), 1..20),
        shift in -1.0..1.0_f64,
    ) {
        let points: Vec<Point> = xy.iter().map(|&(x, y)| Point { x, y }).collect();
        let fit = fit_through_origin(&points, 0.0).unwrap();
        let cross: f64 = points.iter().map(|p| p.x * (p.y - fit.slope * p.x)).sum();
        prop_assert!(cross.abs() <= 1e-10 * fit.sum_x2 * 50.0, "{}", cross);
        let other = fit.slope + shift;
        let ss: f64 = points.iter().map(|p| (p.y - other * p.x).powi(2)).sum();
        prop_assert!(ss >= fit.residual_ss * (1.0 - 1e-12));
        // The extra sum of squares is what the shift leaves more.
        let extra = shift * shift * fit.sum_x2;
        prop_assert!((ss - fit.residual_ss - extra).abs() <= 1e-9 * ss.max(1.0));
    }

    /// Measuring in other units changes the slope by their factor and no verdict.
    #[test]
    fn units_do_not_matter(
        xy in prop::collection::vec((1.0..8.0_f64, 5.0..80.0_f64), 4..12),
        factor in 0.01..100.0_f64,
    ) {
        let group = |k: f64, half: bool| -> Vec<Point> {
            let (a, b) = xy.split_at(xy.len() / 2);
            if half { a } else { b }.iter().map(|&(x, y)| Point { x, y: k * y }).collect()
        };
        let plain = fit_groups(&[group(1.0, true), group(1.0, false)], 0.05, 0.0).unwrap();
        let scaled = fit_groups(&[group(factor, true), group(factor, false)], 0.05, 0.0).unwrap();
        let (a, b) = (plain.pooled.slope * factor, scaled.pooled.slope);
        prop_assert!((a - b).abs() <= 1e-12 * a.abs());
        if let (Some(a), Some(b)) = (plain.common_slope, scaled.common_slope) {
            prop_assert!((a.p - b.p).abs() <= 1e-7, "{} {}", a.p, b.p);
        }
    }
}
