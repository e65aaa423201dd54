//! Plan: the least film that would still hold, how sure that is, and the setup made from it.

mod limits;
mod take;

use tautbook_core::analysis::plan::{Asked, Plan, plan};
use tautbook_core::book::{BookError, Which};
use tautbook_core::chart::TradeOff;
use tautbook_core::say;
use tautbook_core::survey::{Id, Load, Reading, RecordSet, Settings, Setup, SetupRole, Spiral};
use tautbook_core::units::{LengthUnit, Method, MethodId, PullPlate, TorsionTool, UnitChoice};
use tautbook_core::words::Reader;
pub use tautbook_core::words::plan::Offer;
use tautbook_core::words::plan::{self as words, no_plan, proposed};

pub use limits::{Limit, LimitsView, draft_limit, edit_limit, pick_same_pitch, settle};
pub use take::take;

use super::block::Block;
use super::written;
use crate::place::Place;
use crate::session::{Session, Tone};

/// Where the choice of confidence is kept.
const CONFIDENCE: &str = "confidence";

/// How sure a plan may be asked to be, in percent.
pub const CONFIDENCES: [u32; 3] = [80, 90, 95];

/// What the screen shows.
#[derive(Debug, Clone, PartialEq)]
pub struct View {
    /// The setup it starts from.
    pub from: String,
    /// The method.
    pub method: MethodId,
    /// How sure it is to be, in percent.
    pub confidence: u32,
    /// The proposal, or why there is none.
    pub headline: String,
    /// How it is meant.
    pub tone: Tone,
    /// The programme proposed, and its film; `None` when there is none to take.
    pub proposal: Option<Offer>,
    /// What to know before trying it.
    pub caution: String,
    /// Zone by zone: what is expected and what is sure.
    pub zones: Block,
    /// Why not still less film.
    pub why_not_less: Block,
    /// The cheapest with less changed.
    pub alternatives: Vec<Offer>,
    /// Film against the weakest margin; `None` without a plan.
    pub trade: Option<TradeOff>,
    /// What a layer of film holds and what else the plan rests on.
    pub basis: Block,
    /// What came of it, where this setup was planned.
    pub outcome: Block,
    /// What the panel allows.
    pub limits: LimitsView,
}

/// What the screen shows now.
///
/// # Errors
/// The store's errors.
pub fn view(session: &Session, setup: Id<Setup>, method: MethodId) -> Result<View, BookError> {
    match method {
        MethodId::TorsionTool => view_by::<TorsionTool>(session, setup),
        MethodId::PullPlate => view_by::<PullPlate>(session, setup),
    }
}

/// The records of a setup's visit.
pub(crate) fn records(session: &Session, setup: Id<Setup>) -> Result<RecordSet, BookError> {
    let book = session.book();
    let line = book.get(book.get(setup)?.line)?;
    book.visit_records(line.visit, Which::InUse)
}

fn confidence(session: &Session) -> u32 {
    session
        .drafted(CONFIDENCE)
        .and_then(|typed| typed.text.parse().ok())
        .filter(|percent| CONFIDENCES.contains(percent))
        .unwrap_or(90)
}

/// The units in use, with lengths in the one that the pitch is written in: the panel's.
fn units(session: &Session, settings: &Settings) -> UnitChoice {
    let in_use = session.units();
    let pitch = match settings.up.as_ref().or(settings.down.as_ref()) {
        Some(Spiral::Pitch(pitch) | Spiral::Overlap(pitch)) => written(Some(pitch)),
        None => "",
    };
    let symbol = pitch.rsplit(' ').next();
    let of_panel = LengthUnit::ALL
        .iter()
        .find(|unit| Some(unit.symbol()) == symbol);
    UnitChoice {
        length: of_panel.copied().unwrap_or(in_use.length),
        ..in_use
    }
}

