//! Setup, filled and listened to.

use slint::ComponentHandle;
use tautbook_core::book::BookError;
use tautbook_core::chart::{FilmPath, Frame, film_path};
use tautbook_core::survey::{Id, Setup};

use super::block::block;
use super::line::{role_in, role_out};
use super::{entry, id_from, id_text, model, same, whole};
use crate::app::App;
use crate::chart::chart;
use crate::place::Place;
use crate::presenters::loading::{self, Missing};
use crate::presenters::setup::{self, Field, SpacingBasis};
use crate::presenters::{compare, plan};
use crate::screens::{self, LoadRow, MainWindow, RollChoice, SetupAdapter, TurnsAt};
use crate::session::Session;

same!(
    field_out,
    field_in,
    screens::SetupField,
    Field {
        Name,
        SpacingUp,
        SpacingDown,
        StartHeight,
        OverTop,
        FilmForce,
        PreStretch,
        Notes,
    }
);
same!(
    basis_out,
    basis_in,
    screens::SpacingBasis,
    SpacingBasis { Pitch, Overlap }
);

pub(super) fn fill(window: &MainWindow, session: &Session, id: Id<Setup>) -> Result<(), BookError> {
    let adapter = window.global::<SetupAdapter>();
    let view = setup::view(session, id)?;
    adapter.set_name(entry(view.name));
    adapter.set_role(role_out(view.role));
    adapter.set_all_rolls(whole(view.rolls.all));
    adapter.set_rolls(model(view.rolls.into_iter().map(|roll| RollChoice {
        id: id_text(roll.id),
        name: roll.name.into(),
        spec: roll.spec.into(),
    })));
    adapter.set_roll(view.roll.map(id_text).unwrap_or_default());
    adapter.set_bottom_turns(view.bottom_turns.into());
    adapter.set_top_turns(view.top_turns.into());
    adapter.set_spacing_basis(basis_out(view.spacing_basis));
    adapter.set_spacing_up(entry(view.spacing_up));
    adapter.set_spacing_down(entry(view.spacing_down));
    adapter.set_start_height(entry(view.start_height));
    adapter.set_over_top(entry(view.over_top));
    adapter.set_film_force(entry(view.film_force));
    adapter.set_pre_stretch(entry(view.pre_stretch));
    adapter.set_notes(entry(view.notes));
    adapter.set_all_loads(whole(view.loads.all));
    adapter.set_loads(model(view.loads.into_iter().map(|load| LoadRow {
        id: id_text(load.id),
        name: load.name.into(),
        size: load.size.into(),
        readings: whole(load.readings),
        film: load.film.into(),
        note: load.note.into(),
    })));
    adapter.set_can_compare(view.can_compare);
    adapter.set_outcome(block(&view.outcome));
    adapter.set_care(view.care.into());
    let way_up = view.way_up.said;
    adapter.set_machine_acknowledged(view.way_up.acknowledged);
    adapter.set_tack_test(view.way_up.check.into());
    adapter.set_loading_wrong(way_up.wrong.into());
    adapter.set_loading(block(&way_up.block));
    adapter.set_loading_drawn(way_up.drawing.is_some());
    adapter.set_threaded_drawn(way_up.now.is_some());
    adapter.set_loading_missing(match way_up.missing {
        None => screens::LoadingMissing::Nothing,
        Some(Missing::Roll(_)) => screens::LoadingMissing::Roll,
        Some(Missing::Line(_)) => screens::LoadingMissing::Line,
    });
    adapter.set_loading_roll(way_up.with_roll);
    let (drawing, now) = (way_up.drawing, way_up.now);
    let draw = |path: &Option<FilmPath>, width: f32, text: f32| {
        path.as_ref().map_or_else(Default::default, |path| {
            chart(&film_path(path, Frame::new(width.into(), text.into())))
        })
    };
    adapter.on_loading_way(move |width, text, _| draw(&drawing, width, text));
    adapter.on_threaded_way(move |width, text, _| draw(&now, width, text));
    adapter.set_charts(adapter.get_charts().wrapping_add(1));
    Ok(())
}

fn here(session: &Session) -> Option<Id<Setup>> {
    match session.here() {
        Place::Setup(id) => Some(id),
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

pub(super) fn connect(window: &MainWindow, app: &App) {
    let adapter = window.global::<SetupAdapter>();
    let on = app.clone();
    adapter.on_draft(move |field, text| {
        on.note(move |session| {
            if here(session).is_some() {
                setup::draft(session, field_in(field), &text);
            }
        });
    });
    let on = app.clone();
    adapter.on_edit(move |field, text| {
        on.run(move |session| {
            if let Some(id) = here(session) {
                setup::edit(session, id, field_in(field), &text);
            }
        });
    });
    let on = app.clone();
    adapter.on_pick_role(move |role| {
        with(&on, move |session, id| {
            setup::pick(session, id, |setup| setup.role = role_in(role));
        });
    });
    let on = app.clone();
    adapter.on_pick_roll(move |roll| {
        let roll = id_from(&roll);
        with(&on, move |session, id| {
            setup::pick(session, id, |setup| setup.film_roll = roll);
        });
    });
    let on = app.clone();
    adapter.on_add_roll(move || with(&on, setup::add_roll));
    let on = app.clone();
    adapter.on_open_loading_missing(move || with(&on, loading::open_missing));
    let on = app.clone();
    adapter.on_acknowledge_machine(move |read| {
        with(&on, move |session, id| {
            loading::acknowledge(session, id, read);
        });
    });
    let on = app.clone();
    adapter.on_step_turns(move |at, by| {
        let at_top = at == TurnsAt::Top;
        with(&on, move |session, id| {
            setup::step_turns(session, id, at_top, f64::from(by));
        });
    });
    let on = app.clone();
    adapter.on_pick_spacing_basis(move |basis| {
        with(&on, move |session, id| {
            setup::pick_spacing_basis(session, id, basis_in(basis));
        });
    });
    let on = app.clone();
    adapter.on_add_load(move || with(&on, setup::add_load));
    let on = app.clone();
    adapter.on_open_load(move |load| {
        if let Some(load) = id_from(&load) {
            on.act(move |session| session.go(Place::Load(load)));
        }
    });
    let on = app.clone();
    adapter.on_open_results(move || with(&on, setup::open_results));
    let on = app.clone();
    adapter.on_open_compare(move || with(&on, compare::open));
    let on = app.clone();
    adapter.on_open_plan(move || with(&on, plan::open));
    let on = app.clone();
    adapter.on_measure_film(move || {
        with(&on, |session, id| session.go(Place::FilmMeasures(id)));
    });
    let on = app.clone();
    adapter.on_set_aside(move || with(&on, setup::ask_set_aside));
}
