//! Everything the results of a load or setup come from.

use tautbook_core::analysis::containment::{Taken, taken};
use tautbook_core::analysis::pattern::Pattern;
use tautbook_core::book::{Book, BookError, Which};
use tautbook_core::survey::{
    FilmRoll, FilmWeight, FilmWidth, Id, Line, Load, Reading, Record, Setup, Stability,
    StretchMark, Target, Thickness, Tool,
};
use tautbook_core::units::Method;

use crate::place::Scope;
use crate::session::Session;

/// The records of a load, or of a setup with all its loads.
pub(crate) struct Material {
    pub(crate) line: Record<Line>,
    pub(crate) setup: Record<Setup>,
    pub(crate) roll: Option<Record<FilmRoll>>,
    pub(crate) loads: Vec<Record<Load>>,
    /// Of each load, set aside ones too.
    pub(crate) readings: Vec<Vec<Record<Reading>>>,
    pub(crate) weights: Vec<Record<FilmWeight>>,
    pub(crate) widths: Vec<Record<FilmWidth>>,
    pub(crate) thickness: Vec<Record<Thickness>>,
    pub(crate) marks: Vec<Record<StretchMark>>,
    pub(crate) targets: Vec<Record<Target>>,
    pub(crate) tools: Vec<Record<Tool>>,
}

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
    let mut readings = Vec::new();
    let mut weights = Vec::new();
    let mut widths = Vec::new();
    for load in &loads {
        readings.push(book.children_which::<Reading, _>(load.id, Which::All)?);
        weights.extend(book.children::<FilmWeight, _>(load.id)?);
        widths.extend(book.children::<FilmWidth, _>(load.id)?);
    }
    Ok(Material {
        thickness: match setup.film_roll {
            Some(roll) => book.children::<Thickness, _>(roll)?,
            None => Vec::new(),
        },
        marks: book.children::<StretchMark, _>(setup.id)?,
        roll: setup.film_roll.map(|roll| book.get(roll)).transpose()?,
        targets: book.children::<Target, _>(line.visit)?,
        tools: book.all::<Tool>()?,
        line,
        setup,
        loads,
        readings,
        weights,
        widths,
    })
}

impl Material {
    /// The class the loads share; `None` when it is not known or they differ.
    pub(crate) fn stability(&self) -> Option<Stability> {
        let first = self.loads.first()?.stability;
        if self.loads.iter().all(|load| load.stability == first) {
            first
        } else {
            None
        }
    }

    /// The readings by a method that take part.
    pub(crate) fn taken<M: Method>(&self) -> Vec<Taken<M>> {
        self.each_load()
            .flat_map(|(load, readings)| taken::<M>(load, readings))
            .collect()
    }

    /// Each load with its readings.
    pub(crate) fn each_load(
        &self,
    ) -> impl Iterator<Item = (&Record<Load>, &Vec<Record<Reading>>)> + '_ {
        self.loads.iter().zip(&self.readings)
    }

    /// The film that the setup's programme lays on the first load whose size is known; the text
    /// says what is missing where there is none.
    pub(crate) fn pattern(&self) -> Result<Pattern, String> {
        let mut why = "there is no load yet: add one and write its size".to_owned();
        for load in &self.loads {
            match Pattern::of_records(
                &self.setup.settings,
                load,
                &self.widths,
                self.roll.as_ref().map(|roll| &roll.body),
            ) {
                Ok(pattern) => return Ok(pattern),
                Err(error) => why = error.to_string(),
            }
        }
        Err(why)
    }
}

/// Whether a reading was taken by a method and not set aside.
pub(crate) fn is_in_use<M: Method>(reading: &Record<Reading>) -> bool {
    reading.set_aside.is_none() && reading.measure.method() == M::ID
}
