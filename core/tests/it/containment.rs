//! Containment by zone: summaries, targets, verdicts, doubts, and that the two methods never meet.

use proptest::prelude::*;
use tautbook_core::analysis::containment::{
    ContainmentResult, Doubt, FAR, Taken, Verdict, ZoneName, ZoneTargets, ZoneVerdict, containment,
    doubt, taken, targets_for,
};
use tautbook_core::survey::{
    Face, Id, Line, Load, Measure, PullReading, Reading, Record, SetAside, Stability, Target,
    TargetForce, TargetOrigin, Zone,
};
use tautbook_core::units::{Containment, Force, Method, MethodId, PullPlate, TorsionTool};
use uuid::Uuid;

use crate::common::{at, record};

const LINE: Id<Line> = Id::from_uuid(Uuid::from_u128(7));
const OTHER_LINE: Id<Line> = Id::from_uuid(Uuid::from_u128(8));

fn aside<T>(mut record: Record<T>) -> Record<T> {
    record.set_aside = Some(SetAside {
        at: at(),
        reason: "film tore".to_owned(),
    });
    record
}

fn load() -> Load {
    Load::new(Id::from_uuid(Uuid::from_u128(2)), "Load 1")
}

fn reading(zone: Zone, method: MethodId, value: &str) -> Reading {
    Reading {
        load: Id::from_uuid(Uuid::from_u128(3)),
        tool: None,
        zone,
        face: None,
        measure: Measure::new(method, value.parse().unwrap()),
        order: 1,
        taken_at: at(),
        who: String::new(),
        zeroed_at: None,
        minutes_since_wrapping: None,
        film_temperature_celsius: None,
        notes: String::new(),
    }
}

fn newtons<M: Method>(n: f64) -> Containment<M> {
    Containment::new(Force::from_n(n).unwrap())
}

/// Readings in newtons by the torsion tool: top, middle, bottom.
fn read(zones: [&[f64]; 3]) -> Vec<Taken<TorsionTool>> {
    let mut taken = Vec::new();
    for (zone, values) in ZoneName::ALL.into_iter().zip(zones) {
        for &n in values {
            taken.push(Taken {
                load: Id::from_uuid(Uuid::from_u128(2)),
                zone,
                value: newtons(n),
                face_length_m: None,
            });
        }
    }
    taken
}

fn judge(zones: [&[f64]; 3], targets: [Option<f64>; 3]) -> ContainmentResult<TorsionTool> {
    containment(
        &read(zones),
        &ZoneTargets::on_every_face(targets.map(|target| target.map(newtons))),
    )
}

fn near(a: f64, b: f64, tolerance: f64) {
    assert!((a - b).abs() <= tolerance, "{a} is not {b}");
}

#[test]
fn a_zone_is_summed_up() {
    // Computed with scipy.stats (describe, t.interval) for {14.2, 13.1, 15.0} and
    // {14.2, 13.1, 15.0, 13.8, 14.6}.
    let result = judge(
        [&[14.2, 13.1, 15.0], &[14.2, 13.1, 15.0, 13.8, 14.6], &[9.0]],
        [None; 3],
    );
    let [top, middle, bottom] = &result.zones;
    let summary = top.summary.unwrap();
    assert_eq!((summary.n, summary.min, summary.max), (3, 13.1, 15.0));
    near(summary.mean, 14.1, 1e-12);
    near(summary.sd.unwrap(), 0.953_939_20, 5e-9);
    let interval = top.interval.unwrap();
    near(interval.half_width(), 2.369_716_34, 5e-9);
    near(interval.low, 14.1 - 2.369_716_34, 5e-9);
    near(interval.high, 14.1 + 2.369_716_34, 5e-9);
    assert!(!interval.resolution_limited);
    near(top.lowest.unwrap().force().n(), 13.1, 0.0);

    let summary = middle.summary.unwrap();
    near(summary.mean, 14.14, 1e-12);
    near(summary.sd.unwrap(), 0.733_485, 5e-7);

    assert_eq!(bottom.summary.unwrap().n, 1);
    assert_eq!(bottom.summary.unwrap().sd, None, "unknown, not zero");
    assert_eq!(bottom.interval, None, "one reading says nothing of spread");
}

