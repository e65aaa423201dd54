//! A target derived from loads known to have shipped undamaged: the customer's own, measured.

use std::fmt;

use thiserror::Error;

use crate::language::Language;
use crate::say;
use crate::say_count;
use crate::survey::{
    Id, Line, Load, Reading, Record, Stability, Target, TargetForce, TargetOrigin, Visit,
};
use crate::units::{
    Containment, Entered, Force, ForceUnit, Length, LengthUnit, Method, MethodId, Style,
    show_force, show_length,
};

use super::super::statistics::{
    StatisticsError, ToleranceBound, lower_tolerance_bound_with_resolution, summarise,
};
use super::faces::by_length;
use super::{READ_TO_N, Taken, ToleranceRule, ZoneName, taken};

/// Why no target can be derived.
#[derive(Debug, Clone, Copy, PartialEq, Error)]
#[error("{}", self.said(Language::English))]
pub enum DeriveError {
    /// Too few loads.
    TooFewLoads {
        /// How many there are.
        have: usize,
        /// How many it takes.
        needed: usize,
        /// How many are missing.
        missing: usize,
    },
    /// The lowest readings scatter so much that the bound is zero or less.
    NothingSure,
    /// The numbers cannot be worked with.
    Statistics(#[from] StatisticsError),
}

impl DeriveError {
    /// It in a language.
    #[must_use]
    pub fn said(&self, language: Language) -> String {
        match self {
            Self::TooFewLoads {
                have,
                needed,
                missing,
            } => say_count!(
                language,
                *missing,
                "{have} of the {needed} loads needed are known to have shipped undamaged and were read here: {n} more is needed",
                "{have} of the {needed} loads needed are known to have shipped undamaged and were read here: {n} more are needed",
                have = have,
                needed = needed
            ),
            Self::NothingSure => say!(
                language,
                "the lowest readings of these loads lie so far apart that no force above zero is sure: read more loads that shipped undamaged, or loads more alike"
            ),
            Self::Statistics(error) => error.said(language),
        }
    }
}

/// What a derived target rests on; each is a sentence for the screen.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Assumption {
    /// Each load counts once, with its lowest reading.
    LowestOfEachLoad,
    /// What the bound covers.
    Rule(ToleranceRule),
    /// For faces of one length, in metres.
    FacesOfLength(f64),
    /// The length of the faces is not known.
    FacesUnknown,
    /// Shipping well at this force does not show that less would not do.
    NotTheLeast,
}

impl Assumption {
    /// It in a language.
    #[must_use]
    pub fn said(&self, language: Language) -> String {
        match self {
            Self::LowestOfEachLoad => say!(
                language,
                "Each load counts once, with its lowest reading in the zone: readings on one load are not independent of each other, and a load is judged by its lowest."
            ),
            Self::Rule(rule) => rule.said(language),
            Self::FacesOfLength(m) => say!(
                language,
                "It holds for faces about {m} m ({inches} in) long: the pull plate reads more on a shorter face.",
                m = crate::units::show_number(
                    *m,
                    &crate::units::UnitChoice::metric()
                        .with_decimal(language.decimal_mark())
                        .style()
                        .with_digits(2)
                ),
                inches = format!("{:.0}", m / crate::units::M_PER_IN)
            ),
            Self::FacesUnknown => say!(
                language,
                "The length of the faces is not known, and the pull plate reads more on a shorter one: measure the loads."
            ),
            Self::NotTheLeast => say!(
                language,
                "Loads like these arrived undamaged; that does not show that less would not do. Do not go below it without a shipping trial."
            ),
        }
    }
}

impl fmt::Display for Assumption {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.said(Language::English))
    }
}

