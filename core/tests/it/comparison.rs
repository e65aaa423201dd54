//! Two setups compared: the rule for accepting less film, faces, loads, film weights.

use proptest::prelude::*;
use tautbook_core::analysis::comparison::{
    Assumption, Comparison, Criteria, FilmError, LoadReadings, Reason, Side, Unit, Verdict,
    compare, compare_film, compare_films, compare_setups, film_mean, load_readings, said_together,
};
use tautbook_core::analysis::containment::{Taken, ZoneName, ZoneTargets};
use tautbook_core::analysis::statistics::{summarise, tolerance_factor, welch};
use tautbook_core::survey::{FilmWeight, Id, Moment, Record, RecordSet, Tool, ToolKind};
use tautbook_core::units::{Containment, Force, Method, PullPlate, TorsionTool};
use uuid::Uuid;

fn newtons<M: Method>(n: f64) -> Containment<M> {
    Containment::new(Force::from_n(n).unwrap())
}

/// One load: values by zone (top, middle, bottom), all on a face of that length.
fn load<M: Method>(id: u128, face_length_m: Option<f64>, zones: [&[f64]; 3]) -> LoadReadings<M> {
    let taken = ZoneName::ALL
        .into_iter()
        .zip(zones)
        .flat_map(|(zone, values)| {
            values.iter().map(move |&n| Taken {
                load: Id::from_uuid(Uuid::from_u128(2)),
                zone,
                value: newtons(n),
                face_length_m,
            })
        })
        .collect();
    LoadReadings {
        load: Id::from_uuid(Uuid::from_u128(id)),
        taken,
    }
}

fn criteria(margin_n: f64) -> Criteria {
    Criteria::new(Force::from_n(margin_n).unwrap())
}

fn torsion(
    new: &[[&[f64]; 3]],
    old: &[[&[f64]; 3]],
    targets: [Option<f64>; 3],
    margin_n: f64,
) -> Comparison<TorsionTool> {
    let loads = |from: u128, sets: &[[&[f64]; 3]]| {
        (from..)
            .zip(sets)
            .map(|(id, zones)| load(id, None, *zones))
            .collect::<Vec<_>>()
    };
    let targets = targets.map(|target| target.map(newtons));
    compare(
        &loads(1, new),
        &loads(100, old),
        &ZoneTargets::on_every_face(targets),
        criteria(margin_n),
    )
}

fn reasons<M: Method>(comparison: &Comparison<M>) -> Vec<Reason> {
    match &comparison.verdict {
        Verdict::NotShown { reasons } => reasons.clone(),
        Verdict::Passes | Verdict::NotLess { .. } => Vec::new(),
    }
}

const STRONG: &[f64] = &[60.0, 61.0, 59.5, 60.5, 60.2, 59.8, 60.4, 59.9];
const LIGHTER: &[f64] = &[58.0, 58.6, 57.7, 58.2, 58.4, 57.9, 58.1, 58.3];
const WEAK: &[f64] = &[45.0, 52.0, 48.0, 41.0, 50.0, 47.0, 44.0, 53.0];

#[test]
fn a_trial_passes_when_both_bounds_do() {
    let all = [Some(55.0); 3];
    let found = torsion(&[[LIGHTER; 3]], &[[STRONG; 3]], all, 3.0);
    assert_eq!(found.verdict, Verdict::Passes, "{found:?}");
    // Both bounds by the functions they rest on.
    let (new, old) = (summarise(LIGHTER).unwrap(), summarise(STRONG).unwrap());
    let face = &found.zones[0].faces[0];
    let difference = face.difference.unwrap();
    let by_hand = welch(&new, &old).unwrap();
    assert_eq!(difference.unit, Unit::Reading);
    assert!((difference.welch.difference - by_hand.difference).abs() < 1e-12);
    assert!((difference.lower - by_hand.lower_bound(0.95).unwrap()).abs() < 1e-12);
    let bound = new.mean - tolerance_factor(8, 0.90, 0.95).unwrap() * new.sd.unwrap();
    assert!((face.bound.unwrap().bound - bound).abs() < 1e-12);
    assert!((face.over_target_n.unwrap() - (bound - 55.0)).abs() < 1e-12);
    // Less allowed than it may hold less: not shown, with the zone and the numbers.
    let strict = torsion(&[[LIGHTER; 3]], &[[STRONG; 3]], all, 1.0);
    assert_eq!(reasons(&strict).len(), 3);
    assert!(matches!(
        reasons(&strict)[0],
        Reason::MayHoldLess { zone: ZoneName::Top, less_n, margin_n, .. }
            if less_n > 1.0 && less_n < 3.0 && (margin_n - 1.0).abs() < 1e-12
    ));
}

