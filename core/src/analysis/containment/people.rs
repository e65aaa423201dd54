//! Do two people, or two tools of one kind, read the same film alike?
//!
//! A reading alters the film: the prongs or the plate leave a hole. The same place cannot be read
//! twice, so that "repeated" means next to each other on the same face and zone of the same load,
//! and the repeatability found here takes in the change of place.

use std::collections::{BTreeMap, BTreeSet};
use std::fmt;
use std::marker::PhantomData;

use thiserror::Error;

use crate::language::Language;
use crate::survey::{Face, Id, Load, Reading, Record, Tool};
use crate::units::{Method, MethodId};
use crate::{say, word};

use super::super::statistics::anova::{AnovaError, LIMIT_FACTOR, OneWay, one_way_within};
use super::super::statistics::f::FTest;
use super::super::statistics::gauge_study::{GaugeStudy, POOL_ABOVE, gauge_study};
use super::{READ_TO_N, ZoneName};

/// What is compared.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Between {
    /// People.
    People,
    /// Tools of one kind.
    Tools,
}

/// Why people or tools cannot be compared; each says what to take.
#[derive(Debug, Clone, Copy, PartialEq, Error)]
#[error("{}", self.said(Language::English))]
pub enum PeopleError {
    /// Fewer than two people or tools.
    OneOnly(Between),
    /// Two or more, but never at the same place.
    NoSharedPlace(Between),
    /// Nobody read twice at one place.
    NoRepeats(Between),
    /// The numbers cannot be worked with.
    Numbers(AnovaError),
}

impl PeopleError {
    /// It, in a language.
    #[must_use]
    pub fn said(self, language: Language) -> String {
        match self {
            Self::OneOnly(Between::People) => say!(
                language,
                "readings by at least two people are needed: let both read next to each other on \
                 the same faces and zones"
            ),
            Self::OneOnly(Between::Tools) => say!(
                language,
                "readings by at least two tools are needed: let both read next to each other on the \
                 same faces and zones"
            ),
            Self::NoSharedPlace(Between::People) => say!(
                language,
                "no face and zone of a load was read by two people: let both read next to each \
                 other there, twice each"
            ),
            Self::NoSharedPlace(Between::Tools) => say!(
                language,
                "no face and zone of a load was read by two tools: let both read next to each other \
                 there, twice each"
            ),
            Self::NoRepeats(Between::People) => say!(
                language,
                "no place was read twice by one of the people: take at least two readings next to \
                 each other by each"
            ),
            Self::NoRepeats(Between::Tools) => say!(
                language,
                "no place was read twice by one of the tools: take at least two readings next to \
                 each other by each"
            ),
            Self::Numbers(error) => error.said(language),
        }
    }
}

/// How the spread was worked out.
#[derive(Debug, Clone, PartialEq)]
pub enum How {
    /// Every place was read by all, equally often: places crossed with people.
    Crossed(GaugeStudy),
    /// Place by place, whoever read there.
    WithinPlaces(OneWay),
}

/// What the result rests on; each is a sentence for the screen.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Assumption {
    /// A reading alters the film.
    RepeatsAreNeighbours,
    /// One reading by each at every place.
    OneTrial,
    /// The variance between them was set to zero.
    NoneShown,
    /// The tool is too coarse.
    ResolutionLimited,
    /// Faces were not noted.
    FacesUnknown,
}

