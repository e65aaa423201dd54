//! Targets for faces of one length: the pull plate reads more on a shorter face, so that such a
//! target says nothing of other faces.

use tautbook_core::analysis::containment::{
    Taken, Verdict, ZoneName, ZoneTargets, ZoneVerdict, containment, faces_alike, target_for,
    targets_for,
};
use tautbook_core::survey::{
    Entity, Id, Line, Record, Target, TargetForce, TargetOrigin, Visit, Zone,
};
use tautbook_core::units::{Containment, Force, MethodId, PullPlate, TorsionTool};
use uuid::Uuid;

use crate::common::record;

fn line() -> Id<Line> {
    Id::from_uuid(Uuid::from_u128(1))
}

fn newtons(n: f64) -> Containment<PullPlate> {
    Containment::new(Force::from_n(n).unwrap())
}

fn target(id: u128, of_line: bool, face: Option<&str>, least: &str) -> Record<Target> {
    let visit: Id<Visit> = Id::from_uuid(Uuid::from_u128(2));
    let body = Target {
        visit,
        line: of_line.then(line),
        zone: Zone::Top,
        stability: None,
        face_length: face.map(|text| text.parse().unwrap()),
        minimum: TargetForce::new(MethodId::PullPlate, least.parse().unwrap()),
        origin: TargetOrigin::CustomerStandard {
            reference: String::new(),
        },
    };
    record(id, body)
}

fn top(targets: &[Record<Target>]) -> ZoneTargets<PullPlate> {
    let [top, middle, bottom] = targets_for(targets, line(), None);
    assert!(middle.is_empty() && bottom.is_empty());
    top
}

fn on(targets: &ZoneTargets<PullPlate>, face_m: Option<f64>) -> Option<f64> {
    targets.for_face(face_m).map(|least| least.force().n())
}

fn taken(readings: &[(f64, Option<f64>)]) -> Vec<Taken<PullPlate>> {
    readings
        .iter()
        .map(|&(n, face_length_m)| Taken {
            zone: ZoneName::Top,
            load: Id::from_uuid(Uuid::from_u128(3)),
            value: newtons(n),
            face_length_m,
        })
        .collect()
}

#[test]
fn a_target_judges_readings_on_faces_as_long_as_its_own() {
    let targets = top(&[target(10, true, Some("1200 mm"), "80 N")]);
    assert_eq!(on(&targets, Some(1.2)), Some(80.0));
    assert_eq!(on(&targets, Some(1.21)), Some(80.0), "alike to a hundredth");
    assert_eq!(on(&targets, Some(1.0)), None);
    assert_eq!(on(&targets, None), None, "a face not known may be another");
    assert!(targets.for_other_faces_only(Some(1.0)));
    assert!(targets.for_other_faces_only(None));
    assert!(faces_alike(1.2, 1.212) && !faces_alike(1.2, 1.2121));

    // One for every face judges the others; the one for this length goes before it.
    let every = target(11, true, None, "60 N");
    let of_face = target(10, true, Some("1200 mm"), "80 N");
    for targets in [[every.clone(), of_face.clone()], [of_face, every.clone()]] {
        let targets = top(&targets);
        assert_eq!(on(&targets, Some(1.2)), Some(80.0));
        assert_eq!(on(&targets, Some(1.0)), Some(60.0));
        assert_eq!(on(&targets, None), Some(60.0));
    }
    // The line's own for every face goes before the visit's for one.
    let of_visit = target(12, false, Some("1200 mm"), "90 N");
    assert_eq!(on(&top(&[of_visit, every]), Some(1.2)), Some(60.0));
}

#[test]
fn the_lists_and_the_record_agree() {
    let targets = [
        target(10, true, Some("1200 mm"), "80 N"),
        target(11, false, None, "60 N"),
        target(12, false, Some("1000 mm"), "90 N"),
        target(13, true, Some("1205 mm"), "85 N"),
    ];
    let of_zone = top(&targets);
    for face_m in [
        None,
        Some(0.8),
        Some(1.0),
        Some(1.2),
        Some(1.205),
        Some(1.5),
    ] {
        let of_record = target_for::<PullPlate>(&targets, line(), None, ZoneName::Top, face_m);
        assert_eq!(
            on(&of_zone, face_m),
            of_record.map(|(_, least)| least.force().n()),
            "{face_m:?}"
        );
    }
}

