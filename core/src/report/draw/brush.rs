//! Marks in colour on a surface.

use krilla::color::rgb;
use krilla::geom::{PathBuilder, Point, Rect};
use krilla::num::NormalizedF32;
use krilla::paint::{Fill, FillRule, LineCap, LineJoin, Stroke, StrokeDash};
use krilla::surface::Surface;
use krilla::text::{Font, TextDirection};

use crate::chart::Role;
use crate::fonts::{BOLD, REGULAR};
use crate::report::ReportError;
use crate::report::set::{Fonts, Mark, Paint};

/// A length in the precision that drawings have.
#[allow(clippy::cast_possible_truncation)] // A place on a page.
pub(super) const fn pt(length: f64) -> f32 {
    length as f32
}

/// The colours on paper: those of the day look, with fills that print light.
fn colour(paint: Paint) -> rgb::Color {
    match paint {
        Paint::Warning => rgb::Color::new(0x5e, 0x37, 0x00),
        Paint::Role(role) => match role {
            Role::Ink => rgb::Color::new(0x17, 0x20, 0x2a),
            Role::Muted => rgb::Color::new(0x3c, 0x47, 0x53),
            Role::Rule => rgb::Color::new(0xc9, 0xd3, 0xdc),
            Role::Edge => rgb::Color::new(0x5f, 0x6b, 0x78),
            Role::Accent => rgb::Color::new(0x12, 0x3a, 0x86),
            Role::Fill => rgb::Color::new(0xdd, 0xe7, 0xf7),
            Role::Paper => rgb::Color::new(0xff, 0xff, 0xff),
            Role::Good => rgb::Color::new(0x0e, 0x4a, 0x28),
            Role::Bad => rgb::Color::new(0x86, 0x12, 0x12),
        },
    }
}

/// What marks are drawn with.
pub(super) struct Brush {
    typefaces: [Font; 2],
    /// To measure with, and to leave out what they lack.
    pub(super) fonts: Fonts,
}

impl Brush {
    pub(super) fn new() -> Result<Self, ReportError> {
        let font = |data: &'static [u8]| {
            Font::new(data.into(), 0).ok_or_else(|| ReportError::Drawing("its typeface".to_owned()))
        };
        Ok(Self {
            typefaces: [font(REGULAR)?, font(BOLD)?],
            fonts: super::fonts()?,
        })
    }

    pub(super) fn filled(surface: &mut Surface<'_>, paint: Paint) {
        surface.set_stroke(None);
        surface.set_fill(Some(Fill {
            paint: colour(paint).into(),
            opacity: NormalizedF32::ONE,
            rule: FillRule::NonZero,
        }));
    }

    pub(super) fn stroked(
        surface: &mut Surface<'_>,
        paint: Paint,
        width: f64,
        dash: Option<[f64; 2]>,
    ) {
        surface.set_fill(None);
        surface.set_stroke(Some(Stroke {
            paint: colour(paint).into(),
            width: pt(width),
            line_cap: if dash.is_some() {
                LineCap::Butt
            } else {
                LineCap::Round
            },
            line_join: LineJoin::Round,
            dash: dash.map(|dash| StrokeDash {
                array: dash.map(pt).to_vec(),
                offset: 0.0,
            }),
            ..Stroke::default()
        }));
    }

    /// A line of text, clean already.
    pub(super) fn text(
        &self,
        surface: &mut Surface<'_>,
        (x, baseline): (f64, f64),
        (size, bold): (f64, bool),
        paint: Paint,
        text: &str,
    ) {
        if text.trim().is_empty() {
            return;
        }
        Self::filled(surface, paint);
        surface.draw_text(
            Point::from_xy(pt(x), pt(baseline)),
            self.typefaces[usize::from(bold)].clone(),
            pt(size),
            text,
            false,
            TextDirection::LeftToRight,
        );
    }

    pub(super) fn rect(surface: &mut Surface<'_>, (x, y): (f64, f64), (width, height): (f64, f64)) {
        let Some(rect) = Rect::from_xywh(pt(x), pt(y), pt(width), pt(height)) else {
            return;
        };
        let mut path = PathBuilder::new();
        path.push_rect(rect);
        if let Some(path) = path.finish() {
            surface.draw_path(&path);
        }
    }

    pub(super) fn polygon(surface: &mut Surface<'_>, points: &[(f64, f64)], closed: bool) {
        let mut path = PathBuilder::new();
        for (at, (x, y)) in points.iter().enumerate() {
            if at == 0 {
                path.move_to(pt(*x), pt(*y));
            } else {
                path.line_to(pt(*x), pt(*y));
            }
        }
        if closed {
            path.close();
        }
        if let Some(path) = path.finish() {
            surface.draw_path(&path);
        }
    }

    pub(super) fn circle(surface: &mut Surface<'_>, (x, y): (f64, f64), radius: f64) {
        // Four cubic arcs (the usual constant, error 0.03 % of the radius).
        let k = radius * 0.552_284_75;
        let mut path = PathBuilder::new();
        path.move_to(pt(x + radius), pt(y));
        for [(ax, ay), (bx, by), (cx, cy)] in [
            [(radius, k), (k, radius), (0.0, radius)],
            [(-k, radius), (-radius, k), (-radius, 0.0)],
            [(-radius, -k), (-k, -radius), (0.0, -radius)],
            [(k, -radius), (radius, -k), (radius, 0.0)],
        ] {
            path.cubic_to(
                pt(x + ax),
                pt(y + ay),
                pt(x + bx),
                pt(y + by),
                pt(x + cx),
                pt(y + cy),
            );
        }
        path.close();
        if let Some(path) = path.finish() {
            surface.draw_path(&path);
        }
    }

    /// Anything but a picture, which has to be read first.
    pub(super) fn mark(
        &mut self,
        surface: &mut Surface<'_>,
        mark: &Mark,
    ) -> Result<(), ReportError> {
        match mark {
            Mark::Text {
                x,
                baseline,
                size,
                bold,
                paint,
                text,
            } => self.text(surface, (*x, *baseline), (*size, *bold), *paint, text),
            Mark::Bar {
                x,
                y,
                width,
                height,
                paint,
            } => {
                Self::filled(surface, *paint);
                Self::rect(surface, (*x, *y), (*width, *height));
            }
            Mark::Scene { x, y, scale, scene } => {
                self.scene(surface, (*x, *y), *scale, scene);
            }
            Mark::Photo(_) => {
                return Err(ReportError::Drawing(
                    "a picture out of its place".to_owned(),
                ));
            }
        }
        Ok(())
    }
}
