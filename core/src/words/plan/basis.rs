//! What a plan rests on, in words.

use crate::analysis::plan::{FilmMass, Plan, RunsAs};
use crate::survey::{FilmRoll, Record};
use crate::units::{Method, UnitChoice};

use crate::words::{Block, Fact};
use crate::words::{count, figures};

/// What a layer holds, and what else the plan rests on.
#[must_use]
pub fn block<M: Method>(plan: &Plan<M>, rolls: &[Record<FilmRoll>], units: UnitChoice) -> Block {
    let mut block = Block::default();
    let many = plan.runs.len() > 1;
    for run in &plan.runs {
        let which = if many {
            format!(", {}", film_name(&run.runs_as, rolls, units))
        } else {
            String::new()
        };
        let agree = run.fit.agree == Some(true);
        for zone in &run.zones {
            let Some(fit) = run.fit_of(*zone) else {
                continue;
            };
            let label = if agree {
                format!("A layer holds, all zones{which}")
            } else {
                format!("A layer holds, {}{which}", zone.as_str())
            };
            let mut detail = format!(
                "{} on {} to {} layers",
                count(fit.n, "reading", "readings"),
                figures::decimal(fit.x_min, 1, units),
                figures::decimal(fit.x_max, 1, units)
            );
            if let Some(error) = fit.slope_se {
                detail.push_str(&format!(
                    "; standard error {}",
                    figures::small(error, units)
                ));
            }
            if let Some(scatter) = fit.residual_sd {
                detail.push_str(&format!("; scatter {}", figures::small(scatter, units)));
            }
            block
                .facts
                .push(Fact::new(label, figures::small(fit.slope, units)).with(detail));
            if agree {
                break;
            }
        }
        if let Some(FilmMass::Weighed { fit }) = run.mass {
            block.note(format!(
                "Film by {} of loads.",
                count(fit.n, "weighing", "weighings")
            ));
        }
        for left_out in &run.left_out {
            block.note(left_out.to_string());
        }
    }
    for left_out in &plan.left_out {
        block.note(format!(
            "Not looked at: {}. {}",
            film_name(&left_out.runs_as, rolls, units),
            figures::sentence(&left_out.why.to_string())
        ));
    }
    block.note(format!(
        "{} programmes were looked at; {} of them pass.",
        grouped(plan.found.looked_at),
        grouped(plan.found.passing)
    ));
    for assumption in &plan.assumptions {
        block.note(assumption.to_string());
    }
    block.note(
        "A reading is taken to grow in proportion to the layers of film behind it, with the same \
         film, film force and pre-stretch.",
    );
    block
}

/// A film and how it is run, by name.
fn film_name(runs_as: &RunsAs, rolls: &[Record<FilmRoll>], units: UnitChoice) -> String {
    let roll = runs_as
        .film_roll
        .and_then(|id| rolls.iter().find(|roll| roll.id == id));
    let mut name = roll.map_or_else(|| "a film not named".to_owned(), |roll| roll.name.clone());
    if !runs_as.film_force.is_empty() {
        name.push_str(&format!(", film force {}", runs_as.film_force));
    }
    if let Some(stretch) = runs_as.pre_stretch {
        let stretch = figures::percent(stretch.fraction(), units);
        name.push_str(&format!(", pre-stretch {stretch}"));
    }
    name
}

fn grouped(number: u64) -> String {
    #[allow(clippy::cast_precision_loss)] // At most some tens of millions.
    let number = number as f64;
    figures::grouped(number)
}
