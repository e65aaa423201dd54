//! Pull-plate geometry against virtual work, and the relation of the two tools against scipy
//! (`tests/oracles/pull_plate.py`, which records the versions it ran with).

use proptest::prelude::*;
use serde_json::Value;
use tautbook_core::analysis::containment::ZoneName;
use tautbook_core::analysis::pull_plate::{PullAssumption, PullGeometry, PullPlaceError};
use tautbook_core::analysis::tool_relation::{
    PairedLoad, ToolRelationError, paired_loads, tool_relation,
};
use tautbook_core::survey::{
    Face, Id, Load, Measure, Moment, PlateReference, PullReading, Reading, Record, SetAside, Setup,
    Zone,
};
use tautbook_core::units::{Containment, Force, Length, MethodId};
use uuid::Uuid;

use crate::common::record;

fn oracle() -> Value {
    serde_json::from_str(include_str!("../../../tests/oracles/pull_plate.json")).unwrap()
}

fn number(value: &Value) -> f64 {
    match value {
        Value::String(text) => text.parse().unwrap(),
        other => other.as_f64().unwrap(),
    }
}

fn inches(value: f64) -> Length {
    Length::from_in(value).unwrap()
}

fn usual(face_in: f64, reference: PlateReference) -> PullGeometry {
    PullGeometry::new(
        inches(4.0),
        inches(face_in),
        inches(6.0),
        inches(18.0),
        reference,
    )
    .unwrap()
}

fn near(a: f64, b: f64, relative: f64) {
    assert!((a - b).abs() <= relative * b.abs(), "{a} is not {b}");
}

#[test]
fn virtual_work_gives_the_same_force_strain_and_sensitivity() {
    let oracle = oracle();
    for tool in ["python", "mpmath", "numpy", "scipy"] {
        assert!(!oracle["versions"][tool].as_str().unwrap().is_empty());
    }
    let rows = oracle["pulls"].as_array().unwrap();
    assert!(rows.len() > 150, "{}", rows.len());
    for row in rows {
        let geometry = PullGeometry::new(
            inches(number(&row["pull_in"])),
            inches(number(&row["face_in"])),
            inches(6.0),
            inches(number(&row["side_in"])),
            serde_json::from_value(row["reference"].clone()).unwrap(),
        )
        .unwrap();
        near(geometry.factor(), number(&row["k"]), 1e-12);
        near(
            geometry.added_strain().fraction(),
            number(&row["strain"]),
            1e-11,
        );
        let moves = geometry.sensitivity();
        near(
            moves.quarter_inch_of_pull.fraction(),
            number(&row["quarter_inch_of_pull"]),
            1e-9,
        );
        let by_place = number(&row["inch_from_side"]);
        assert!((moves.inch_from_side.fraction() - by_place).abs() < 1e-9);
        for loaded in row["ea_force_tension_lbf"].as_array().unwrap() {
            let force = Force::from_lbf(number(&loaded[1])).unwrap();
            let estimate = geometry.tension(Containment::new(force));
            near(estimate.pounds_force(), number(&loaded[2]), 1e-11);
        }
    }
}

#[test]
fn a_shorter_face_reads_more() {
    // Plain geometry worked by hand: A = sqrt(18² + 4²) and so on.
    let k = |face, reference| usual(face, reference).factor();
    let edge = PlateReference::NearEdge;
    near(
        k(48.0, edge),
        4.0 / 340.0_f64.sqrt() + 4.0 / 592.0_f64.sqrt(),
        1e-12,
    );
    let to_short = usual(48.0, edge).correction_to(&usual(40.0, edge));
    assert_eq!(format!("{:.3}", to_short.factor), "1.205");
    assert_eq!(
        to_short.to_string(),
        "times 1.205, worked out from the two places and not measured"
    );
    let metric = usual(1200.0 / 25.4, edge).correction_to(&usual(800.0 / 25.4, edge));
    assert_eq!(format!("{:.2}", metric.factor), "1.78");
    let back = usual(40.0, edge).correction_to(&usual(48.0, edge));
    near(back.factor * to_short.factor, 1.0, 1e-14);
}

#[test]
fn slips_in_the_place_are_told() {
    let moves = usual(48.0, PlateReference::NearEdge).sensitivity();
    assert_eq!(
        format!("{:.1}", moves.quarter_inch_of_pull.percent()),
        "6.0"
    );
    assert_eq!(format!("{:.1}", moves.inch_from_side.percent()), "-1.3");
}

#[test]
fn a_tension_is_always_called_an_estimate() {
    let geometry = usual(48.0, PlateReference::NearEdge);
    let estimate = geometry.tension(Containment::new(Force::from_lbf(7.62659).unwrap()));
    assert_eq!(
        estimate.to_string(),
        "about 89.0 N (20.00 lbf), an estimate"
    );
    for assumption in PullAssumption::ALL {
        assert!(assumption.to_string().ends_with('.'));
    }
}