/// A target that loads shipped undamaged bear out.
#[derive(Debug, Clone, PartialEq)]
pub struct Derived<M: Method> {
    /// The zone.
    pub zone: ZoneName,
    /// Length of the faces in metres, for the pull plate where it is known.
    pub face_length_m: Option<f64>,
    /// The least force: the tolerance bound.
    pub minimum: Containment<M>,
    /// The bound over the loads' lowest readings, in newtons.
    pub bound: ToleranceBound,
    /// The loads it rests on, in order.
    pub loads: Vec<Id<Load>>,
    /// What it rests on.
    pub assumptions: Vec<Assumption>,
}

/// What can be said of one zone and length of face.
#[derive(Debug, Clone, PartialEq)]
pub struct Derivation<M: Method> {
    /// The zone.
    pub zone: ZoneName,
    /// Length of the faces in metres, for the pull plate where it is known.
    pub face_length_m: Option<f64>,
    /// The target, or why there is none.
    pub target: Result<Derived<M>, DeriveError>,
}

/// Derives targets by method `M` from loads known to have shipped undamaged, for each zone (top,
/// middle, bottom) and, for the pull plate, each length of face that was read.
///
/// For every load with [`Load::shipped_undamaged`] the lowest reading lⱼ in the zone is taken; the
/// target is the exact lower tolerance bound over the loads:
///
/// ```text
/// l̄ − k(n; coverage, confidence) s_l
/// ```
///
/// By load, and the lowest of each: readings on one load hang together, so that counting every
/// reading would claim more than is known, and the rule that the target is for judges the lowest
/// reading of a load. A load read more often has a lower lowest reading, so the target errs to the
/// low side of what a single reading holds; read all loads alike.
///
/// Give loads of one class (stability, line) only. Assumes that the lowest readings of loads are
/// roughly normal. Source: ISO 16269-6 for the bound; taking the lowest of each load is our choice.
#[must_use]
pub fn derive<M: Method>(
    loads: &[Record<Load>],
    readings: &[Record<Reading>],
    rule: ToleranceRule,
) -> Vec<Derivation<M>> {
    let shipped: Vec<(Id<Load>, Vec<Taken<M>>)> = loads
        .iter()
        .filter(|load| load.set_aside.is_none() && load.shipped_undamaged == Some(true))
        .map(|load| {
            let own: Vec<Record<Reading>> = readings
                .iter()
                .filter(|reading| reading.load == load.id)
                .cloned()
                .collect();
            (load.id, taken::<M>(load, &own))
        })
        .collect();
    ZoneName::ALL
        .into_iter()
        .flat_map(|zone| {
            classes(&shipped, zone)
                .into_iter()
                .map(move |(face_length_m, lowest)| Derivation {
                    zone,
                    face_length_m,
                    target: derived(zone, face_length_m, &lowest, rule),
                })
        })
        .collect()
}

/// The lowest reading of every load in that zone, for each length of face; one class for the
/// torsion tool, and an empty one where nothing was read.
#[allow(clippy::type_complexity)] // Length of face, then load and its lowest reading.
fn classes<M: Method>(
    shipped: &[(Id<Load>, Vec<Taken<M>>)],
    zone: ZoneName,
) -> Vec<(Option<f64>, Vec<(Id<Load>, f64)>)> {
    let here: Vec<(Id<Load>, Taken<M>)> = shipped
        .iter()
        .flat_map(|(load, taken)| taken.iter().map(|reading| (*load, *reading)))
        .filter(|(_, reading)| reading.zone == zone)
        .collect();
    let all: Vec<Taken<M>> = here.iter().map(|(_, reading)| *reading).collect();
    let lengths: Vec<Option<f64>> = match M::ID {
        MethodId::PullPlate => by_length(&all)
            .into_iter()
            .map(|(length, _)| length)
            .collect(),
        MethodId::TorsionTool => vec![None],
    };
    let lengths = if lengths.is_empty() {
        vec![None]
    } else {
        lengths
    };
    // A class takes in what is not shorter than its shortest face and belongs to no later class.
    let class_of = |reading: &Taken<M>| match (M::ID, reading.face_length_m) {
        (MethodId::TorsionTool, _) | (_, None) => None,
        (MethodId::PullPlate, Some(m)) => lengths
            .iter()
            .flatten()
            .copied()
            .filter(|shortest| *shortest <= m)
            .reduce(f64::max),
    };
    lengths
        .iter()
        .map(|length| {
            let lowest = shipped
                .iter()
                .filter_map(|(load, _)| {
                    let lowest = here
                        .iter()
                        .filter(|(of, reading)| of == load && class_of(reading) == *length)
                        .map(|(_, reading)| reading.value.force().n())
                        .reduce(f64::min)?;
                    Some((*load, lowest))
                })
                .collect();
            (*length, lowest)
        })
        .collect()
}

