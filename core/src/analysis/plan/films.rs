//! The films of a line that a plan chooses from, and those it cannot.

use crate::analysis::containment::{ZoneName, ZoneTargets};
use crate::survey::{Record, RecordSet, Setup};
use crate::units::{Containment, Length, Method};

use super::proposal::{Asked, PlanError};
use super::run::{FilmRun, RunsAs, film_runs};
use super::says::{FilmLeftOut, WhyNot};

/// The films that are searched over, and those that are not.
pub(super) struct Films<M: Method> {
    pub(super) runs: Vec<FilmRun<M>>,
    /// That of the setup, in these.
    pub(super) own_index: usize,
    pub(super) goal: [Option<Containment<M>>; 3],
    pub(super) left_out: Vec<FilmLeftOut>,
}

/// Sorts the films of the line: that of the setup has to be known well enough, and any other that
/// is not is left out with the reason.
pub(super) fn films<M: Method>(
    records: &RecordSet,
    setups: &[&Record<Setup>],
    own: &RunsAs,
    targets: &[ZoneTargets<M>; 3],
    asked: Asked,
) -> Result<Films<M>, PlanError> {
    let all = film_runs::<M>(records, setups);
    let of_setup = all.iter().find(|(runs_as, _)| runs_as == own);
    let of_setup = match of_setup {
        Some((_, Ok(run))) => run,
        Some((_, Err(error))) => return Err(error.clone().into()),
        None => return Err(PlanError::NoSetup),
    };
    if of_setup.mass.is_none() {
        return Err(PlanError::NoMass);
    }
    let known = |run: &FilmRun<M>| run.holds(asked.confidence, asked.readings);
    if known(of_setup).iter().all(Option::is_none) {
        return Err(PlanError::TooFewReadings);
    }
    let goal_on = |run: &FilmRun<M>| {
        let face_m = run.face.map(Length::m);
        targets.each_ref().map(|zone| zone.for_face(face_m))
    };
    let goal = goal_on(of_setup);
    let why_not = |run: &FilmRun<M>| {
        if run.mass.is_none() {
            return Some(WhyNot::NoMass);
        }
        if goal_on(run) != goal {
            return Some(WhyNot::OtherFaces);
        }
        let holds = known(run);
        if holds.iter().all(Option::is_none) {
            return Some(WhyNot::TooFewReadings);
        }
        let missing = ZoneName::ALL
            .into_iter()
            .zip(holds.iter().zip(&goal))
            .find(|(_, (holds, goal))| holds.is_none() && goal.is_some());
        missing.map(|(zone, _)| WhyNot::ZoneNotRead(zone))
    };
    let (mut runs, mut left_out, mut own_index) = (Vec::new(), Vec::new(), 0);
    for (runs_as, run) in all {
        let is_own = runs_as == *own;
        let why = match &run {
            Ok(run) => why_not(run).filter(|_| !is_own),
            Err(error) => Some(WhyNot::Run(error.clone())),
        };
        match (why, run) {
            (Some(why), _) => left_out.push(FilmLeftOut { runs_as, why }),
            (None, Ok(run)) => {
                if is_own {
                    own_index = runs.len();
                }
                runs.push(run);
            }
            (None, Err(_)) => {}
        }
    }
    Ok(Films {
        runs,
        own_index,
        goal,
        left_out,
    })
}