#[test]
fn places_that_say_nothing_are_refused() {
    let edge = PlateReference::NearEdge;
    let at = |pull, face, plate, side, reference| {
        PullGeometry::new(
            inches(pull),
            inches(face),
            inches(plate),
            inches(side),
            reference,
        )
        .map(|_| ())
    };
    assert_eq!(at(4.0, 28.0, 6.0, 18.0, edge), Ok(()), "4 in left");
    for (found, expected) in [
        (at(0.0, 48.0, 6.0, 18.0, edge), PullPlaceError::NotPulled),
        (at(4.0, 48.0, 0.0, 18.0, edge), PullPlaceError::NoPlate),
        (at(4.0, 27.9, 6.0, 18.0, edge), PullPlaceError::FaceTooShort),
        (at(4.0, 0.0, 6.0, 18.0, edge), PullPlaceError::FaceTooShort),
        (at(4.0, 48.0, 6.0, 3.0, edge), PullPlaceError::TooNearCorner),
        (
            at(4.0, 48.0, 6.0, 2.0, PlateReference::Centre),
            PullPlaceError::TooNearCorner,
        ),
        (at(49.0, 48.0, 6.0, 18.0, edge), PullPlaceError::WrongUnit),
        (at(4.0, 1200.0, 6.0, 18.0, edge), PullPlaceError::WrongUnit),
    ] {
        assert_eq!(found, Err(expected));
    }
}

fn load(id: u128) -> Record<Load> {
    let setup: Id<Setup> = Id::from_uuid(Uuid::from_u128(9));
    let mut load = Load::new(setup, format!("L{id}"));
    load.length = Some("48 in".parse().unwrap());
    load.width = Some("40 in".parse().unwrap());
    record(id, load)
}

fn reading(id: u128, load: u128, method: MethodId, force: &str, face: Face) -> Record<Reading> {
    let at = Moment::from_unix_ms(1_772_600_000_000, -300).unwrap();
    record(
        id,
        Reading {
            load: Id::from_uuid(Uuid::from_u128(load)),
            tool: None,
            zone: Zone::Top,
            face: Some(face),
            measure: Measure::new(method, force.parse().unwrap()),
            order: 1,
            taken_at: at,
            who: String::new(),
            zeroed_at: None,
            minutes_since_wrapping: None,
            film_temperature_celsius: None,
            notes: String::new(),
        },
    )
}

#[test]
fn a_reading_brings_its_own_place() {
    let load = load(1);
    let at = |face| PullGeometry::of(&load, &reading(2, 1, MethodId::PullPlate, "30 N", face));
    assert_eq!(
        at(Face::Front).unwrap().unwrap(),
        usual(48.0, PlateReference::NearEdge)
    );
    assert_eq!(
        at(Face::Left).unwrap().unwrap(),
        usual(40.0, PlateReference::NearEdge)
    );
    let torsion = reading(3, 1, MethodId::TorsionTool, "30 N", Face::Front);
    assert!(PullGeometry::of(&load, &torsion).is_none(), "never for it");
    let mut pull = PullReading::new("30 N".parse().unwrap());
    assert_eq!(
        PullGeometry::of_reading(&pull, None),
        Err(PullPlaceError::NoFaceLength)
    );
    pull.face_length = Some("40 in".parse().unwrap());
    pull.plate_reference = PlateReference::Centre;
    assert_eq!(
        PullGeometry::of_reading(&pull, Some(inches(48.0))).unwrap(),
        usual(40.0, PlateReference::Centre),
        "what is written beside the reading comes first"
    );
}

#[test]
fn the_tools_meet_only_on_ten_loads() {
    let loads: Vec<_> = (1..=12).map(load).collect();
    let mut readings = Vec::new();
    for n in 1..=12_u128 {
        let (torsion, pull) = (40 + n, 60 + 2 * n + n % 3);
        let add = |id, method, n| reading(id, n, method, "1 N", Face::Front);
        let mut one = add(100 + n, MethodId::TorsionTool, n);
        one.body.measure = Measure::new(
            MethodId::TorsionTool,
            format!("{torsion} N").parse().unwrap(),
        );
        let mut other = add(200 + n, MethodId::PullPlate, n);
        other.body.measure =
            Measure::new(MethodId::PullPlate, format!("{pull} N").parse().unwrap());
        readings.extend([one, other]);
    }
    let pairs = paired_loads(&loads, &readings, ZoneName::Top);
    assert_eq!(pairs.len(), 12);
    assert!(paired_loads(&loads, &readings, ZoneName::Bottom).is_empty());
    let relation = tool_relation(&pairs).unwrap();
    assert!(relation.to_string().starts_with("Estimate from 12 loads"));
    assert_eq!(relation.torsion_range_n, (41.0, 52.0));

    let few = tool_relation(&pairs[..9]);
    assert_eq!(few, Err(ToolRelationError::TooFew { have: 9 }));
    assert!(few.unwrap_err().to_string().contains("from ten"));

    // A reading set aside takes its load out; an unlike face is not joined to the rest.
    for reading in readings.iter_mut().take(6) {
        reading.set_aside = Some(SetAside {
            at: reading.created,
            reason: "film tore".to_owned(),
        });
    }
    let pairs = paired_loads(&loads, &readings, ZoneName::Top);
    assert_eq!(pairs.len(), 9);
    for reading in &mut readings {
        reading.set_aside = None;
    }
    readings[1].body.face = Some(Face::Left);
    let pairs = paired_loads(&loads, &readings, ZoneName::Top);
    assert_eq!(tool_relation(&pairs), Err(ToolRelationError::UnlikeFaces));

    let mut twice = pairs[1..].to_vec();
    twice.push(pairs[1]);
    assert_eq!(tool_relation(&twice), Err(ToolRelationError::LoadTwice));
    let alike: Vec<_> = pairs[1..]
        .iter()
        .map(|pair| PairedLoad {
            torsion: pairs[0].torsion,
            ..*pair
        })
        .collect();
    assert_eq!(tool_relation(&alike), Err(ToolRelationError::NoSpread));
}

