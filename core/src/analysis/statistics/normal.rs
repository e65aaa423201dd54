//! The standard normal distribution: its area, and the point that cuts off a given area.
//!
//! `erfc` comes from the `libm` crate, which is right to the last binary digit or two; that of
//! the `statrs` crate is off by up to 1e-10.

use std::f64::consts::{FRAC_1_SQRT_2, PI};

/// 1/√(2π).
pub(super) const DENSITY_AT_0: f64 = 0.398_942_280_401_432_7;

/// Where the asymptotic series takes over from `erfc`, which ends near −38.
const FAR: f64 = -25.0;

/// Cumulative probability Φ(x) = erfc(−x/√2)/2.
///
/// Source: NIST Digital Library of Mathematical Functions, 7.18 and 26.2 of Abramowitz and Stegun.
pub(super) fn cdf(x: f64) -> f64 {
    0.5 * libm::erfc(-x * FRAC_1_SQRT_2)
}

/// The density e^(−x²/2)/√(2π).
pub(super) fn density(x: f64) -> f64 {
    DENSITY_AT_0 * (-0.5 * x * x).exp()
}

/// ln Φ(x), also where Φ(x) is too small for an `f64`.
pub(super) fn ln_cdf(x: f64) -> f64 {
    if x > FAR {
        cdf(x).ln()
    } else {
        -0.5 * x * x - (-x).ln() - 0.5 * (2.0 * PI).ln() + far(x).ln()
    }
}

/// φ(x)/Φ(x), how fast ln Φ grows.
pub(super) fn ln_cdf_slope(x: f64) -> f64 {
    if x > FAR {
        density(x) / cdf(x)
    } else {
        -x / far(x)
    }
}

/// Φ(x)·|x|/φ(x) for x far below 0: 1 − 1/x² + 3/x⁴ − 15/x⁶ + … (DLMF 7.12.1).
fn far(x: f64) -> f64 {
    let u = 1.0 / (x * x);
    1.0 - u * (1.0 - 3.0 * u * (1.0 - 5.0 * u * (1.0 - 7.0 * u)))
}

/// The x with Φ(x) = `p`, for 0 < p < 1: Newton's method on ln Φ, which is concave, in the lower
/// half, from below the root.
///
/// Outside 0 to 1 the answer is infinite or NaN: callers check first.
pub(super) fn quantile(p: f64) -> f64 {
    if p > 0.5 {
        return -quantile(1.0 - p);
    }
    if p <= 0.0 {
        return f64::NEG_INFINITY;
    }
    let ln_p = p.ln();
    // Φ(x) ≤ e^(−x²/2)/2 below 0: the root lies above this.
    let mut x = -(-2.0 * (ln_p + std::f64::consts::LN_2)).max(0.0).sqrt();
    for _ in 0..50 {
        let step = (ln_p - ln_cdf(x)) / ln_cdf_slope(x);
        x += step;
        if step.abs() <= 4.0 * f64::EPSILON * x.abs().max(1e-3) {
            break;
        }
    }
    x
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn known_points() {
        // NIST/SEMATECH e-Handbook, 1.3.6.7.1, to its five digits; further digits from mpmath.
        for (p, x) in [
            (0.9, 1.281_551_565_544_600_4),
            (0.95, 1.644_853_626_951_472_2),
            (0.975, 1.959_963_984_540_054_3),
            (0.99, 2.326_347_874_040_840_8),
            (1e-12, -7.034_483_825_301_131),
        ] {
            let found = quantile(p);
            assert!(((found - x) / x).abs() < 4e-15, "{p}: {found}");
        }
        assert!(quantile(0.5).abs() < 1e-15);
    }

    #[test]
    fn the_far_tail_joins_the_near_one() {
        let step = |x: f64| ln_cdf(x + 1e-9) - ln_cdf(x - 1e-9);
        assert!((step(FAR) - 2e-9 * ln_cdf_slope(FAR)).abs() < 1e-9);
        let by_erfc = cdf(FAR + 1e-12);
        assert!((ln_cdf(FAR) - by_erfc.ln()).abs() < 1e-9);
        assert!((ln_cdf_slope(FAR) - ln_cdf_slope(FAR + 1e-9)).abs() < 1e-8);
    }
}