fn asked(session: &Session) -> Asked {
    Asked {
        confidence: f64::from(confidence(session)) / 100.0,
        ..Asked::default()
    }
}

fn view_by<M: Method>(session: &Session, id: Id<Setup>) -> Result<View, BookError> {
    let setup = session.book().get(id)?;
    let to = Reader {
        units: units(session, &setup.settings),
        ..session.reader()
    };
    let records = records(session, id)?;
    let mut view = View {
        from: setup.name.clone(),
        method: M::ID,
        confidence: confidence(session),
        headline: String::new(),
        tone: Tone::Info,
        proposal: None,
        caution: String::new(),
        zones: Block::default(),
        why_not_less: Block::default(),
        alternatives: Vec::new(),
        trade: None,
        basis: Block::default(),
        outcome: words::outcome::<M>(&records, &setup, to),
        limits: limits::view(session, setup.line)?,
    };
    match plan::<M>(&records, id, asked(session)) {
        Ok(plan) => tell(&mut view, &plan, &records, to),
        Err(error) => {
            view.headline = no_plan(&error, to.language);
            view.tone = Tone::Info;
        }
    }
    Ok(view)
}

fn tell<M: Method>(view: &mut View, plan: &Plan<M>, records: &RecordSet, to: Reader) {
    (view.headline, view.tone) = words::headline(plan, to);
    view.caution = words::caution(plan, to);
    view.proposal = proposed(plan).map(|best| {
        words::offer(
            plan,
            best,
            &say!(to.language, "Proposal"),
            &records.film_rolls,
            to,
        )
    });
    let shown = plan.found.best.as_ref().unwrap_or(&plan.now);
    view.zones = words::zones(plan, shown, to);
    view.why_not_less = words::why_not_less(plan, to);
    view.alternatives = plan
        .alternatives
        .iter()
        .map(|other| {
            words::offer(
                plan,
                &other.candidate,
                words::change(other.change).said(to.language),
                &records.film_rolls,
                to,
            )
        })
        .collect();
    view.trade = Some(words::trade(plan, to));
    view.basis = words::basis(plan, &records.film_rolls, to);
}

/// Chooses how sure the plan is to be.
pub fn pick_confidence(session: &mut Session, percent: u32) {
    if CONFIDENCES.contains(&percent) {
        session.draft(CONFIDENCE, &percent.to_string());
    }
}

/// Changes the method.
pub fn pick_method(session: &mut Session, method: MethodId) {
    if let Place::Plan { setup, .. } = session.here() {
        session.turn(Place::Plan { setup, method });
    }
}

/// Opens the plan that starts from a setup, by the method with the most readings.
pub fn open(session: &mut Session, setup: Id<Setup>) {
    let method = most_read(session, setup);
    let Some(method) = session.report(method) else {
        return;
    };
    session.go(Place::Plan { setup, method });
}

/// Opens the plan of a line: from its setup as found, or the first that was read.
pub fn open_line(session: &mut Session, line: Id<tautbook_core::survey::Line>) {
    let setups = session.book().children::<Setup, _>(line);
    let Some(setups) = session.report(setups) else {
        return;
    };
    let from = setups
        .iter()
        .find(|setup| setup.role == SetupRole::AsFound)
        .or(setups.first());
    if let Some(from) = from {
        open(session, from.id);
    }
}

/// The method by which most readings of a setup were taken; the torsion tool of two alike.
pub(crate) fn most_read(session: &Session, setup: Id<Setup>) -> Result<MethodId, BookError> {
    let book = session.book();
    let mut by_method = [0_usize; 2];
    for load in book.children::<Load, _>(setup)? {
        for reading in book.children::<Reading, _>(load.id)? {
            by_method[usize::from(reading.measure.method() == MethodId::PullPlate)] += 1;
        }
    }
    Ok(if by_method[1] > by_method[0] {
        MethodId::PullPlate
    } else {
        MethodId::TorsionTool
    })
}
