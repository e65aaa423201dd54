//! Charts on a surface.

use krilla::surface::Surface;

use super::brush::Brush;
use crate::chart::{Anchor, BASELINE, Mark, Point, Role, Scene, Shape};
use crate::report::set::Paint;

/// A dash and the gap behind it, in dp.
const DASH: [f64; 2] = [6.0, 4.0];

impl Brush {
    /// Draws a chart with its upper left corner at `from`, so many points to a dp.
    pub(super) fn scene(
        &mut self,
        surface: &mut Surface<'_>,
        from: Point,
        scale: f64,
        scene: &Scene,
    ) {
        let at = |(x, y): Point| (x.mul_add(scale, from.0), y.mul_add(scale, from.1));
        for mark in &scene.marks {
            match mark {
                Mark::Rect {
                    x,
                    y,
                    width,
                    height,
                    role,
                } => {
                    Self::filled(surface, Paint::Role(*role));
                    Self::rect(surface, at((*x, *y)), (width * scale, height * scale));
                }
                Mark::Area { points, role } => {
                    Self::filled(surface, Paint::Role(*role));
                    let points: Vec<Point> = points.iter().copied().map(at).collect();
                    Self::polygon(surface, &points, true);
                }
                Mark::Line {
                    points,
                    thickness,
                    dashed,
                    role,
                } => {
                    let dash = dashed.then(|| DASH.map(|length| length * scale));
                    Self::stroked(surface, Paint::Role(*role), thickness * scale, dash);
                    let points: Vec<Point> = points.iter().copied().map(at).collect();
                    Self::polygon(surface, &points, false);
                }
                Mark::Dot {
                    at: middle,
                    radius,
                    shape,
                    hollow,
                    role,
                } => dot(
                    surface,
                    at(*middle),
                    radius * scale,
                    (*shape, *hollow),
                    *role,
                ),
                Mark::Text {
                    at: place,
                    anchor,
                    size,
                    bold,
                    role,
                    text,
                } => {
                    let text = self.fonts.clean(text).text;
                    let size = size * scale;
                    let wide = self.fonts.width(&text, size, *bold);
                    let (x, y) = at(*place);
                    let left = match anchor {
                        Anchor::Start => x,
                        Anchor::Middle => x - wide / 2.0,
                        Anchor::End => x - wide,
                    };
                    let baseline = BASELINE.mul_add(size, y);
                    self.text(
                        surface,
                        (left, baseline),
                        (size, *bold),
                        Paint::Role(*role),
                        &text,
                    );
                }
            }
        }
    }
}

fn dot(
    surface: &mut Surface<'_>,
    (x, y): Point,
    radius: f64,
    (shape, hollow): (Shape, bool),
    role: Role,
) {
    let paint = Paint::Role(role);
    if hollow || shape == Shape::Cross {
        Brush::stroked(surface, paint, radius * 0.4, None);
    } else {
        Brush::filled(surface, paint);
    }
    let corner = |dx: f64, dy: f64| (dx.mul_add(radius, x), dy.mul_add(radius, y));
    match shape {
        Shape::Circle => Brush::circle(surface, (x, y), radius),
        Shape::Square => {
            let half = 0.88;
            let corners = [(-half, -half), (half, -half), (half, half), (-half, half)];
            Brush::polygon(surface, &corners.map(|(dx, dy)| corner(dx, dy)), true);
        }
        Shape::Triangle => {
            let corners = [(0.0, -1.05), (1.05, 0.85), (-1.05, 0.85)];
            Brush::polygon(surface, &corners.map(|(dx, dy)| corner(dx, dy)), true);
        }
        Shape::Diamond => {
            let corners = [(0.0, -1.2), (1.2, 0.0), (0.0, 1.2), (-1.2, 0.0)];
            Brush::polygon(surface, &corners.map(|(dx, dy)| corner(dx, dy)), true);
        }
        Shape::Cross => {
            for (dx, dy) in [(1.0, 1.0), (1.0, -1.0)] {
                let ends = [corner(-dx, -dy), corner(dx, dy)];
                Brush::polygon(surface, &ends, false);
            }
        }
    }
}