#[test]
fn readings_all_alike_have_the_spread_of_the_scale() {
    let result = judge([&[55.0; 4], &[], &[]], [None; 3]);
    let interval = result.zones[0].interval.unwrap();
    assert!(interval.resolution_limited);
    // One ounce-force, 0.278013850953781 N, over the root of 12 (JCGM 100:2008, F.2.2.1), times
    // t(0.975; 3) = 3.182446 (NIST/SEMATECH e-Handbook 1.3.6.7.2: 3.182), over the root of 4.
    let ounce = 0.278_013_850_953_781_2;
    near(
        interval.half_width(),
        3.182_446_3 * ounce / 12.0_f64.sqrt() / 2.0,
        1e-6,
    );
    assert!(result.zones[0].outlier.is_none());
}

#[test]
fn a_zone_reaches_its_target_when_its_lowest_reading_does() {
    use ZoneVerdict::{Below, NoTarget, NotMeasured, Reaches};
    let target = Some(50.0);
    for (values, target, verdict, margin) in [
        (&[][..], None, NotMeasured, None),
        (&[][..], target, NotMeasured, None),
        (&[60.0, 70.0][..], None, NoTarget, None),
        (&[50.0, 70.0][..], target, Reaches, Some(0.0)),
        (&[52.5, 70.0][..], target, Reaches, Some(2.5)),
        (&[49.5, 70.0, 90.0][..], target, Below, Some(-0.5)),
    ] {
        let result = judge([values, &[], &[]], [target, None, None]);
        let top = &result.zones[0];
        assert_eq!(top.verdict, verdict, "{values:?}");
        assert_eq!(top.margin_n, margin, "{values:?}");
        assert_eq!(
            top.target.map(|target| target.force().n()),
            target,
            "shown even when nothing was read"
        );
    }
}

#[test]
fn a_load_is_as_strong_as_its_weakest_zone() {
    let target = Some(50.0);
    let all = [target; 3];
    let high: &[f64] = &[60.0];
    let low: &[f64] = &[40.0];
    let none: &[f64] = &[];
    for (zones, targets, verdict, weakest) in [
        ([none; 3], all, Verdict::NotMeasured, None),
        ([none; 3], [None; 3], Verdict::NotMeasured, None),
        ([high; 3], all, Verdict::Reaches, Some(ZoneName::Top)),
        (
            [high, low, high],
            all,
            Verdict::Below,
            Some(ZoneName::Middle),
        ),
        (
            [none, none, low],
            all,
            Verdict::Below,
            Some(ZoneName::Bottom),
        ),
        (
            [high, none, high],
            all,
            Verdict::Incomplete,
            Some(ZoneName::Top),
        ),
        (
            [high, high, high],
            [target, target, None],
            Verdict::Incomplete,
            Some(ZoneName::Top),
        ),
        (
            [high, &[55.0], low],
            [None; 3],
            Verdict::NoTarget,
            Some(ZoneName::Bottom),
        ),
        // Targets stand where nothing was read.
        (
            [none, high, none],
            [target, None, target],
            Verdict::NoTarget,
            Some(ZoneName::Middle),
        ),
        // The margin counts, not the force: 60 over 50 is nearer than 55 over 30.
        (
            [high, &[55.0], high],
            [Some(50.0), Some(30.0), None],
            Verdict::Incomplete,
            Some(ZoneName::Top),
        ),
    ] {
        let result = judge(zones, targets);
        assert_eq!(result.verdict, verdict, "{zones:?} {targets:?}");
        assert_eq!(result.weakest, weakest, "{zones:?} {targets:?}");
    }
}

#[test]
fn a_far_reading_is_marked_and_stays() {
    let values = [50.0, 51.0, 49.5, 50.5, 50.2, 49.8, 50.1, 20.0];
    let result = judge([&values, &[50.0, 51.0, 50.2, 49.9], &[]], [Some(45.0); 3]);
    let [top, middle, _] = &result.zones;
    let outlier = top.outlier.unwrap();
    assert_eq!(outlier.index, 7);
    assert!(outlier.reliable, "eight readings");
    assert_eq!(top.summary.unwrap().n, 8, "not dropped");
    near(top.lowest.unwrap().force().n(), 20.0, 0.0);
    assert_eq!(top.verdict, ZoneVerdict::Below);
    assert_eq!(middle.outlier, None);
}

