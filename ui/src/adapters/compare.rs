//! Compare, filled and listened to.

use slint::{ComponentHandle, SharedString};
use tautbook_core::book::BookError;
use tautbook_core::chart::{Frame, compare as lay_out};
use tautbook_core::survey::{Id, Setup};
use tautbook_core::units::MethodId;
use tautbook_core::words::glue::unbroken;

use super::block::block;
use super::{entry, id_from, id_text, method_in, method_out, model, same, tone_out, whole};
use crate::app::App;
use crate::chart::chart;
use crate::place::Place;
use crate::presenters::compare;
use crate::screens::{self, CompareAdapter, MainWindow, SetupChoice};
use crate::session::Session;

same!(
    factor_out,
    factor_in,
    screens::Factor,
    compare::Field {
        RollChange,
        RollChangeSource,
        FilmBreak,
        FilmBreakSource,
        Labour,
        LabourSource,
        Carbon,
        CarbonSource,
        Levy,
        LevySource,
        LevyFreeFrom,
        LevyFreeFromSource,
    }
);

fn sentences(said: Vec<String>) -> impl Iterator<Item = SharedString> {
    said.into_iter().map(|text| unbroken(&text).into())
}

pub(super) fn fill(
    window: &MainWindow,
    session: &Session,
    old: Id<Setup>,
    new: Id<Setup>,
    method: MethodId,
) -> Result<(), BookError> {
    let adapter = window.global::<CompareAdapter>();
    let view = compare::view(session, old, new, method)?;
    adapter.set_scope(view.scope.into());
    adapter.set_method(method_out(view.method));
    adapter.set_all_setups(whole(view.setups.all));
    adapter.set_setups(model(view.setups.into_iter().map(|(id, name)| {
        SetupChoice {
            id: id_text(id),
            name: name.into(),
        }
    })));
    adapter.set_old(id_text(view.old));
    adapter.set_new(id_text(view.new));
    adapter.set_headline(unbroken(&view.headline).into());
    adapter.set_tone(tone_out(Some(view.tone)));
    adapter.set_why(block(&view.why));
    adapter.set_margin(entry(view.margin));
    adapter.set_margin_note(unbroken(&view.margin_note).into());
    adapter.set_margin_tone(tone_out(Some(view.margin_tone)));
    adapter.set_zones(block(&view.zones));
    adapter.set_zones_rest_on(model(sentences(view.zones_rest_on)));
    adapter.set_savings_rest_on(model(sentences(view.savings_rest_on)));
    adapter.set_film(block(&view.film));
    adapter.set_savings(block(&view.savings));
    let [
        change,
        change_source,
        film_break,
        film_break_source,
        labour,
        labour_source,
        carbon,
        carbon_source,
        levy,
        levy_source,
        levy_free,
        levy_free_source,
    ] = view.factors.map(entry);
    adapter.set_roll_change(change);
    adapter.set_roll_change_source(change_source);
    adapter.set_film_break(film_break);
    adapter.set_film_break_source(film_break_source);
    adapter.set_labour(labour);
    adapter.set_labour_source(labour_source);
    adapter.set_carbon(carbon);
    adapter.set_carbon_source(carbon_source);
    adapter.set_levy(levy);
    adapter.set_levy_source(levy_source);
    adapter.set_levy_free_from(levy_free);
    adapter.set_levy_free_from_source(levy_free_source);
    adapter.set_factor_typed(view.factor_typed);
    adapter.set_drawn(view.chart.is_some());
    let drawn = view.chart;
    adapter.on_chart(move |width, text, _| {
        drawn.as_ref().map_or_else(Default::default, |drawn| {
            chart(&lay_out(drawn, Frame::new(width.into(), text.into())))
        })
    });
    adapter.set_charts(adapter.get_charts().wrapping_add(1));
    Ok(())
}

fn is_here(session: &Session) -> bool {
    matches!(session.here(), Place::Compare { .. })
}

pub(super) fn connect(window: &MainWindow, app: &App) {
    let adapter = window.global::<CompareAdapter>();
    let on = app.clone();
    adapter.on_pick_method(move |method| {
        on.act(move |session| compare::pick_method(session, method_in(method)));
    });
    let on = app.clone();
    adapter.on_pick_old(move |id| {
        if let Some(id) = id_from(&id) {
            on.act(move |session| compare::pick_old(session, id));
        }
    });
    let on = app.clone();
    adapter.on_pick_new(move |id| {
        if let Some(id) = id_from(&id) {
            on.act(move |session| compare::pick_new(session, id));
        }
    });
    let on = app.clone();
    adapter.on_draft_margin(move |text| {
        on.note(move |session| {
            if is_here(session) {
                compare::draft_margin(session, &text);
            }
        });
    });
    let on = app.clone();
    adapter.on_edit_margin(move |text| {
        on.run(move |session| compare::edit_margin(session, &text));
    });
    let on = app.clone();
    adapter.on_draft_factor(move |factor, text| {
        on.note(move |session| {
            if is_here(session) {
                compare::draft_factor(session, factor_in(factor), &text);
            }
        });
    });
    let on = app.clone();
    adapter.on_edit_factor(move |factor, text| {
        on.run(move |session| compare::edit_factor(session, factor_in(factor), &text));
    });
    let on = app.clone();
    adapter.on_plan(move || on.act(compare::open_plan));
}
