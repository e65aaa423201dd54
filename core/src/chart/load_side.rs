//! A load seen from the side: the film on it layer by layer, and its readings where they were
//! taken. One method at a time.

use crate::survey::Face;

use super::axis::Axis;
use super::key::{Sample, key};
use super::scene::{Anchor, Frame, Role, Scene, Shape, cut};

/// The faces in the order of their rows, and the shape each has.
pub const FACES: [(Option<Face>, Shape); 5] = [
    (Some(Face::Front), Shape::Circle),
    (Some(Face::Right), Shape::Square),
    (Some(Face::Back), Shape::Triangle),
    (Some(Face::Left), Shape::Diamond),
    (None, Shape::Cross),
];

/// One zone of the load. Forces in newtons.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct SideZone {
    /// What it is called.
    pub name: String,
    /// Layers of film on it in a few signs; blank when not known.
    pub film: String,
    /// What is said over its readings, such as its lowest.
    pub note: String,
    /// The zone in a sentence, for reading aloud.
    pub spoken: String,
    /// The lowest reading.
    pub lowest: Option<f64>,
    /// The mean.
    pub mean: Option<f64>,
    /// The interval of the mean.
    pub interval: Option<(f64, f64)>,
    /// The lower tolerance bound.
    pub bound: Option<f64>,
    /// The least it has to reach.
    pub target: Option<f64>,
    /// Whether it reaches its target, where it has one and was read.
    pub reaches: Option<bool>,
}

/// One reading.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SideReading {
    /// Its force in newtons.
    pub force: f64,
    /// The zone it belongs to, from the top down (0 to 2); `None` for one at a height of its own.
    pub zone: Option<usize>,
    /// Where up the load, as a fraction of its height; used where it has no zone.
    pub height: f64,
    /// The face.
    pub face: Option<Face>,
    /// Set aside: drawn hollow.
    pub aside: bool,
}

/// A stretch of height over which the layers change evenly.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SideLayers {
    /// Lower end as a fraction of the load's height.
    pub from: f64,
    /// Upper end.
    pub to: f64,
    /// Layers of film at the lower end.
    pub at_from: f64,
    /// Layers of film at the upper end.
    pub at_to: f64,
}

impl SideLayers {
    /// The part of it on the load; `None` when it has none or is no stretch.
    fn on_load(self) -> Option<Self> {
        let at = |height: f64| {
            let along = ((height - self.from) / (self.to - self.from)).clamp(0.0, 1.0);
            (self.at_to - self.at_from)
                .mul_add(along, self.at_from)
                .max(0.0)
        };
        let (from, to) = (self.from.max(0.0), self.to.min(1.0));
        let part = Self {
            from,
            to,
            at_from: at(from),
            at_to: at(to),
        };
        let numbers = [from, to, part.at_from, part.at_to];
        (numbers.into_iter().all(f64::is_finite) && self.to > self.from && to > from)
            .then_some(part)
    }
}

/// The words of the key, in the language of the reader.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct SideWords {
    /// The faces in the order of [`FACES`]; the last for a reading whose face is not known.
    pub faces: [String; 5],
    /// The lowest reading.
    pub lowest: String,
    /// The mean and its interval.
    pub mean: String,
    /// The tolerance bound.
    pub bound: String,
    /// The target.
    pub target: String,
    /// A reading set aside.
    pub aside: String,
    /// The layers of film.
    pub layers: String,
}

/// What the chart shows.
#[derive(Debug, Clone, PartialEq)]
pub struct LoadSide {
    /// Top, middle, bottom.
    pub zones: [SideZone; 3],
    /// The readings.
    pub readings: Vec<SideReading>,
    /// The film, from the floor up; empty when the programme is not known.
    pub layers: Vec<SideLayers>,
    /// The scale of forces, over everything in `zones` and `readings`.
    pub axis: Axis,
    /// The words of the key.
    pub words: SideWords,
}

/// Between the rows of two faces.
const ROW: f64 = 15.0;
/// Room over the drawing.
const OVER: f64 = 6.0;
/// Height of the pallet.
const PALLET: f64 = 14.0;

struct Layout {
    frame: Frame,
    /// Width of the load.
    load: f64,
    /// The plot, left and right.
    plot: (f64, f64),
    /// Height of a zone.
    band: f64,
    /// Rows of readings: the faces there are.
    rows: Vec<Option<Face>>,
}

