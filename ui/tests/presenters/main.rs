//! The presenters on a real book, without a window: what the screens show and what their buttons
//! do.

#![allow(clippy::unwrap_used)] // In a test a failed unwrap is a failed test.

mod abroad;
mod chosen;
mod compare;
mod forms;
mod handed;
mod kept;
mod loading;
mod places;
mod readings;
mod results;
mod trouble;
mod weighing;

use std::path::PathBuf;

use tautbook_core::book::{Book, FixedClock, OpenMode};
use tautbook_core::survey::{
    FilmRoll, Id, Line, Load, Moment, Setup, SetupRole, Tool, ToolKind, Visit,
};
use tautbook_core::units::UnitSystem;
use tautbook_ui::device::Desktop;
use tautbook_ui::session::{Look, Session, Tone};

/// A book in a folder of its own, with a visit to its first load.
pub(crate) struct Desk {
    folder: tempfile::TempDir,
    pub(crate) session: Session,
    pub(crate) visit: Id<Visit>,
    pub(crate) line: Id<Line>,
    pub(crate) roll: Id<FilmRoll>,
    pub(crate) setup: Id<Setup>,
    pub(crate) load: Id<Load>,
}

pub(crate) fn at(ms: i64) -> Moment {
    Moment::from_unix_ms(1_772_600_000_000 + ms, -300).unwrap()
}

fn resume(path: &std::path::Path, now: Moment) -> Session {
    let (book, opened) =
        Book::open(path, OpenMode::OpenOrStart, Box::new(FixedClock(now))).unwrap();
    Session::resume(book, &opened, Box::new(Desktop)).unwrap()
}

impl Desk {
    pub(crate) fn new() -> Self {
        Self::with_tools(&[])
    }

    pub(crate) fn with_tools(tools: &[Tool]) -> Self {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("book.taut");
        let (mut book, _) =
            Book::open(&path, OpenMode::OpenOrStart, Box::new(FixedClock(at(0)))).unwrap();
        let made = book
            .act("start_visit", |act| {
                for tool in tools {
                    act.add(tool.clone())?;
                }
                let visit = act.add(Visit {
                    customer: "Harrow Tile".to_owned(),
                    site: "Kiln Lane".to_owned(),
                    date: chrono::NaiveDate::from_ymd_opt(2026, 3, 4).unwrap(),
                    rep: String::new(),
                    purpose: tautbook_core::survey::Purpose::Baseline,
                    bag: Vec::new(),
                    safety: Vec::new(),
                    notes: String::new(),
                })?;
                let line = act.add(Line::new(visit.id, "Line 1"))?;
                let roll = act.add(FilmRoll::new(visit.id, "Film 1"))?;
                let setup = act.add(Setup::new(line.id, "As found", SetupRole::AsFound))?;
                let load = act.add(Load::new(setup.id, "Load 1"))?;
                Ok((visit.id, line.id, roll.id, setup.id, load.id))
            })
            .unwrap();
        drop(book);
        let (visit, line, roll, setup, load) = made.value;
        Self {
            session: resume(&path, at(1_000)),
            folder,
            visit,
            line,
            roll,
            setup,
            load,
        }
    }

    pub(crate) fn path(&self) -> PathBuf {
        self.folder.path().join("book.taut")
    }

    /// Closes the app; its folder is there as long as what comes back.
    pub(crate) fn close(self) -> tempfile::TempDir {
        drop(self.session);
        self.folder
    }

    /// Closes the app and opens it again.
    pub(crate) fn reopen(self) -> Self {
        self.reopen_at(at(2_000))
    }

    pub(crate) fn reopen_at(self, now: Moment) -> Self {
        self.closed(now, |_| ())
    }

    /// Closes the app, changes its book and opens it again.
    pub(crate) fn change_book(self, change: impl FnOnce(&mut Book)) -> Self {
        let now = self.session.book().now();
        self.closed(now, |path| {
            let (mut book, _) =
                Book::open(path, OpenMode::OpenOrStart, Box::new(FixedClock(now))).unwrap();
            change(&mut book);
        })
    }

    fn closed(self, now: Moment, meanwhile: impl FnOnce(&std::path::Path)) -> Self {
        let path = self.path();
        let Self {
            folder,
            session,
            visit,
            line,
            roll,
            setup,
            load,
        } = self;
        drop(session);
        meanwhile(&path);
        Self {
            session: resume(&path, now),
            folder,
            visit,
            line,
            roll,
            setup,
            load,
        }
    }

    pub(crate) fn units(&mut self, units: UnitSystem) {
        let look = Look {
            units,
            ..self.session.look()
        };
        self.session.set_look(look);
    }

    /// What is said over the page, and how.
    pub(crate) fn said(&self) -> Option<(Tone, &str)> {
        self.session
            .notice()
            .map(|notice| (notice.tone, notice.text.as_str()))
    }
}

pub(crate) fn tool(kind: ToolKind, name: &str) -> Tool {
    Tool::new(kind, name)
}
