//! Read, filled and listened to.

use slint::ComponentHandle;
use tautbook_core::analysis::containment::ZoneName;
use tautbook_core::book::BookError;
use tautbook_core::survey::Face;

use super::{face_in, face_out, method_in, method_out, model, whole, zone_in, zone_out};
use crate::app::App;
use crate::place::Place;
use crate::presenters::read::{self, At, Next, PLANNED, State};
use crate::presenters::tools;
use crate::presenters::typing::Figure;
use crate::screens::{self, MainWindow, PlaceCell, ReadAdapter, ReadState, RecentReading};
use crate::session::Session;

/// A figure for the screen, with the whole in one for a screen reader.
pub(super) fn figure(figure: Figure) -> screens::Figure {
    let spoken = [
        figure.first.as_str(),
        figure.first_unit,
        figure.second.as_str(),
        figure.second_unit,
    ]
    .join(" ");
    screens::Figure {
        first: figure.first.into(),
        first_unit: figure.first_unit.into(),
        second: figure.second.into(),
        second_unit: figure.second_unit.into(),
        spoken: spoken.trim().into(),
    }
}

pub(super) fn fill(window: &MainWindow, session: &Session) -> Result<(), BookError> {
    let Some(at) = At::here(session) else {
        return Ok(());
    };
    let adapter = window.global::<ReadAdapter>();
    let view = read::view(session, at)?;
    adapter.set_reminder(view.stale.as_str().into());
    adapter.set_all_read(view.next != Next::Reading);
    adapter.set_weigh_next(view.next == Next::Weigh);
    adapter.set_method(method_out(view.method));
    adapter.set_zone(zone_out(view.zone));
    adapter.set_face(face_out(view.face));
    let (state, error) = match view.state {
        State::Fresh => (ReadState::Fresh, String::new()),
        State::Typing => (ReadState::Typing, String::new()),
        State::Error(error) => (ReadState::Error, error),
        State::Saved => (ReadState::Saved, String::new()),
    };
    adapter.set_error(error.into());
    adapter.set_state(state);
    adapter.set_figure(figure(view.figure));
    adapter.set_unit_key(view.unit_key.into());
    adapter.set_unit(view.unit.into());
    adapter.set_number(whole(view.number));
    adapter.set_planned(whole(PLANNED));
    adapter.set_can_undo(!view.recent.is_empty());
    adapter.set_recent(model(view.recent.into_iter().map(|recent| RecentReading {
        value: recent.value.into(),
        in_zone: recent.zone.is_some(),
        zone: zone_out(recent.zone.unwrap_or(ZoneName::Middle)),
        on_face: recent.face.is_some(),
        face: face_out(recent.face.unwrap_or(Face::Front)),
    })));
    adapter.set_places(model(view.places.into_iter().map(|cell| PlaceCell {
        zone: zone_out(cell.zone),
        face: face_out(cell.face),
        count: whole(cell.count),
        last: cell.last.into(),
    })));
    let [from_edge, from_side, from_top, pull] = view.distances;
    adapter.set_from_edge(from_edge.into());
    adapter.set_from_side(from_side.into());
    adapter.set_from_top(from_top.into());
    adapter.set_pull(pull.into());
    Ok(())
}

/// Closes the choice of places that lies over the keypad; whether it was there.
pub(crate) fn close_places(window: &MainWindow, here: Place) -> bool {
    let adapter = window.global::<ReadAdapter>();
    let open = matches!(here, Place::Read { .. }) && adapter.get_choosing_place();
    adapter.set_choosing_place(false);
    open
}

pub(super) fn connect(window: &MainWindow, app: &App) {
    let adapter = window.global::<ReadAdapter>();
    let on = app.clone();
    adapter.on_pick_method(move |method| {
        on.run(move |session| read::pick_method(session, method_in(method)));
    });
    let on = app.clone();
    adapter.on_pick_place(move |zone, face| {
        on.run(move |session| read::pick_place(session, zone_in(zone), face_in(face)));
    });
    let on = app.clone();
    adapter.on_key(move |key| on.run(move |session| read::key(session, &key)));
    let on = app.clone();
    adapter.on_erase(move || on.run(read::erase));
    let on = app.clone();
    adapter.on_save(move || on.run(read::save));
    let on = app.clone();
    adapter.on_open_tools(move || on.act(tools::open));
    let on = app.clone();
    adapter.on_photo(move || on.act(read::photo));
    let on = app.clone();
    adapter.on_undo(move || on.run(read::undo));
}
