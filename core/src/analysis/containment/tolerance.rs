//! What most loads like these hold, and how many more readings a wished certainty takes.

use std::collections::BTreeMap;
use std::fmt;

use thiserror::Error;

use crate::language::Language;
use crate::say;
use crate::survey::{Id, Load};
use crate::units::{Containment, Force, Method};

use super::super::statistics::{
    StatisticsError, Summary, ToleranceBound, how_many_more, lower_tolerance_bound_of_groups,
};
use super::{FaceResult, READ_TO_N, Taken, ZoneResult};

/// What a tolerance bound covers and how sure it is, chosen by the rep.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ToleranceRule {
    /// Part of all readings of such loads, by the same method in the same zone, that lies above
    /// the bound: between 0 and 1.
    pub coverage: f64,
    /// How sure that is: between 0 and 1.
    pub confidence: f64,
}

impl Default for ToleranceRule {
    /// 90 % of the readings, with 95 % confidence (common practice, no source).
    fn default() -> Self {
        Self {
            coverage: 0.90,
            confidence: 0.95,
        }
    }
}

impl ToleranceRule {
    /// It in a language.
    #[must_use]
    pub fn said(&self, language: Language) -> String {
        // Rounded to a tenth of a percent, shown without a trailing zero.
        let percent = |part: f64| (1000.0 * part).round() / 10.0;
        say!(
            language,
            "At least {coverage} % of such readings lie above the bound, said with {confidence} % confidence.",
            coverage = percent(self.coverage),
            confidence = percent(self.confidence)
        )
    }
}

impl fmt::Display for ToleranceRule {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.said(Language::English))
    }
}

/// A tolerance bound and its distance from the target.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ToleranceResult {
    /// The bound in newtons. It may lie below zero, which says no more than that the readings are
    /// too few or too far apart.
    pub bound: ToleranceBound,
    /// Bound less target in newtons: negative when below. `None` without a target.
    pub margin_n: Option<f64>,
}

impl ToleranceResult {
    /// One-sided lower tolerance bound of some readings that may be averaged, with what loads
    /// differ in it where there are two or more ([`lower_tolerance_bound_of_groups`]; from one
    /// load it is the exact x̄ − k s of independent readings), and a spread no smaller than that of
    /// a scale read to one ounce-force. `None` below two readings, and for a rule that cannot be
    /// worked with.
    pub(super) fn of<M: Method>(
        readings: &[Taken<M>],
        target: Option<Containment<M>>,
        rule: ToleranceRule,
    ) -> Option<Self> {
        let mut loads: BTreeMap<Id<Load>, Vec<f64>> = BTreeMap::new();
        for reading in readings {
            let of_load = loads.entry(reading.load).or_default();
            of_load.push(reading.value.force().n());
        }
        let loads: Vec<Vec<f64>> = loads.into_values().collect();
        let bound =
            lower_tolerance_bound_of_groups(&loads, rule.coverage, rule.confidence, READ_TO_N)
                .ok()?;
        Some(Self {
            margin_n: target.map(|target| bound.bound - target.force().n()),
            bound,
        })
    }
}

/// Why it cannot be said how many more readings are needed.
#[derive(Debug, Clone, Copy, PartialEq, Error)]
pub enum MoreReadingsError {
    /// The readings may not be averaged.
    #[error(
        "these readings are on faces of unlike length, which are not averaged: ask for the faces \
         of one length"
    )]
    UnlikeFaces,
    /// The readings or what was asked cannot be worked with.
    #[error(transparent)]
    Statistics(#[from] StatisticsError),
}

impl<M: Method> ZoneResult<M> {
    /// How many more readings it takes until the mean of this zone is known to ± `within` with
    /// that confidence, if further readings scatter like these.
    ///
    /// # Errors
    ///
    /// [`MoreReadingsError`] below two readings, on faces of unlike length, or for a width or
    /// confidence that cannot be worked with.
    pub fn more_readings(
        &self,
        within: Force,
        confidence: f64,
    ) -> Result<usize, MoreReadingsError> {
        if !self.faces.is_empty() {
            return Err(MoreReadingsError::UnlikeFaces);
        }
        more(self.summary.as_ref(), within, confidence)
    }
}

impl<M: Method> FaceResult<M> {
    /// As [`ZoneResult::more_readings`], for the faces of this length.
    ///
    /// # Errors
    ///
    /// As there.
    pub fn more_readings(
        &self,
        within: Force,
        confidence: f64,
    ) -> Result<usize, MoreReadingsError> {
        more(self.summary.as_ref(), within, confidence)
    }
}

fn more(
    summary: Option<&Summary>,
    within: Force,
    confidence: f64,
) -> Result<usize, MoreReadingsError> {
    let summary = summary.ok_or(StatisticsError::Empty)?;
    Ok(how_many_more(summary, within.n(), confidence, READ_TO_N)?)
}
