//! Labels as PDF.

use krilla::color::luma;
use krilla::geom::{PathBuilder, Point, Rect};
use krilla::metadata::Metadata;
use krilla::num::NormalizedF32;
use krilla::page::PageSettings;
use krilla::paint::{Fill, FillRule};
use krilla::surface::Surface;
use krilla::text::{Font, TextDirection};
use krilla::{Document, SerializeSettings};

use super::paper::MM_PER_INCH;
use super::scene::Mark;
use super::{LabelText, Paper, PrintError, Printed, layout};
use crate::fonts::{BOLD, REGULAR};

/// These labels as a PDF at true size, black on white. The same labels give the same bytes.
///
/// # Errors
/// No label; a failure of the PDF library.
pub fn pdf(labels: &[LabelText], paper: Paper) -> Result<Printed<Vec<u8>>, PrintError> {
    let pages = layout::pages(labels, paper, None)?;
    let font = |data: &'static [u8]| {
        Font::new(data.into(), 0).ok_or_else(|| PrintError::Drawing("its typeface".to_owned()))
    };
    let fonts = [font(REGULAR)?, font(BOLD)?];
    let settings = SerializeSettings {
        enable_tagging: false,
        ..SerializeSettings::default()
    };
    let mut document = Document::new_with(settings);
    document.set_metadata(Metadata::new().title("Sample labels".to_owned()));
    for page in &pages.made {
        let size = PageSettings::from_wh(points(page.width), points(page.height))
            .ok_or_else(|| PrintError::Drawing("its page".to_owned()))?;
        let mut sheet = document.start_page_with(size);
        let mut surface = sheet.surface();
        surface.set_fill(Some(Fill {
            paint: luma::Color::black().into(),
            opacity: NormalizedF32::ONE,
            rule: FillRule::NonZero,
        }));
        for mark in &page.marks {
            draw(&mut surface, mark, &fonts)?;
        }
        surface.finish();
        sheet.finish();
    }
    let bytes = document
        .finish()
        .map_err(|error| PrintError::Drawing(format!("{error:?}")))?;
    Ok(Printed {
        made: bytes,
        notes: pages.notes,
    })
}

fn draw(surface: &mut Surface<'_>, mark: &Mark, fonts: &[Font; 2]) -> Result<(), PrintError> {
    let mut path = PathBuilder::new();
    match mark {
        Mark::Text {
            x,
            baseline,
            size,
            bold,
            text,
        } => {
            let [regular, heavy] = fonts;
            let font = if *bold { heavy } else { regular };
            surface.draw_text(
                Point::from_xy(points(*x), points(*baseline)),
                font.clone(),
                points(*size),
                text,
                false,
                TextDirection::LeftToRight,
            );
            return Ok(());
        }
        Mark::Bar {
            x,
            y,
            width,
            height,
        } => path.push_rect(rect(*x, *y, *width, *height)?),
        // One path, so that no viewer draws seams between the rows.
        Mark::Symbol {
            x,
            y,
            module,
            symbol,
        } => {
            for (row, column, long) in symbol.runs() {
                path.push_rect(rect(
                    x + f64::from(column) * module,
                    y + f64::from(row) * module,
                    f64::from(long) * module,
                    *module,
                )?);
            }
        }
    }
    let path = path
        .finish()
        .ok_or_else(|| PrintError::Drawing("an empty path".to_owned()))?;
    surface.draw_path(&path);
    Ok(())
}

fn rect(x: f64, y: f64, width: f64, height: f64) -> Result<Rect, PrintError> {
    Rect::from_ltrb(points(x), points(y), points(x + width), points(y + height))
        .ok_or_else(|| PrintError::Drawing("a rectangle".to_owned()))
}

/// Millimetres to points of 1/72 inch.
#[allow(clippy::cast_possible_truncation)] // To the nearest: a page is far within its range.
fn points(mm: f64) -> f32 {
    (mm / MM_PER_INCH * 72.0) as f32
}
