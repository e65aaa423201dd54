//! Repeatability between people and tools, and loads read again days later.

use proptest::prelude::*;
use tautbook_core::analysis::containment::people::{
    Assumption, Between, How, PeopleError, compare,
};
use tautbook_core::analysis::containment::relaxation::{self, RelaxationError, Round, relaxation};
use tautbook_core::analysis::statistics::anova::{one_way, one_way_within};
use tautbook_core::survey::{
    Face, Id, Load, Measure, Moment, Reading, Record, Tool, ToolKind, Zone,
};
use tautbook_core::units::{MethodId, PullPlate, TorsionTool};
use uuid::Uuid;

use crate::common::record;

const WRAPPED_MS: i64 = 1_772_600_000_000;

fn moment(minutes: i64) -> Moment {
    Moment::from_unix_ms(WRAPPED_MS + minutes * 60_000, -300).unwrap()
}

#[derive(Clone, Copy)]
struct Take {
    who: &'static str,
    load: u128,
    zone: usize,
    face: Option<Face>,
    n: f64,
    minutes: i64,
}

fn take(who: &'static str, load: u128, zone: usize, n: f64) -> Take {
    Take {
        who,
        load,
        zone,
        face: Some(Face::Front),
        n,
        minutes: 10,
    }
}

fn readings(method: MethodId, takes: &[Take]) -> Vec<Record<Reading>> {
    takes
        .iter()
        .zip(1_u128..)
        .map(|(take, id)| {
            let reading = Reading {
                load: Id::from_uuid(Uuid::from_u128(take.load)),
                tool: None,
                zone: [Zone::Top, Zone::Middle, Zone::Bottom][take.zone].clone(),
                face: take.face,
                measure: Measure::new(method, format!("{} N", take.n).parse().unwrap()),
                order: 1,
                taken_at: moment(take.minutes),
                who: take.who.to_owned(),
                zeroed_at: None,
                minutes_since_wrapping: None,
                film_temperature_celsius: None,
                notes: String::new(),
            };
            record(id, reading)
        })
        .collect()
}

fn near(found: f64, expected: f64, relative: f64) {
    assert!(
        (found - expected).abs() <= relative * expected.abs(),
        "{found} is not {expected}"
    );
}

fn people(
    takes: &[Take],
) -> Result<tautbook_core::analysis::containment::people::PeopleSpread<TorsionTool>, PeopleError> {
    compare::<TorsionTool>(
        &readings(MethodId::TorsionTool, takes),
        &[],
        Between::People,
        None,
    )
}

/// Two places, two people, two readings each: worked by hand.
#[test]
fn places_crossed_with_people() {
    let found = people(&[
        take("Ana", 1, 0, 50.0),
        take("Ana", 1, 0, 52.0),
        take("Ben", 1, 0, 55.0),
        take("Ben", 1, 0, 57.0),
        take("Ana", 1, 2, 60.0),
        take("Ana", 1, 2, 62.0),
        take("Ben", 1, 2, 65.0),
        take("Ben", 1, 2, 67.0),
    ])
    .unwrap();
    let How::Crossed(study) = &found.how else {
        panic!("{:?}", found.how)
    };
    assert!(study.pooled);
    // Repeats: four pairs 2 apart, 4 × 2 = 8 on 4 and 0 on 1 for the interaction: 8/5.
    near(found.repeatability_sd_n, 1.6_f64.sqrt(), 1e-12);
    // People 5 apart over four readings each: 8 × 2.5² = 50 on 1; (50 − 1.6)/4.
    near(found.between_sd_n, 12.1_f64.sqrt(), 1e-12);
    near(found.reproducibility_limit_n, 2.8 * 13.7_f64.sqrt(), 1e-12);
    assert_eq!((found.places, found.used, found.left_out), (2, 8, 0));
    assert_eq!(found.names, ["Ana", "Ben"]);
    assert_eq!(found.assumptions, [Assumption::RepeatsAreNeighbours]);
    assert!(
        found.assumptions[0]
            .to_string()
            .contains("no place can be read twice")
    );
}

#[test]
fn uneven_places_are_taken_one_by_one() {
    let found = people(&[
        take("Ana", 1, 0, 50.0),
        take("Ana", 1, 0, 52.0),
        take("Ben", 1, 0, 55.0),
        take("Ana", 2, 0, 80.0),
        take("Ben", 2, 0, 84.0),
        take("Ben", 2, 0, 86.0),
        take("Ana", 3, 0, 10.0),
        take(" ", 1, 0, 99.0),
    ])
    .unwrap();
    let How::WithinPlaces(table) = &found.how else {
        panic!("{:?}", found.how)
    };
    // Between: 2·1·(4²)/3 + 1·2·(5²)/3 on 2; within: 2 + 2 on 2; n0 = 2 (3 − 5/3)/2.
    near(table.between.ss, 32.0 / 3.0 + 50.0 / 3.0, 1e-12);
    near(table.within.ss, 4.0, 1e-12);
    near(table.n0, 4.0 / 3.0, 1e-12);
    near(found.repeatability_sd_n, 2.0_f64.sqrt(), 1e-12);
    near(
        found.between_sd_n,
        ((41.0 / 3.0 - 2.0) / (4.0 / 3.0_f64)).sqrt(),
        1e-12,
    );
    assert_eq!((found.places, found.used, found.left_out), (2, 6, 2));
}

