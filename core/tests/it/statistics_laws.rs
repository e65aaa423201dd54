//! Laws that hold for all readings: shift, scale, order, and functions that undo each other.

use proptest::prelude::*;
use tautbook_core::analysis::statistics::{
    Sides, grubbs, grubbs_critical, mean_interval, mean_interval_with_resolution, student_t,
    summarise,
};

/// Readings as an instrument shows them: steps of 1/64, so that shifts by whole steps are exact.
fn readings(at_least: usize) -> impl Strategy<Value = Vec<f64>> {
    prop::collection::vec(
        (-64_000_i32..64_000).prop_map(|k| f64::from(k) / 64.0),
        at_least..40,
    )
}

fn near(a: f64, b: f64, tolerance: f64) -> bool {
    (a - b).abs() <= tolerance
}

proptest! {
    #[test]
    fn mean_and_spread_follow_shift_and_scale(
        xs in readings(2),
        shift in -1_000_000_i32..1_000_000,
        scale in -50.0..50.0_f64,
    ) {
        let shift = f64::from(shift);
        let plain = summarise(&xs).unwrap();
        let moved = summarise(&xs.iter().map(|x| x + shift).collect::<Vec<_>>()).unwrap();
        prop_assert!(near(moved.mean, plain.mean + shift, 4e-16 * (shift.abs() + 1000.0)));
        let (sd, moved_sd) = (plain.sd.unwrap(), moved.sd.unwrap());
        prop_assert!(near(moved_sd, sd, 1e-14 * sd), "{} {}", moved_sd, sd);

        let scaled = summarise(&xs.iter().map(|x| x * scale).collect::<Vec<_>>()).unwrap();
        prop_assert!(near(scaled.mean, plain.mean * scale, 1e-15 * 1000.0 * scale.abs()));
        prop_assert!(near(scaled.sd.unwrap(), sd * scale.abs(), 1e-13 * 1000.0 * scale.abs()));
    }

    #[test]
    fn order_does_not_matter(
        (xs, ys) in readings(3).prop_flat_map(|xs| (Just(xs.clone()), Just(xs).prop_shuffle())),
    ) {
        let (a, b) = (summarise(&xs).unwrap(), summarise(&ys).unwrap());
        prop_assert_eq!((a.n, a.min, a.max), (b.n, b.min, b.max));
        prop_assert!(near(a.mean, b.mean, 2.0 * f64::EPSILON * a.mean.abs()));
        prop_assert!(near(a.sd.unwrap(), b.sd.unwrap(), 1e-15 * a.sd.unwrap()));
        let (g, h) = (grubbs(&xs, Sides::Two, 0.05), grubbs(&ys, Sides::Two, 0.05));
        prop_assert_eq!(g.is_some(), h.is_some());
        if let (Some(g), Some(h)) = (g, h) {
            prop_assert!(near(g.statistic, h.statistic, 1e-12));
            prop_assert!(near((xs[g.index] - a.mean).abs(), (ys[h.index] - b.mean).abs(), 1e-9));
        }
    }

    #[test]
    fn mean_lies_within_the_readings(xs in prop::collection::vec(-1e300..1e300_f64, 1..30)) {
        if let Ok(summary) = summarise(&xs) {
            prop_assert!(summary.min <= summary.mean && summary.mean <= summary.max);
            prop_assert!(summary.sd.is_none_or(|sd| sd >= 0.0 && sd.is_finite()));
            prop_assert!(summary.sd.is_none_or(|sd| sd <= (summary.max - summary.min) * 1.000_1));
        }
    }

    #[test]
    fn interval_surrounds_the_mean_and_widens(xs in readings(2), resolution in 0.0..100.0_f64) {
        let summary = summarise(&xs).unwrap();
        let mut last = -1.0;
        for confidence in [0.5, 0.8, 0.9, 0.95, 0.99, 0.999] {
            let interval = mean_interval(&summary, confidence).unwrap();
            prop_assert!(interval.low <= summary.mean && summary.mean <= interval.high);
            prop_assert!(interval.half_width() >= last);
            last = interval.half_width();
            let floored = mean_interval_with_resolution(&summary, confidence, resolution).unwrap();
            prop_assert!(floored.half_width() >= interval.half_width());
            if floored.half_width() > interval.half_width() {
                prop_assert!(floored.resolution_limited);
            }
        }
    }

    #[test]
    fn grubbs_follows_shift_and_scale(
        xs in readings(3),
        shift in -1_000_000_i32..1_000_000,
        power in -20_i32..20,
        negative in any::<bool>(),
    ) {
        // A power of two scales without rounding.
        let scale = 2.0_f64.powi(power) * if negative { -1.0 } else { 1.0 };
        let moved: Vec<f64> = xs.iter().map(|x| (x + f64::from(shift)) * scale).collect();
        let (plain, other) = (grubbs(&xs, Sides::Two, 0.05), grubbs(&moved, Sides::Two, 0.05));
        prop_assert_eq!(plain.is_some(), other.is_some());
        if let (Some(plain), Some(other)) = (plain, other) {
            // The mean of moved readings is a double near a million: that far may it differ.
            prop_assert!(near(plain.statistic, other.statistic, 1e-7));
            let n = f64::from(u32::try_from(xs.len()).unwrap());
            let bound = (n - 1.0) / n.sqrt();
            prop_assert!(plain.statistic <= bound * (1.0 + 1e-14));
            prop_assert!(plain.critical < bound);
        }
    }

    #[test]
    fn grubbs_critical_falls_as_significance_rises(n in 3_usize..500, a in 0.001..0.5_f64) {
        for sides in [Sides::One, Sides::Two] {
            let strict = grubbs_critical(n, sides, a).unwrap();
            let loose = grubbs_critical(n, sides, (a * 1.5).min(0.9)).unwrap();
            prop_assert!(loose < strict);
        }
    }

    #[test]
    fn quantile_undoes_cdf(t in 1e-6..30.0_f64, ln_df in -0.7..13.8_f64) {
        // In the lower half: there the probability itself keeps its digits.
        let df = ln_df.exp();
        let p = student_t::cdf(-t, df).unwrap();
        let back = -student_t::quantile(p, df).unwrap();
        // Near the middle half a last digit of p is worth about 1e-16 in t.
        prop_assert!(near(back, t, 1e-12 * t + 1e-15), "{} {} {}", t, df, back);
    }

    #[test]
    fn cdf_undoes_quantile(exponent in -28.0..-0.7_f64, ln_df in -0.7..13.8_f64) {
        let (p, df) = (exponent.exp(), ln_df.exp());
        let back = student_t::cdf(student_t::quantile(p, df).unwrap(), df).unwrap();
        prop_assert!(near(back, p, 1e-12 * p), "{} {} {}", p, df, back);
    }

    #[test]
    fn t_is_symmetric(k in 1_u32..(1 << 30), df in 0.5..2000.0_f64, t in 0.0..100.0_f64) {
        let p = f64::from(k) / f64::from(1_u32 << 30);
        let (low, high) =
            (student_t::quantile(p, df).unwrap(), student_t::quantile(1.0 - p, df).unwrap());
        prop_assert!(near(low, -high, 0.0));
        let sum = student_t::cdf(t, df).unwrap() + student_t::cdf(-t, df).unwrap();
        prop_assert!(near(sum, 1.0, 2.0 * f64::EPSILON));
    }

    #[test]
    fn cdf_rises(t in -50.0..50.0_f64, step in 1e-6..1.0_f64, ln_df in -0.7..13.8_f64) {
        let df = ln_df.exp();
        let (low, high) =
            (student_t::cdf(t, df).unwrap(), student_t::cdf(t + step, df).unwrap());
        prop_assert!(low <= high);
    }
}
