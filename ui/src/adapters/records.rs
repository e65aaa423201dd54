//! Records one by one, filled and listened to.

use slint::ComponentHandle;
use tautbook_core::book::BookError;
use tautbook_core::survey::{Id, Load};

use super::model;
use crate::app::App;
use crate::presenters::records;
use crate::screens::{MainWindow, RecordRow, RecordsAdapter};
use crate::session::Session;

pub(super) fn fill(
    window: &MainWindow,
    session: &Session,
    of: Option<Id<Load>>,
) -> Result<(), BookError> {
    let adapter = window.global::<RecordsAdapter>();
    let view = records::view(session, of)?;
    adapter.set_of_load(of.is_some());
    adapter.set_more(view.more);
    adapter.set_rows(model(view.rows.into_iter().map(|row| RecordRow {
        title: row.title.into(),
        detail: row.detail.into(),
        aside: row.aside.is_some(),
        note: row.aside.unwrap_or_default().into(),
    })));
    Ok(())
}

pub(super) fn connect(window: &MainWindow, app: &App) {
    let adapter = window.global::<RecordsAdapter>();
    let on = app.clone();
    adapter.on_set_aside(move |index| {
        if let Ok(index) = usize::try_from(index) {
            on.run(move |session| records::set_aside(session, index));
        }
    });
    let on = app.clone();
    adapter.on_bring_back(move |index| {
        if let Ok(index) = usize::try_from(index) {
            on.run(move |session| records::bring_back(session, index));
        }
    });
}
