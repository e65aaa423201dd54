//! The load as the film sees it.

use super::{Assumption, LONGEST_M, PatternError};
use crate::survey::{FilmRoll, FilmWidth, Load, PalletFit, Record};
use crate::units::Length;

/// The load that is wrapped.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Wrapped {
    /// Along the front face.
    pub length: Length,
    /// Along the side face.
    pub width: Length,
    /// From the floor to the top, pallet included.
    pub height: Length,
}

impl Wrapped {
    /// The load as recorded, with what is taken for granted.
    ///
    /// The film follows the goods' outline. Where they overhang the pallet or stand back from it,
    /// the lowest turns round the pallet are a little shorter or longer, by 8 x that distance a
    /// turn where the film lies on the pallet alone.
    ///
    /// # Errors
    /// When a side is not written or is zero.
    pub fn of(load: &Load) -> Result<(Self, Vec<Assumption>), PatternError> {
        let (Some(length), Some(width)) = (&load.length, &load.width) else {
            return Err(PatternError::NoFootprint);
        };
        let height = load.height.as_ref().ok_or(PatternError::NoHeight)?;
        let wrapped = Self {
            length: length.value,
            width: width.value,
            height: height.value,
        };
        wrapped.check()?;
        let notes = match &load.pallet_fit {
            Some(PalletFit::Overhang(by) | PalletFit::Inset(by)) if by.value > Length::ZERO => {
                vec![Assumption::GoodsOutline]
            }
            Some(PalletFit::Flush | PalletFit::Overhang(_) | PalletFit::Inset(_)) | None => {
                Vec::new()
            }
        };
        Ok((wrapped, notes))
    }

    /// Perimeter P = 2 (length + width): the convex outline film follows round a box.
    #[must_use]
    pub fn perimeter(&self) -> Length {
        (self.length + self.width) * 2
    }

    pub(super) fn check(&self) -> Result<(), PatternError> {
        let sides = [self.length, self.width, self.height];
        if sides.into_iter().all(|side| is_length(side.m())) {
            Ok(())
        } else {
            Err(PatternError::LoadOutOfReach)
        }
    }
}

/// Whether a number of metres is more than nothing and within reason.
pub(super) fn is_length(m: f64) -> bool {
    m > 0.0 && m <= LONGEST_M
}

/// The film's width in metres, checked.
pub(super) fn film_width_m(film_on_load: Length) -> Result<f64, PatternError> {
    if is_length(film_on_load.m()) {
        Ok(film_on_load.m())
    } else {
        Err(PatternError::FilmWidthOutOfReach)
    }
}

/// Width of the film as it lies on the load: the mean of the widths measured there that are in
/// use; without any the width on the roll, and that is said.
///
/// # Errors
/// When neither is known, or the width is zero.
pub fn film_on_load(
    widths: &[Record<FilmWidth>],
    roll: Option<&FilmRoll>,
) -> Result<(Length, Vec<Assumption>), PatternError> {
    let measured: Vec<f64> = widths
        .iter()
        .filter(|width| width.set_aside.is_none())
        .map(|width| width.value.value.m())
        .collect();
    let (width, notes) = match crate::analysis::statistics::summarise(&measured) {
        Ok(summary) => (
            Length::from_m(summary.mean).map_err(|_| PatternError::FilmWidthOutOfReach)?,
            Vec::new(),
        ),
        Err(_) => (
            roll.and_then(|roll| roll.width.as_ref())
                .ok_or(PatternError::NoFilmWidth)?
                .value,
            vec![Assumption::NoNeckIn],
        ),
    };
    film_width_m(width)?;
    Ok((width, notes))
}
