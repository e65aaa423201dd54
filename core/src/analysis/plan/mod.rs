//! The wrap plan: the least film that still holds, and how sure that is.
//!
//! From readings on loads whose programme is known comes the force that a layer of film holds
//! ([`film_runs`]); from that what an untried programme will hold, with a bound; and from every
//! programme the wrapper can be set to the one with the least film whose bounds reach the targets
//! in every zone ([`Search`]). [`plan`] does all of it for a line.
//!
//! The model: a reading grows in proportion to the layers of film behind it, F = f n, with n the
//! layers averaged over the turn and over the height the tool takes hold of. Film of one roll at
//! one film force and one pre-stretch has one f in each zone, and one in all where the zones are
//! not shown to differ. Readings scatter about it alike. Nothing here knows a number to aim at:
//! targets are the customer's.
//!
//! A plan is an estimate. It says what to try; measuring says whether it holds.

mod change;
mod clusters;
mod films;
mod grid;
mod leaves;
mod mass;
mod outcome;
mod panel;
mod places;
mod proposal;
mod pulls;
mod run;
mod says;
mod search;

pub use change::{Alternative, Change, LessFilm};
pub use grid::{Choice, Down, Grid, GridError, MOST_PROGRAMMES, Range, Setting};
pub use mass::FilmMass;
pub use outcome::{Outcome, ZoneOutcome, outcome};
pub use proposal::{Asked, Beyond, Plan, PlanError, Saving, plan};
pub use run::{FilmRun, RunError, RunsAs, ZONES_DIFFER, film_runs, runs_alike, widths_for};
pub use says::{Assumption, FilmLeftOut, LeftOut, WhyNot};
pub use search::{Candidate, Engaged, FilmChoice, Found, Holds, Search, SearchError};
