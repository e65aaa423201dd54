//! Film per load against the weakest margin: what less film costs in holding force.

use super::axis::Axis;
use super::key::{Sample, key};
use super::scene::{Anchor, Bounds, Frame, Mark, Role, Scene, Shape, cut, lines};

/// What a point stands for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum TradeKind {
    /// The line as found.
    AsFound,
    /// The programme proposed.
    Proposal,
    /// Another one to choose.
    Alternative,
    /// Measured.
    Measured,
}

/// One programme: film in kilograms a load, margin in newtons.
#[derive(Debug, Clone, PartialEq)]
pub struct TradePoint {
    /// What it stands for.
    pub kind: TradeKind,
    /// Film.
    pub film: f64,
    /// The least of all zones' bounds over their targets.
    pub margin: f64,
    /// What it is called in the chart; blank for none.
    pub name: String,
}

/// What the chart shows.
#[derive(Debug, Clone, PartialEq)]
pub struct TradeOff {
    /// The best margin for each mass of film, by film: `(kilograms, newtons)`.
    pub curve: Vec<(f64, f64)>,
    /// Programmes marked.
    pub points: Vec<TradePoint>,
    /// The scale of film.
    pub film: Axis,
    /// The scale of margins, with zero in it.
    pub margin: Axis,
    /// The words over the chart: what goes up, then what goes across under it.
    pub titles: [String; 2],
    /// The words of the key: the curve, as found, proposal, alternative, measured, zero margin.
    pub words: [String; 6],
    /// The chart in a sentence.
    pub spoken: String,
}

const fn dressed(kind: TradeKind) -> (Shape, Role, f64) {
    match kind {
        TradeKind::AsFound => (Shape::Square, Role::Ink, 7.0),
        TradeKind::Proposal => (Shape::Circle, Role::Good, 9.0),
        TradeKind::Alternative => (Shape::Triangle, Role::Accent, 7.0),
        TradeKind::Measured => (Shape::Diamond, Role::Ink, 7.0),
    }
}

/// Lays the chart out.
#[must_use]
pub fn trade_off(trade: &TradeOff, frame: Frame) -> Scene {
    let mut scene = Scene::new(frame.width);
    let mut top = 0.0;
    for text in lines(&trade.titles[0], frame.width, frame.text, false) {
        scene.text(
            (0.0, top + frame.line() / 2.0),
            Anchor::Start,
            text,
            frame.muted(),
        );
        top += frame.line();
    }
    top += frame.line() / 2.0 + 6.0;
    let labels = trade
        .margin
        .ticks
        .iter()
        .map(|tick| frame.wide(&tick.1, false))
        .fold(0.0, f64::max)
        .min(frame.width * 0.4);
    let plot_left = labels + 10.0;
    let plot = (plot_left, frame.width - 14.0);
    let height = (frame.width * 0.62)
        .clamp(180.0, 300.0)
        .max(frame.line() * 6.0);
    let base = top + height;
    trade.film.across(
        &mut scene,
        frame,
        plot,
        (top, base + 4.0),
        (plot_left - 6.0, frame.width),
    );
    let x = |film: f64| plot.0 + trade.film.at(film) * (plot.1 - plot.0);
    let y = |margin: f64| base - trade.margin.at(margin) * height;
    upright(&mut scene, frame, trade, (plot, &y, labels));

    let curve: Vec<(f64, f64)> = trade
        .curve
        .iter()
        .filter(|(film, margin)| film.is_finite() && margin.is_finite())
        .map(|&(film, margin)| (x(film), y(margin)))
        .collect();
    if curve.len() > 1 {
        scene.line(&curve, 2.5, Role::Accent);
    }
    let mut points: Vec<&TradePoint> = trade.points.iter().collect();
    points.sort_by_key(|point| std::cmp::Reverse(point.kind));
    let places: Vec<(f64, f64, f64)> = points
        .iter()
        .map(|point| {
            let (shape, role, radius) = dressed(point.kind);
            let at = (x(point.film), y(point.margin));
            scene.dot(at, radius, shape, false, role);
            (at.0, at.1, radius)
        })
        .collect();
    for (point, place) in points.iter().zip(&places) {
        name(
            &mut scene,
            frame,
            point,
            *place,
            (&places, &curve, plot, (top, base), y(0.0)),
        );
    }
    let mut under = base + frame.line() + 8.0;
    for text in lines(&trade.titles[1], frame.width, frame.text, false) {
        scene.text(
            (frame.width, under + frame.line() / 2.0),
            Anchor::End,
            text,
            frame.muted(),
        );
        under += frame.line();
    }
    let end = key(&mut scene, frame, under + 8.0, &entries(trade));
    scene.finish(end, trade.spoken.clone())
}

