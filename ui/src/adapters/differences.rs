//! Differences, filled and listened to.

use slint::ComponentHandle;
use tautbook_core::book::BookError;

use super::model;
use crate::app::App;
use crate::presenters::differences;
use crate::screens::{DifferenceRow, DifferencesAdapter, MainWindow};
use crate::session::Session;

pub(super) fn fill(window: &MainWindow, session: &Session) -> Result<(), BookError> {
    let adapter = window.global::<DifferencesAdapter>();
    let rows = differences::view(session)?;
    adapter.set_rows(model(rows.into_iter().map(|row| DifferenceRow {
        title: row.title.into(),
        holds: row.holds.into(),
        gave_way: row.gave_way.into(),
        refused: row.refused.into(),
    })));
    Ok(())
}

pub(super) fn connect(window: &MainWindow, app: &App) {
    let adapter = window.global::<DifferencesAdapter>();
    let on = app.clone();
    adapter.on_open(move |index| {
        if let Ok(index) = usize::try_from(index) {
            on.act(move |session| differences::open(session, index));
        }
    });
    let on = app.clone();
    adapter.on_looked_through(move |index| {
        if let Ok(index) = usize::try_from(index) {
            on.act(move |session| differences::looked_through(session, index));
        }
    });
}
