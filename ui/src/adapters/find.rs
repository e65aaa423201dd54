//! Find, filled and listened to.

use slint::{ComponentHandle, SharedString};
use tautbook_core::book::BookError;

use super::{entry, id_from, id_text, keep, model, whole};
use crate::app::App;
use crate::device::PictureFrom;
use crate::place::Place;
use crate::presenters::find;
use crate::screens::{FindAdapter, FoundRow, MainWindow};
use crate::session::Session;

pub(super) fn fill(window: &MainWindow, session: &Session) -> Result<(), BookError> {
    let adapter = window.global::<FindAdapter>();
    let view = find::view(session)?;
    adapter.set_code(entry(view.code));
    adapter.set_found(model(view.found.lines.into_iter().map(|line| FoundRow {
        id: line.sample.map(id_text).unwrap_or_default(),
        title: line.title.into(),
        detail: line.detail.into(),
    })));
    adapter.set_said(model(view.found.said.into_iter().map(SharedString::from)));
    adapter.set_share(view.working.unwrap_or_default());
    adapter.set_working(view.working.is_some());
    adapter.set_camera(view.camera);
    adapter.set_others_due(whole(view.others_due));
    adapter.set_due(model(view.due.into_iter().map(keep::row)));
    Ok(())
}

pub(super) fn connect(window: &MainWindow, app: &App) {
    let adapter = window.global::<FindAdapter>();
    let on = app.clone();
    adapter.on_draft(move |text| {
        on.note(move |session| {
            if session.here() == Place::Find {
                find::draft(session, &text);
            }
        });
    });
    let on = app.clone();
    adapter.on_look(move |text| on.run(move |session| find::look(session, &text)));
    let on = app.clone();
    adapter.on_take(move || on.act(|session| find::ask(session, PictureFrom::Camera)));
    let on = app.clone();
    adapter.on_choose(move || on.act(|session| find::ask(session, PictureFrom::Files)));
    let on = app.clone();
    adapter.on_call_off(move || on.run(find::call_off));
    let on = app.clone();
    adapter.on_open(move |id| {
        if let Some(id) = id_from(&id) {
            on.act(move |session| find::open(session, id));
        }
    });
    let on = app.clone();
    adapter.on_open_due(move |id| {
        if let Some(id) = id_from(&id) {
            on.act(move |session| find::open_due(session, id));
        }
    });
}
