//! Photo, filled and listened to.

use slint::ComponentHandle;
use tautbook_core::book::BookError;
use tautbook_core::survey::{Id, Photo};
use tautbook_core::words::figures::sentence;

use super::{entry, pictures};
use crate::app::App;
use crate::place::Place;
use crate::presenters::photo::{self, Drawn};
use crate::screens::{MainWindow, PhotoAdapter};
use crate::session::{Entry, Session};

pub(super) fn fill(window: &MainWindow, session: &Session, id: Id<Photo>) -> Result<(), BookError> {
    let adapter = window.global::<PhotoAdapter>();
    let view = photo::view(session, id)?;
    let folder = session.book().photo_folder();
    let mut text = view.text;
    let mut lost = String::new();
    let drawn = pictures::large(&folder, &view.sha256, &view.marks).or_else(|error| {
        // A mark that cannot be drawn is said beside its words; the picture is shown without.
        let plain = pictures::large(&folder, &view.sha256, &[]);
        if plain.is_ok() {
            text = Entry {
                error: error.said(session.language()),
                ..text.clone()
            };
        } else {
            lost = sentence(&error.said(session.language()));
        }
        plain
    });
    let placed = !view.marks.is_empty() && text.error.is_empty();
    adapter.set_image(drawn.unwrap_or_default());
    adapter.set_lost(lost.into());
    adapter.set_caption(view.caption.into());
    adapter.set_arrow(view.drawn == Drawn::Arrow);
    adapter.set_placed(placed);
    adapter.set_text(entry(text));
    adapter.set_working(view.working);
    Ok(())
}

/// Does something with the picture that is shown.
fn with(app: &App, work: impl FnOnce(&mut Session, Id<Photo>) + 'static) {
    app.act(move |session| {
        if let Place::Photo(id) = session.here() {
            work(session, id);
        }
    });
}

pub(super) fn connect(window: &MainWindow, app: &App) {
    let adapter = window.global::<PhotoAdapter>();
    let on = app.clone();
    adapter.on_pick_arrow(move |arrow| {
        let drawn = if arrow { Drawn::Arrow } else { Drawn::Circle };
        with(&on, move |session, _| photo::pick(session, drawn));
    });
    let on = app.clone();
    adapter.on_place(move |x, y| {
        with(&on, move |session, _| photo::place(session, x, y));
    });
    let on = app.clone();
    adapter.on_resize(move |by| {
        with(&on, move |session, _| photo::resize(session, by > 0));
    });
    let on = app.clone();
    adapter.on_turn(move || with(&on, |session, _| photo::turn(session)));
    let on = app.clone();
    adapter.on_draft_text(move |text| {
        with(&on, move |session, _| photo::draft_text(session, &text));
    });
    let on = app.clone();
    adapter.on_keep_copy(move || with(&on, photo::keep_copy));
    let on = app.clone();
    adapter.on_set_aside(move || with(&on, photo::ask_set_aside));
}
