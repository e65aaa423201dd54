//! Targets derived from loads that shipped well, and the force kept over time.

use tautbook_core::analysis::containment::ZoneName;
use tautbook_core::survey::{
    Face, FilmWeight, Id, Load, Measure, Reading, Setup, SetupRole, Target, TargetForce,
    TargetOrigin, Tool, ToolKind, Zone,
};
use tautbook_core::units::{MethodId, UnitSystem};
use tautbook_ui::place::{Place, Scope};
use tautbook_ui::presenters::{load, read, results};
use tautbook_ui::session::{Tone, WhenYes};

use crate::{Desk, at, tool};

const METHOD: MethodId = MethodId::TorsionTool;

fn reading(load: Id<Load>, zone: Zone, newtons: u32, minutes: f64) -> Reading {
    Reading {
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
    }
}

fn read(desk: &mut Desk, load: Id<Load>, zone: Zone, newtons: u32, minutes: f64) {
    let reading = reading(load, zone, newtons, minutes);
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

#[test]
fn results_lead_to_compare_where_there_is_another_setup() {
    let mut desk = Desk::new();
    let (setup, of_load) = (Scope::Setup(desk.setup), Scope::Load(desk.load));
    assert!(!view(&desk, setup).can_compare, "with nothing beside it");
    let body = Setup::new(desk.line, "Trial 1", SetupRole::Trial);
    let trial = desk.session.add("add_setup", body).unwrap().id;
    assert!(!view(&desk, of_load).can_compare, "a load is no setup");
    assert!(view(&desk, setup).can_compare);
    desk.session.go(Place::Results {
        scope: Scope::Setup(trial),
        method: METHOD,
    });
    results::open_compare(&mut desk.session);
    let there = desk.session.here();
    assert!(
        matches!(there, Place::Compare { old, new, .. } if (old, new) == (desk.setup, trial)),
        "{there:?}"
    );
}

/// The film of one load on the scale, or of several together.
fn weigh(desk: &mut Desk, load: Id<Load>, loads_together: u32) {
    let weight = FilmWeight {
        load,
        tool: None,
        gross: "240 g".parse().unwrap(),
        tare: None,
        loads_together,
        taken_at: at(0),
        notes: String::new(),
    };
    desk.session.add("weigh_film", weight).unwrap();
}

#[test]
fn all_is_weighed_once_each_load_is_or_enough_of_them_together() {
    let mut desk = Desk::new();
    let (scope, first) = (Scope::Setup(desk.setup), desk.load);
    let all_weighed = |desk: &Desk| view(desk, scope).all_weighed;
    assert!(!all_weighed(&desk));
    weigh(&mut desk, first, 1);
    assert!(all_weighed(&desk), "the only load");
    let body = Load::new(desk.setup, "Load 2");
    let second = desk.session.add("add_load", body).unwrap().id;
    weigh(&mut desk, first, 1);
    assert!(!all_weighed(&desk), "the first one twice is not the second");
    assert!(view(&desk, Scope::Load(first)).all_weighed);
    assert!(!view(&desk, Scope::Load(second)).all_weighed);
    weigh(&mut desk, second, 1);
    assert!(all_weighed(&desk));

    let mut desk = Desk::new();
    for n in 2..=3 {
        let body = Load::new(desk.setup, format!("Load {n}"));
        desk.session.add("add_load", body).unwrap();
    }
    let (scope, first) = (Scope::Setup(desk.setup), desk.load);
    weigh(&mut desk, first, 2);
    assert!(!view(&desk, scope).all_weighed, "two of three");
    desk.session.go(Place::Results {
        scope,
        method: METHOD,
    });
    weigh(&mut desk, first, 3);
    assert!(view(&desk, scope).all_weighed, "three together");
    results::open_plan(&mut desk.session);
    let there = desk.session.here();
    assert!(
        matches!(there, Place::Plan { setup, .. } if setup == desk.setup),
        "{there:?}"
    );
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
    assert_eq!(view(&desk, scope).kept, None, "nothing to draw");
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

    // The same, drawn.
    let chart = view(&desk, scope).kept.unwrap();
    assert_eq!(chart.loads.len(), 1);
    let drawn = &chart.loads[0];
    assert!((drawn.first_hours - 0.5).abs() < 1e-12);
    let point = &drawn.later[0];
    assert_eq!(point.text, "88 %");
    assert!((point.hours - 24.0).abs() < 1e-12 && (point.share - 0.88).abs() < 1e-12);
    let (low, high) = point.interval.unwrap();
    assert!((low - 0.8303).abs() < 1e-4 && (high - 0.9297).abs() < 1e-4);
    assert_eq!(chart.spoken, "Load 1: 88 % left after 24 hours.");
}

#[test]
fn readings_follow_the_time_when_the_load_was_wrapped() {
    let mut desk = Desk::new();
    let load = desk.load;
    read(&mut desk, load, Zone::Top, 50, 30.0);
    let minutes = |desk: &Desk| {
        let readings = desk.session.book().children::<Reading, _>(load).unwrap();
        readings[0].minutes_since_wrapping
    };
    // It was read a second ago: with a load wrapped just now, and then five minutes earlier a press.
    for (earlier, expected) in [(false, 0.0), (true, 4.9), (true, 9.9)] {
        load::step_wrapped(&mut desk.session, load, !earlier);
        let said = minutes(&desk).unwrap();
        assert!((said - expected).abs() < 1e-9, "{said}");
    }
    load::forget_wrapped(&mut desk.session, load);
    assert_eq!(minutes(&desk), None);
}

#[test]
fn a_target_of_the_whole_visit_stands_under_the_field_until_the_line_has_its_own() {
    let mut desk = Desk::new();
    desk.units(UnitSystem::Metric);
    let target = Target {
        visit: desk.visit,
        line: None,
        zone: Zone::Top,
        stability: None,
        minimum: TargetForce::new(METHOD, "55 N".parse().unwrap()),
        origin: TargetOrigin::CustomerStandard {
            reference: String::new(),
        },
        face_length: None,
    };
    desk.session.add("add_target", target).unwrap();
    let scope = Scope::Setup(desk.setup);
    desk.session.go(Place::Results {
        scope,
        method: METHOD,
    });
    let [top, middle, _] = view(&desk, scope).inherited;
    assert!(top.starts_with("55 N, for the whole visit"), "{top}");
    assert_eq!(middle, "");
    results::edit_target(
        &mut desk.session,
        tautbook_core::analysis::containment::ZoneName::Top,
        "60 N",
    );
    let after = view(&desk, scope);
    assert_eq!(
        (after.inherited[0].as_str(), after.targets[0].text.as_str()),
        ("", "60 N")
    );
}

#[test]
fn what_is_said_against_a_reading_keeps_to_the_units_in_use() {
    let mut gauge = tool(ToolKind::TorsionTool, "Gauge");
    gauge.force_range = Some("45 N".parse().unwrap());
    let mut desk = Desk::with_tools(&[gauge]);
    let load = desk.load;
    let gauges = desk.session.book().all::<Tool>().unwrap();
    let over = Reading {
        tool: Some(gauges[0].id),
        ..reading(load, Zone::Top, 50, 30.0)
    };
    desk.session.add("add_reading", over).unwrap();
    let said = |desk: &Desk| {
        let zones = view(desk, Scope::Load(load)).zones;
        zones
            .into_iter()
            .flat_map(|zone| zone.more.points)
            .collect::<String>()
    };
    desk.units(UnitSystem::Metric);
    let metric = said(&desk);
    assert!(
        metric.contains("can show, 45 N:") && !metric.contains("lb"),
        "{metric}"
    );
    desk.units(UnitSystem::Imperial);
    let us = said(&desk);
    assert!(
        us.contains("can show, 10 lb 1.9 oz:") && !us.contains(" N"),
        "{us}"
    );
}

#[test]
fn one_reading_a_zone_does_not_show_that_the_load_holds() {
    let mut desk = Desk::new();
    load::open_results(&mut desk.session, desk.load);
    for zone in ZoneName::ALL {
        results::edit_target(&mut desk.session, zone, "5");
    }
    load::read_by(&mut desk.session, desk.load, MethodId::TorsionTool);
    let mut take = |values: &[&str]| {
        for value in values {
            for key in value.split(' ') {
                read::key(&mut desk.session, key);
            }
            read::save(&mut desk.session);
        }
        let scope = Scope::Load(desk.load);
        results::view(&desk.session, scope, MethodId::TorsionTool).unwrap()
    };
    let few = take(&["6", "6", "6"]);
    assert_eq!(few.tone, Tone::Warning);
    assert!(few.headline.contains("too few at"), "{}", few.headline);
    // 6 and 8 lb: the limit for most readings lies far under both.
    let uneven = take(&["8", "8", "8"]);
    assert_eq!(uneven.tone, Tone::Warning);
    assert!(
        uneven.headline.contains("the lower bound at"),
        "{}",
        uneven.headline
    );
}
