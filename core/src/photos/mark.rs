//! Marks on a copy of a picture: an arrow or a circle, and what was read there.
//!
//! Everything is drawn dark with a white rim, in proportion to the picture, so that it can be read
//! on dark and on bright ground and on any size of print.

use std::ops::ControlFlow;

use tiny_skia::{
    Color, FillRule, IntSize, LineCap, LineJoin, Paint, Path, PathBuilder, Pixmap, Stroke,
    Transform,
};

use super::pixels::Pixels;
use super::progress::{Step, Watch};
use super::text::Text;
use super::{Keep, Options, PhotoError, Prepared, Progress, decode, format};
use crate::word;

/// A place in a picture, as parts of its width and height from the left and the top, 0 to 1.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spot {
    /// From the left.
    pub x: f32,
    /// From the top.
    pub y: f32,
}

/// What is drawn.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Shape {
    /// An arrow; the text stands at its tail.
    Arrow {
        /// Its tail.
        from: Spot,
        /// Its head: what it shows.
        to: Spot,
    },
    /// A circle; the text stands beside it.
    Circle {
        /// Its middle.
        centre: Spot,
        /// Its radius over the shorter side of the picture.
        radius: f32,
    },
}

/// One mark.
#[derive(Debug, Clone, PartialEq)]
pub struct Mark {
    /// What is drawn.
    pub shape: Shape,
    /// What was read there, such as `12 lb 6 oz`; a line break starts a new line. May be empty.
    pub text: String,
}

/// Width of a line over the longer side of the picture.
const LINE: f32 = 1.0 / 210.0;
/// How far the white rim stands out on each side of a line, over the width of the line.
const RIM: f32 = 0.55;
/// Size of the text over the longer side of the picture.
const TEXT: f32 = 1.0 / 26.0;
/// How far the white rim stands out around text, over its size.
const TEXT_RIM: f32 = 0.10;
/// Text is made smaller to fit, but to no less than this part of its size.
const SMALLEST: f32 = 0.45;
/// Length of the head of an arrow, and half its breadth, over the width of a line.
const HEAD: (f32, f32) = (5.5, 2.6);

const DARK: (u8, u8, u8) = (16, 20, 26);

/// Draws marks on a copy of a kept picture. What the camera wrote into it, as far as that was kept,
/// goes into the copy too.
///
/// # Errors
/// [`PhotoError::Mark`] for a mark that cannot be drawn; [`PhotoError`] as [`super::prepare`].
pub fn mark(
    picture: &[u8],
    marks: &[Mark],
    options: &Options,
    tell: &mut dyn FnMut(Progress) -> ControlFlow<()>,
) -> Result<Prepared, PhotoError> {
    if marks.is_empty() {
        return Err(PhotoError::Mark(word!(
            "there is no mark: place an arrow or a circle first"
        )));
    }
    let mut watch = Watch::new(tell);
    watch.at(Step::Decoding, 0.0)?;
    // The copy is as large as the picture.
    let as_it_is = Options {
        long_side: u32::from(u16::MAX),
        ..*options
    };
    let decoded = decode::decode(format::recognise(picture)?, picture, &as_it_is, &mut watch)?;
    watch.at(Step::Shrinking, 0.0)?;
    let mut canvas = Canvas::of(decoded.pixels)?;
    for mark in marks {
        canvas.draw(mark)?;
    }
    let everything = Keep {
        position: true,
        camera: true,
    };
    let exif = decoded.notes.kept(everything);
    let pixels = canvas.into_pixels()?;
    let mut prepared = Prepared::pack(&pixels, options, exif.as_deref(), &mut watch)?;
    prepared.taken_at = decoded.notes.taken_at();
    Ok(prepared)
}

pub(super) struct Canvas {
    pixmap: Pixmap,
    width: f32,
    height: f32,
    /// Width of a line, in pixels.
    line: f32,
}

type Point = (f32, f32);

