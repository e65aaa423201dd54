//! Plans of whole visits: of the sample surveys, and of a line whose film holds exactly so much a
//! layer.

#![allow(clippy::unwrap_used)] // In a test a failed unwrap is a failed test.

use proptest::prelude::*;
use tautbook_core::analysis::containment::ZoneName;
use tautbook_core::analysis::pattern::PatternError;
use tautbook_core::analysis::plan::{
    Asked, Assumption, Candidate, Change, FilmMass, LeftOut, Plan, PlanError, RunError, outcome,
    plan,
};
use tautbook_core::dayfile::RecordsFile;
use tautbook_core::survey::{
    Face, FilmRoll, FilmWeight, Id, Line, Load, Measure, Moment, PitchChoices, Planned, Reading,
    Record, RecordSet, SetAside, Setup, SetupRole, Spiral, Target, TargetForce, TargetOrigin,
    TurnChoices, Visit,
};
use tautbook_core::units::{
    Entered, Force, Length, Mass, Method, MethodId, PullPlate, TorsionTool,
};
use tautbook_tests::arbitrary::visit_whole;
use uuid::Uuid;

fn moment() -> Moment {
    Moment::from_unix_ms(1_772_600_000_000, -300).unwrap()
}

fn id<T>(number: u128) -> Id<T> {
    Id::from_uuid(Uuid::from_u128(number))
}

fn record<T>(number: u128, body: T) -> Record<T> {
    Record {
        id: id(number),
        created: moment(),
        changed: moment(),
        device: Uuid::from_u128(1),
        set_aside: None,
        body,
    }
}

fn length(text: &str) -> Entered<Length> {
    text.parse().unwrap()
}

const LINE: u128 = 1;
const ROLL: u128 = 2;
const SETUP: u128 = 10;
const LOAD: u128 = 20;

/// A line with one setup: a load of 1.2 x 0.8 x 1.5 m in film 0.5 m wide, two turns at the bottom
/// and three at the top, 0.25 m up and down, weighed at 200 g.
fn line() -> RecordSet {
    let mut set = RecordSet::default();
    set.lines
        .push(record(LINE, Line::new(id::<Visit>(99), "Line 1")));
    let mut roll = FilmRoll::new(id(99), "Film A");
    roll.width = Some(length("500 mm"));
    set.film_rolls.push(record(ROLL, roll));
    let mut setup = Setup::new(id(LINE), "As found", SetupRole::AsFound);
    setup.film_roll = Some(id(ROLL));
    setup.settings.bottom_turns = Some(2.0);
    setup.settings.top_turns = Some(3.0);
    setup.settings.up = Some(Spiral::Pitch(length("250 mm")));
    setup.settings.down = Some(Spiral::Pitch(length("250 mm")));
    set.setups.push(record(SETUP, setup));
    let mut load = Load::new(id(SETUP), "Load 1");
    load.length = Some(length("1.2 m"));
    load.width = Some(length("0.8 m"));
    load.height = Some(length("1.5 m"));
    set.loads.push(record(LOAD, load));
    set.film_weights.push(record(
        30,
        FilmWeight {
            load: id(LOAD),
            tool: None,
            gross: "200 g".parse().unwrap(),
            tare: None,
            loads_together: 1,
            taken_at: moment(),
            notes: String::new(),
        },
    ));
    set
}

fn read(set: &mut RecordSet, load: u128, method: MethodId, zone: ZoneName, face: Face, n: f64) {
    let order = u32::try_from(set.readings.len()).unwrap() + 1;
    set.readings.push(record(
        1_000 + u128::from(order),
        Reading {
            load: id(load),
            tool: None,
            zone: zone.zone(),
            face: Some(face),
            measure: Measure::new(method, force(n)),
            order,
            taken_at: moment(),
            who: String::new(),
            zeroed_at: None,
            minutes_since_wrapping: None,
            film_temperature_celsius: None,
            notes: String::new(),
        },
    ));
}

