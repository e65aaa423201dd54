//! Send, filled and listened to.

use slint::{ComponentHandle, SharedString};
use tautbook_core::book::BookError;

use super::{entry, id_from, id_text, model, whole};
use crate::app::App;
use crate::presenters::send::{self, FileView};
use crate::screens::{self, MainWindow, SendAdapter, VisitTick};
use crate::session::Session;

pub(super) fn fill(window: &MainWindow, session: &Session) -> Result<(), BookError> {
    let adapter = window.global::<SendAdapter>();
    let view = send::view(session)?;
    adapter.set_chosen(whole(view.chosen));
    adapter.set_visits(model(view.visits.into_iter().map(|visit| VisitTick {
        id: id_text(visit.id),
        text: visit.text.into(),
        chosen: visit.chosen,
    })));
    adapter.set_earlier(i32::try_from(view.earlier).unwrap_or_default());
    adapter.set_later(view.later);
    adapter.set_reports(view.reports);
    adapter.set_passphrase(entry(view.passphrase));
    adapter.set_made(file(view.made));
    adapter.set_taken(model(view.taken.into_iter().map(|taken| file(Some(taken)))));
    adapter.set_refused(model(view.refused.into_iter().map(SharedString::from)));
    adapter.set_locked(view.unlock.is_some());
    adapter.set_unlock(entry(view.unlock.unwrap_or_default()));
    adapter.set_share(view.working.unwrap_or_default());
    adapter.set_working(view.working.is_some());
    adapter.set_differences(whole(view.differences));
    Ok(())
}

pub(super) fn file(view: Option<FileView>) -> screens::FileView {
    let view = view.unwrap_or_default();
    screens::FileView {
        name: view.name.into(),
        lines: model(view.lines.into_iter().map(SharedString::from)),
        cautions: model(view.cautions.into_iter().map(SharedString::from)),
    }
}

pub(super) fn connect(window: &MainWindow, app: &App) {
    let adapter = window.global::<SendAdapter>();
    let on = app.clone();
    adapter.on_tick(move |id, send| {
        if let Some(id) = id_from(&id) {
            on.act(move |session| send::tick(session, id, send));
        }
    });
    let on = app.clone();
    adapter.on_offer_earlier(move || on.act(send::offer_earlier));
    let on = app.clone();
    adapter.on_offer_later(move || on.act(send::offer_later));
    let on = app.clone();
    adapter.on_with_reports(move |reports| {
        on.act(move |session| send::with_reports(session, reports));
    });
    let on = app.clone();
    adapter.on_lock(move |text| {
        if on.look(send::is_made) {
            on.run(move |session| send::lock(session, &text));
        } else {
            on.note(move |session| send::lock(session, &text));
        }
    });
    let on = app.clone();
    adapter.on_make(move || on.act(send::make));
    let on = app.clone();
    adapter.on_share_file(move || on.act(send::share));
    let on = app.clone();
    adapter.on_take_in(move || on.act(send::ask));
    let on = app.clone();
    adapter.on_draft_unlock(move |text| {
        on.note(move |session| send::draft_unlock(session, &text));
    });
    let on = app.clone();
    adapter.on_try_unlock(move || on.act(send::unlock));
    let on = app.clone();
    adapter.on_call_off(move || on.run(send::call_off));
    let on = app.clone();
    adapter.on_open_differences(move || on.act(send::open_differences));
}
