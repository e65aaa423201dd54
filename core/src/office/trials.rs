//! What the trials of a visit save in a year, and the sum over lines.

use chrono::NaiveDate;

use crate::analysis::comparison::{FilmError, compare_films};
use crate::analysis::containment::CONFIDENCE;
use crate::analysis::savings::savings_of_setups;
use crate::survey::{Id, Line, Record, RecordSet, Setup, SetupRole, Visit};

/// Film saved in a year, in kilograms: an estimate from the weighings, with its limits at 95 %.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct YearSaved {
    /// Best estimate; negative where more is taken.
    pub kg: f64,
    /// Lower limit.
    pub low_kg: f64,
    /// Upper limit.
    pub high_kg: f64,
}

impl YearSaved {
    /// The sum over lines that were weighed independently of each other; `None` without any.
    ///
    /// ```text
    /// d = Σdᵢ      low = d − √Σ(dᵢ − lᵢ)²      high = d + √Σ(uᵢ − dᵢ)²
    /// ```
    ///
    /// with dᵢ the estimates, lᵢ and uᵢ their limits. Source: G. Y. Zou, A. Donner, "Construction
    /// of confidence limits about effect measures: a general approach", Statistics in Medicine 27
    /// (2008).
    #[must_use]
    pub fn sum(of: impl IntoIterator<Item = Self>) -> Option<Self> {
        let (mut some, mut kg, mut below, mut above) = (false, 0.0, 0.0, 0.0);
        for one in of {
            some = true;
            kg += one.kg;
            below += (one.kg - one.low_kg).powi(2);
            above += (one.high_kg - one.kg).powi(2);
        }
        some.then(|| Self {
            kg,
            low_kg: kg - below.sqrt(),
            high_kg: kg + above.sqrt(),
        })
    }
}

/// A setup that was tried or left in place of one that was found.
#[derive(Debug, Clone, PartialEq)]
pub struct Trial {
    /// The visit.
    pub visit: Id<Visit>,
    /// Its day.
    pub date: NaiveDate,
    /// The line.
    pub line: Id<Line>,
    /// What the site calls it.
    pub line_name: String,
    /// The setup.
    pub setup: Id<Setup>,
    /// What it is called.
    pub setup_name: String,
    /// Tried or left.
    pub role: SetupRole,
    /// What the line was found with.
    pub found: Id<Setup>,
    /// Film saved in a year.
    pub saved: Result<YearSaved, NoSaving>,
}

/// Why nothing can be said of a year.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum NoSaving {
    /// The film was not weighed often enough.
    #[error(transparent)]
    Film(#[from] FilmError),
    /// The loads of a year are not known.
    #[error(
        "how many loads the line wraps in a year is not known: ask, and write it with the line"
    )]
    Loads,
}

/// The trials of a visit, each against the last setup its line was found with.
pub(super) fn trials(records: &RecordSet, visit: &Record<Visit>) -> Vec<Trial> {
    let mut trials = Vec::new();
    for line in &records.lines {
        let own = || {
            let setups = records.setups.iter();
            setups.filter(|setup| setup.line == line.id)
        };
        let found = own()
            .filter(|setup| setup.role == SetupRole::AsFound)
            .max_by_key(|setup| setup.id);
        let Some(found) = found else { continue };
        for setup in own().filter(|setup| setup.role != SetupRole::AsFound) {
            trials.push(Trial {
                visit: visit.id,
                date: visit.date,
                line: line.id,
                line_name: line.name.clone(),
                setup: setup.id,
                setup_name: setup.name.clone(),
                role: setup.role,
                found: found.id,
                saved: saved(records, line, setup, found),
            });
        }
    }
    trials
}

fn saved(
    records: &RecordSet,
    line: &Record<Line>,
    new: &Record<Setup>,
    old: &Record<Setup>,
) -> Result<YearSaved, NoSaving> {
    let film = compare_films(records, new.id, old.id)?;
    if line.volume.is_none_or(|volume| volume.loads_a_year() == 0) {
        return Err(NoSaving::Loads);
    }
    let year = savings_of_setups(records, line, (new, old), &film, CONFIDENCE)
        .map_err(FilmError::Statistics)?
        .film_kg;
    Ok(YearSaved {
        kg: year.saved,
        low_kg: year.interval.low,
        high_kg: year.interval.high,
    })
}
