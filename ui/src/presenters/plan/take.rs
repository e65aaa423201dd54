//! A proposal made a setup: a trial with what was predicted kept beside it.

use tautbook_core::analysis::containment::ZoneName;
use tautbook_core::analysis::plan::{Candidate, Plan, plan};
use tautbook_core::book::BookError;
use tautbook_core::say;
use tautbook_core::survey::{Id, Planned, Settings, Setup, SetupRole, Spiral};
use tautbook_core::units::{
    Entered, Force, Length, Method, MethodId, PullPlate, TorsionTool, UnitChoice, parse_force,
    parse_length, parse_mass,
};
use tautbook_core::words::plan as words;

use super::super::{figures, next_name};
use super::{asked, records};
use crate::place::Place;
use crate::session::{Notice, Session, Tone};

/// Makes a trial of the proposal (0) or of an alternative (from 1 on), keeps what was predicted
/// with it, and opens it.
pub fn take(session: &mut Session, offer: usize) {
    let Place::Plan { setup, method } = session.here() else {
        return;
    };
    let made = match method {
        MethodId::TorsionTool => trial::<TorsionTool>(session, setup, offer),
        MethodId::PullPlate => trial::<PullPlate>(session, setup, offer),
    };
    let Some(made) = session.report(made) else {
        return;
    };
    let Some(trial) = made else {
        session.say(Notice {
            tone: Tone::Warning,
            text: say!(
                session.language(),
                "The plan has changed meanwhile. Look at it again."
            ),
            act: None,
        });
        return;
    };
    if let Some(trial) = session.add("plan_setup", trial) {
        session.go(Place::Setup(trial.id));
    }
}

fn trial<M: Method>(
    session: &Session,
    from: Id<Setup>,
    offer: usize,
) -> Result<Option<Setup>, BookError> {
    let setup = session.book().get(from)?;
    let units = super::units(session, &setup.settings);
    let records = records(session, from)?;
    let Ok(plan) = plan::<M>(&records, from, asked(session)) else {
        return Ok(None);
    };
    let chosen = match offer.checked_sub(1) {
        None => plan.found.best,
        Some(at) => plan.alternatives.get(at).map(|other| other.candidate),
    };
    let Some((candidate, run)) = chosen.and_then(|of| Some((of, plan.runs.get(of.film)?))) else {
        return Ok(None);
    };
    // The settings of the film that is proposed, where it is not the one on the setup now.
    let settings_of = records
        .setups
        .iter()
        .find(|other| run.setups.contains(&other.id) && other.id == from)
        .or_else(|| {
            records
                .setups
                .iter()
                .find(|other| run.setups.contains(&other.id))
        });
    let base = settings_of.map_or(&setup.body, |other| &other.body);
    let siblings = session.book().children::<Setup, _>(setup.line)?;
    let trials: Vec<&str> = siblings
        .iter()
        .filter(|setup| setup.role == SetupRole::Trial)
        .map(|setup| setup.name.as_str())
        .collect();
    Ok(Some(Setup {
        name: next_name(
            |n| say!(session.language(), "Trial {n}", n = n),
            trials.into_iter(),
        ),
        role: SetupRole::Trial,
        film_roll: run.runs_as.film_roll,
        settings: settings(&base.settings, &candidate, units),
        notes: String::new(),
        planned: Some(planned(&plan, &candidate, units)),
        ..Setup::new(setup.line, String::new(), SetupRole::Trial)
    }))
}

fn settings(base: &Settings, candidate: &Candidate, units: UnitChoice) -> Settings {
    let spiral = |m: f64| Some(Spiral::Pitch(length(m, units)?));
    let choice = &candidate.choice;
    let mut settings = base.clone();
    settings.bottom_turns = Some(choice.bottom_turns);
    settings.top_turns = Some(choice.top_turns);
    // A setup that is wrapped on the way down alone has its one pitch there.
    if base.up.is_none() && base.down.is_some() {
        settings.down = spiral(choice.pitch_up_m);
    } else {
        settings.up = spiral(choice.pitch_up_m);
        settings.down = choice.pitch_down_m.and_then(spiral);
    }
    settings
}

/// A length as a person would write it.
fn length(m: f64, units: UnitChoice) -> Option<Entered<Length>> {
    parse_length(&words::pitch(m, units), &units.length_typing()).ok()
}

/// A force as a person would write it; a bound under zero is zero.
fn force(n: f64, units: UnitChoice) -> Option<Entered<Force>> {
    parse_force(&figures::newtons(n.max(0.0), units), &units.force_typing()).ok()
}

fn planned<M: Method>(plan: &Plan<M>, candidate: &Candidate, units: UnitChoice) -> Planned {
    let zones = ZoneName::ALL
        .into_iter()
        .enumerate()
        .filter_map(|(at, zone)| {
            Some((
                zone.zone(),
                force(candidate.mean_n[at]?, units)?,
                force(candidate.lower_n[at]?, units)?,
            ))
        })
        .collect();
    let film = parse_mass(
        &figures::film(candidate.film_kg, units),
        &units.mass_typing(),
    )
    .ok();
    let from = plan
        .runs
        .get(candidate.film)
        .map_or_else(Vec::new, |run| run.setups.clone());
    Planned::new::<M>(plan.asked.confidence, zones, film, from)
}
