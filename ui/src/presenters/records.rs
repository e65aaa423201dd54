//! Records one by one: the readings and weighings of a load, or what was set aside in the whole book.
//! Each is set aside and brought back here.
//!
//! What is brought back stays in the list until the person leaves it: what comes after it would else slide
//! under the thumb.

use tautbook_core::analysis::film::net_mass;
use tautbook_core::book::{ActionKey, BookError, Which};
use tautbook_core::language::Language;
use tautbook_core::say;
use tautbook_core::survey::{
    FilmWeight, Id, Kind, Load, Moment, Reading, Record, RecordRef, SetAside, Tool,
};
use tautbook_core::units::ForceUnit;
use tautbook_core::words::dates::time_at;
use tautbook_core::words::listed;

use super::figures::{film_mass, written_force};
use super::photos::subject;
use super::title::{place_of, title};
use super::today::is_out_of_use;
use crate::place::Place;
use crate::session::{Notice, NoticeAct, Session, Tone};

/// At most so many are in the list, the latest first.
const MOST: usize = 1000;

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

/// How a record stands.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Stands {
    /// In use.
    InUse,
    /// Set aside, with when in words.
    Aside(String),
    /// Brought back since the list was opened.
    Back,
}

/// One record.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Row {
    /// Which.
    pub record: RecordRef,
    /// What it is called, or its value.
    pub title: String,
    /// What it belongs to, or how it was taken.
    pub detail: String,
    /// How it stands.
    pub stands: Stands,
}

/// What the screen shows.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct View {
    /// What the list is about.
    pub about: String,
    /// The latest first.
    pub rows: Vec<Row>,
    /// What comes after them; blank where nothing does.
    pub after: String,
}

/// Opens the readings and weighings of a load.
pub fn open_load(session: &mut Session, load: Id<Load>) {
    session.go(Place::Records(Some(load)));
}

/// Opens what was set aside in the whole book.
pub fn open_book(session: &mut Session) {
    session.brought_back.clear();
    session.go(Place::Records(None));
}

/// What the screen shows now.
///
/// # Errors
/// The store's errors.
pub fn view(session: &Session, of: Option<Id<Load>>) -> Result<View, BookError> {
    let l = session.language();
    let mut rows = match of {
        Some(load) => of_load(session, load)?,
        None => of_book(session)?,
    };
    let about = match (of, rows.is_empty()) {
        (Some(_), true) => say!(l, "Nothing is measured on this load yet."),
        (Some(_), false) => say!(
            l,
            "A reading where the film tore or the tool slipped can be set aside: results do not count it, and the report shows it in brackets."
        ),
        (None, true) => say!(l, "Nothing is set aside."),
        (None, false) => say!(
            l,
            "What was set aside is in no list. It comes back with all that belongs to it. Readings that were set aside are listed at their load, under “One by one”."
        ),
    };
    let after = if rows.len() > MOST {
        say!(l, "What is older is not shown here.")
    } else {
        String::new()
    };
    rows.truncate(MOST);
    Ok(View { about, rows, after })
}

