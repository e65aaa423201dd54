//! Analysis of variance of one factor: does it matter which group a reading belongs to, how far
//! apart do readings lie within a group, and how far apart the groups themselves?
//!
//! Parts read by several people, each person every part, are in [`super::gauge_study`].

use super::f::FTest;
use super::summary::{compensated_sum, count};
use crate::language::Language;
use crate::say;

/// What ISO 5725 multiplies a standard deviation by for the difference that two single results
/// exceed in about one case of twenty: 1.96 √2, rounded as the standard rounds it.
pub const LIMIT_FACTOR: f64 = 2.8;

/// Why an analysis of variance could not be made.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
#[error("{}", self.said(Language::English))]
pub enum AnovaError {
    /// Fewer than two groups.
    TooFewGroups,
    /// A group without readings. Positions count from 0.
    EmptyGroup {
        /// Position of the group, counted from 0.
        index: usize,
    },
    /// Every group has one reading only.
    NoRepeats,
    /// A reading is not a number, or is infinite. Positions count from 0, over all groups.
    NotFinite {
        /// Position of the reading, counted from 0 over all groups.
        index: usize,
    },
    /// Sums of squares cannot be held in an `f64`.
    TooLarge,
    /// Not every part was read by everyone the same number of times.
    Unbalanced,
    /// The significance for pooling lies outside 0 to 1.
    Significance(f64),
    /// The resolution is negative or not finite.
    Resolution(f64),
}

impl AnovaError {
    /// It, in a language.
    #[must_use]
    pub fn said(self, language: Language) -> String {
        match self {
            Self::TooFewGroups => say!(
                language,
                "there is nothing to compare with: readings from at least two groups are needed"
            ),
            Self::EmptyGroup { index } => say!(
                language,
                "group {number} has no readings: read there or leave it out",
                number = index + 1
            ),
            Self::NoRepeats => say!(
                language,
                "no group has two readings, so nothing says how far readings alike lie apart: repeat"
            ),
            Self::NotFinite { index } => say!(
                language,
                "reading {number} is not a number: enter it again or leave it out",
                number = index + 1
            ),
            Self::TooLarge => say!(
                language,
                "these readings are too large to work with: check the unit they were entered in"
            ),
            Self::Unbalanced => say!(
                language,
                "every part must be read by every person the same number of times: fill the gaps"
            ),
            Self::Significance(value) => say!(
                language,
                "a significance must lie between 0 and 1, without 0 and 1 themselves, not {value}",
                value = value
            ),
            Self::Resolution(value) => say!(
                language,
                "the smallest step of the tool must be zero or more, not {value}",
                value = value
            ),
        }
    }
}

/// One line of the table: sum of squares and its degrees of freedom.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Squares {
    /// Sum of squares, in the unit of the readings squared.
    pub ss: f64,
    /// Degrees of freedom.
    pub df: usize,
}

impl Squares {
    /// Mean square, the sum over its degrees of freedom; `None` without any.
    #[must_use]
    pub fn mean(&self) -> Option<f64> {
        (self.df > 0).then(|| self.ss / count(self.df))
    }
}

/// The table of a one-way analysis of variance.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OneWay {
    /// Number of groups k.
    pub groups: usize,
    /// Number of readings N.
    pub n: usize,
    /// Mean of all readings.
    pub mean: f64,
    /// Between the groups: Σ nᵢ(x̄ᵢ − x̄)², k − 1.
    pub between: Squares,
    /// Within the groups: ΣΣ(xᵢⱼ − x̄ᵢ)², N − k.
    pub within: Squares,
    /// Mean number of readings to a group for the variance between groups:
    /// n₀ = (N − Σ nᵢ²/N) / (k − 1); the number itself where all groups are alike.
    pub n0: f64,
    /// Is the mean square between groups larger than that within by more than chance? `None`
    /// where readings within every group are equal.
    pub test: Option<FTest>,
    /// Share of all squares that lies between the groups, R²; `None` where all readings are equal.
    pub r_squared: Option<f64>,
}

/// One-way analysis of variance of groups of any size.
///
/// The first reading is taken off all before anything is summed, and sums are compensated, so
/// that a small spread on a large value keeps its digits.
///
/// Assumes that readings scatter alike in all groups, roughly normally, and independently.
///
/// Source: NIST/SEMATECH e-Handbook of Statistical Methods, 7.4.3.
///
/// # Errors
///
/// [`AnovaError`] with fewer than two groups, a group without readings, no group with two, a
/// reading that is not finite, or sums that overflow.
pub fn one_way(groups: &[Vec<f64>]) -> Result<OneWay, AnovaError> {
    one_way_within(&[groups])
}

