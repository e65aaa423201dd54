//! Loads differ from each other: what that does to how sure a line is.

use std::collections::BTreeMap;

use crate::analysis::statistics::regression::{Fit, Point};

/// A fit whose scatter takes in that readings on one load are more alike than readings on two.
///
/// Residuals r about the line are split between clusters (loads) and within them:
///
/// ```text
/// MSb = Σ n_c r̄_c² / (k - g)      MSw = Σ (r - r̄_c)² / (N - k)      n0 = (N - Σ n_c² / N) / (k - 1)
/// s_L² = (MSb - MSw) / n0         s² = s_L² + MSw                    ρ = s_L² / s²
/// Var(f) = s² (1 + ρ (Σ_c (Σ_c x)² / Σx² - 1)) / Σx²
/// ```
///
/// with k clusters of `n_c` readings, N in all, and g slopes fitted. s² is the variance of a reading
/// on a new load; Var(f) is that of the slope when readings within a cluster hang together by ρ.
/// Degrees of freedom of s² by Satterthwaite. Where loads are not shown to differ (`s_L²` <= 0), or
/// it cannot be told (one reading a load, no more loads than slopes), the fit stays as it is.
///
/// Assumes that loads differ by chance, and alike in every zone. Source: variance components of a
/// one-way random layout and the design effect of a cluster sample (L. Kish, Survey Sampling,
/// 1965; F. E. Satterthwaite, Biometrics Bulletin 2, 1946; both from memory).
pub(super) fn with_loads<K: Ord>(fit: &Fit, slopes: usize, residuals: &[(K, Point)]) -> Fit {
    let mut clusters: BTreeMap<&K, Vec<&Point>> = BTreeMap::new();
    for (cluster, point) in residuals {
        clusters.entry(cluster).or_default().push(point);
    }
    let (k, n) = (clusters.len(), residuals.len());
    if k <= slopes || n <= k {
        return *fit;
    }
    let mut between_ss = 0.0;
    let mut within_ss = 0.0;
    let mut sizes_squared = 0.0;
    let mut sums_squared = 0.0;
    let mut sum_x2 = 0.0;
    for points in clusters.values() {
        let size = count(points.len());
        let mean = points.iter().map(|point| point.y).sum::<f64>() / size;
        between_ss += size * mean * mean;
        within_ss += points
            .iter()
            .map(|point| (point.y - mean).powi(2))
            .sum::<f64>();
        sizes_squared += size * size;
        sums_squared += points.iter().map(|point| point.x).sum::<f64>().powi(2);
        sum_x2 += points.iter().map(|point| point.x * point.x).sum::<f64>();
    }
    let (df_between, df_within) = (count(k - slopes), count(n - k));
    let between = between_ss / df_between;
    let within = within_ss / df_within;
    let n0 = (count(n) - sizes_squared / count(n)) / count(k - 1);
    let of_loads = (between - within) / n0;
    let all = of_loads + within;
    if !(of_loads > 0.0 && all.is_finite()) {
        return *fit;
    }
    let effect = 1.0 + of_loads / all * (sums_squared / sum_x2 - 1.0);
    let parts =
        (between / n0).powi(2) / df_between + (within * (1.0 - 1.0 / n0)).powi(2) / df_within;
    // Rounded down: fewer degrees of freedom claim less.
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    let df = ((all * all / parts).floor() as usize).clamp(1, fit.df.max(1));
    let sd = all.sqrt().max(fit.residual_sd.unwrap_or(0.0));
    let sum_x2 = fit.sum_x2 / effect.max(1.0);
    Fit {
        residual_sd: Some(sd),
        slope_se: Some(sd / sum_x2.sqrt()),
        df,
        sum_x2,
        resolution_limited: false,
        ..*fit
    }
}

#[allow(clippy::cast_precision_loss)] // Numbers of readings.
fn count(n: usize) -> f64 {
    n as f64
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)] // In a test a failed unwrap is a failed test.

    use super::*;
    use crate::analysis::statistics::regression::fit_through_origin;

    /// Normal deviates from a fixed seed: a linear congruence (D. H. Lehmer's generator as
    /// MINSTD, Park and Miller 1988) and the polar transform.
    struct Chance(u64);

    impl Chance {
        fn uniform(&mut self) -> f64 {
            self.0 = self.0 * 48_271 % 2_147_483_647;
            f64::from(u32::try_from(self.0).unwrap()) / 2_147_483_647.0
        }

        fn normal(&mut self) -> f64 {
            let radius = (-2.0 * self.uniform().ln()).sqrt();
            radius * (std::f64::consts::TAU * self.uniform()).cos()
        }
    }

    /// How often, of a thousand, the bounds hold: for one reading on a new load by the plain fit
    /// and by the one with loads, and for nine at once by the latter. Four loads of nine readings
    /// at 4 to 6 layers, 5 N a layer, with a scatter of 1 N within a load and `of_loads` N between.
    fn held(of_loads: f64) -> [u32; 3] {
        let mut chance = Chance(1_009);
        let mut held = [0; 3];
        for _ in 0..1000 {
            let mut read = Vec::new();
            for load in 0..4 {
                let off = of_loads * chance.normal();
                for x in [4.0, 4.0, 4.0, 5.0, 5.0, 5.0, 6.0, 6.0, 6.0] {
                    let y = 5.0 * x + off + chance.normal();
                    read.push((load, Point { x, y }));
                }
            }
            let points: Vec<Point> = read.iter().map(|(_, point)| *point).collect();
            let fit = fit_through_origin(&points, 0.0).unwrap();
            for (_, point) in &mut read {
                point.y -= fit.slope * point.x;
            }
            let with = with_loads(&fit, 1, &read);
            let off = of_loads * chance.normal();
            let new: Vec<f64> = (0..9).map(|_| 20.0 + off + chance.normal()).collect();
            let keeps = |fit: &Fit, new: &[f64], together: usize| {
                let low = fit
                    .predictor(0.9, together)
                    .unwrap()
                    .reading_low(4.0)
                    .unwrap();
                u32::from(new.iter().all(|n| *n >= low))
            };
            held[0] += keeps(&fit, &new[..1], 1);
            held[1] += keeps(&with, &new[..1], 1);
            held[2] += keeps(&with, &new, 9);
        }
        held
    }

    #[test]
    fn a_bound_holds_as_often_as_it_says() {
        // Three standard deviations of a count of 1000 at 90 % are 28.
        let [plain, with, nine] = held(0.0);
        assert!((872..=928).contains(&plain), "{plain}");
        assert!((872..=940).contains(&with) && nine >= 872, "{with} {nine}");
        let [plain, with, nine] = held(1.5);
        assert!(
            plain < 880,
            "loads that differ make the plain bound too bold: {plain}"
        );
        assert!(with >= 872 && with > plain, "{with} {plain}");
        assert!(nine >= 872, "{nine}");
    }
}
