//! The noncentral t distribution: that of (Z + δ)/√(V/ν), with Z standard normal, V chi-square
//! with ν degrees of freedom, and δ the noncentrality.
//!
//! Tolerance bounds rest on it. With s = √(V/ν), whose density is g(s),
//!
//! ```text
//! P(T' ≤ t) = ∫₀^∞ Φ(t s − δ) g(s) ds      P(T' > t) = ∫₀^∞ Φ(δ − t s) g(s) ds
//! g(s) = 2 (ν/2)^(ν/2) / Γ(ν/2) · s^(ν−1) e^(−ν s²/2)
//! ```
//!
//! Φ and, for ν ≥ 1, g are log-concave, and so is their product: it has one hump. The hump's top
//! is found, then how far it reaches, and that stretch is integrated by Gauss-Legendre rules, cut
//! at the top and at the step of Φ and halved where a rule and its two halves do not agree. Every
//! term is positive, so that nothing cancels, whichever of the two tails is small.
//!
//! Own code, since no crate at hand does it: `statrs` has no noncentral t, and the usual series
//! of incomplete beta functions (AS 243) loses its digits for the δ = z√n of many readings, which
//! run to several hundred.
//!
//! Source: NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.6.6.4 and 7.2.6.3, for the
//! distribution and its use; C. Loader, "Fast and accurate computation of binomial probabilities"
//! (2000), for the saddle-point form of g.

use super::{StatisticsError, normal};
use std::f64::consts::{LN_2, PI};

/// ln of how far below its top the integrand is cut off: e^−46 is 1e-20.
const REACH: f64 = 46.0;
/// Enough to get from the smallest scale that occurs to the largest.
const MOST_DOUBLINGS: u32 = 400;
/// Smallest tail of which the quantile is sought.
const LEAST_P: f64 = 1e-12;
/// How many pieces an integral is cut into at most: no more than 50 are seen.
const MOST_HALVINGS: u32 = 500;
/// Largest |δ|.
const MOST_NONCENTRAL: f64 = 1e6;
/// Beyond this t there is nothing left even with one degree of freedom.
const MOST_T: f64 = 1e100;
/// Largest number of degrees of freedom.
const MOST_DF: f64 = 1e12;

/// Cumulative probability P(T' ≤ t) of the noncentral t with `df` degrees of freedom and
/// noncentrality `delta`.
///
/// Against 40-digit integration the relative error of the smaller tail is below 1e-12 for `df`
/// from 1 to 1e5 and `delta` from −5 to 700.
///
/// # Errors
///
/// [`StatisticsError::DegreesOfFreedom`] unless 1 ≤ `df` ≤ 1e12;
/// [`StatisticsError::Noncentrality`] unless |`delta`| ≤ 1e6;
/// [`StatisticsError::NotANumber`] if `t` is not finite.
pub fn cdf(t: f64, df: f64, delta: f64) -> Result<f64, StatisticsError> {
    let chi = Chi::new(df, delta)?;
    if !t.is_finite() {
        return Err(StatisticsError::NotANumber);
    }
    let t = t.clamp(-MOST_T, MOST_T);
    // Only a small tail is taken as it is, and the smaller one is mostly on t's side of δ.
    let tail = |tail| chi.ln_tail(tail, t, delta).exp().clamp(0.0, 1.0);
    let upper = if t < delta { 1.0 } else { tail(Tail::Upper) };
    Ok(if upper <= 0.5 {
        1.0 - upper
    } else {
        tail(Tail::Lower)
    })
}

/// Quantile of the noncentral t: the t with P(T' ≤ t) = `p`.
///
/// Found by Newton's method on the logarithm of the smaller tail, kept within a bracket that is
/// halved where a step would leave it.
///
/// # Errors
///
/// Those of [`cdf`], [`StatisticsError::Probability`] unless 0 < `p` < 1, and
/// [`StatisticsError::Extreme`] within 1e-12 of 0 or 1.
pub fn quantile(p: f64, df: f64, delta: f64) -> Result<f64, StatisticsError> {
    let chi = Chi::new(df, delta)?;
    if !(p > 0.0 && p < 1.0) {
        return Err(StatisticsError::Probability(p));
    }
    if !(LEAST_P..=1.0 - LEAST_P).contains(&p) {
        return Err(StatisticsError::Extreme(p));
    }
    Ok(chi.solve(p, delta))
}

/// The law of s = √(V/ν).
struct Chi {
    df: f64,
    /// ln of the density's constant, with ν/2 taken off.
    ln_front: f64,
}

