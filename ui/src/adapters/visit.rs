//! Visit, filled and listened to.

use slint::ComponentHandle;
use tautbook_core::book::BookError;
use tautbook_core::survey::{Id, Purpose, Sample, Visit, WrapperKind};

use super::{entry, id_from, id_text, model, same, today, whole};
use crate::app::App;
use crate::place::Place;
use crate::presenters::visit::{self, Field};
use crate::presenters::{photos, report, tools};
use crate::screens::{self, BagItem, LineRow, MainWindow, VisitAdapter};
use crate::session::Session;

same!(
    field_out,
    field_in,
    screens::VisitField,
    Field {
        Customer,
        Site,
        Date,
        Rep,
        Notes
    }
);

pub(super) const fn wrapper(kind: WrapperKind) -> screens::Wrapper {
    match kind {
        WrapperKind::Turntable => screens::Wrapper::Turntable,
        WrapperKind::RotatingArm => screens::Wrapper::RotatingArm,
        WrapperKind::Ring => screens::Wrapper::Ring,
        WrapperKind::Other => screens::Wrapper::Other,
    }
}

pub(super) fn fill(window: &MainWindow, session: &Session, id: Id<Visit>) -> Result<(), BookError> {
    let adapter = window.global::<VisitAdapter>();
    let view = visit::view(session, id)?;
    adapter.set_customer(entry(view.customer));
    adapter.set_site(entry(view.site));
    adapter.set_date(entry(view.date));
    adapter.set_rep(entry(view.rep));
    adapter.set_notes(entry(view.notes));
    adapter.set_photos(whole(photos::how_many(session, id.reference())?));
    adapter.set_own_item(entry(view.own_item));
    adapter.set_purpose(today::purpose(view.purpose));
    adapter.set_all_in_bag(whole(view.bag.all));
    adapter.set_bag(model(view.bag.into_iter().map(list_item)));
    adapter.set_safety(model(view.safety.into_iter().map(list_item)));
    adapter.set_all_lines(whole(view.lines.all));
    adapter.set_lines(model(view.lines.into_iter().map(|line| LineRow {
        id: id_text(line.id),
        name: line.name.into(),
        product: line.product.into(),
        wrapper: wrapper(line.wrapper),
        setups: whole(line.setups),
        loads: whole(line.loads),
    })));
    let samples = session.book().children::<Sample, _>(id)?;
    adapter.set_samples(whole(samples.len()));
    Ok(())
}

/// The visit of the present place.
fn here(session: &Session) -> Option<Id<Visit>> {
    match session.here() {
        Place::Visit(id) => Some(id),
        _ => None,
    }
}

fn list_item(item: visit::Item) -> BagItem {
    BagItem {
        id: item.index.to_string().into(),
        text: item.text.into(),
        ticked: item.done,
        own: item.own,
    }
}

pub(super) fn connect(window: &MainWindow, app: &App) {
    let adapter = window.global::<VisitAdapter>();
    let on = app.clone();
    adapter.on_draft(move |field, text| {
        on.note(move |session| {
            if here(session).is_some() {
                visit::draft(session, field_in(field), &text);
            }
        });
    });
    let on = app.clone();
    adapter.on_edit(move |field, text| {
        on.run(move |session| {
            if let Some(id) = here(session) {
                visit::edit(session, id, field_in(field), &text);
            }
        });
    });
    let on = app.clone();
    adapter.on_pick_purpose(move |purpose| {
        let purpose = match purpose {
            screens::Purpose::Baseline => Purpose::Baseline,
            screens::Purpose::FollowUp => Purpose::FollowUp,
            screens::Purpose::Trial => Purpose::Trial,
            screens::Purpose::NotSet => return,
        };
        on.act(move |session| {
            if let Some(id) = here(session) {
                visit::pick_purpose(session, id, purpose);
            }
        });
    });
    let on = app.clone();
    adapter.on_tick(move |item, ticked| {
        let Ok(index) = item.parse() else { return };
        on.act(move |session| {
            if let Some(id) = here(session) {
                visit::tick(session, id, index, ticked);
            }
        });
    });
    let on = app.clone();
    adapter.on_take_off(move |item| {
        let Ok(index) = item.parse() else { return };
        on.act(move |session| {
            if let Some(id) = here(session) {
                visit::take_off(session, id, index);
            }
        });
    });
    let on = app.clone();
    adapter.on_draft_own_item(move |text| {
        on.note(move |session| {
            if here(session).is_some() {
                visit::draft_own_item(session, &text);
            }
        });
    });
    let on = app.clone();
    adapter.on_add_own_item(move |text| {
        on.run(move |session| {
            if let Some(id) = here(session) {
                visit::add_own_item(session, id, &text);
            }
        });
    });
    let on = app.clone();
    adapter.on_tick_all(move || {
        on.act(|session| {
            if let Some(id) = here(session) {
                visit::tick_all(session, id);
            }
        });
    });
    let on = app.clone();
    adapter.on_open_tools(move || on.act(tools::open));
    let on = app.clone();
    adapter.on_add_line(move || {
        on.act(|session| {
            if let Some(id) = here(session) {
                visit::add_line(session, id);
            }
        });
    });
    let on = app.clone();
    adapter.on_open_line(move |line| {
        if let Some(line) = id_from(&line) {
            on.act(move |session| session.go(Place::Line(line)));
        }
    });
    let on = app.clone();
    adapter.on_open_report(move || {
        on.act(|session| {
            if let Some(id) = here(session) {
                report::open(session, id);
            }
        });
    });
    let on = app.clone();
    adapter.on_open_photos(move || {
        on.act(|session| {
            if let Some(id) = here(session) {
                photos::open(session, id.reference());
            }
        });
    });
    let on = app.clone();
    adapter.on_open_samples(move || {
        on.act(|session| {
            if let Some(id) = here(session) {
                session.go(Place::Keep(id));
            }
        });
    });
    let on = app.clone();
    adapter.on_set_aside(move || {
        on.act(|session| {
            if let Some(id) = here(session) {
                visit::ask_set_aside(session, id);
            }
        });
    });
}
