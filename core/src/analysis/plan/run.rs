//! Films as they run on a line, with what a layer of each holds.

use crate::analysis::containment::{READ_TO_N, ZoneName};
use crate::analysis::pattern::{self, Pattern, PatternError, Programme, Wrapped, reading_place};
use crate::analysis::statistics::regression::{
    Fit, GroupedFit, Point, RegressionError, fit_groups,
};
use crate::language::Language;
use crate::say;
use crate::survey::{FilmRoll, FilmWidth, Id, Load, Record, RecordSet, Setup};
use crate::units::{Length, Method, Ratio};

use super::clusters::{Residual, with_loads};
use super::mass::{FilmMass, coarsest_step_kg, weighed_on};
use super::pulls::{Pull, one_face};
use super::says::{Assumption, LeftOut};
use super::search::{FilmChoice, Holds};

/// The significance at which the zones' forces a layer are held to differ. Zones put together that
/// are not alike make the weakest look stronger than it is, and few readings show large
/// differences only, so a small doubt is enough to keep them apart. Source: ICH Q1E, "Evaluation
/// for stability data", which pools batches at 0.25 for the same reason (from memory).
pub const ZONES_DIFFER: f64 = 0.25;

/// The significance at which readings are held not to grow in proportion to layers (common
/// practice, no source).
const NOT_IN_PROPORTION: f64 = 0.01;

/// What makes film run alike: one roll, one film-force setting, one pre-stretch. What a layer
/// holds depends on all three, so setups that differ in one are not fitted together.
#[derive(Debug, Clone, PartialEq)]
pub struct RunsAs {
    /// The film; `None` where the setup names none.
    pub film_roll: Option<Id<FilmRoll>>,
    /// The film-force setting as the panel shows it.
    pub film_force: String,
    /// The pre-stretch setting.
    pub pre_stretch: Option<Ratio>,
}

impl RunsAs {
    /// How a setup runs its film.
    #[must_use]
    pub fn of(setup: &Setup) -> Self {
        Self {
            film_roll: setup.film_roll,
            film_force: setup.settings.film_force.trim().to_owned(),
            pre_stretch: setup.settings.pre_stretch.as_ref().map(|set| set.value),
        }
    }
}

/// Whether the film of two setups is known to run alike: it is one film, set alike.
#[must_use]
pub fn runs_alike(one: &Setup, other: &Setup) -> bool {
    one.film_roll.is_some() && RunsAs::of(one) == RunsAs::of(other)
}

/// The widths of film on loads that count for some `loads` of a setup: those measured on them;
/// without any, those on the loads of its line whose film is known to run alike, which are what a
/// plan takes. None that was set aside, or whose load was.
#[must_use]
pub fn widths_for<'a>(
    records: &'a RecordSet,
    setup: &Record<Setup>,
    loads: &[&Record<Load>],
) -> Vec<&'a Record<FilmWidth>> {
    let widths = |on: &dyn Fn(Id<Load>) -> bool| -> Vec<_> {
        let all = records.film_widths.iter();
        all.filter(|width| width.set_aside.is_none() && on(width.load))
            .collect()
    };
    let own = widths(&|id| loads.iter().any(|load| load.id == id));
    if !own.is_empty() {
        return own;
    }
    let alike = |other: &Record<Setup>| {
        other.set_aside.is_none() && other.line == setup.line && runs_alike(other, setup)
    };
    widths(&|id| {
        let mut loads = records.loads.iter();
        loads.any(|load| {
            load.id == id
                && load.set_aside.is_none()
                && records
                    .setups
                    .iter()
                    .any(|setup| setup.id == load.setup && alike(setup))
        })
    })
}

/// One film as it runs on the line, with the readings taken on it by method `M`.
#[derive(Debug, Clone, PartialEq)]
pub struct FilmRun<M: Method> {
    /// What makes it one.
    pub runs_as: RunsAs,
    /// The setups that run it so.
    pub setups: Vec<Id<Setup>>,
    /// The loads whose readings are used.
    pub loads: Vec<Id<Load>>,
    /// Width on the load.
    pub width_on_load: Length,
    /// What it weighs; `None` where neither weighed nor known from the label.
    pub mass: Option<FilmMass>,
    /// The zones that were read, from the top down, in the order of the fit's groups.
    pub zones: Vec<ZoneName>,
    /// Force in newtons by layers, zone by zone and pooled.
    pub fit: GroupedFit,
    /// The lines the zones are predicted with, in the order of [`Self::zones`]: the common one
    /// where the zones agree, else each zone's own with the common scatter; either with what
    /// loads differ among themselves taken into the scatter.
    pub predicts: Vec<Fit>,
    /// Length of the faces the readings are from, where it matters (the pull plate).
    pub face: Option<Length>,
    /// Readings that could not be used.
    pub left_out: Vec<LeftOut>,
    /// What is taken for granted.
    pub assumptions: Vec<Assumption>,
    method: std::marker::PhantomData<M>,
}

