//! Records one by one: the readings and weighings of a load, or what was set aside in the whole book.
//! Each is set aside and brought back here.

use tautbook_core::analysis::film::net_mass;
use tautbook_core::book::{BookError, Which};
use tautbook_core::language::Language;
use tautbook_core::say;
use tautbook_core::survey::{
    FilmWeight, Id, Kind, Load, Moment, Reading, Record, RecordRef, SetAside, Tool,
};
use tautbook_core::words::dates::time_at;
use tautbook_core::words::listed;

use super::figures::film_mass;
use super::photos::subject;
use super::title::{place_of, title};
use super::today::is_out_of_use;
use crate::place::Place;
use crate::session::{Notice, Session, Tone};

/// At most so many are in the list, the latest first: a page draws no more.
const MOST: usize = 120;

/// What a person sets aside by itself; what was measured on a load stands at the load.
const KINDS: [Kind; 8] = [
    Kind::Visit,
    Kind::Line,
    Kind::FilmRoll,
    Kind::Setup,
    Kind::Load,
    Kind::Sample,
    Kind::Photo,
    Kind::Tool,
];

/// One record.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Row {
    /// Which.
    pub record: RecordRef,
    /// What it is called, or its value.
    pub title: String,
    /// What it belongs to, or how it was taken.
    pub detail: String,
    /// When it was set aside; `None` while it is in use.
    pub aside: Option<String>,
}

/// What the screen shows.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct View {
    /// The latest first.
    pub rows: Vec<Row>,
    /// There are older ones.
    pub more: bool,
}

/// Opens the readings and weighings of a load.
pub fn open_load(session: &mut Session, load: Id<Load>) {
    session.go(Place::Records(Some(load)));
}

/// Opens what was set aside in the whole book.
pub fn open_book(session: &mut Session) {
    session.go(Place::Records(None));
}

/// What the screen shows now.
///
/// # Errors
/// The store's errors.
pub fn view(session: &Session, of: Option<Id<Load>>) -> Result<View, BookError> {
    let mut rows = match of {
        Some(load) => of_load(session, load)?,
        None => of_book(session)?,
    };
    let more = rows.len() > MOST;
    rows.truncate(MOST);
    Ok(View { rows, more })
}

fn of_load(session: &Session, load: Id<Load>) -> Result<Vec<Row>, BookError> {
    let (book, language) = (session.book(), session.language());
    let mut rows = Vec::new();
    for reading in book.children_which::<Reading, Load>(load, Which::All)? {
        let method = reading.measure.method().word().said(language).to_owned();
        let row = Row {
            record: reading.reference(),
            title: subject(session, reading.reference())?,
            detail: listed([method, time(reading.taken_at, language)]),
            aside: when(reading.set_aside.as_ref(), language),
        };
        rows.push((reading.taken_at, row));
    }
    for weight in book.children_which::<FilmWeight, Load>(load, Which::All)? {
        rows.push((weight.taken_at, weighing(session, &weight)));
    }
    rows.sort_by_key(|(at, row)| std::cmp::Reverse((at.unix_ms(), row.record.id)));
    Ok(rows.into_iter().map(|(_, row)| row).collect())
}

fn weighing(session: &Session, weight: &Record<FilmWeight>) -> Row {
    let language = session.language();
    let net = net_mass(weight).map_or_else(
        || weight.gross.text.clone(),
        |net| film_mass(net, session.units()),
    );
    Row {
        record: weight.reference(),
        title: say!(language, "Film, {mass}", mass = net),
        detail: time(weight.taken_at, language),
        aside: when(weight.set_aside.as_ref(), language),
    }
}

fn of_book(session: &Session) -> Result<Vec<Row>, BookError> {
    let most = u32::try_from(MOST + 1).unwrap_or(u32::MAX);
    session
        .book()
        .set_aside_of(&KINDS, most)?
        .into_iter()
        .map(|(record, aside)| {
            let (title, detail) = named(session, record)?;
            Ok(Row {
                record,
                title,
                detail,
                aside: when(Some(&aside), session.language()),
            })
        })
        .collect()
}

/// What a record is called, and where it belongs.
fn named(session: &Session, record: RecordRef) -> Result<(String, String), BookError> {
    let (book, language) = (session.book(), session.language());
    let kind = record.kind.word().said(language);
    let called = |name: &str| match name.trim() {
        "" => kind.to_owned(),
        name => say!(language, "{name} ({kind})", name = name, kind = kind),
    };
    if record.kind == Kind::Tool {
        let tool = book.get::<Tool>(Id::from_uuid(record.id))?;
        return Ok((called(&tool.name), String::new()));
    }
    let seen_at = match place_of(book, record)? {
        Some(Place::Photos(of)) => place_of(book, of)?,
        seen_at => seen_at,
    };
    let at = seen_at.map(|place| title(session, place)).transpose()?;
    let at = at.unwrap_or_default();
    let title = match record.kind {
        // They have no name of their own.
        Kind::Photo => say!(language, "Photo of {name}", name = at.name),
        Kind::Sample => say!(language, "Sample of {name}", name = at.name),
        _ => called(&at.name),
    };
    Ok((title, at.crumb))
}

fn time(at: Moment, language: Language) -> String {
    time_at(at.date_time().naive_local(), language)
}

fn when(aside: Option<&SetAside>, language: Language) -> Option<String> {
    aside.map(|aside| say!(language, "Set aside {at}", at = time(aside.at, language)))
}

/// Sets a record of the list aside.
pub fn set_aside(session: &mut Session, index: usize) {
    if let Some(row) = at(session, index) {
        let done = session.book.set_aside(row.record, "set aside by hand");
        session.report(done);
    }
}

/// Brings a record of the list back, and says where that is not enough to see it.
pub fn bring_back(session: &mut Session, index: usize) {
    let Some(row) = at(session, index) else {
        return;
    };
    let done = session.book.bring_back(row.record);
    if session.report(done).is_none() {
        return;
    }
    let hidden = is_out_of_use(session, row.record);
    if session.report(hidden) == Some(true) {
        let text = say!(
            session.language(),
            "{name} belongs to something that is set aside still. Bring that back too.",
            name = row.title
        );
        session.say(Notice {
            tone: Tone::Info,
            text,
            act: None,
        });
    }
}

fn at(session: &mut Session, index: usize) -> Option<Row> {
    let Place::Records(of) = session.here() else {
        return None;
    };
    let view = view(session, of);
    session.report(view)?.rows.into_iter().nth(index)
}
