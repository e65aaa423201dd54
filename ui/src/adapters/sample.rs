//! Sample, filled and listened to.

use slint::{ComponentHandle, Image, Rgb8Pixel, SharedPixelBuffer};
use tautbook_core::book::BookError;
use tautbook_core::label::print::{Paper, Raster};
use tautbook_core::survey::{Id, Sample, SampleEventKind, SampleKind};

use super::{entry, model, same, whole};
use crate::app::App;
use crate::place::Place;
use crate::presenters::photos;
use crate::presenters::sample::{self, Field};
use crate::screens::{self, EventRow, MainWindow, SampleAdapter};
use crate::session::Session;

same!(
    field_out,
    field_in,
    screens::SampleField,
    Field {
        Place,
        Until,
        Notes
    }
);
same!(
    what_out,
    what_in,
    screens::SampleWhat,
    SampleKind {
        Pallet,
        CutFilm,
        RollEnd
    }
);
same!(
    paper_out,
    paper_in,
    screens::LabelPaper,
    Paper {
        FourBySix,
        A6,
        A4,
        Letter
    }
);
same!(
    event_out,
    event_in,
    screens::SampleHappened,
    SampleEventKind {
        Labelled,
        Found,
        Moved,
        Released
    }
);

pub(super) fn fill(
    window: &MainWindow,
    session: &Session,
    id: Id<Sample>,
) -> Result<(), BookError> {
    let adapter = window.global::<SampleAdapter>();
    let view = sample::view(session, id)?;
    adapter.set_what(what_out(view.what));
    adapter.set_place(entry(view.place));
    adapter.set_until(entry(view.until));
    adapter.set_notes(entry(view.notes));
    adapter.set_photos(whole(photos::how_many(session, id.reference())?));
    adapter.set_short_code(view.short_code.into());
    adapter.set_paper(paper_out(view.paper));
    adapter.set_released(view.released);
    match sample::picture(&view.label, session.language()) {
        Ok(raster) => {
            adapter.set_label(image(&raster));
            adapter.set_not_drawn("".into());
        }
        Err(why) => adapter.set_not_drawn(why.into()),
    }
    adapter.set_all_events(whole(view.events.all));
    adapter.set_events(model(view.events.into_iter().map(|event| EventRow {
        title: event.title.into(),
        detail: event.detail.into(),
    })));
    Ok(())
}

fn image(raster: &Raster) -> Image {
    let mut buffer = SharedPixelBuffer::<Rgb8Pixel>::new(raster.width, raster.height);
    let pixels = buffer.make_mut_slice();
    let places = (0..raster.height).flat_map(|y| (0..raster.width).map(move |x| (x, y)));
    for (pixel, (x, y)) in pixels.iter_mut().zip(places) {
        let level = if raster.is_black(x, y) { 0 } else { u8::MAX };
        *pixel = Rgb8Pixel::new(level, level, level);
    }
    Image::from_rgb8(buffer)
}

fn here(session: &Session) -> Option<Id<Sample>> {
    match session.here() {
        Place::Sample(id) => Some(id),
        _ => None,
    }
}

/// Does something with the sample that is shown.
fn with(app: &App, work: impl FnOnce(&mut Session, Id<Sample>) + 'static) {
    app.act(move |session| {
        if let Some(id) = here(session) {
            work(session, id);
        }
    });
}

pub(super) fn connect(window: &MainWindow, app: &App) {
    let adapter = window.global::<SampleAdapter>();
    let on = app.clone();
    adapter.on_draft(move |field, text| {
        on.note(move |session| {
            if here(session).is_some() {
                sample::draft(session, field_in(field), &text);
            }
        });
    });
    let on = app.clone();
    adapter.on_edit(move |field, text| {
        on.run(move |session| {
            if let Some(id) = here(session) {
                sample::edit(session, id, field_in(field), &text);
            }
        });
    });
    let on = app.clone();
    adapter.on_pick(move |what| {
        with(&on, move |session, id| {
            sample::pick(session, id, what_in(what));
        });
    });
    let on = app.clone();
    adapter.on_keep_longer(move |weeks, months| {
        let (Ok(weeks), Ok(months)) = (u32::try_from(weeks), u32::try_from(months)) else {
            return;
        };
        with(&on, move |session, id| {
            sample::keep_longer(session, id, weeks, months);
        });
    });
    let on = app.clone();
    adapter.on_pick_paper(move |paper| {
        with(&on, move |session, _| {
            sample::pick_paper(session, paper_in(paper));
        });
    });
    let on = app.clone();
    adapter.on_open_photos(move || {
        with(&on, |session, id| photos::open(session, id.reference()));
    });
    let on = app.clone();
    adapter.on_share_label(move || with(&on, sample::share_label));
    let on = app.clone();
    adapter.on_happened(move |what| {
        with(&on, move |session, id| match event_in(what) {
            SampleEventKind::Released => sample::ask_release(session, id),
            what => sample::note(session, id, what),
        });
    });
    let on = app.clone();
    adapter.on_set_aside(move || with(&on, sample::ask_set_aside));
}
