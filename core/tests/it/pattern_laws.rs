//! The wrap pattern against brute force, and the laws it must obey.

use proptest::prelude::*;
use tautbook_core::analysis::pattern::{Course, Pattern, Programme, Segment, Wrapped};
use tautbook_core::units::Length;

fn m(metres: f64) -> Length {
    Length::from_m(metres).unwrap()
}

/// Height of the film's lower edge at turn n, walked through segment by segment; `None` after the
/// end. Written apart from the code under test.
fn edge(segments: &[Segment], n: f64) -> Option<f64> {
    let mut left = n;
    for segment in segments {
        match *segment {
            Segment::Band { at_m, turns } => {
                if left < turns {
                    return Some(at_m);
                }
                left -= turns;
            }
            Segment::Helix {
                from_m,
                to_m,
                pitch_m,
            } => {
                let (climb, turns) = (to_m - from_m, (to_m - from_m).abs() / pitch_m);
                if left < turns {
                    return Some(from_m + climb * left / turns);
                }
                left -= turns;
            }
        }
    }
    None
}

fn segments() -> impl Strategy<Value = Vec<Segment>> {
    let band = (0.0..2.0, 0.0..4.0).prop_map(|(at_m, turns)| Segment::Band { at_m, turns });
    let helix =
        (0.0..2.0, 0.0..2.0, 0.05..1.0).prop_map(|(from_m, to_m, pitch_m)| Segment::Helix {
            from_m,
            to_m,
            pitch_m,
        });
    prop::collection::vec(prop_oneof![band, helix], 1..5)
}

fn load_of(height: f64) -> Wrapped {
    Wrapped {
        length: m(1.2),
        width: m(0.8),
        height: m(height),
    }
}

/// A programme that a wrapper may be set to, and one that it may not.
fn programme() -> impl Strategy<Value = (Programme, Wrapped, Length)> {
    let pitch = || prop::option::of((0.02..0.9).prop_map(m));
    (
        (0.0..6.0, 0.0..6.0, pitch(), pitch()),
        (0.0..0.4, 0.0..0.3),
        (0.1..2.0, 0.1..2.0, 0.05..2.5),
        0.02..1.2,
    )
        .prop_map(|(set, (start, over_top), (length, width, height), film)| {
            let programme = Programme {
                bottom_turns: set.0,
                top_turns: set.1,
                pitch_up: set.2,
                pitch_down: set.3,
                start: m(start),
                over_top: m(over_top),
            };
            let load = Wrapped {
                length: m(length),
                width: m(width),
                height: m(height),
            };
            (programme, load, m(film))
        })
}

/// Any number a file may hold.
fn any_number() -> impl Strategy<Value = f64> {
    prop_oneof![
        4 => -1.0..10.0_f64,
        1 => prop::num::f64::ANY,
        1 => prop::sample::select(vec![0.0, -0.0, f64::NAN, f64::INFINITY, f64::MAX, 5e-324, 1e-9, 100.0]),
    ]
}

