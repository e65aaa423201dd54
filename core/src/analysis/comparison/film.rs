//! Film per load of two setups compared.

use crate::analysis::film::{left_by_scale_kg, net_mass, written_scale_step};
use crate::analysis::statistics::{Interval, StatisticsError, Welch, welch_of};
use crate::survey::{FilmWeight, Id, Record, Tool};

/// Why film could not be compared.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum FilmError {
    /// Too few weighings.
    #[error(
        "the film of a setup was weighed {have} {}: weigh it at least twice to know how sure it is",
        if *.have == 1 { "time" } else { "times" }
    )]
    TooFew {
        /// How many there are.
        have: usize,
    },
    /// A weighing without film, or of no load.
    #[error("a weighing shows no film, or is of no load: correct it or set it aside")]
    NoFilm(Id<FilmWeight>),
    /// The numbers cannot be worked with.
    #[error(transparent)]
    Statistics(#[from] StatisticsError),
}

/// Film per load of one setup.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FilmMean {
    /// Weighings in use.
    pub weighings: usize,
    /// Loads weighed in all.
    pub loads: u32,
    /// Film a load in kilograms: all net mass over all loads.
    pub kg: f64,
    /// Standard deviation of single loads in kilograms.
    pub load_sd_kg: f64,
    /// Standard error of `kg` in kilograms.
    pub standard_error_kg: f64,
    /// Its degrees of freedom: weighings less one.
    pub df: f64,
    /// The spread is that of the scale.
    pub resolution_limited: bool,
    /// The step of each scale is written; the usual one is taken else.
    pub step_written: bool,
}

/// Film per load with its standard error, from weighings of one load or of several together.
///
/// ```text
/// x̄ = ΣWᵢ/Σmᵢ      s² = Σ mᵢ (Wᵢ/mᵢ − x̄)² / (k − 1)      SE = s/√Σmᵢ
/// ```
///
/// with Wᵢ the net mass of weighing i, mᵢ the loads whose film lay on the scale together, k the
/// number of weighings. The mean of mᵢ loads varies with σ²/mᵢ, so that each weighing counts by its
/// loads: weighted least squares, whose x̄ and s² are independent with k − 1 degrees of freedom
/// where loads are normal and independent. With one load a weighing it is the plain mean.
///
/// SE is no less than what the steps dᵢ of the scales leave, Σ dᵢ√(rᵢ/12)/Σmᵢ with rᵢ 1, or 2 with
/// a tare (JCGM 100:2008 (GUM), F.2.2.1): films on the same step of a scale all err alike. `tools`
/// has the scales; one whose step is not written there is taken to show 0.1 oz (common practice, no
/// source).
///
/// Source: A. C. Aitken, "On least squares and linear combination of observations", Proceedings of
/// the Royal Society of Edinburgh 55 (1935).
///
/// # Errors
///
/// [`FilmError::TooFew`] below two weighings in use, [`FilmError::NoFilm`] for a weighing that
/// shows none, [`StatisticsError::TooLarge`] if the masses are beyond what a number holds.
pub fn film_mean(
    weights: &[Record<FilmWeight>],
    tools: &[Record<Tool>],
) -> Result<FilmMean, FilmError> {
    let (mut by_scale, mut step_written) = (0.0, true);
    let mut weighed: Vec<(f64, f64)> = Vec::new();
    let mut loads = 0_u32;
    for weight in weights.iter().filter(|weight| weight.set_aside.is_none()) {
        let net = net_mass(weight)
            .filter(|_| weight.loads_together > 0)
            .ok_or(FilmError::NoFilm(weight.id))?;
        loads = loads
            .checked_add(weight.loads_together)
            .ok_or(StatisticsError::TooLarge)?;
        by_scale += left_by_scale_kg(weight, tools);
        step_written &= written_scale_step(weight, tools).is_some();
        weighed.push((net.kg(), f64::from(weight.loads_together)));
    }
    let have = weighed.len();
    if have < 2 {
        return Err(FilmError::TooFew { have });
    }
    let all = f64::from(loads);
    let k = f64::from(u32::try_from(have).map_err(|_| StatisticsError::TooLarge)?);
    let kg = weighed.iter().map(|(net, _)| net).sum::<f64>() / all;
    let squares: f64 = weighed
        .iter()
        .map(|(net, m)| m * (net / m - kg) * (net / m - kg))
        .sum();
    let load_sd_kg = (squares / (k - 1.0)).sqrt();
    let by_scatter = load_sd_kg / all.sqrt();
    let by_scale = by_scale / all;
    let standard_error_kg = by_scatter.max(by_scale);
    if !(kg.is_finite() && load_sd_kg.is_finite() && standard_error_kg.is_finite()) {
        return Err(StatisticsError::TooLarge.into());
    }
    Ok(FilmMean {
        weighings: have,
        loads,
        kg,
        load_sd_kg,
        standard_error_kg,
        df: k - 1.0,
        resolution_limited: by_scatter <= by_scale,
        step_written,
    })
}

/// Film per load of two setups compared.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FilmComparison {
    /// The new setup.
    pub new: FilmMean,
    /// The old setup.
    pub old: FilmMean,
    /// Saved a load in kilograms: old less new, negative where the new setup takes more.
    pub saved: Welch,
}

impl FilmComparison {
    /// Two-sided interval of what is saved a load, in kilograms.
    #[must_use]
    pub fn interval(&self, confidence: f64) -> Option<Interval> {
        self.saved.interval(confidence)
    }

    /// Saved as a fraction of what the old setup takes.
    #[must_use]
    pub fn share(&self) -> f64 {
        self.saved.difference / self.old.kg
    }
}

/// Compares the film per load of two setups: Welch's comparison of two [`film_mean`]s, which name
/// the method and its source. `tools` has the scales.
///
/// # Errors
///
/// As for [`film_mean`], for either setup.
pub fn compare_film(
    new: &[Record<FilmWeight>],
    old: &[Record<FilmWeight>],
    tools: &[Record<Tool>],
) -> Result<FilmComparison, FilmError> {
    let (new, old) = (film_mean(new, tools)?, film_mean(old, tools)?);
    let saved = welch_of(
        (old.kg, old.standard_error_kg, old.df),
        (new.kg, new.standard_error_kg, new.df),
        new.resolution_limited && old.resolution_limited,
    )?;
    Ok(FilmComparison { new, old, saved })
}
