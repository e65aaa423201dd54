//! Tools, filled and listened to.

use slint::{ComponentHandle, SharedString};
use tautbook_core::book::BookError;
use tautbook_core::survey::{Id, Tool, ToolKind};

use super::{entry, id_from, id_text, model, refill, same, whole};
use crate::app::App;
use crate::presenters::tools::{self, Field, KINDS, ToolRow};
use crate::screens::{self, MainWindow, ToolItem, ToolsAdapter};
use crate::session::Session;

same!(
    field_out,
    field_in,
    screens::ToolField,
    Field {
        Name,
        Step,
        Range,
        Lever,
        Days,
        Notes
    }
);

pub(super) fn fill(window: &MainWindow, session: &Session) -> Result<(), BookError> {
    let adapter = window.global::<ToolsAdapter>();
    let view = tools::view(session)?;
    adapter.set_all(whole(view.all));
    let rows = view
        .tools
        .into_iter()
        .map(|row| item(session, row))
        .collect();
    if let Some(anew) = refill(&adapter.get_tools(), rows) {
        adapter.set_tools(anew);
    }
    let kinds = KINDS.map(|kind| SharedString::from(tools::kind_name(session, kind)));
    adapter.set_kinds(model(kinds));
    Ok(())
}

fn item(session: &Session, row: ToolRow) -> ToolItem {
    let [name, step, range, lever, days, notes] = row.fields.map(entry);
    ToolItem {
        id: id_text(row.id),
        kind: tools::kind_name(session, row.kind).into(),
        name,
        step,
        range,
        lever,
        days,
        notes,
        state: row.state.into(),
        stale: row.stale.into(),
        in_hand: row.in_hand,
        with_range: !matches!(row.kind, ToolKind::Micrometer | ToolKind::Tape),
        with_lever: row.kind == ToolKind::TorsionTool,
        can_zero: row.kind != ToolKind::Tape,
    }
}

/// Does something with a tool.
fn with(app: &App, id: &SharedString, work: fn(&mut Session, Id<Tool>)) {
    if let Some(id) = id_from(id) {
        app.act(move |session| work(session, id));
    }
}

pub(super) fn connect(window: &MainWindow, app: &App) {
    let adapter = window.global::<ToolsAdapter>();
    let on = app.clone();
    adapter.on_add(move |at| {
        let kind = usize::try_from(at).ok().and_then(|at| KINDS.get(at));
        if let Some(kind) = kind.copied() {
            on.act(move |session| tools::add(session, kind));
        }
    });
    let on = app.clone();
    adapter.on_show_others(move || on.act(tools::show_others));
    let on = app.clone();
    adapter.on_zero(move |id| with(&on, &id, tools::zero));
    let on = app.clone();
    adapter.on_check(move |id| with(&on, &id, tools::check));
    let on = app.clone();
    adapter.on_take(move |id| with(&on, &id, tools::take));
    let on = app.clone();
    adapter.on_set_aside(move |id| with(&on, &id, tools::ask_set_aside));
    let on = app.clone();
    adapter.on_draft(move |id, field, text| {
        if let Some(id) = id_from(&id) {
            on.note(move |session| tools::draft(session, id, field_in(field), &text));
        }
    });
    let on = app.clone();
    adapter.on_edit(move |id, field, text| {
        if let Some(id) = id_from(&id) {
            on.run(move |session| tools::edit(session, id, field_in(field), &text));
        }
    });
}
