//! Keep, filled and listened to.

use slint::ComponentHandle;
use tautbook_core::book::BookError;
use tautbook_core::survey::{Id, Visit};

use super::{id_from, id_text, model, tone_out, whole};
use crate::app::App;
use crate::place::Place;
use crate::presenters::keep;
use crate::screens::{self, KeepAdapter, MainWindow};
use crate::session::Session;

/// A sample as a row of the screen.
pub(super) fn row(row: keep::SampleRow) -> screens::SampleRow {
    screens::SampleRow {
        id: id_text(row.id),
        title: row.title.into(),
        detail: row.detail.into(),
        note: row.note.into(),
        tone: tone_out(row.tone),
    }
}

pub(super) fn fill(
    window: &MainWindow,
    session: &Session,
    visit: Id<Visit>,
) -> Result<(), BookError> {
    let adapter = window.global::<KeepAdapter>();
    let rows = keep::view(session, visit)?;
    adapter.set_all(whole(rows.all));
    adapter.set_samples(model(rows.into_iter().map(row)));
    Ok(())
}

pub(super) fn connect(window: &MainWindow, app: &App) {
    let adapter = window.global::<KeepAdapter>();
    let on = app.clone();
    adapter.on_open(move |id| {
        if let Some(id) = id_from(&id) {
            on.act(move |session| session.go(Place::Sample(id)));
        }
    });
    let on = app.clone();
    adapter.on_add(move || {
        on.act(|session| {
            if let Place::Keep(visit) = session.here() {
                keep::add(session, visit, None);
            }
        });
    });
}