#[test]
fn the_weakest_zone_decides() {
    let all = [Some(40.0); 3];
    let zones = [STRONG, STRONG, WEAK];
    let found = torsion(&[zones], &[zones], all, 50.0);
    assert_eq!(found.weakest, Some(ZoneName::Bottom));
    let reasons = reasons(&found);
    // x̄ = 47.5, s = 4.17, k(8, 90/95) = 2.5819: the bound is 36.7 though every reading reaches 40.
    assert!(
        matches!(
            reasons[..],
            [Reason::BelowTarget { zone: ZoneName::Bottom, bound_n, .. }]
                if (bound_n - 36.7).abs() < 0.2
        ),
        "{reasons:?}"
    );
    let text = reasons[0].to_string();
    assert!(
        text.starts_with("The bottom of the new setup is only sure to hold 36."),
        "{text}"
    );
}

#[test]
fn no_difference_shown_is_not_enough() {
    // Three wild readings each: no difference can be shown, and nothing may be accepted.
    let found = torsion(
        &[[&[50.0, 70.0, 40.0]; 3]],
        &[[&[60.0, 45.0, 72.0]; 3]],
        [None; 3],
        5.0,
    );
    assert!(
        found
            .assumptions
            .contains(&Assumption::NoDifferenceShown(ZoneName::Top))
    );
    assert_eq!(reasons(&found).len(), 3);
    let text = Assumption::NoDifferenceShown(ZoneName::Top).to_string();
    assert!(
        text.contains("not to say that the setups are the same"),
        "{text}"
    );
}

#[test]
fn without_a_target_only_the_difference_is_judged() {
    let found = torsion(
        &[[LIGHTER; 3]],
        &[[STRONG; 3]],
        [None, Some(50.0), None],
        3.0,
    );
    let without_target = vec![ZoneName::Top, ZoneName::Bottom];
    assert_eq!(found.verdict, Verdict::NotLess { without_target });
}

#[test]
fn what_is_missing_is_said() {
    let found = torsion(
        &[[STRONG, &[50.0], &[]]],
        &[[STRONG, STRONG, STRONG]],
        [None; 3],
        5.0,
    );
    assert_eq!(
        reasons(&found),
        [
            Reason::OneReading {
                zone: ZoneName::Middle,
                face_m: None,
                side: Side::New
            },
            Reason::Missing {
                zone: ZoneName::Bottom,
                face_m: None,
                side: Side::New
            }
        ]
    );
    let none = torsion(&[], &[], [Some(50.0); 3], 5.0);
    assert_eq!(reasons(&none), [Reason::NothingMeasured]);
    let top = torsion(
        &[[STRONG, &[], &[]]],
        &[[STRONG, &[], &[]]],
        [Some(50.0), None, Some(50.0)],
        5.0,
    );
    let not_read = Reason::NotRead {
        zone: ZoneName::Bottom,
    };
    assert_eq!(
        reasons(&top),
        [not_read],
        "a load is as strong as its weakest zone"
    );
    let top = torsion(
        &[[STRONG, &[], &[]]],
        &[[STRONG, &[], &[]]],
        [Some(50.0), None, None],
        5.0,
    );
    assert_eq!(top.verdict, Verdict::Passes, "every zone with a target");
    assert!(
        top.assumptions
            .contains(&Assumption::ZoneNotMeasured(ZoneName::Bottom))
    );
}

#[test]
fn the_tolerance_bound_takes_in_what_loads_differ() {
    let one: &[f64] = &[58.0, 58.1, 57.9, 58.0];
    let other: &[f64] = &[62.0, 62.1, 61.9, 62.0];
    let all: Vec<f64> = one.iter().chain(other).copied().collect();
    let split = torsion(&[[one; 3], [other; 3]], &[[STRONG; 3]], [None; 3], 9.0);
    let whole = torsion(&[[&all[..]; 3]], &[[STRONG; 3]], [None; 3], 9.0);
    let bound = |of: &Comparison<TorsionTool>| of.zones[0].faces[0].bound.unwrap().bound;
    // Eight readings on two loads that differ are worth little more than two.
    assert!(
        bound(&split) < bound(&whole) - 5.0,
        "{} {}",
        bound(&split),
        bound(&whole)
    );
    assert!(split.assumptions.contains(&Assumption::BoundOverLoads));
    let one_load = Assumption::BoundOnOneLoad(ZoneName::Top);
    assert!(whole.assumptions.contains(&one_load));
}

