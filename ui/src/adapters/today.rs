//! Today, filled and listened to.

use slint::ComponentHandle;
use tautbook_core::book::{BookError, VisitSummary};
use tautbook_core::language::Language;
use tautbook_core::survey::{Kind, Purpose};
use tautbook_core::words::dates::short_date;

use super::{entry, id_from, id_text, model, record_from, record_text, whole};
use crate::app::App;
use crate::place::Place;
use crate::presenters::{records, sample, send, today};
use crate::screens::{self, HitKind, MainWindow, TodayAdapter, VisitRow};
use crate::session::Session;

pub(super) const fn purpose(purpose: Purpose) -> screens::Purpose {
    match purpose {
        Purpose::Baseline => screens::Purpose::Baseline,
        Purpose::FollowUp => screens::Purpose::FollowUp,
        Purpose::Trial => screens::Purpose::Trial,
    }
}

const fn found(kind: Kind) -> HitKind {
    match kind {
        Kind::Visit => HitKind::Visit,
        Kind::Line => HitKind::Line,
        Kind::FilmRoll => HitKind::FilmRoll,
        Kind::Setup => HitKind::Setup,
        Kind::Load => HitKind::Load,
        Kind::Sample => HitKind::Sample,
        _ => HitKind::Note,
    }
}

pub(super) fn row(visit: VisitSummary, language: Language) -> VisitRow {
    VisitRow {
        id: id_text(visit.id),
        customer: visit.customer.into(),
        site: visit.site.into(),
        date: short_date(visit.date, language).into(),
        purpose: purpose(visit.purpose),
        lines: i32::try_from(visit.lines).unwrap_or(i32::MAX),
        loads: i32::try_from(visit.loads).unwrap_or(i32::MAX),
        readings: i32::try_from(visit.readings).unwrap_or(i32::MAX),
    }
}

pub(super) fn fill(window: &MainWindow, session: &Session) -> Result<(), BookError> {
    let today = window.global::<TodayAdapter>();
    let view = today::view(session)?;
    today.set_date_line(view.date_line.into());
    today.set_rep(view.rep.into());
    today.set_due(whole(sample::due(session)?.len()));
    let language = session.language();
    let rows = view.visits.into_iter().map(|visit| row(visit, language));
    today.set_visits(model(rows));
    today.set_visits_in_all(i32::try_from(view.visits_in_all).unwrap_or(i32::MAX));
    today.set_last_place(view.last_place.into());
    today.set_search(entry(view.search));
    today.set_searching(view.hits.is_some());
    today.set_hits(model(view.hits.into_iter().flatten().map(|hit| {
        screens::Hit {
            id: record_text(hit.record),
            kind: found(hit.record.kind),
            text: hit.text.into(),
            visit: hit.visit.into(),
        }
    })));
    Ok(())
}

pub(super) fn connect(window: &MainWindow, app: &App) {
    let today = window.global::<TodayAdapter>();
    let on = app.clone();
    today.on_start_visit(move || on.act(today::start_visit));
    let on = app.clone();
    today.on_open_visit(move |id| {
        if let Some(id) = id_from(&id) {
            on.act(move |session| today::open_visit(session, id));
        }
    });
    let on = app.clone();
    today.on_continue_last(move || on.act(today::go_on));
    let on = app.clone();
    today.on_search_draft(move |text| {
        on.run(move |session| session.draft(today::SEARCH, &text));
    });
    let on = app.clone();
    today.on_clear_search(move || on.run(|session| session.drop_draft(today::SEARCH)));
    let on = app.clone();
    today.on_open_hit(move |_, id| {
        if let Some(record) = record_from(&id) {
            on.act(move |session| today::open_hit(session, record));
        }
    });
    let on = app.clone();
    today.on_open_visits(move || on.act(|session| session.go(Place::Visits)));
    let on = app.clone();
    today.on_open_find(move || on.act(|session| session.go(Place::Find)));
    let on = app.clone();
    today.on_open_send(move || on.act(send::open));
    let on = app.clone();
    today.on_open_settings(move || on.act(|session| session.go(Place::Settings)));
    let on = app.clone();
    today.on_open_set_aside(move || on.act(records::open_book));
}
