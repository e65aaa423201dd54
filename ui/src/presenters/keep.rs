//! Keep: the samples that were kept on a visit.

use chrono::NaiveDate;
use tautbook_core::book::BookError;
use tautbook_core::label::SampleState;
use tautbook_core::language::{Language, Word};
use tautbook_core::say;
use tautbook_core::survey::{Id, Load, Record, Sample, SampleEvent, SampleKind, Visit};
use tautbook_core::word;
use tautbook_core::words::dates::short_date;

use super::listed;
use crate::lists::{List, Shown};
use crate::place::Place;
use crate::session::{Session, Tone};

/// One sample in a list.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SampleRow {
    /// Which.
    pub id: Id<Sample>,
    /// What it is and of which load.
    pub title: String,
    /// Where it stands.
    pub detail: String,
    /// Until when it is kept, or that it was released.
    pub note: String,
    /// How that is meant; `None` for plain words.
    pub tone: Option<Tone>,
}

/// The samples of a visit, some at a time.
///
/// # Errors
/// The store's errors.
pub fn view(session: &Session, visit: Id<Visit>) -> Result<Shown<SampleRow>, BookError> {
    let samples = session.book().children::<Sample, _>(visit)?;
    let shown = session.shown(List::Samples, samples);
    shown.try_map(|sample| row(session, &sample))
}

/// A sample as a row of a list.
///
/// # Errors
/// The store's errors.
pub fn row(session: &Session, sample: &Record<Sample>) -> Result<SampleRow, BookError> {
    let events = session.book().children::<SampleEvent, _>(sample.id)?;
    let today = session.book().now().date_time().date_naive();
    let language = session.language();
    let (note, tone) = standing(sample, SampleState::of(&events), today, language);
    Ok(SampleRow {
        id: sample.id,
        title: title(session, sample)?,
        detail: match sample.place.trim() {
            "" => say!(language, "Not said where it stands"),
            place => place.to_owned(),
        },
        note,
        tone,
    })
}

/// What a sample is, and of which load.
///
/// # Errors
/// The store's errors.
pub fn title(session: &Session, sample: &Sample) -> Result<String, BookError> {
    let load = match sample.load {
        Some(load) => session.book().find(load)?.map(|load| load.body.name),
        None => None,
    };
    Ok(listed([
        kind_words(sample.what).said(session.language()).to_owned(),
        load.unwrap_or_default(),
    ]))
}

/// What was kept, in words.
#[must_use]
pub const fn kind_words(what: SampleKind) -> Word {
    match what {
        SampleKind::Pallet => word!("Wrapped pallet"),
        SampleKind::CutFilm => word!("Cut film"),
        SampleKind::RollEnd => word!("End of a roll"),
    }
}

/// How a sample stands on a day: released, due, kept.
fn standing(
    sample: &Sample,
    state: SampleState,
    today: NaiveDate,
    language: Language,
) -> (String, Option<Tone>) {
    if let Some(at) = state.released {
        let day = at.date_time().date_naive();
        return (
            say!(language, "Released {day}", day = short_date(day, language)),
            Some(Tone::Good),
        );
    }
    match sample.retain_until {
        None => (say!(language, "Until when is not said"), None),
        Some(until) if until < today => (
            say!(
                language,
                "Due for release since {until}",
                until = short_date(until, language)
            ),
            Some(Tone::Warning),
        ),
        Some(until) => (
            say!(
                language,
                "Kept until {until}",
                until = short_date(until, language)
            ),
            None,
        ),
    }
}

/// Notes a new sample, of a load if one is given, and opens it.
pub fn add(session: &mut Session, visit: Id<Visit>, load: Option<Id<Load>>) {
    let sample = Sample {
        visit,
        load,
        what: SampleKind::Pallet,
        place: String::new(),
        retain_until: None,
        notes: String::new(),
    };
    if let Some(sample) = session.add("keep_sample", sample) {
        session.go(Place::Sample(sample.id));
    }
}

fn is_released(session: &Session, sample: Id<Sample>) -> Result<bool, BookError> {
    let events = session.book().children::<SampleEvent, _>(sample)?;
    Ok(SampleState::of(&events).released.is_some())
}

/// The load itself where it is kept as a sample, wrapped, and not released.
pub(super) fn kept(session: &Session, load: Id<Load>) -> Result<Option<Record<Sample>>, BookError> {
    let book = session.book();
    let Some(visit) = book.visit_of(load.reference())? else {
        return Ok(None);
    };
    let of_load =
        |sample: &Record<Sample>| sample.load == Some(load) && sample.what == SampleKind::Pallet;
    for sample in book.children::<Sample, _>(visit)?.into_iter().rev() {
        if of_load(&sample) && !is_released(session, sample.id)? {
            return Ok(Some(sample));
        }
    }
    Ok(None)
}

/// Until when a load is kept as a sample, in words; blank where it is not.
pub(super) fn kept_words(session: &Session, load: Id<Load>) -> Result<String, BookError> {
    Ok(match kept(session, load)? {
        Some(sample) => row(session, &sample)?.note,
        None => String::new(),
    })
}

/// Opens the sample that is kept of a load, or notes one.
pub fn of_load(session: &mut Session, load: Id<Load>) {
    let found = || -> Result<_, BookError> {
        let Some(visit) = session.book().visit_of(load.reference())? else {
            return Ok(None);
        };
        if let Some(kept) = kept(session, load)? {
            return Ok(Some((visit, Some(kept.id))));
        }
        // Or some of its film. What was released is no longer kept.
        let of_it = session.book().children::<Sample, _>(visit)?;
        for sample in of_it.into_iter().rev() {
            if sample.load == Some(load) && !is_released(session, sample.id)? {
                return Ok(Some((visit, Some(sample.id))));
            }
        }
        Ok(Some((visit, None)))
    };
    let found = found();
    match session.report(found).flatten() {
        Some((_, Some(sample))) => session.go(Place::Sample(sample)),
        Some((visit, None)) => add(session, visit, Some(load)),
        None => {}
    }
}
