//! Results, filled and listened to.

use slint::ComponentHandle;
use tautbook_core::analysis::containment::ZoneVerdict;
use tautbook_core::book::BookError;
use tautbook_core::chart::{Frame, kept_force, load_side};
use tautbook_core::units::MethodId;
use tautbook_core::words::glue::unbroken;

use super::block::block;
use super::{
    entry, method_in, method_out, model, record_from, record_text, same, tone_out, whole, zone_in,
    zone_out,
};
use crate::app::App;
use crate::chart::chart;
use crate::place::{Place, Scope};
use crate::presenters::results::{self, FindingView};
use crate::screens::{self, FindingRow, LinkRow, MainWindow, ResultsAdapter, Verdict, ZoneResult};
use crate::session::Session;

/// How many findings are shown at once.
const FIRST_FINDINGS: usize = 3;

same!(
    way_out,
    way_in,
    screens::TravelWay,
    results::Way { Road, Rail, Sea }
);

pub(super) fn fill(
    window: &MainWindow,
    session: &Session,
    scope: Scope,
    method: MethodId,
) -> Result<(), BookError> {
    let adapter = window.global::<ResultsAdapter>();
    let view = results::view(session, scope, method)?;
    adapter.set_method(method_out(view.method));
    adapter.set_any_target(view.any_target);
    adapter.set_headline(unbroken(&view.headline).into());
    adapter.set_tone(tone_out(Some(view.tone)));
    adapter.set_drawn(view.side.is_some());
    let side = view.side;
    adapter.on_side(move |width, text, _| {
        side.as_ref().map_or_else(Default::default, |side| {
            chart(&load_side(side, Frame::new(width.into(), text.into())))
        })
    });
    let kept = view.kept;
    adapter.set_kept_drawn(kept.is_some());
    adapter.on_kept(move |width, text, _| {
        kept.as_ref().map_or_else(Default::default, |kept| {
            chart(&kept_force(kept, Frame::new(width.into(), text.into())))
        })
    });
    adapter.set_charts(adapter.get_charts().wrapping_add(1));
    adapter.set_scope(view.scope.into());
    adapter.set_of_load(view.of_load);
    adapter.set_can_compare(view.can_compare);
    adapter.set_all_weighed(view.all_weighed);
    adapter.set_zones(model(view.zones.into_iter().map(|zone| ZoneResult {
        zone: zone_out(zone.zone),
        verdict: verdict(zone.verdict, zone.unsure),
        lowest: unbroken(&zone.lowest).into(),
        mean: unbroken(&zone.mean).into(),
        deviation: unbroken(&zone.deviation).into(),
        count: whole(zone.count),
        interval: unbroken(&zone.interval).into(),
        target: unbroken(&zone.target).into(),
        margin: unbroken(&zone.margin).into(),
        warning: unbroken(&zone.warning).into(),
        more: block(&zone.more),
    })));
    adapter.set_film(view.film.into());
    adapter.set_film_detail(unbroken(&view.film_detail).into());
    let mut findings = view.findings;
    let rest = findings.split_off(findings.len().min(FIRST_FINDINGS));
    adapter.set_findings(model(findings.into_iter().map(finding)));
    adapter.set_more_findings(model(rest.into_iter().map(finding)));
    adapter.set_not_known(block(&view.not_known));
    adapter.set_outcome(block(&view.outcome));
    adapter.set_people(block(&view.people));
    adapter.set_breaks(block(&view.breaks));
    adapter.set_balance(block(&view.balance));
    adapter.set_stretch(block(&view.stretch));
    adapter.set_restraint(block(&view.restraint));
    adapter.set_travel_way(way_out(view.way));
    adapter.set_friction(entry(view.friction));
    let [top, middle, bottom] = view.targets;
    adapter.set_target_top(entry(top));
    adapter.set_target_middle(entry(middle));
    adapter.set_target_bottom(entry(bottom));
    let [top, middle, bottom] = view.inherited;
    adapter.set_inherited_top(top.into());
    adapter.set_inherited_middle(middle.into());
    adapter.set_inherited_bottom(bottom.into());
    adapter.set_offer(block(&view.offer.block));
    adapter.set_derive(view.offer.press.into());
    adapter.set_relaxing(block(&view.relaxing));
    adapter.set_notes(view.notes.join("\n").into());
    Ok(())
}

fn finding(finding: FindingView) -> FindingRow {
    let texts = |texts: Vec<String>| model(texts.into_iter().map(Into::into));
    FindingRow {
        what: unbroken(&finding.what).into(),
        tone: tone_out(Some(finding.tone)),
        causes: texts(finding.causes),
        against: texts(finding.against),
        step: finding.step.into(),
        next_step: unbroken(&finding.next_step).into(),
        who: finding.who.into(),
        care: finding.care.into(),
        more_links: finding.more_links.into(),
        links: model(finding.links.into_iter().map(|link| LinkRow {
            id: record_text(link.record),
            name: link.name.into(),
            what: unbroken(&link.what).into(),
        })),
    }
}

const fn verdict(verdict: ZoneVerdict, unsure: bool) -> Verdict {
    match verdict {
        ZoneVerdict::Reaches if unsure => Verdict::Unsure,
        ZoneVerdict::Reaches => Verdict::Reaches,
        ZoneVerdict::Below => Verdict::Below,
        ZoneVerdict::NoTarget => Verdict::NoTarget,
        ZoneVerdict::NotMeasured => Verdict::NotMeasured,
    }
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
    adapter.on_ask_derive(move || on.act(results::ask_derive));
    let on = app.clone();
    adapter.on_open_link(move |record| {
        if let Some(record) = record_from(&record) {
            on.act(move |session| results::open_link(session, record));
        }
    });
    let on = app.clone();
    adapter.on_pick_way(move |way| {
        on.act(move |session| results::pick_way(session, way_in(way)));
    });
    let on = app.clone();
    adapter.on_draft_friction(move |text| {
        on.note(move |session| {
            if matches!(session.here(), Place::Results { .. }) {
                results::draft_friction(session, &text);
            }
        });
    });
    let on = app.clone();
    adapter.on_edit_friction(move |text| {
        on.run(move |session| {
            if matches!(session.here(), Place::Results { .. }) {
                results::edit_friction(session, &text);
            }
        });
    });
    let on = app.clone();
    adapter.on_weigh(move || on.act(results::weigh));
    let on = app.clone();
    adapter.on_plan(move || on.act(results::open_plan));
    let on = app.clone();
    adapter.on_compare(move || on.act(results::open_compare));
}
