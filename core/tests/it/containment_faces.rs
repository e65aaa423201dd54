//! Readings on faces of unlike length, and what makes a reading worth less.

use proptest::prelude::*;
use tautbook_core::analysis::containment::flags::{
    ALIKE_IN_A_ROW, Flag, Place, flag_readings, flags,
};
use tautbook_core::analysis::containment::{
    Taken, ZoneName, ZoneResult, ZoneTargets, ZoneVerdict, containment,
};
use tautbook_core::survey::{
    Id, Measure, Moment, PullReading, Reading, Record, SetAside, Tool, ToolKind, TorsionReading,
    Zone,
};
use tautbook_core::units::{Containment, Force, Method, MethodId, PullPlate, TorsionTool};
use uuid::Uuid;

use crate::common::record;

fn zone<M: Method>(readings: &[(f64, Option<f64>)], target: Option<f64>) -> ZoneResult<M> {
    let newtons = |n| Containment::<M>::new(Force::from_n(n).unwrap());
    let taken: Vec<Taken<M>> = readings
        .iter()
        .map(|&(n, face_length_m)| Taken {
            load: Id::from_uuid(Uuid::from_u128(2)),
            zone: ZoneName::Top,
            value: newtons(n),
            face_length_m,
        })
        .collect();
    let [top, _, _] = containment(
        &taken,
        &ZoneTargets::on_every_face([target.map(newtons), None, None]),
    )
    .zones;
    top
}

const LONG: Option<f64> = Some(1.2192);
const SHORT: Option<f64> = Some(1.016);

#[test]
fn the_pull_plate_is_never_averaged_over_unlike_faces() {
    let readings = [
        (50.0, LONG),
        (60.0, SHORT),
        (52.0, LONG),
        (62.0, Some(1.02)),
        (40.0, None),
    ];
    let result = zone::<PullPlate>(&readings, Some(45.0));
    assert!(result.unlike_faces);
    assert_eq!((result.count, result.faces_unknown), (5, 1));
    assert_eq!(
        (result.summary, result.interval, result.outlier),
        (None, None, None)
    );
    // The pass rule still looks at every reading.
    assert_eq!(result.verdict, ZoneVerdict::Below);
    assert_eq!(result.margin_n, Some(-5.0));
    let faces: Vec<_> = result
        .faces
        .iter()
        .map(|face| {
            (
                face.length_m,
                face.summary.unwrap().n,
                face.summary.unwrap().mean,
            )
        })
        .collect();
    assert_eq!(faces, [(SHORT, 2, 61.0), (LONG, 2, 51.0), (None, 1, 40.0)]);
    assert_eq!(result.faces[0].margin_n, Some(15.0));
    assert!(result.faces[0].interval.is_some() && result.faces[2].interval.is_none());
}

#[test]
fn the_torsion_tool_is_not_split() {
    let result = zone::<TorsionTool>(&[(50.0, LONG), (60.0, SHORT)], None);
    assert!(result.faces.is_empty());
    assert_eq!(result.summary.unwrap().n, 2);
}

#[test]
fn like_faces_and_unknown_ones_are_taken_together() {
    let result = zone::<PullPlate>(&[(50.0, LONG), (51.0, Some(1.225)), (52.0, None)], None);
    assert!(!result.unlike_faces && result.faces.is_empty());
    assert_eq!((result.summary.unwrap().n, result.faces_unknown), (3, 1));
}

proptest! {
    /// No reading is lost or counted twice, and within a class lengths are alike.
    #[test]
    fn every_reading_is_in_one_class(
        readings in prop::collection::vec(
            (1.0..200.0_f64, prop::option::of(0.3..3.0_f64)), 0..30),
    ) {
        let result = zone::<PullPlate>(&readings, None);
        prop_assert_eq!(result.count, readings.len());
        if result.faces.is_empty() {
            prop_assert_eq!(result.summary.map_or(0, |summary| summary.n), readings.len());
        } else {
            let counted: usize = result.faces.iter().map(|face| face.summary.unwrap().n).sum();
            prop_assert_eq!(counted, readings.len());
            prop_assert!(result.faces.len() > 1 && result.summary.is_none());
            for pair in result.faces.windows(2) {
                if let (Some(a), Some(b)) = (pair[0].length_m, pair[1].length_m) {
                    prop_assert!(b > a * 1.01);
                }
            }
        }
    }
}