impl Chi {
    fn new(df: f64, delta: f64) -> Result<Self, StatisticsError> {
        if !(1.0..=MOST_DF).contains(&df) {
            return Err(StatisticsError::DegreesOfFreedom(df));
        }
        if !(-MOST_NONCENTRAL..=MOST_NONCENTRAL).contains(&delta) {
            return Err(StatisticsError::Noncentrality(delta));
        }
        let a = 0.5 * df;
        Ok(Self {
            df,
            ln_front: LN_2 + 0.5 * (a / (2.0 * PI)).ln() - stirling(a),
        })
    }

    /// ln g(s), without the cancellation that large ν would bring:
    /// ν/2·(s² − 1 − ln s²) is small where g is not.
    fn ln_density(&self, s: f64) -> f64 {
        let x = (s - 1.0) * (s + 1.0);
        let deviance = if x > -0.5 {
            x - x.ln_1p()
        } else {
            x - 2.0 * s.ln()
        };
        self.ln_front - 0.5 * self.df * deviance - s.ln()
    }

    /// ln P(T' ≤ t), or ln P(T' > t).
    fn ln_tail(&self, tail: Tail, t: f64, delta: f64) -> f64 {
        let (rate, offset) = match tail {
            Tail::Lower => (t, -delta),
            Tail::Upper => (-t, delta),
        };
        self.ln_integral(&Weight {
            rate,
            offset,
            ln: |s| normal::ln_cdf(rate * s + offset),
            ln_slope: |s| rate * normal::ln_cdf_slope(rate * s + offset),
        })
    }

    /// ln of the density of T', ∫ s φ(t s − δ) g(s) ds.
    fn ln_density_of_t(&self, t: f64, delta: f64) -> f64 {
        let away = |s: f64| t * s - delta;
        let ln_root = normal::DENSITY_AT_0.ln();
        self.ln_integral(&Weight {
            rate: t,
            offset: -delta,
            ln: |s: f64| s.ln() + ln_root - 0.5 * away(s) * away(s),
            ln_slope: |s: f64| 1.0 / s - t * away(s),
        })
    }

    /// ln ∫₀^∞ w(s) g(s) ds for a log-concave weight w.
    fn ln_integral<L: Fn(f64) -> f64, D: Fn(f64) -> f64>(&self, weight: &Weight<L, D>) -> f64 {
        let slope = |s: f64| (self.df - 1.0) / s - self.df * s + (weight.ln_slope)(s);
        let top = top_of_hump(slope);
        let ln_value = |s: f64| self.ln_density(s) + (weight.ln)(s);
        let peak = ln_value(top);
        let scale = 1.0 / ((2.0 * self.df).sqrt() + weight.rate.abs());
        let below = |s: f64| ln_value(s) < peak - REACH;
        let (mut left, mut step) = (top, scale);
        for _ in 0..MOST_DOUBLINGS {
            if left <= 0.0 || below(left) {
                break;
            }
            left = (top - step).max(0.0);
            step *= 2.0;
        }
        let (mut right, mut step) = (top + scale, scale);
        for _ in 0..MOST_DOUBLINGS {
            if below(right) {
                break;
            }
            step *= 2.0;
            right = top + step;
        }
        let value = |s: f64| (ln_value(s) - peak).exp();
        // What rounding leaves of ts − δ and of ln g for many degrees of freedom.
        let relative = 1e-13 + 4e-15 * (weight.offset.abs() + self.df.sqrt());
        // The step of the normal law may be narrow and off the top: a rule must not leap it.
        let step = |z: f64| ((z - weight.offset) / weight.rate).clamp(left, right);
        let mut cuts = [left, top, right, step(-9.0), step(0.0), step(9.0)];
        if weight.rate.abs() <= 0.0 {
            cuts = [left, top, right, right, right, right];
        }
        cuts.sort_by(f64::total_cmp);
        let area: f64 = cuts
            .windows(2)
            .map(|cut| match *cut {
                [from, to] => adaptive(&value, (from, to), relative, scale),
                _ => 0.0,
            })
            .sum();
        peak + area.ln()
    }

    /// The t with P(T' ≤ t) = `p`.
    fn solve(&self, p: f64, delta: f64) -> f64 {
        let (tail, ln_wanted) = if p <= 0.5 {
            (Tail::Lower, p.ln())
        } else {
            (Tail::Upper, (1.0 - p).ln())
        };
        // Above 0 when t lies above the root.
        let excess = |t: f64| match tail {
            Tail::Lower => self.ln_tail(tail, t, delta) - ln_wanted,
            Tail::Upper => ln_wanted - self.ln_tail(tail, t, delta),
        };
        let mut step = (1.0 + delta * delta / (2.0 * self.df)).sqrt();
        let (mut low, mut high) = (delta - step, delta + step);
        while excess(low) > 0.0 && low > -f64::MAX {
            high = low;
            step *= 2.0;
            low = (low - step).max(-f64::MAX);
        }
        while excess(high) < 0.0 && high < f64::MAX {
            low = high;
            step *= 2.0;
            high = (high + step).min(f64::MAX);
        }
        let mut t = f64::midpoint(low, high);
        for _ in 0..200 {
            let over = excess(t);
            if over > 0.0 {
                high = t;
            } else {
                low = t;
            }
            let growth = (self.ln_density_of_t(t, delta) - self.ln_tail(tail, t, delta)).exp();
            let next = t - over / growth;
            let next = if next > low && next < high {
                next
            } else {
                f64::midpoint(low, high)
            };
            let moved = (next - t).abs();
            t = next;
            if moved <= 4.0 * f64::EPSILON * t.abs().max(1e-3) {
                break;
            }
        }
        t
    }
}

