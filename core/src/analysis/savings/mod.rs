//! What a new setup saves in a year, with how sure that is.
//!
//! Everything that film mass drives is a sum of film a load of each setup times a figure of its
//! own, a₁x̄₁ − a₂x̄₂ (old less new): mass, cost, rolls, roll changes, emissions, levy. The interval
//! of each is Welch's from the scatter of the weighings, with the standard errors scaled alike, so
//! that it also holds where the two setups run on films of unlike price. Factors are taken as
//! exact: how sure they are is for their sources to say. Film breaks are counted, not weighed, and
//! stand apart.

mod film;
mod says;
mod setups;

pub use film::Film;
pub use says::{Assumption, Missing, Outlook};
pub use setups::{breaks_of_setups, savings_of_setups};

use crate::survey::{FactorUnit, Factors};
use crate::units::Mass;

use super::comparison::{FilmComparison, FilmMean};
use super::statistics::{Interval, PoissonRate, StatisticsError, welch_of};

/// What a year saves of one thing; negative where the new setup takes more of it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Yearly {
    /// A year with the old setup.
    pub old: f64,
    /// A year with the new setup.
    pub new: f64,
    /// Old less new.
    pub saved: f64,
    /// Limits of what is saved.
    pub interval: Interval,
}

impl Yearly {
    /// Whether it is a saving, a cost, or neither is shown.
    #[must_use]
    pub fn outlook(&self) -> Outlook {
        if self.interval.low > 0.0 {
            Outlook::Saving
        } else if self.interval.high < 0.0 {
            Outlook::Cost
        } else {
            Outlook::NotShown
        }
    }
}

/// What a new setup saves in a year.
#[derive(Debug, Clone, PartialEq)]
pub struct Savings {
    /// Film in kilograms.
    pub film_kg: Yearly,
    /// Film in money.
    pub film_cost: Option<Yearly>,
    /// Rolls, not rounded: each is changed once, so these are roll changes too.
    pub rolls: Option<Yearly>,
    /// Hours for roll changes.
    pub roll_change_hours: Option<Yearly>,
    /// Money for roll changes.
    pub roll_change_cost: Option<Yearly>,
    /// Emissions in kilograms of carbon dioxide equivalent.
    pub co2e_kg: Option<Yearly>,
    /// Packaging levy in money.
    pub levy: Option<Yearly>,
    /// Film, roll changes and levy together in money, as far as they are known; `None` when none
    /// is.
    pub money: Option<Yearly>,
    /// Film breaks in money.
    pub break_cost: Option<Yearly>,
    /// What could not be worked out for want of a figure, one sentence each.
    pub missing: Vec<Missing>,
    /// What it rests on, one sentence each.
    pub assumptions: Vec<Assumption>,
    /// Currency of every sum of money; blank when there is none.
    pub currency: String,
}

/// Film breaks of both setups, each counted over loads.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Breaks {
    /// With the new setup, per load.
    pub new: PoissonRate,
    /// With the old setup, per load.
    pub old: PoissonRate,
}

