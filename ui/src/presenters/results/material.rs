//! Everything the results of a load or setup come from.

use tautbook_core::analysis::plan::runs_alike;
use tautbook_core::book::{Book, BookError, Which};
use tautbook_core::survey::{
    FilmWeight, FilmWidth, Id, Load, Reading, Record, Setup, StretchMark, Target, Thickness, Tool,
};
pub(crate) use tautbook_core::words::{Material, is_in_use};

use crate::place::Scope;
use crate::session::Session;

pub(crate) fn gather(session: &Session, scope: Scope) -> Result<Material, BookError> {
    let book = session.book();
    match scope {
        Scope::Load(id) => {
            let load = book.get(id)?;
            of(book, load.setup, vec![load])
        }
        Scope::Setup(id) => of(book, id, book.children::<Load, _>(id)?),
    }
}

fn of(book: &Book, setup: Id<Setup>, loads: Vec<Record<Load>>) -> Result<Material, BookError> {
    let setup = book.get(setup)?;
    let line = book.get(setup.line)?;
    let widths = widths(book, &setup, &loads)?;
    let mut readings = Vec::new();
    let mut weights = Vec::new();
    for load in &loads {
        readings.push(book.children_which::<Reading, _>(load.id, Which::All)?);
        weights.extend(book.children::<FilmWeight, _>(load.id)?);
    }
    Ok(Material {
        thickness: match setup.film_roll {
            Some(roll) => book.children::<Thickness, _>(roll)?,
            None => Vec::new(),
        },
        marks: book.children::<StretchMark, _>(setup.id)?,
        roll: setup.film_roll.map(|roll| book.get(roll)).transpose()?,
        targets: book.children::<Target, _>(line.visit)?,
        // One set aside since was the one all the same.
        tools: book.all_which::<Tool>(Which::All)?,
        line,
        setup,
        loads,
        readings,
        weights,
        widths,
    })
}

/// How wide the film lies on the loads; without one, on all of the line whose film runs alike:
/// [`tautbook_core::analysis::plan::widths_for`] without the records of the whole visit.
fn widths(
    book: &Book,
    setup: &Record<Setup>,
    loads: &[Record<Load>],
) -> Result<Vec<Record<FilmWidth>>, BookError> {
    let mut widths = Vec::new();
    for load in loads {
        widths.extend(book.children::<FilmWidth, _>(load.id)?);
    }
    if !widths.is_empty() {
        return Ok(widths);
    }
    for other in book.children::<Setup, _>(setup.line)? {
        if runs_alike(&other, setup) {
            for load in book.children::<Load, _>(other.id)? {
                widths.extend(book.children::<FilmWidth, _>(load.id)?);
            }
        }
    }
    Ok(widths)
}