#[test]
fn the_same_force_in_other_units_reaches_the_target() {
    let line = Id::from_uuid(Uuid::from_u128(7));
    for tenths in 1..4_000_u32 {
        // A tenth of an ounce is 0.00625 lb.
        let (pounds, rest) = (tenths / 160, tenths % 160);
        let ways = [
            format!("{pounds} lb {}.{} oz", rest / 10, rest % 10),
            format!("{}.{} oz", tenths / 10, tenths % 10),
            format!("{pounds}.{:05} lb", rest * 625),
        ];
        for value in &ways {
            for least in &ways {
                let readings = [record(1, reading(Zone::Top, MethodId::TorsionTool, value))];
                let targets = [record(2, target(Zone::Top, MethodId::TorsionTool, least))];
                let result = containment(
                    &taken::<TorsionTool>(&load(), &readings),
                    &targets_for::<TorsionTool>(&targets, line, None),
                );
                assert_eq!(
                    result.zones[0].verdict,
                    ZoneVerdict::Reaches,
                    "{value} against {least}: {:?}",
                    result.zones[0].margin_n
                );
            }
        }
    }
}

fn target(zone: Zone, method: MethodId, least: &str) -> Target {
    Target {
        visit: Id::from_uuid(Uuid::from_u128(9)),
        line: None,
        zone,
        stability: None,
        face_length: None,
        minimum: TargetForce::new(method, least.parse().unwrap()),
        origin: TargetOrigin::CustomerStandard {
            reference: String::new(),
        },
    }
}

fn class(
    id: u128,
    line: Option<Id<Line>>,
    stability: Option<Stability>,
    least: &str,
) -> Record<Target> {
    let mut target = target(Zone::Middle, MethodId::TorsionTool, least);
    target.line = line;
    target.stability = stability;
    record(id, target)
}

#[test]
fn the_target_of_the_narrowest_class_counts() {
    let unsteady = Some(Stability::Unsteady);
    // Made in an order that must not matter: the widest class last.
    let line_and_class = class(10, Some(LINE), unsteady, "40 N");
    let line = class(11, Some(LINE), None, "30 N");
    let class_alone = class(12, None, unsteady, "20 N");
    let visit = class(13, None, None, "10 N");
    let middle = |targets: &[Record<Target>], stability| {
        let [top, middle, bottom] =
            targets_for::<TorsionTool>(targets, LINE, stability).map(|zone| zone.for_face(None));
        assert_eq!((top, bottom), (None, None));
        middle.map(|least| least.force().n())
    };
    let mut all = vec![line_and_class, line, class_alone, visit];
    for stability in [unsteady, Some(Stability::Steady), None] {
        let narrow = stability == unsteady;
        let mut left = all.clone();
        let expected: &[f64] = if narrow {
            &[40.0, 30.0, 20.0, 10.0]
        } else {
            &[30.0, 10.0]
        };
        for least in expected {
            assert_eq!(middle(&left, stability), Some(*least), "{stability:?}");
            left.retain(|target| target.minimum.entered() != format!("{least} N"));
        }
        assert_eq!(middle(&left, stability), None);
    }
    all.reverse();
    assert_eq!(middle(&all, unsteady), Some(40.0), "whatever the order");
}

#[test]
fn a_target_that_is_not_for_this_load_is_left_alone() {
    let least = |targets: &[Record<Target>]| {
        targets_for::<TorsionTool>(targets, LINE, None)
            .map(|zone| zone.for_face(None).map(|least| least.force().n()))
    };
    let earlier = class(20, None, None, "10 N");
    let later = class(21, None, None, "12 N");
    assert_eq!(
        least(&[later.clone(), earlier.clone()]),
        [None, Some(12.0), None],
        "the later of two alike"
    );
    assert_eq!(
        least(&[earlier.clone(), aside(later)]),
        [None, Some(10.0), None],
        "one set aside is none"
    );
    let other_line = class(22, Some(OTHER_LINE), None, "99 N");
    assert_eq!(
        least(&[earlier.clone(), other_line]),
        [None, Some(10.0), None]
    );
    let pull = record(23, target(Zone::Middle, MethodId::PullPlate, "80 N"));
    let [_, middle, _] = targets_for::<PullPlate>(&[earlier.clone(), pull.clone()], LINE, None);
    assert_eq!(
        middle,
        Some(newtons(80.0)).into(),
        "each method has its own"
    );
    assert_eq!(least(&[earlier, pull]), [None, Some(10.0), None]);
    let at_height = record(
        24,
        target(
            Zone::Height("40 in".parse().unwrap()),
            MethodId::TorsionTool,
            "5 N",
        ),
    );
    assert_eq!(
        least(&[at_height]),
        [None; 3],
        "a height is none of the three"
    );
}

