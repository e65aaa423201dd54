//! How much of its force a load keeps when it is read again a day and three days later.

use std::collections::BTreeMap;
use std::fmt;

use thiserror::Error;

use crate::language::Language;
use crate::survey::{Face, Load, Reading, Record};
use crate::units::{Length, Method};
use crate::{say, word};

use super::super::statistics::{Interval, mean_interval, summarise};
use super::faces::unlike;
use super::{CONFIDENCE, ZoneName};

/// Film temperatures further apart than this are shown beside the result, in kelvin: film gives
/// way sooner when warm (common practice, no source).
pub const TEMPERATURE_APART_K: f64 = 5.0;

const MINUTES_PER_HOUR: f64 = 60.0;

/// When a load was read, by its age since wrapping.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Round {
    /// Within 12 hours of wrapping.
    Fresh,
    /// From 12 to 48 hours: about a day.
    OneDay,
    /// From 48 to 120 hours: about three days.
    ThreeDays,
    /// Later.
    Later,
}

impl Round {
    /// The round an age in minutes belongs to; `None` for an age that is negative or not finite.
    #[must_use]
    pub fn of(minutes: f64) -> Option<Self> {
        if !(minutes.is_finite() && minutes >= 0.0) {
            return None;
        }
        let hours = minutes / MINUTES_PER_HOUR;
        Some(if hours < 12.0 {
            Self::Fresh
        } else if hours < 48.0 {
            Self::OneDay
        } else if hours < 120.0 {
            Self::ThreeDays
        } else {
            Self::Later
        })
    }
}

/// Why nothing can be said about relaxation.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Error)]
#[error("{}", self.said(Language::English))]
pub enum RelaxationError {
    /// No reading tells its age.
    NoAge,
    /// All readings are of one round.
    OneRound(Round),
    /// No place was read in two rounds.
    NoPair,
}

impl RelaxationError {
    /// It, in a language.
    #[must_use]
    pub fn said(self, language: Language) -> String {
        match self {
            Self::NoAge => say!(
                language,
                "no reading tells how long after wrapping it was taken: note when the load was wrapped"
            ),
            Self::OneRound(Round::Fresh) => say!(
                language,
                "the load was read fresh from the wrapper only: read it again after 24 and 72 \
                 hours, next to the first places"
            ),
            Self::OneRound(Round::OneDay) => say!(
                language,
                "the load was read after about a day only: read it again after 24 and 72 \
                 hours, next to the first places"
            ),
            Self::OneRound(Round::ThreeDays) => say!(
                language,
                "the load was read after about three days only: read it again after 24 and 72 \
                 hours, next to the first places"
            ),
            Self::OneRound(Round::Later) => say!(
                language,
                "the load was read after more than five days only: read it again after 24 and 72 \
                 hours, next to the first places"
            ),
            Self::NoPair => say!(
                language,
                "no place was read both times: read the same zones and faces again, next to the first \
         places"
            ),
        }
    }
}

/// What a result rests on; each is a sentence for the screen.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Assumption {
    /// The film is altered by the first reading.
    NextToFirstPlace,
    /// Some zones were compared without the same face.
    FacesNotMatched,
    /// One pair only.
    OnePair,
}

impl Assumption {
    /// It, in a language.
    #[must_use]
    pub fn said(self, language: Language) -> String {
        let word = match self {
            Self::NextToFirstPlace => {
                word!(
                    "A reading leaves a hole, so the later one is taken beside it: the difference \
                 holds both the relaxing of the film and the change of place."
                )
            }
            Self::FacesNotMatched => {
                word!(
                    "In some zones no face was read both times, so those zones are compared over \
                 other faces of like length."
                )
            }
            Self::OnePair => {
                word!(
                    "One place alone was read both times, so nothing says how sure the share is: \
                 read more places again."
                )
            }
        };
        word.said(language).to_owned()
    }
}