impl Layout {
    fn of(side: &LoadSide, frame: Frame) -> Self {
        let widest = side
            .zones
            .iter()
            .map(|zone| {
                frame
                    .wide(&zone.name, true)
                    .max(frame.wide(&zone.film, false))
            })
            .fold(0.0, f64::max);
        let load = (frame.width * 0.25)
            .clamp(72.0, 150.0)
            .max(widest + 16.0)
            .min(frame.width * 0.42);
        let verdicts = side.zones.iter().any(|zone| zone.reaches.is_some());
        let right = frame.width - if verdicts { 34.0 } else { 10.0 };
        let mut rows: Vec<Option<Face>> = FACES
            .iter()
            .map(|(face, _)| *face)
            .filter(|face| {
                side.readings
                    .iter()
                    .any(|reading| reading.zone.is_some() && reading.face == *face)
            })
            .collect();
        if rows.is_empty() {
            rows.push(None);
        }
        let whiskers = side
            .zones
            .iter()
            .any(|zone| zone.interval.is_some() || zone.bound.is_some());
        let readings = f64::from(u8::try_from(rows.len()).unwrap_or(5)) * ROW;
        let band = frame.line() + 8.0 + readings + if whiskers { 24.0 } else { 4.0 };
        Self {
            frame,
            load,
            plot: (load + 14.0, right),
            band: band.max(frame.line() * 2.0 + 10.0),
            rows,
        }
    }

    fn height(&self) -> f64 {
        self.band * 3.0
    }

    fn base(&self) -> f64 {
        OVER + self.height()
    }

    /// Where a height on the load lies.
    fn y(&self, part: f64) -> f64 {
        self.base() - part.clamp(0.0, 1.0) * self.height()
    }

    fn x(&self, axis: &Axis, force: f64) -> f64 {
        self.plot.0 + axis.at(force) * (self.plot.1 - self.plot.0)
    }

    /// The upper edge of a zone.
    fn top(&self, zone: usize) -> f64 {
        OVER + self.band * f64::from(u8::try_from(zone).unwrap_or(0).min(2))
    }

    fn row(&self, zone: usize, face: Option<Face>) -> f64 {
        let at = self.rows.iter().position(|row| *row == face).unwrap_or(0);
        let at = f64::from(u8::try_from(at).unwrap_or(0));
        self.top(zone) + self.frame.line() + 6.0 + ROW * (at + 0.5)
    }
}

/// Lays the chart out.
#[must_use]
pub fn load_side(side: &LoadSide, frame: Frame) -> Scene {
    let layout = Layout::of(side, frame);
    let mut scene = Scene::new(frame.width);
    let base = layout.base();
    side.axis.across(
        &mut scene,
        frame,
        layout.plot,
        (OVER, base + 6.0),
        (layout.load + 8.0, frame.width),
    );
    draw_load(&mut scene, &layout, side);
    for (at, zone) in side.zones.iter().enumerate() {
        draw_zone(&mut scene, &layout, side, at, zone);
    }
    for reading in &side.readings {
        let shape = FACES
            .iter()
            .find(|(face, _)| *face == reading.face)
            .map_or(Shape::Cross, |(_, shape)| *shape);
        let y = match reading.zone {
            Some(zone) => layout.row(zone, reading.face),
            None => layout.y(reading.height),
        };
        let role = if reading.aside {
            Role::Muted
        } else {
            Role::Accent
        };
        scene.dot(
            (layout.x(&side.axis, reading.force), y),
            6.0,
            shape,
            reading.aside,
            role,
        );
    }
    let top = base + PALLET.max(frame.line() + 8.0) + 8.0;
    let end = key(&mut scene, frame, top, &entries(side));
    let spoken = side
        .zones
        .iter()
        .map(|zone| zone.spoken.as_str())
        .filter(|text| !text.is_empty())
        .collect::<Vec<_>>()
        .join(" ");
    scene.finish(end, spoken)
}

fn draw_load(scene: &mut Scene, layout: &Layout, side: &LoadSide) {
    let (left, right) = (4.0, layout.load);
    let (top, base) = (OVER, layout.base());
    let inside = right - left;
    let layers: Vec<SideLayers> = side
        .layers
        .iter()
        .filter_map(|part| part.on_load())
        .collect();
    let most = layers.iter().fold(0.0, |most: f64, part| {
        most.max(part.at_from).max(part.at_to)
    });
    if most > 0.0 {
        let x = |layers: f64| left + inside * 0.96 * layers / most;
        for part in &layers {
            let (lower, upper) = (layout.y(part.from), layout.y(part.to));
            scene.area(
                &[
                    (left, lower),
                    (x(part.at_from), lower),
                    (x(part.at_to), upper),
                    (left, upper),
                ],
                Role::Fill,
            );
        }
        let outline: Vec<(f64, f64)> = layers
            .iter()
            .flat_map(|part| {
                [
                    (x(part.at_from), layout.y(part.from)),
                    (x(part.at_to), layout.y(part.to)),
                ]
            })
            .collect();
        scene.line(&outline, 1.5, Role::Rule);
    } else {
        for at in 1..12_u8 {
            let y = top + (base - top) * f64::from(at) / 12.0;
            scene.line(&[(left, y), (right, y)], 1.0, Role::Rule);
        }
    }
    let corners = [(left, base), (left, top), (right, top), (right, base)];
    scene.line(&corners, 2.0, Role::Ink);
    let foot = (inside * 0.2).min(18.0);
    for at in 0..3_u8 {
        let x = left + f64::from(at) * (inside - foot) / 2.0;
        scene.rect((x, base + 4.0), (foot, PALLET - 4.0), Role::Edge);
    }
    scene.line(
        &[(0.0, base + 2.0), (right + 4.0, base + 2.0)],
        4.0,
        Role::Ink,
    );
}