#[test]
fn loads_are_what_differs() {
    // Two loads a side, each read four times closely: the loads differ far more than the readings.
    let one: &[f64] = &[50.0, 50.1, 49.9, 50.0];
    let other: &[f64] = &[60.0, 60.1, 59.9, 60.0];
    let found = torsion(
        &[[one, &[], &[]], [other, &[], &[]]],
        &[[one, &[], &[]], [other, &[], &[]]],
        [None; 3],
        6.0,
    );
    let face = &found.zones[0].faces[0];
    let (by_load, by_reading) = (face.difference.unwrap(), face.by_reading.unwrap());
    assert_eq!((by_load.unit, by_reading.unit), (Unit::Load, Unit::Reading));
    // SE² = 2 · 50/2, df 2, t(0.95; 2) = 2.919986: the readings alone would have passed.
    assert!(
        (by_load.lower + 2.919_986 * 50.0_f64.sqrt()).abs() < 1e-4,
        "{by_load:?}"
    );
    assert!(by_reading.lower > -6.0);
    assert!(matches!(reasons(&found)[..], [Reason::MayHoldLess { .. }]));
    assert!(
        found
            .assumptions
            .contains(&Assumption::ByLoad(ZoneName::Top))
    );
}

#[test]
fn unlike_faces_are_compared_by_themselves() {
    let side = |from: u128, long: &[f64], short: &[f64]| -> Vec<LoadReadings<PullPlate>> {
        vec![
            load(from, Some(1.2192), [long, &[], &[]]),
            load(from + 1, Some(1.016), [short, &[], &[]]),
        ]
    };
    // All on one length on one side, on the other length on the other: no comparison at all.
    let apart = compare(
        &side(1, STRONG, &[]),
        &side(9, &[], STRONG),
        &Default::default(),
        criteria(50.0),
    );
    let missing = reasons(&apart);
    assert_eq!(missing.len(), 2, "{missing:?}");
    assert!(
        missing
            .iter()
            .all(|reason| matches!(reason, Reason::Missing { .. }))
    );
    assert!(
        apart.zones[0]
            .faces
            .iter()
            .all(|face| face.difference.is_none())
    );
    // The short face reads more; mixed up, a weaker long face would hide behind it.
    let short: Vec<f64> = STRONG.iter().map(|n| n * 1.205).collect();
    let both = compare(
        &side(1, WEAK, &short),
        &side(9, STRONG, &short),
        &Default::default(),
        criteria(5.0),
    );
    assert!(both.zones[0].face_by_face());
    assert!(
        both.assumptions
            .contains(&Assumption::FaceByFace(ZoneName::Top))
    );
    assert!(
        matches!(reasons(&both)[..], [Reason::MayHoldLess { face_m: Some(m), .. }]
            if (m - 1.2192).abs() < 1e-9),
        "{both:?}"
    );
    // Within a hundredth they are alike; the torsion tool does not mind the face.
    let near = [load::<PullPlate>(1, Some(1.2), [STRONG, &[], &[]])];
    let alike = [load::<PullPlate>(2, Some(1.21), [STRONG, &[], &[]])];
    assert_eq!(
        compare(&near, &alike, &Default::default(), criteria(5.0)).zones[0]
            .faces
            .len(),
        1
    );
    let near = [load::<TorsionTool>(1, Some(1.2), [STRONG, &[], &[]])];
    let far = [load::<TorsionTool>(2, Some(0.8), [STRONG, &[], &[]])];
    assert_eq!(
        compare(&near, &far, &Default::default(), criteria(5.0)).zones[0]
            .faces
            .len(),
        1
    );
}

fn weighing(id: u128, grams: f64, loads_together: u32) -> Record<FilmWeight> {
    let moment = Moment::from_unix_ms(1_772_600_000_000, -300).unwrap();
    Record {
        id: Id::from_uuid(Uuid::from_u128(id)),
        created: moment,
        changed: moment,
        device: Uuid::from_u128(1),
        set_aside: None,
        body: FilmWeight {
            load: Id::from_uuid(Uuid::from_u128(2)),
            tool: None,
            gross: format!("{grams} g").parse().unwrap(),
            tare: None,
            loads_together,
            taken_at: moment,
            notes: String::new(),
        },
    }
}

