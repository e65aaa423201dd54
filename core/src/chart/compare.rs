//! Two setups zone by zone: means with their intervals, the least that is trusted, the target.

use super::axis::Axis;
use super::key::{Sample, key};
use super::scene::{Anchor, Frame, Role, Scene, Shape, cut};

/// One setup in one zone. Forces in newtons.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct CompareSeries {
    /// The mean.
    pub mean: Option<f64>,
    /// The interval of the mean.
    pub interval: Option<(f64, f64)>,
    /// The lower tolerance bound.
    pub bound: Option<f64>,
    /// The mean in words, or that it was not measured.
    pub text: String,
}

/// One zone.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct CompareZone {
    /// What it is called.
    pub name: String,
    /// What is said at the right of its name, such as the target.
    pub note: String,
    /// The zone in a sentence, for reading aloud.
    pub spoken: String,
    /// The old setup and the new.
    pub series: [CompareSeries; 2],
    /// The least it has to reach.
    pub target: Option<f64>,
    /// Whether the new setup passes here; `None` where that cannot be said.
    pub passes: Option<bool>,
}

/// What the chart shows.
#[derive(Debug, Clone, PartialEq)]
pub struct Compare {
    /// Top, middle, bottom.
    pub zones: Vec<CompareZone>,
    /// The scale of forces, over everything in `zones`.
    pub axis: Axis,
    /// The names of the old setup and the new.
    pub names: [String; 2],
    /// The words of the key: the tolerance bound and the target.
    pub bound: String,
    /// The target.
    pub target: String,
}

/// The shape and the colour of the old setup and the new.
const SERIES: [(Shape, Role); 2] = [(Shape::Square, Role::Ink), (Shape::Circle, Role::Accent)];

/// Lays the chart out.
#[must_use]
pub fn compare(compare: &Compare, frame: Frame) -> Scene {
    let mut scene = Scene::new(frame.width);
    let row = frame.line().max(24.0) + 2.0;
    let mut entries: Vec<(Sample, String)> = compare
        .names
        .iter()
        .zip(SERIES)
        .map(|(name, (shape, role))| (Sample::Dot(shape, false, role), name.clone()))
        .collect();
    let top = key(&mut scene, frame, 0.0, &entries) + 8.0;
    let value = compare
        .zones
        .iter()
        .flat_map(|zone| &zone.series)
        .map(|series| frame.wide(&series.text, true))
        .fold(0.0, f64::max)
        .min(frame.width * 0.4);
    let plot = (10.0, frame.width - value - 14.0);
    let zone_height = frame.line() + 8.0 + row * 2.0 + 10.0;
    let zones = f64::from(u8::try_from(compare.zones.len()).unwrap_or(u8::MAX));
    let base = top + zones * zone_height;
    compare.axis.across(
        &mut scene,
        frame,
        plot,
        (top, base + 4.0),
        (0.0, frame.width),
    );
    let mut y = top;
    for zone in &compare.zones {
        draw_zone(&mut scene, frame, compare, zone, (plot, y, row));
        y += zone_height;
        scene.line(&[(0.0, y - 3.0), (frame.width, y - 3.0)], 1.0, Role::Rule);
    }
    entries.clear();
    let any = |has: fn(&CompareSeries) -> bool| {
        compare.zones.iter().flat_map(|zone| &zone.series).any(has)
    };
    if any(|series| series.bound.is_some()) {
        entries.push((Sample::Bound, compare.bound.clone()));
    }
    if compare.zones.iter().any(|zone| zone.target.is_some()) {
        entries.push((Sample::Target, compare.target.clone()));
    }
    let end = key(&mut scene, frame, base + frame.line() + 14.0, &entries);
    let spoken = compare
        .zones
        .iter()
        .map(|zone| zone.spoken.as_str())
        .filter(|text| !text.is_empty())
        .collect::<Vec<_>>()
        .join(" ");
    scene.finish(end, spoken)
}

fn draw_zone(
    scene: &mut Scene,
    frame: Frame,
    compare: &Compare,
    zone: &CompareZone,
    (plot, top, row): ((f64, f64), f64, f64),
) {
    let x = |force: f64| plot.0 + compare.axis.at(force) * (plot.1 - plot.0);
    let head = top + 2.0 + frame.line() / 2.0;
    let mut right = frame.width;
    if let Some(passes) = zone.passes {
        scene.verdict((right - 12.0, head), 10.0, passes);
        right -= 30.0;
    }
    let name = cut(&zone.name, right * 0.6, frame.text, true);
    let left = frame.wide(&name, true) + 12.0;
    scene.text((0.0, head), Anchor::Start, name, frame.bold());
    let note = cut(&zone.note, right - left, frame.text, false);
    if !note.is_empty() {
        scene.text((right, head), Anchor::End, note, frame.muted());
    }
    let first = top + frame.line() + 6.0;
    if let Some(target) = zone.target {
        scene.dashed(
            (x(target), first),
            (x(target), first + row * 2.0),
            3.0,
            Role::Ink,
        );
    }
    for ((at, series), (shape, role)) in zone.series.iter().enumerate().zip(SERIES) {
        let y = first + row * if at == 0 { 0.5 } else { 1.5 };
        if let Some((low, high)) = series.interval {
            scene.whisker((x(low), x(high)), y, role);
        }
        if let Some(mean) = series.mean {
            scene.dot((x(mean), y), 6.5, shape, false, role);
        }
        if let Some(bound) = series.bound {
            scene.bracket((x(bound), y), role);
        }
        let text = cut(&series.text, frame.width - plot.1 - 8.0, frame.text, true);
        scene.text((frame.width, y), Anchor::End, text, frame.bold());
    }
}