fn of_load(session: &Session, load: Id<Load>) -> Result<Vec<Row>, BookError> {
    let (book, language) = (session.book(), session.language());
    let mut rows = Vec::new();
    for reading in book.children_which::<Reading, Load>(load, Which::All)? {
        let method = reading.measure.method().word().said(language).to_owned();
        let row = Row {
            record: reading.reference(),
            title: subject(session, reading.reference())?,
            detail: listed([
                method,
                as_written(session, &reading),
                time(reading.taken_at, language),
            ]),
            stands: stands(reading.set_aside.as_ref(), language),
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
        stands: stands(weight.set_aside.as_ref(), language),
    }
}

fn of_book(session: &Session) -> Result<Vec<Row>, BookError> {
    let most = u32::try_from(MOST + 1).unwrap_or(u32::MAX);
    let row = |record, stands| {
        // This is the way back: one that cannot be named is in the list still.
        let kind = |_| (record_kind(session, record), String::new());
        let (title, detail) = named(session, record).unwrap_or_else(kind);
        Row {
            record,
            title,
            detail,
            stands,
        }
    };
    let aside = session.book().set_aside_of(&KINDS, most)?;
    let mut rows: Vec<Row> = aside
        .iter()
        .map(|(record, aside)| row(*record, stands(Some(aside), session.language())))
        .collect();
    let mut back = session.brought_back.clone();
    back.retain(|(_, record)| !aside.iter().any(|(other, _)| other == record));
    back.sort_by_key(|(at, _)| *at);
    for (at, record) in back {
        rows.insert(at.min(rows.len()), row(record, Stands::Back));
    }
    Ok(rows)
}

fn record_kind(session: &Session, record: RecordRef) -> String {
    record.kind.word().said(session.language()).to_owned()
}

/// What a record is called, and where it belongs.
fn named(session: &Session, record: RecordRef) -> Result<(String, String), BookError> {
    let (book, language) = (session.book(), session.language());
    let kind = record_kind(session, record);
    let called = |name: &str| match name.trim() {
        "" => kind.clone(),
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

fn stands(aside: Option<&SetAside>, language: Language) -> Stands {
    match aside {
        Some(aside) if matches!(aside.reason.as_str(), SetAside::BY_HAND | SetAside::UNDONE) => {
            Stands::Aside(say!(
                language,
                "Set aside {at}",
                at = time(aside.at, language)
            ))
        }
        Some(aside) => Stands::Aside(say!(
            language,
            "Set aside {at}: {why}",
            at = time(aside.at, language),
            why = aside.why(language)
        )),
        None => Stands::InUse,
    }
}

/// Sets a record of the list aside for a reason, and offers to take that back.
pub fn set_aside(session: &mut Session, record: RecordRef, why: &str) {
    let Some((_, row)) = shown(session, record) else {
        return;
    };
    let done = session.book.set_aside(record, why);
    let Some(done) = session.report(done) else {
        return;
    };
    let text = say!(
        session.language(),
        "{what}: set aside. It is still in the book.",
        what = row.title
    );
    say(session, Tone::Info, text, done.action);
}

/// Brings a record of the list back, says where that is not enough to see it, and offers to take it back.
pub fn bring_back(session: &mut Session, record: RecordRef) {
    let Some((at, row)) = shown(session, record) else {
        return;
    };
    let done = session.book.bring_back(record);
    let Some(done) = session.report(done) else {
        return;
    };
    session.brought_back.retain(|(_, other)| *other != record);
    if session.here() == Place::Records(None) {
        session.brought_back.push((at, record));
    }
    let language = session.language();
    // Where it cannot be told, nothing is said of it: the record is back.
    if is_out_of_use(session, record).unwrap_or_default() {
        let text = say!(
            language,
            "{what}: back, and not to be seen yet. What it belongs to is still set aside: bring that back too.",
            what = row.title
        );
        say(session, Tone::Warning, text, done.action);
    } else {
        let text = say!(language, "{what}: back in its place.", what = row.title);
        say(session, Tone::Good, text, done.action);
    }
}

fn say(session: &mut Session, tone: Tone, text: String, action: Option<ActionKey>) {
    session.say(Notice {
        tone,
        text,
        act: action.map(NoticeAct::Undo),
    });
}

/// A record's row, and where it stands in the list.
fn shown(session: &mut Session, record: RecordRef) -> Option<(usize, Row)> {
    let Place::Records(of) = session.here() else {
        return None;
    };
    let view = view(session, of);
    let mut rows = session.report(view)?.rows.into_iter().enumerate();
    rows.find(|(_, row)| row.record == record)
}

/// The value as it was written, where that is in another unit than it is shown in; else blank.
fn as_written(session: &Session, reading: &Reading) -> String {
    let written = reading.measure.written();
    let shown = written_force(written, session.units());
    let in_newtons = |text: &str| text.ends_with(ForceUnit::Newton.symbol());
    match in_newtons(&shown) != in_newtons(&written.text) {
        true => say!(
            session.language(),
            "written as {value}",
            value = written.text
        ),
        false => String::new(),
    }
}