fn force(n: f64) -> Entered<Force> {
    format!("{n} N").parse().unwrap()
}

/// Layers at the three places, by hand: the film's lower edge travels 1.5 - 0.5 = 1.0 m. The
/// torsion tool takes hold of 0.254 m about 0.254 m from either end and about the middle. At the
/// bottom place, 0.127 to 0.381 m, lie 2 turns, and of each pass the part of it that started
/// below: on average 0.254 / 0.25. In the middle 0.5 / 0.25 of each pass. At the top as at the
/// bottom, with 3 turns.
const LAYERS: [f64; 3] = [3.0 + 2.0 * 0.254 / 0.25, 4.0, 2.0 + 2.0 * 0.254 / 0.25];

/// Readings that hold 5 N a layer, and a little more and less.
fn well_read(set: &mut RecordSet, load: u128, layers: [f64; 3]) {
    for (zone, layers) in ZoneName::ALL.into_iter().zip(layers) {
        for (face, off) in [(Face::Front, -0.3), (Face::Right, 0.1), (Face::Back, 0.2)] {
            read(
                set,
                load,
                MethodId::TorsionTool,
                zone,
                face,
                5.0 * layers + off,
            );
        }
    }
}

fn target(set: &mut RecordSet, zone: ZoneName, n: f64) {
    let number = 500 + u128::try_from(set.targets.len()).unwrap();
    set.targets.push(record(
        number,
        Target {
            visit: id(99),
            line: None,
            zone: zone.zone(),
            stability: None,
            minimum: TargetForce::new(MethodId::TorsionTool, force(n)),
            origin: TargetOrigin::CustomerStandard {
                reference: String::new(),
            },
        },
    ));
}

fn planned(set: &RecordSet) -> Plan<TorsionTool> {
    plan(set, id(SETUP), Asked::default()).unwrap()
}

#[test]
fn a_layer_holds_what_was_read_on_it() {
    let mut set = line();
    well_read(&mut set, LOAD, LAYERS);
    let of = planned(&set);
    assert_eq!(of.runs.len(), 1);
    let run = &of.runs[0];
    assert_eq!(run.fit.agree, Some(true), "one force a layer in all zones");
    assert!((run.fit.pooled.slope - 5.0).abs() < 0.01);
    for (layers, by_hand) in of.now.layers.into_iter().zip(LAYERS) {
        assert!((layers - by_hand).abs() < 1e-12, "{layers} {by_hand}");
    }
    assert!((of.now.film_kg - 0.2).abs() < 1e-12, "as weighed");
    assert!(matches!(run.mass, Some(FilmMass::Weighed { .. })));
    assert!(of.assumptions.contains(&Assumption::OneLoad));
    // Without a target nothing is proposed; the curve is there all the same.
    assert_eq!((of.found.best, of.found.passing), (None, 0));
    assert!(of.found.curve.len() > 10);
}