fn pair(id: usize, torsion: f64, pull: f64) -> PairedLoad {
    PairedLoad {
        load: Id::from_uuid(Uuid::from_u128(id as u128)),
        torsion: Containment::new(Force::from_n(torsion).unwrap()),
        pull: Containment::new(Force::from_n(pull).unwrap()),
        face_length_m: Some(1.2192),
    }
}

#[test]
fn scipy_draws_the_same_line() {
    for row in oracle()["lines"].as_array().unwrap() {
        let numbers =
            |key: &str| -> Vec<f64> { row[key].as_array().unwrap().iter().map(number).collect() };
        let pairs: Vec<_> = numbers("x")
            .into_iter()
            .zip(numbers("y"))
            .enumerate()
            .map(|(id, (x, y))| pair(id, x, y))
            .collect();
        let relation = tool_relation(&pairs).unwrap();
        near(relation.slope, number(&row["slope"]), 1e-11);
        near(relation.intercept_n, number(&row["intercept"]), 1e-9);
        near(
            relation.slope_interval.half_width(),
            number(&row["slope_half"]),
            1e-10,
        );
        near(
            relation.intercept_interval.half_width(),
            number(&row["intercept_half"]),
            1e-10,
        );
        near(relation.residual_sd_n, number(&row["residual_sd"]), 1e-11);
    }
}

/// Lengths and forces over everything a quantity can hold.
fn any_size() -> impl Strategy<Value = f64> {
    prop_oneof![
        4 => 0.0..2.0_f64,
        1 => Just(0.0),
        1 => prop::num::f64::POSITIVE.prop_filter("finite", |x| x.is_finite()),
        1 => Just(f64::MAX),
    ]
}

proptest! {
    #[test]
    fn whatever_the_place_nothing_is_infinite(
        pull in any_size(), face in any_size(), plate in any_size(), side in any_size(),
        centre: bool, force in any_size(),
    ) {
        let m = |value| Length::from_m(value).unwrap();
        let reference = if centre { PlateReference::Centre } else { PlateReference::NearEdge };
        if let Ok(geometry) = PullGeometry::new(m(pull), m(face), m(plate), m(side), reference) {
            let k = geometry.factor();
            prop_assert!(k > 0.0 && k < 2.0);
            let strain = geometry.added_strain().fraction();
            prop_assert!(strain > 0.0 && strain.is_finite());
            let reading = Containment::new(Force::from_n(force).unwrap());
            prop_assert!(geometry.tension(reading).newtons().is_finite());
            let moves = geometry.sensitivity();
            prop_assert!(moves.quarter_inch_of_pull.fraction() > 0.0);
            prop_assert!(moves.inch_from_side.fraction().is_finite());
            prop_assert!(geometry.correction_to(&usual(48.0, PlateReference::NearEdge))
                .factor.is_finite());
        }
    }

    #[test]
    fn whatever_the_pairs_nothing_is_infinite(
        values in prop::collection::vec((any_size(), any_size()), 0..15),
    ) {
        let pairs: Vec<_> = values
            .iter()
            .enumerate()
            .map(|(id, &(x, y))| pair(id, x, y))
            .collect();
        match tool_relation(&pairs) {
            Ok(relation) => {
                prop_assert!(relation.loads >= 10);
                for value in [relation.slope, relation.intercept_n, relation.residual_sd_n,
                    relation.slope_interval.low, relation.slope_interval.high,
                    relation.intercept_interval.low, relation.intercept_interval.high] {
                    prop_assert!(value.is_finite());
                }
            }
            Err(error) => prop_assert!(!error.to_string().is_empty()),
        }
    }
}