#[test]
fn film_of_several_loads_counts_by_its_loads() {
    // One load a weighing: the plain mean and Welch's comparison of it.
    let singly = |grams: &[f64]| -> Vec<_> {
        (1..)
            .zip(grams)
            .map(|(id, &g)| weighing(id, g, 1))
            .collect()
    };
    let (new, old) = (&[170.0, 165.0, 172.0], &[250.0, 244.0, 251.0, 248.0]);
    let found = compare_film(&singly(new), &singly(old), &[]).unwrap();
    let plain = welch(&summarise(old).unwrap(), &summarise(new).unwrap()).unwrap();
    assert!((found.saved.difference * 1000.0 - plain.difference).abs() < 1e-9);
    assert!((found.saved.standard_error * 1000.0 - plain.standard_error).abs() < 1e-9);
    assert!((found.saved.df - plain.df).abs() < 1e-9);
    assert!(found.interval(0.95).unwrap().low > 0.0);
    // 300 g of two loads and 160 g of one: 460/3 a load; s² = 2·(150 − x̄)² + (160 − x̄)².
    let mixed = film_mean(&[weighing(1, 300.0, 2), weighing(2, 160.0, 1)], &[]).unwrap();
    let mean = 460.0 / 3.0_f64;
    let s = (2.0 * (150.0 - mean).powi(2) + (160.0 - mean).powi(2)).sqrt();
    assert!((mixed.kg * 1000.0 - mean).abs() < 1e-9);
    assert!((mixed.load_sd_kg * 1000.0 - s).abs() < 1e-9);
    assert!((mixed.standard_error_kg * 1000.0 - s / 3.0_f64.sqrt()).abs() < 1e-9);
    assert_eq!((mixed.loads, mixed.weighings), (3, 2));
    // All alike: the scale's step speaks.
    let mut body = Tool::new(ToolKind::FilmScale, "Scale");
    body.mass_step = Some("5 g".parse().unwrap());
    let first = weighing(1, 300.0, 2);
    let scale = Record {
        id: Id::from_uuid(Uuid::from_u128(3)),
        created: first.created,
        changed: first.changed,
        device: first.device,
        set_aside: None,
        body,
    };
    let mut both = [first, weighing(2, 300.0, 2)];
    for weight in &mut both {
        weight.body.tool = Some(scale.id);
    }
    // Two films on one step of 5 g err alike: 2 * 5 g / sqrt(12) on four loads. Where no step is
    // written, 0.1 oz.
    let scales = [scale];
    for (tools, step) in [(&scales[..], 5.0), (&[][..], 2.834_952_312_5)] {
        let alike = film_mean(&both, tools).unwrap();
        assert!(alike.resolution_limited);
        assert_eq!(alike.step_written, !tools.is_empty());
        let grams = step * 2.0 / 12.0_f64.sqrt() / 4.0;
        assert!((alike.standard_error_kg * 1000.0 - grams).abs() < 1e-9);
    }
    assert!(matches!(
        film_mean(&singly(&[170.0]), &[]),
        Err(FilmError::TooFew { have: 1 })
    ));
    assert!(matches!(
        film_mean(&[weighing(7, 0.0, 1), weighing(8, 1.0, 1)], &[]),
        Err(FilmError::NoFilm(_))
    ));
}

#[test]
fn what_is_so_of_all_zones_is_said_once() {
    let english = tautbook_core::language::Language::English;
    let [top, middle, bottom] = ZoneName::ALL;
    let all = [top, middle, bottom].map(Assumption::ByLoad);
    let said = said_together(&all, english);
    assert_eq!(said.len(), 1);
    assert!(said[0].starts_with("The zones are compared"), "{said:?}");
    let two = said_together(&all[..2], english);
    assert_eq!(two, [all[0].said(english), all[1].said(english)]);
    let mixed = [all[0], Assumption::OneLoadOnly(middle), all[2]];
    assert_eq!(said_together(&mixed, english).len(), 3);
    for of in [Assumption::OneLoadOnly, Assumption::BoundOnOneLoad] {
        let said = said_together(&[top, middle, bottom].map(of), english);
        assert_eq!(said.len(), 1, "{said:?}");
        assert!(said[0].contains("how much loads differ"), "{said:?}");
    }
    // What only some comparisons rest on is never among what all do.
    assert!(all[0].is_usual() && !Assumption::OneLoadOnly(top).is_usual());
    assert!(!Assumption::ZoneNotMeasured(bottom).is_usual());
}