/// The nearest length to it.
fn any_length() -> impl Strategy<Value = Length> {
    any_number().prop_map(|x| Length::from_m(x).unwrap_or(Length::ZERO))
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]

    /// Layers by stepping through the turns in fine steps and counting, against the exact ones.
    #[test]
    fn layers_agree_with_counting(segments in segments(), width in 0.05..0.8, z in -0.1..3.0) {
        let Ok(pattern) = Pattern::from_segments(segments.clone(), &load_of(1.5), m(width)) else {
            return Ok(());
        };
        let step = 1.0 / 4_096.0;
        let (mut n, mut inside, mut runs, mut before) = (0.5 * step, 0.0, 0.0, false);
        while let Some(y) = edge(&segments, n) {
            let covers = y <= z && z < y + width;
            if covers {
                inside += step;
            }
            if covers != before {
                runs += 1.0;
            }
            before = covers;
            n += step;
        }
        // Each time the film comes to cover the height or leaves it the count is off by up to a
        // step; a run may also start and end within a step at each joint.
        let bound = (runs + 2.0 * 5.0) * step;
        let exact = pattern.layers_at(z);
        prop_assert!((exact - inside).abs() <= bound, "{exact} is not {inside}");
    }

    /// Fewest and most whole layers by looking at many angles.
    #[test]
    fn whole_layers_agree_with_looking_all_round(
        segments in segments(), width in 0.05..0.8, z in -0.1..3.0,
    ) {
        let Ok(pattern) = Pattern::from_segments(segments.clone(), &load_of(1.5), m(width)) else {
            return Ok(());
        };
        let angles = 2_000_u32;
        let (mut fewest, mut most, mut sum) = (u32::MAX, 0, 0.0);
        for look in 0..angles {
            let mut n = (f64::from(look) + 0.5) / f64::from(angles);
            let mut count = 0_u32;
            while let Some(y) = edge(&segments, n) {
                count += u32::from(y <= z && z < y + width);
                n += 1.0;
            }
            fewest = fewest.min(count);
            most = most.max(count);
            sum += f64::from(count);
        }
        let exact = pattern.range_at(z);
        // Arcs narrower than a look may be missed by looking, never by the exact count.
        prop_assert!(exact.0 <= fewest && exact.1 >= most, "{exact:?} {fewest} {most}");
        let mean = sum / f64::from(angles);
        prop_assert!((pattern.layers_at(z) - mean).abs() <= 20.0 / f64::from(angles));
        prop_assert!(f64::from(exact.0) <= pattern.layers_at(z) + 1e-6);
        prop_assert!(f64::from(exact.1) >= pattern.layers_at(z) - 1e-6);
    }

    /// No layer between fewest and most is thought up: each is found at some angle, looking finely
    /// enough to see every arc there is.
    #[test]
    fn fewest_and_most_are_really_there(
        (programme, load, film) in programme(), part in 0.0..1.0,
    ) {
        let Ok(pattern) = Pattern::new(&programme, &load, film) else { return Ok(()); };
        let z = part * (load.height.m() + 0.3);
        let segments = pattern.segments();
        // Every angle at which a run of covering turns starts or ends, found by bisection on the
        // walked film; then one look between each two.
        let covers = |n: f64| edge(segments, n).is_some_and(|y| y <= z && z < y + film.m());
        let step = 1.0 / 512.0;
        let mut cuts = vec![0.0, 1.0];
        let mut n = 0.0;
        while n <= pattern.turns() + 1.0 {
            if covers(n) != covers(n + step) {
                let (mut low, mut high) = (n, n + step);
                for _ in 0..60 {
                    let middle = f64::midpoint(low, high);
                    if covers(middle) == covers(n) { low = middle } else { high = middle }
                }
                cuts.push(low.rem_euclid(1.0));
            }
            n += step;
        }
        cuts.sort_by(f64::total_cmp);
        let (mut fewest, mut most) = (u32::MAX, 0);
        for gap in cuts.windows(2) {
            if gap[1] - gap[0] < 1e-8 { continue; }
            let angle = f64::midpoint(gap[0], gap[1]);
            let count = (0_u32..)
                .take_while(|k| edge(segments, angle + f64::from(*k)).is_some())
                .filter(|k| covers(angle + f64::from(*k)))
                .count();
            let count = u32::try_from(count).unwrap();
            fewest = fewest.min(count);
            most = most.max(count);
        }
        let exact = pattern.range_at(z);
        // A run shorter than the step is not seen by stepping: then the exact count is wider.
        prop_assert!(exact.0 <= fewest && exact.1 >= most, "{exact:?} {fewest} {most}");
        prop_assert!(exact.0 + 1 >= fewest && exact.1 <= most + 1, "{exact:?} {fewest} {most}");
    }

    /// Bare stretches are those heights, and only those, at which the fewest layers are none.
    #[test]
    fn bare_is_where_the_fewest_are_none(
        (programme, load, film) in programme(), parts in prop::collection::vec(0.0..1.0_f64, 20),
    ) {
        let Ok(pattern) = Pattern::new(&programme, &load, film) else { return Ok(()); };
        let bare = pattern.bare();
        for pair in bare.windows(2) {
            prop_assert!(pair[0].to_m <= pair[1].from_m);
        }
        let ends: Vec<f64> = bare.iter().flat_map(|bare| [bare.from_m, bare.to_m]).collect();
        for part in parts {
            let z = part * load.height.m();
            if ends.iter().any(|end| (end - z).abs() < 1e-6) { continue; }
            let inside = bare.iter().any(|bare| bare.from_m <= z && z < bare.to_m);
            prop_assert_eq!(inside, pattern.range_at(z).0 == 0, "at {} of {:?}", z, bare);
        }
    }

    /// Film is neither made nor lost: the area under the layers is turns times film width.
    #[test]
    fn area_is_turns_times_width((programme, load, film) in programme()) {
        let Ok(pattern) = Pattern::new(&programme, &load, film) else { return Ok(()); };
        let expected = pattern.turns() * film.m();
        prop_assert!((pattern.area() - expected).abs() <= 1e-9 * expected);
        let cut = 0.4 * load.height.m();
        let parts = pattern.layers().area(-1.0, cut) + pattern.layers().area(cut, 100.0);
        prop_assert!((parts - expected).abs() <= 1e-9 * expected);
        let on_load = pattern.layers().area(-1.0, load.height.m());
        prop_assert!((on_load + pattern.area_over_top() - expected).abs() <= 1e-9 * expected);
    }

    /// The mean over a band is that of many heights in it.
    #[test]
    fn the_mean_is_that_of_many_heights(
        (programme, load, film) in programme(), low in -0.1..2.0, span in 0.01..0.5,
    ) {
        let Ok(pattern) = Pattern::new(&programme, &load, film) else { return Ok(()); };
        let looks = 4_000_u32;
        let sum: f64 = (0..looks)
            .map(|look| pattern.layers_at(low + span * (f64::from(look) + 0.5) / f64::from(looks)))
            .sum();
        let mean = pattern.mean_layers(low, low + span);
        let bound = 16.0 * pattern.layers().most() / f64::from(looks);
        prop_assert!((mean - sum / f64::from(looks)).abs() <= bound);
    }

    /// A course gives the same as the pattern of each programme.
    #[test]
    fn a_course_is_the_pattern_taken_apart(
        (programme, load, film) in programme(), low in 0.0..2.0, span in 0.0..0.5,
    ) {
        let Ok(pattern) = Pattern::new(&programme, &load, film) else { return Ok(()); };
        let course = Course::new(&programme, &load, film).unwrap();
        let pitches = [programme.pitch_up, programme.pitch_down].map(|pitch| pitch.map(Length::m));
        let (bottom, top) = (programme.bottom_turns, programme.top_turns);
        let mean = course.shares(low, low + span).layers(bottom, top, pitches);
        let same = |a: f64, b: f64| (a - b).abs() <= 1e-9 * (1.0 + b);
        prop_assert!(same(mean, pattern.mean_layers(low, low + span)));
        prop_assert!(same(course.turns(bottom, top, pitches), pattern.turns()));
        prop_assert!(same(course.path_m(bottom, top, pitches), pattern.path().m()));
    }

    /// Whatever is given, nothing panics and nothing that is not a number comes out.
    #[test]
    fn nothing_but_numbers_or_words_comes_out(
        turns in (any_number(), any_number()),
        pitches in (prop::option::of(any_length()), prop::option::of(any_length())),
        edges in (any_length(), any_length()),
        sides in (any_length(), any_length(), any_length()),
        film in any_length(),
        z in (any_number(), any_number()),
    ) {
        let programme = Programme {
            bottom_turns: turns.0,
            top_turns: turns.1,
            pitch_up: pitches.0,
            pitch_down: pitches.1,
            start: edges.0,
            over_top: edges.1,
        };
        let load = Wrapped { length: sides.0, width: sides.1, height: sides.2 };
        match Pattern::new(&programme, &load, film) {
            Ok(pattern) => {
                let out = [
                    pattern.turns(), pattern.path().m(), pattern.travel().m(), pattern.area(),
                    pattern.area_over_top(), pattern.layers_at(z.0), pattern.layers().most(),
                    pattern.mean_layers(z.0, z.1),
                ];
                prop_assert!(out.iter().all(|x| x.is_finite() && *x >= 0.0), "{out:?}");
                prop_assert!(pattern.path().m() > 0.0);
                let (fewest, most) = pattern.range_at(z.0);
                prop_assert!(fewest <= most);
                for bare in pattern.bare() {
                    prop_assert!(bare.from_m < bare.to_m && bare.to_m <= load.height.m());
                }
            }
            Err(error) => prop_assert!(!error.to_string().is_empty()),
        }
    }
}