/// What the new setup saves over `loads_a_year`.
///
/// ```text
/// film   loads · x̄                         cost   loads · x̄ · price a kilogram
/// rolls  loads · x̄ / net mass of a roll    hours  rolls · minutes / 60, and · wage in money
/// CO2e   loads · x̄ · factor                levy   loads · x̄ / 1000 · levy a tonne
/// ```
///
/// with x̄ the film a load in kilograms. The levy is taken as due where the recycled content is
/// below the threshold given, by setup. Break costs are loads · breaks a load · minutes/60 · wage;
/// the limits of their difference are joined from those of each rate: low = d − √((o−l₀)² + (u₁−n)²)
/// and high alike.
///
/// Source: plain arithmetic; for the joined limits G. Y. Zou, A. Donner, "Construction of
/// confidence limits about effect measures: a general approach", Statistics in Medicine 27 (2008).
///
/// # Errors
///
/// [`StatisticsError::Probability`] unless the confidence lies between 0 and 1, and
/// [`StatisticsError::TooLarge`] if a figure is beyond what a number holds. What is only missing
/// stands in [`Savings::missing`].
pub fn savings(
    film: &FilmComparison,
    loads_a_year: u64,
    (new, old): (&Film, &Film),
    factors: &Factors,
    breaks: Option<&Breaks>,
    confidence: f64,
) -> Result<Savings, StatisticsError> {
    if !(confidence > 0.0 && confidence < 1.0) {
        return Err(StatisticsError::Probability(confidence));
    }
    let mut work = Work {
        film,
        loads: says::whole(loads_a_year),
        confidence,
        missing: Vec::new(),
    };
    if loads_a_year == 0 {
        work.missing.push(Missing::Loads);
    }
    let currency = currency(new, old, factors, &mut work.missing);
    let money_known = currency.is_some();
    let wage = factors
        .labour
        .as_ref()
        .and_then(|wage| wage.of(FactorUnit::MoneyPerHour));

    let price = work.both(Missing::Price, new, old, |film| {
        film.price.as_ref()?.money_per_kg(film.roll_net_mass)
    });
    let price = price.filter(|_| money_known);
    let per_kg = work.both(Missing::RollMass, new, old, |film| {
        film.roll_net_mass
            .map(Mass::kg)
            .filter(|kg| *kg > 0.0)
            .map(f64::recip)
    });
    let minutes = factors
        .roll_change
        .as_ref()
        .and_then(|minutes| minutes.of(FactorUnit::Minutes));
    let hours = work.joined(
        Missing::RollChange,
        per_kg,
        minutes.map(|minutes| minutes / 60.0),
    );
    let labour = work
        .joined(Missing::Labour, hours, wage)
        .filter(|_| money_known);
    let co2e = factors
        .co2e
        .as_ref()
        .and_then(|co2e| co2e.of(FactorUnit::KilogramsCo2ePerKilogram));
    let co2e = work.joined(Missing::Co2e, Some((1.0, 1.0)), co2e);
    let levy = levy(&mut work, new, old, factors).filter(|_| money_known);

    let parts = [price, labour, levy];
    let money = parts
        .iter()
        .flatten()
        .copied()
        .reduce(|a, b| (a.0 + b.0, a.1 + b.1));
    let break_cost = match breaks.filter(|_| money_known) {
        Some(breaks) => work.breaks(breaks, factors, wage)?,
        None => None,
    };
    let mut assumptions = vec![Assumption::FactorsExact, Assumption::FromWeighings];
    if levy.is_some() {
        assumptions.push(Assumption::LevyPassedOn);
    }
    if hours.is_some() {
        assumptions.push(Assumption::OneChangeARoll);
    }
    if co2e.is_some() {
        assumptions.push(Assumption::CradleToGate);
    }
    if film.saved.resolution_limited {
        assumptions.push(Assumption::ScaleLimited);
    }
    Ok(Savings {
        film_kg: work.yearly((1.0, 1.0))?,
        film_cost: price.map(|price| work.yearly(price)).transpose()?,
        rolls: per_kg.map(|per_kg| work.yearly(per_kg)).transpose()?,
        roll_change_hours: hours.map(|hours| work.yearly(hours)).transpose()?,
        roll_change_cost: labour.map(|labour| work.yearly(labour)).transpose()?,
        co2e_kg: co2e.map(|co2e| work.yearly(co2e)).transpose()?,
        levy: levy.map(|levy| work.yearly(levy)).transpose()?,
        money: money.map(|money| work.yearly(money)).transpose()?,
        break_cost,
        missing: work.missing,
        assumptions,
        currency: currency.unwrap_or_default(),
    })
}

/// The one currency of all sums; `None`, and said, when they are of two.
fn currency(
    new: &Film,
    old: &Film,
    factors: &Factors,
    missing: &mut Vec<Missing>,
) -> Option<String> {
    let priced = |film: &Film| film.price.as_ref().map(|_| film.currency.clone());
    let of_factors =
        (factors.labour.is_some() || factors.levy.is_some()).then(|| factors.currency.clone());
    let mut named = [priced(new), priced(old), of_factors].into_iter().flatten();
    let first = named.next().unwrap_or_default();
    if named.all(|other| other == first) {
        Some(first)
    } else {
        missing.push(Missing::OneCurrency);
        None
    }
}

