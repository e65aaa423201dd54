//! How often the film breaks, with the interval that belongs to a count.

use std::fmt;

use crate::language::Reader;
use crate::survey::{BreakExposure, FilmBreaks, Load, Record};
use crate::units::{UnitChoice, show_number};
use crate::{say, say_count};

use super::super::statistics::{PoissonRate, StatisticsError, poisson_rate};

/// What a rate is counted over.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Per {
    /// A load.
    Load,
    /// A roll.
    Roll,
}

/// One rate of film breaks.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BreakRate {
    /// Over what.
    pub per: Per,
    /// Breaks, exposure, rate and its exact Poisson interval.
    pub rate: PoissonRate,
}

impl BreakRate {
    /// It in one sentence; none seen is never said to be none.
    #[must_use]
    pub fn said(&self, to: Reader) -> String {
        let l = to.language;
        let PoissonRate {
            events,
            exposure,
            interval,
            ..
        } = &self.rate;
        let number = |value: f64, digits| {
            let style = to.units.style().with_digits(digits);
            show_number(value, &style)
        };
        // A count of loads or rolls.
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
        let counted = exposure.round() as usize;
        let over = match self.per {
            Per::Load => say_count!(l, counted, "{n} load", "{n} loads"),
            Per::Roll => say_count!(l, counted, "{n} roll", "{n} rolls"),
        };
        let (low, high) = (100.0 * interval.low, 100.0 * interval.high);
        let sure = format!("{} %", number(100.0 * interval.confidence, 0));
        if *events == 0 && high >= 100.0 {
            return say!(
                l,
                "No break in {over}, which is too few to say how often the film breaks.",
                over = over
            );
        }
        let (low, high) = (number(low, 1), number(high, 1));
        let breaks = usize::try_from(*events).unwrap_or(usize::MAX);
        let breaks = say_count!(l, breaks, "{n} break", "{n} breaks");
        match (*events, self.per) {
            (0, Per::Load) => say!(
                l,
                "No break in {over}: up to {high} in 100 loads are still possible (within {sure} \
                 limits).",
                over = over,
                high = high,
                sure = sure
            ),
            (0, Per::Roll) => say!(
                l,
                "No break in {over}: up to {high} in 100 rolls are still possible (within {sure} \
                 limits).",
                over = over,
                high = high,
                sure = sure
            ),
            (_, Per::Load) => say!(
                l,
                "{breaks} in {over}: between {low} and {high} in 100 loads (within {sure} limits).",
                breaks = breaks,
                over = over,
                low = low,
                high = high,
                sure = sure
            ),
            (_, Per::Roll) => say!(
                l,
                "{breaks} in {over}: between {low} and {high} in 100 rolls (within {sure} limits).",
                breaks = breaks,
                over = over,
                low = low,
                high = high,
                sure = sure
            ),
        }
    }
}

impl fmt::Display for BreakRate {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.said(Reader::english(UnitChoice::imperial())))
    }
}

/// The rates of one setup, kept apart: a break counted over loads may be one that was seen on a
/// load as well, so that adding them up would count it twice.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BreakRates {
    /// From the counts over loads.
    pub counted_over_loads: Option<BreakRate>,
    /// From the counts over rolls.
    pub counted_over_rolls: Option<BreakRate>,
    /// From what was seen on the loads themselves while they were wrapped.
    pub seen_on_loads: Option<BreakRate>,
    /// Loads that do not say whether film broke: blank is not none, and they are not counted.
    pub loads_blank: usize,
}

/// Film-break rates with their exact Poisson (Garwood) intervals at `confidence`, of the records
/// given that are in use (those of one setup, so that unlike ways of wrapping are not mixed).
///
/// Counts of several records are added up, and so is what they were counted over. Assumes that
/// breaks come independently and at one rate; film that breaks in runs has a wider interval.
///
/// Source: see [`poisson_rate`].
///
/// # Errors
///
/// [`StatisticsError::Probability`] unless 0 < `confidence` < 1.
pub fn break_rates(
    counts: &[Record<FilmBreaks>],
    loads: &[Record<Load>],
    confidence: f64,
) -> Result<BreakRates, StatisticsError> {
    let counted = |over: fn(BreakExposure) -> Option<u32>| {
        counts
            .iter()
            .filter(|record| record.set_aside.is_none())
            .filter_map(|record| Some((record.breaks, over(record.over)?)))
            .filter(|(_, exposure)| *exposure > 0)
            .collect::<Vec<_>>()
    };
    let in_use = || loads.iter().filter(|load| load.set_aside.is_none());
    let seen: Vec<(u32, u32)> = in_use()
        .filter_map(|load| Some((load.film_breaks?, 1)))
        .collect();
    let loads_blank = in_use().filter(|load| load.film_breaks.is_none()).count();
    let over_loads = counted(|over| match over {
        BreakExposure::Loads(loads) => Some(loads),
        BreakExposure::Rolls(_) => None,
    });
    let over_rolls = counted(|over| match over {
        BreakExposure::Rolls(rolls) => Some(rolls),
        BreakExposure::Loads(_) => None,
    });
    Ok(BreakRates {
        counted_over_loads: rate(Per::Load, &over_loads, confidence)?,
        counted_over_rolls: rate(Per::Roll, &over_rolls, confidence)?,
        seen_on_loads: rate(Per::Load, &seen, confidence)?,
        loads_blank,
    })
}

fn rate(
    per: Per,
    counts: &[(u32, u32)],
    confidence: f64,
) -> Result<Option<BreakRate>, StatisticsError> {
    if counts.is_empty() {
        return Ok(None);
    }
    let breaks = counts
        .iter()
        .fold(0_u32, |sum, (breaks, _)| sum.saturating_add(*breaks));
    let exposure: f64 = counts.iter().map(|(_, over)| f64::from(*over)).sum();
    let rate = poisson_rate(breaks, exposure, confidence)?;
    Ok(Some(BreakRate { per, rate }))
}
