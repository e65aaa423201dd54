//! A scene of the core in the terms of the `ChartView`.

use std::fmt::Write as _;

use tautbook_core::chart::{Anchor, LINE, Mark, Point, Role, Scene, Shape, text_width};

use crate::adapters::{model, same};
use crate::screens::{self, ChartDot, ChartLine, ChartRect, ChartScene, ChartText};

same!(
    role_out,
    role_in,
    screens::ChartRole,
    Role {
        Ink,
        Muted,
        Rule,
        Edge,
        Accent,
        Fill,
        Paper,
        Good,
        Bad
    }
);
same!(
    shape_out,
    shape_in,
    screens::ChartShape,
    Shape {
        Circle,
        Square,
        Triangle,
        Diamond,
        Cross
    }
);

/// A dash and the gap behind it.
const DASH: (f64, f64) = (6.0, 4.0);

/// A length in the precision that drawings have.
#[allow(clippy::cast_possible_truncation)] // A place on a screen.
const fn dp(length: f64) -> f32 {
    length as f32
}

/// The scene as the screen draws it.
#[must_use]
pub fn chart(scene: &Scene) -> ChartScene {
    let mut areas = Vec::new();
    let mut rects = Vec::new();
    let mut lines = Vec::new();
    let mut dots = Vec::new();
    let mut texts = Vec::new();
    for mark in &scene.marks {
        match mark {
            Mark::Rect {
                x,
                y,
                width,
                height,
                role,
            } => rects.push(rect((*x, *y), (*width, *height), *role)),
            Mark::Area { points, role } => areas.push(path(points, 0.0, *role)),
            Mark::Line {
                points,
                thickness,
                dashed,
                role,
            } => match points.as_slice() {
                [from, to] if *dashed => {
                    rects.extend(dashes(*from, *to, *thickness, *role));
                }
                [from, to] if is_straight(*from, *to) => {
                    rects.push(straight(*from, *to, *thickness, *role));
                }
                points => lines.push(path(points, *thickness, *role)),
            },
            Mark::Dot {
                at,
                radius,
                shape,
                hollow,
                role,
            } => dots.push(ChartDot {
                x: dp(at.0),
                y: dp(at.1),
                radius: dp(*radius),
                shape: shape_out(*shape),
                hollow: *hollow,
                role: role_out(*role),
            }),
            Mark::Text {
                at,
                anchor,
                size,
                bold,
                role,
                text,
            } => {
                let wide = text_width(text, *size, *bold);
                let left = match anchor {
                    Anchor::Start => at.0,
                    Anchor::Middle => at.0 - wide / 2.0,
                    Anchor::End => at.0 - wide,
                };
                let high = size * LINE;
                texts.push(ChartText {
                    x: dp(left),
                    y: dp(at.1 - high / 2.0),
                    width: dp(wide),
                    height: dp(high),
                    size: dp(*size),
                    bold: *bold,
                    role: role_out(*role),
                    text: text.as_str().into(),
                });
            }
        }
    }
    ChartScene {
        height: dp(scene.height),
        areas: model(areas),
        rects: model(rects),
        lines: model(lines),
        dots: model(dots),
        texts: model(texts),
        spoken: scene.spoken.as_str().into(),
    }
}

fn rect((x, y): Point, (width, height): (f64, f64), role: Role) -> ChartRect {
    ChartRect {
        x: dp(x),
        y: dp(y),
        width: dp(width),
        height: dp(height),
        role: role_out(role),
    }
}

fn is_straight(from: Point, to: Point) -> bool {
    (from.0 - to.0).abs() < 1e-6 || (from.1 - to.1).abs() < 1e-6
}

/// A line along an edge of the scene, as a rectangle: sharper than a path.
fn straight(from: Point, to: Point, thickness: f64, role: Role) -> ChartRect {
    let (x, y) = (from.0.min(to.0), from.1.min(to.1));
    let (wide, high) = ((from.0 - to.0).abs(), (from.1 - to.1).abs());
    let half = thickness / 2.0;
    if wide >= high {
        rect((x, (y - half).round()), (wide, thickness), role)
    } else {
        rect(((x - half).round(), y), (thickness, high), role)
    }
}

fn dashes(from: Point, to: Point, thickness: f64, role: Role) -> Vec<ChartRect> {
    let length = (to.0 - from.0).hypot(to.1 - from.1);
    if length <= 0.0 {
        return Vec::new();
    }
    let (along_x, along_y) = ((to.0 - from.0) / length, (to.1 - from.1) / length);
    let mut dashes = Vec::new();
    let mut at = 0.0;
    while at < length {
        let end = (at + DASH.0).min(length);
        let point = |at: f64| (from.0 + along_x * at, from.1 + along_y * at);
        dashes.push(straight(point(at), point(end), thickness, role));
        at += DASH.0 + DASH.1;
    }
    dashes
}

/// A line through points, in a box with room for its width.
fn path(points: &[Point], thickness: f64, role: Role) -> ChartLine {
    let room = thickness + 1.0;
    let least = |of: fn(&Point) -> f64| points.iter().map(of).fold(f64::INFINITY, f64::min);
    let most = |of: fn(&Point) -> f64| points.iter().map(of).fold(f64::NEG_INFINITY, f64::max);
    let (left, top) = (least(|point| point.0) - room, least(|point| point.1) - room);
    let (right, bottom) = (most(|point| point.0) + room, most(|point| point.1) + room);
    let mut commands = String::new();
    for (at, (x, y)) in points.iter().enumerate() {
        let letter = if at == 0 { 'M' } else { 'L' };
        let written = write!(commands, "{letter} {:.2} {:.2} ", x - left, y - top);
        debug_assert!(written.is_ok(), "a string takes all");
    }
    ChartLine {
        x: dp(left),
        y: dp(top),
        width: dp(right - left),
        height: dp(bottom - top),
        thickness: dp(thickness),
        commands: commands.into(),
        role: role_out(role),
    }
}
