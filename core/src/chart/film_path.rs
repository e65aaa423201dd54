//! The film's way from the roll to the load, seen from above: who turns which way, where the film
//! changes its bend, and which side of it clings.

use std::f64::consts::TAU;

use super::key::{Sample, key};
use super::scene::{Anchor, Frame, Point, Role, Scene, lines};
use crate::survey::Rotation;

/// Where the film clings, as it lies on the roll.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Sticky {
    /// Towards the core.
    Inside,
    /// Away from the core.
    Outside,
    /// On both sides.
    Both,
}

/// What the drawing shows.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct FilmPath {
    /// Which way the load turns, or seems to from where the film comes; `None` is drawn without
    /// an arrow.
    pub load: Option<Rotation>,
    /// Which way the roll turns as film comes off it; `None` is drawn without an arrow.
    pub roll: Option<Rotation>,
    /// How often the film changes its bend. Drawn only where `load` and `roll` are known; a number
    /// that does not go with the two is drawn with the fewest that do.
    pub reversals: Option<u8>,
    /// The load stands on a table that turns.
    pub table: bool,
    /// Where the film clings, when known.
    pub sticky: Option<Sticky>,
    /// Under the load and under the roll: what they are and which way they turn.
    pub words: [String; 2],
    /// The words of the key: the film, the side that clings.
    pub key: [String; 2],
    /// The drawing in a sentence, for reading aloud.
    pub spoken: String,
}

/// Rollers drawn between roll and load, at most: more would not be told apart.
const ROLLERS: u8 = 3;

const TABLE: f64 = 62.0;
const LOAD: f64 = 34.0;
/// From the middle of the load to the film on it.
const WRAPPED: f64 = 42.0;
const ROLL: f64 = 22.0;
const ROLLER: f64 = 8.0;
/// How far rollers stand off the line between roll and load, so that film bends round them.
const OFF: f64 = 16.0;
const HAIR: f64 = 5.5;
const WIDEST: f64 = 400.0;

/// +1 with the clock, -1 against it. In a scene, where y grows downwards, angles grow with the
/// clock.
const fn sense(rotation: Rotation) -> f64 {
    match rotation {
        Rotation::Clockwise => 1.0,
        Rotation::Anticlockwise => -1.0,
    }
}

/// Something the film runs round.
#[derive(Clone, Copy)]
struct Bend {
    at: Point,
    radius: f64,
    sense: f64,
}

/// Lays the drawing out.
#[must_use]
pub fn film_path(path: &FilmPath, frame: Frame) -> Scene {
    let mut scene = Scene::new(frame.width);
    let wide = frame.width.min(WIDEST);
    let left = (frame.width - wide) / 2.0;
    let load = (left + TABLE + 4.0, TABLE + 4.0);
    let roll = (left + wide - ROLL - 8.0, load.1);
    if path.table {
        scene.area(&circle(load, TABLE, TAU, 0.0, 1.0), Role::Fill);
        scene.line(&circle(load, TABLE, TAU, 0.0, 1.0), 1.5, Role::Edge);
    }
    square(&mut scene, load, LOAD);
    if let Some(turn) = path.load {
        turning(&mut scene, load, 20.0, turn);
    }
    scene.line(&circle(roll, ROLL, TAU, 0.0, 1.0), 2.5, Role::Ink);
    scene.line(&circle(roll, 5.0, TAU, 0.0, 1.0), 2.0, Role::Ink);
    if let Some(turn) = path.roll {
        turning(&mut scene, roll, 13.0, turn);
    }
    let mut entries = Vec::new();
    if let (Some(load_turns), Some(roll_turns)) = (path.load, path.roll) {
        let bends = bends((load, load_turns), (roll, roll_turns), path.reversals);
        for bend in &bends[1..] {
            scene.line(
                &circle(bend.at, bend.radius, TAU, 0.0, 1.0),
                2.0,
                Role::Edge,
            );
        }
        let runs = film(&mut scene, &bends, (load, sense(load_turns)));
        entries.push((Sample::Curve, path.key[0].clone()));
        if let Some(sticky) = path.sticky {
            let inside = sense(roll_turns);
            let sides: &[f64] = match sticky {
                Sticky::Inside => &[inside],
                Sticky::Outside => &[-inside],
                Sticky::Both => &[1.0, -1.0],
            };
            for side in sides {
                for run in &runs {
                    hairs(&mut scene, *run, *side);
                }
            }
            entries.push((Sample::Hairs, path.key[1].clone()));
        }
    }
    let mut under = load.1 + TABLE + 6.0;
    let half = frame.width / 2.0 - 6.0;
    let columns = [(0.0, Anchor::Start), (frame.width, Anchor::End)];
    let mut lowest = under;
    for (text, (x, anchor)) in path.words.iter().zip(columns) {
        let mut y = under;
        for line in lines(text, half, frame.text, false) {
            scene.text((x, y + frame.line() / 2.0), anchor, line, frame.ink());
            y += frame.line();
        }
        lowest = lowest.max(y);
    }
    under = lowest + 4.0;
    let end = key(&mut scene, frame, under, &entries);
    scene.finish(end + 2.0, path.spoken.clone())
}

