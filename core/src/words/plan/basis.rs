//! What a plan rests on, in words.

use crate::analysis::plan::{FilmMass, Plan, RunsAs};
use crate::analysis::statistics::regression::Fit;
use crate::survey::{FilmRoll, Record};
use crate::units::{Method, Ratio};
use crate::words::figures;
use crate::words::{Block, Fact, Reader};
use crate::{say, say_count};

/// What a layer holds, and what else the plan rests on.
#[must_use]
pub fn block<M: Method>(plan: &Plan<M>, rolls: &[Record<FilmRoll>], to: Reader) -> Block {
    let Reader { units, language: l } = to;
    let mut block = Block::default();
    let many = plan.runs.len() > 1;
    for run in &plan.runs {
        let film = many.then(|| film_name(&run.runs_as, rolls, to));
        let agree = run.fit.agree == Some(true);
        for zone in &run.zones {
            let Some(fit) = run.fit_of(*zone) else {
                continue;
            };
            let zones = if agree {
                say!(l, "all zones")
            } else {
                zone.in_list().said(l).to_owned()
            };
            let label = match &film {
                Some(film) => say!(
                    l,
                    "A layer holds, {zones}, {film}",
                    zones = zones,
                    film = film
                ),
                None => say!(l, "A layer holds, {zones}", zones = zones),
            };
            block
                .facts
                .push(Fact::new(label, figures::small(fit.slope, units)).with(fitted(fit, to)));
            if agree {
                break;
            }
        }
        if let Some(FilmMass::Weighed { fit }) = run.mass {
            block.note(say_count!(
                l,
                fit.n,
                "Film by {n} weighing of loads.",
                "Film by {n} weighings of loads."
            ));
        }
        for left_out in &run.left_out {
            block.note(left_out.said(l));
        }
    }
    for left_out in &plan.left_out {
        block.note(say!(
            l,
            "Not looked at: {film}. {why}",
            film = film_name(&left_out.runs_as, rolls, to),
            why = figures::sentence(&left_out.why.said(l))
        ));
    }
    let all = figures::grouped_count(plan.found.looked_at);
    block.note(if plan.goal.iter().all(Option::is_none) {
        say!(l, "{all} programmes were looked at.", all = all)
    } else {
        say!(
            l,
            "{all} programmes were looked at; {passing} of them pass.",
            all = all,
            passing = figures::grouped_count(plan.found.passing)
        )
    });
    for assumption in &plan.assumptions {
        block.note(assumption.said(l));
    }
    block.note(say!(
        l,
        "A reading is taken to grow in proportion to the layers of film behind it, with the same \
         film, film force and pre-stretch."
    ));
    block
}

/// What a line through readings rests on.
fn fitted(fit: &Fit, to: Reader) -> String {
    let Reader { units, language: l } = to;
    let least = figures::decimal(fit.x_min, 1, units);
    let most = figures::decimal(fit.x_max, 1, units);
    let mut said = vec![if least == most {
        say_count!(
            l,
            fit.n,
            "{n} reading on {layers} layers",
            "{n} readings on {layers} layers",
            layers = least
        )
    } else {
        say_count!(
            l,
            fit.n,
            "{n} reading on {least} to {most} layers",
            "{n} readings on {least} to {most} layers",
            least = least,
            most = most
        )
    }];
    let error = fit.slope_se.map(|error| figures::small(error, units));
    // Less than is shown is nothing to tell.
    if let Some(error) = error.filter(|error| *error != figures::small(0.0, units)) {
        said.push(say!(l, "standard error {error}", error = error));
    }
    if let Some(scatter) = fit.residual_sd {
        let scatter = figures::small(scatter, units);
        said.push(say!(l, "scatter {scatter}", scatter = scatter));
    }
    said.join("; ")
}

/// What of the settings that one film is run by is another than now.
pub(super) fn changed_settings(now: &RunsAs, then: &RunsAs, to: Reader) -> String {
    let Reader { units, language: l } = to;
    let mut parts = Vec::new();
    if then.film_force != now.film_force {
        let known = |force: &str| match force {
            "" => say!(l, "not written"),
            force => force.to_owned(),
        };
        parts.push(say!(
            l,
            "film force {force} (now {now})",
            force = known(&then.film_force),
            now = known(&now.film_force)
        ));
    }
    if then.pre_stretch != now.pre_stretch {
        let known = |stretch: Option<Ratio>| match stretch {
            None => say!(l, "not written"),
            Some(stretch) => figures::percent(stretch.fraction(), units),
        };
        parts.push(say!(
            l,
            "pre-stretch {share} (now {now})",
            share = known(then.pre_stretch),
            now = known(now.pre_stretch)
        ));
    }
    parts.join(", ")
}

/// A film and how it is run, by name.
pub(super) fn film_name(runs_as: &RunsAs, rolls: &[Record<FilmRoll>], to: Reader) -> String {
    let Reader { units, language: l } = to;
    let roll = runs_as
        .film_roll
        .and_then(|id| rolls.iter().find(|roll| roll.id == id));
    let mut parts =
        vec![roll.map_or_else(|| say!(l, "a film not named"), |roll| roll.name.clone())];
    if !runs_as.film_force.is_empty() {
        parts.push(say!(l, "film force {force}", force = runs_as.film_force));
    }
    if let Some(stretch) = runs_as.pre_stretch {
        let stretch = figures::percent(stretch.fraction(), units);
        parts.push(say!(l, "pre-stretch {share}", share = stretch));
    }
    parts.join(", ")
}