#[test]
fn the_proposal_takes_film_off_where_there_is_too_much_and_no_zone_falls_below() {
    let mut set = line();
    well_read(&mut set, LOAD, LAYERS);
    for zone in ZoneName::ALL {
        target(&mut set, zone, 14.0);
    }
    let of = planned(&set);
    let best = of.found.best.unwrap();
    assert!(best.film_kg < 0.17, "{best:?}");
    assert!(
        (0..3).all(|zone| best.lower_n[zone].unwrap() >= 14.0 - 1e-9),
        "{best:?}"
    );
    let saving = of.saving.unwrap();
    assert!((saving.kg - (0.2 - best.film_kg)).abs() < 1e-12 && saving.share > 0.15);
    assert_eq!(
        saving.interval, None,
        "one weighing does not say how sure it is"
    );
    // Two weighings to the same gram do not make the saving exact: the scale has a step.
    let mut again = set.clone();
    let weight = again.film_weights[0].body.clone();
    again.film_weights.push(record(31, weight));
    let interval = planned(&again).saving.unwrap().interval.unwrap();
    assert!(interval.resolution_limited && interval.half_width() > 1e-4);
    // Fewer layers than were measured: it says so, and offers what stays within them if it can.
    assert!(!of.beyond.is_empty());
    // One step less of anything that saves film falls below.
    assert!(!of.less_film.is_empty());
    for less in &of.less_film {
        assert!(less.candidate.film_kg < best.film_kg);
        assert!(less.candidate.weakest_n < 0.0, "{less:?}");
    }
    for alternative in &of.alternatives {
        let candidate = &alternative.candidate;
        assert!(candidate.weakest_n >= -1e-9 && candidate.film_kg >= best.film_kg - 1e-12);
        let now = &of.now.choice;
        if alternative.change == Change::TopTurns {
            assert!(
                candidate
                    .choice
                    .bottom_turns
                    .total_cmp(&now.bottom_turns)
                    .is_eq()
            );
            assert!(
                candidate
                    .choice
                    .pitch_up_m
                    .total_cmp(&now.pitch_up_m)
                    .is_eq()
            );
        }
    }
    // Surer takes more film, never less.
    let surer = Asked {
        confidence: 0.99,
        ..Asked::default()
    };
    let surer = plan::<TorsionTool>(&set, id(SETUP), surer).unwrap();
    assert!(surer.found.best.unwrap().film_kg >= best.film_kg);
}

#[test]
fn the_wrappers_limits_hold() {
    let mut set = line();
    well_read(&mut set, LOAD, LAYERS);
    for zone in ZoneName::ALL {
        target(&mut set, zone, 10.0);
    }
    let limits = &mut set.lines[0].body.wrapper.limits;
    limits.bottom_turns = Some(TurnChoices {
        least: 2.0,
        most: 4.0,
        step: 0.5,
    });
    limits.top_turns = Some(TurnChoices {
        least: 3.0,
        most: 3.0,
        step: 1.0,
    });
    limits.pitch = Some(PitchChoices {
        least: length("200 mm"),
        most: length("300 mm"),
        step: length("50 mm"),
    });
    limits.same_pitch_both_ways = true;
    let of = planned(&set);
    assert_eq!(of.found.looked_at, 5 * 3);
    let best = of.found.best.unwrap().choice;
    assert_eq!(
        (best.bottom_turns, best.top_turns, best.pitch_up_m),
        (2.0, 3.0, 0.3)
    );
    assert_eq!(best.pitch_down_m, Some(best.pitch_up_m));
    let of_limits = [Assumption::UsualTurns, Assumption::UsualPitch];
    assert!(
        of_limits
            .iter()
            .all(|usual| !of.assumptions.contains(usual))
    );
    // Targets out of reach: nothing is proposed, and the curve shows how far it goes.
    for target in &mut set.targets {
        target.body.minimum = TargetForce::new(MethodId::TorsionTool, force(200.0));
    }
    let of = planned(&set);
    assert_eq!((of.found.best, of.found.passing), (None, 0));
    assert!(of.found.curve.iter().all(|point| point.weakest_n < 0.0));
}