#[test]
fn too_little_says_what_to_take() {
    let told = |takes: &[Take]| people(takes).unwrap_err();
    let error = told(&[take("Ana", 1, 0, 50.0), take("Ana", 1, 0, 51.0)]);
    assert_eq!(error, PeopleError::OneOnly(Between::People));
    assert!(error.to_string().contains("at least two people"), "{error}");
    assert_eq!(told(&[]), PeopleError::OneOnly(Between::People));
    assert_eq!(
        told(&[take("Ana", 1, 0, 50.0), take("Ben", 1, 1, 51.0)]),
        PeopleError::NoSharedPlace(Between::People)
    );
    assert_eq!(
        told(&[take("Ana", 1, 0, 50.0), take("Ben", 1, 0, 51.0)]),
        PeopleError::NoRepeats(Between::People)
    );
}

#[test]
fn people_who_read_alike_show_no_spread_and_a_coarse_scale_is_said() {
    let found = people(&[
        take("Ana", 1, 0, 50.0),
        take("Ana", 1, 0, 50.0),
        take("Ben", 1, 0, 50.0),
        take("Ben", 1, 0, 50.0),
    ])
    .unwrap();
    assert!(found.assumptions.contains(&Assumption::NoneShown));
    assert!(found.assumptions.contains(&Assumption::ResolutionLimited));
    assert!(found.repeatability_sd_n > 0.0);
}

#[test]
fn tools_of_one_kind_are_told_apart_by_id() {
    let tools = [
        record(50, Tool::new(ToolKind::TorsionTool, "Tool A")),
        record(51, Tool::new(ToolKind::TorsionTool, "Tool A")),
    ];
    let mut all = readings(
        MethodId::TorsionTool,
        &[
            take("Ana", 1, 0, 50.0),
            take("Ana", 1, 0, 51.0),
            take("Ana", 1, 0, 60.0),
            take("Ana", 1, 0, 61.0),
        ],
    );
    for (index, reading) in all.iter_mut().enumerate() {
        reading.body.tool = Some(tools[index / 2].id);
    }
    let found = compare::<TorsionTool>(&all, &tools, Between::Tools, None).unwrap();
    assert_eq!(found.names.len(), 2, "{:?}", found.names);
    assert!(found.between_sd_n > 5.0);
    // The other method has no readings here.
    assert_eq!(
        compare::<PullPlate>(&all, &tools, Between::Tools, None).unwrap_err(),
        PeopleError::OneOnly(Between::Tools)
    );
}

/// With one block the analysis within blocks is the plain one; a level of its own for each block
/// changes nothing.
#[test]
fn blocks_take_their_level_out() {
    let groups = vec![vec![1.0, 2.0], vec![4.0, 6.0, 5.0], vec![3.0]];
    assert_eq!(one_way(&groups), one_way_within(&[&groups]));
    let raised: Vec<Vec<f64>> = groups
        .iter()
        .map(|group| group.iter().map(|x| x + 100.0).collect())
        .collect();
    let one = one_way(&groups).unwrap();
    let two = one_way_within(&[&groups, &raised]).unwrap();
    near(two.between.ss, 2.0 * one.between.ss, 1e-12);
    near(two.within.ss, 2.0 * one.within.ss, 1e-12);
    assert_eq!(two.between.df, 2 * one.between.df);
    near(two.n0, one.n0, 1e-12);
}

fn load() -> Load {
    let mut load = Load::new(Id::from_uuid(Uuid::from_u128(2)), "Load 1");
    load.wrapped_at = Some(moment(0));
    load.length = Some("1.2 m".parse().unwrap());
    load.width = Some("1 m".parse().unwrap());
    load
}

fn again(zone: usize, face: Face, n: f64, hours: i64) -> Take {
    Take {
        who: "",
        load: 1,
        zone,
        face: Some(face),
        n,
        minutes: hours * 60,
    }
}

