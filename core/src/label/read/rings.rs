//! Corner squares that the library does not find: blurred, shaken, spotted, crossed by glare.
//!
//! A corner square is dark within 1.5 modules of its middle, light to 2.5 and dark to 3.5, counted
//! along the sides. On circles of 2 and 3.2 modules more than nine tenths of it are light and dark,
//! however it is turned, so that a few dozen places on such circles tell it by how well they agree
//! (their correlation), which needs no threshold between dark and light.

use rxing::common::cpp_essentials::ConcentricPattern;
use rxing::point;

use super::picture::Picture;

/// Widths of a module looked for, in pixels: the halves of the picture have the larger ones.
const MODULES: [f32; 4] = [2.2, 2.65, 3.15, 3.75];
/// Places on each circle.
const PLACES: u32 = 16;
/// How well the places must agree, 1 at best.
const ALIKE: f32 = 0.55;
/// Squares told at most.
const MOST: usize = 24;

/// The places looked at for one width of a module: how far across and down, and the dark ones.
struct Template {
    /// Middle, then the light circle, then the dark one.
    offsets: Vec<isize>,
    dark: Vec<bool>,
    reach: usize,
}

impl Template {
    #[allow(
        clippy::cast_possible_truncation,
        clippy::cast_possible_wrap,
        clippy::cast_precision_loss,
        clippy::cast_sign_loss
    )] // A few pixels.
    fn new(module: f32, width: usize) -> Self {
        let mut offsets = Vec::new();
        let mut dark = Vec::new();
        for (radius, places, is_dark) in [
            (0.0, 1, true),
            (0.9, PLACES / 2, true),
            (2.05, PLACES, false),
            (3.2, PLACES, true),
        ] {
            for n in 0..places {
                let turn = std::f32::consts::TAU * n as f32 / places as f32;
                let (x, y) = (
                    (turn.cos() * radius * module).round() as isize,
                    (turn.sin() * radius * module).round() as isize,
                );
                offsets.push(y * width as isize + x);
                dark.push(is_dark);
            }
        }
        Self {
            offsets,
            dark,
            reach: (3.2 * module).ceil() as usize + 1,
        }
    }

    /// How well the places around a pixel agree with a square: their correlation.
    fn alike(&self, grey: &[u8], at: usize) -> f32 {
        let seen = |offset: isize| {
            at.checked_add_signed(offset)
                .and_then(|at| grey.get(at))
                .map_or(0.0, |&grey| f32::from(grey))
        };
        let (mut of_dark, mut of_light, mut squares) = (0.0, 0.0, 0.0);
        let (mut dark_count, mut light_count) = (0.0, 0.0);
        for (&offset, &dark) in self.offsets.iter().zip(&self.dark) {
            let grey = seen(offset);
            squares += grey * grey;
            if dark {
                of_dark += grey;
                dark_count += 1.0;
            } else {
                of_light += grey;
                light_count += 1.0;
            }
        }
        let count: f32 = dark_count + light_count;
        let mean = (of_dark + of_light) / count;
        let spread = squares / count - mean * mean;
        if spread < 1.0 {
            return 0.0;
        }
        let between = of_light / light_count - of_dark / dark_count;
        between * (dark_count * light_count).sqrt() / count / spread.sqrt()
    }

    /// Whether a pixel is worth a closer look: four places tell most that are not.
    fn worth(&self, grey: &[u8], at: usize) -> bool {
        // The light circle begins after the middle and half a circle.
        let first = 1 + usize::try_from(PLACES / 2).unwrap_or(8);
        let quarter = usize::try_from(PLACES / 4).unwrap_or(4);
        let middle = grey.get(at).copied().unwrap_or(255);
        let lighter = (0..4).filter(|n| {
            self.offsets
                .get(first + n * quarter)
                .and_then(|&offset| at.checked_add_signed(offset))
                .and_then(|at| grey.get(at))
                .is_some_and(|&grey| grey > middle)
        });
        lighter.count() >= 3
    }
}

/// What may be corner squares, the surest first.
pub(super) fn rings(picture: &Picture<'_>) -> Vec<ConcentricPattern> {
    let (width, height) = (picture.width(), picture.height());
    let grey = picture.all();
    let mut found: Vec<(f32, f32, f32, f32)> = Vec::new();
    for module in MODULES {
        let template = Template::new(module, width);
        let reach = template.reach;
        if width <= 2 * reach || height <= 2 * reach {
            continue;
        }
        for y in (reach..height - reach).step_by(2) {
            for x in (reach..width - reach).step_by(2) {
                let at = y * width + x;
                if !template.worth(grey, at) {
                    continue;
                }
                let alike = template.alike(grey, at);
                if alike > ALIKE {
                    let (alike, x, y) = climbed(&template, grey, width, (alike, x, y));
                    keep(&mut found, (alike, x, y, module));
                }
            }
        }
    }
    found.sort_by(|a, b| b.0.total_cmp(&a.0));
    found.truncate(MOST);
    found
        .into_iter()
        .map(|(_, x, y, module)| {
            #[allow(clippy::cast_possible_truncation)] // Some thirty pixels.
            let size = (7.0 * module).round() as i32;
            ConcentricPattern {
                p: point(x, y),
                size,
            }
        })
        .collect()
}

/// The pixel beside this one that agrees best, with its middle.
#[allow(clippy::cast_precision_loss)] // Pixels of a picture.
fn climbed(
    template: &Template,
    grey: &[u8],
    width: usize,
    (alike, x, y): (f32, usize, usize),
) -> (f32, f32, f32) {
    let mut best = (alike, x, y);
    for y in y - 1..=y + 1 {
        for x in x - 1..=x + 1 {
            let alike = template.alike(grey, y * width + x);
            if alike > best.0 {
                best = (alike, x, y);
            }
        }
    }
    (best.0, best.1 as f32 + 0.5, best.2 as f32 + 0.5)
}

/// Keeps the better of those that lie in one another.
fn keep(found: &mut Vec<(f32, f32, f32, f32)>, new: (f32, f32, f32, f32)) {
    let close =
        |old: &(f32, f32, f32, f32)| (old.1 - new.1).hypot(old.2 - new.2) < 3.0 * old.3.max(new.3);
    if let Some(old) = found.iter_mut().find(|old| close(old)) {
        if old.0 < new.0 {
            *old = new;
        }
    } else {
        found.push(new);
    }
}
