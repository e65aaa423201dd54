//! Tolerance bounds of zones, derived targets, how many more readings, film-break rates.

use proptest::prelude::*;
use tautbook_core::analysis::containment::breaks::{Per, break_rates};
use tautbook_core::analysis::containment::target::{Assumption, DeriveError, derive};
use tautbook_core::analysis::containment::{
    MoreReadingsError, Taken, ToleranceRule, ZoneName, ZoneTargets, containment, containment_with,
};
use tautbook_core::analysis::statistics::{StatisticsError, lower_tolerance_bound, summarise};
use tautbook_core::survey::{
    BreakExposure, Entity, Face, FilmBreaks, Id, Load, Measure, Reading, Record, SetAside,
    Stability, TargetOrigin, Zone,
};
use tautbook_core::units::{
    Containment, Force, ForceUnit, LengthUnit, Method, MethodId, PullPlate, TorsionTool,
};
use uuid::Uuid;

use crate::common::{at, record};

fn near(found: f64, expected: f64, within: f64) {
    assert!(
        (found - expected).abs() <= within,
        "{found} is not {expected}"
    );
}

fn newtons<M: Method>(n: f64) -> Containment<M> {
    Containment::new(Force::from_n(n).unwrap())
}

fn top<M: Method>(values: &[f64], face_length_m: Option<f64>) -> Vec<Taken<M>> {
    values
        .iter()
        .map(|&n| Taken {
            load: Id::from_uuid(Uuid::from_u128(2)),
            zone: ZoneName::Top,
            value: newtons(n),
            face_length_m,
        })
        .collect()
}

#[test]
fn loads_that_differ_lower_the_bound() {
    let one = [50.0, 50.4, 49.7, 50.2];
    let other = [60.1, 59.8, 60.3, 59.9];
    let all: Vec<f64> = one.into_iter().chain(other).collect();
    let together = top::<TorsionTool>(&all, None);
    let mut apart = together.clone();
    for reading in &mut apart[4..] {
        reading.load = Id::from_uuid(Uuid::from_u128(3));
    }
    let bound = |readings: &[Taken<TorsionTool>]| {
        let zone = &containment(readings, &Default::default()).zones[0];
        zone.tolerance.unwrap().bound.bound
    };
    // On two loads there are hardly more than two readings' worth of knowledge.
    let (together, apart) = (bound(&together), bound(&apart));
    assert!(apart < together - 10.0, "{apart} {together}");
}

/// k = 3.4066 for 90 % coverage with 95 % confidence and five readings, 4.2027 for 95 % coverage:
/// scipy 1.17, noncentral t.
#[test]
fn a_zone_has_its_tolerance_bound() {
    let readings = top::<TorsionTool>(&[50.0, 52.0, 54.0, 56.0, 58.0], None);
    let targets = ZoneTargets::on_every_face([Some(newtons(40.0)), None, None]);
    let result = containment(&readings, &targets);
    assert_eq!(
        result.rule,
        ToleranceRule {
            coverage: 0.90,
            confidence: 0.95
        }
    );
    let found = result.zones[0].tolerance.unwrap();
    let sd = 10.0_f64.sqrt();
    near(found.bound.factor, 3.4066, 5e-5);
    near(found.bound.bound, 54.0 - 3.4066 * sd, 2e-4);
    near(found.margin_n.unwrap(), 14.0 - 3.4066 * sd, 2e-4);
    assert!(result.zones[1].tolerance.is_none());

    let rule = ToleranceRule {
        coverage: 0.95,
        confidence: 0.95,
    };
    let found = containment_with(&readings, &targets, rule).zones[0]
        .tolerance
        .unwrap();
    near(found.bound.factor, 4.2027, 5e-5);
    // The other way round the words are exchanged too.
    assert_eq!(
        ToleranceRule::default().to_string(),
        "At least 90 % of such readings lie above the bound, said with 95 % confidence."
    );
    let rule = ToleranceRule {
        coverage: f64::NAN,
        confidence: 0.95,
    };
    assert!(
        containment_with(&readings, &targets, rule).zones[0]
            .tolerance
            .is_none()
    );
    let one = containment(&readings[..1], &targets);
    assert!(one.zones[0].tolerance.is_none());
}