impl Assumption {
    /// It, in a language.
    #[must_use]
    pub fn said(self, language: Language) -> String {
        let word = match self {
            Self::RepeatsAreNeighbours => {
                word!(
                    "A reading leaves a hole in the film, so no place can be read twice: repeats are \
                 taken next to each other, and the repeatability includes the change of place."
                )
            }
            Self::OneTrial => {
                word!(
                    "Each place was read once by each, so the scatter of repeats cannot be told from \
                 reading some places differently."
                )
            }
            Self::NoneShown => {
                word!(
                    "They differ by no more than repeats by one of them do, so no spread between \
                 them is shown."
                )
            }
            Self::ResolutionLimited => {
                word!(
                    "Repeats differ less than the scale shows, so its smallest step stands for them."
                )
            }
            Self::FacesUnknown => {
                word!(
                    "Some readings do not say on which face they were taken: those of one zone are \
                 taken as neighbours."
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

/// Repeatability and reproducibility of readings by method `M`, in newtons.
#[derive(Debug, Clone, PartialEq)]
pub struct PeopleSpread<M: Method> {
    /// What was compared.
    pub between: Between,
    /// Their names (people) or the names of the tools, in order.
    pub names: Vec<String>,
    /// Places (load, zone and face) used.
    pub places: usize,
    /// Readings used.
    pub used: usize,
    /// Readings left out: nobody noted, a height instead of a zone, or a place read by one only.
    pub left_out: usize,
    /// Standard deviation of repeats by one of them.
    pub repeatability_sd_n: f64,
    /// Standard deviation between them.
    pub between_sd_n: f64,
    /// Standard deviation of readings by any of them.
    pub reproducibility_sd_n: f64,
    /// Two neighbouring readings by one differ by more in one case of twenty only (2.8 times the
    /// standard deviation, ISO 5725).
    pub repeatability_limit_n: f64,
    /// The same for readings by two of them.
    pub reproducibility_limit_n: f64,
    /// Do they differ by more than chance? `None` where nothing scatters.
    pub test: Option<FTest>,
    /// How it was worked out.
    pub how: How,
    /// What it rests on.
    pub assumptions: Vec<Assumption>,
    method: PhantomData<M>,
}

impl<M: Method> PeopleSpread<M> {
    /// The method all this is about.
    #[must_use]
    pub const fn method(&self) -> MethodId {
        M::ID
    }
}

type PlaceKey = (Id<Load>, ZoneName, Option<Face>);
/// By place, then by person or tool.
type Cells = BTreeMap<PlaceKey, BTreeMap<String, Vec<f64>>>;

/// Compares people, or tools of the kind that measures by `M`, over the places they share.
///
/// Where every shared place was read by all of them equally often, and there are two such places,
/// by [`gauge_study`] (places × people × repeats, interaction pooled above [`POOL_ABOVE`]); else
/// place by place with [`one_way_within`]. `step_n` is the smallest step of the tools in newtons,
/// [`READ_TO_N`] where it is not known.
///
/// Assumes that scatter is alike at all places. Source: ISO 5725-2 for the limits; see the two
/// functions for the rest.
///
/// # Errors
///
/// [`PeopleError`] says which readings are missing.
pub fn compare<M: Method>(
    readings: &[Record<Reading>],
    tools: &[Record<Tool>],
    between: Between,
    step_n: Option<f64>,
) -> Result<PeopleSpread<M>, PeopleError> {
    let in_use = readings
        .iter()
        .filter(|reading| {
            reading.set_aside.is_none() && reading.measure.containment::<M>().is_some()
        })
        .count();
    let mut cells = cells::<M>(readings, tools, between);
    let names = |cells: &Cells| -> BTreeSet<String> {
        cells.values().flat_map(BTreeMap::keys).cloned().collect()
    };
    if names(&cells).len() < 2 {
        return Err(PeopleError::OneOnly(between));
    }
    cells.retain(|_, by| by.len() >= 2);
    if cells.is_empty() {
        return Err(PeopleError::NoSharedPlace(between));
    }
    let names = names(&cells);
    let step_n = step_n.unwrap_or(READ_TO_N);
    let mut spread = match crossed(&cells, names.len()) {
        Some(table) => from_study(
            between,
            gauge_study(&table, POOL_ABOVE, step_n).map_err(|error| told(error, between))?,
            step_n,
        ),
        None => from_places(between, &cells, step_n)?,
    };
    spread.names = names.into_iter().collect();
    spread.places = cells.len();
    spread.used = cells
        .values()
        .flat_map(BTreeMap::values)
        .map(Vec::len)
        .sum();
    spread.left_out = in_use - spread.used;
    if cells.keys().any(|(_, _, face)| face.is_none()) {
        spread.assumptions.push(Assumption::FacesUnknown);
    }
    Ok(spread)
}

fn cells<M: Method>(
    readings: &[Record<Reading>],
    tools: &[Record<Tool>],
    between: Between,
) -> Cells {
    let mut cells = Cells::new();
    for reading in readings
        .iter()
        .filter(|reading| reading.set_aside.is_none())
    {
        let Some(value) = reading.measure.containment::<M>() else {
            continue;
        };
        let name = match between {
            Between::People => Some(reading.who.trim().to_owned()),
            Between::Tools => reading.tool.map(|id| {
                let named = tools.iter().find(|tool| tool.id == id);
                let name = named.map_or("", |tool| tool.name.trim());
                // Two tools may bear one name.
                let twice = tools
                    .iter()
                    .any(|tool| tool.id != id && tool.name.trim() == name);
                if name.is_empty() || twice {
                    format!("{name} {id}").trim().to_owned()
                } else {
                    name.to_owned()
                }
            }),
        };
        let (Some(zone), Some(name)) = (
            ZoneName::of(&reading.zone),
            name.filter(|name| !name.is_empty()),
        ) else {
            continue;
        };
        cells
            .entry((reading.load, zone, reading.face))
            .or_default()
            .entry(name)
            .or_default()
            .push(value.force().n());
    }
    cells
}

/// The readings as part × person × trial, when all places were read by all equally often.
fn crossed(cells: &Cells, people: usize) -> Option<Vec<Vec<Vec<f64>>>> {
    let trials = cells.values().next()?.values().next()?.len();
    let even = cells.len() >= 2
        && cells
            .values()
            .all(|by| by.len() == people && by.values().all(|cell| cell.len() == trials));
    even.then(|| {
        cells
            .values()
            .map(|by| by.values().cloned().collect())
            .collect()
    })
}

fn told(error: AnovaError, between: Between) -> PeopleError {
    match error {
        AnovaError::TooFewGroups => PeopleError::NoSharedPlace(between),
        AnovaError::NoRepeats => PeopleError::NoRepeats(between),
        other => PeopleError::Numbers(other),
    }
}

fn from_study<M: Method>(between: Between, study: GaugeStudy, step_n: f64) -> PeopleSpread<M> {
    let mut assumptions = vec![Assumption::RepeatsAreNeighbours];
    assumptions.extend((study.trials == 1).then_some(Assumption::OneTrial));
    assumptions.extend((study.person_sd <= 0.0).then_some(Assumption::NoneShown));
    let floor = step_n / 12.0_f64.sqrt();
    assumptions.extend((study.repeatability_sd <= floor).then_some(Assumption::ResolutionLimited));
    PeopleSpread {
        between,
        names: Vec::new(),
        places: 0,
        used: 0,
        left_out: 0,
        repeatability_sd_n: study.repeatability_sd,
        between_sd_n: study.person_sd.hypot(study.interaction_sd),
        reproducibility_sd_n: study.gauge_sd,
        repeatability_limit_n: LIMIT_FACTOR * study.repeatability_sd,
        reproducibility_limit_n: LIMIT_FACTOR * study.gauge_sd,
        test: study.person_test,
        how: How::Crossed(study),
        assumptions,
        method: PhantomData,
    }
}

fn from_places<M: Method>(
    between: Between,
    cells: &Cells,
    step_n: f64,
) -> Result<PeopleSpread<M>, PeopleError> {
    let blocks: Vec<Vec<Vec<f64>>> = cells
        .values()
        .map(|by| by.values().cloned().collect())
        .collect();
    let blocks: Vec<&[Vec<f64>]> = blocks.iter().map(Vec::as_slice).collect();
    let table = one_way_within(&blocks).map_err(|error| told(error, between))?;
    let precision = table
        .precision(step_n)
        .map_err(|error| told(error, between))?;
    let mut assumptions = vec![Assumption::RepeatsAreNeighbours];
    assumptions.extend((precision.between_sd <= 0.0).then_some(Assumption::NoneShown));
    assumptions.extend(
        precision
            .resolution_limited
            .then_some(Assumption::ResolutionLimited),
    );
    Ok(PeopleSpread {
        between,
        names: Vec::new(),
        places: 0,
        used: 0,
        left_out: 0,
        repeatability_sd_n: precision.repeatability_sd,
        between_sd_n: precision.between_sd,
        reproducibility_sd_n: precision.reproducibility_sd,
        repeatability_limit_n: precision.repeatability_limit,
        reproducibility_limit_n: precision.reproducibility_limit,
        test: table.test,
        how: How::WithinPlaces(table),
        assumptions,
        method: PhantomData,
    })
}
