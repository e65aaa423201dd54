//! Text as the outlines of its signs.

use tiny_skia::{Path, PathBuilder};
use ttf_parser::{Face, OutlineBuilder};

use super::PhotoError;
use crate::chart::text_width;
use crate::fonts::BOLD;

/// Distance from one line of text to the next, over its size.
const LINE: f32 = 1.15;

/// Height of a capital letter over its size: 1433 of 2000 units.
const CAPITAL: f32 = 0.717;

/// Lines of text, centred on each other.
pub(super) struct Text<'t> {
    face: Face<'static>,
    lines: Vec<&'t str>,
    size: f32,
}

#[allow(clippy::cast_possible_truncation)] // Pixels.
fn width(line: &str, size: f32) -> f32 {
    text_width(line, f64::from(size), true) as f32
}

impl<'t> Text<'t> {
    /// Text of that size, in pixels.
    ///
    /// # Errors
    /// [`PhotoError::Internal`] when the font cannot be read.
    pub(super) fn new(text: &'t str, size: f32) -> Result<Self, PhotoError> {
        let face = Face::parse(BOLD, 0)
            .map_err(|error| PhotoError::Internal(format!("the font: {error}")))?;
        let lines = text.lines().map(str::trim).filter(|line| !line.is_empty());
        Ok(Self {
            face,
            lines: lines.collect(),
            size,
        })
    }

    pub(super) fn is_empty(&self) -> bool {
        self.lines.is_empty()
    }

    pub(super) fn size(&self) -> f32 {
        self.size
    }

    /// Makes it smaller, so that it is no wider than that many pixels.
    pub(super) fn fit(&mut self, most: f32) {
        let (wide, _) = self.extent();
        if wide > most {
            self.size *= most / wide;
        }
    }

    /// Width, and height from the top of the capitals of the first line to the foot of the last.
    #[allow(clippy::cast_precision_loss)] // A few lines.
    pub(super) fn extent(&self) -> (f32, f32) {
        let wide = self.lines.iter().map(|line| width(line, self.size));
        let below = self.lines.len().saturating_sub(1) as f32;
        (
            wide.fold(0.0, f32::max),
            (CAPITAL + LINE * below) * self.size,
        )
    }

    /// The outlines, centred about a point.
    #[allow(clippy::cast_precision_loss)]
    pub(super) fn outlines(&self, x: f32, y: f32) -> Option<Path> {
        let scale = self.size / f32::from(self.face.units_per_em());
        let (_, high) = self.extent();
        let mut pen = Pen {
            path: PathBuilder::new(),
            scale,
            x: 0.0,
            y: 0.0,
        };
        for (n, line) in self.lines.iter().enumerate() {
            pen.x = x - width(line, self.size) / 2.0;
            pen.y = y - high / 2.0 + (CAPITAL + LINE * n as f32) * self.size;
            for sign in line.chars() {
                let glyph = self
                    .face
                    .glyph_index(sign)
                    .or_else(|| self.face.glyph_index('?'))?;
                self.face.outline_glyph(glyph, &mut pen);
                let advance = self.face.glyph_hor_advance(glyph).unwrap_or(0);
                pen.x += f32::from(advance) * scale;
            }
        }
        pen.path.finish()
    }
}

/// Draws a glyph, whose y goes up, where y goes down.
struct Pen {
    path: PathBuilder,
    scale: f32,
    x: f32,
    y: f32,
}

impl Pen {
    fn at(&self, x: f32, y: f32) -> (f32, f32) {
        (self.x + x * self.scale, self.y - y * self.scale)
    }
}

impl OutlineBuilder for Pen {
    fn move_to(&mut self, x: f32, y: f32) {
        let (x, y) = self.at(x, y);
        self.path.move_to(x, y);
    }
    fn line_to(&mut self, x: f32, y: f32) {
        let (x, y) = self.at(x, y);
        self.path.line_to(x, y);
    }
    fn quad_to(&mut self, x1: f32, y1: f32, x: f32, y: f32) {
        let ((x1, y1), (x, y)) = (self.at(x1, y1), self.at(x, y));
        self.path.quad_to(x1, y1, x, y);
    }
    fn curve_to(&mut self, x1: f32, y1: f32, x2: f32, y2: f32, x: f32, y: f32) {
        let ((x1, y1), (x2, y2), (x, y)) = (self.at(x1, y1), self.at(x2, y2), self.at(x, y));
        self.path.cubic_to(x1, y1, x2, y2, x, y);
    }
    fn close(&mut self) {
        self.path.close();
    }
}