impl Canvas {
    #[allow(clippy::cast_precision_loss)] // Pixels of a side.
    pub(super) fn of(pixels: Pixels) -> Result<Self, PhotoError> {
        let Pixels { width, height, rgb } = pixels;
        let (from, _) = rgb.as_chunks::<3>();
        let mut rgba = Vec::with_capacity(from.len() * 4);
        for [r, g, b] in from {
            rgba.extend([*r, *g, *b, u8::MAX]);
        }
        let pixmap = IntSize::from_wh(width, height)
            .and_then(|size| Pixmap::from_vec(rgba, size))
            .ok_or_else(|| PhotoError::Internal("no room to draw".to_owned()))?;
        let (width, height) = (width as f32, height as f32);
        Ok(Self {
            pixmap,
            width,
            height,
            line: (width.max(height) * LINE).max(1.5),
        })
    }

    pub(super) fn into_pixels(self) -> Result<Pixels, PhotoError> {
        let (width, height) = (self.pixmap.width(), self.pixmap.height());
        let rgba = self.pixmap.take();
        let (from, _) = rgba.as_chunks::<4>();
        let rgb = from.iter().flat_map(|[r, g, b, _]| [*r, *g, *b]).collect();
        Pixels::new(width, height, rgb)
    }

    pub(super) fn draw(&mut self, mark: &Mark) -> Result<(), PhotoError> {
        let long = self.width.max(self.height);
        let mut text = Text::new(&mark.text, (long * TEXT).max(8.0))?;
        let full = text.size();
        text.fit(self.width * 0.9);
        if text.size() < full * SMALLEST {
            return Err(PhotoError::Mark(word!(
                "the text is too long for the picture: shorten it, or put it into the caption"
            )));
        }
        let (wide, high) = text.extent();
        let gap = self.line * 3.0 + text.size() * TEXT_RIM;
        let half = (wide / 2.0 + gap, high / 2.0 + gap);
        let places = match mark.shape {
            Shape::Arrow { from, to } => {
                let (from, to) = (self.place(from)?, self.place(to)?);
                self.arrow(from, to)?;
                beside_tail(from, to, half)
            }
            Shape::Circle { centre, radius } => {
                let centre = self.place(centre)?;
                let radius = self.circle(centre, radius)?;
                let (dx, dy) = (radius + half.0, radius + half.1);
                let (x, y) = centre;
                [(x, y + dy), (x, y - dy), (x + dx, y), (x - dx, y)]
            }
        };
        if text.is_empty() {
            return Ok(());
        }
        let (x, y) = self.first_inside(&places, half);
        if let Some(path) = text.outlines(x, y) {
            self.stroke(&path, text.size() * TEXT_RIM * 2.0, true);
            self.fill(&path);
        }
        Ok(())
    }

    fn place(&self, spot: Spot) -> Result<Point, PhotoError> {
        let inside = |part: f32| (0.0..=1.0).contains(&part);
        if !inside(spot.x) || !inside(spot.y) {
            return Err(PhotoError::Mark(word!(
                "the mark lies outside the picture: place it again"
            )));
        }
        Ok((spot.x * self.width, spot.y * self.height))
    }

    fn arrow(&mut self, from: Point, to: Point) -> Result<(), PhotoError> {
        let (dx, dy) = (to.0 - from.0, to.1 - from.1);
        let length = dx.hypot(dy);
        if length < self.line * (HEAD.0 + 1.0) {
            return Err(PhotoError::Mark(word!(
                "the arrow is too short: start it farther from what it shows"
            )));
        }
        let (ux, uy) = (dx / length, dy / length);
        let (long, half) = (HEAD.0 * self.line, HEAD.1 * self.line);
        let neck = (to.0 - ux * long, to.1 - uy * long);
        let mut shaft = PathBuilder::new();
        shaft.move_to(from.0, from.1);
        // A little into the head, so that no seam shows.
        shaft.line_to(neck.0 + ux * self.line, neck.1 + uy * self.line);
        let mut head = PathBuilder::new();
        head.move_to(to.0, to.1);
        head.line_to(neck.0 - uy * half, neck.1 + ux * half);
        head.line_to(neck.0 + uy * half, neck.1 - ux * half);
        head.close();
        let (Some(shaft), Some(head)) = (shaft.finish(), head.finish()) else {
            return Err(PhotoError::Internal("an arrow without a path".to_owned()));
        };
        let rim = self.line * RIM * 2.0;
        self.stroke(&shaft, self.line + rim, true);
        self.stroke(&head, rim, true);
        self.stroke(&shaft, self.line, false);
        self.fill(&head);
        Ok(())
    }

