//! The plan of a line: proposal, alternatives, why not less, and what came of it.

use crate::analysis::containment::{ZoneName, targets_for};
use crate::analysis::pattern::{PatternError, PlaceError, Programme, Wrapped};
use crate::analysis::statistics::{Interval, student_t, welch_of};
use crate::language::Language;
use crate::say;
use crate::survey::{Entity, Id, Load, Record, RecordSet, Setup};
use crate::units::{Containment, Length, Method};

use super::change::{Alternative, LessFilm, alternatives, less_film};
use super::films::{Films, films};
use super::mass::FilmMass;
use super::panel::grid;
use super::places::{engaged, load_of};
use super::run::{FilmRun, RunError, RunsAs};
use super::says::{Assumption, FilmLeftOut};
use super::search::{Candidate, Found, Search, SearchError};

/// What the rep chooses.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Asked {
    /// How sure the bounds are to be, as a fraction.
    pub confidence: f64,
    /// How many readings of a load are to keep to their bounds together: those of a full set.
    pub readings: usize,
    /// The greatest pitch as a share of the film's width on the load: 1 lets turns just meet.
    pub most_pitch_of_width: f64,
}

impl Default for Asked {
    /// 90 % sure that nine readings, three zones on three faces, all keep to their bounds; turns
    /// that overlap by a tenth of the film's width or more (common practice, no source).
    fn default() -> Self {
        Self {
            confidence: 0.9,
            readings: 9,
            most_pitch_of_width: 0.9,
        }
    }
}

