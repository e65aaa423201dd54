//! How much of its force a load keeps over the days: a share of the first reading against hours
//! since wrapping, load by load.

use super::axis::Axis;
use super::key::{Sample, key};
use super::scene::{Anchor, Bounds, Frame, Mark, Role, Scene, Shape, cut, lines};

/// What is left at one time.
#[derive(Debug, Clone, PartialEq)]
pub struct KeptPoint {
    /// Hours since wrapping.
    pub hours: f64,
    /// Share of the first force: 0.85 is 85 %.
    pub share: f64,
    /// The interval of that share, when known.
    pub interval: Option<(f64, f64)>,
    /// The share in words.
    pub text: String,
}

/// One load.
#[derive(Debug, Clone, PartialEq)]
pub struct KeptSeries {
    /// What it is called.
    pub name: String,
    /// Hours since wrapping when it was first read: there it has all its force.
    pub first_hours: f64,
    /// Later.
    pub later: Vec<KeptPoint>,
}

/// What the chart shows.
#[derive(Debug, Clone, PartialEq)]
pub struct KeptForce {
    /// The loads; more than [`KeptForce::MOST`] are not told apart, so the first that many are
    /// drawn.
    pub loads: Vec<KeptSeries>,
    /// The scale of hours.
    pub hours: Axis,
    /// The scale of shares, with one in it. It need not begin at zero: dots stand on it, not bars.
    pub share: Axis,
    /// The words over the chart: what goes up, then what goes across under it.
    pub titles: [String; 2],
    /// The words of the key: the level of the first reading, an interval.
    pub words: [String; 2],
    /// The chart in a sentence.
    pub spoken: String,
}

impl KeptForce {
    /// The most loads that are drawn.
    pub const MOST: usize = 4;
}

const DRESS: [(Shape, Role); KeptForce::MOST] = [
    (Shape::Circle, Role::Accent),
    (Shape::Square, Role::Ink),
    (Shape::Triangle, Role::Accent),
    (Shape::Diamond, Role::Ink),
];

const RADIUS: f64 = 6.0;
/// From one load's dots to the next one's.
const BESIDE: f64 = 12.0;

/// Lays the chart out.
#[must_use]
pub fn kept_force(kept: &KeptForce, frame: Frame) -> Scene {
    let mut scene = Scene::new(frame.width);
    let mut top = 0.0;
    for text in lines(&kept.titles[0], frame.width, frame.text, false) {
        let at = (0.0, top + frame.line() / 2.0);
        scene.text(at, Anchor::Start, text, frame.muted());
        top += frame.line();
    }
    top += frame.line() / 2.0 + 6.0;
    let labels = kept
        .share
        .ticks
        .iter()
        .map(|tick| frame.wide(&tick.1, false))
        .fold(0.0, f64::max)
        .min(frame.width * 0.4);
    let loads = &kept.loads[..kept.loads.len().min(KeptForce::MOST)];
    // Loads read at the same hours stand beside each other.
    let spread = BESIDE * (index(loads.len()) - 1.0).max(0.0) / 2.0;
    let wide = (labels + 12.0, frame.width - 10.0);
    let plot = (wide.0 + spread, wide.1 - spread - 6.0);
    let height = (frame.width * 0.45)
        .clamp(140.0, 220.0)
        .max(frame.line() * 5.0);
    let base = top + height;
    kept.hours.across(
        &mut scene,
        frame,
        plot,
        (top, base + 4.0),
        (plot.0 - 8.0, frame.width),
    );
    let x = |hours: f64| plot.0 + kept.hours.at(hours) * (plot.1 - plot.0);
    let y = |share: f64| base - kept.share.at(share) * height;
    upright(&mut scene, frame, kept, (wide, &y, labels));

    let mut places: Vec<Bounds> = Vec::new();
    let mut named: Vec<Named<'_>> = Vec::new();
    for (at, (load, (shape, role))) in loads.iter().zip(DRESS).enumerate() {
        let beside = BESIDE * index(at) - spread;
        let place = |hours: f64, share: f64| (x(hours) + beside, y(share));
        let mut way = vec![place(load.first_hours, 1.0)];
        way.extend(
            load.later
                .iter()
                .map(|point| place(point.hours, point.share)),
        );
        way.retain(|(x, y)| x.is_finite() && y.is_finite());
        if way.len() > 1 {
            scene.line(&way, 1.5, Role::Edge);
        }
        for &(x, y) in &way {
            scene.dot((x, y), RADIUS, shape, false, role);
            places.push(around((x, y), RADIUS + 2.0));
        }
        for point in &load.later {
            let (at_x, at_y) = place(point.hours, point.share);
            let (mut above, mut below) = (at_y - RADIUS, at_y + RADIUS);
            if let Some((low, high)) = point.interval {
                let (low, high) = (y(low), y(high));
                standing_whisker(&mut scene, at_x, (low, high));
                places.push(Bounds {
                    left: at_x - 7.0,
                    top: high.min(low),
                    right: at_x + 7.0,
                    bottom: high.max(low),
                });
                above = above.min(high);
                below = below.max(low);
            }
            named.push(Named {
                at: (at_x, at_y),
                above,
                below,
                text: &point.text,
            });
        }
    }
    for named in &named {
        write(&mut scene, frame, named, (&places, wide, (top, base)));
    }
    let mut under = base + frame.line() + 8.0;
    for text in lines(&kept.titles[1], frame.width, frame.text, false) {
        let at = (frame.width, under + frame.line() / 2.0);
        scene.text(at, Anchor::End, text, frame.muted());
        under += frame.line();
    }
    let end = key(&mut scene, frame, under + 8.0, &entries(kept, loads));
    scene.finish(end, kept.spoken.clone())
}