#[test]
fn unlike_faces_have_bounds_of_their_own() {
    let mut readings = top::<PullPlate>(&[50.0, 52.0, 54.0], Some(1.2));
    readings.extend(top(&[60.0, 61.0, 62.0], Some(1.0)));
    let result = containment(
        &readings,
        &ZoneTargets::on_every_face([Some(newtons(45.0)), None, None]),
    );
    let zone = &result.zones[0];
    assert!(zone.tolerance.is_none());
    let short = zone.faces[0].tolerance.unwrap();
    let expected = lower_tolerance_bound(&summarise(&[60.0, 61.0, 62.0]).unwrap(), 0.9, 0.95);
    near(short.bound.bound, expected.unwrap().bound, 1e-12);
    near(short.margin_n.unwrap(), short.bound.bound - 45.0, 1e-12);
    let within = Force::from_n(1.0).unwrap();
    assert_eq!(
        zone.more_readings(within, 0.95),
        Err(MoreReadingsError::UnlikeFaces)
    );
    assert!(zone.faces[0].more_readings(within, 0.95).unwrap() > 0);
}

/// For E = s/2 at 95 % it takes 18 readings in all, for E = s it takes 7: scipy 1.17.
#[test]
fn how_many_more_readings() {
    let readings = top::<TorsionTool>(&[50.0, 52.0, 54.0, 56.0, 58.0], None);
    let zone = &containment(&readings, &Default::default()).zones[0];
    let sd = 10.0_f64.sqrt();
    let more = |n: f64| zone.more_readings(Force::from_n(n).unwrap(), 0.95);
    assert_eq!(more(sd / 2.0), Ok(13));
    assert_eq!(more(sd), Ok(2));
    assert_eq!(more(100.0), Ok(0));
    assert!(more(0.0).is_err());
    let none = &containment(&readings, &Default::default()).zones[1];
    assert_eq!(
        none.more_readings(Force::from_n(1.0).unwrap(), 0.95),
        Err(MoreReadingsError::Statistics(StatisticsError::Empty))
    );
}

fn load(id: u128, shipped: Option<bool>) -> Record<Load> {
    let mut load = Load::new(Id::from_uuid(Uuid::from_u128(2)), format!("Load {id}"));
    load.shipped_undamaged = shipped;
    load.length = Some("48 in".parse().unwrap());
    load.width = Some("40 in".parse().unwrap());
    record(id, load)
}

fn read(id: u128, load: u128, method: MethodId, face: Face, n: f64) -> Record<Reading> {
    record(
        1000 + id,
        Reading {
            load: Id::from_uuid(Uuid::from_u128(load)),
            tool: None,
            zone: Zone::Top,
            face: Some(face),
            measure: Measure::new(method, format!("{n} N").parse().unwrap()),
            order: 1,
            taken_at: at(),
            who: String::new(),
            zeroed_at: None,
            minutes_since_wrapping: None,
            film_temperature_celsius: None,
            notes: String::new(),
        },
    )
}

/// Ten loads; each load's lowest is 50, 51 … 59 on the long face, and 70 … on the short one.
fn ten(method: MethodId) -> (Vec<Record<Load>>, Vec<Record<Reading>>) {
    let mut readings = Vec::new();
    for id in 1..=10_u32 {
        let (load, n) = (u128::from(id), 49.0 + f64::from(id));
        for (face, more) in [(Face::Front, 0.0), (Face::Back, 6.0), (Face::Left, 20.0)] {
            let next = readings.len() as u128;
            readings.push(read(next, load, method, face, n + more));
        }
    }
    ((1..=10).map(|id| load(id, Some(true))).collect(), readings)
}

