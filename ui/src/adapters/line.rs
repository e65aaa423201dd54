//! Line, filled and listened to.

use slint::ComponentHandle;
use tautbook_core::book::BookError;
use tautbook_core::chart::{Frame, film_path};
use tautbook_core::survey::{Id, Line, PreStretch, Rotation, SetupRole, WrapperKind};

use super::{entry, id_from, id_text, model, same, visit, whole};
use crate::app::App;
use crate::chart::chart;
use crate::place::Place;
use crate::presenters::line::{self, Field, LoadsBasis};
use crate::presenters::{compare, loading, machine, plan};
use crate::screens::{self, LineAdapter, MainWindow, RollRow, SetupRow};
use crate::session::Session;

same!(
    field_out,
    field_in,
    screens::LineField,
    Field {
        Name,
        Product,
        LoadsAYear,
        LoadsAShift,
        ShiftsADay,
        DaysAYear,
        MakeAndModel,
        PreStretchRatio,
        Condition,
        Notes,
    }
);
same!(
    basis_out,
    basis_in,
    screens::LoadsBasis,
    LoadsBasis { AYear, AShift }
);
same!(
    role_out,
    role_in,
    screens::SetupRole,
    SetupRole {
        AsFound,
        Trial,
        AsLeft
    }
);

pub(super) fn fill(window: &MainWindow, session: &Session, id: Id<Line>) -> Result<(), BookError> {
    let adapter = window.global::<LineAdapter>();
    let view = line::view(session, id)?;
    adapter.set_name(entry(view.name));
    adapter.set_product(entry(view.product));
    adapter.set_loads_basis(basis_out(view.loads_basis));
    adapter.set_loads_a_year(entry(view.loads_a_year));
    adapter.set_loads_a_shift(entry(view.loads_a_shift));
    adapter.set_shifts_a_day(entry(view.shifts_a_day));
    adapter.set_days_a_year(entry(view.days_a_year));
    adapter.set_loads_computed(view.loads_computed.into());
    adapter.set_wrapper(visit::wrapper(view.wrapper));
    adapter.set_make_and_model(entry(view.make_model));
    adapter.set_pre_stretch(match view.pre_stretch {
        None => screens::PreStretch::NotSet,
        Some(PreStretch::None) => screens::PreStretch::None,
        Some(PreStretch::Powered) => screens::PreStretch::Powered,
        Some(PreStretch::Mechanical) => screens::PreStretch::FilmDriven,
    });
    adapter.set_pre_stretch_ratio(entry(view.pre_stretch_ratio));
    adapter.set_rotation(rotation_out(view.rotation));
    adapter.set_roll_turns(rotation_out(view.way.roll));
    adapter.set_bends(view.way.bends.into());
    adapter.set_way_wrong(view.way.wrong.into());
    let way = view.way.drawing;
    adapter.on_way(move |width, text, _| {
        chart(&film_path(&way, Frame::new(width.into(), text.into())))
    });
    adapter.set_charts(adapter.get_charts().wrapping_add(1));
    let (checked, to_check) = machine::looked_at(session, id)?;
    adapter.set_checked(whole(checked));
    adapter.set_to_check(whole(to_check));
    adapter.set_condition(entry(view.condition));
    adapter.set_notes(entry(view.notes));
    adapter.set_all_rolls(whole(view.rolls.all));
    adapter.set_rolls(model(view.rolls.into_iter().map(|roll| RollRow {
        id: id_text(roll.id),
        name: roll.name.into(),
        spec: roll.spec.into(),
        note: roll.note.into(),
    })));
    adapter.set_unticked(whole(view.unticked));
    adapter.set_all_setups(whole(view.setups.all));
    adapter.set_setups(model(view.setups.into_iter().map(|setup| SetupRow {
        id: id_text(setup.id),
        name: setup.name.into(),
        role: role_out(setup.role),
        film: setup.film.into(),
        result: setup.result.into(),
    })));
    Ok(())
}

const fn rotation_out(rotation: Option<Rotation>) -> screens::Rotation {
    match rotation {
        None => screens::Rotation::NotSet,
        Some(Rotation::Clockwise) => screens::Rotation::Clockwise,
        Some(Rotation::Anticlockwise) => screens::Rotation::Anticlockwise,
    }
}

