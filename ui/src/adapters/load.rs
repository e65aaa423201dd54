//! Load, filled and listened to.

use slint::ComponentHandle;
use tautbook_core::analysis::containment::ZoneName;
use tautbook_core::book::BookError;
use tautbook_core::language::Language;
use tautbook_core::say;
use tautbook_core::survey::{FilmTail, Id, Load, Stability, Zone};

use super::{entry, method_in, method_out, model, same, whole};
use crate::app::App;
use crate::place::Place;
use crate::presenters::load::{self, Field, Fit};
use crate::presenters::records;
use crate::screens::{self, LoadAdapter, MainWindow, MethodSummary};
use crate::session::Session;

same!(
    field_out,
    field_in,
    screens::LoadField,
    Field {
        Name,
        Length,
        Width,
        Height,
        Mass,
        FitAmount,
        FilmWidth,
        Damage,
        Notes,
    }
);

pub(super) fn fill(window: &MainWindow, session: &Session, id: Id<Load>) -> Result<(), BookError> {
    let adapter = window.global::<LoadAdapter>();
    let view = load::view(session, id)?;
    adapter.set_name(entry(view.name));
    adapter.set_length(entry(view.length));
    adapter.set_width(entry(view.width));
    adapter.set_height(entry(view.height));
    adapter.set_mass(entry(view.mass));
    adapter.set_stability(match view.stability {
        None => screens::Stability::NotSet,
        Some(Stability::Steady) => screens::Stability::Steady,
        Some(Stability::Moderate) => screens::Stability::Moderate,
        Some(Stability::Unsteady) => screens::Stability::Unsteady,
    });
    adapter.set_fit(match view.fit {
        None => screens::Fit::NotSet,
        Some(Fit::Flush) => screens::Fit::Flush,
        Some(Fit::Overhang) => screens::Fit::Overhang,
        Some(Fit::Inset) => screens::Fit::Inset,
    });
    adapter.set_fit_amount(entry(view.fit_amount));
    adapter.set_film_width(entry(view.film_width));
    adapter.set_wrapped(view.wrapped.into());
    adapter.set_wrapped_on(view.wrapped_on.into());
    adapter.set_film_breaks(
        view.film_breaks
            .map_or_else(|| "–".to_owned(), |breaks| breaks.to_string())
            .into(),
    );
    adapter.set_tail(match view.tail {
        None => screens::Tail::NotSet,
        Some(FilmTail::Secured) => screens::Tail::Secured,
        Some(FilmTail::Loose) => screens::Tail::Loose,
    });
    adapter.set_arrival(match view.arrived_whole {
        None => screens::Arrival::NotKnown,
        Some(true) => screens::Arrival::Whole,
        Some(false) => screens::Arrival::Damaged,
    });
    adapter.set_damage(entry(view.damage));
    adapter.set_notes(entry(view.notes));
    let language = session.language();
    adapter.set_summaries(model(view.summaries.into_iter().map(|summary| {
        MethodSummary {
            method: method_out(summary.method),
            count: whole(summary.count),
            planned: whole(summary.planned),
            of_planned: whole(summary.of_planned),
            lowest: summary
                .lowest
                .map_or_else(String::new, |(value, zone)| {
                    format!("{value}, {}", zone_word(&zone, language))
                })
                .into(),
        }
    })));
    adapter.set_film(view.film.into());
    adapter.set_kept(view.kept.into());
    adapter.set_measured(whole(view.measured));
    adapter.set_aside_count(whole(view.aside));
    adapter.set_photos(whole(view.photos));
    Ok(())
}

fn zone_word(zone: &Zone, language: Language) -> String {
    match zone {
        Zone::Height(height) => say!(language, "at {height}", height = height.text),
        Zone::Top | Zone::Middle | Zone::Bottom => ZoneName::of(zone)
            .map_or("", |zone| zone.in_list().said(language))
            .to_owned(),
    }
}

fn here(session: &Session) -> Option<Id<Load>> {
    match session.here() {
        Place::Load(id) => Some(id),
        _ => None,
    }
}

/// Does something with the load that is shown.
fn with(app: &App, work: impl FnOnce(&mut Session, Id<Load>) + 'static) {
    app.act(move |session| {
        if let Some(id) = here(session) {
            work(session, id);
        }
    });
}

pub(super) fn connect(window: &MainWindow, app: &App) {
    let adapter = window.global::<LoadAdapter>();
    let on = app.clone();
    adapter.on_draft(move |field, text| {
        on.note(move |session| {
            if here(session).is_some() {
                load::draft(session, field_in(field), &text);
            }
        });
    });
    let on = app.clone();
    adapter.on_edit(move |field, text| {
        on.run(move |session| {
            if let Some(id) = here(session) {
                load::edit(session, id, field_in(field), &text);
            }
        });
    });
    let on = app.clone();
    adapter.on_pick_stability(move |stability| {
        let stability = match stability {
            screens::Stability::NotSet => None,
            screens::Stability::Steady => Some(Stability::Steady),
            screens::Stability::Moderate => Some(Stability::Moderate),
            screens::Stability::Unsteady => Some(Stability::Unsteady),
        };
        with(&on, move |session, id| {
            load::pick(session, id, |load| load.stability = stability);
        });
    });
    let on = app.clone();
    adapter.on_pick_fit(move |fit| {
        let fit = match fit {
            screens::Fit::Flush => Fit::Flush,
            screens::Fit::Overhang => Fit::Overhang,
            screens::Fit::Inset => Fit::Inset,
            screens::Fit::NotSet => return,
        };
        with(&on, move |session, id| load::pick_fit(session, id, fit));
    });
    let on = app.clone();
    adapter.on_step_wrapped(move |by| {
        with(&on, move |session, id| {
            load::step_wrapped(session, id, by > 0);
        });
    });
    let on = app.clone();
    adapter.on_forget_wrapped(move || with(&on, load::forget_wrapped));
    let on = app.clone();
    adapter.on_step_film_breaks(move |by| {
        with(&on, move |session, id| {
            load::step_film_breaks(session, id, by > 0);
        });
    });
    let on = app.clone();
    adapter.on_pick_tail(move |tail| {
        let tail = match tail {
            screens::Tail::NotSet => None,
            screens::Tail::Secured => Some(FilmTail::Secured),
            screens::Tail::Loose => Some(FilmTail::Loose),
        };
        with(&on, move |session, id| {
            load::pick(session, id, |load| load.tail = tail);
        });
    });
    let on = app.clone();
    adapter.on_pick_arrival(move |arrival| {
        let whole = match arrival {
            screens::Arrival::NotKnown => None,
            screens::Arrival::Whole => Some(true),
            screens::Arrival::Damaged => Some(false),
        };
        with(&on, move |session, id| {
            load::pick(session, id, |load| load.shipped_undamaged = whole);
        });
    });
    let on = app.clone();
    adapter.on_read(move || with(&on, load::read));
    let on = app.clone();
    adapter.on_read_by(move |method| {
        with(&on, move |session, id| {
            load::read_by(session, id, method_in(method));
        });
    });
    let on = app.clone();
    adapter.on_weigh(move || with(&on, load::weigh));
    let on = app.clone();
    adapter.on_open_records(move || with(&on, records::open_load));
    let on = app.clone();
    adapter.on_open_photos(move || with(&on, load::open_photos));
    let on = app.clone();
    adapter.on_keep(move || with(&on, crate::presenters::keep::of_load));
    let on = app.clone();
    adapter.on_open_results(move || with(&on, load::open_results));
    let on = app.clone();
    adapter.on_set_aside(move || with(&on, load::ask_set_aside));
}