#[test]
fn readings_take_part_by_method_zone_and_use() {
    let mut load = load();
    load.length = Some("48 in".parse().unwrap());
    load.width = Some("40 in".parse().unwrap());
    let on = |face, method, value| {
        let mut reading = reading(Zone::Top, method, value);
        reading.face = Some(face);
        reading
    };
    let mut written = on(Face::Front, MethodId::PullPlate, "61 N");
    let mut pull = PullReading::new("61 N".parse().unwrap());
    pull.face_length = Some("1 m".parse().unwrap());
    written.measure = Measure::PullPlate(pull);
    let readings = [
        record(1, on(Face::Front, MethodId::TorsionTool, "50 N")),
        record(2, on(Face::Right, MethodId::PullPlate, "60 N")),
        record(3, written),
        record(4, reading(Zone::Top, MethodId::PullPlate, "62 N")),
        aside(record(5, reading(Zone::Top, MethodId::TorsionTool, "1 N"))),
        record(
            6,
            reading(
                Zone::Height("30 in".parse().unwrap()),
                MethodId::TorsionTool,
                "2 N",
            ),
        ),
    ];
    let torsion = taken::<TorsionTool>(&load, &readings);
    assert_eq!(torsion.len(), 1);
    assert_eq!(torsion[0].value, newtons(50.0));
    near(torsion[0].face_length_m.unwrap(), 1.2192, 1e-12);
    let pull = taken::<PullPlate>(&load, &readings);
    let lengths: Vec<_> = pull.iter().map(|taken| taken.face_length_m).collect();
    assert_eq!(lengths[1..], [Some(1.0), None], "as written; not known");
    near(lengths[0].unwrap(), 1.016, 1e-12);
}

#[test]
fn faces_of_unlike_length_are_said() {
    let zone = |lengths: &[Option<f64>]| {
        let readings: Vec<Taken<PullPlate>> = lengths
            .iter()
            .map(|&face_length_m| Taken {
                load: Id::from_uuid(Uuid::from_u128(2)),
                zone: ZoneName::Top,
                value: newtons(50.0),
                face_length_m,
            })
            .collect();
        containment(&readings, &Default::default()).zones[0].unlike_faces
    };
    assert!(!zone(&[]));
    assert!(!zone(&[Some(1.2)]));
    assert!(!zone(&[Some(1.2), None, Some(1.2)]));
    assert!(!zone(&[Some(1.2), Some(1.21)]), "within a hundredth");
    assert!(zone(&[Some(1.2), Some(1.0), Some(1.2)]));
}

#[test]
fn a_value_is_doubted_for_a_reason() {
    let value = newtons::<TorsionTool>;
    let force = |n| Force::from_n(n).unwrap();
    let others = [value(40.0), value(60.0), value(41.0), value(59.0)];
    let middle = force(50.0);
    for (n, others, range, expected) in [
        (50.0, &[][..], None, None),
        (50.0, &others[..], Some(force(100.0)), None),
        (0.0, &others[..], None, Some(Doubt::Zero)),
        (
            100.5,
            &others[..],
            Some(force(100.0)),
            Some(Doubt::OverToolRange {
                range: force(100.0),
            }),
        ),
        (100.0, &[][..], Some(force(100.0)), None),
        (400.0, &[][..], None, None),
        (400.5, &[][..], None, Some(Doubt::OverHandForce)),
        (450.0, &[][..], Some(force(500.0)), None),
        (499.0, &others[..], Some(force(999.0)), None),
        (
            500.0,
            &others[..],
            Some(force(999.0)),
            Some(Doubt::FarAbove { others: middle }),
        ),
        (5.1, &others[..], None, None),
        (
            5.0,
            &others[..],
            None,
            Some(Doubt::FarBelow { others: middle }),
        ),
        (
            4.0,
            &others[..1],
            None,
            Some(Doubt::FarBelow {
                others: force(40.0),
            }),
        ),
    ] {
        assert_eq!(doubt(value(n), others, FAR, range), expected, "{n} N");
    }
}

#[test]
fn a_slip_of_the_decimal_point_is_doubted_in_any_unit() {
    for tenths in 1..2_000 {
        let whole = record(
            1,
            reading(Zone::Top, MethodId::TorsionTool, &format!("{tenths} lb")),
        );
        let tenth = record(
            2,
            reading(
                Zone::Top,
                MethodId::TorsionTool,
                &format!("{}.{} lb", tenths / 10, tenths % 10),
            ),
        );
        let of = |record: &Record<Reading>| record.measure.containment::<TorsionTool>().unwrap();
        let range = Some(Force::from_lbf(9_999.0).unwrap());
        assert!(
            matches!(
                doubt(of(&tenth), &[of(&whole)], FAR, range),
                Some(Doubt::FarBelow { .. })
            ),
            "a tenth of {tenths} lb"
        );
        assert!(
            matches!(
                doubt(of(&whole), &[of(&tenth)], FAR, range),
                Some(Doubt::FarAbove { .. })
            ),
            "{tenths} lb beside a tenth of it"
        );
    }
}