fn draw_zone(scene: &mut Scene, layout: &Layout, side: &LoadSide, at: usize, zone: &SideZone) {
    let frame = layout.frame;
    let (top, bottom) = (layout.top(at), layout.top(at) + layout.band);
    let x = |force: f64| layout.x(&side.axis, force);
    if at < 2 {
        scene.line(&[(0.0, bottom), (frame.width, bottom)], 1.0, Role::Edge);
    }
    let middle = f64::midpoint(top, bottom);
    let (name_y, film_y) = if zone.film.is_empty() {
        (middle, middle)
    } else {
        (middle - frame.line() / 2.0, middle + frame.line() / 2.0)
    };
    let room = layout.load - 12.0;
    let centre = f64::midpoint(4.0, layout.load);
    let name = cut(&zone.name, room, frame.text, true);
    scene.text((centre, name_y), Anchor::Middle, name, frame.bold());
    if !zone.film.is_empty() {
        let film = cut(&zone.film, room, frame.text, false);
        scene.text((centre, film_y), Anchor::Middle, film, frame.ink());
    }

    let words = top + 3.0 + frame.line() / 2.0;
    let note = cut(
        &zone.note,
        layout.plot.1 - layout.plot.0 - 4.0,
        frame.text,
        false,
    );
    scene.text(
        (layout.plot.0 + 4.0, words),
        Anchor::Start,
        note,
        frame.ink(),
    );
    let under = top + frame.line() + 5.0;
    if let Some(lowest) = zone.lowest {
        let wide = x(lowest) - layout.plot.0;
        scene.rect(
            (layout.plot.0, under),
            (wide, bottom - under - 5.0),
            Role::Fill,
        );
        scene.line(
            &[(x(lowest), under), (x(lowest), bottom - 5.0)],
            3.0,
            Role::Accent,
        );
    }
    if let Some(target) = zone.target {
        scene.dashed(
            (x(target), under - 2.0),
            (x(target), bottom - 2.0),
            3.0,
            Role::Ink,
        );
    }
    let low = bottom - 17.0;
    if let Some((from, to)) = zone.interval {
        scene.whisker((x(from), x(to)), low, Role::Ink);
        if let Some(mean) = zone.mean {
            scene.dot((x(mean), low), 5.0, Shape::Square, false, Role::Ink);
        }
    }
    if let Some(bound) = zone.bound {
        scene.bracket((x(bound), low), Role::Ink);
    }
    if let Some(good) = zone.reaches {
        scene.verdict(
            (frame.width - 14.0, f64::midpoint(under, bottom)),
            11.0,
            good,
        );
    }
}

fn entries(side: &LoadSide) -> Vec<(Sample, String)> {
    let words = &side.words;
    let mut entries = Vec::new();
    for ((face, shape), name) in FACES.iter().zip(&words.faces) {
        if side.readings.iter().any(|reading| reading.face == *face) {
            entries.push((Sample::Dot(*shape, false, Role::Accent), name.clone()));
        }
    }
    if side.readings.iter().any(|reading| reading.aside) {
        let sample = Sample::Dot(Shape::Circle, true, Role::Muted);
        entries.push((sample, words.aside.clone()));
    }
    let any = |has: fn(&SideZone) -> bool| side.zones.iter().any(has);
    if any(|zone| zone.target.is_some()) {
        entries.push((Sample::Target, words.target.clone()));
    }
    if any(|zone| zone.lowest.is_some()) {
        entries.push((Sample::Bar, words.lowest.clone()));
    }
    if any(|zone| zone.interval.is_some()) {
        entries.push((Sample::Mean(Shape::Square), words.mean.clone()));
    }
    if any(|zone| zone.bound.is_some()) {
        entries.push((Sample::Bound, words.bound.clone()));
    }
    if !side.layers.is_empty() {
        entries.push((Sample::Ground, words.layers.clone()));
    }
    entries
}
