//! Plans of whole visits: of the sample surveys, and of a line whose film holds exactly so much a
//! layer.

#![allow(clippy::unwrap_used)] // In a test a failed unwrap is a failed test.

mod films;
mod laws;
mod outcomes;
mod site;

use tautbook_core::analysis::containment::ZoneName;
use tautbook_core::analysis::pattern::PatternError;
use tautbook_core::analysis::plan::{
    Asked, Assumption, Change, FilmMass, PlanError, RunError, plan,
};
use tautbook_core::survey::{Face, PitchChoices, RecordSet, TargetForce, TurnChoices};
use tautbook_core::units::{MethodId, TorsionTool};

use site::{
    LAYERS, LOAD, SETUP, force, id, length, line, planned, read, record, target, well_read,
};

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
    assert_eq!(refused(&set), PlanError::NoLoad);
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
