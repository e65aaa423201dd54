//! Plan, filled and listened to.

use slint::ComponentHandle;
use tautbook_core::book::BookError;
use tautbook_core::chart::{Frame, trade_off};
use tautbook_core::survey::{Id, Setup};
use tautbook_core::units::MethodId;
use tautbook_core::words::glue::unbroken;

use super::block::block;
use super::{entry, method_in, method_out, model, same, tone_out};
use crate::app::App;
use crate::chart::chart;
use crate::place::Place;
use crate::presenters::plan::{self, Limit, Offer};
use crate::screens::{self, MainWindow, PlanAdapter};
use crate::session::Session;

same!(
    limit_out,
    limit_in,
    screens::Limit,
    Limit {
        BottomLeast,
        BottomMost,
        BottomStep,
        TopLeast,
        TopMost,
        TopStep,
        PitchLeast,
        PitchMost,
        PitchStep,
    }
);

fn offer(offer: Offer) -> screens::Offer {
    screens::Offer {
        title: offer.title.into(),
        programme: unbroken(&offer.programme).into(),
        film: unbroken(&offer.film).into(),
    }
}

pub(super) fn fill(
    window: &MainWindow,
    session: &Session,
    setup: Id<Setup>,
    method: MethodId,
) -> Result<(), BookError> {
    let adapter = window.global::<PlanAdapter>();
    let view = plan::view(session, setup, method)?;
    adapter.set_from(view.from.into());
    adapter.set_method(method_out(view.method));
    adapter.set_confidence(i32::try_from(view.confidence).unwrap_or(0));
    adapter.set_headline(unbroken(&view.headline).into());
    adapter.set_tone(tone_out(Some(view.tone)));
    adapter.set_proposed(view.proposal.is_some());
    adapter.set_proposal(view.proposal.map(offer).unwrap_or_default());
    adapter.set_caution(unbroken(&view.caution).into());
    adapter.set_zones(block(&view.zones));
    adapter.set_why_not_less(block(&view.why_not_less));
    adapter.set_alternatives(model(view.alternatives.into_iter().map(offer)));
    adapter.set_basis(block(&view.basis));
    adapter.set_outcome(block(&view.outcome));
    adapter.set_drawn(view.trade.is_some());
    let trade = view.trade;
    adapter.on_trade(move |width, text, _| {
        trade.as_ref().map_or_else(Default::default, |trade| {
            chart(&trade_off(trade, Frame::new(width.into(), text.into())))
        })
    });
    adapter.set_charts(adapter.get_charts().wrapping_add(1));
    let [least, most, step] = view.limits.bottom;
    adapter.set_bottom_least(entry(least));
    adapter.set_bottom_most(entry(most));
    adapter.set_bottom_step(entry(step));
    let [least, most, step] = view.limits.top;
    adapter.set_top_least(entry(least));
    adapter.set_top_most(entry(most));
    adapter.set_top_step(entry(step));
    let [least, most, step] = view.limits.pitch;
    adapter.set_pitch_least(entry(least));
    adapter.set_pitch_most(entry(most));
    adapter.set_pitch_step(entry(step));
    adapter.set_same_pitch(view.limits.same_pitch);
    Ok(())
}

fn is_here(session: &Session) -> bool {
    matches!(session.here(), Place::Plan { .. })
}

pub(super) fn connect(window: &MainWindow, app: &App) {
    let adapter = window.global::<PlanAdapter>();
    let on = app.clone();
    adapter.on_pick_method(move |method| {
        on.act(move |session| plan::pick_method(session, method_in(method)));
    });
    let on = app.clone();
    adapter.on_pick_confidence(move |percent| {
        on.act(move |session| {
            if let (true, Ok(percent)) = (is_here(session), u32::try_from(percent)) {
                plan::pick_confidence(session, percent);
            }
        });
    });
    let on = app.clone();
    adapter.on_take(move |offer| {
        if let Ok(offer) = usize::try_from(offer) {
            on.act(move |session| plan::take(session, offer));
        }
    });
    let on = app.clone();
    adapter.on_draft_limit(move |limit, text| {
        on.note(move |session| {
            if is_here(session) {
                plan::draft_limit(session, limit_in(limit), &text);
            }
        });
    });
    let on = app.clone();
    adapter.on_edit_limit(move |limit, text| {
        on.run(move |session| {
            if is_here(session) {
                plan::edit_limit(session, limit_in(limit), &text);
            }
        });
    });
    let on = app.clone();
    adapter.on_pick_same_pitch(move |same| {
        on.act(move |session| plan::pick_same_pitch(session, same));
    });
}
