//! Results, filled and listened to.

use slint::ComponentHandle;
use tautbook_core::analysis::containment::{ZoneName, ZoneVerdict};
use tautbook_core::book::BookError;
use tautbook_core::units::MethodId;

use super::{entry, method_in, method_out, model, whole, zone_in, zone_out};
use crate::app::App;
use crate::place::{Place, Scope};
use crate::presenters::results;
use crate::screens::{
    AxisTick, MainWindow, ReadingMark, ResultsAdapter, Verdict, ZoneBar, ZoneResult,
};
use crate::session::Session;

/// What the drawing takes for "there is none".
const ABSENT: f32 = -1.0;

pub(super) fn fill(
    window: &MainWindow,
    session: &Session,
    scope: Scope,
    method: MethodId,
) -> Result<(), BookError> {
    let adapter = window.global::<ResultsAdapter>();
    let view = results::view(session, scope, method)?;
    adapter.set_method(method_out(view.method));
    adapter.set_any_target(view.bars.iter().any(|bar| bar.target.is_some()));
    adapter.set_any_aside(view.marks.iter().any(|mark| mark.aside));
    adapter.set_scope(view.scope.into());
    adapter.set_zones(model(view.zones.into_iter().map(|zone| ZoneResult {
        zone: zone_out(zone.zone),
        verdict: verdict(zone.verdict),
        lowest: zone.lowest.into(),
        mean: zone.mean.into(),
        deviation: zone.deviation.into(),
        count: whole(zone.count),
        interval: zone.interval.into(),
        target: zone.target.into(),
        margin: zone.margin.into(),
        warning: zone.warning.into(),
    })));
    adapter.set_bars(model(view.bars.into_iter().map(|bar| {
        let (from, to) = thirds(bar.zone);
        ZoneBar {
            zone: zone_out(bar.zone),
            verdict: verdict(bar.verdict),
            from,
            to,
            lowest: bar.lowest.map_or(ABSENT, drawn),
            mean: bar.mean.map_or(ABSENT, drawn),
            interval_low: bar.interval.map_or(ABSENT, |(low, _)| drawn(low)),
            interval_high: bar.interval.map_or(ABSENT, |(_, high)| drawn(high)),
            target: bar.target.map_or(ABSENT, drawn),
        }
    })));
    adapter.set_marks(model(view.marks.into_iter().map(|mark| ReadingMark {
        at: drawn(mark.at),
        height: drawn(mark.height),
        aside: mark.aside,
    })));
    adapter.set_ticks(model(view.ticks.into_iter().map(|(at, text)| AxisTick {
        at: drawn(at),
        text: text.into(),
    })));
    adapter.set_spoken(view.spoken.into());
    adapter.set_film(view.film.into());
    adapter.set_film_detail(view.film_detail.into());
    let [top, middle, bottom] = view.targets;
    adapter.set_target_top(entry(top));
    adapter.set_target_middle(entry(middle));
    adapter.set_target_bottom(entry(bottom));
    adapter.set_notes(view.notes.join("\n").into());
    Ok(())
}

const fn verdict(verdict: ZoneVerdict) -> Verdict {
    match verdict {
        ZoneVerdict::Reaches => Verdict::Reaches,
        ZoneVerdict::Below => Verdict::Below,
        ZoneVerdict::NoTarget => Verdict::NoTarget,
        ZoneVerdict::NotMeasured => Verdict::NotMeasured,
    }
}

/// The part of the load's height a zone stands for.
const fn thirds(zone: ZoneName) -> (f32, f32) {
    match zone {
        ZoneName::Top => (2.0 / 3.0, 1.0),
        ZoneName::Middle => (1.0 / 3.0, 2.0 / 3.0),
        ZoneName::Bottom => (0.0, 1.0 / 3.0),
    }
}

/// A fraction of the drawing, in the precision that drawings have.
#[allow(clippy::cast_possible_truncation)] // Between 0 and 1, for pixels.
const fn drawn(fraction: f64) -> f32 {
    fraction as f32
}

pub(super) fn connect(window: &MainWindow, app: &App) {
    let adapter = window.global::<ResultsAdapter>();
    let on = app.clone();
    adapter.on_pick_method(move |method| {
        on.act(move |session| results::pick_method(session, method_in(method)));
    });
    let on = app.clone();
    adapter.on_draft_target(move |zone, text| {
        on.note(move |session| {
            if matches!(session.here(), Place::Results { .. }) {
                results::draft_target(session, zone_in(zone), &text);
            }
        });
    });
    let on = app.clone();
    adapter.on_edit_target(move |zone, text| {
        on.run(move |session| results::edit_target(session, zone_in(zone), &text));
    });
    let on = app.clone();
    adapter.on_weigh(move || on.act(results::weigh));
}
