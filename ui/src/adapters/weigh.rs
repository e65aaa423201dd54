//! Weigh, filled and listened to.

use slint::ComponentHandle;
use tautbook_core::book::BookError;
use tautbook_core::survey::{Id, Load};

use super::read::figure;
use super::{entry, id_text, model, same, whole};
use crate::app::App;
use crate::place::Place;
use crate::presenters::tools;
use crate::presenters::weigh::{self, Part};
use crate::screens::{self, MainWindow, Scale, WeighAdapter, WeighRow};
use crate::session::Session;

same!(part_out, part_in, screens::WeighPart, Part { Gross, Tare });

pub(super) fn fill(window: &MainWindow, session: &Session, id: Id<Load>) -> Result<(), BookError> {
    let adapter = window.global::<WeighAdapter>();
    let view = weigh::view(session, id)?;
    adapter.set_acknowledged(view.acknowledged);
    adapter.set_is_sample(view.is_sample);
    adapter.set_all(whole(view.weighings.all));
    adapter.set_weighings(model(view.weighings.into_iter().map(|row| WeighRow {
        id: id_text(row.id),
        net: row.net.into(),
        detail: row.detail.into(),
        note: row.note.into(),
        aside: row.aside,
    })));
    adapter.set_can_undo(view.can_undo);
    adapter.set_scale_known(view.scale.is_some());
    adapter.set_scale(view.scale.map_or_else(Default::default, |scale| Scale {
        name: scale.name.into(),
        state: scale.state.into(),
        stale: scale.stale.into(),
    }));
    adapter.set_scale_note(entry(view.scale_note));
    adapter.set_loads_together(view.loads_together.to_string().into());
    adapter.set_part(part_out(view.typing.unwrap_or(Part::Gross)));
    adapter.set_figure(figure(view.figure));
    adapter.set_gross(view.gross.into());
    adapter.set_tare(view.tare.into());
    adapter.set_net(view.net.into());
    adapter.set_error(view.error.into());
    adapter.set_unit_key(view.unit_key.into());
    adapter.set_typing(view.typing.is_some());
    Ok(())
}

/// Does something with the load whose film is weighed.
fn with(app: &App, work: impl FnOnce(&mut Session, Id<Load>) + 'static) {
    app.run(move |session| {
        if let Place::Weigh(id) = session.here() {
            work(session, id);
        }
    });
}

pub(super) fn connect(window: &MainWindow, app: &App) {
    let adapter = window.global::<WeighAdapter>();
    let on = app.clone();
    adapter.on_acknowledge(move |read| {
        with(&on, move |session, id| {
            weigh::acknowledge(session, id, read);
        });
    });
    let on = app.clone();
    adapter.on_step_loads(move |by| {
        with(&on, move |session, _| weigh::step_loads(session, by > 0));
    });
    let on = app.clone();
    adapter.on_draft_scale_note(move |text| {
        on.note(move |session| {
            if matches!(session.here(), Place::Weigh(_)) {
                weigh::note_scale(session, &text);
            }
        });
    });
    let on = app.clone();
    adapter.on_edit_scale_note(move |text| {
        with(&on, move |session, _| weigh::note_scale(session, &text));
    });
    let on = app.clone();
    adapter.on_open_tools(move || on.act(tools::open));
    let on = app.clone();
    adapter.on_start(move || with(&on, |session, _| weigh::start(session)));
    let on = app.clone();
    adapter.on_pick_part(move |part| {
        with(&on, move |session, _| {
            weigh::pick_part(session, part_in(part));
        });
    });
    let on = app.clone();
    adapter.on_key(move |key| with(&on, move |session, _| weigh::key(session, &key)));
    let on = app.clone();
    adapter.on_erase(move || with(&on, |session, _| weigh::erase(session)));
    let on = app.clone();
    adapter.on_save(move || with(&on, weigh::save));
    let on = app.clone();
    adapter.on_undo(move || with(&on, weigh::undo));
}