/// Roll and rollers in the order the film meets them, without the load.
fn bends(
    (load, load_turns): (Point, Rotation),
    (roll, roll_turns): (Point, Rotation),
    reversals: Option<u8>,
) -> Vec<Bend> {
    let odd = u8::from(load_turns != roll_turns);
    let count = reversals
        .filter(|count| count % 2 == odd)
        .map_or(odd, |count| {
            let most = ROLLERS + 1;
            if count <= most {
                count
            } else {
                // As many as are drawn of the same kind, odd or even.
                most - (most - odd) % 2
            }
        });
    let mut bends = vec![Bend {
        at: roll,
        radius: ROLL,
        sense: sense(roll_turns),
    }];
    let rollers = count.saturating_sub(1);
    let (from, to) = (roll.0 - ROLL - 20.0, load.0 + WRAPPED + 22.0);
    for at in 0..rollers {
        let part = (f64::from(at) + 1.0) / (f64::from(rollers) + 1.0);
        let turned = if at % 2 == 0 { -1.0 } else { 1.0 } * sense(roll_turns);
        bends.push(Bend {
            at: (
                if rollers > 2 {
                    from + (to - from) * f64::from(at) / f64::from(rollers - 1)
                } else {
                    from + (to - from) * part
                },
                load.1 + OFF * turned,
            ),
            radius: ROLLER,
            sense: turned,
        });
    }
    bends
}

/// Draws the film round every bend and the load; its straight runs, each from where to where.
fn film(scene: &mut Scene, bends: &[Bend], (load, turn): (Point, f64)) -> Vec<(Point, Point)> {
    let mut line: Vec<Point> = Vec::new();
    let mut runs = Vec::new();
    // The corners of the film on the load in the order it is laid on them. Film that comes from
    // the right meets the lower one first when the load turns with the clock.
    let corner = |x: f64, y: f64| (load.0 + WRAPPED * x, load.1 + WRAPPED * y * turn);
    let corners = [
        corner(1.0, 1.0),
        corner(-1.0, 1.0),
        corner(-1.0, -1.0),
        corner(1.0, -1.0),
        corner(1.0, 0.55),
    ];
    let first = Bend {
        at: corners[0],
        radius: 0.0,
        sense: turn,
    };
    let mut came: Option<Point> = None;
    for (at, bend) in bends.iter().enumerate() {
        let (from, to) = tangent(*bend, *bends.get(at + 1).unwrap_or(&first));
        if let Some(came) = came {
            let angle = |point: Point| (point.1 - bend.at.1).atan2(point.0 - bend.at.0);
            let sweep = ((angle(from) - angle(came)) * bend.sense).rem_euclid(TAU);
            line.extend(circle(bend.at, bend.radius, sweep, angle(came), bend.sense));
        }
        line.push(from);
        line.push(to);
        runs.push((from, to));
        came = Some(to);
    }
    line.extend(&corners[1..]);
    runs.extend(corners.windows(2).map(|pair| (pair[0], pair[1])));
    scene.line(&line, 3.0, Role::Accent);
    if let Some(longest) = runs[..bends.len()]
        .iter()
        .max_by(|one, other| length(**one).total_cmp(&length(**other)))
    {
        let (from, to) = *longest;
        let middle = (f64::midpoint(from.0, to.0), f64::midpoint(from.1, to.1));
        head(scene, middle, (to.1 - from.1).atan2(to.0 - from.0), 9.0);
    }
    runs
}

