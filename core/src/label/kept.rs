//! What became of a sample, and which samples need not be kept any longer.

use std::collections::BTreeMap;

use chrono::NaiveDate;

use super::{SampleFacts, sample_facts};
use crate::book::{Book, BookError, KeptSamples};
use crate::survey::{Id, Moment, Record, Sample, SampleEvent, SampleEventKind};

/// What became of a sample, as its events tell it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct SampleState {
    /// When a label was last put on it.
    pub labelled: Option<Moment>,
    /// When its label was last read.
    pub found: Option<Moment>,
    /// When it was last moved.
    pub moved: Option<Moment>,
    /// When it was released; `None` while it is kept. A new label after that keeps it again.
    pub released: Option<Moment>,
}

impl SampleState {
    /// From the events of one sample, in any order; those set aside count for nothing. Of two
    /// events at one instant the one recorded later counts as later.
    #[must_use]
    pub fn of(events: &[Record<SampleEvent>]) -> Self {
        let mut events: Vec<_> = events
            .iter()
            .filter(|event| event.set_aside.is_none())
            .collect();
        events.sort_by_key(|event| (event.at.unix_ms(), event.id));
        let mut state = Self::default();
        for event in events {
            let at = Some(event.at);
            match event.what {
                SampleEventKind::Labelled => {
                    state.labelled = at;
                    state.released = None;
                }
                SampleEventKind::Found => state.found = at,
                SampleEventKind::Moved => state.moved = at,
                SampleEventKind::Released => state.released = at,
            }
        }
        state
    }

    /// When somebody last had to do with it, other than releasing it.
    #[must_use]
    pub fn last_seen(self) -> Option<Moment> {
        [self.labelled, self.found, self.moved]
            .into_iter()
            .flatten()
            .max_by_key(|at| at.unix_ms())
    }
}

/// Samples in use that were to be kept until a day before `on` and were not released, those that
/// are due the longest first. A sample without a day is never due: somebody has to decide.
#[must_use]
pub fn due_for_release<'a>(
    samples: &'a [Record<Sample>],
    events: &[Record<SampleEvent>],
    on: NaiveDate,
) -> Vec<&'a Record<Sample>> {
    let mut of_each: BTreeMap<Id<Sample>, Vec<Record<SampleEvent>>> = BTreeMap::new();
    for event in events {
        of_each.entry(event.sample).or_default().push(event.clone());
    }
    let released = |sample: &Record<Sample>| {
        let events = of_each.get(&sample.id);
        events.is_some_and(|events| SampleState::of(events).released.is_some())
    };
    let mut due: Vec<(NaiveDate, &Record<Sample>)> = samples
        .iter()
        .filter(|sample| sample.set_aside.is_none())
        .filter_map(|sample| Some((sample.retain_until?, sample)))
        .filter(|&(until, sample)| until < on && !released(sample))
        .collect();
    due.sort_by_key(|&(until, sample)| (until, sample.id));
    due.into_iter().map(|(_, sample)| sample).collect()
}

/// What became of a sample in the book.
///
/// # Errors
/// The store's errors.
pub fn state_of(book: &Book, sample: Id<Sample>) -> Result<SampleState, BookError> {
    Ok(SampleState::of(&book.children::<SampleEvent, _>(sample)?))
}

/// The samples in the book that need not be kept any longer, those that are due the longest first.
///
/// # Errors
/// The store's errors.
pub fn samples_due(book: &Book, on: NaiveDate) -> Result<Vec<SampleFacts>, BookError> {
    let KeptSamples { samples, events } = book.samples_kept_until_before(on)?;
    due_for_release(&samples, &events, on)
        .into_iter()
        .map(|sample| sample_facts(book, sample.id))
        .collect()
}
