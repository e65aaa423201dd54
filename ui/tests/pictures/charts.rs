//! The charts of the sample data.

use tautbook_core::chart::{
    Axis, Compare, CompareSeries, CompareZone, FilmPath, KeptForce, KeptPoint, KeptSeries,
    LoadSide, Scene, SideLayers, SideReading, SideWords, SideZone, Sticky, TradeKind, TradeOff,
    TradePoint,
};
use tautbook_core::survey::{Face, Rotation};
use tautbook_ui::screens::ChartScene;

/// A scene as the screen draws it.
pub(crate) fn drawn(scene: &Scene) -> ChartScene {
    tautbook_ui::chart::chart(scene)
}

fn axis(values: &[f64], zero: bool, unit: &str) -> Axis {
    Axis::over(values.iter().copied(), zero, (1.0, unit), 4, |value| {
        format!("{}", (value * 10.0).round() / 10.0)
    })
}

/// A load from the side: in pounds with targets, or in newtons with two readings only.
pub(crate) fn side(whole: bool) -> LoadSide {
    let words = SideWords {
        faces: ["Front", "Right", "Back", "Left", "Face not noted"].map(str::to_owned),
        lowest: "Lowest".to_owned(),
        mean: "Mean, 95 %".to_owned(),
        bound: "Trusted bound".to_owned(),
        target: "Target".to_owned(),
        aside: "Set aside".to_owned(),
        layers: "Layers of film, at most 5.5; \u{d7} where it is read".to_owned(),
    };
    if !whole {
        let zone = |name: &str, force: Option<f64>| SideZone {
            name: name.to_owned(),
            note: force.map_or_else(|| "Not measured".to_owned(), |n| format!("Lowest {n} N")),
            lowest: force,
            ..SideZone::default()
        };
        let reading = |force, zone| SideReading {
            force,
            zone: Some(zone),
            height: 0.0,
            face: None,
            aside: false,
        };
        return LoadSide {
            zones: [
                zone("Top", Some(57.0)),
                zone("Middle", None),
                zone("Bottom", Some(61.5)),
            ],
            readings: vec![reading(57.0, 0), reading(61.5, 2)],
            layers: Vec::new(),
            axis: axis(&[61.5], true, "N"),
            words,
        };
    }
    let zone = |name: &str, film: &str, lowest: f64, mean: f64, half: f64| SideZone {
        name: name.to_owned(),
        film: film.to_owned(),
        note: format!("Lowest {lowest} lb"),
        spoken: format!("{name}: lowest {lowest} lb, target 12 lb."),
        lowest: Some(lowest),
        mean: Some(mean),
        interval: Some((mean - half, mean + half)),
        bound: Some(lowest - 1.4),
        target: Some(12.0),
        reaches: Some(lowest >= 12.0),
    };
    let faces = [Face::Front, Face::Right, Face::Back];
    let mut readings = Vec::new();
    for (zone, forces) in [[12.6, 14.2, 14.9], [14.2, 15.4, 17.2], [9.8, 11.0, 12.8]]
        .into_iter()
        .enumerate()
    {
        for (force, face) in forces.into_iter().zip(faces) {
            readings.push(SideReading {
                force,
                zone: Some(zone),
                height: 0.0,
                face: Some(face),
                aside: false,
            });
        }
    }
    readings.push(SideReading {
        force: 5.1,
        zone: Some(2),
        height: 0.0,
        face: Some(Face::Front),
        aside: true,
    });
    let layers = |from, to, at_from, at_to| SideLayers {
        from,
        to,
        at_from,
        at_to,
    };
    LoadSide {
        zones: [
            zone("Top", "\u{d7} 4.6", 12.6, 13.9, 0.8),
            zone("Middle", "\u{d7} 3.3", 14.2, 15.6, 1.0),
            zone("Bottom", "\u{d7} 3.1", 9.8, 11.2, 1.3),
        ],
        readings,
        layers: vec![
            layers(0.0, 0.12, 2.0, 3.6),
            layers(0.12, 0.33, 3.6, 3.3),
            layers(0.33, 0.72, 3.3, 3.3),
            layers(0.72, 0.9, 3.3, 5.5),
            layers(0.9, 1.1, 5.5, 4.0),
        ],
        axis: axis(&[17.2], true, "lb"),
        words,
    }
}

