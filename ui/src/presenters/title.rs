//! The name of a place and the way to it, for the bar over every screen.

use tautbook_core::book::{Book, BookError};
use tautbook_core::survey::{Id, Line, Load, Setup, Visit};

use crate::place::{Place, Scope};

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
pub fn title(book: &Book, place: Place) -> Result<Title, BookError> {
    let (name, way) = match place {
        Place::Today | Place::About => return Ok(Title::default()),
        Place::Visit(id) => {
            let visit = book.get(id)?;
            let name = customer(&visit).to_owned();
            return Ok(Title {
                name,
                crumb: visit.body.site,
            });
        }
        Place::Line(id) => {
            let line = book.get(id)?;
            (line.name.clone(), vec![customer_of(book, line.visit)?])
        }
        Place::FilmRoll(id) => {
            let roll = book.get(id)?;
            (roll.name.clone(), vec![customer_of(book, roll.visit)?])
        }
        Place::Setup(id)
        | Place::Plan { setup: id, .. }
        | Place::Compare { new: id, .. }
        | Place::Results {
            scope: Scope::Setup(id),
            ..
        } => {
            let mut way = way_to_setup(book, id)?;
            (way.pop().unwrap_or_default(), way)
        }
        Place::Load(id)
        | Place::Read { load: id, .. }
        | Place::Weigh(id)
        | Place::Results {
            scope: Scope::Load(id),
            ..
        } => {
            let load = book.get(id)?;
            (load.name.clone(), way_to_setup(book, load.setup)?)
        }
    };
    Ok(Title {
        name,
        crumb: way.join(THEN),
    })
}

fn way_to_setup(book: &Book, id: Id<Setup>) -> Result<Vec<String>, BookError> {
    let setup = book.get(id)?;
    let line = book.get(setup.line)?;
    let visit = book.get(line.visit)?;
    Ok(vec![
        customer(&visit).to_owned(),
        line.body.name,
        setup.body.name,
    ])
}

fn customer_of(book: &Book, visit: Id<Visit>) -> Result<String, BookError> {
    let visit = book.get(visit)?;
    Ok(customer(&visit).to_owned())
}

/// A customer's name, or what stands for it until it is written.
#[must_use]
pub fn customer(visit: &Visit) -> &str {
    match visit.customer.trim() {
        "" => "Customer not named yet",
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
        Place::About | Place::Visit(_) => vec![place],
        Place::Line(id) => to_line(id)?,
        Place::FilmRoll(id) => vec![Place::Visit(book.get(id)?.visit), place],
        Place::Setup(id) => to_setup(id)?,
        Place::Load(id) => to_load(id)?,
        Place::Plan { setup: id, .. }
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