fn any_reading() -> impl Strategy<Value = Reading> {
    (
        0..4_usize,
        0..2_usize,
        1..3_000_u32,
        prop::option::of(0..4_usize),
    )
        .prop_map(|(zone, method, tenths, face)| {
            let zone = match zone {
                0 => Zone::Top,
                1 => Zone::Middle,
                2 => Zone::Bottom,
                _ => Zone::Height("40 in".parse().unwrap()),
            };
            let value = format!("{}.{} N", tenths / 10, tenths % 10);
            let mut reading = reading(zone, MethodId::ALL[method], &value);
            reading.face =
                face.map(|face| [Face::Front, Face::Right, Face::Back, Face::Left][face]);
            reading
        })
}

fn records(readings: &[Reading]) -> Vec<Record<Reading>> {
    readings
        .iter()
        .zip(1_u128..)
        .map(|(reading, id)| record(id, reading.clone()))
        .collect()
}

fn alike<M: Method>(one: &ContainmentResult<M>, other: &ContainmentResult<M>) -> bool {
    let close = |a: Option<f64>, b: Option<f64>| match (a, b) {
        (Some(a), Some(b)) => (a - b).abs() <= 1e-9 * (1.0 + a.abs()),
        (a, b) => a.is_none() && b.is_none(),
    };
    one.verdict == other.verdict
        && one.weakest == other.weakest
        && one.zones.iter().zip(&other.zones).all(|(a, b)| {
            a.verdict == b.verdict
                && a.lowest == b.lowest
                && a.margin_n == b.margin_n
                && a.unlike_faces == b.unlike_faces
                && a.outlier.is_some() == b.outlier.is_some()
                && a.summary.map(|sum| sum.n) == b.summary.map(|sum| sum.n)
                && close(a.summary.map(|sum| sum.mean), b.summary.map(|sum| sum.mean))
                && close(
                    a.summary.and_then(|sum| sum.sd),
                    b.summary.and_then(|sum| sum.sd),
                )
                && close(
                    a.interval.map(|of| of.half_width()),
                    b.interval.map(|of| of.half_width()),
                )
        })
}

fn results(readings: &[Reading]) -> (ContainmentResult<TorsionTool>, ContainmentResult<PullPlate>) {
    let records = records(readings);
    let mut load = load();
    load.length = Some("48 in".parse().unwrap());
    load.width = Some("40 in".parse().unwrap());
    (
        containment(
            &taken(&load, &records),
            &ZoneTargets::on_every_face([Some(newtons(100.0)), Some(newtons(120.0)), None]),
        ),
        containment(
            &taken(&load, &records),
            &ZoneTargets::on_every_face([None, Some(newtons(90.0)), Some(newtons(90.0))]),
        ),
    )
}

proptest! {
    #[test]
    fn the_order_of_readings_changes_nothing(
        (readings, shuffled) in prop::collection::vec(any_reading(), 0..24)
            .prop_flat_map(|all| (Just(all.clone()), Just(all).prop_shuffle())),
    ) {
        let (torsion, pull) = results(&readings);
        let (torsion_again, pull_again) = results(&shuffled);
        prop_assert!(alike(&torsion, &torsion_again), "{torsion:?} {torsion_again:?}");
        prop_assert!(alike(&pull, &pull_again), "{pull:?} {pull_again:?}");
    }

    #[test]
    fn a_reading_of_the_other_method_changes_nothing(
        readings in prop::collection::vec(any_reading(), 0..16),
        more in any_reading(),
        at in any::<prop::sample::Index>(),
    ) {
        let (torsion, pull) = results(&readings);
        let mut with_more = readings.clone();
        with_more.insert(at.index(readings.len() + 1), more.clone());
        let (torsion_after, pull_after) = results(&with_more);
        match more.measure.method() {
            MethodId::TorsionTool => prop_assert_eq!(pull, pull_after),
            MethodId::PullPlate => prop_assert_eq!(torsion, torsion_after),
        }
    }
}
