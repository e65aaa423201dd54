//! The name of a place and the way to it, for the bar over every screen.

use tautbook_core::book::{Book, BookError};
use tautbook_core::language::Language;
use tautbook_core::survey::{
    FilmWeight, Finding, Id, Kind, Line, Load, MachineCheck, Photo, Reading, RecordRef, Setup,
    Visit,
};
use tautbook_core::word;

use crate::place::{Place, Scope};
use crate::session::Session;

/// The name of a place, and the way to it in small.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Title {
    /// The place's own name; empty where the screen names itself.
    pub name: String,
    /// What it belongs to.
    pub crumb: String,
}

/// Between the parts of a crumb.
const THEN: &str = " \u{203a} ";

/// The title of a place.
///
/// # Errors
/// The store's errors.
pub fn title(session: &Session, place: Place) -> Result<Title, BookError> {
    let (book, language) = (session.book(), session.language());
    let (name, way) = match place {
        Place::Photos(of) => return title_of_record(session, of),
        Place::Photo(id) => return title_of_record(session, book.get(id)?.of),
        Place::Today
        | Place::Visits
        | Place::About
        | Place::Parts
        | Place::Settings
        | Place::Tools
        | Place::Find
        | Place::Send
        | Place::Differences
        | Place::Records(None) => return Ok(Title::default()),
        Place::Sample(id) => {
            let sample = book.get(id)?;
            return title(session, Place::Visit(sample.visit));
        }
        Place::Visit(id) | Place::Keep(id) | Place::Report(id) => {
            let visit = book.get(id)?;
            let name = customer(&visit, language).to_owned();
            return Ok(Title {
                name,
                crumb: visit.body.site,
            });
        }
        Place::Line(id) | Place::Machine(id) => {
            let line = book.get(id)?;
            (
                line.name.clone(),
                vec![customer_of(book, line.visit, language)?],
            )
        }
        Place::FilmRoll(id) => {
            let roll = book.get(id)?;
            (
                roll.name.clone(),
                vec![customer_of(book, roll.visit, language)?],
            )
        }
        Place::Setup(id)
        | Place::FilmMeasures(id)
        | Place::Plan { setup: id, .. }
        | Place::Compare { new: id, .. }
        | Place::Results {
            scope: Scope::Setup(id),
            ..
        } => {
            let mut way = way_to_setup(book, id, language)?;
            (way.pop().unwrap_or_default(), way)
        }
        Place::Load(id)
        | Place::Read { load: id, .. }
        | Place::Weigh(id)
        | Place::Records(Some(id))
        | Place::Results {
            scope: Scope::Load(id),
            ..
        } => {
            let load = book.get(id)?;
            (load.name.clone(), way_to_setup(book, load.setup, language)?)
        }
    };
    Ok(Title {
        name,
        crumb: way.join(THEN),
    })
}

/// The place that a record is seen at: its own, or its load's, line's or visit's.
///
/// # Errors
/// The store's errors.
pub fn place_of(book: &Book, record: RecordRef) -> Result<Option<Place>, BookError> {
    let id = record.id;
    Ok(Some(match record.kind {
        Kind::Visit => Place::Visit(Id::from_uuid(id)),
        Kind::Line => Place::Line(Id::from_uuid(id)),
        Kind::FilmRoll => Place::FilmRoll(Id::from_uuid(id)),
        Kind::Setup => Place::Setup(Id::from_uuid(id)),
        Kind::Load => Place::Load(Id::from_uuid(id)),
        Kind::Reading => Place::Load(book.get::<Reading>(Id::from_uuid(id))?.load),
        Kind::FilmWeight => Place::Weigh(book.get::<FilmWeight>(Id::from_uuid(id))?.load),
        Kind::MachineCheck => Place::Machine(book.get::<MachineCheck>(Id::from_uuid(id))?.line),
        Kind::Tool => Place::Tools,
        Kind::Finding => {
            let finding = book.get::<Finding>(Id::from_uuid(id))?;
            let of_machine = finding
                .evidence
                .iter()
                .any(|shown| finding.is_of_check(*shown) && shown.kind == Kind::MachineCheck);
            match finding.line.filter(|_| of_machine) {
                Some(line) => Place::Machine(line),
                None => Place::Visit(finding.visit),
            }
        }
        Kind::Sample => Place::Sample(Id::from_uuid(id)),
        Kind::Photo => Place::Photos(book.get::<Photo>(Id::from_uuid(id))?.of),
        _ => match book.visit_of(record)? {
            Some(visit) => Place::Visit(visit),
            None => return Ok(None),
        },
    }))
}

