//! What a year saves with one setup of the record against another.

use super::{Breaks, Film, Savings, savings};
use crate::analysis::comparison::FilmComparison;
use crate::analysis::containment::breaks::break_rates;
use crate::analysis::statistics::{PoissonRate, StatisticsError};
use crate::survey::{Id, Line, LoadVolume, Record, RecordSet, Setup};

/// [`savings`] of the line with `new` in place of `old`, whose `film` was compared: films, factors,
/// volume and film breaks as the record has them. Sums without a currency of their own are in that
/// of the film.
///
/// # Errors
///
/// As for [`savings`].
pub fn savings_of_setups(
    records: &RecordSet,
    line: &Line,
    (new, old): (&Record<Setup>, &Record<Setup>),
    film: &FilmComparison,
    confidence: f64,
) -> Result<Savings, StatisticsError> {
    let loads = line.volume.map_or(0, LoadVolume::loads_a_year);
    let breaks = breaks_of_setups(records, new.id, old.id, confidence);
    let (new, old) = (film_of(records, new), film_of(records, old));
    let mut factors = line.factors.clone();
    if factors.currency.is_empty() {
        factors.currency.clone_from(if new.currency.is_empty() {
            &old.currency
        } else {
            &new.currency
        });
    }
    savings(
        film,
        loads,
        (&new, &old),
        &factors,
        breaks.as_ref(),
        confidence,
    )
}

/// Film breaks a load with both setups: as counted, or else as seen on the loads that were wrapped.
/// `None` where either setup has neither.
#[must_use]
pub fn breaks_of_setups(
    records: &RecordSet,
    new: Id<Setup>,
    old: Id<Setup>,
    confidence: f64,
) -> Option<Breaks> {
    let of = |setup: Id<Setup>| -> Option<PoissonRate> {
        let counts = records.film_breaks.iter().filter(|of| of.setup == setup);
        let loads = records.loads.iter().filter(|load| load.setup == setup);
        let counts: Vec<_> = counts.cloned().collect();
        let loads: Vec<_> = loads.cloned().collect();
        let rates = break_rates(&counts, &loads, confidence).ok()?;
        let over_loads = rates.counted_over_loads.or(rates.seen_on_loads)?;
        Some(over_loads.rate)
    };
    Some(Breaks {
        new: of(new)?,
        old: of(old)?,
    })
}

fn film_of(records: &RecordSet, setup: &Setup) -> Film {
    let roll = setup
        .film_roll
        .and_then(|id| records.film_rolls.iter().find(|roll| roll.id == id));
    roll.map(|roll| Film::of(roll)).unwrap_or_default()
}