/// Why there is no plan.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[error("{}", self.said(Language::English))]
pub enum PlanError {
    /// The setup is not among the records.
    NoSetup,
    /// Nothing was wrapped in it.
    NoLoad,
    /// What the film of the setup holds is not known.
    Run(#[from] RunError),
    /// What the film weighs is not known.
    NoMass,
    /// One reading says nothing of its scatter.
    TooFewReadings,
    /// How sure, or how many readings.
    Asked,
    /// The place of a reading.
    Place(#[from] PlaceError),
    /// The pattern of the setup.
    Pattern(#[from] PatternError),
    /// The search.
    Search(#[from] SearchError),
}

impl PlanError {
    /// It, in a language.
    #[must_use]
    pub fn said(&self, language: Language) -> String {
        match self {
            Self::NoSetup => say!(
                language,
                "this setup is not in the records: open it from its line"
            ),
            Self::NoLoad => say!(
                language,
                "no load of this setup has its length, width and height: measure one"
            ),
            Self::Run(error) => error.said(language),
            Self::NoMass => say!(
                language,
                "the film's mass is not known: weigh the film of one load, or write width and thickness of \
         the roll and how far the film is stretched"
            ),
            Self::TooFewReadings => say!(
                language,
                "with one reading nothing can be said of how sure a plan is: take at least two in a zone, \
         better a full set at top, middle and bottom"
            ),
            Self::Asked => say!(
                language,
                "how sure a plan is to be lies between 50 and 99.9 %, for 1 to 100 readings"
            ),
            Self::Place(error) => error.said(language),
            Self::Pattern(error) => error.said(language),
            Self::Search(error) => error.said(language),
        }
    }
}

/// A zone whose layers lie beyond what was measured.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Beyond {
    /// The zone.
    pub zone: ZoneName,
    /// Layers of the programme there.
    pub layers: f64,
    /// The fewest layers measured.
    pub measured_from: f64,
    /// The most layers measured.
    pub measured_to: f64,
}

/// Film saved a load; negative when the proposal takes more.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Saving {
    /// Kilograms a load.
    pub kg: f64,
    /// Of what it now takes, as a fraction.
    pub share: f64,
    /// Student-t interval in kilograms from the scatter of the weighings; `None` where a film was
    /// weighed less than twice. How the programme itself varies from load to load is not in it.
    pub interval: Option<Interval>,
}

/// The plan of a line by method `M`.
#[derive(Debug, Clone, PartialEq)]
pub struct Plan<M: Method> {
    /// The setup it starts from.
    pub from: Id<Setup>,
    /// The load it is for: that of most readings.
    pub load: Id<Load>,
    /// The films measured on the line. [`Candidate::film`] counts in these.
    pub runs: Vec<FilmRun<M>>,
    /// Films of the line that are not looked at, with why.
    pub left_out: Vec<FilmLeftOut>,
    /// The least force for each zone (top, middle, bottom), on faces such as the setup was read on.
    pub goal: [Option<Containment<M>>; 3],
    /// The setup as it is, by the same model.
    pub now: Candidate,
    /// What the search found, over all films.
    pub found: Found,
    /// Film saved by the best.
    pub saving: Option<Saving>,
    /// Where the best lies beyond what was measured.
    pub beyond: Vec<Beyond>,
    /// The cheapest with less changed, each different from the best and from the setup as it is.
    pub alternatives: Vec<Alternative>,
    /// Each way to one step less film than the best, and what it would hold.
    pub less_film: Vec<LessFilm>,
    /// What it rests on.
    pub assumptions: Vec<Assumption>,
    /// As asked.
    pub asked: Asked,
}

/// The plan of a setup's line: what every film measured on the line would hold by every programme
/// the wrapper can be set to, on the load of this setup with the most readings.
///
/// See [`super`] for the model. The bound of a programme is the prediction bound of a new reading,
/// made joint over [`Asked::readings`] of them by Bonferroni; a programme passes when the bound
/// reaches the target in every zone that has one.
///
/// # Errors
/// What is missing and what to do about it.
pub fn plan<M: Method>(
    records: &RecordSet,
    from: Id<Setup>,
    asked: Asked,
) -> Result<Plan<M>, PlanError> {
    if !(0.5..=0.999).contains(&asked.confidence) || !(1..=100).contains(&asked.readings) {
        return Err(PlanError::Asked);
    }
    let setup = find(&records.setups, from).ok_or(PlanError::NoSetup)?;
    let line = find(&records.lines, setup.line).ok_or(PlanError::NoSetup)?;
    let setups: Vec<&Record<Setup>> = records
        .setups
        .iter()
        .filter(|other| other.line == line.id)
        .collect();
    let load = load_of::<M>(records, setup)?;
    let targets = targets_for::<M>(&records.targets, line.id, load.stability);
    let Films {
        runs,
        own_index,
        goal,
        left_out,
    } = films::<M>(records, &setups, &RunsAs::of(setup), &targets, asked)?;
    let (wrapped, _) = Wrapped::of(load)?;
    let run = &runs[own_index];
    let (programme, _) = Programme::of(&setup.settings, run.width_on_load)?;
    let mut assumptions = run.assumptions.clone();
    let face_m = run.face.map(Length::m);
    if targets.iter().any(|zone| zone.for_other_faces_only(face_m)) {
        assumptions.push(Assumption::TargetForOtherFaces);
    }
    let (now, grid) = grid(
        &line.wrapper.limits,
        &programme,
        run.width_on_load,
        &mut assumptions,
    )?;
    let films: Vec<_> = runs
        .iter()
        .filter_map(|run| run.choice(asked.confidence, asked.readings))
        .collect();
    let search = Search {
        load: wrapped,
        start: programme.start,
        over_top: programme.over_top,
        engaged: engaged(records, load, &wrapped, &runs)?,
        films: &films,
        grid,
        goal: goal.map(|goal| goal.map(|goal| goal.force().n())),
        most_pitch_of_width: asked.most_pitch_of_width,
        within_measured: false,
    };
    let found = search.run()?;
    let now = search.evaluate(own_index, &now)?;
    let best = found.best;
    if best.is_some() && runs.len() > 1 {
        assumptions.push(Assumption::BestOfFilms);
    }
    assumptions.sort_unstable();
    assumptions.dedup();
    Ok(Plan {
        from,
        load: load.id,
        goal,
        saving: best.map(|best| saving(&runs, &now, &best)),
        beyond: best.map_or_else(Vec::new, |best| beyond(&runs, &best)),
        alternatives: alternatives(&search, own_index, &now, best.as_ref())?,
        less_film: match &best {
            Some(best) => less_film(&search, best)?,
            None => Vec::new(),
        },
        runs,
        left_out,
        now,
        found,
        assumptions,
        asked,
    })
}

fn find<T: Entity>(records: &[Record<T>], id: Id<T>) -> Option<&Record<T>> {
    records.iter().find(|record| record.id == id)
}

/// Film saved from one programme to another: g₁ P₁ − g₂ P₂, with P the paths and g the film for a
/// metre of path. The interval comes from the standard errors of the gs; for one film the same
/// g stands on both sides, for two their errors add as squares on the degrees of freedom of
/// Welch and Satterthwaite.
fn saving<M: Method>(runs: &[FilmRun<M>], now: &Candidate, best: &Candidate) -> Saving {
    /// The confidence of the interval shown.
    const CONFIDENCE: f64 = 0.95;
    let kg = now.film_kg - best.film_kg;
    let error = |candidate: &Candidate, kg: f64| match runs.get(candidate.film)?.mass? {
        FilmMass::Weighed { fit } => {
            #[allow(clippy::cast_precision_loss)] // A small number.
            let df = fit.df as f64;
            Some((kg * fit.slope_se? / fit.slope, df, fit.resolution_limited))
        }
        FilmMass::FromRoll { .. } => None,
    };
    let spread = if now.film == best.film {
        error(now, kg)
    } else {
        error(now, now.film_kg)
            .zip(error(best, best.film_kg))
            .and_then(|((a, of_a, a_limited), (b, of_b, b_limited))| {
                let limited = a_limited && b_limited;
                let kg = welch_of((now.film_kg, a, of_a), (best.film_kg, b, of_b), limited);
                let kg = kg.ok()?;
                Some((kg.standard_error, kg.df, kg.resolution_limited))
            })
    };
    let interval = spread.and_then(|(se, df, resolution_limited)| {
        let t = -student_t::quantile(0.5 * (1.0 - CONFIDENCE), df).ok()?;
        let half = t * se.abs();
        half.is_finite().then_some(Interval {
            low: kg - half,
            high: kg + half,
            confidence: CONFIDENCE,
            resolution_limited,
        })
    });
    Saving {
        kg,
        share: kg / now.film_kg,
        interval,
    }
}

/// Layers of a programme outside those its film was measured on.
fn beyond<M: Method>(runs: &[FilmRun<M>], best: &Candidate) -> Vec<Beyond> {
    let Some(run) = runs.get(best.film) else {
        return Vec::new();
    };
    let zones = ZoneName::ALL
        .into_iter()
        .zip(best.layers)
        .zip(best.measured);
    zones
        .filter(|(_, measured)| *measured == Some(false))
        .filter_map(|((zone, layers), _)| {
            let fit = run.fit_of(zone)?;
            Some(Beyond {
                zone,
                layers,
                measured_from: fit.x_min,
                measured_to: fit.x_max,
            })
        })
        .collect()
}