    /// Draws a circle; its radius with its line, in pixels.
    fn circle(&mut self, (x, y): Point, radius: f32) -> Result<f32, PhotoError> {
        let radius = radius * self.width.min(self.height);
        let most = self.width.max(self.height);
        if !(radius >= self.line * 2.0 && radius <= most) {
            return Err(PhotoError::Mark(word!(
                "the circle is too small or too large: draw it around what it shows"
            )));
        }
        let path = PathBuilder::from_circle(x, y, radius)
            .ok_or_else(|| PhotoError::Internal("a circle without a path".to_owned()))?;
        self.stroke(&path, self.line * (1.0 + RIM * 2.0), true);
        self.stroke(&path, self.line, false);
        Ok(radius + self.line)
    }

    /// The first place at which a box of those half sides lies in the picture, else the first,
    /// pushed inside.
    fn first_inside(&self, places: &[Point], half: (f32, f32)) -> Point {
        let inside = |(x, y): &&Point| {
            *x >= half.0 && *x <= self.width - half.0 && *y >= half.1 && *y <= self.height - half.1
        };
        let first = places.iter().find(inside).or(places.first());
        let (x, y) = first.copied().unwrap_or_default();
        let within = |at: f32, half: f32, most: f32| at.min(most - half).max(half.min(most / 2.0));
        (
            within(x, half.0, self.width),
            within(y, half.1, self.height),
        )
    }

    fn stroke(&mut self, path: &Path, width: f32, white: bool) {
        let stroke = Stroke {
            width,
            line_cap: LineCap::Round,
            line_join: LineJoin::Round,
            ..Stroke::default()
        };
        let paint = paint(white);
        self.pixmap
            .stroke_path(path, &paint, &stroke, Transform::identity(), None);
    }

    fn fill(&mut self, path: &Path) {
        self.pixmap.fill_path(
            path,
            &paint(false),
            FillRule::Winding,
            Transform::identity(),
            None,
        );
    }
}

fn paint(white: bool) -> Paint<'static> {
    let mut paint = Paint::default();
    if white {
        paint.set_color(Color::WHITE);
    } else {
        paint.set_color_rgba8(DARK.0, DARK.1, DARK.2, u8::MAX);
    }
    paint
}

/// Places for the middle of a box of those half sides: beyond an arrow's tail, to either side of
/// it, and across from it.
fn beside_tail(from: Point, to: Point, half: (f32, f32)) -> [Point; 4] {
    let (dx, dy) = (from.0 - to.0, from.1 - to.1);
    let length = dx.hypot(dy).max(f32::MIN_POSITIVE);
    let (ux, uy) = (dx / length, dy / length);
    // How far the box reaches from its middle towards the tail.
    let reach = |ux: f32, uy: f32| (half.0 / ux.abs().max(1e-6)).min(half.1 / uy.abs().max(1e-6));
    let towards = |ux: f32, uy: f32| {
        let far = reach(ux, uy);
        (from.0 + ux * far, from.1 + uy * far)
    };
    [
        towards(ux, uy),
        towards(-uy, ux),
        towards(uy, -ux),
        (from.0, from.1 - half.1 * uy.signum()),
    ]
}