fn derived<M: Method>(
    zone: ZoneName,
    face_length_m: Option<f64>,
    lowest: &[(Id<Load>, f64)],
    rule: ToleranceRule,
) -> Result<Derived<M>, DeriveError> {
    let needed = Target::LEAST_SHIPPED_LOADS;
    if lowest.len() < needed {
        return Err(DeriveError::TooFewLoads {
            have: lowest.len(),
            needed,
            missing: needed - lowest.len(),
        });
    }
    let values: Vec<f64> = lowest.iter().map(|(_, n)| *n).collect();
    let bound = lower_tolerance_bound_with_resolution(
        &summarise(&values)?,
        rule.coverage,
        rule.confidence,
        READ_TO_N,
    )?;
    let minimum = Force::from_n(bound.bound)
        .ok()
        .filter(|force| force.n() > 0.0)
        .ok_or(DeriveError::NothingSure)?;
    let mut assumptions = vec![Assumption::LowestOfEachLoad, Assumption::Rule(rule)];
    if M::ID == MethodId::PullPlate {
        assumptions.push(face_length_m.map_or(Assumption::FacesUnknown, Assumption::FacesOfLength));
    }
    assumptions.push(Assumption::NotTheLeast);
    Ok(Derived {
        zone,
        face_length_m,
        minimum: Containment::new(minimum),
        bound,
        loads: lowest.iter().map(|(load, _)| *load).collect(),
        assumptions,
    })
}

impl<M: Method> Derived<M> {
    /// The target as a record's content, its force written in that unit to the tenth it is shown
    /// with, and the length of the faces it is for in the other. `None` where that rounds to zero.
    #[must_use]
    pub fn target(
        &self,
        visit: Id<Visit>,
        line: Option<Id<Line>>,
        stability: Option<Stability>,
        (unit, length): (ForceUnit, LengthUnit),
    ) -> Option<Target> {
        let text = show_force(self.minimum.force(), unit, &Style::default());
        let force: Entered<Force> = text.parse().ok()?;
        (force.value.n() > 0.0).then(|| Target {
            visit,
            line,
            zone: self.zone.zone(),
            stability,
            face_length: self.face_length_m.and_then(|m| as_measured(m, length)),
            minimum: TargetForce::new(M::ID, force),
            origin: TargetOrigin::ShippedLoads {
                loads: self.loads.clone(),
            },
        })
    }
}

/// A length of face as a tape shows it: in whole units where that is near enough, else to the
/// tenth. Lengths of one class lie within a hundredth of each other.
fn as_measured(m: f64, unit: LengthUnit) -> Option<Entered<Length>> {
    const NEAR_ENOUGH: f64 = 0.001;
    let length = Length::from_m(m).ok()?;
    let shown = [Style::default().with_digits(0), Style::default()].map(|style| {
        let shown: Option<Entered<Length>> = show_length(length, unit, &style).parse().ok();
        shown
    });
    let [whole, fine] = shown;
    whole
        .filter(|whole| (whole.value.m() - m).abs() <= NEAR_ENOUGH * m)
        .or(fine)
        .filter(|shown| shown.value.m() > 0.0)
}