/// k = 2.3546 for ten, 90 % coverage with 95 % confidence: scipy 1.17, noncentral t.
#[test]
fn a_target_from_loads_that_shipped_well() {
    let (loads, readings) = ten(MethodId::TorsionTool);
    let found = derive::<TorsionTool>(&loads, &readings, ToleranceRule::default());
    assert_eq!(
        found.len(),
        3,
        "one a zone: the torsion tool is not split by face"
    );
    let top = found[0].target.as_ref().unwrap();
    let sd = (110.0_f64 / 12.0).sqrt(); // 0, 1 … 9
    near(top.minimum.force().n(), 54.5 - 2.3546 * sd, 2e-4);
    assert_eq!(top.loads.len(), 10);
    assert_eq!((top.zone, top.face_length_m), (ZoneName::Top, None));
    assert!(matches!(
        found[1].target,
        Err(DeriveError::TooFewLoads {
            have: 0,
            needed: 10,
            missing: 10
        })
    ));

    let visit = Id::from_uuid(Uuid::from_u128(9));
    let target = top
        .target(
            visit,
            None,
            Some(Stability::Steady),
            (ForceUnit::PoundOunce, LengthUnit::Inch),
        )
        .unwrap();
    target.check().unwrap();
    assert!(matches!(&target.origin, TargetOrigin::ShippedLoads { loads } if loads.len() == 10));
    let kept = target.minimum.minimum::<TorsionTool>().unwrap().force();
    near(kept.ozf(), top.minimum.force().ozf(), 0.051);
    assert!(target.minimum.minimum::<PullPlate>().is_none());
}

#[test]
fn the_pull_plate_has_a_target_for_each_length_of_face() {
    let (loads, readings) = ten(MethodId::PullPlate);
    let found = derive::<PullPlate>(&loads, &readings, ToleranceRule::default());
    let top: Vec<_> = found.iter().filter(|of| of.zone == ZoneName::Top).collect();
    assert_eq!(top.len(), 2);
    near(top[0].face_length_m.unwrap(), 1.016, 1e-9);
    near(top[1].face_length_m.unwrap(), 1.2192, 1e-9);
    let (short, long) = (
        top[0].target.as_ref().unwrap(),
        top[1].target.as_ref().unwrap(),
    );
    near(
        short.minimum.force().n() - long.minimum.force().n(),
        20.0,
        1e-9,
    );
    assert!(
        long.assumptions
            .iter()
            .any(|a| matches!(a, Assumption::FacesOfLength(_)))
    );
    for assumption in &long.assumptions {
        assert!(assumption.to_string().ends_with('.'), "{assumption}");
    }
}

#[test]
fn nine_loads_are_one_short() {
    let (mut loads, readings) = ten(MethodId::TorsionTool);
    let refused = |loads: &[Record<Load>]| {
        derive::<TorsionTool>(loads, &readings, ToleranceRule::default())[0]
            .target
            .clone()
            .unwrap_err()
    };
    for change in [
        |load: &mut Record<Load>| load.body.shipped_undamaged = Some(false),
        |load: &mut Record<Load>| load.body.shipped_undamaged = None,
        |load: &mut Record<Load>| {
            load.set_aside = Some(SetAside {
                at: at(),
                reason: "twice".to_owned(),
            });
        },
    ] {
        let whole = loads[3].clone();
        change(&mut loads[3]);
        let error = refused(&loads);
        assert_eq!(
            error,
            DeriveError::TooFewLoads {
                have: 9,
                needed: 10,
                missing: 1
            }
        );
        assert!(error.to_string().ends_with("1 more is needed"), "{error}");
        loads[3] = whole;
    }
}

#[test]
fn loads_too_far_apart_give_no_target() {
    let loads: Vec<_> = (1..=10).map(|id| load(id, Some(true))).collect();
    let readings: Vec<_> = (1..=10_u32)
        .map(|id| {
            let n = if id % 2 == 0 { 1.0 } else { 100.0 };
            read(
                u128::from(id),
                u128::from(id),
                MethodId::TorsionTool,
                Face::Front,
                n,
            )
        })
        .collect();
    let found = derive::<TorsionTool>(&loads, &readings, ToleranceRule::default());
    assert_eq!(found[0].target, Err(DeriveError::NothingSure));
}

