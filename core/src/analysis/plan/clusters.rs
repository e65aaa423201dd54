//! Loads differ from each other: what that does to how sure a line is.

use std::collections::{BTreeMap, BTreeSet};

use crate::analysis::statistics::regression::{Fit, Point};
use crate::analysis::whole as count;

/// What is left of one reading after its line: the load it was taken on, the line it belongs to
/// (counted from 0), and at x layers the residual y.
pub(super) struct Residual<K> {
    pub(super) load: K,
    pub(super) line: usize,
    pub(super) point: Point,
}

/// Sums over the readings of one line.
#[derive(Default)]
struct LineSums {
    /// N, readings.
    n: f64,
    /// S = Σx².
    x2: f64,
    /// A = `Σ_c` X², with X the Σx of a cluster.
    clusters_x2: f64,
    /// B = `Σ_c` X² / n.
    clusters_x2_by_n: f64,
}

/// Lines whose scatter takes in that readings on one load are more alike than readings on two.
///
/// The readings of one load on one line are a cluster. Residuals r about the lines are split
/// between clusters and within them:
///
/// ```text
/// MSb = Σ_c n r̄² / (k - g)      MSw = Σ (r - r̄_c)² / (N - k)
/// n0 = Σ_lines (N - 2A/S + AB/S²) / (k - g)      S = Σx²   A = Σ_c X²   B = Σ_c X²/n   X = Σ x of c
/// s_L² = (MSb - MSw) / n0         s² = s_L² + MSw                    ρ = s_L² / s²
/// Var(f) = s² (1 + ρ (A/S - 1)) / S
/// ```
///
/// with k clusters of n readings, N in all, and g lines. n0 is how often `s_L²` counts in `MSb` when
/// each line is fitted through the origin; A/S is taken line by line, so that a load read more
/// often than others weighs in as it should. s² is the variance of a reading on a new load; Var(f)
/// that of a slope when readings within a cluster hang together by ρ.
///
/// Degrees of freedom of s² by Satterthwaite, with `MSb` counted as resting on no more than loads
/// less one: a load that differs does so in all its zones, so zones read on the same loads do not
/// say more of how much loads differ. Where loads are not shown to differ (`s_L²` <= 0), or it
/// cannot be told (one load, one reading a cluster, no more clusters than lines), the lines stay
/// as they are.
///
/// Assumes that loads differ by chance, and alike in every zone. Source: variance components of a
/// one-way random layout and the design effect of a cluster sample (L. Kish, Survey Sampling,
/// 1965; F. E. Satterthwaite, Biometrics Bulletin 2, 1946; both from memory); n0 by plain algebra.
pub(super) fn with_loads<K: Ord>(lines: &[Fit], residuals: &[Residual<K>]) -> Vec<Fit> {
    let mut clusters: BTreeMap<(usize, &K), Vec<Point>> = BTreeMap::new();
    for residual in residuals {
        let cluster = clusters.entry((residual.line, &residual.load));
        cluster.or_default().push(residual.point);
    }
    let loads = clusters.keys().map(|(_, load)| load);
    let loads = loads.collect::<BTreeSet<_>>().len();
    let (k, n) = (clusters.len(), residuals.len());
    if loads < 2 || k <= lines.len() || n <= k {
        return lines.to_vec();
    }
    let (mut between_ss, mut within_ss) = (0.0, 0.0);
    let mut sums: BTreeMap<usize, LineSums> = BTreeMap::new();
    for ((line, _), points) in &clusters {
        let size = count(points.len());
        let mean = points.iter().map(|point| point.y).sum::<f64>() / size;
        let x = points.iter().map(|point| point.x).sum::<f64>();
        between_ss += size * mean * mean;
        within_ss += points
            .iter()
            .map(|point| (point.y - mean).powi(2))
            .sum::<f64>();
        let of_line = sums.entry(*line).or_default();
        of_line.n += size;
        of_line.x2 += points.iter().map(|point| point.x * point.x).sum::<f64>();
        of_line.clusters_x2 += x * x;
        of_line.clusters_x2_by_n += x * x / size;
    }
    let df_between = count(k - lines.len());
    let between = between_ss / df_between;
    let within = within_ss / count(n - k);
    let counted: f64 = sums
        .values()
        .map(|of| {
            of.n - 2.0 * of.clusters_x2 / of.x2
                + of.clusters_x2 / of.x2 * (of.clusters_x2_by_n / of.x2)
        })
        .sum();
    let n0 = counted / df_between;
    let of_loads = (between - within) / n0;
    let all = of_loads + within;
    if !(n0 > 0.0 && of_loads > 0.0 && all.is_finite()) {
        return lines.to_vec();
    }
    let parts = (between / n0).powi(2) / df_between.min(count(loads - 1))
        + (within * (1.0 - 1.0 / n0)).powi(2) / count(n - k);
    // Rounded down: fewer degrees of freedom claim less.
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    let df = (all * all / parts).floor() as usize;
    lines
        .iter()
        .enumerate()
        .map(|(line, fit)| {
            let effect = sums.get(&line).map_or(1.0, |of| {
                1.0 + of_loads / all * (of.clusters_x2 / of.x2 - 1.0)
            });
            let sd = all.sqrt().max(fit.residual_sd.unwrap_or(0.0));
            let sum_x2 = fit.sum_x2 / effect.max(1.0);
            Fit {
                residual_sd: Some(sd),
                slope_se: Some(sd / sum_x2.sqrt()),
                df: df.clamp(1, fit.df.max(1)),
                sum_x2,
                resolution_limited: false,
                ..*fit
            }
        })
        .collect()
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)] // In a test a failed unwrap is a failed test.

    use super::*;
    use crate::analysis::statistics::regression::fit_groups;

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

    /// Three zones read on four loads, `per` readings each, at 4 layers; a scatter of 1 N within a
    /// load and `of_loads` N between loads, alike in all its zones.
    struct Site {
        forces: [f64; 3],
        per: [usize; 4],
        of_loads: f64,
        /// One line for all zones.
        pooled: bool,
    }

    impl Site {
        /// Readings, each with its load and zone.
        fn read(&self, chance: &mut Chance) -> Vec<(usize, usize, Point)> {
            let mut read = Vec::new();
            for (load, &per) in self.per.iter().enumerate() {
                let off = self.of_loads * chance.normal();
                for (zone, force) in self.forces.iter().enumerate() {
                    for _ in 0..per {
                        let y = 4.0 * force + off + chance.normal();
                        read.push((load, zone, Point { x: 4.0, y }));
                    }
                }
            }
            read
        }

        /// How often, of two thousand, the 90 % bound of one new reading in the first zone of a
        /// new load holds by the plain fit and by the one with loads, and those of nine at once
        /// by the latter.
        fn held(&self) -> [u32; 3] {
            let mut chance = Chance(1_009);
            let mut held = [0; 3];
            for _ in 0..2000 {
                let read = self.read(&mut chance);
                let groups: Vec<Vec<Point>> = (0..3)
                    .map(|zone| {
                        let here = read.iter().filter(|(_, of, _)| *of == zone);
                        here.map(|(.., point)| *point).collect()
                    })
                    .collect();
                let fit = fit_groups(&groups, 0.05, 0.0).unwrap();
                let lines = if self.pooled {
                    vec![fit.pooled]
                } else {
                    fit.own_common_spread
                };
                let residuals: Vec<_> = read
                    .iter()
                    .map(|&(load, zone, Point { x, y })| {
                        let line = if self.pooled { 0 } else { zone };
                        let y = y - lines[line].slope * x;
                        let point = Point { x, y };
                        Residual { load, line, point }
                    })
                    .collect();
                let with = with_loads(&lines, &residuals);
                let off = self.of_loads * chance.normal();
                let new: Vec<(usize, f64)> = (0..9)
                    .map(|i| (i % 3, 4.0 * self.forces[i % 3] + off + chance.normal()))
                    .collect();
                let keeps = |fits: &[Fit], new: &[(usize, f64)], together: usize| {
                    u32::from(new.iter().all(|(zone, n)| {
                        let fit = fits[if self.pooled { 0 } else { *zone }];
                        let bound = fit.predictor(0.9, together).unwrap();
                        *n >= bound.reading_low(4.0).unwrap()
                    }))
                };
                held[0] += keeps(&lines, &new[..1], 1);
                held[1] += keeps(&with, &new[..1], 1);
                held[2] += keeps(&with, &new, 9);
            }
            held
        }
    }

    /// Three standard deviations of a count of 2000 at 90 % are 40.
    const LEAST: u32 = 1760;

    #[test]
    fn a_bound_holds_as_often_as_it_says() {
        let alike = Site {
            forces: [5.0; 3],
            per: [3; 4],
            of_loads: 0.0,
            pooled: true,
        };
        let [plain, with, nine] = alike.held();
        assert!((LEAST..=1840).contains(&plain), "{plain}");
        assert!(
            (LEAST..=1860).contains(&with) && nine >= LEAST,
            "{with} {nine}"
        );
        let differ = Site {
            of_loads: 2.0,
            ..alike
        };
        let [plain, with, nine] = differ.held();
        assert!(
            plain < LEAST,
            "loads that differ make the plain bound too bold: {plain}"
        );
        assert!((LEAST..=1860).contains(&with), "{with}");
        assert!(nine >= LEAST, "{nine}");
    }

    #[test]
    fn zones_and_loads_read_unlike_often_do_not_make_a_bound_bold() {
        for per in [[3, 3, 3, 3], [9, 1, 1, 1], [3, 3, 3, 0], [6, 6, 0, 0]] {
            let site = Site {
                forces: [6.0, 5.0, 4.0],
                per,
                of_loads: 2.0,
                pooled: false,
            };
            let [_, with, nine] = site.held();
            assert!(with >= LEAST, "{per:?} {with}");
            assert!(nine >= LEAST, "{per:?} {nine}");
        }
    }

    #[test]
    fn what_cannot_be_told_stays_as_it_is() {
        let one_load: Vec<Point> = [19.0, 21.0, 22.0].map(|y| Point { x: 4.0, y }).to_vec();
        let fit = fit_groups(std::slice::from_ref(&one_load), 0.05, 0.0)
            .unwrap()
            .pooled;
        let residuals = |loads: [usize; 3]| -> Vec<Residual<usize>> {
            let of = one_load.iter().zip(loads);
            of.map(|(point, load)| Residual {
                load,
                line: 0,
                point: Point {
                    x: point.x,
                    y: point.y - fit.slope * point.x,
                },
            })
            .collect()
        };
        for loads in [[0, 0, 0], [0, 1, 2]] {
            assert_eq!(with_loads(&[fit], &residuals(loads)), [fit], "{loads:?}");
        }
        assert_ne!(with_loads(&[fit], &residuals([0, 1, 1])), [fit]);
    }
}