/// Two setups side by side.
pub(crate) fn compare() -> Compare {
    let series = |mean: f64, half: f64, bound: Option<f64>| CompareSeries {
        mean: Some(mean),
        interval: Some((mean - half, mean + half)),
        bound,
        text: format!("{mean} lb"),
    };
    let zone = |name: &str, old, new, passes| CompareZone {
        name: name.to_owned(),
        note: "target 12 lb".to_owned(),
        spoken: format!("{name}."),
        series: [old, new],
        target: Some(12.0),
        passes,
    };
    Compare {
        zones: vec![
            zone(
                "Top",
                series(13.9, 0.8, None),
                series(14.1, 0.6, Some(12.7)),
                Some(true),
            ),
            zone(
                "Middle",
                series(15.6, 1.0, None),
                series(15.5, 0.8, Some(13.9)),
                Some(true),
            ),
            zone(
                "Bottom",
                series(11.2, 1.3, None),
                series(13.4, 0.7, Some(12.2)),
                Some(true),
            ),
        ],
        axis: axis(&[16.6], true, "lb"),
        names: ["As found".to_owned(), "Trial 1".to_owned()],
        bound: "Trusted bound of the new setup".to_owned(),
        target: "Target".to_owned(),
    }
}

/// Film against the weakest margin.
pub(crate) fn trade() -> TradeOff {
    let curve: Vec<(f64, f64)> = (0..12_u8)
        .map(|at| {
            let film = 5.4 + f64::from(at) * 0.34;
            (film, (film - 6.9) * 1.35 - (film - 6.9).powi(2) * 0.12)
        })
        .collect();
    let point = |kind, film, margin, name: &str| TradePoint {
        kind,
        film,
        margin,
        name: name.to_owned(),
    };
    TradeOff {
        points: vec![
            point(TradeKind::AsFound, 8.2, -0.8, "Now"),
            point(TradeKind::Proposal, 7.0, 0.13, "Proposal"),
            point(TradeKind::Alternative, 7.5, 0.5, ""),
            point(TradeKind::Alternative, 8.6, 0.4, ""),
        ],
        film: axis(&[5.4, 9.1], false, "oz"),
        margin: axis(&[-2.3, 2.4], false, "lb"),
        titles: [
            "Weakest zone: sure force over its target".to_owned(),
            "Film a load".to_owned(),
        ],
        words: [
            "The most any programme holds with as much film",
            "As it is now",
            "Proposal",
            "Alternative",
            "Measured",
            "Just the target",
        ]
        .map(str::to_owned),
        spoken: "Film against the weakest zone.".to_owned(),
        curve,
    }
}

/// The way of the film to a load that turns clockwise: from a roll that turns alike, or the other
/// way.
pub(crate) fn way(alike: bool, sticky: Option<Sticky>) -> FilmPath {
    let (roll, reversals, word) = if alike {
        (Rotation::Clockwise, 2, "Roll: turns clockwise")
    } else {
        (Rotation::Anticlockwise, 1, "Roll: turns anticlockwise")
    };
    FilmPath {
        load: Some(Rotation::Clockwise),
        roll: Some(roll),
        reversals: Some(reversals),
        table: true,
        sticky,
        words: ["Load: turns clockwise".to_owned(), word.to_owned()],
        key: [
            "Film, on its way to the load".to_owned(),
            "Sticky side".to_owned(),
        ],
        spoken: "Seen from above.".to_owned(),
    }
}

/// The force two loads kept.
pub(crate) fn kept() -> KeptForce {
    let point = |hours, share: f64, half: Option<f64>| KeptPoint {
        hours,
        share,
        interval: half.map(|half| (share - half, share + half)),
        text: format!("{:.0} %", share * 100.0),
    };
    let load = |name: &str, first_hours, later| KeptSeries {
        name: name.to_owned(),
        first_hours,
        later,
    };
    KeptForce {
        loads: vec![
            load(
                "Load 1",
                0.4,
                vec![point(24.0, 0.88, Some(0.04)), point(72.0, 0.83, Some(0.05))],
            ),
            load("Load 2", 0.6, vec![point(25.0, 0.91, None)]),
        ],
        hours: Axis::days(72.0, "h", |hours| format!("{hours}")),
        share: Axis::over([0.78, 1.0], false, (100.0, "%"), 4, |share| {
            format!("{share:.0}")
        }),
        titles: [
            "Force left, of what was first read".to_owned(),
            "Since wrapping".to_owned(),
        ],
        words: [
            "As first read".to_owned(),
            "95 % interval of the mean".to_owned(),
        ],
        spoken: "Force left.".to_owned(),
    }
}
