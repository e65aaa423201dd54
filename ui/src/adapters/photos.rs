//! Photos, filled and listened to.

use slint::ComponentHandle;
use tautbook_core::book::BookError;
use tautbook_core::survey::RecordRef;

use super::{entry, id_from, id_text, model, pictures, record_from, record_text, refill, whole};
use crate::app::App;
use crate::device::PictureFrom;
use crate::place::Place;
use crate::presenters::photos::{self, LONG_SIDES};
use crate::screens::{BelowRow, MainWindow, PhotoRow, PhotosAdapter};
use crate::session::Session;

pub(super) fn fill(window: &MainWindow, session: &Session, of: RecordRef) -> Result<(), BookError> {
    let adapter = window.global::<PhotosAdapter>();
    let view = photos::view(session, of)?;
    let folder = session.book().photo_folder();
    adapter.set_subject(view.subject.into());
    adapter.set_all(whole(view.photos.all));
    let rows = view.photos.into_iter().map(|photo| PhotoRow {
        id: id_text(photo.id),
        image: pictures::small(&folder, &photo.sha256),
        caption: entry(photo.caption),
        detail: photo.detail.into(),
        lost: photo.lost.into(),
        first: photo.first,
        last: photo.last,
    });
    if let Some(anew) = refill(&adapter.get_photos(), rows.collect()) {
        adapter.set_photos(anew);
    }
    adapter.set_all_below(whole(view.below.all));
    adapter.set_below(model(view.below.into_iter().map(|row| BelowRow {
        id: record_text(row.of),
        title: row.title.into(),
        detail: row.detail.into(),
    })));
    adapter.set_share(view.working.unwrap_or_default());
    adapter.set_working(view.working.is_some());
    adapter.set_camera(view.camera);
    adapter.set_kept(view.kept.into());
    adapter.set_position(view.position);
    adapter.set_camera_notes(view.camera_notes);
    adapter.set_long_side(i32::try_from(view.long_side).unwrap_or_default());
    Ok(())
}

fn here(session: &Session) -> Option<RecordRef> {
    match session.here() {
        Place::Photos(of) => Some(of),
        _ => None,
    }
}

fn ask(app: &App, from: PictureFrom) {
    app.act(move |session| {
        if let Some(of) = here(session) {
            photos::ask(session, of, from);
        }
    });
}

pub(super) fn connect(window: &MainWindow, app: &App) {
    let adapter = window.global::<PhotosAdapter>();
    let on = app.clone();
    adapter.on_take(move || ask(&on, PictureFrom::Camera));
    let on = app.clone();
    adapter.on_choose(move || ask(&on, PictureFrom::Files));
    let on = app.clone();
    adapter.on_call_off(move || on.run(photos::call_off));
    let on = app.clone();
    adapter.on_undo(move || on.act(photos::undo));
    let on = app.clone();
    adapter.on_open(move |id| {
        if let Some(id) = id_from(&id) {
            on.act(move |session| session.go(Place::Photo(id)));
        }
    });
    let on = app.clone();
    adapter.on_step(move |id, by| {
        if let Some(id) = id_from(&id) {
            on.act(move |session| photos::step(session, id, by > 0));
        }
    });
    let on = app.clone();
    adapter.on_draft_caption(move |id, text| {
        if let Some(id) = id_from(&id) {
            on.note(move |session| {
                if here(session).is_some() {
                    photos::draft_caption(session, id, &text);
                }
            });
        }
    });
    let on = app.clone();
    adapter.on_edit_caption(move |id, text| {
        if let Some(id) = id_from(&id) {
            on.run(move |session| {
                if here(session).is_some() {
                    photos::edit_caption(session, id, &text);
                }
            });
        }
    });
    let on = app.clone();
    adapter.on_open_below(move |id| {
        if let Some(of) = record_from(&id) {
            on.act(move |session| photos::open(session, of));
        }
    });
    let on = app.clone();
    adapter.on_keep_position(move |keep| {
        on.act(move |session| photos::keep_position(session, keep));
    });
    let on = app.clone();
    adapter.on_keep_camera_notes(move |keep| {
        on.act(move |session| photos::keep_camera_notes(session, keep));
    });
    let on = app.clone();
    adapter.on_limit(move |pixels| {
        let side = LONG_SIDES
            .into_iter()
            .find(|side| i32::try_from(*side) == Ok(pixels));
        if let Some(side) = side {
            on.act(move |session| photos::limit_long_side(session, side));
        }
    });
}