#[test]
fn a_load_read_again_keeps_its_share() {
    let takes = [
        again(0, Face::Front, 50.0, 1),
        again(1, Face::Front, 80.0, 1),
        again(2, Face::Front, 100.0, 1),
        again(0, Face::Front, 45.0, 24),
        again(1, Face::Front, 68.0, 24),
        again(2, Face::Front, 80.0, 24),
        again(0, Face::Front, 40.0, 73),
        again(0, Face::Front, 42.0, 73),
    ];
    let found =
        relaxation::<TorsionTool>(&load(), &readings(MethodId::TorsionTool, &takes)).unwrap();
    assert_eq!(found.first, Round::Fresh);
    near(found.first_age_h, 1.0, 1e-12);
    let [day, three] = &found.later[..] else {
        panic!("{:?}", found.later)
    };
    assert_eq!((day.round, three.round), (Round::OneDay, Round::ThreeDays));
    // 0.90, 0.85, 0.80: mean 0.85, sd 0.05, t(.975, 2) = 4.302653.
    near(day.share, 0.85, 1e-12);
    let interval = day.interval.unwrap();
    near(
        interval.half_width(),
        4.302_653 * 0.05 / 3.0_f64.sqrt(),
        1e-6,
    );
    assert_eq!(day.pairs, 3);
    near(day.zones[2].unwrap(), 0.8, 1e-12);
    near(three.share, 0.82, 1e-12);
    assert_eq!(
        (three.interval, three.pairs, three.zones[1]),
        (None, 1, None)
    );
    assert!(three.assumptions.contains(&relaxation::Assumption::OnePair));
    assert_eq!(day.temperatures_celsius, None);
}

#[test]
fn faces_are_matched_and_unlike_ones_only_where_it_does_not_matter() {
    let takes = [
        again(0, Face::Front, 50.0, 1),
        again(0, Face::Right, 40.0, 24),
    ];
    let found =
        relaxation::<TorsionTool>(&load(), &readings(MethodId::TorsionTool, &takes)).unwrap();
    near(found.later[0].share, 0.8, 1e-12);
    assert!(
        found.later[0]
            .assumptions
            .contains(&relaxation::Assumption::FacesNotMatched)
    );
    // The pull plate depends on the length of the face: 1.2 m against 1 m.
    assert_eq!(
        relaxation::<PullPlate>(&load(), &readings(MethodId::PullPlate, &takes)),
        Err(RelaxationError::NoPair)
    );
    let takes = [
        again(0, Face::Front, 50.0, 1),
        again(0, Face::Back, 40.0, 24),
    ];
    assert!(relaxation::<PullPlate>(&load(), &readings(MethodId::PullPlate, &takes)).is_ok());
}

#[test]
fn what_the_reading_says_of_its_age_comes_first() {
    let mut all = readings(
        MethodId::TorsionTool,
        &[
            again(0, Face::Front, 50.0, 1),
            again(0, Face::Front, 40.0, 2),
        ],
    );
    let by_clock = relaxation::<TorsionTool>(&load(), &all);
    assert_eq!(by_clock, Err(RelaxationError::OneRound(Round::Fresh)));
    all[1].body.minutes_since_wrapping = Some(24.0 * 60.0);
    all[0].body.film_temperature_celsius = Some(20.0);
    all[1].body.film_temperature_celsius = Some(12.0);
    let found = relaxation::<TorsionTool>(&load(), &all).unwrap();
    assert_eq!(found.later[0].round, Round::OneDay);
    assert_eq!(found.later[0].temperatures_celsius, Some((20.0, 12.0)));
    let mut unknown = load();
    unknown.wrapped_at = None;
    assert_eq!(
        relaxation::<TorsionTool>(&unknown, &all[..1]),
        Err(RelaxationError::NoAge)
    );
    let before = readings(MethodId::TorsionTool, &[again(0, Face::Front, 50.0, -1)]);
    assert_eq!(
        relaxation::<TorsionTool>(&load(), &before),
        Err(RelaxationError::NoAge)
    );
}

proptest! {
    #[test]
    fn whatever_was_read_nothing_but_numbers_come_out(
        takes in prop::collection::vec(
            (0..3_usize, 0..4_usize, prop_oneof![Just(0.0), 0.0..1e6_f64], -5..200_i64, 0..3_usize,
             1..3_u128), 0..24),
        written in prop::option::of(prop_oneof![any::<f64>(), 0.0..1e5_f64]),
        step in prop::option::of(any::<f64>()),
    ) {
        let faces = [Some(Face::Front), Some(Face::Right), Some(Face::Back), None];
        let takes: Vec<Take> = takes
            .into_iter()
            .map(|(zone, face, n, hours, who, load)| Take {
                who: ["Ana", "Ben", ""][who],
                load,
                zone,
                face: faces[face],
                n: (n * 10.0).round() / 10.0,
                minutes: hours * 60,
            })
            .collect();
        let mut all = readings(MethodId::PullPlate, &takes);
        if let Some(first) = all.first_mut() {
            first.body.minutes_since_wrapping = written;
        }
        if let Ok(found) = relaxation::<PullPlate>(&load(), &all) {
            for kept in &found.later {
                prop_assert!(kept.share.is_finite() && kept.share >= 0.0);
                prop_assert!(kept.interval.is_none_or(|i| i.low.is_finite() && i.high.is_finite()));
            }
        }
        if let Ok(found) = compare::<PullPlate>(&all, &[], Between::People, step) {
            let numbers = [found.repeatability_sd_n, found.between_sd_n,
                found.reproducibility_sd_n, found.repeatability_limit_n,
                found.reproducibility_limit_n];
            prop_assert!(numbers.iter().all(|n| n.is_finite() && *n >= 0.0), "{:?}", numbers);
            prop_assert_eq!(found.used + found.left_out, all.len());
        }
    }
}