#[test]
fn a_zone_does_not_reach_a_target_that_says_nothing_of_some_faces() {
    let targets =
        targets_for::<PullPlate>(&[target(10, true, Some("1200 mm"), "80 N")], line(), None);
    let judge = |readings: &[(f64, Option<f64>)]| containment(&taken(readings), &targets);

    let alike = judge(&[(85.0, Some(1.2)), (90.0, Some(1.2))]);
    let zone = &alike.zones[0];
    assert_eq!(
        (zone.verdict, zone.on_other_faces),
        (ZoneVerdict::Reaches, 0)
    );

    // A reading of 60 N on a shorter face is not below a target that is not for it.
    let mixed = judge(&[(85.0, Some(1.2)), (60.0, Some(1.0)), (95.0, None)]);
    let zone = &mixed.zones[0];
    assert_eq!(
        (zone.verdict, zone.on_other_faces),
        (ZoneVerdict::NoTarget, 2)
    );
    assert!((zone.margin_n.unwrap() - 5.0).abs() < 1e-12);
    assert_ne!(mixed.verdict, Verdict::Reaches);

    let below = judge(&[(75.0, Some(1.2)), (95.0, Some(1.0))]);
    assert_eq!(below.zones[0].verdict, ZoneVerdict::Below);

    let elsewhere = judge(&[(60.0, Some(1.0))]);
    let zone = &elsewhere.zones[0];
    assert_eq!((zone.verdict, zone.margin_n), (ZoneVerdict::NoTarget, None));
    assert_eq!(zone.target, None, "none that judges anything here");
    assert_eq!(judge(&[]).zones[0].target, Some(newtons(80.0)));
}

#[test]
fn each_face_stands_against_its_own_target() {
    let targets = targets_for::<PullPlate>(
        &[
            target(10, true, Some("1200 mm"), "80 N"),
            target(11, true, Some("1000 mm"), "96 N"),
        ],
        line(),
        None,
    );
    // 90 N is enough on the long face, not on the short one.
    let result = containment(&taken(&[(90.0, Some(1.2)), (90.0, Some(1.0))]), &targets);
    let zone = &result.zones[0];
    assert_eq!(zone.verdict, ZoneVerdict::Below);
    assert_eq!(zone.target, Some(newtons(96.0)), "the one reached least");
    let margins: Vec<Option<f64>> = zone.faces.iter().map(|face| face.margin_n).collect();
    assert_eq!(margins, [Some(-6.0), Some(10.0)]);
}

#[test]
fn a_length_of_face_that_cannot_be_is_refused() {
    let mut wrong = target(10, true, Some("1200 mm"), "80 N").body;
    assert!(wrong.check().is_ok());
    wrong.face_length = Some("0 mm".parse().unwrap());
    assert!(
        wrong
            .check()
            .unwrap_err()
            .to_string()
            .contains("longer than zero")
    );
    wrong.face_length = Some("1200 mm".parse().unwrap());
    wrong.minimum = TargetForce::new(MethodId::TorsionTool, "80 N".parse().unwrap());
    assert!(
        wrong
            .check()
            .unwrap_err()
            .to_string()
            .contains("torsion tool")
    );
    // One that came so from elsewhere judges every face, as the torsion tool does not ask.
    let from_elsewhere = [record(10, wrong)];
    let [top, ..] = targets_for::<TorsionTool>(&from_elsewhere, line(), None);
    assert!(top.for_face(None).is_some());
}

#[test]
fn the_higher_of_two_is_taken_face_by_face() {
    let a = top(&[
        target(10, true, Some("1200 mm"), "80 N"),
        target(11, true, None, "60 N"),
    ]);
    let b = top(&[target(12, true, None, "70 N")]);
    for both in [a.highest(&b), b.highest(&a)] {
        assert_eq!(on(&both, Some(1.2)), Some(80.0));
        assert_eq!(on(&both, Some(1.0)), Some(70.0));
    }
    let none = ZoneTargets::default();
    assert_eq!(a.highest(&none), a);
    assert_eq!(none.highest(&a), a);
}