/// One-way analysis of variance within blocks (places): each block has its own level, which is
/// taken out, and the groups (people) are compared block by block.
///
/// Sums of squares and degrees of freedom are those of [`one_way`] for each block, added up:
///
/// ```text
/// between: Σ_b Σᵢ nᵢ(x̄ᵢ − x̄_b)²      Σ_b (k_b − 1)
/// within:  Σ_b Σᵢ Σⱼ (xᵢⱼ − x̄ᵢ)²     Σ_b (N_b − k_b)
/// n₀ = Σ_b (N_b − Σᵢ nᵢ²/N_b) / Σ_b (k_b − 1)
/// ```
///
/// What the variance between groups then holds is both how the groups differ everywhere and how
/// they differ in some blocks only. Blocks may have groups of their own and of any size.
///
/// Source: as for [`one_way`]; the pooling is plain algebra of sums of squares.
///
/// # Errors
///
/// As for [`one_way`]; [`AnovaError::TooFewGroups`] when no block has two groups.
pub fn one_way_within(blocks: &[&[Vec<f64>]]) -> Result<OneWay, AnovaError> {
    let groups = || blocks.iter().copied().flatten();
    if let Some(index) = groups().position(Vec::is_empty) {
        return Err(AnovaError::EmptyGroup { index });
    }
    let all = || groups().flatten().copied();
    if let Some(index) = all().position(|x| !x.is_finite()) {
        return Err(AnovaError::NotFinite { index });
    }
    let k: usize = groups().count();
    let n = all().count();
    let df_between: usize = blocks
        .iter()
        .map(|block| block.len().saturating_sub(1))
        .sum();
    if df_between == 0 {
        return Err(AnovaError::TooFewGroups);
    }
    let df_within = n - k;
    if df_within == 0 {
        return Err(AnovaError::NoRepeats);
    }
    let (mut between_ss, mut within_ss, mut spare) = (0.0, 0.0, 0.0);
    for block in blocks.iter().filter(|block| !block.is_empty()) {
        let squares = BlockSquares::of(block);
        between_ss += squares.between;
        within_ss += squares.within;
        spare += squares.spare;
    }
    let total = between_ss + within_ss;
    if !total.is_finite() {
        return Err(AnovaError::TooLarge);
    }
    let between = Squares {
        ss: between_ss,
        df: df_between,
    };
    let within = Squares {
        ss: within_ss,
        df: df_within,
    };
    let origin = all().next().unwrap_or_default();
    Ok(OneWay {
        groups: k,
        n,
        mean: origin + compensated_sum(all().map(|x| x - origin)) / count(n),
        between,
        within,
        n0: spare / count(df_between),
        test: test(between, within),
        r_squared: (total > 0.0).then(|| between_ss / total),
    })
}

/// What one block adds to the table.
struct BlockSquares {
    between: f64,
    within: f64,
    /// N − Σ nᵢ²/N.
    spare: f64,
}

impl BlockSquares {
    /// For groups none of which is empty.
    fn of(groups: &[Vec<f64>]) -> Self {
        let all = || groups.iter().flatten().copied();
        let n = count(all().count());
        let origin = all().next().unwrap_or_default();
        let mean = compensated_sum(all().map(|x| x - origin)) / n;
        let means: Vec<f64> = groups
            .iter()
            .map(|group| compensated_sum(group.iter().map(|x| x - origin)) / count(group.len()))
            .collect();
        let paired = || groups.iter().zip(&means);
        Self {
            between: compensated_sum(
                paired().map(|(group, own)| count(group.len()) * (own - mean).powi(2)),
            ),
            within: compensated_sum(
                paired().flat_map(|(group, own)| {
                    group.iter().map(move |x| ((x - origin) - own).powi(2))
                }),
            ),
            spare: n - groups.iter().map(|g| count(g.len()).powi(2)).sum::<f64>() / n,
        }
    }
}

/// F test of one line of the table against another.
pub(super) fn test(above: Squares, below: Squares) -> Option<FTest> {
    FTest::of(above.mean()?, above.df, below.mean()?, below.df)
}

/// Repeatability and reproducibility, in the unit of the readings.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Precision {
    /// `s_r`: standard deviation of readings alike (same person, same tool).
    pub repeatability_sd: f64,
    /// `s_L`: standard deviation between the groups (people, tools).
    pub between_sd: f64,
    /// `s_R = √(s_r² + s_L²)`: standard deviation of readings by anyone.
    pub reproducibility_sd: f64,
    /// `r = 2.8 s_r`: two readings alike differ by more in about one case of twenty only.
    pub repeatability_limit: f64,
    /// `R = 2.8 s_R`: the same for readings by two people.
    pub reproducibility_limit: f64,
    /// The variance between groups came out below zero and was set to zero: the groups lie no
    /// further apart than the scatter within them explains.
    pub between_set_to_zero: bool,
    /// Readings alike differ less than the tool can show, so that its resolution stands for `s_r`.
    pub resolution_limited: bool,
}

impl OneWay {
    /// Repeatability and reproducibility from the mean squares between (B) and within (W).
    ///
    /// ```text
    /// s_r² = W      s_L² = (B − W) / n₀, at least 0      s_R² = s_r² + s_L²
    /// r = 2.8 s_r      R = 2.8 s_R
    /// ```
    ///
    /// W is never less than d²/12 for a tool that reads in steps of d, `resolution` (0: not
    /// known). Assumes that the groups are a sample of many such (people, tools).
    ///
    /// Source: ISO 5725-2, basic method; JCGM 100:2008 (GUM), F.2.2.1, for d²/12.
    ///
    /// # Errors
    ///
    /// [`AnovaError::Resolution`] for a resolution that is negative or not finite,
    /// [`AnovaError::TooLarge`] where the limits overflow.
    pub fn precision(&self, resolution: f64) -> Result<Precision, AnovaError> {
        if !(resolution.is_finite() && resolution >= 0.0) {
            return Err(AnovaError::Resolution(resolution));
        }
        let between = self.between.ss / count(self.between.df);
        let floor = resolution * resolution / 12.0;
        let own = self.within.ss / count(self.within.df);
        let within = own.max(floor);
        let variance = (between - within) / self.n0;
        let (repeat, group) = (within.sqrt(), variance.max(0.0).sqrt());
        let reproduce = repeat.hypot(group);
        if !(LIMIT_FACTOR * reproduce).is_finite() {
            return Err(AnovaError::TooLarge);
        }
        Ok(Precision {
            repeatability_sd: repeat,
            between_sd: group,
            reproducibility_sd: reproduce,
            repeatability_limit: LIMIT_FACTOR * repeat,
            reproducibility_limit: LIMIT_FACTOR * reproduce,
            between_set_to_zero: variance < 0.0,
            resolution_limited: own <= floor,
        })
    }
}
