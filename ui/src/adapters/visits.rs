//! Every visit, a row read as it comes to be seen.

use std::any::Any;
use std::cell::{Cell, RefCell};
use std::collections::VecDeque;

use slint::{ComponentHandle, Model, ModelNotify, ModelRc, ModelTracker};
use tautbook_core::book::BookError;
use tautbook_core::language::Language;

use super::{id_from, today};
use crate::app::App;
use crate::presenters::today as presenter;
use crate::screens::{MainWindow, VisitRow, VisitsAdapter};
use crate::session::Session;

/// How many rows are read at once.
const CHUNK: u32 = 50;
/// How many chunks stay at hand: more than any screen shows.
const KEPT: usize = 4;

/// The book's visits as rows, read as they are asked for.
struct Rows {
    app: App,
    language: Cell<Language>,
    count: Cell<u32>,
    /// The chunks read last, with the number of each.
    chunks: RefCell<VecDeque<(u32, Vec<VisitRow>)>>,
    notify: ModelNotify,
}

impl Rows {
    fn new(app: App) -> Self {
        Self {
            app,
            language: Cell::new(Language::English),
            count: Cell::new(0),
            chunks: RefCell::default(),
            notify: ModelNotify::default(),
        }
    }

    /// The book may hold others now.
    fn renew(&self, count: u32, language: Language) {
        self.language.set(language);
        self.count.set(count);
        self.chunks.borrow_mut().clear();
        self.notify.reset();
    }

    fn read(&self, chunk: u32) -> Option<Vec<VisitRow>> {
        let visits = self
            .app
            .glance(|session| session.book().visits(chunk * CHUNK, CHUNK))?
            .ok()?;
        let language = self.language.get();
        let rows = visits.into_iter().map(|visit| today::row(visit, language));
        Some(rows.collect())
    }
}

impl Model for Rows {
    type Data = VisitRow;

    fn row_count(&self) -> usize {
        self.count.get() as usize
    }

    fn row_data(&self, row: usize) -> Option<VisitRow> {
        let row = u32::try_from(row).ok()?;
        if row >= self.count.get() {
            return None;
        }
        let (chunk, within) = (row / CHUNK, (row % CHUNK) as usize);
        let mut chunks = self.chunks.borrow_mut();
        if !chunks.iter().any(|(known, _)| *known == chunk) {
            let read = self.read(chunk)?;
            if chunks.len() == KEPT {
                chunks.pop_front();
            }
            chunks.push_back((chunk, read));
        }
        let (_, rows) = chunks.iter().find(|(known, _)| *known == chunk)?;
        rows.get(within).cloned()
    }

    fn model_tracker(&self) -> &dyn ModelTracker {
        &self.notify
    }

    fn as_any(&self) -> &dyn Any {
        self
    }
}

pub(super) fn fill(window: &MainWindow, session: &Session) -> Result<(), BookError> {
    let rows = window.global::<VisitsAdapter>().get_rows();
    if let Some(rows) = rows.as_any().downcast_ref::<Rows>() {
        rows.renew(session.book().visit_count()?, session.language());
    }
    Ok(())
}

pub(super) fn connect(window: &MainWindow, app: &App) {
    let adapter = window.global::<VisitsAdapter>();
    adapter.set_rows(ModelRc::new(Rows::new(app.clone())));
    let on = app.clone();
    adapter.on_open(move |id| {
        if let Some(id) = id_from(&id) {
            on.act(move |session| presenter::open_visit(session, id));
        }
    });
}
