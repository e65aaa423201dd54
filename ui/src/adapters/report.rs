//! Report, filled and listened to.

use slint::{ComponentHandle, SharedString};
use tautbook_core::book::BookError;
use tautbook_core::report::Paper;
use tautbook_core::survey::{Id, Visit};

use super::{id_from, id_text, language_in, language_out, model, same, send};
use crate::app::App;
use crate::place::Place;
use crate::presenters::report;
use crate::screens::{self, CardRow, MainWindow, ReportAdapter};
use crate::session::Session;

same!(
    paper_out,
    paper_in,
    screens::ReportPaper,
    Paper { Letter, A4 }
);

pub(super) fn fill(
    window: &MainWindow,
    session: &Session,
    visit: Id<Visit>,
) -> Result<(), BookError> {
    let adapter = window.global::<ReportAdapter>();
    let view = report::view(session, visit)?;
    adapter.set_language(language_out(view.language));
    adapter.set_paper(paper_out(view.paper));
    adapter.set_holds(model(view.holds.into_iter().map(SharedString::from)));
    adapter.set_cautions(model(view.cautions.into_iter().map(SharedString::from)));
    adapter.set_cards(model(view.cards.into_iter().map(|card| CardRow {
        id: id_text(card.line),
        name: card.name.into(),
    })));
    adapter.set_made(send::file(view.made));
    adapter.set_share(view.working.unwrap_or_default());
    adapter.set_working(view.working.is_some());
    Ok(())
}

/// Does something with the visit whose report is shown.
fn with(app: &App, work: impl FnOnce(&mut Session, Id<Visit>) + 'static) {
    app.act(move |session| {
        if let Place::Report(visit) = session.here() {
            work(session, visit);
        }
    });
}

pub(super) fn connect(window: &MainWindow, app: &App) {
    let adapter = window.global::<ReportAdapter>();
    let on = app.clone();
    adapter.on_pick_language(move |language| {
        with(&on, move |session, _| {
            report::pick_language(session, language_in(language));
        });
    });
    let on = app.clone();
    adapter.on_pick_paper(move |paper| {
        with(&on, move |session, _| {
            report::pick_paper(session, paper_in(paper));
        });
    });
    let on = app.clone();
    adapter.on_make(move || with(&on, report::make));
    let on = app.clone();
    adapter.on_make_card(move |line| {
        if let Some(line) = id_from(&line) {
            with(&on, move |session, visit| {
                report::make_card(session, visit, line);
            });
        }
    });
    let on = app.clone();
    adapter.on_share_file(move || with(&on, report::share));
    let on = app.clone();
    adapter.on_call_off(move || {
        on.run(|session| {
            if let Place::Report(visit) = session.here() {
                report::call_off(session, visit);
            }
        });
    });
}
