//! Records one by one, filled and listened to.

use slint::ComponentHandle;
use tautbook_core::book::BookError;
use tautbook_core::survey::{Id, Kind, Load, SetAside};

use super::{model, record_from, record_text, refill};
use crate::app::App;
use crate::presenters::records::{self, Row, Stands};
use crate::screens::{MainWindow, RecordLine, RecordRow, RecordsAdapter, WhyAside};
use crate::session::Session;

fn words(text: String) -> RecordRow {
    RecordRow {
        line: RecordLine::Words,
        title: text.into(),
        ..RecordRow::default()
    }
}

fn row(row: Row) -> RecordRow {
    let (line, note) = match row.stands {
        Stands::InUse => (RecordLine::InUse, String::new()),
        Stands::Aside(when) => (RecordLine::Aside, when),
        Stands::Back => (RecordLine::Back, String::new()),
    };
    RecordRow {
        line,
        id: record_text(row.record),
        title: row.title.into(),
        detail: row.detail.into(),
        note: note.into(),
        reading: row.record.kind == Kind::Reading,
    }
}

pub(super) fn fill(
    window: &MainWindow,
    session: &Session,
    of: Option<Id<Load>>,
) -> Result<(), BookError> {
    let adapter = window.global::<RecordsAdapter>();
    let view = records::view(session, of)?;
    adapter.set_of_load(of.is_some());
    let mut rows = vec![words(view.about)];
    rows.extend(view.rows.into_iter().map(row));
    if !view.after.is_empty() {
        rows.push(words(view.after));
    }
    if let Some(fresh) = refill(&adapter.get_rows(), rows) {
        adapter.set_rows(fresh);
    }
    Ok(())
}

const fn reason(why: WhyAside) -> &'static str {
    match why {
        WhyAside::FilmTore => SetAside::FILM_TORE,
        WhyAside::Slipped => SetAside::SLIPPED,
        WhyAside::WrongPlace => SetAside::WRONG_PLACE,
        WhyAside::Mistyped => SetAside::MISTYPED,
        WhyAside::Other => SetAside::BY_HAND,
    }
}

pub(super) fn connect(window: &MainWindow, app: &App) {
    let adapter = window.global::<RecordsAdapter>();
    adapter.set_rows(model([]));
    let on = app.clone();
    adapter.on_set_aside(move |id, why| {
        if let Some(record) = record_from(&id) {
            on.run(move |session| records::set_aside(session, record, reason(why)));
        }
    });
    let on = app.clone();
    adapter.on_bring_back(move |id| {
        if let Some(record) = record_from(&id) {
            on.run(move |session| records::bring_back(session, record));
        }
    });
}