#[test]
fn film_that_runs_otherwise_is_fitted_by_itself() {
    let mut set = line();
    well_read(&mut set, LOAD, LAYERS);
    let mut harder = set.setups[0].body.clone();
    "Harder".clone_into(&mut harder.name);
    harder.role = SetupRole::Trial;
    "7".clone_into(&mut harder.settings.film_force);
    set.setups.push(record(SETUP + 1, harder));
    let mut load = set.loads[0].body.clone();
    load.setup = id(SETUP + 1);
    set.loads.push(record(LOAD + 1, load));
    for (zone, layers) in ZoneName::ALL.into_iter().zip(LAYERS) {
        for off in [-0.2, 0.0, 0.2] {
            let n = 8.0 * layers + off;
            read(
                &mut set,
                LOAD + 1,
                MethodId::TorsionTool,
                zone,
                Face::Front,
                n,
            );
        }
    }
    let mut weight = set.film_weights[0].body.clone();
    weight.load = id(LOAD + 1);
    weight.gross = "190 g".parse().unwrap();
    set.film_weights.push(record(31, weight));
    for zone in ZoneName::ALL {
        target(&mut set, zone, 14.0);
    }
    let of = planned(&set);
    assert_eq!(of.runs.len(), 2);
    let slopes: Vec<f64> = of.runs.iter().map(|run| run.fit.pooled.slope).collect();
    assert!(
        (slopes[0] - 5.0).abs() < 0.05 && (slopes[1] - 8.0).abs() < 0.05,
        "{slopes:?}"
    );
    assert_eq!(of.now.film, 0);
    assert_eq!(
        of.found.best.unwrap().film,
        1,
        "the stronger film takes less"
    );
    // What was set aside takes no part.
    set.setups[1].set_aside = Some(SetAside {
        at: moment(),
        reason: "not this one".to_owned(),
    });
    assert_eq!(planned(&set).runs.len(), 1);
}

#[test]
fn the_methods_never_meet_and_the_pull_plate_keeps_to_one_face_length() {
    let mut set = line();
    well_read(&mut set, LOAD, LAYERS);
    let of = plan::<PullPlate>(&set, id(SETUP), Asked::default());
    assert_eq!(of, Err(PlanError::Run(RunError::NoReadings)));
    for zone in ZoneName::ALL {
        for (face, n) in [(Face::Front, 40.0), (Face::Back, 41.0), (Face::Right, 70.0)] {
            read(&mut set, LOAD, MethodId::PullPlate, zone, face, n);
        }
    }
    let of = plan::<PullPlate>(&set, id(SETUP), Asked::default()).unwrap();
    let run = &of.runs[0];
    assert_eq!(run.left_out, [LeftOut::OtherFaces(3)]);
    assert!((run.face.unwrap().m() - 1.2).abs() < 1e-12);
    assert!(run.fit.pooled.n == 6 && run.fit.own.iter().all(|fit| fit.slope < 15.0));
    // A plate pulled an inch less far shows less, and stands aside as well.
    let Measure::PullPlate(pull) = &mut set.readings[9].body.measure else {
        panic!("a pull-plate reading")
    };
    pull.pulled = Some(length("3 in"));
    let of = plan::<PullPlate>(&set, id(SETUP), Asked::default()).unwrap();
    assert_eq!(
        of.runs[0].left_out,
        [LeftOut::OtherFaces(3), LeftOut::OtherPulls(1)]
    );
    assert_eq!(of.runs[0].fit.pooled.n, 5);
    // The torsion tool's plan is what it was.
    assert_eq!(planned(&set).runs[0].fit.pooled.n, 9);
}

#[test]
fn what_is_missing_is_said() {
    let whole = || {
        let mut set = line();
        well_read(&mut set, LOAD, LAYERS);
        set
    };
    let refused =
        |set: &RecordSet| plan::<TorsionTool>(set, id(SETUP), Asked::default()).unwrap_err();
    let mut set = whole();
    set.loads[0].body.height = None;
    assert_eq!(refused(&set), PlanError::Run(RunError::NoReadings));
    let mut set = whole();
    set.setups[0].body.settings.top_turns = None;
    let no_turns = RunError::Pattern(PatternError::NoTopTurns);
    assert_eq!(refused(&set), PlanError::Run(no_turns));
    let mut set = whole();
    set.film_weights.clear();
    assert_eq!(refused(&set), PlanError::NoMass);
    let roll = &mut set.film_rolls[0].body;
    roll.density = Some("0.92 g/cm3".parse().unwrap());
    roll.nominal_thickness = Some("20 µm".parse().unwrap());
    set.setups[0].body.settings.pre_stretch = Some("200 %".parse().unwrap());
    let of = planned(&set);
    // By hand: 920 kg/m3 x 0.5 m x 20e-6 m / 3 for each metre of path.
    let kg_per_m = of.runs[0].mass.unwrap().kg_per_m();
    assert!((kg_per_m - 920.0 * 0.5 * 20e-6 / 3.0).abs() < 1e-15);
    assert!(of.assumptions.contains(&Assumption::FilmFromLabel));
    let mut set = line();
    read(
        &mut set,
        LOAD,
        MethodId::TorsionTool,
        ZoneName::Top,
        Face::Front,
        20.0,
    );
    assert_eq!(refused(&set), PlanError::TooFewReadings);
    let set = whole();
    let unsure = Asked {
        confidence: f64::NAN,
        ..Asked::default()
    };
    assert_eq!(
        plan::<TorsionTool>(&set, id(SETUP), unsure),
        Err(PlanError::Asked)
    );
    let nowhere = plan::<TorsionTool>(&set, id(77), Asked::default());
    assert_eq!(nowhere, Err(PlanError::NoSetup));
    for error in [
        PlanError::NoSetup,
        PlanError::NoLoad,
        PlanError::NoMass,
        PlanError::Asked,
    ] {
        assert!(error.to_string().len() > 40, "{error} says what to do");
    }
}

