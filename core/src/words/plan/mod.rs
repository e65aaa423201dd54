//! A wrap plan in words and as a chart.

mod basis;
mod outcome;
mod said;
mod trade;

use crate::analysis::plan::{Candidate, Plan, PlanError};
use crate::language::Language;
use crate::say;
use crate::units::Method;
use crate::words::figures;

pub use basis::block as basis;
pub use outcome::outcome_block as outcome;
pub use said::{caution, change, headline, offer, pitch, programme, why_not_less, zones};
pub use trade::trade;

/// A programme that can be taken.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Offer {
    /// What is changed.
    pub title: String,
    /// The programme.
    pub programme: String,
    /// Its film and what it saves.
    pub film: String,
}

/// Why there is no plan, in a sentence.
#[must_use]
pub fn no_plan(error: &PlanError, language: Language) -> String {
    figures::sentence(&say!(
        language,
        "No plan yet: {why}",
        why = error.said(language)
    ))
}

/// The programme proposed; `None` where none passes, or the one there is now is the best.
#[must_use]
pub fn proposed<M: Method>(plan: &Plan<M>) -> Option<&Candidate> {
    let now = &plan.now;
    let best = plan.found.best.as_ref();
    best.filter(|best| best.choice != now.choice || best.film != now.film)
}
