//! From a label to the sample in the book.

use chrono::{DateTime, FixedOffset, NaiveDate};
use uuid::Uuid;

use super::{LabelCode, ShortCode};
use crate::book::{Book, BookError, Which};
use crate::language::Language;
use crate::say;
use crate::survey::{Id, Record, Sample, SampleKind};

/// A sample as its label and a list of candidates show it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SampleFacts {
    /// Which.
    pub sample: Id<Sample>,
    /// What was kept.
    pub what: SampleKind,
    /// The day of its visit.
    pub date: Option<NaiveDate>,
    /// The customer.
    pub customer: String,
    /// The site.
    pub site: String,
    /// The line it comes from; blank when it was noted without its load.
    pub line: String,
    /// The load it is or comes from; blank when none was noted.
    pub load: String,
    /// Where it stands.
    pub place: String,
    /// Who visited.
    pub rep: String,
    /// Keep it until then.
    pub retain_until: Option<NaiveDate>,
    /// The device its record was made on.
    pub device: Uuid,
    /// Whether its record was set aside.
    pub set_aside: bool,
}

/// What a label led to.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Lookup {
    /// Its sample is in this book.
    Here(Box<SampleFacts>),
    /// Its sample was recorded on another device, and its day file was not brought in here yet.
    Elsewhere {
        /// The day on which it was recorded, by the calendar here: the day file to ask for. `None`
        /// when the id does not tell.
        day: Option<NaiveDate>,
    },
}

impl Lookup {
    /// It in a language.
    #[must_use]
    pub fn said(&self, language: Language) -> String {
        match self {
            Self::Here(facts) => facts.to_string(),
            Self::Elsewhere { day: Some(day) } => say!(
                language,
                "this label was made on another device on {day}: take in the day file of that day, then read the label again",
                day = day
            ),
            Self::Elsewhere { day: None } => say!(
                language,
                "this label was made on another device: take in the day file with its visit, then read the label again"
            ),
        }
    }
}

impl std::fmt::Display for Lookup {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(&self.said(Language::English))
    }
}

/// `2026-03-04, Harrow Tile, Kiln Lane, Line 1, Load 3`, without what is blank.
impl std::fmt::Display for SampleFacts {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let date = self.date.map(|date| date.to_string()).unwrap_or_default();
        let parts: Vec<&str> = [&date, &self.customer, &self.site, &self.line, &self.load]
            .into_iter()
            .map(|part| part.trim())
            .filter(|part| !part.is_empty())
            .collect();
        f.write_str(&parts.join(", "))
    }
}

/// What stands on the label of a sample in the book.
///
/// # Errors
/// [`BookError::NotFound`]; the store's errors.
pub fn sample_facts(book: &Book, sample: Id<Sample>) -> Result<SampleFacts, BookError> {
    facts_of(book, &book.get(sample)?)
}

fn facts_of(book: &Book, sample: &Record<Sample>) -> Result<SampleFacts, BookError> {
    let visit = book.find(sample.visit)?;
    let load = match sample.load {
        Some(load) => book.find(load)?,
        None => None,
    };
    let line = match &load {
        Some(load) => match book.find(load.setup)? {
            Some(setup) => book.find(setup.line)?,
            None => None,
        },
        None => None,
    };
    let (date, customer, site, rep) = visit.map_or_else(Default::default, |visit| {
        let visit = visit.body;
        (Some(visit.date), visit.customer, visit.site, visit.rep)
    });
    Ok(SampleFacts {
        sample: sample.id,
        what: sample.what,
        date,
        customer,
        site,
        line: line.map(|line| line.body.name).unwrap_or_default(),
        load: load.map(|load| load.body.name).unwrap_or_default(),
        place: sample.place.clone(),
        rep,
        retain_until: sample.retain_until,
        device: sample.device,
        set_aside: sample.set_aside.is_some(),
    })
}

/// The sample that a square code names, set aside or not.
///
/// # Errors
/// The store's errors.
pub fn look_up(book: &Book, code: LabelCode) -> Result<Lookup, BookError> {
    Ok(match book.find(code.sample())? {
        Some(sample) => Lookup::Here(Box::new(facts_of(book, &sample)?)),
        None => Lookup::Elsewhere {
            day: day_of(code.sample().uuid(), *book.now().date_time().offset()),
        },
    })
}

/// The samples that a short code may stand for, latest first, set aside or not. Mostly one. With
/// more, a person has to choose by date and place; with none, the label was made on another device
/// whose day file was not brought in here yet.
///
/// # Errors
/// The store's errors.
pub fn look_up_short(book: &Book, code: ShortCode) -> Result<Vec<SampleFacts>, BookError> {
    let mut found: Vec<SampleFacts> = book
        .all_which::<Sample>(Which::All)?
        .iter()
        .filter(|sample| code.matches(sample.id))
        .map(|sample| facts_of(book, sample))
        .collect::<Result<_, _>>()?;
    found.sort_by_key(|facts| std::cmp::Reverse((facts.date, facts.sample)));
    Ok(found)
}

/// The day in an id of version 7 (RFC 9562, 5.7), by the calendar at that offset.
fn day_of(id: Uuid, offset: FixedOffset) -> Option<NaiveDate> {
    if id.get_version_num() != 7 {
        return None;
    }
    let (seconds, nanos) = id.get_timestamp()?.to_unix();
    let at = DateTime::from_timestamp(i64::try_from(seconds).ok()?, nanos)?;
    Some(at.with_timezone(&offset).date_naive())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_day_is_that_of_the_calendar_here() {
        // RFC 9562, appendix A.6: 2022-02-22T19:22:22Z.
        let id = Uuid::parse_str("017F22E2-79B0-7CC3-98C4-DC0C0C07398F").unwrap();
        let day = |hours: i32| day_of(id, FixedOffset::east_opt(hours * 3_600).unwrap());
        assert_eq!(day(0), NaiveDate::from_ymd_opt(2022, 2, 22));
        assert_eq!(day(9), NaiveDate::from_ymd_opt(2022, 2, 23));
        // RFC 9562, appendix A.3: version 4 tells no time.
        let id = Uuid::parse_str("919108f7-52d1-4320-9bac-f847db4148a8").unwrap();
        assert_eq!(day_of(id, FixedOffset::east_opt(0).unwrap()), None);
    }
}
