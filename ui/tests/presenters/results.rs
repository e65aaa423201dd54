//! Targets derived from loads that shipped well, and the force kept over time.

use tautbook_core::survey::{Face, Id, Load, Measure, Reading, Target, TargetOrigin, Zone};
use tautbook_core::units::MethodId;
use tautbook_ui::place::{Place, Scope};
use tautbook_ui::presenters::{load, results};
use tautbook_ui::session::WhenYes;

use crate::{Desk, at};

const METHOD: MethodId = MethodId::TorsionTool;

fn read(desk: &mut Desk, load: Id<Load>, zone: Zone, newtons: u32, minutes: f64) {
    let reading = Reading {
        load,
        tool: None,
        zone,
        face: Some(Face::Front),
        measure: Measure::new(METHOD, format!("{newtons} N").parse().unwrap()),
        order: 1,
        taken_at: at(0),
        who: String::new(),
        zeroed_at: None,
        minutes_since_wrapping: Some(minutes),
        film_temperature_celsius: Some(if minutes < 60.0 { 30.0 } else { 12.0 }),
        notes: String::new(),
    };
    desk.session.add("add_reading", reading).unwrap();
}

fn shipped(desk: &mut Desk, n: u32) {
    let body = Load::new(desk.setup, format!("Shipped {n}"));
    let id = desk.session.add("add_load", body).unwrap().id;
    load::pick(&mut desk.session, id, |load| {
        load.shipped_undamaged = Some(true);
    });
    for (zone, newtons) in [(Zone::Top, 50), (Zone::Middle, 60), (Zone::Bottom, 70)] {
        read(desk, id, zone, newtons + n, 30.0);
    }
}

fn view(desk: &Desk, scope: Scope) -> results::View {
    results::view(&desk.session, scope, METHOD).unwrap()
}

fn targets(desk: &Desk) -> Vec<Target> {
    let found = desk.session.book().children::<Target, _>(desk.visit);
    found.unwrap().into_iter().map(|of| of.body).collect()
}

#[test]
fn ten_loads_that_shipped_well_set_targets_once_asked_and_can_be_undone() {
    let mut desk = Desk::new();
    let scope = Scope::Setup(desk.setup);
    desk.session.go(Place::Results {
        scope,
        method: METHOD,
    });
    for n in 0..9 {
        shipped(&mut desk, n);
    }
    let offer = view(&desk, scope).offer;
    assert!(offer.press.is_empty(), "nine are too few");
    assert!(offer.block.lead.contains("1 more needed"), "{offer:?}");
    results::ask_derive(&mut desk.session);
    assert!(desk.session.question().is_none());

    shipped(&mut desk, 9);
    let offer = view(&desk, scope).offer;
    assert_eq!(
        offer.press,
        "Derive targets from 10 loads that shipped well"
    );
    assert_eq!(offer.block.facts.len(), 3);
    assert!(offer.block.facts[0].detail.contains("90 %"), "{offer:?}");
    results::ask_derive(&mut desk.session);
    assert!(targets(&desk).is_empty(), "asked first");
    assert_eq!(desk.session.take_question(), Some(WhenYes::DeriveTargets));
    results::derive_targets(&mut desk.session);
    let set = targets(&desk);
    assert_eq!(set.len(), 3);
    assert!(set.iter().all(|target| matches!(
        &target.origin,
        TargetOrigin::ShippedLoads { loads } if loads.len() == 10
    )));
    assert!(view(&desk, scope).any_target);

    // A number typed over it is the customer's own, and stands in the same record.
    results::edit_target(
        &mut desk.session,
        tautbook_core::analysis::containment::ZoneName::Top,
        "9 lb",
    );
    let typed = targets(&desk);
    assert_eq!(typed.len(), 3);
    let own = |target: &&Target| matches!(target.origin, TargetOrigin::CustomerStandard { .. });
    assert_eq!(typed.iter().filter(own).count(), 1);

    // Derived anew in its place, and that undone.
    results::derive_targets(&mut desk.session);
    assert_eq!(targets(&desk).iter().filter(own).count(), 0);
    desk.session.act_on_notice();
    assert_eq!(targets(&desk), typed);
}

#[test]
fn a_load_read_a_day_later_says_what_is_left() {
    let mut desk = Desk::new();
    let load = desk.load;
    let scope = Scope::Load(load);
    assert!(view(&desk, scope).relaxing.is_empty());
    for zone in [Zone::Top, Zone::Middle, Zone::Bottom] {
        read(&mut desk, load, zone, 50, 30.0);
    }
    let once = view(&desk, scope).relaxing;
    assert!(once.lead.contains("24 and 72 hours"), "{once:?}");
    for (zone, newtons) in [(Zone::Top, 43), (Zone::Middle, 44), (Zone::Bottom, 45)] {
        read(&mut desk, load, zone, newtons, 24.0 * 60.0);
    }
    let kept = view(&desk, scope).relaxing;
    assert_eq!(kept.facts[0].label, "After 24 h");
    assert_eq!(kept.facts[0].value, "88 % left");
    // 0.88 ± 4.303 · 0.02 / √3: Student's t at 2 degrees of freedom.
    assert!(
        kept.facts[0].detail.contains("between 83 % and 93 %"),
        "{kept:?}"
    );
    assert!(
        kept.points
            .iter()
            .any(|point| point.contains("30 °C") && point.contains("12 °C")),
        "{kept:?}"
    );
}
