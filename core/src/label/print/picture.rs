//! Labels as pictures of black and white dots, for label printers.

use ab_glyph::{Font, FontRef, Glyph, PxScale, ScaleFont, point};
use png::{BitDepth, ColorType, Encoder, PixelDimensions, Unit};

use super::scene::{Mark, Page};
use super::{Dpi, LabelText, Paper, PrintError, Printed, layout};
use crate::fonts::{BOLD, REGULAR};

/// A page of dots.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Raster {
    /// Dots across.
    pub width: u32,
    /// Dots down.
    pub height: u32,
    /// Whether each is black, row by row.
    black: Vec<bool>,
}

impl Raster {
    fn white(width: u32, height: u32) -> Self {
        let dots = usize::try_from(u64::from(width) * u64::from(height)).unwrap_or(0);
        Self {
            width,
            height,
            black: vec![false; dots],
        }
    }

    /// Whether that dot is black; outside all is white.
    #[must_use]
    pub fn is_black(&self, x: u32, y: u32) -> bool {
        x < self.width
            && y < self.height
            && usize::try_from(u64::from(y) * u64::from(self.width) + u64::from(x))
                .ok()
                .and_then(|at| self.black.get(at).copied())
                .unwrap_or(false)
    }

    fn blacken(&mut self, x: u32, y: u32) {
        if x < self.width
            && y < self.height
            && let Ok(at) = usize::try_from(u64::from(y) * u64::from(self.width) + u64::from(x))
            && let Some(dot) = self.black.get_mut(at)
        {
            *dot = true;
        }
    }

    fn bar(&mut self, x: u32, y: u32, width: u32, height: u32) {
        for y in y..y.saturating_add(height) {
            for x in x..x.saturating_add(width) {
                self.blacken(x, y);
            }
        }
    }
}

/// These labels as dots, a raster a page. The modules of the square codes are whole dots.
///
/// # Errors
/// No label; a failure of the font library.
pub fn rasters(
    labels: &[LabelText],
    paper: Paper,
    dpi: Dpi,
) -> Result<Printed<Vec<Raster>>, PrintError> {
    let pages = layout::pages(labels, paper, Some(dpi))?;
    let font = |data| {
        FontRef::try_from_slice(data).map_err(|error| PrintError::Drawing(error.to_string()))
    };
    let fonts = [font(REGULAR)?, font(BOLD)?];
    Ok(Printed {
        made: pages
            .made
            .iter()
            .map(|page| raster(page, dpi, &fonts))
            .collect(),
        notes: pages.notes,
    })
}

/// These labels as PNG files, one a page, of black and white dots, with the resolution written in
/// them so that they print at true size.
///
/// # Errors
/// No label; a failure of the font or the PNG library.
pub fn png(
    labels: &[LabelText],
    paper: Paper,
    dpi: Dpi,
) -> Result<Printed<Vec<Vec<u8>>>, PrintError> {
    let rasters = rasters(labels, paper, dpi)?;
    let files: Result<Vec<_>, _> = rasters
        .made
        .iter()
        .map(|raster| encode(raster, dpi).map_err(|error| PrintError::Drawing(error.to_string())))
        .collect();
    Ok(Printed {
        made: files?,
        notes: rasters.notes,
    })
}

fn encode(raster: &Raster, dpi: Dpi) -> Result<Vec<u8>, png::EncodingError> {
    let mut file = Vec::new();
    let mut encoder = Encoder::new(&mut file, raster.width, raster.height);
    encoder.set_color(ColorType::Grayscale);
    encoder.set_depth(BitDepth::One);
    // 203 dots an inch are 7992 a metre, 300 are 11811.
    let per_metre = dots(1_000.0 / dpi.dot());
    encoder.set_pixel_dims(Some(PixelDimensions {
        xppu: per_metre,
        yppu: per_metre,
        unit: Unit::Meter,
    }));
    let row_length = usize::try_from(raster.width).unwrap_or(1).max(1);
    let rows: Vec<u8> = raster
        .black
        .chunks(row_length)
        .flat_map(|row| row.chunks(8))
        .map(|eight| {
            (0..8).fold(0_u8, |byte, at| {
                byte << 1 | u8::from(!eight.get(at).copied().unwrap_or(false))
            })
        })
        .collect();
    let mut writer = encoder.write_header()?;
    writer.write_image_data(&rows)?;
    writer.finish()?;
    Ok(file)
}

fn raster(page: &Page, dpi: Dpi, fonts: &[FontRef<'static>; 2]) -> Raster {
    let whole = |mm: f64| dots(mm / dpi.dot());
    let mut raster = Raster::white(whole(page.width), whole(page.height));
    for mark in &page.marks {
        match mark {
            Mark::Bar {
                x,
                y,
                width,
                height,
            } => raster.bar(
                whole(*x),
                whole(*y),
                whole(*width).max(1),
                whole(*height).max(1),
            ),
            Mark::Symbol {
                x,
                y,
                module,
                symbol,
            } => {
                let (left, top, side) = (whole(*x), whole(*y), whole(*module));
                for (row, column, long) in symbol.runs() {
                    raster.bar(left + column * side, top + row * side, long * side, side);
                }
            }
            Mark::Text {
                x,
                baseline,
                size,
                bold,
                text,
            } => {
                let [regular, heavy] = fonts;
                let font = if *bold { heavy } else { regular };
                let at = |mm: f64| real(mm / dpi.dot());
                write(&mut raster, font, text, at(*x), at(*baseline), at(*size));
            }
        }
    }
    raster
}

/// A line of text: a dot is black where a letter covers half of it or more.
fn write(
    raster: &mut Raster,
    font: &FontRef<'static>,
    text: &str,
    x: f32,
    baseline: f32,
    size: f32,
) {
    // The library scales by the height of a line, not by the em.
    let em = font.units_per_em().unwrap_or(1.0).max(1.0);
    let scale = PxScale::from(size * font.height_unscaled() / em);
    let scaled = font.as_scaled(scale);
    let mut pen = x;
    for sign in text.chars() {
        let id = font.glyph_id(sign);
        let glyph: Glyph = id.with_scale_and_position(scale, point(pen, baseline));
        pen += scaled.h_advance(id);
        let Some(outline) = font.outline_glyph(glyph) else {
            continue;
        };
        let corner = outline.px_bounds().min;
        outline.draw(|dx, dy, covered| {
            if covered >= 0.5 {
                let dot = |start: f32, along: u32| {
                    u32::try_from(i64::from(along) + whole_of(start)).unwrap_or(u32::MAX)
                };
                raster.blacken(dot(corner.x, dx), dot(corner.y, dy));
            }
        });
    }
}

/// The nearest whole number of dots, 0 at least.
#[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // A page has a few thousand.
fn dots(number: f64) -> u32 {
    number.round().clamp(0.0, 100_000.0) as u32
}

#[allow(clippy::cast_possible_truncation)] // A page has a few thousand dots.
fn whole_of(number: f32) -> i64 {
    number.round().clamp(-100_000.0, 100_000.0) as i64
}

#[allow(clippy::cast_possible_truncation)] // To the nearest: a page is far within its range.
fn real(number: f64) -> f32 {
    number as f32
}
