//! Pictures of labels as a warehouse leaves them: tilted, dim, dirty, torn, under film. Made from
//! labels as they are printed, the same on every run, each a function of its kind and its number.

// Grey values and pixels: rounded on purpose and far within every range.
#![allow(
    clippy::cast_possible_truncation,
    clippy::cast_possible_wrap,
    clippy::cast_precision_loss,
    clippy::cast_sign_loss
)]

mod bend;
mod label;
mod light;
mod marks;

use tautbook_core::label::LabelCode;
use tautbook_core::survey::Id;
use uuid::Uuid;

use crate::seeded::Seeded;
use bend::Bend;
use label::Printed;
use light::Light;
use marks::Marks;

/// What happened to the label or to the picture of it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Kind {
    /// Nothing but the place in the picture.
    Plain,
    /// Spots and smears of dirt.
    Dirty,
    /// Seen from the side.
    Tilted,
    /// Little light: low contrast and much noise.
    Dim,
    /// Out of focus.
    Blurred,
    /// The hand or the truck moved.
    Moved,
    /// Round a drum.
    Curved,
    /// A corner torn away.
    Torn,
    /// Streaks of light on the film over it.
    Glare,
    /// Under wrinkled film, or wrinkled itself.
    Wrinkled,
    /// In a hard shadow.
    Shadowed,
    /// Several labels and a code of somebody else.
    Several,
    /// Small in a picture of twelve megapixels.
    Small,
    /// Some of everything.
    Mixed,
}

impl Kind {
    /// Every kind.
    pub const ALL: [Self; 14] = [
        Self::Plain,
        Self::Dirty,
        Self::Tilted,
        Self::Dim,
        Self::Blurred,
        Self::Moved,
        Self::Curved,
        Self::Torn,
        Self::Glare,
        Self::Wrinkled,
        Self::Shadowed,
        Self::Several,
        Self::Small,
        Self::Mixed,
    ];
}

/// A picture of spoilt labels and what a perfect reader would find in it.
#[derive(Debug, Clone)]
pub struct Spoilt {
    /// Pixels across.
    pub width: u32,
    /// Pixels down.
    pub height: u32,
    /// Grey values, row by row.
    pub luma: Vec<u8>,
    /// The labels in it.
    pub holds: Vec<LabelCode>,
}

/// How spoilt the `number`th of `of` pictures is: from little to beyond what can be read.
fn severity(number: u32, of: u32) -> f64 {
    f64::from(number % of.max(1) + 1) / f64::from(of.max(1))
}

/// The `number`th of `of` pictures of a kind, `pixels` wide (three quarters of that high); those
/// that are small in a large picture are 4,000 wide whatever is asked.
#[must_use]
pub fn spoilt(kind: Kind, number: u32, of: u32, pixels: u32) -> Spoilt {
    let mut chance = Seeded::new(u64::from(number) * 1_000 + kind_number(kind));
    let bad = severity(number, of);
    let width = if kind == Kind::Small { 4_000 } else { pixels };
    let height = width / 4 * 3;
    let mut luma = light::background(&mut chance, width, height);
    let mut holds = Vec::new();
    let size = (f64::from(width), f64::from(height));
    let places: Vec<(f64, f64, f64)> = match kind {
        Kind::Several => vec![(0.22, 0.3, 0.36), (0.72, 0.3, 0.36), (0.3, 0.75, 0.36)],
        // The label's width in the picture, from a quarter to a twentieth.
        Kind::Small => vec![(
            chance.between(0.2, 0.8),
            chance.between(0.2, 0.8),
            0.25 * (1.0 - bad) + 0.035 * bad,
        )],
        _ => vec![(
            0.5 + chance.between(-0.06, 0.06),
            0.5 + chance.between(-0.06, 0.06),
            chance.between(0.42, 0.6),
        )],
    };
    for (x, y, wide) in places {
        let code = LabelCode::new(Id::from_uuid(Uuid::from_u64_pair(
            0x0198_4c00_1000_7000 | chance.below(0xfff),
            0x8000_0000_0000_0000 | (chance.bits() >> 2),
        )));
        let printed = Printed::new(code, &mut chance);
        let bend = Bend::new(
            kind,
            bad,
            &mut chance,
            (x * size.0, y * size.1),
            wide * size.0,
        );
        let marks = Marks::new(kind, bad, &mut chance);
        draw(&mut luma, width, height, &printed, &bend, &marks);
        holds.push(code);
    }
    if kind == Kind::Several {
        let other = Printed::other(&mut chance);
        let at = (0.78 * size.0, 0.75 * size.1);
        let bend = Bend::new(kind, bad, &mut chance, at, 0.22 * size.0);
        draw(&mut luma, width, height, &other, &bend, &Marks::default());
    }
    let light = Light::new(kind, bad, &mut chance, width);
    let luma = light.picture(&luma, width, height, &mut chance);
    Spoilt {
        width,
        height,
        luma,
        holds,
    }
}

fn kind_number(kind: Kind) -> u64 {
    Kind::ALL
        .iter()
        .position(|&known| known == kind)
        .and_then(|place| u64::try_from(place).ok())
        .unwrap_or(0)
}

/// Draws a label over what is there, each pixel the mean of four places in it.
fn draw(luma: &mut [f32], width: u32, height: u32, label: &Printed, bend: &Bend, marks: &Marks) {
    let (left, top, right, bottom) = bend.bounds(width, height);
    for y in top..bottom {
        for x in left..right {
            let mut sum = 0.0;
            let mut covered = 0.0;
            for (dx, dy) in [(0.25, 0.25), (0.75, 0.25), (0.25, 0.75), (0.75, 0.75)] {
                let (u, v) = bend.onto_label(f64::from(x) + dx, f64::from(y) + dy);
                if let Some(grey) = label.at(u, v)
                    && !marks.is_torn(u, v)
                {
                    sum += marks.dirtied(grey * bend.shade(u, v), u, v);
                    covered += 1.0;
                }
            }
            if let Some(place) = luma.get_mut((y * width + x) as usize)
                && covered > 0.0
            {
                let under = f64::from(*place) * (4.0 - covered);
                *place = ((sum + under) / 4.0) as f32;
            }
        }
    }
}
