//! The films of a line: each by itself, and what is known of it.

use tautbook_core::analysis::containment::ZoneName;
use tautbook_core::analysis::plan::{
    Asked, Assumption, LeftOut, PlanError, RunError, WhyNot, plan,
};
use tautbook_core::survey::{
    Face, Measure, RecordSet, SetAside, SetupRole, TargetForce, Thickness, ThicknessPlace,
};
use tautbook_core::units::{MethodId, PullPlate};

use crate::site::{
    LAYERS, LOAD, ROLL, SETUP, force, id, length, line, moment, planned, read, record, target,
    well_read,
};

/// A second setup with a load, that runs the film at another force.
fn run_harder(set: &mut RecordSet) {
    let mut harder = set.setups[0].body.clone();
    "Harder".clone_into(&mut harder.name);
    harder.role = SetupRole::Trial;
    "7".clone_into(&mut harder.settings.film_force);
    set.setups.push(record(SETUP + 1, harder));
    let mut load = set.loads[0].body.clone();
    load.setup = id(SETUP + 1);
    set.loads.push(record(LOAD + 1, load));
}

fn weigh_harder(set: &mut RecordSet) {
    let mut weight = set.film_weights[0].body.clone();
    weight.load = id(LOAD + 1);
    weight.gross = "190 g".parse().unwrap();
    set.film_weights.push(record(31, weight));
}

#[test]
fn film_that_runs_otherwise_is_fitted_by_itself() {
    let mut set = line();
    well_read(&mut set, LOAD, LAYERS);
    run_harder(&mut set);
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
    weigh_harder(&mut set);
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
    assert!(of.left_out.is_empty());
    assert!(
        of.assumptions.contains(&Assumption::BestOfFilms),
        "the luckiest is favoured"
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
    let alone = planned(&set);
    assert_eq!(alone.runs.len(), 1);
    assert!(!alone.assumptions.contains(&Assumption::BestOfFilms));
}

#[test]
fn a_film_that_is_not_known_well_enough_is_named_with_the_reason() {
    let mut set = line();
    well_read(&mut set, LOAD, LAYERS);
    for zone in ZoneName::ALL {
        target(&mut set, zone, 14.0);
    }
    run_harder(&mut set);
    let why = |set: &RecordSet| {
        let of = planned(set);
        assert_eq!(of.runs.len() + of.left_out.len(), 2, "none is passed over");
        assert!(!of.assumptions.contains(&Assumption::BestOfFilms));
        assert_eq!(of.left_out[0].runs_as.film_force, "7");
        let why = of.left_out[0].why.clone();
        assert!(why.to_string().contains(": "), "{why} says what to do");
        why
    };
    assert_eq!(why(&set), WhyNot::Run(RunError::NoReadings));
    let top = |set: &mut RecordSet, n: f64| {
        let (tool, zone) = (MethodId::TorsionTool, ZoneName::Top);
        read(set, LOAD + 1, tool, zone, Face::Front, n);
    };
    top(&mut set, 40.0);
    assert_eq!(why(&set), WhyNot::NoMass);
    weigh_harder(&mut set);
    assert_eq!(why(&set), WhyNot::TooFewReadings);
    top(&mut set, 41.0);
    assert_eq!(why(&set), WhyNot::ZoneNotRead(ZoneName::Middle));
}

#[test]
fn a_film_that_was_not_weighed_weighs_what_its_measured_thickness_makes() {
    let mut set = line();
    well_read(&mut set, LOAD, LAYERS);
    set.film_weights.clear();
    set.film_rolls[0].body.nominal_thickness = Some("20 µm".parse().unwrap());
    set.setups[0].body.settings.pre_stretch = Some("200 %".parse().unwrap());
    let kg_per_m = |set: &RecordSet| planned(set).runs[0].mass.unwrap().kg_per_m();
    // By hand: 918 kg/m3 x 0.5 m x 20e-6 m / 3 for each metre of path.
    assert!((kg_per_m(&set) - 918.0 * 0.5 * 20e-6 / 3.0).abs() < 1e-15);
    let of = planned(&set);
    for noted in [Assumption::UsualDensity, Assumption::FilmFromLabel] {
        assert!(of.assumptions.contains(&noted), "{noted}");
    }
    // Four plies of 72 and 76 µm on the roll make 18.5 µm.
    for (number, plies) in [(60, "72 µm"), (61, "76 µm")] {
        let measured = Thickness {
            film_roll: id(ROLL),
            load: None,
            tool: None,
            place: ThicknessPlace::Roll,
            value: plies.parse().unwrap(),
            plies: 4,
            taken_at: moment(),
            notes: String::new(),
        };
        set.thicknesses.push(record(number, measured));
    }
    assert!((kg_per_m(&set) - 918.0 * 0.5 * 18.5e-6 / 3.0).abs() < 1e-15);
    let of = planned(&set);
    assert!(of.assumptions.contains(&Assumption::FilmFromMeasures));
    assert!(!of.assumptions.contains(&Assumption::FilmFromLabel));
}

#[test]
fn targets_for_other_faces_are_not_planned_by() {
    let mut set = line();
    for zone in ZoneName::ALL {
        for (face, n) in [(Face::Front, 40.0), (Face::Back, 41.0)] {
            read(&mut set, LOAD, MethodId::PullPlate, zone, face, n);
        }
        target(&mut set, zone, 20.0);
    }
    for target in &mut set.targets {
        target.body.minimum = TargetForce::new(MethodId::PullPlate, force(20.0));
        target.body.face_length = Some(length("1200 mm"));
    }
    let of = plan::<PullPlate>(&set, id(SETUP), Asked::default()).unwrap();
    assert!(of.goal.iter().all(Option::is_some), "{:?}", of.goal);
    assert!(!of.assumptions.contains(&Assumption::TargetForOtherFaces));
    for target in &mut set.targets {
        target.body.face_length = Some(length("800 mm"));
    }
    let of = plan::<PullPlate>(&set, id(SETUP), Asked::default()).unwrap();
    assert_eq!(of.goal, [None; 3]);
    assert_eq!(of.found.best, None);
    assert!(of.assumptions.contains(&Assumption::TargetForOtherFaces));
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