const fn rotation_in(rotation: screens::Rotation) -> Option<Rotation> {
    match rotation {
        screens::Rotation::NotSet => None,
        screens::Rotation::Clockwise => Some(Rotation::Clockwise),
        screens::Rotation::Anticlockwise => Some(Rotation::Anticlockwise),
    }
}

fn here(session: &Session) -> Option<Id<Line>> {
    match session.here() {
        Place::Line(id) => Some(id),
        _ => None,
    }
}

/// Changes a choice of the line that is shown.
fn pick(app: &App, choose: impl FnOnce(&mut Line) + 'static) {
    app.act(move |session| {
        if let Some(id) = here(session) {
            line::pick(session, id, choose);
        }
    });
}

/// Does something with the line that is shown.
fn with(app: &App, work: impl FnOnce(&mut Session, Id<Line>) + 'static) {
    app.act(move |session| {
        if let Some(id) = here(session) {
            work(session, id);
        }
    });
}

pub(super) fn connect(window: &MainWindow, app: &App) {
    let adapter = window.global::<LineAdapter>();
    let on = app.clone();
    adapter.on_draft(move |field, text| {
        on.note(move |session| {
            if here(session).is_some() {
                line::draft(session, field_in(field), &text);
            }
        });
    });
    let on = app.clone();
    adapter.on_edit(move |field, text| {
        on.run(move |session| {
            if let Some(id) = here(session) {
                line::edit(session, id, field_in(field), &text);
            }
        });
    });
    let on = app.clone();
    adapter.on_pick_loads_basis(move |basis| {
        with(&on, move |session, id| {
            line::pick_loads_basis(session, id, basis_in(basis));
        });
    });
    let on = app.clone();
    adapter.on_pick_wrapper(move |kind| {
        let kind = match kind {
            screens::Wrapper::Turntable => WrapperKind::Turntable,
            screens::Wrapper::RotatingArm => WrapperKind::RotatingArm,
            screens::Wrapper::Ring => WrapperKind::Ring,
            screens::Wrapper::Other => WrapperKind::Other,
            screens::Wrapper::NotSet => return,
        };
        pick(&on, move |line| line.wrapper.kind = kind);
    });
    let on = app.clone();
    adapter.on_pick_pre_stretch(move |kind| {
        let kind = match kind {
            screens::PreStretch::NotSet => None,
            screens::PreStretch::None => Some(PreStretch::None),
            screens::PreStretch::Powered => Some(PreStretch::Powered),
            screens::PreStretch::FilmDriven => Some(PreStretch::Mechanical),
        };
        pick(&on, move |line| line.wrapper.pre_stretch = kind);
    });
    let on = app.clone();
    adapter.on_pick_rotation(move |rotation| {
        let rotation = rotation_in(rotation);
        pick(&on, move |line| line.wrapper.rotation = rotation);
    });
    let on = app.clone();
    adapter.on_pick_roll_turns(move |rotation| {
        let rotation = rotation_in(rotation);
        with(&on, move |session, id| {
            loading::pick_roll_turns(session, id, rotation);
        });
    });
    let on = app.clone();
    adapter.on_step_bends(move |by| {
        with(&on, move |session, id| {
            loading::step_bends(session, id, by > 0);
        });
    });
    let on = app.clone();
    adapter.on_add_roll(move || with(&on, line::add_roll));
    let on = app.clone();
    adapter.on_open_roll(move |roll| {
        if let Some(roll) = id_from(&roll) {
            on.act(move |session| session.go(Place::FilmRoll(roll)));
        }
    });
    let on = app.clone();
    adapter.on_open_machine(move || with(&on, |session, id| session.go(Place::Machine(id))));
    let on = app.clone();
    adapter.on_add_setup(move || with(&on, line::add_setup));
    let on = app.clone();
    adapter.on_open_setup(move |setup| {
        if let Some(setup) = id_from(&setup) {
            on.act(move |session| session.go(Place::Setup(setup)));
        }
    });
    let on = app.clone();
    adapter.on_open_compare(move || with(&on, compare::open_line));
    let on = app.clone();
    adapter.on_open_plan(move || with(&on, plan::open_line));
    let on = app.clone();
    adapter.on_set_aside(move || with(&on, line::ask_set_aside));
}