#[test]
fn a_short_load_is_planned_from_its_middle() {
    let mut set = line();
    set.loads[0].body.height = Some(length("450 mm"));
    for n in [19.0, 20.0, 21.0] {
        read(
            &mut set,
            LOAD,
            MethodId::TorsionTool,
            ZoneName::Middle,
            Face::Front,
            n,
        );
    }
    read(
        &mut set,
        LOAD,
        MethodId::TorsionTool,
        ZoneName::Top,
        Face::Front,
        50.0,
    );
    let of = planned(&set);
    assert_eq!(of.runs[0].zones, [ZoneName::Middle]);
    let left_out = of.runs[0].left_out[0].to_string();
    assert!(left_out.contains("too short"), "{left_out}");
}

#[test]
fn readings_out_of_proportion_to_their_layers_are_said() {
    let mut set = line();
    well_read(&mut set, LOAD, LAYERS);
    assert!(
        !planned(&set)
            .assumptions
            .contains(&Assumption::NotInProportion)
    );
    // Four more turns at both ends, and 2 N a layer on top of 12 N that no layer explains.
    let mut set = line();
    let mut more = set.setups[0].body.clone();
    more.settings.bottom_turns = Some(6.0);
    more.settings.top_turns = Some(7.0);
    set.setups.push(record(SETUP + 1, more));
    let mut load = set.loads[0].body.clone();
    load.setup = id(SETUP + 1);
    set.loads.push(record(LOAD + 1, load));
    let with_more = [LAYERS[0] + 4.0, LAYERS[1], LAYERS[2] + 4.0];
    // `well_read` makes 5 N of a layer.
    let reads = |layers: f64| (2.0 * layers + 12.0) / 5.0;
    well_read(&mut set, LOAD, LAYERS.map(reads));
    well_read(&mut set, LOAD + 1, with_more.map(reads));
    let of = planned(&set);
    assert!(of.assumptions.contains(&Assumption::NotInProportion));
}

#[test]
fn a_shorter_face_does_not_make_a_planned_setup_look_stronger() {
    let mut set = line();
    for zone in ZoneName::ALL {
        for (face, n) in [(Face::Front, 40.0), (Face::Back, 41.0)] {
            read(&mut set, LOAD, MethodId::PullPlate, zone, face, n);
        }
    }
    let mut next = set.setups[0].body.clone();
    let zones = vec![(ZoneName::Top.zone(), force(38.0), force(35.0))];
    next.planned = Some(Planned::new::<PullPlate>(0.9, zones, None, vec![id(SETUP)]));
    set.setups.push(record(SETUP + 1, next));
    let mut load = set.loads[0].body.clone();
    load.setup = id(SETUP + 1);
    set.loads.push(record(LOAD + 1, load));
    let mut top = |face, n| {
        read(
            &mut set,
            LOAD + 1,
            MethodId::PullPlate,
            ZoneName::Top,
            face,
            n,
        );
    };
    top(Face::Right, 60.0);
    top(Face::Front, 36.0);
    let of = outcome::<PullPlate>(&set, &set.setups[1]).unwrap();
    assert_eq!(of.other_faces, 1);
    let measured = of.zones[0].measured.unwrap();
    assert_eq!((measured.n, of.zones[0].kept), (1, Some(true)));
    assert!((measured.mean - 36.0).abs() < 1e-12);
}