/// The title of the place that a record is seen at.
fn title_of_record(session: &Session, of: RecordRef) -> Result<Title, BookError> {
    match place_of(session.book(), of)? {
        Some(Place::Photos(_)) | None => Ok(Title::default()),
        Some(place) => title(session, place),
    }
}

/// The places from a visit down to the one that a record is seen at.
fn way_to_record(book: &Book, of: RecordRef) -> Result<Vec<Place>, BookError> {
    match place_of(book, of)? {
        Some(Place::Photos(_)) | None => Ok(Vec::new()),
        Some(place) => way_to(book, place),
    }
}

fn way_to_setup(book: &Book, id: Id<Setup>, language: Language) -> Result<Vec<String>, BookError> {
    let setup = book.get(id)?;
    let line = book.get(setup.line)?;
    let visit = book.get(line.visit)?;
    Ok(vec![
        customer(&visit, language).to_owned(),
        line.body.name,
        setup.body.name,
    ])
}

fn customer_of(book: &Book, visit: Id<Visit>, language: Language) -> Result<String, BookError> {
    let visit = book.get(visit)?;
    Ok(customer(&visit, language).to_owned())
}

/// A customer's name, or what stands for it until it is written.
#[must_use]
pub fn customer(visit: &Visit, language: Language) -> &str {
    match visit.customer.trim() {
        "" => word!("Customer not named yet").said(language),
        name => name,
    }
}

/// The places from a visit down to a record's own place.
///
/// # Errors
/// The store's errors.
pub fn way_to(book: &Book, place: Place) -> Result<Vec<Place>, BookError> {
    let to_line = |id: Id<Line>| -> Result<Vec<Place>, BookError> {
        Ok(vec![Place::Visit(book.get(id)?.visit), Place::Line(id)])
    };
    let to_setup = |id: Id<Setup>| -> Result<Vec<Place>, BookError> {
        let mut way = to_line(book.get(id)?.line)?;
        way.push(Place::Setup(id));
        Ok(way)
    };
    let to_load = |id: Id<Load>| -> Result<Vec<Place>, BookError> {
        let mut way = to_setup(book.get(id)?.setup)?;
        way.push(Place::Load(id));
        Ok(way)
    };
    Ok(match place {
        Place::Today => Vec::new(),
        Place::Find
        | Place::Send
        | Place::Settings
        | Place::Tools
        | Place::Visits
        | Place::Records(None)
        | Place::Visit(_) => vec![place],
        Place::About => vec![Place::Settings, place],
        Place::Parts => vec![Place::Settings, Place::About, place],
        Place::Differences => vec![Place::Send, place],
        Place::Keep(id) | Place::Report(id) => vec![Place::Visit(id), place],
        Place::Sample(id) => {
            let visit = book.get(id)?.visit;
            vec![Place::Visit(visit), Place::Keep(visit), place]
        }
        Place::Line(id) => to_line(id)?,
        Place::Machine(id) => {
            let mut way = to_line(id)?;
            way.push(place);
            way
        }
        Place::Photos(of) => {
            let mut way = way_to_record(book, of)?;
            way.push(place);
            way
        }
        Place::Photo(id) => {
            let of = book.get(id)?.of;
            let mut way = way_to_record(book, of)?;
            way.extend([Place::Photos(of), place]);
            way
        }
        Place::FilmRoll(id) => vec![Place::Visit(book.get(id)?.visit), place],
        Place::Setup(id) => to_setup(id)?,
        Place::Load(id) => to_load(id)?,
        Place::FilmMeasures(id)
        | Place::Plan { setup: id, .. }
        | Place::Compare { new: id, .. }
        | Place::Results {
            scope: Scope::Setup(id),
            ..
        } => {
            let mut way = to_setup(id)?;
            way.push(place);
            way
        }
        Place::Read { load: id, .. }
        | Place::Weigh(id)
        | Place::Records(Some(id))
        | Place::Results {
            scope: Scope::Load(id),
            ..
        } => {
            let mut way = to_load(id)?;
            way.push(place);
            way
        }
    })
}
