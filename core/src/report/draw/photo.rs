//! Pictures, read from their folder one by one.

use std::cell::Cell;
use std::ops::ControlFlow;

use krilla::geom::{Size, Transform};
use krilla::image::Image;
use krilla::surface::Surface;

use super::brush::{Brush, pt};
use crate::chart::Role;
use crate::photos::{Options, PhotoError, PhotoFolder, Source, prepare};
use crate::report::ReportError;
use crate::report::set::{Paint, PhotoBox};

/// The longest side of a picture that was made smaller, in pixels: 300 dots an inch at the width
/// of half a page.
const LONG_SIDE: u32 = 1_000;

/// Where pictures come from.
pub(in crate::report) struct Photos<'b> {
    folder: &'b PhotoFolder,
    /// A picture with more bytes is made smaller.
    budget: u64,
    missing: Cell<usize>,
}

impl<'b> Photos<'b> {
    pub(in crate::report) const fn new(folder: &'b PhotoFolder, budget: u64) -> Self {
        Self {
            folder,
            budget,
            missing: Cell::new(0),
        }
    }

    /// How many could not be read.
    pub(in crate::report) fn missing(&self) -> usize {
        self.missing.get()
    }

    fn read(&self, photo: &PhotoBox) -> Result<Vec<u8>, PhotoError> {
        let jpeg = self.folder.read(&photo.sha256)?;
        if photo.bytes <= self.budget {
            return Ok(jpeg);
        }
        let options = Options {
            long_side: LONG_SIDE,
            ..Options::default()
        };
        let go_on = &mut |_| ControlFlow::Continue(());
        Ok(prepare(Source::Bytes(&jpeg), &options, go_on)?
            .jpeg()
            .to_vec())
    }

    /// Draws a picture in its place, or says there why it cannot be.
    pub(super) fn draw(
        &self,
        surface: &mut Surface<'_>,
        brush: &mut Brush,
        photo: &PhotoBox,
    ) -> Result<(), ReportError> {
        let image = self
            .read(photo)
            .ok()
            .and_then(|jpeg| Image::from_jpeg(jpeg.into(), false).ok());
        let Some(image) = image else {
            self.missing.set(self.missing.get() + 1);
            instead(surface, brush, photo);
            return Ok(());
        };
        let size = Size::from_wh(pt(photo.width), pt(photo.height))
            .ok_or_else(|| ReportError::Drawing("a picture's size".to_owned()))?;
        surface.push_transform(&Transform::from_translate(pt(photo.x), pt(photo.y)));
        surface.draw_image(image, size);
        surface.pop();
        Ok(())
    }
}

/// A frame with the reason in the place of a picture.
fn instead(surface: &mut Surface<'_>, brush: &mut Brush, photo: &PhotoBox) {
    Brush::stroked(surface, Paint::Role(Role::Edge), 0.8, Some([4.0, 3.0]));
    Brush::rect(surface, (photo.x, photo.y), (photo.width, photo.height));
    for (at, line) in photo.instead.iter().enumerate() {
        #[allow(clippy::cast_precision_loss)] // A few lines.
        let y = (at as f64).mul_add(10.9, photo.y + 16.0);
        let ink = Paint::Role(Role::Ink);
        brush.text(surface, (photo.x + 8.0, y), (8.0, false), ink, line);
    }
}