#[test]
fn setups_of_the_record_are_compared() {
    // An invented visit with an as-found setup and a trial.
    let text = include_str!("../../../sample-surveys/tile-maker.json");
    let survey: serde_json::Value = serde_json::from_str(text).unwrap();
    let records: RecordSet = serde_json::from_value(survey["records"].clone()).unwrap();
    let [old, new] = &records.setups[..2] else {
        panic!("two setups")
    };
    let readings = load_readings::<TorsionTool>(&records, new.id);
    let pulled = load_readings::<PullPlate>(&records, new.id);
    let of_setup = records
        .readings
        .iter()
        .filter(|reading| reading.set_aside.is_none() && ZoneName::of(&reading.zone).is_some())
        .filter(|reading| {
            let load = records.loads.iter().find(|load| load.id == reading.load);
            load.is_some_and(|load| load.setup == new.id && load.set_aside.is_none())
        })
        .count();
    let taken: usize = readings.iter().map(|load| load.taken.len()).sum();
    let pulls: usize = pulled.iter().map(|load| load.taken.len()).sum();
    assert!(of_setup > 0);
    assert_eq!(taken + pulls, of_setup, "each by its own tool, none lost");
    let criteria = criteria(5.0);
    let by_torsion = compare_setups::<TorsionTool>(&records, new, old.id, criteria);
    let by_plate = compare_setups::<PullPlate>(&records, new, old.id, criteria);
    assert_eq!(by_torsion.zones.is_empty(), taken == 0);
    assert_eq!(by_plate.zones.is_empty(), pulls == 0);
    let film = compare_films(&records, new.id, old.id).unwrap();
    assert!(film.new.loads > 0 && film.old.loads > 0);
    assert!(film.interval(0.95).is_some() && film.share() < 1.0);
}

proptest! {
    #[test]
    fn more_allowed_never_fails_what_passed(
        new in prop::collection::vec(20.0..100.0_f64, 0..6),
        old in prop::collection::vec(20.0..100.0_f64, 0..6),
        second in prop::collection::vec(20.0..100.0_f64, 0..6),
        margin in 0.0..40.0_f64,
        target in 0.0..60.0_f64,
    ) {
        let sets = |margin| torsion(
            &[[&new, &second, &[]], [&second, &new, &[]]],
            &[[&old, &new, &[]]],
            [Some(target); 3],
            margin,
        );
        let (tight, loose) = (sets(margin), sets(margin + 5.0));
        prop_assert!(reasons(&loose).len() <= reasons(&tight).len());
        if tight.verdict == Verdict::Passes {
            prop_assert_eq!(&loose.verdict, &Verdict::Passes);
            for zone in &tight.zones {
                prop_assert!(zone.faces[0].bound.unwrap().bound >= target);
                prop_assert!(zone.faces[0].difference.unwrap().lower >= -margin);
            }
        }
        for reason in reasons(&tight) {
            let text = reason.to_string();
            prop_assert!(text.ends_with('.') && !text.contains("NaN") && !text.contains("inf"));
        }
    }

    #[test]
    fn nothing_panics_or_leaks(
        values in prop::collection::vec(prop::num::f64::ANY.prop_map(f64::abs), 0..12),
        lengths in prop::collection::vec(prop::option::of(prop::num::f64::ANY), 12),
        margin in prop::num::f64::ANY.prop_map(f64::abs),
        coverage in prop::num::f64::ANY, confidence in prop_oneof![prop::num::f64::ANY, 0.0..1.0_f64],
    ) {
        let loads: Vec<LoadReadings<PullPlate>> = values
            .chunks(3)
            .zip(lengths)
            .zip(1_u128..)
            .map(|((values, length), id)| {
                let values: Vec<f64> = values.iter().copied().filter(|n| n.is_finite()).collect();
                load(id, length, [&values, &values, &[]])
            })
            .collect();
        let (new, old) = loads.split_at(loads.len() / 2);
        let criteria = Criteria {
            margin: Force::from_n(margin).unwrap_or(Force::ZERO),
            coverage,
            confidence,
        };
        let found = compare(new, old, &ZoneTargets::on_every_face([Some(newtons(50.0)), None, None]), criteria);
        for face in found.zones.iter().flat_map(|zone| &zone.faces) {
            for difference in [face.difference, face.by_reading].into_iter().flatten() {
                prop_assert!(difference.lower.is_finite() && difference.interval.low.is_finite());
            }
            prop_assert!(face.bound.is_none_or(|bound| bound.bound.is_finite()));
            prop_assert!(face.over_target_n.is_none_or(f64::is_finite));
        }
        for reason in reasons(&found) {
            let asked_nan = coverage.is_nan() || confidence.is_nan();
            prop_assert!(asked_nan || !reason.to_string().contains("NaN"));
        }
    }
}
