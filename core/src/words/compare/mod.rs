//! Two setups side by side, in words and as a chart.

mod said;
mod savings;

use crate::say;
use crate::survey::{FilmWeight, Id, Line, Load, Margin, Moment, Record, RecordSet, Setup};
use crate::units::{Method, MethodId};
use crate::words::{Reader, figures};

pub use said::{chart, film, rests_on, verdict, zones};
pub use savings::block as savings;

/// One pair of setups, with what is known of both.
pub struct Pair {
    /// The old one.
    pub old: Record<Setup>,
    /// The new one.
    pub new: Record<Setup>,
    /// Their line.
    pub line: Record<Line>,
    /// The records of the visit, in use.
    pub records: RecordSet,
}

impl Pair {
    /// The margin of the new setup against the old one by a method, and whether it was chosen
    /// before the new one was first read; `None` while none is chosen.
    #[must_use]
    pub fn margin<M: Method>(&self) -> Option<(&Margin, bool)> {
        let kept = self.new.margin(self.old.id, M::ID)?;
        Some((
            kept,
            self.first_read(M::ID)
                .is_none_or(|first| kept.chosen <= first),
        ))
    }

    /// When the new setup was first read by a method.
    fn first_read(&self, method: MethodId) -> Option<Moment> {
        let on_new = |load: Id<Load>| {
            let loads = &self.records.loads;
            loads
                .iter()
                .any(|of| of.id == load && of.setup == self.new.id)
        };
        let readings = self.records.readings.iter();
        readings
            .filter(|reading| reading.measure.method() == method && on_new(reading.load))
            .map(|reading| reading.taken_at)
            .min()
    }

    /// What of the film of one of them was weighed.
    #[must_use]
    pub fn weights(&self, setup: Id<Setup>) -> Vec<Record<FilmWeight>> {
        let on_setup = |load: Id<Load>| {
            self.records
                .loads
                .iter()
                .any(|of| of.id == load && of.setup == setup)
        };
        self.records
            .film_weights
            .iter()
            .filter(|weight| on_setup(weight.load))
            .cloned()
            .collect()
    }
}

/// A saving of film in words.
fn saved(kg: f64, to: Reader) -> String {
    let mass = figures::film(kg.abs(), to.units);
    if kg >= 0.0 {
        say!(to.language, "{mass} less film", mass = mass)
    } else {
        say!(to.language, "{mass} more film", mass = mass)
    }
}
