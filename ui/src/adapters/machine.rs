//! Machine, filled and listened to.

use slint::ComponentHandle;
use tautbook_core::book::BookError;
use tautbook_core::survey::{CheckItem, CheckResult, Id, Line};

use super::{entry, refill, whole};
use crate::app::App;
use crate::place::Place;
use crate::presenters::machine::{self, ITEMS};
use crate::screens::{MachineAdapter, MachineFound, MachineItem, MainWindow};
use crate::session::Session;

pub(super) fn fill(window: &MainWindow, session: &Session, id: Id<Line>) -> Result<(), BookError> {
    let adapter = window.global::<MachineAdapter>();
    let view = machine::view(session, id)?;
    adapter.set_acknowledged(view.acknowledged);
    adapter.set_isolated_by(entry(view.isolated_by));
    adapter.set_done(whole(view.done));
    let rows = view.items.into_iter().map(|item| MachineItem {
        name: item.name.into(),
        how: item.how.into(),
        found: match item.result {
            None => MachineFound::NotYet,
            Some(CheckResult::Good) => MachineFound::Good,
            Some(CheckResult::Adjusted) => MachineFound::Adjusted,
            Some(CheckResult::NeedsTechnician) => MachineFound::Technician,
            Some(CheckResult::NotLookedAt) => MachineFound::NotLookedAt,
        },
        with_gap: item.gap.is_some(),
        gap: entry(item.gap.unwrap_or_default()),
        notes: entry(item.notes),
        photos: whole(item.photos),
    });
    if let Some(anew) = refill(&adapter.get_items(), rows.collect()) {
        adapter.set_items(anew);
    }
    Ok(())
}

fn here(session: &Session) -> Option<Id<Line>> {
    match session.here() {
        Place::Machine(id) => Some(id),
        _ => None,
    }
}

fn item(at: i32) -> Option<CheckItem> {
    ITEMS.get(usize::try_from(at).ok()?).copied()
}

/// Does something with the machine that is shown.
fn with(app: &App, work: impl FnOnce(&mut Session, Id<Line>) + 'static) {
    app.act(move |session| {
        if let Some(id) = here(session) {
            work(session, id);
        }
    });
}

pub(super) fn connect(window: &MainWindow, app: &App) {
    let adapter = window.global::<MachineAdapter>();
    let on = app.clone();
    adapter.on_acknowledge(move |read| {
        with(&on, move |session, id| {
            machine::acknowledge(session, id, read);
        });
    });
    let on = app.clone();
    adapter.on_draft_isolated_by(move |text| {
        on.note(move |session| {
            if here(session).is_some() {
                machine::draft_isolated_by(session, &text);
            }
        });
    });
    let on = app.clone();
    adapter.on_edit_isolated_by(move |text| {
        on.run(move |session| {
            if let Some(id) = here(session) {
                machine::edit_isolated_by(session, id, &text);
            }
        });
    });
    let on = app.clone();
    adapter.on_pick(move |at, found| {
        let result = match found {
            MachineFound::Good => CheckResult::Good,
            MachineFound::Adjusted => CheckResult::Adjusted,
            MachineFound::Technician => CheckResult::NeedsTechnician,
            MachineFound::NotLookedAt => CheckResult::NotLookedAt,
            MachineFound::NotYet => return,
        };
        if let Some(item) = item(at) {
            with(&on, move |session, id| {
                machine::pick(session, id, item, result);
            });
        }
    });
    let on = app.clone();
    adapter.on_draft(move |at, is_gap, text| {
        if let Some(item) = item(at) {
            on.note(move |session| {
                if here(session).is_some() {
                    machine::draft(session, item, is_gap, &text);
                }
            });
        }
    });
    let on = app.clone();
    adapter.on_edit(move |at, is_gap, text| {
        if let Some(item) = item(at) {
            on.run(move |session| {
                if let Some(id) = here(session) {
                    machine::edit(session, id, item, is_gap, &text);
                }
            });
        }
    });
    let on = app.clone();
    adapter.on_photos(move |at| {
        if let Some(item) = item(at) {
            with(&on, move |session, id| {
                machine::open_photos(session, id, item);
            });
        }
    });
}