impl fmt::Display for Assumption {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.said(Language::English))
    }
}

/// One later round against the first.
#[derive(Debug, Clone, PartialEq)]
pub struct Kept {
    /// The later round.
    pub round: Round,
    /// Mean age of its readings in hours.
    pub age_h: f64,
    /// Share of the first round's force that is left, the mean over the pairs: 0.85 is 85 %.
    pub share: f64,
    /// Student-t interval of that mean at [`CONFIDENCE`]; `None` with one pair.
    pub interval: Option<Interval>,
    /// Number of places compared.
    pub pairs: usize,
    /// The share by zone (top, middle, bottom); `None` where nothing was compared.
    pub zones: [Option<f64>; 3],
    /// Mean film temperature of the first and of this round in degrees Celsius, where both are
    /// known and lie more than [`TEMPERATURE_APART_K`] apart.
    pub temperatures_celsius: Option<(f64, f64)>,
    /// What the result rests on.
    pub assumptions: Vec<Assumption>,
}

/// The course of a load read in several rounds.
#[derive(Debug, Clone, PartialEq)]
pub struct Relaxation {
    /// The first round, 100 %.
    pub first: Round,
    /// Mean age of its readings in hours.
    pub first_age_h: f64,
    /// The later rounds in their order.
    pub later: Vec<Kept>,
    /// Readings left out because their age is not known or before wrapping.
    pub without_age: usize,
}

/// One reading with its age.
struct Aged {
    round: Round,
    age_min: f64,
    zone: ZoneName,
    face: Option<Face>,
    n: f64,
    face_length_m: Option<f64>,
    celsius: Option<f64>,
}

/// What is left of the force of one load in its later rounds, by method `M`.
///
/// The age of a reading is what it says itself, else the time from [`Load::wrapped_at`] to when it
/// was taken. The mean of each place (zone and face) in a later round is divided by the mean of
/// the same place in the first; where a zone has no face in common, by the mean of the zone, unless
/// the faces are of unlike length and the method is one that depends on it. The share is the mean
/// of these quotients q with its interval:
///
/// ```text
/// q̄ ± t(1 − (1 − C)/2; n − 1) s_q / √n
/// ```
///
/// Assumes that the places lose alike, apart from scatter. Source: NIST/SEMATECH e-Handbook of
/// Statistical Methods, 1.3.5.2, for the interval; the pairing is plain arithmetic.
///
/// # Errors
///
/// [`RelaxationError`] when no age is known, the load was read in one round only, or no place was
/// read twice.
pub fn relaxation<M: Method>(
    load: &Load,
    readings: &[Record<Reading>],
) -> Result<Relaxation, RelaxationError> {
    let in_use: Vec<&Record<Reading>> = readings
        .iter()
        .filter(|reading| {
            reading.set_aside.is_none()
                && reading.measure.containment::<M>().is_some()
                && ZoneName::of(&reading.zone).is_some()
        })
        .collect();
    let aged: Vec<Aged> = in_use
        .iter()
        .filter_map(|reading| aged::<M>(load, reading))
        .collect();
    let without_age = in_use.len() - aged.len();
    let mut rounds: BTreeMap<Round, Vec<&Aged>> = BTreeMap::new();
    for reading in &aged {
        rounds.entry(reading.round).or_default().push(reading);
    }
    let Some((first, base)) = rounds.pop_first() else {
        return Err(RelaxationError::NoAge);
    };
    if rounds.is_empty() {
        return Err(RelaxationError::OneRound(first));
    }
    let later: Vec<Kept> = rounds
        .iter()
        .filter_map(|(round, readings)| kept::<M>(*round, &base, readings))
        .collect();
    if later.is_empty() {
        return Err(RelaxationError::NoPair);
    }
    Ok(Relaxation {
        first,
        first_age_h: mean(base.iter().map(|aged| aged.age_min)).unwrap_or_default()
            / MINUTES_PER_HOUR,
        later,
        without_age,
    })
}