impl<M: Method> FilmRun<M> {
    /// The line a zone is predicted with; `None` for a zone that was not read.
    #[must_use]
    pub fn fit_of(&self, zone: ZoneName) -> Option<&Fit> {
        let group = self.zones.iter().position(|&read| read == zone)?;
        self.predicts.get(group)
    }

    /// What it holds in each zone (top, middle, bottom), so that `readings` new readings together
    /// keep to their bounds with that confidence.
    #[must_use]
    pub fn holds(&self, confidence: f64, readings: usize) -> [Option<Holds>; 3] {
        ZoneName::ALL.map(|zone| {
            let fit = *self.fit_of(zone)?;
            let predictor = fit.predictor(confidence, readings)?;
            Some(Holds { fit, predictor })
        })
    }

    /// As the search takes it; `None` without a mass.
    #[must_use]
    pub fn choice(&self, confidence: f64, readings: usize) -> Option<FilmChoice> {
        Some(FilmChoice {
            width_on_load: self.width_on_load,
            kg_per_m: self.mass?.kg_per_m(),
            holds: self.holds(confidence, readings),
        })
    }
}

/// Why nothing can be said of a film.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[error("{}", self.said(Language::English))]
pub enum RunError {
    /// The film's width or a setting.
    Pattern(#[from] PatternError),
    /// No reading of this method whose layers are known.
    NoReadings,
    /// The readings do not make a line.
    Fit(#[from] RegressionError),
}

impl RunError {
    /// It, in a language.
    #[must_use]
    pub fn said(&self, language: Language) -> String {
        match self {
            Self::Pattern(error) => error.said(language),
            Self::NoReadings => say!(
                language,
                "no reading by this tool lies on layers that are known: write the settings, the load's \
         length, width and height, and take readings at top, middle and bottom"
            ),
            Self::Fit(error) => error.said(language),
        }
    }
}

/// One reading on a number of layers.
pub(super) struct Read {
    zone: ZoneName,
    load: Id<Load>,
    pub(super) pull: Pull,
    point: Point,
}

/// The films run by the setups of a line, each with what a layer of it holds by method `M`; in the
/// order in which they were first set up.
///
/// Setups, loads, readings and weighings that were set aside take no part.
#[must_use]
pub fn film_runs<M: Method>(
    records: &RecordSet,
    setups: &[&Record<Setup>],
) -> Vec<(RunsAs, Result<FilmRun<M>, RunError>)> {
    let mut kinds: Vec<(RunsAs, Vec<&Record<Setup>>)> = Vec::new();
    for setup in setups.iter().filter(|setup| setup.set_aside.is_none()) {
        let runs_as = RunsAs::of(setup);
        match kinds.iter_mut().find(|(known, _)| *known == runs_as) {
            Some((_, alike)) => alike.push(setup),
            None => kinds.push((runs_as, vec![setup])),
        }
    }
    kinds
        .into_iter()
        .map(|(runs_as, setups)| {
            let run = film_run(records, runs_as.clone(), &setups);
            (runs_as, run)
        })
        .collect()
}

fn film_run<M: Method>(
    records: &RecordSet,
    runs_as: RunsAs,
    setups: &[&Record<Setup>],
) -> Result<FilmRun<M>, RunError> {
    let roll = runs_as
        .film_roll
        .and_then(|id| records.film_rolls.iter().find(|roll| roll.id == id));
    let loads: Vec<&Record<Load>> = records
        .loads
        .iter()
        .filter(|load| load.set_aside.is_none())
        .filter(|load| setups.iter().any(|setup| setup.id == load.setup))
        .collect();
    let widths: Vec<_> = records
        .film_widths
        .iter()
        .filter(|width| loads.iter().any(|load| load.id == width.load))
        .cloned()
        .collect();
    let (width_on_load, of_width) = pattern::film_on_load(&widths, roll.map(|roll| &roll.body))?;
    let mut assumptions: Vec<Assumption> = of_width.into_iter().map(Assumption::Pattern).collect();
    let mut left_out = Vec::new();

    let mut read = Vec::new();
    let mut weighed = Vec::new();
    for setup in setups {
        let (programme, notes) = Programme::of(&setup.settings, width_on_load)?;
        assumptions.extend(notes.into_iter().map(Assumption::Pattern));
        for load in loads.iter().filter(|load| load.setup == setup.id) {
            let pattern = Wrapped::of(load).and_then(|(wrapped, notes)| {
                assumptions.extend(notes.into_iter().map(Assumption::Pattern));
                Pattern::new(&programme, &wrapped, width_on_load)
            });
            match pattern {
                Ok(pattern) => {
                    assumptions.extend(
                        pattern
                            .assumptions()
                            .iter()
                            .copied()
                            .map(Assumption::Pattern),
                    );
                    read_on::<M>(
                        records,
                        load,
                        &pattern,
                        &mut read,
                        &mut left_out,
                        &mut assumptions,
                    );
                    weighed.extend(weighed_on(records, load, &pattern));
                }
                Err(error) => left_out.push(LeftOut::Load(load.id, error)),
            }
        }
    }
    let face = one_face::<M>(&mut read, &mut left_out);
    let zones: Vec<ZoneName> = ZoneName::ALL
        .into_iter()
        .filter(|zone| read.iter().any(|reading| reading.zone == *zone))
        .collect();
    if zones.is_empty() {
        return Err(RunError::NoReadings);
    }
    let groups: Vec<Vec<Point>> = zones
        .iter()
        .map(|zone| {
            let here = read.iter().filter(|reading| reading.zone == *zone);
            here.map(|reading| reading.point).collect()
        })
        .collect();
    let mut used: Vec<Id<Load>> = read.iter().map(|reading| reading.load).collect();
    used.sort_unstable();
    used.dedup();
    if used.len() == 1 {
        assumptions.push(Assumption::OneLoad);
    }
    let fit = fit_groups(&groups, ZONES_DIFFER, READ_TO_N)?;
    if !in_proportion(&fit) {
        assumptions.push(Assumption::NotInProportion);
    }
    let predicts = predicts(&fit, &zones, &read);
    let mass = FilmMass::weighed(&weighed, coarsest_step_kg(records, &loads))
        .or_else(|| FilmMass::from_roll(records, setups, roll?, &mut assumptions));
    assumptions.sort_unstable();
    assumptions.dedup();
    Ok(FilmRun {
        setups: setups.iter().map(|setup| setup.id).collect(),
        loads: used,
        width_on_load,
        mass,
        fit,
        predicts,
        zones,
        face,
        left_out,
        assumptions,
        runs_as,
        method: std::marker::PhantomData,
    })
}

/// Whether nothing shows that the lines do not meet the origin. Loads that differ can look like
/// that too, so that it takes much to show it.
fn in_proportion(fit: &GroupedFit) -> bool {
    let lines = if fit.agree == Some(true) {
        std::slice::from_ref(&fit.pooled)
    } else {
        &fit.own
    };
    let mut tests = lines.iter().filter_map(|line| line.intercept?.test);
    !tests.any(|test| test.shows_effect(NOT_IN_PROPORTION))
}

/// Each zone's line with the scatter of loads taken in.
fn predicts(fit: &GroupedFit, zones: &[ZoneName], read: &[Read]) -> Vec<Fit> {
    let agree = fit.agree == Some(true);
    let lines = if agree {
        std::slice::from_ref(&fit.pooled)
    } else {
        &fit.own_common_spread
    };
    let line_of = |group: usize| if agree { 0 } else { group };
    let residuals: Vec<_> = read
        .iter()
        .filter_map(|reading| {
            let line = line_of(zones.iter().position(|zone| *zone == reading.zone)?);
            let Point { x, y } = reading.point;
            let y = y - lines.get(line)?.slope * x;
            Some(Residual {
                load: reading.load,
                line,
                point: Point { x, y },
            })
        })
        .collect();
    let with = with_loads(lines, &residuals);
    (0..zones.len())
        .filter_map(|group| with.get(line_of(group)).copied())
        .collect()
}

fn read_on<M: Method>(
    records: &RecordSet,
    load: &Record<Load>,
    pattern: &Pattern,
    read: &mut Vec<Read>,
    left_out: &mut Vec<LeftOut>,
    assumptions: &mut Vec<Assumption>,
) {
    let readings = records
        .readings
        .iter()
        .filter(|reading| reading.set_aside.is_none() && reading.load == load.id);
    for reading in readings {
        let Some(value) = reading.measure.containment::<M>() else {
            continue;
        };
        let Some(zone) = ZoneName::of(&reading.zone) else {
            left_out.push(LeftOut::AtAHeight(reading.id));
            continue;
        };
        match reading_place(load, reading) {
            Ok(place) => {
                assumptions.extend(place.assumptions.into_iter().map(Assumption::Pattern));
                read.push(Read {
                    zone,
                    load: load.id,
                    pull: Pull::of(load, reading),
                    point: Point {
                        x: pattern.mean_layers(place.from_m, place.to_m),
                        y: value.force().n(),
                    },
                });
            }
            Err(error) => left_out.push(LeftOut::Place(reading.id, error)),
        }
    }
}
