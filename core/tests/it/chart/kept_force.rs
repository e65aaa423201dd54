//! The force a load keeps.

use proptest::prelude::*;
use tautbook_core::chart::{
    Axis, Frame, KeptForce, KeptPoint, KeptSeries, Mark, Role, Shape, kept_force,
};

use super::{axis, force, frame, look_over, word, words};

proptest! {
    #![proptest_config(ProptestConfig::with_cases(300))]

    #[test]
    fn the_force_kept_holds_its_words(
        frame in frame(),
        loads in prop::collection::vec(
            (word(), hours(), prop::collection::vec((hours(), force(), force(), word()), 0..4)),
            0..6),
        titles in [word(), word()],
        words in [word(), word()],
        unit in word(),
    ) {
        let loads: Vec<KeptSeries> = loads
            .into_iter()
            .map(|(name, first_hours, later)| KeptSeries {
                name,
                first_hours,
                later: later
                    .into_iter()
                    .map(|(hours, share, half, text)| KeptPoint {
                        hours,
                        share: share / 100.0,
                        interval: (half > 1.0).then_some((
                            (share - half) / 100.0,
                            (share + half) / 100.0,
                        )),
                        text,
                    })
                    .collect(),
            })
            .collect();
        let longest = loads
            .iter()
            .flat_map(|load| &load.later)
            .map(|point| point.hours)
            .fold(0.0, f64::max);
        let shares: Vec<f64> = loads
            .iter()
            .flat_map(|load| &load.later)
            .map(|point| point.share)
            .chain([1.0])
            .collect();
        let shown = KeptForce {
            loads,
            hours: Axis::days(longest, "h", |hours| format!("{hours}")),
            share: axis(&shares, true, &unit),
            titles, words,
            spoken: "Said.".to_owned(),
        };
        look_over(&kept_force(&shown, frame))?;
    }
}

fn hours() -> impl Strategy<Value = f64> {
    prop_oneof![10 => 0.0..200.0_f64, 1 => Just(f64::NAN), 1 => -5.0..1e7_f64]
}

/// Dots of the force kept stand in the order of their hours and, upwards, of their shares, each
/// load's with its own shape, and the whiskers reach over the interval that was given.
#[test]
fn the_force_kept_follows_its_numbers() {
    let point = |hours, share, half| KeptPoint {
        hours,
        share,
        interval: Some((share - half, share + half)),
        text: format!("{:.0} %", share * 100.0),
    };
    let load = |name: &str, later| KeptSeries {
        name: name.to_owned(),
        first_hours: 0.5,
        later,
    };
    let shown = KeptForce {
        loads: vec![
            load(
                "Load 1",
                vec![point(24.0, 0.9, 0.03), point(72.0, 0.8, 0.05)],
            ),
            load("Load 2", vec![point(26.0, 0.85, 0.02)]),
        ],
        hours: Axis::days(72.0, "h", |hours| format!("{hours}")),
        share: Axis::over([0.0, 1.0], true, (100.0, "%"), 4, |n| format!("{n:.0}")),
        titles: Default::default(),
        words: ["As first read".to_owned(), "95 %".to_owned()],
        spoken: String::new(),
    };
    for width in [288.0, 400.0] {
        let scene = kept_force(&shown, Frame::new(width, 16.0));
        let dots: Vec<((f64, f64), Shape)> = scene
            .marks
            .iter()
            .filter_map(|mark| match mark {
                Mark::Dot { at, shape, .. } => Some((*at, *shape)),
                _ => None,
            })
            .collect();
        let of = |shape| -> Vec<(f64, f64)> {
            dots.iter()
                .filter(|dot| dot.1 == shape)
                .map(|dot| dot.0)
                .collect()
        };
        // The last of each shape is the sample of the key.
        let (one, two) = (of(Shape::Circle), of(Shape::Square));
        assert_eq!((one.len(), two.len()), (4, 3));
        assert!(one[0].0 < one[1].0 && one[1].0 < one[2].0, "{one:?}");
        assert!(one[0].1 < one[1].1 && one[1].1 < one[2].1, "{one:?}");
        assert!(
            (one[0].1 - two[0].1).abs() < 1e-9,
            "both begin with all of it"
        );
        assert!(two[1].1 > one[1].1 && two[1].1 < one[2].1);
        // 24 h to 72 h is twice 0 to 24 h, and the interval is ten of a hundred parts high.
        let day = (one[2].0 - one[1].0) / 48.0;
        assert!((one[1].0 - one[0].0 - 23.5 * day).abs() < 1e-6);
        let part = (one[2].1 - one[0].1) / 20.0;
        let whiskers: Vec<f64> = scene
            .marks
            .iter()
            .filter_map(|mark| match mark {
                Mark::Line {
                    points,
                    role: Role::Ink,
                    dashed: false,
                    ..
                } if points.len() == 2
                    && points[0].0.to_bits() == points[1].0.to_bits()
                    && (points[0].0 - one[2].0).abs() < 1e-9 =>
                {
                    Some((points[0].1 - points[1].1).abs())
                }
                _ => None,
            })
            .collect();
        assert_eq!(whiskers.len(), 1);
        assert!(
            (whiskers[0] - 10.0 * part).abs() < 1e-6,
            "{whiskers:?} {part}"
        );
        // Alone, a load has room for its shares.
        let alone = KeptForce {
            loads: shown.loads[..1].to_vec(),
            ..shown.clone()
        };
        let scene = kept_force(&alone, Frame::new(width, 16.0));
        for text in ["90 %", "80 %"] {
            let written = words(&scene).iter().any(|word| word.4 == text);
            assert!(written, "{text} at {width}");
        }
    }
}
