//! One-sided tolerance bounds: above which limit most of a population lies.

use super::summary::count;
use super::{StatisticsError, Summary, noncentral_t, normal};

/// The limit above which a stated part of the population lies, with a stated confidence.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ToleranceBound {
    /// The limit, in the unit of the readings.
    pub bound: f64,
    /// k in x̄ − k s.
    pub factor: f64,
    /// Part of the population that lies above the limit, between 0 and 1.
    pub coverage: f64,
    /// Confidence of saying so, between 0 and 1.
    pub confidence: f64,
    /// Number of readings it rests on.
    pub n: usize,
    /// True where the readings differ by less than the instrument can show, so that the bound
    /// says something about the instrument (or nothing, if its resolution was not given) and not
    /// about the load.
    pub resolution_limited: bool,
}

/// Factor of the exact one-sided tolerance bound, k in x̄ − k s (or x̄ + k s).
///
/// ```text
/// k = t'(C; n − 1, z(P) √n) / √n
/// ```
///
/// with n the number of readings, P the coverage (the part of the population beyond the bound),
/// C the confidence, z(P) the normal quantile of P and t'(C; ν, δ) the C-quantile of the noncentral
/// t with ν degrees of freedom and noncentrality δ.
///
/// Assumes independent readings from one normal population. Mind which number is which: "90/95" in
/// a table is mostly 90 % coverage with 95 % confidence.
///
/// Source: ISO 16269-6, "Statistical interpretation of data: Determination of statistical
/// tolerance intervals" (known by its title; the formula is that of NIST/SEMATECH e-Handbook of
/// Statistical Methods, 7.2.6.3). The handbook's worked example (n = 43, P = 0.90, C = 0.99) uses
/// an approximation without the noncentral t and gets 1.8752; exact is 1.87395.
///
/// # Errors
///
/// [`StatisticsError::TooFew`] below two readings, [`StatisticsError::Probability`] unless
/// coverage and confidence lie between 0 and 1, [`StatisticsError::Noncentrality`] if n and P lead
/// beyond what the distribution is worked out for.
pub fn tolerance_factor(n: usize, coverage: f64, confidence: f64) -> Result<f64, StatisticsError> {
    if n < 2 {
        return Err(StatisticsError::TooFew { have: n, needed: 2 });
    }
    if !(coverage > 0.0 && coverage < 1.0) {
        return Err(StatisticsError::Probability(coverage));
    }
    let (n, root) = (count(n), count(n).sqrt());
    let t = noncentral_t::quantile(confidence, n - 1.0, normal::quantile(coverage) * root)?;
    Ok(t / root)
}

/// The limit above which the part `coverage` of the population lies, said with `confidence`:
/// x̄ − k s, with k from [`tolerance_factor`], which names assumptions and source.
///
/// If all readings are equal the bound is their value and is marked
/// [`ToleranceBound::resolution_limited`]: use [`lower_tolerance_bound_with_resolution`] for a
/// bound that means something.
///
/// # Errors
///
/// As for [`tolerance_factor`], and [`StatisticsError::TooLarge`] if the bound would overflow.
pub fn lower_tolerance_bound(
    summary: &Summary,
    coverage: f64,
    confidence: f64,
) -> Result<ToleranceBound, StatisticsError> {
    lower_tolerance_bound_with_resolution(summary, coverage, confidence, 0.0)
}

/// [`lower_tolerance_bound`] that never claims less spread than the instrument can show: s is the
/// larger of that of the readings and d/√12, with d the `resolution` (smallest step) of the
/// instrument in the unit of the readings (JCGM 100:2008 (GUM), F.2.2.1).
///
/// # Errors
///
/// As for [`lower_tolerance_bound`], and [`StatisticsError::Resolution`] if the resolution is
/// negative or not finite.
pub fn lower_tolerance_bound_with_resolution(
    summary: &Summary,
    coverage: f64,
    confidence: f64,
    resolution: f64,
) -> Result<ToleranceBound, StatisticsError> {
    let (sd, resolution_limited) = spread(summary, resolution)?;
    let factor = tolerance_factor(summary.n, coverage, confidence)?;
    let bound = summary.mean - factor * sd;
    if !bound.is_finite() {
        return Err(StatisticsError::TooLarge);
    }
    Ok(ToleranceBound {
        bound,
        factor,
        coverage,
        confidence,
        n: summary.n,
        resolution_limited,
    })
}

/// The part of the population that lies above `limit`, at least, said with `confidence`: the
/// coverage at which [`lower_tolerance_bound_with_resolution`] is just `limit`.
///
/// ```text
/// C = P(T' ≤ √n (x̄ − limit)/s; n − 1, δ)      P = Φ(δ/√n)
/// ```
///
/// solved for δ by halving. Assumptions and source as for [`tolerance_factor`].
///
/// # Errors
///
/// As for [`lower_tolerance_bound_with_resolution`]; [`StatisticsError::NoSpread`] when all
/// readings are equal and no resolution is given; [`StatisticsError::NotANumber`] if `limit` is
/// not finite.
pub fn coverage_shown(
    summary: &Summary,
    limit: f64,
    confidence: f64,
    resolution: f64,
) -> Result<f64, StatisticsError> {
    let (sd, _) = spread(summary, resolution)?;
    if !limit.is_finite() {
        return Err(StatisticsError::NotANumber);
    }
    if !(confidence > 0.0 && confidence < 1.0) {
        return Err(StatisticsError::Probability(confidence));
    }
    if sd <= 0.0 {
        return Err(StatisticsError::NoSpread);
    }
    let (n, root) = (count(summary.n), count(summary.n).sqrt());
    // Beyond 38 standard deviations a coverage is 0 or 1 as a number.
    let (mut low, mut high) = (-38.0_f64, 38.0_f64);
    let t = root * ((summary.mean - limit) / sd).clamp(-1e9, 1e9);
    for _ in 0..60 {
        let z = f64::midpoint(low, high);
        if noncentral_t::cdf(t, n - 1.0, z * root)? > confidence {
            low = z;
        } else {
            high = z;
        }
    }
    Ok(normal::cdf(low))
}

/// The standard deviation to work with, and whether it is that of the instrument.
pub(super) fn spread(summary: &Summary, resolution: f64) -> Result<(f64, bool), StatisticsError> {
    if !(resolution.is_finite() && resolution >= 0.0) {
        return Err(StatisticsError::Resolution(resolution));
    }
    let sd = summary.sd.ok_or(StatisticsError::TooFew {
        have: summary.n,
        needed: 2,
    })?;
    let floor = resolution / 12.0_f64.sqrt();
    Ok((sd.max(floor), sd <= floor))
}