fn at(text: &str) -> Moment {
    Moment::parse(text).unwrap()
}

fn reading(measure: Measure) -> Reading {
    Reading {
        load: Id::from_uuid(Uuid::from_u128(3)),
        tool: None,
        zone: Zone::Top,
        face: None,
        measure,
        order: 1,
        taken_at: at("2026-03-04T08:30:00-05:00"),
        who: String::new(),
        zeroed_at: None,
        minutes_since_wrapping: None,
        film_temperature_celsius: None,
        notes: String::new(),
    }
}

fn torsion(value: &str) -> Reading {
    reading(Measure::new(MethodId::TorsionTool, value.parse().unwrap()))
}

fn tool() -> Tool {
    let mut tool = Tool::new(ToolKind::TorsionTool, "Tool A");
    tool.zeroed_at = Some(at("2026-03-04T07:00:00-05:00"));
    tool
}

#[test]
fn a_tool_that_is_in_order_raises_no_flag() {
    assert_eq!(flags(&torsion("50 N"), Some(&tool())), []);
    assert_eq!(
        flags(&torsion("50 N"), None),
        [],
        "nothing is known of the tool"
    );
}

#[test]
fn the_check_is_that_of_the_time_of_the_reading() {
    let mut tool = tool();
    tool.check_good_for_days = Some(30);
    let found = flags(&torsion("50 N"), Some(&tool));
    assert_eq!(
        found,
        [Flag::CheckOverdue {
            tool: "Tool A".to_owned(),
            checked_at: None
        }]
    );
    tool.checked_at = Some(at("2026-02-10T12:00:00-05:00"));
    assert_eq!(flags(&torsion("50 N"), Some(&tool)), []);
    tool.checked_at = Some(at("2026-01-10T12:00:00-05:00"));
    let found = flags(&torsion("50 N"), Some(&tool));
    assert!(
        found[0]
            .to_string()
            .contains("past its check of 2026-01-10"),
        "{}",
        found[0]
    );
}

#[test]
fn the_zero_is_of_the_same_day() {
    let zeroed = |tool_at: Option<&str>, reading_at: Option<&str>| {
        let mut tool = tool();
        tool.zeroed_at = tool_at.map(at);
        let mut reading = torsion("50 N");
        reading.zeroed_at = reading_at.map(at);
        flags(&reading, Some(&tool))
    };
    assert_eq!(zeroed(None, None), [Flag::NeverZeroed]);
    // Zeroed afterwards says nothing of before.
    assert_eq!(
        zeroed(Some("2026-03-04T09:00:00-05:00"), None),
        [Flag::NeverZeroed]
    );
    let yesterday = "2026-03-03T17:00:00-05:00";
    assert_eq!(
        zeroed(Some(yesterday), None),
        [Flag::NotZeroedThatDay {
            zeroed_at: at(yesterday)
        }]
    );
    assert_eq!(
        zeroed(Some(yesterday), Some("2026-03-04T08:00:00-05:00")),
        []
    );
    // By the clock where the reading was taken: 23:30 the day before.
    let late = "2026-03-04T04:30:00+00:00";
    assert_eq!(
        zeroed(Some(late), None),
        [Flag::NotZeroedThatDay {
            zeroed_at: at(late)
        }]
    );
    assert_eq!(zeroed(Some("2026-03-04T05:30:00+00:00"), None), []);
}

