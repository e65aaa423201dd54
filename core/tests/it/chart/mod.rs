//! Charts: no text runs into other text or out of its scene, whatever the width of the screen, the
//! size of its text, the language's words and the numbers; nothing drawn is not a number.

mod film_path;
mod kept_force;

use proptest::prelude::*;
use tautbook_core::chart::{
    Anchor, Axis, Compare, CompareSeries, CompareZone, Frame, LINE, LoadSide, Mark, Role, Scene,
    Shape, SideLayers, SideReading, SideWords, SideZone, TradeKind, TradeOff, TradePoint, compare,
    load_side, trade_off,
};
use tautbook_core::survey::Face;

const REGULAR: &[u8] = include_bytes!("../../../../ui/fonts/TautbookSans-Regular.ttf");
const BOLD: &[u8] = include_bytes!("../../../../ui/fonts/TautbookSans-Bold.ttf");

/// Width of a text by the glyphs of the font file itself.
fn glyphs_wide(faces: &[ttf_parser::Face<'_>; 2], text: &str, size: f64, bold: bool) -> f64 {
    let face = &faces[usize::from(bold)];
    let units: u32 = text
        .chars()
        .map(|sign| {
            let glyph = face.glyph_index(sign).unwrap_or_default();
            u32::from(face.glyph_hor_advance(glyph).unwrap())
        })
        .sum();
    f64::from(units) / f64::from(face.units_per_em()) * size
}

type Boxed = (f64, f64, f64, f64, String);

pub(crate) fn words(scene: &Scene) -> Vec<Boxed> {
    let faces = [REGULAR, BOLD].map(|font| ttf_parser::Face::parse(font, 0).unwrap());
    let mut found = Vec::new();
    for mark in &scene.marks {
        if let Mark::Text {
            at,
            anchor,
            size,
            bold,
            text,
            ..
        } = mark
        {
            let wide = glyphs_wide(&faces, text, *size, *bold);
            let left = match anchor {
                Anchor::Start => at.0,
                Anchor::Middle => at.0 - wide / 2.0,
                Anchor::End => at.0 - wide,
            };
            let half = size * LINE / 2.0;
            found.push((left, at.1 - half, left + wide, at.1 + half, text.clone()));
        }
    }
    found
}

fn points(mark: &Mark) -> Vec<(f64, f64)> {
    match mark {
        Mark::Rect {
            x,
            y,
            width,
            height,
            ..
        } => vec![(*x, *y), (x + width, y + height)],
        Mark::Area { points, .. } | Mark::Line { points, .. } => points.clone(),
        Mark::Dot { at, radius, .. } => vec![
            (at.0 - radius, at.1 - radius),
            (at.0 + radius, at.1 + radius),
        ],
        Mark::Text { at, .. } => vec![*at],
    }
}

pub(crate) fn look_over(scene: &Scene) -> Result<(), TestCaseError> {
    for mark in &scene.marks {
        for (x, y) in points(mark) {
            prop_assert!(x.is_finite() && y.is_finite(), "{mark:?}");
            prop_assert!(
                x >= -0.5 && x <= scene.width + 0.5 && y >= -0.5 && y <= scene.height + 0.5,
                "{mark:?} lies outside {} x {}",
                scene.width,
                scene.height
            );
        }
    }
    let words = words(scene);
    for (at, one) in words.iter().enumerate() {
        prop_assert!(!one.4.is_empty());
        prop_assert!(
            one.0 >= -0.01
                && one.1 >= -0.01
                && one.2 <= scene.width + 0.01
                && one.3 <= scene.height + 0.01,
            "{one:?} leaves {} x {}",
            scene.width,
            scene.height
        );
        for other in &words[at + 1..] {
            let apart = one.2 <= other.0 + 0.01
                || other.2 <= one.0 + 0.01
                || one.3 <= other.1 + 0.01
                || other.3 <= one.1 + 0.01;
            prop_assert!(apart, "{one:?} over {other:?}");
        }
    }
    Ok(())
}

pub(crate) fn force() -> impl Strategy<Value = f64> {
    prop_oneof![
        20 => 0.0..120.0_f64,
        1 => Just(f64::NAN),
        1 => Just(f64::INFINITY),
        1 => Just(0.0),
        1 => -1e9..1e9_f64,
    ]
}

pub(crate) fn word() -> impl Strategy<Value = String> {
    prop_oneof![
        "[A-Za-z]{0,12}",
        "[A-Za-zé]{1,9} [a-z]{1,12}( [0-9]{1,3} lb [0-9]{1,2} oz)?",
        Just(
            "The lowest that ninety-five of a hundred places hold, ninety-five times sure"
                .to_owned()
        ),
        "\\PC{0,20}",
    ]
}

pub(crate) fn frame() -> impl Strategy<Value = Frame> {
    (240.0..720.0_f64, 1.0..2.0_f64).prop_map(|(width, scale)| Frame::new(width, 16.0 * scale))
}

pub(crate) fn axis(values: &[f64], zero: bool, unit: &str) -> Axis {
    Axis::over(values.iter().copied(), zero, (0.2248, unit), 4, |value| {
        format!("{}", (value * 100.0).round() / 100.0)
    })
}

fn face() -> impl Strategy<Value = Option<Face>> {
    prop::option::of(prop::sample::select(vec![
        Face::Front,
        Face::Right,
        Face::Back,
        Face::Left,
    ]))
}

prop_compose! {
    fn side_zone()(
        name in word(), film in word(), note in word(),
        lowest in prop::option::of(force()),
        interval in prop::option::of((force(), force())),
        bound in prop::option::of(force()),
        target in prop::option::of(force()),
        reaches in prop::option::of(any::<bool>()),
    ) -> SideZone {
        SideZone {
            name, film, note,
            spoken: "Said.".to_owned(),
            lowest, mean: lowest, interval, bound, target, reaches,
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(300))]

    #[test]
    fn a_load_from_the_side_holds_its_words(
        frame in frame(),
        zones in [side_zone(), side_zone(), side_zone()],
        readings in prop::collection::vec(
            (force(), prop::option::of(0_usize..3), force(), face(), any::<bool>()), 0..20),
        layers in prop::collection::vec((-0.5..1.5_f64, -0.5..1.5_f64, force(), force()), 0..8),
        unit in word(),
        names in [word(), word(), word(), word(), word()],
        key in word(),
    ) {
        let values: Vec<f64> = readings.iter().map(|reading| reading.0).collect();
        let side = LoadSide {
            zones,
            readings: readings
                .iter()
                .map(|&(force, zone, height, face, aside)| SideReading {
                    force, zone, height, face, aside,
                })
                .collect(),
            layers: layers
                .iter()
                .map(|&(from, to, at_from, at_to)| SideLayers { from, to, at_from, at_to })
                .collect(),
            axis: axis(&values, true, &unit),
            words: SideWords {
                faces: names,
                lowest: key.clone(),
                mean: key.clone(),
                bound: key.clone(),
                target: key.clone(),
                aside: key.clone(),
                layers: key,
            },
        };
        look_over(&load_side(&side, frame))?;
    }

    #[test]
    fn two_setups_side_by_side_hold_their_words(
        frame in frame(),
        zones in prop::collection::vec(
            (word(), word(), [(force(), force(), word()), (force(), force(), word())],
             prop::option::of(force()), prop::option::of(any::<bool>())), 0..4),
        unit in word(),
        names in [word(), word()],
    ) {
        let mut values = Vec::new();
        let zones: Vec<CompareZone> = zones
            .into_iter()
            .map(|(name, note, series, target, passes)| CompareZone {
                name, note,
                spoken: "Said.".to_owned(),
                series: series.map(|(mean, half, text)| {
                    values.push(mean);
                    CompareSeries {
                        mean: Some(mean),
                        interval: Some((mean - half, mean + half)),
                        bound: Some(mean - 2.0 * half),
                        text,
                    }
                }),
                target, passes,
            })
            .collect();
        let shown = Compare {
            zones,
            axis: axis(&values, true, &unit),
            bound: names[0].clone(),
            target: names[1].clone(),
            names,
        };
        look_over(&compare(&shown, frame))?;
    }

    #[test]
    fn a_trade_off_holds_its_words(
        frame in frame(),
        curve in prop::collection::vec((force(), force()), 0..30),
        points in prop::collection::vec((0_usize..4, force(), force(), word()), 0..8),
        titles in [word(), word()],
        words in [word(), word(), word(), word(), word(), word()],
        unit in word(),
    ) {
        let kinds = [
            TradeKind::AsFound, TradeKind::Proposal, TradeKind::Alternative, TradeKind::Measured,
        ];
        let films: Vec<f64> = curve.iter().map(|point| point.0).collect();
        let margins: Vec<f64> = curve.iter().map(|point| point.1).chain([0.0]).collect();
        let shown = TradeOff {
            points: points
                .into_iter()
                .map(|(kind, film, margin, name)| TradePoint {
                    kind: kinds[kind], film, margin, name,
                })
                .collect(),
            film: axis(&films, false, &unit),
            margin: axis(&margins, false, &unit),
            curve, titles, words,
            spoken: "Said.".to_owned(),
        };
        look_over(&trade_off(&shown, frame))?;
    }
}

fn plain_zone(name: &str, lowest: f64) -> SideZone {
    SideZone {
        name: name.to_owned(),
        spoken: format!("{name}: lowest {lowest} N."),
        lowest: Some(lowest),
        mean: Some(lowest + 5.0),
        interval: Some((lowest + 3.0, lowest + 7.0)),
        target: Some(40.0),
        reaches: Some(lowest >= 40.0),
        ..SideZone::default()
    }
}

/// A chart says what its numbers are: dots stand in the order of their forces, on the faces' own
/// rows and with their own shapes, and the film's bars in the order of its layers.
#[test]
fn places_follow_the_numbers() {
    let reading = |force, zone, face| SideReading {
        force,
        zone: Some(zone),
        height: 0.0,
        face: Some(face),
        aside: false,
    };
    let side = LoadSide {
        zones: [
            plain_zone("Top", 50.0),
            plain_zone("Middle", 45.0),
            plain_zone("Bottom", 30.0),
        ],
        readings: vec![
            reading(50.0, 0, Face::Front),
            reading(60.0, 0, Face::Right),
            reading(30.0, 2, Face::Front),
        ],
        layers: vec![
            SideLayers {
                from: 0.0,
                to: 0.5,
                at_from: 4.0,
                at_to: 4.0,
            },
            SideLayers {
                from: 0.5,
                to: 1.2,
                at_from: 2.0,
                at_to: 2.0,
            },
        ],
        axis: axis(&[0.0, 60.0], true, "lb"),
        words: SideWords::default(),
    };
    let scene = load_side(&side, Frame::new(360.0, 16.0));
    assert_eq!(
        scene.spoken,
        "Top: lowest 50 N. Middle: lowest 45 N. Bottom: lowest 30 N."
    );
    let dots: Vec<(f64, f64, Shape)> = scene
        .marks
        .iter()
        .filter_map(|mark| match mark {
            Mark::Dot {
                at,
                shape,
                role: Role::Accent,
                hollow: false,
                radius,
            } if *radius > 5.0 => Some((at.0, at.1, *shape)),
            _ => None,
        })
        .collect();
    assert!(dots[0].0 < dots[1].0 && dots[2].0 < dots[0].0, "{dots:?}");
    assert!(dots[0].1 < dots[1].1 && dots[1].1 < dots[2].1, "{dots:?}");
    assert_eq!(dots[0].2, Shape::Circle);
    assert_eq!(dots[1].2, Shape::Square);
    let film: Vec<(f64, f64)> = scene
        .marks
        .iter()
        .filter_map(|mark| match mark {
            Mark::Area {
                points,
                role: Role::Fill,
            } => Some((points[1].0 - points[0].0, points[0].1 - points[3].1)),
            _ => None,
        })
        .collect();
    assert_eq!(film.len(), 2);
    assert!((film[0].0 - 2.0 * film[1].0).abs() < 1e-9, "{film:?}");
    assert!((film[0].1 - film[1].1).abs() < 1e-9, "{film:?}");
}

/// Readings set aside are outlines, and nothing is told by colour alone.
#[test]
fn what_was_set_aside_is_hollow() {
    let side = LoadSide {
        zones: [
            plain_zone("Top", 50.0),
            plain_zone("Middle", 45.0),
            plain_zone("Bottom", 30.0),
        ],
        readings: vec![SideReading {
            force: 10.0,
            zone: None,
            height: 0.5,
            face: None,
            aside: true,
        }],
        layers: Vec::new(),
        axis: axis(&[60.0], true, "lb"),
        words: SideWords::default(),
    };
    let scene = load_side(&side, Frame::new(360.0, 16.0));
    assert!(scene.marks.iter().any(|mark| matches!(
        mark,
        Mark::Dot {
            hollow: true,
            role: Role::Muted,
            ..
        }
    )));
}
