//! Today: the visits, and finding anything that was written.

use tautbook_core::book::{BookError, VisitSummary};
use tautbook_core::language::{Language, Word};
use tautbook_core::survey::{Id, ListItem, Purpose, Record, RecordRef, Visit};
use tautbook_core::word;
use tautbook_core::words::dates::{long_date, short_date};

use super::title::{customer, title, way_to};
use crate::place::Place;
use crate::session::{Entry, Session};

/// How many visits are listed before one goes on to all of them.
const MOST_VISITS: u32 = 10;

/// How many hits a search shows.
const MOST_HITS: u32 = 40;

/// One thing found.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Hit {
    /// The record.
    pub record: RecordRef,
    /// The words around what was searched for.
    pub text: String,
    /// The visit it stands in.
    pub visit: String,
}

/// What Today shows.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct View {
    /// The day, in words.
    pub date_line: String,
    /// Who visits.
    pub rep: String,
    /// The latest visits.
    pub visits: Vec<VisitSummary>,
    /// How many there are in all.
    pub visits_in_all: u32,
    /// Where the person was last, in words; empty when nowhere.
    pub last_place: String,
    /// What is searched for.
    pub search: Entry,
    /// What was found; `None` while nothing is searched for.
    pub hits: Option<Vec<Hit>>,
}

/// The field of the search.
pub const SEARCH: &str = "search";

/// What Today shows now.
///
/// # Errors
/// The store's errors.
pub fn view(session: &Session) -> Result<View, BookError> {
    let book = session.book();
    let search = session.entry(SEARCH, "", "");
    let hits = if search.text.trim().is_empty() {
        None
    } else {
        let mut hits = Vec::new();
        for hit in book.search(&search.text, MOST_HITS)? {
            if hit.set_aside || is_out_of_use(session, hit.record)? {
                continue;
            }
            let visit = match hit.visit {
                Some(id) => {
                    let visit = book.get(id)?;
                    let date = short_date(visit.date, session.language());
                    format!("{}, {date}", customer(&visit, session.language()))
                }
                None => String::new(),
            };
            hits.push(Hit {
                record: hit.record,
                text: hit.phrase,
                visit,
            });
        }
        Some(hits)
    };
    let visits = book.visits(0, MOST_VISITS)?;
    let listed = u32::try_from(visits.len()).unwrap_or(u32::MAX);
    Ok(View {
        date_line: long_date(book.now().date_time().date_naive(), session.language()),
        rep: book.state(REP)?.unwrap_or_default(),
        visits_in_all: if listed < MOST_VISITS {
            listed
        } else {
            book.visit_count()?
        },
        visits,
        last_place: match session.last_place()? {
            Some(place) => name_of(session, place)?,
            None => String::new(),
        },
        search,
        hits,
    })
}

/// Where the rep's name is remembered from one visit to the next.
pub(crate) const REP: &str = "rep";

/// Keeps the rep's name for the visits to come, and as who writes from now on.
pub(super) fn keep_rep(session: &mut Session, rep: &str) -> Result<(), BookError> {
    session.book.set_state(REP, rep)?;
    session.book.set_who(rep.to_owned());
    Ok(())
}

/// Starts a visit today and opens it.
pub fn start_visit(session: &mut Session) {
    let Some(rep) = ({
        let rep = session.book.state(REP);
        session.report(rep)
    }) else {
        return;
    };
    let before = latest_visit(session);
    let before = session.report(before).flatten();
    let language = session.language();
    let (bag, safety) = before.map_or_else(
        || (list(BAG, language), list(SAFETY, language)),
        |before| {
            (
                as_before(&before.bag, BAG, language),
                as_before(&before.safety, SAFETY, language),
            )
        },
    );
    let visit = Visit {
        customer: String::new(),
        site: String::new(),
        date: session.book.now().date_time().date_naive(),
        rep: rep.unwrap_or_default(),
        purpose: Purpose::Baseline,
        bag,
        safety,
        notes: String::new(),
    };
    if let Some(visit) = session.add("start_visit", visit) {
        session.go(Place::Visit(visit.id));
    }
}

/// Among so many of the latest days the visit that was begun last is looked for.
const LATEST: u32 = 20;

/// The visit that was begun last.
fn latest_visit(session: &Session) -> Result<Option<Record<Visit>>, BookError> {
    // One may be planned for a day to come.
    let latest = session.book().visits(0, LATEST)?.into_iter();
    let latest = latest.max_by_key(|visit| visit.id);
    latest.map(|visit| session.book().get(visit.id)).transpose()
}

/// What a rep brings (common practice, no source).
const BAG: &[Word] = &[
    word!("Torsion tool, zeroed"),
    word!("Pull plate and scale, zeroed"),
    word!("Film scale and a bag"),
    word!("Micrometer"),
    word!("Tape measure and marker"),
    word!("Safety knife"),
];

/// What protects the rep; the site's rules come first (common practice, no source).
const SAFETY: &[Word] = &[
    word!("Signed in and shown the site’s rules"),
    word!("Safety shoes"),
    word!("Hard hat where the site asks for one"),
    word!("High-visibility vest"),
    word!("Eye protection"),
    word!("Cut-resistant gloves"),
    word!("Walkways and lift-truck lanes known"),
];

/// Whether it is on the list that every rep begins with.
pub(super) fn is_ours(item: &str) -> bool {
    let ours = |word: &Word| Language::ALL.into_iter().any(|l| word.said(l) == item);
    BAG.iter().any(ours)
}

/// The list of the visit before, nothing ticked; ours where that had none.
fn as_before(before: &[ListItem], ours: &[Word], language: Language) -> Vec<ListItem> {
    if before.is_empty() {
        return list(ours, language);
    }
    let unticked = |item: &ListItem| ListItem {
        done: false,
        ..item.clone()
    };
    before.iter().map(unticked).collect()
}

fn list(items: &[Word], language: Language) -> Vec<ListItem> {
    items
        .iter()
        .map(|text| ListItem {
            text: text.said(language).to_owned(),
            done: false,
        })
        .collect()
}

/// Opens a visit.
pub fn open_visit(session: &mut Session, id: Id<Visit>) {
    session.go(Place::Visit(id));
}

/// Goes back to where the person was last.
pub fn go_on(session: &mut Session) {
    session.go_on();
}

/// Opens the place of something found.
pub fn open_hit(session: &mut Session, record: RecordRef) {
    let place = place_of(session, record);
    let Some(Some(place)) = session.report(place) else {
        return;
    };
    let way = way_to(session.book(), place);
    if let Some(way) = session.report(way) {
        session.go_by(way);
    }
}

/// Whether the place where a record is seen, or what that belongs to, was set aside.
pub(super) fn is_out_of_use(session: &Session, record: RecordRef) -> Result<bool, BookError> {
    let Some(place) = place_of(session, record)? else {
        return Ok(false);
    };
    for place in way_to(session.book(), place)? {
        if session.is_place_lost(place)? {
            return Ok(true);
        }
    }
    Ok(false)
}

/// The place where a record is seen.
pub(super) fn place_of(session: &Session, record: RecordRef) -> Result<Option<Place>, BookError> {
    super::title::place_of(session.book(), record)
}

/// A place in words, with the way to it.
fn name_of(session: &Session, place: Place) -> Result<String, BookError> {
    let title = title(session, place)?;
    Ok(if title.crumb.is_empty() {
        title.name
    } else {
        format!("{} \u{203a} {}", title.crumb, title.name)
    })
}