fn index(at: usize) -> f64 {
    f64::from(u8::try_from(at).unwrap_or(u8::MAX))
}

fn around((x, y): (f64, f64), half: f64) -> Bounds {
    Bounds {
        left: x - half,
        top: y - half,
        right: x + half,
        bottom: y + half,
    }
}

fn standing_whisker(scene: &mut Scene, x: f64, (low, high): (f64, f64)) {
    scene.line(&[(x, low), (x, high)], 2.0, Role::Ink);
    for end in [low, high] {
        scene.line(&[(x - 6.0, end), (x + 6.0, end)], 2.0, Role::Ink);
    }
}

fn upright(
    scene: &mut Scene,
    frame: Frame,
    kept: &KeptForce,
    (plot, y, labels): ((f64, f64), &dyn Fn(f64) -> f64, f64),
) {
    let mut last = f64::INFINITY;
    for (value, text) in &kept.share.ticks {
        let at = y(*value);
        scene.line(&[(plot.0 - 4.0, at), (plot.1, at)], 1.0, Role::Rule);
        if last - at < frame.line() + 2.0 {
            continue;
        }
        last = at;
        let text = cut(text, labels, frame.text, false);
        scene.text((labels, at), Anchor::End, text, frame.muted());
    }
    if (kept.share.from..=kept.share.to).contains(&1.0) {
        let whole = y(1.0);
        scene.dashed((plot.0, whole), (plot.1, whole), 2.5, Role::Ink);
    }
}

/// A share that is written beside its dot.
struct Named<'t> {
    at: (f64, f64),
    /// Where its interval ends above and below.
    above: f64,
    below: f64,
    text: &'t str,
}

/// Writes a share beside its dot where nothing else lies; the words under the chart have it too.
fn write(
    scene: &mut Scene,
    frame: Frame,
    named: &Named<'_>,
    (places, plot, (top, base)): (&[Bounds], (f64, f64), (f64, f64)),
) {
    let Named {
        at: (x, y),
        above,
        below,
        text,
    } = *named;
    let wide = frame.wide(text, true);
    let half = frame.line() / 2.0;
    let right = frame.width - wide / 2.0;
    if text.trim().is_empty() || right < plot.0 + wide / 2.0 {
        return;
    }
    let middle = x.clamp(plot.0 + wide / 2.0, right);
    let out = wide / 2.0 + RADIUS + 6.0;
    let tries = [
        (middle, above - half - 2.0),
        (middle, below + half + 2.0),
        (x + out, y),
        (x - out, y),
    ];
    for (middle, at) in tries {
        let own = Bounds {
            left: middle - wide / 2.0 - 2.0,
            top: at - half,
            right: middle + wide / 2.0 + 2.0,
            bottom: at + half,
        };
        let inside = own.left >= plot.0 - 2.0 && own.right <= frame.width + 2.0;
        let meets_words = scene
            .marks
            .iter()
            .filter_map(Mark::words)
            .any(|other| other.meets(&own));
        let meets_lines = scene.marks.iter().any(|mark| match mark {
            Mark::Line { points, role, .. } if *role != Role::Rule => {
                points.windows(2).any(|pair| crosses(pair, &own))
            }
            _ => false,
        });
        if inside
            && own.top >= top - half
            && own.bottom <= base
            && !meets_words
            && !meets_lines
            && !places.iter().any(|other| other.meets(&own))
        {
            scene.text((middle, at), Anchor::Middle, text, frame.bold());
            return;
        }
    }
}

/// Whether the line between two points runs through a rectangle, looked at in steps.
fn crosses(pair: &[(f64, f64)], bounds: &Bounds) -> bool {
    let [(ax, ay), (bx, by)] = *pair else {
        return false;
    };
    (0..=64_u8).any(|step| {
        let part = f64::from(step) / 64.0;
        let (x, y) = (ax + (bx - ax) * part, ay + (by - ay) * part);
        x > bounds.left && x < bounds.right && y > bounds.top && y < bounds.bottom
    })
}

fn entries(kept: &KeptForce, loads: &[KeptSeries]) -> Vec<(Sample, String)> {
    let mut entries: Vec<(Sample, String)> = Vec::new();
    for (load, (shape, role)) in loads.iter().zip(DRESS) {
        entries.push((Sample::Dot(shape, false, role), load.name.clone()));
    }
    let any_interval = loads
        .iter()
        .flat_map(|load| &load.later)
        .any(|point| point.interval.is_some());
    if any_interval {
        entries.push((Sample::Upright, kept.words[1].clone()));
    }
    entries.push((Sample::Level, kept.words[0].clone()));
    entries.retain(|(_, text)| !text.trim().is_empty());
    entries
}