#[allow(clippy::cast_precision_loss)] // Milliseconds of some thousand years are exact.
fn aged<M: Method>(load: &Load, reading: &Record<Reading>) -> Option<Aged> {
    let since = |wrapped: crate::survey::Moment| {
        (reading.taken_at.unix_ms() - wrapped.unix_ms()) as f64 / 60_000.0
    };
    let age_min = reading
        .minutes_since_wrapping
        .or_else(|| load.wrapped_at.map(since))?;
    Some(Aged {
        round: Round::of(age_min)?,
        age_min,
        zone: ZoneName::of(&reading.zone)?,
        face: reading.face,
        n: reading.measure.containment::<M>()?.force().n(),
        face_length_m: reading.face_length(load).map(Length::m),
        celsius: reading.film_temperature_celsius.filter(|c| c.is_finite()),
    })
}

fn kept<M: Method>(round: Round, base: &[&Aged], later: &[&Aged]) -> Option<Kept> {
    let mut shares: Vec<f64> = Vec::new();
    let mut faces_not_matched = false;
    let zones = ZoneName::ALL.map(|zone| {
        let of = |readings: &[&Aged]| -> BTreeMap<Option<Face>, Vec<f64>> {
            let mut faces: BTreeMap<Option<Face>, Vec<f64>> = BTreeMap::new();
            for reading in readings.iter().filter(|reading| reading.zone == zone) {
                faces.entry(reading.face).or_default().push(reading.n);
            }
            faces
        };
        let (before, after) = (of(base), of(later));
        let mut here: Vec<f64> = before
            .iter()
            .filter_map(|(face, before)| share(before, after.get(face)?))
            .collect();
        if here.is_empty() {
            let both = base
                .iter()
                .chain(later)
                .filter(|reading| reading.zone == zone);
            let depends = M::ID == crate::units::MethodId::PullPlate;
            if !(depends && unlike(both.map(|reading| reading.face_length_m))) {
                let all = |faces: &BTreeMap<Option<Face>, Vec<f64>>| -> Vec<f64> {
                    faces.values().flatten().copied().collect()
                };
                here.extend(share(&all(&before), &all(&after)));
                faces_not_matched |= !here.is_empty();
            }
        }
        let mean = mean(here.iter().copied());
        shares.append(&mut here);
        mean
    });
    let summary = summarise(&shares).ok()?;
    let mut assumptions = vec![Assumption::NextToFirstPlace];
    assumptions.extend(faces_not_matched.then_some(Assumption::FacesNotMatched));
    assumptions.extend((shares.len() == 1).then_some(Assumption::OnePair));
    Some(Kept {
        round,
        age_h: mean(later.iter().map(|aged| aged.age_min))? / MINUTES_PER_HOUR,
        share: summary.mean,
        interval: mean_interval(&summary, CONFIDENCE),
        pairs: shares.len(),
        zones,
        temperatures_celsius: temperatures(base, later),
        assumptions,
    })
}

/// The mean of the later readings over that of the first; `None` where either is missing or the
/// first are zero.
fn share(before: &[f64], after: &[f64]) -> Option<f64> {
    let before = mean(before.iter().copied())?;
    let after = mean(after.iter().copied())?;
    Some(after / before).filter(|share| before > 0.0 && share.is_finite())
}

fn temperatures(base: &[&Aged], later: &[&Aged]) -> Option<(f64, f64)> {
    let of = |readings: &[&Aged]| mean(readings.iter().filter_map(|reading| reading.celsius));
    let (before, after) = (of(base)?, of(later)?);
    ((before - after).abs() > TEMPERATURE_APART_K).then_some((before, after))
}

fn mean(values: impl Iterator<Item = f64>) -> Option<f64> {
    let values: Vec<f64> = values.collect();
    summarise(&values).ok().map(|summary| summary.mean)
}