/// Limits of 0 and 3 events (Garwood): 3.6889 and 0.6187 to 8.7673 for 95 %, from tables as
/// remembered, confirmed with scipy 1.17 (chi-square quantiles).
#[test]
fn no_break_is_not_a_rate_of_zero() {
    let setup = Id::from_uuid(Uuid::from_u128(2));
    let count = |id, breaks, over| {
        record(
            id,
            FilmBreaks {
                setup,
                breaks,
                over,
                notes: String::new(),
            },
        )
    };
    let counts = [
        count(1, 1, BreakExposure::Loads(120)),
        count(2, 2, BreakExposure::Loads(80)),
        count(3, 0, BreakExposure::Rolls(4)),
    ];
    let mut loads = vec![load(1, None), load(2, None), load(3, None)];
    loads[0].body.film_breaks = Some(0);
    loads[1].body.film_breaks = Some(0);
    let rates = break_rates(&counts, &loads, 0.95).unwrap();
    let over_loads = rates.counted_over_loads.unwrap();
    assert_eq!((over_loads.per, over_loads.rate.events), (Per::Load, 3));
    near(over_loads.rate.rate, 0.015, 1e-15);
    near(over_loads.rate.interval.low, 0.6187 / 200.0, 5e-7);
    near(over_loads.rate.interval.high, 8.7673 / 200.0, 5e-7);
    let over_rolls = rates.counted_over_rolls.unwrap();
    near(over_rolls.rate.interval.high, 3.6889 / 4.0, 2e-5);
    let text = over_rolls.to_string();
    assert!(
        text.starts_with("No break in 4 rolls: up to 92.2 in 100 rolls"),
        "{text}"
    );
    let seen = rates.seen_on_loads.unwrap();
    near(seen.rate.exposure, 2.0, 0.0);
    assert_eq!(rates.loads_blank, 1, "blank is not none");

    let nothing = break_rates(&[], &loads[2..], 0.95).unwrap();
    assert_eq!(
        (nothing.counted_over_loads, nothing.seen_on_loads),
        (None, None)
    );
    assert!(break_rates(&counts, &[], 1.0).is_err());
}

proptest! {
    #[test]
    fn whatever_was_read_nothing_but_numbers_come_out(
        takes in prop::collection::vec(
            (1..14_u128, 0..4_usize, prop_oneof![Just(0.0), 0.0..1e9_f64]), 0..60),
        coverage in prop_oneof![any::<f64>(), 0.5..0.999_f64],
        confidence in prop_oneof![any::<f64>(), 0.5..0.999_f64],
        within in 0.0..1e9_f64,
    ) {
        let faces = [Face::Front, Face::Right, Face::Back, Face::Left];
        let readings: Vec<_> = takes
            .iter()
            .zip(1_u128..)
            .map(|(&(load, face, n), id)| {
                read(id, load, MethodId::PullPlate, faces[face], (n * 10.0).round() / 10.0)
            })
            .collect();
        let loads: Vec<_> = (1..14).map(|id| load(id, Some(true))).collect();
        let rule = ToleranceRule { coverage, confidence };
        for derivation in derive::<PullPlate>(&loads, &readings, rule) {
            if let Ok(target) = derivation.target {
                let n = target.minimum.force().n();
                prop_assert!(n.is_finite() && n > 0.0 && target.loads.len() >= 10);
            }
        }
        let taken: Vec<Taken<PullPlate>> = takes
            .iter()
            .map(|&(_, face, n)| Taken { load: Id::from_uuid(Uuid::from_u128(2)),
                zone: ZoneName::Top,
                value: newtons(n),
                face_length_m: [Some(1.2), Some(1.0), Some(1.2), None][face],
            })
            .collect();
        let result = containment_with(&taken, &ZoneTargets::on_every_face([Some(newtons(50.0)), None, None]), rule);
        let zone = &result.zones[0];
        let bounds = zone.faces.iter().map(|face| face.tolerance).chain([zone.tolerance]);
        for bound in bounds.flatten() {
            prop_assert!(bound.bound.bound.is_finite() && bound.margin_n.unwrap().is_finite());
        }
        let _ = zone.more_readings(Force::from_n(within).unwrap(), confidence);
    }
}