/// Which side of t.
#[derive(Clone, Copy)]
enum Tail {
    Lower,
    Upper,
}

/// What g is multiplied with: ln w, a function of `rate`·s + `offset`, and its derivative.
struct Weight<L, D> {
    rate: f64,
    offset: f64,
    ln: L,
    ln_slope: D,
}

/// Where a falling slope passes through 0, for s > 0; the least positive number if it is below 0
/// everywhere.
fn top_of_hump(slope: impl Fn(f64) -> f64) -> f64 {
    let mut high = 1.0_f64;
    while slope(high) > 0.0 && high < 1e150 {
        high *= 2.0;
    }
    let mut low = 0.5 * high;
    while slope(low) < 0.0 && low > 1e-150 {
        high = low;
        low *= 0.5;
    }
    // The top is where the stretch is cut in two: it need not be exact.
    for _ in 0..40 {
        let middle = f64::midpoint(low, high);
        if slope(middle) > 0.0 {
            low = middle;
        } else {
            high = middle;
        }
    }
    f64::midpoint(low, high)
}

/// ∫ `value` from `left` to `right`, to the relative error `relative` of each piece; `scale` is
/// the order of the area that counts.
fn adaptive(
    value: &impl Fn(f64) -> f64,
    (left, right): (f64, f64),
    relative: f64,
    scale: f64,
) -> f64 {
    if left >= right {
        return 0.0;
    }
    let mut pieces = vec![(left, right, gauss(value, left, right))];
    let mut area = 0.0;
    let mut halvings = 0_u32;
    while let Some((left, right, whole)) = pieces.pop() {
        let middle = f64::midpoint(left, right);
        let (low, high) = (gauss(value, left, middle), gauss(value, middle, right));
        let sum = low + high;
        let apart = (sum - whole).abs() > (relative * sum).max(1e-16 * scale);
        halvings += 1;
        if apart && halvings < MOST_HALVINGS {
            pieces.push((left, middle, low));
            pieces.push((middle, right, high));
        } else {
            area += sum;
        }
    }
    area
}

/// Gauss-Legendre rule of 20 points.
fn gauss(value: &impl Fn(f64) -> f64, left: f64, right: f64) -> f64 {
    let (centre, half) = (f64::midpoint(left, right), 0.5 * (right - left));
    let sum: f64 = NODES
        .iter()
        .map(|&(x, weight)| weight * (value(centre + half * x) + value(centre - half * x)))
        .sum();
    half * sum
}

/// Points and weights (mpmath, 40 digits), of which those below 0 are the mirror.
const NODES: [(f64, f64); 10] = [
    (0.076_526_521_133_497_34, 0.152_753_387_130_725_84),
    (0.227_785_851_141_645_07, 0.149_172_986_472_603_74),
    (0.373_706_088_715_419_55, 0.142_096_109_318_382_04),
    (0.510_867_001_950_827_1, 0.131_688_638_449_176_64),
    (0.636_053_680_726_515, 0.118_194_531_961_518_41),
    (0.746_331_906_460_150_8, 0.101_930_119_817_240_44),
    (0.839_116_971_822_218_8, 0.083_276_741_576_704_75),
    (0.912_234_428_251_326, 0.062_672_048_334_109_07),
    (0.963_971_927_277_913_8, 0.040_601_429_800_386_94),
    (0.993_128_599_185_094_9, 0.017_614_007_139_152_118),
];

/// ln Γ(a) − ((a − ½) ln a − a + ½ ln 2π), what Stirling's formula leaves out (DLMF 5.11.1).
fn stirling(a: f64) -> f64 {
    if a < 16.0 {
        return libm::lgamma(a) - ((a - 0.5) * a.ln() - a + 0.5 * (2.0 * PI).ln());
    }
    let z = 1.0 / (a * a);
    let series = 1.0 / 12.0 - z * (1.0 / 360.0 - z * (1.0 / 1260.0 - z * (1.0 / 1680.0)));
    series / a
}