#[test]
fn what_was_expected_stands_beside_what_came() {
    let mut set = line();
    let film: Entered<Mass> = "150 g".parse().unwrap();
    let zones = vec![
        (ZoneName::Top.zone(), force(20.0), force(18.0)),
        (ZoneName::Bottom.zone(), force(16.0), force(14.0)),
    ];
    let body = Planned::new::<TorsionTool>(0.9, zones, Some(film), Vec::new());
    set.setups[0].body.planned = Some(body);
    for n in [19.0, 21.0, 18.5] {
        read(
            &mut set,
            LOAD,
            MethodId::TorsionTool,
            ZoneName::Top,
            Face::Front,
            n,
        );
    }
    // A pull-plate reading must not slip in.
    read(
        &mut set,
        LOAD,
        MethodId::PullPlate,
        ZoneName::Top,
        Face::Front,
        1.0,
    );
    let of = outcome::<TorsionTool>(&set, &set.setups[0]).unwrap();
    assert_eq!(of.zones.len(), 2);
    assert_eq!(
        (of.zones[0].zone, of.zones[0].kept),
        (ZoneName::Top, Some(true))
    );
    assert_eq!(of.zones[0].measured.unwrap().n, 3);
    assert_eq!((of.zones[1].measured, of.zones[1].kept), (None, None));
    assert!((of.film.unwrap().mass.kg() - 0.2).abs() < 1e-12);
    assert!((of.film_expected_kg.unwrap() - 0.15).abs() < 1e-12);
    assert_eq!(outcome::<PullPlate>(&set, &set.setups[0]), None);
    read(
        &mut set,
        LOAD,
        MethodId::TorsionTool,
        ZoneName::Top,
        Face::Front,
        17.9,
    );
    let of = outcome::<TorsionTool>(&set, &set.setups[0]).unwrap();
    assert_eq!(of.zones[0].kept, Some(false));
}

fn sample(name: &str) -> RecordSet {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/../sample-surveys");
    let bytes = std::fs::read(format!("{folder}/{name}.json")).unwrap();
    RecordsFile::read(&bytes).unwrap().records
}

/// Predicts each setup of the samples from the others of its line that run the film alike, and
/// looks how many of its readings keep to their bounds.
fn predicted_from_the_others<M: Method>(records: &RecordSet) -> (usize, usize) {
    let (mut kept, mut all) = (0, 0);
    for setup in &records.setups {
        let mut others = records.clone();
        let readings_of = |set: &RecordSet, setup: Id<Setup>| -> Vec<Id<Load>> {
            set.loads
                .iter()
                .filter(|load| load.setup == setup)
                .map(|load| load.id)
                .collect()
        };
        let loads = readings_of(records, setup.id);
        others
            .readings
            .retain(|reading| !loads.contains(&reading.load));
        let asked = Asked {
            readings: 1,
            ..Asked::default()
        };
        let Ok(of) = plan::<M>(&others, setup.id, asked) else {
            continue;
        };
        for (zone, lower) in ZoneName::ALL.into_iter().zip(of.now.lower_n) {
            let readings = records
                .readings
                .iter()
                .filter(|reading| reading.set_aside.is_none() && loads.contains(&reading.load))
                .filter(|reading| ZoneName::of(&reading.zone) == Some(zone))
                .filter_map(|reading| reading.measure.containment::<M>());
            for reading in readings {
                all += 1;
                kept += usize::from(lower.is_some_and(|lower| reading.force().n() >= lower));
            }
        }
    }
    (kept, all)
}

