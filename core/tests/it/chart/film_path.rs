//! The way of the film, seen from above.

use proptest::prelude::*;
use tautbook_core::analysis::loading::{FilmSide, side_on_load};
use tautbook_core::chart::{FilmPath, Frame, Mark, Role, Scene, Sticky, film_path};
use tautbook_core::survey::Rotation;

use super::{frame, look_over, word};

fn rotation() -> impl Strategy<Value = Option<Rotation>> {
    prop::option::of(prop::sample::select(vec![
        Rotation::Clockwise,
        Rotation::Anticlockwise,
    ]))
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(300))]

    #[test]
    fn a_film_path_holds_its_words(
        frame in frame(),
        load in rotation(),
        roll in rotation(),
        reversals in prop::option::of(any::<u8>()),
        table in any::<bool>(),
        sticky in prop::option::of(prop::sample::select(
            vec![Sticky::Inside, Sticky::Outside, Sticky::Both])),
        words in [word(), word()],
        key in [word(), word()],
    ) {
        let shown = FilmPath {
            load, roll, reversals, table, sticky, words, key,
            spoken: "Said.".to_owned(),
        };
        look_over(&film_path(&shown, frame))?;
    }
}

/// The film's own line: the thickest of the accent.
fn film_line(scene: &Scene) -> Vec<(f64, f64)> {
    let lines: Vec<&Vec<(f64, f64)>> = scene
        .marks
        .iter()
        .filter_map(|mark| match mark {
            Mark::Line {
                points,
                thickness,
                role: Role::Accent,
                ..
            } if *thickness > 2.9 && points.len() > 3 => Some(points),
            _ => None,
        })
        .collect();
    assert_eq!(lines.len(), 1);
    lines[0].clone()
}

/// What a film path shows is what was asked: the film bends as often as it should, from the way
/// the roll turns to the way the load does, and its clinging side lies where the geometry of
/// loading puts it. Turning is read off the drawing by cross products, for which nothing of the
/// drawing's own is used.
#[test]
fn a_film_path_bends_and_clings_as_it_should() {
    let turns = [Rotation::Clockwise, Rotation::Anticlockwise];
    for width in [240.0, 296.0, 380.0, 700.0] {
        for load in turns {
            for roll in turns {
                for reversals in (0..=4_u8).filter(|n| (n % 2 == 0) == (load == roll)) {
                    for (sticky, side) in [
                        (Sticky::Inside, FilmSide::Inside),
                        (Sticky::Outside, FilmSide::Outside),
                    ] {
                        let shown = FilmPath {
                            load: Some(load),
                            roll: Some(roll),
                            reversals: Some(reversals),
                            sticky: Some(sticky),
                            ..FilmPath::default()
                        };
                        let scene = film_path(&shown, Frame::new(width, 16.0));
                        let said = format!("{width} {load:?} {roll:?} {reversals} {sticky:?}");
                        let film = film_line(&scene);
                        // The roll is the big ring at the right; where it lies off the first run.
                        let roll_at = ring_middle(&scene);
                        let cross = |a: (f64, f64), b: (f64, f64), c: (f64, f64)| {
                            (b.0 - a.0) * (c.1 - b.1) - (b.1 - a.1) * (c.0 - b.0)
                        };
                        // In a scene, where y grows downwards, a positive turn is with the clock.
                        let turned = |cross: f64| turns[usize::from(cross < 0.0)];
                        let mut bends = vec![turned(cross(film[0], film[1], roll_at))];
                        for three in film.windows(3) {
                            let bend = cross(three[0], three[1], three[2]);
                            if bend.abs() > 1e-6 {
                                bends.push(turned(bend));
                            }
                        }
                        assert_eq!(bends[0], roll, "{said}");
                        assert_eq!(*bends.last().unwrap(), load, "{said}");
                        let changes = bends.windows(2).filter(|two| two[0] != two[1]).count();
                        assert_eq!(changes, usize::from(reversals), "{said}");
                        // Strokes on the film that lies round the load point to it or away.
                        let corner = film[film.len() - 2];
                        let middle = {
                            let other = film[film.len() - 4];
                            (
                                f64::midpoint(corner.0, other.0),
                                f64::midpoint(corner.1, other.1),
                            )
                        };
                        let strokes = strokes(&scene, |foot| {
                            (foot.0 - middle.0).abs() < 43.0 && (foot.1 - middle.1).abs() < 43.0
                        });
                        assert!(strokes.len() > 12, "{said}");
                        let far =
                            |at: (f64, f64)| (at.0 - middle.0).abs().max((at.1 - middle.1).abs());
                        for (foot, tip) in strokes {
                            assert_eq!(
                                far(tip) < far(foot),
                                side_on_load(load, roll) == side,
                                "{said}"
                            );
                        }
                    }
                }
            }
        }
    }
}

fn ring_middle(scene: &Scene) -> (f64, f64) {
    scene
        .marks
        .iter()
        .find_map(|mark| match mark {
            Mark::Line {
                points,
                thickness,
                role: Role::Ink,
                ..
            } if *thickness > 2.4 && points.len() > 20 => {
                let half = points.len() / 2;
                Some((
                    f64::midpoint(points[0].0, points[half].0),
                    f64::midpoint(points[0].1, points[half].1),
                ))
            }
            _ => None,
        })
        .unwrap()
}

type Stroke = ((f64, f64), (f64, f64));

fn strokes(scene: &Scene, on_load: impl Fn((f64, f64)) -> bool) -> Vec<Stroke> {
    scene
        .marks
        .iter()
        .filter_map(|mark| match mark {
            Mark::Line {
                points,
                role: Role::Ink,
                ..
            } if points.len() == 2 && on_load(points[0]) => Some((points[0], points[1])),
            _ => None,
        })
        .collect()
}
