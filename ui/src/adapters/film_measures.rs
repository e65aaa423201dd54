//! What is measured on film, filled and listened to.

use slint::ComponentHandle;
use tautbook_core::book::BookError;
use tautbook_core::survey::{Id, Setup};

use super::{entry, model, same, whole};
use crate::app::App;
use crate::place::Place;
use crate::presenters::film_measures::{self, Choice, Field, Rows, View};
use crate::screens::{self, FilmMeasuresAdapter, MainWindow, MeasureRow, MeasureRows};
use crate::session::Session;

same!(
    field_out,
    field_in,
    screens::MeasureField,
    Field {
        Thickness,
        Before,
        After,
        Breaks,
        Over,
    }
);

same!(
    choice_out,
    choice_in,
    screens::MeasureChoice,
    Choice {
        ThicknessOnLoad,
        MarksOnLoad,
        OverRolls,
    }
);

pub(super) fn fill(window: &MainWindow, session: &Session, id: Id<Setup>) -> Result<(), BookError> {
    let adapter = window.global::<FilmMeasuresAdapter>();
    let view = film_measures::view(session, id)?;
    let rows = |rows: Rows| MeasureRows {
        shown: model(rows.shown.into_iter().map(|row| MeasureRow {
            title: row.title.into(),
            detail: row.detail.into(),
        })),
        more: whole(rows.more),
    };
    adapter.set_with_film(view.film.is_some());
    adapter.set_film(view.film.unwrap_or_default().into());
    adapter.set_thickness(entry(view.thickness));
    adapter.set_thickness_on_load(view.thickness_on_load);
    adapter.set_cutting_read(view.cutting_read);
    adapter.set_plies(i32::try_from(view.plies).unwrap_or(1));
    adapter.set_thicknesses(rows(view.thicknesses));
    let [before, after] = view.marks;
    adapter.set_before(entry(before));
    adapter.set_after(entry(after));
    adapter.set_marks_on_load(view.marks_on_load);
    adapter.set_stretched(rows(view.stretched));
    let [breaks, over] = view.breaks;
    adapter.set_breaks(entry(breaks));
    adapter.set_over(entry(over));
    adapter.set_over_rolls(view.over_rolls);
    adapter.set_counts(rows(view.counts));
    Ok(())
}

fn here(session: &Session) -> Option<Id<Setup>> {
    match session.here() {
        Place::FilmMeasures(id) => Some(id),
        _ => None,
    }
}

/// Does something with the setup that is shown.
fn with(app: &App, work: impl FnOnce(&mut Session, Id<Setup>) + 'static) {
    app.act(move |session| {
        if let Some(id) = here(session) {
            work(session, id);
        }
    });
}

/// Sets aside the row at `index` of those that `of` picks.
fn set_aside(app: &App, index: i32, of: fn(View) -> Rows) {
    with(app, move |session, id| {
        let view = film_measures::view(session, id);
        let row = session.report(view).and_then(|view| {
            let index = usize::try_from(index).ok()?;
            of(view).shown.into_iter().nth(index)
        });
        if let Some(row) = row {
            film_measures::set_aside(session, row.of);
        }
    });
}

pub(super) fn connect(window: &MainWindow, app: &App) {
    let adapter = window.global::<FilmMeasuresAdapter>();
    let on = app.clone();
    adapter.on_draft(move |field, text| {
        on.note(move |session| {
            if here(session).is_some() {
                film_measures::draft(session, field_in(field), &text);
            }
        });
    });
    let on = app.clone();
    adapter.on_choose(move |choice, second| {
        with(&on, move |session, _| {
            film_measures::choose(session, choice_in(choice), second);
        });
    });
    let on = app.clone();
    adapter.on_read_cutting(move |read| {
        with(&on, move |session, id| {
            film_measures::read_cutting(session, id, read);
        });
    });
    let on = app.clone();
    adapter.on_step_plies(move |by| {
        with(&on, move |session, _| {
            film_measures::step_plies(session, by > 0);
        });
    });
    let on = app.clone();
    adapter.on_keep_thickness(move || with(&on, film_measures::keep_thickness));
    let on = app.clone();
    adapter.on_keep_marks(move || with(&on, film_measures::keep_marks));
    let on = app.clone();
    adapter.on_keep_breaks(move || with(&on, film_measures::keep_breaks));
    let on = app.clone();
    adapter.on_thickness_aside(move |index| set_aside(&on, index, |view| view.thicknesses));
    let on = app.clone();
    adapter.on_marks_aside(move |index| set_aside(&on, index, |view| view.stretched));
    let on = app.clone();
    adapter.on_breaks_aside(move |index| set_aside(&on, index, |view| view.counts));
    let on = app.clone();
    adapter.on_done(move || {
        on.back();
    });
}