fn upright(
    scene: &mut Scene,
    frame: Frame,
    trade: &TradeOff,
    (plot, y, labels): ((f64, f64), &dyn Fn(f64) -> f64, f64),
) {
    let mut last = f64::INFINITY;
    for (value, text) in &trade.margin.ticks {
        let at = y(*value);
        scene.line(&[(plot.0 - 4.0, at), (plot.1, at)], 1.0, Role::Rule);
        if last - at < frame.line() + 2.0 {
            continue;
        }
        last = at;
        let text = cut(text, labels, frame.text, false);
        scene.text((labels, at), Anchor::End, text, frame.muted());
    }
    if trade.margin.from <= 0.0 && trade.margin.to >= 0.0 {
        let zero = y(0.0);
        scene.dashed((plot.0, zero), (plot.1, zero), 2.5, Role::Ink);
    }
}

type Room<'r> = (
    &'r [(f64, f64, f64)],
    &'r [(f64, f64)],
    (f64, f64),
    (f64, f64),
    f64,
);

/// Writes a point's name beside it where nothing else lies, or leaves it to the key.
fn name(
    scene: &mut Scene,
    frame: Frame,
    point: &TradePoint,
    (x, y, radius): (f64, f64, f64),
    (places, curve, plot, (top, base), zero): Room<'_>,
) {
    if point.name.is_empty() {
        return;
    }
    let wide = frame.wide(&point.name, true);
    let half = frame.line() / 2.0;
    let out = radius + 6.0;
    let above = y - radius - half - 1.0;
    let below = y + radius + half + 1.0;
    let middle = x.clamp(
        plot.0 + wide / 2.0,
        (plot.1 - wide / 2.0).max(plot.0 + wide / 2.0),
    );
    let tries = [
        (x + out, y),
        (x - out - wide, y),
        (middle - wide / 2.0, above),
        (middle - wide / 2.0, below),
        (x + 2.0, below),
        (x - wide - 2.0, above),
    ];
    for (left, at) in tries {
        let own = Bounds {
            left: left - 2.0,
            top: at - half,
            right: left + wide + 2.0,
            bottom: at + half,
        };
        let inside = own.left >= plot.0
            && own.right <= plot.1 + 12.0
            && own.top >= top - 4.0
            && own.bottom <= base;
        let meets_words = scene
            .marks
            .iter()
            .filter_map(Mark::words)
            .any(|other| other.meets(&own));
        let meets_dots = places.iter().any(|&(px, py, r)| {
            own.meets(&Bounds {
                left: px - r,
                top: py - r,
                right: px + r,
                bottom: py + r,
            })
        });
        let meets_curve = curve.windows(2).any(|pair| crosses(pair, &own));
        let meets_zero = zero > own.top && zero < own.bottom;
        if inside && !meets_zero && !meets_words && !meets_dots && !meets_curve {
            scene.text((left, at), Anchor::Start, point.name.clone(), frame.bold());
            return;
        }
    }
}

/// Whether the line between two points runs through a rectangle, looked at in steps.
fn crosses(pair: &[(f64, f64)], bounds: &Bounds) -> bool {
    let [(ax, ay), (bx, by)] = *pair else {
        return false;
    };
    (0..=16_u8).any(|step| {
        let part = f64::from(step) / 16.0;
        let (x, y) = (ax + (bx - ax) * part, ay + (by - ay) * part);
        x > bounds.left && x < bounds.right && y > bounds.top && y < bounds.bottom
    })
}

fn entries(trade: &TradeOff) -> Vec<(Sample, String)> {
    let [curve, as_found, proposal, alternative, measured, zero] = &trade.words;
    let has = |kind: TradeKind| trade.points.iter().any(|point| point.kind == kind);
    let mut entries = Vec::new();
    for (kind, word) in [
        (TradeKind::Proposal, proposal),
        (TradeKind::AsFound, as_found),
        (TradeKind::Alternative, alternative),
        (TradeKind::Measured, measured),
    ] {
        if has(kind) {
            let (shape, role, _) = dressed(kind);
            entries.push((Sample::Dot(shape, false, role), word.clone()));
        }
    }
    if trade.curve.len() > 1 {
        entries.push((Sample::Curve, curve.clone()));
    }
    entries.push((Sample::Level, zero.clone()));
    entries
}