/// Levy a kilogram of film, new and old; `None` when there is none or it is not known.
fn levy(work: &mut Work<'_>, new: &Film, old: &Film, factors: &Factors) -> Option<(f64, f64)> {
    let Some(levy) = &factors.levy else {
        work.missing.push(Missing::Levy);
        return None;
    };
    let Some(per_kg) = levy
        .of(FactorUnit::MoneyPerTonne)
        .map(|tonne| tonne / 1000.0)
    else {
        work.missing.push(Missing::Levy);
        return None;
    };
    let Some(threshold) = &factors.levy_free_from else {
        return Some((per_kg, per_kg)); // Due whatever the content.
    };
    let Some(threshold) = threshold.of(FactorUnit::Fraction) else {
        work.missing.push(Missing::Levy);
        return None;
    };
    work.both(Missing::RecycledContent, new, old, |film| {
        let content = film
            .recycled_content
            .filter(|content| content.is_finite())?;
        Some(if content < threshold { per_kg } else { 0.0 })
    })
}

struct Work<'a> {
    film: &'a FilmComparison,
    loads: f64,
    confidence: f64,
    missing: Vec<Missing>,
}

impl Work<'_> {
    /// A figure a kilogram of each setup's film; said to be missing where one has none.
    fn both(
        &mut self,
        missing: Missing,
        new: &Film,
        old: &Film,
        figure: impl Fn(&Film) -> Option<f64>,
    ) -> Option<(f64, f64)> {
        let both = figure(new).zip(figure(old));
        if both.is_none() {
            self.missing.push(missing);
        }
        both
    }

    /// A figure a kilogram times a factor; said to be missing where only the factor is.
    fn joined(
        &mut self,
        missing: Missing,
        figure: Option<(f64, f64)>,
        factor: Option<f64>,
    ) -> Option<(f64, f64)> {
        if factor.is_none() {
            self.missing.push(missing);
        }
        let ((new, old), factor) = figure.zip(factor)?;
        Some((new * factor, old * factor))
    }

    /// A year of what each kilogram of film brings, new and old.
    fn yearly(&self, (new, old): (f64, f64)) -> Result<Yearly, StatisticsError> {
        let scaled = |film: &FilmMean, figure: f64| {
            let figure = figure * self.loads;
            (film.kg * figure, film.standard_error_kg * figure, film.df)
        };
        let (new, old) = (scaled(&self.film.new, new), scaled(&self.film.old, old));
        let limited = self.film.saved.resolution_limited;
        let saved = welch_of(old, new, limited)?;
        let interval = saved
            .interval(self.confidence)
            .ok_or(StatisticsError::TooLarge)?;
        if !(new.0.is_finite() && old.0.is_finite()) {
            return Err(StatisticsError::TooLarge);
        }
        Ok(Yearly {
            old: old.0,
            new: new.0,
            saved: saved.difference,
            interval,
        })
    }

    /// What film breaks cost.
    fn breaks(
        &mut self,
        breaks: &Breaks,
        factors: &Factors,
        wage: Option<f64>,
    ) -> Result<Option<Yearly>, StatisticsError> {
        let minutes = factors
            .film_break
            .as_ref()
            .and_then(|minutes| minutes.of(FactorUnit::Minutes));
        let Some((minutes, wage)) = minutes.zip(wage) else {
            self.missing.push(Missing::BreakTime);
            return Ok(None);
        };
        let each = self.loads * minutes / 60.0 * wage;
        let (new, old) = (&breaks.new, &breaks.old);
        let saved = old.rate - new.rate;
        let below = (old.rate - old.interval.low).hypot(new.interval.high - new.rate);
        let above = (old.interval.high - old.rate).hypot(new.rate - new.interval.low);
        let yearly = Yearly {
            old: old.rate * each,
            new: new.rate * each,
            saved: saved * each,
            interval: Interval {
                low: (saved - below) * each,
                high: (saved + above) * each,
                confidence: old.interval.confidence.min(new.interval.confidence),
                resolution_limited: false,
            },
        };
        let figures = [
            yearly.old,
            yearly.new,
            yearly.interval.low,
            yearly.interval.high,
        ];
        if figures.iter().all(|figure| figure.is_finite()) {
            Ok(Some(yearly))
        } else {
            Err(StatisticsError::TooLarge)
        }
    }
}