/// Where film leaves one bend and meets the next. A bend that turns with the clock lies at the
/// right of the film's travel, one against it at the left.
fn tangent(one: Bend, next: Bend) -> (Point, Point) {
    let (dx, dy) = (next.at.0 - one.at.0, next.at.1 - one.at.1);
    let apart = dx.hypot(dy).max(1e-9);
    let lean = (next.sense * next.radius - one.sense * one.radius) / apart;
    let along = dy.atan2(dx) - lean.clamp(-1.0, 1.0).asin();
    let right = (-along.sin(), along.cos());
    let touch = |bend: Bend| {
        (
            bend.at.0 - bend.sense * bend.radius * right.0,
            bend.at.1 - bend.sense * bend.radius * right.1,
        )
    };
    (touch(one), touch(next))
}

fn length((from, to): (Point, Point)) -> f64 {
    (to.0 - from.0).hypot(to.1 - from.1)
}

/// Short strokes on the side of a run that clings: +1 is the right of its travel.
fn hairs(scene: &mut Scene, (from, to): (Point, Point), side: f64) {
    let long = length((from, to));
    if long < 12.0 {
        return;
    }
    let along = ((to.0 - from.0) / long, (to.1 - from.1) / long);
    let out = (-along.1 * side * HAIR, along.0 * side * HAIR);
    let mut at = 6.0;
    while at < long - 3.0 {
        let foot = (from.0 + along.0 * at, from.1 + along.1 * at);
        scene.line(&[foot, (foot.0 + out.0, foot.1 + out.1)], 2.0, Role::Ink);
        at += 9.0;
    }
}

/// Points along a circle from an angle on, one way or the other.
fn circle(middle: Point, radius: f64, sweep: f64, from: f64, sense: f64) -> Vec<Point> {
    (0..=48_u8)
        .map(|step| {
            let angle = from + sense * sweep * f64::from(step) / 48.0;
            (
                middle.0 + radius * angle.cos(),
                middle.1 + radius * angle.sin(),
            )
        })
        .collect()
}

/// An area, not a rectangle: areas keep their order, and the arrow's head lies on this one.
fn square(scene: &mut Scene, (x, y): Point, half: f64) {
    let (left, right, top, bottom) = (x - half, x + half, y - half, y + half);
    let around = [
        (left, top),
        (right, top),
        (right, bottom),
        (left, bottom),
        (left, top),
    ];
    scene.area(&around[..4], Role::Paper);
    scene.line(&around, 2.0, Role::Ink);
}

/// An arrow that goes most of the way round.
fn turning(scene: &mut Scene, middle: Point, radius: f64, rotation: Rotation) {
    let turn = sense(rotation);
    let start = -TAU / 4.0 - turn * 2.2;
    let arc = circle(middle, radius, 4.2, start, turn);
    if let Some(&end) = arc.last() {
        let points = &arc[..arc.len() - 3];
        scene.line(points, 2.5, Role::Accent);
        head(scene, end, start + turn * (4.2 + TAU / 4.0 - 0.12), 8.0);
    }
}

/// The head of an arrow, with its tip at a place.
fn head(scene: &mut Scene, tip: Point, direction: f64, size: f64) {
    let corner = |off: f64| {
        (
            tip.0 - size * 1.3 * (direction + off).cos(),
            tip.1 - size * 1.3 * (direction + off).sin(),
        )
    };
    scene.area(&[tip, corner(0.5), corner(-0.5)], Role::Accent);
}