#[test]
fn over_the_range_and_away_from_the_usual_place() {
    let mut tool = tool();
    tool.force_range = Some("49 N".parse().unwrap());
    assert!(matches!(
        flags(&torsion("50 N"), Some(&tool))[..],
        [Flag::OverRange { .. }]
    ));
    assert_eq!(flags(&torsion("49 N"), Some(&tool)), []);

    let mut placed = TorsionReading::new("50 N".parse().unwrap());
    placed.from_right_edge = Some("22.5 in".parse().unwrap());
    assert_eq!(
        flags(&reading(Measure::TorsionTool(placed.clone())), None),
        []
    );
    placed.from_right_edge = Some("18 in".parse().unwrap());
    let found = flags(&reading(Measure::TorsionTool(placed)), None);
    assert_eq!(
        found[0].to_string(),
        "Taken at 18.0 in (457 mm) from the right edge instead of the usual 22.0 in (559 mm): \
         compare it with readings taken the same way only."
    );

    let mut pull = PullReading::new("50 N".parse().unwrap());
    pull.from_side = Some("20 in".parse().unwrap());
    pull.from_top = Some("12 in".parse().unwrap());
    pull.pulled = Some("3.75 in".parse().unwrap());
    let listed = |reading: &Reading| -> Vec<Place> {
        flags(reading, None)
            .iter()
            .filter_map(|flag| match flag {
                Flag::AwayFromUsualPlace { place, .. } => Some(*place),
                _ => None,
            })
            .collect()
    };
    let mut pulled = reading(Measure::PullPlate(pull));
    assert_eq!(
        listed(&pulled),
        [Place::FromSide, Place::FromTop, Place::Pulled]
    );
    pulled.zone = Zone::Middle;
    assert_eq!(
        listed(&pulled),
        [Place::FromSide, Place::Pulled],
        "the top is for the top"
    );
}

fn in_a_row(values: &[&str]) -> Vec<Record<Reading>> {
    (1_u32..)
        .zip(values)
        .map(|(order, value)| {
            let mut reading = torsion(value);
            reading.order = order;
            record(u128::from(order), reading)
        })
        .collect()
}

#[test]
fn ten_alike_in_a_row_are_flagged() {
    let alike = ["50 N"; ALIKE_IN_A_ROW];
    let found = flag_readings(&in_a_row(&alike), &[], MethodId::TorsionTool);
    assert_eq!(found.len(), ALIKE_IN_A_ROW);
    assert_eq!(found[0].flags, [Flag::AllAlike { in_a_row: 10 }]);
    assert_eq!(
        flag_readings(&in_a_row(&alike), &[], MethodId::PullPlate),
        []
    );

    let mut broken = alike;
    broken[4] = "51 N";
    assert_eq!(
        flag_readings(&in_a_row(&broken), &[], MethodId::TorsionTool),
        []
    );

    // What was set aside does not break a row, and is not flagged.
    let mut longer = in_a_row(&["50 N"; 11]);
    longer[4].body = torsion("51 N");
    longer[4].body.order = 5;
    longer[4].set_aside = Some(SetAside {
        at: at("2026-03-04T09:00:00-05:00"),
        reason: "film tore".to_owned(),
    });
    let found = flag_readings(&longer, &[], MethodId::TorsionTool);
    assert_eq!(found.len(), 10);
    assert!(found.iter().all(|flagged| flagged.reading != longer[4].id));
}

#[test]
fn each_reading_is_held_to_its_own_tool() {
    let mut old = tool();
    old.zeroed_at = None;
    let tools = [record(100, tool()), record(101, old)];
    let mut readings = in_a_row(&["50 N", "51 N", "52 N"]);
    readings[0].body.tool = Some(tools[0].id);
    readings[1].body.tool = Some(tools[1].id);
    let found = flag_readings(&readings, &tools, MethodId::TorsionTool);
    assert_eq!(found.len(), 1);
    assert_eq!(
        (found[0].reading, &found[0].flags[..]),
        (readings[1].id, &[Flag::NeverZeroed][..])
    );
}

#[test]
fn every_flag_is_a_sentence() {
    let all = [
        Flag::CheckOverdue {
            tool: "Tool A".to_owned(),
            checked_at: None,
        },
        Flag::CheckOverdue {
            tool: "Tool A".to_owned(),
            checked_at: Some(Moment::default()),
        },
        Flag::NeverZeroed,
        Flag::NotZeroedThatDay {
            zeroed_at: Moment::default(),
        },
        Flag::OverRange {
            range: Force::from_n(100.0).unwrap(),
        },
        Flag::AllAlike { in_a_row: 12 },
    ];
    for flag in all {
        let text = flag.to_string();
        assert!(text.ends_with('.') && text.len() > 30, "{text}");
        assert!(
            text.starts_with(|c: char| c.is_uppercase() || c.is_numeric()),
            "{text}"
        );
    }
}