#[test]
fn a_setup_of_the_samples_is_predicted_from_the_others() {
    let (mut kept, mut all) = (0, 0);
    for name in ["bottling-plant", "parts-warehouse", "tile-maker"] {
        let records = sample(name);
        for (of, from) in [
            predicted_from_the_others::<TorsionTool>(&records),
            predicted_from_the_others::<PullPlate>(&records),
        ] {
            kept += of;
            all += from;
        }
    }
    assert!(all > 200, "{all} readings to predict");
    let share = 100 * kept / all;
    assert!(share >= 85, "{kept} of {all} readings keep to a 90 % bound");
}

fn is_sound(candidate: &Candidate) {
    let numbers = [candidate.mean_n, candidate.lower_n, candidate.margin_n];
    let numbers = numbers.iter().flatten().flatten();
    assert!(numbers.into_iter().all(|n| n.is_finite()), "{candidate:?}");
    assert!(
        candidate.film_kg.is_finite() && candidate.film_kg > 0.0,
        "{candidate:?}"
    );
    assert!(
        candidate.layers.iter().all(|n| n.is_finite() && *n >= 0.0),
        "{candidate:?}"
    );
}

fn says_something_sound<M: Method>(records: &RecordSet) -> bool {
    let mut planned = false;
    for setup in &records.setups {
        match plan::<M>(records, setup.id, Asked::default()) {
            Ok(of) => {
                planned = true;
                is_sound(&of.now);
                of.found.best.iter().for_each(is_sound);
                of.found.curve.iter().for_each(is_sound);
                of.alternatives
                    .iter()
                    .for_each(|one| is_sound(&one.candidate));
                of.less_film.iter().for_each(|one| is_sound(&one.candidate));
                assert!(of.saving.is_none_or(|saving| saving.kg.is_finite()));
            }
            Err(error) => {
                let text = error.to_string();
                assert!(!text.contains("NaN") && !text.contains("inf "), "{text}");
            }
        }
        let _ = outcome::<M>(records, setup);
    }
    planned
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn whatever_the_records_say_a_plan_is_sound_or_refused(records in visit_whole()) {
        says_something_sound::<TorsionTool>(&records);
        says_something_sound::<PullPlate>(&records);
    }

    #[test]
    fn whatever_a_line_is_set_to_its_plan_is_sound_or_refused(
        turns in (0.0..20.0_f64, 0.0..20.0_f64),
        pitches in (1.0..2000.0_f64, 1.0..2000.0_f64),
        size in (1.0..4000.0_f64, 1.0..4000.0_f64, 1.0..4000.0_f64),
        width in 1.0..900.0_f64,
        read in prop::collection::vec(0.0..2000.0_f64, 9),
        goal in 0.1..500.0_f64,
    ) {
        let mut set = line();
        let mm = |mm: f64| length(&format!("{mm:.3} mm"));
        let settings = &mut set.setups[0].body.settings;
        (settings.bottom_turns, settings.top_turns) = (Some(turns.0), Some(turns.1));
        settings.up = Some(Spiral::Pitch(mm(pitches.0)));
        settings.down = Some(Spiral::Pitch(mm(pitches.1)));
        let load = &mut set.loads[0].body;
        load.length = Some(mm(size.0));
        load.width = Some(mm(size.1));
        load.height = Some(mm(size.2));
        set.film_rolls[0].body.width = Some(mm(width));
        for (place, n) in read.into_iter().enumerate() {
            let zone = ZoneName::ALL[place % 3];
            let n = (n * 100.0).round() / 100.0;
            self::read(&mut set, LOAD, MethodId::TorsionTool, zone, Face::Front, n);
        }
        for zone in ZoneName::ALL {
            target(&mut set, zone, (goal * 100.0).round() / 100.0);
        }
        says_something_sound::<TorsionTool>(&set);
    }
}
