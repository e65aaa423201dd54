//! Machine, filled and listened to.

use slint::ComponentHandle;
use tautbook_core::book::BookError;
use tautbook_core::chart::{Frame, film_path};
use tautbook_core::survey::{CheckItem, CheckResult, FindingState, Id, Line, Seriousness};

use super::{entry, refill, same, whole};
use crate::app::App;
use crate::chart::chart;
use crate::place::Place;
use crate::presenters::machine::{self, ITEMS, ItemRow, finding};
use crate::screens::{self, MachineAdapter, MachineFound, MachineItem, MachinePart, MainWindow};
use crate::session::Session;

pub(super) fn fill(window: &MainWindow, session: &Session, id: Id<Line>) -> Result<(), BookError> {
    let adapter = window.global::<MachineAdapter>();
    let view = machine::view(session, id)?;
    adapter.set_acknowledged(view.acknowledged);
    adapter.set_read_at(view.read_at.into());
    adapter.set_isolated_by(entry(view.isolated_by));
    adapter.set_done(whole(view.done));
    adapter.set_way_wrong(view.way.wrong.into());
    adapter.set_way_known(view.way.roll.is_some());
    let way = view.way.drawing;
    adapter.on_way(move |width, text, _| {
        chart(&film_path(&way, Frame::new(width.into(), text.into())))
    });
    adapter.set_charts(adapter.get_charts().wrapping_add(1));
    let rows = view.items.into_iter().map(row);
    if let Some(anew) = refill(&adapter.get_items(), rows.collect()) {
        adapter.set_items(anew);
    }
    Ok(())
}

fn row(item: ItemRow) -> MachineItem {
    let shown = MachineItem {
        name: item.name.into(),
        how: item.how.into(),
        found: match item.result {
            None => MachineFound::NotYet,
            Some(CheckResult::Good) => MachineFound::Good,
            Some(CheckResult::Adjusted) => MachineFound::Adjusted,
            Some(CheckResult::NeedsTechnician) => MachineFound::Technician,
            Some(CheckResult::NotLookedAt) => MachineFound::NotLookedAt,
        },
        behind_guard: item.item.is_behind_guard(),
        not_locked: item.not_locked.into(),
        with_way: item.item == CheckItem::FilmPath,
        with_gap: item.gap.is_some(),
        gap: entry(item.gap.unwrap_or_default()),
        notes: entry(item.notes),
        photos: whole(item.photos),
        ..MachineItem::default()
    };
    match item.finding {
        None => shown,
        Some(finding) => MachineItem {
            with_finding: true,
            serious: serious_out(finding.seriousness),
            action: entry(finding.action),
            state: state_out(finding.state),
            who: finding.who.into(),
            ..shown
        },
    }
}

same!(
    serious_out,
    serious_in,
    screens::MachineSerious,
    Seriousness {
        Note,
        Matters,
        Serious
    }
);
same!(
    state_out,
    state_in,
    screens::MachineState,
    FindingState {
        Open,
        Done,
        Declined
    }
);

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
    adapter.on_draft(move |at, part, text| {
        if let Some(item) = item(at) {
            on.note(move |session| {
                if here(session).is_none() {
                    return;
                }
                match part {
                    MachinePart::Gap => machine::draft(session, item, true, &text),
                    MachinePart::Notes => machine::draft(session, item, false, &text),
                    MachinePart::Action => finding::draft_action(session, item, &text),
                }
            });
        }
    });
    let on = app.clone();
    adapter.on_edit(move |at, part, text| {
        if let Some(item) = item(at) {
            on.run(move |session| {
                let Some(id) = here(session) else { return };
                match part {
                    MachinePart::Gap => machine::edit(session, id, item, true, &text),
                    MachinePart::Notes => machine::edit(session, id, item, false, &text),
                    MachinePart::Action => finding::edit_action(session, id, item, &text),
                }
            });
        }
    });
    let on = app.clone();
    adapter.on_weigh(move |at, serious| {
        if let Some(item) = item(at) {
            with(&on, move |session, id| {
                finding::weigh(session, id, item, serious_in(serious));
            });
        }
    });
    let on = app.clone();
    adapter.on_move_on(move |at, state| {
        if let Some(item) = item(at) {
            with(&on, move |session, id| {
                finding::move_on(session, id, item, state_in(state));
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
