//! Results: each zone against its target, by one method, the film it took, and what follows.

mod derive;
mod film;
mod findings;
mod material;
mod people;
mod relaxing;
mod restraint;
mod side;
mod targets;
mod zones;

use tautbook_core::analysis::containment::{
    ContainmentResult, Verdict, ZoneName, ZoneTargets, containment, targets_for,
};
use tautbook_core::analysis::film::film_per_load;
use tautbook_core::book::BookError;
use tautbook_core::chart::{KeptForce, LoadSide};
use tautbook_core::units::{Containment, Method, MethodId, PullPlate, TorsionTool, UnitChoice};

pub use derive::{Offer, ask as ask_derive, derive_targets};
pub use findings::{FindingView, Link, open_link};
pub(crate) use material::{Material, gather, is_in_use};
pub use restraint::{Way, draft_friction, edit_friction, pick_way};
pub(crate) use side::name as zone_name;
pub use targets::{draft_target, edit_target, settle};
pub use zones::ZoneWords;

use super::block::Block;
use super::line::film_mass;
use super::{count, figures, plan};
use crate::place::{Place, Scope};
use crate::session::{Entry, Session, Tone};

/// What the screen shows.
#[derive(Debug, Clone, PartialEq)]
pub struct View {
    /// The method.
    pub method: MethodId,
    /// What is summed up.
    pub scope: String,
    /// What matters most, in a sentence.
    pub headline: String,
    /// How it is meant.
    pub tone: Tone,
    /// Top, middle, bottom in words.
    pub zones: Vec<ZoneWords>,
    /// The load seen from the side; `None` without a reading.
    pub side: Option<LoadSide>,
    /// Whether a zone has a target.
    pub any_target: bool,
    /// Film a load.
    pub film: String,
    /// How it is known.
    pub film_detail: String,
    /// The film beside programme and roll.
    pub balance: Block,
    /// The stretch by ink marks.
    pub stretch: Block,
    /// How far people and tools differ.
    pub people: Block,
    /// How often film broke.
    pub breaks: Block,
    /// What was found.
    pub findings: Vec<FindingView>,
    /// What could not be looked into, and why.
    pub not_known: Block,
    /// What was planned of this setup, beside what was measured since.
    pub outcome: Block,
    /// What the wrapping would have to add on the way.
    pub restraint: Block,
    /// How the loads travel.
    pub way: Way,
    /// Friction between goods and pallet.
    pub friction: Entry,
    /// The customer's own standard: top, middle, bottom.
    pub targets: [Entry; 3],
    /// The visit's targets in words, where the line has none of its own; blank elsewhere.
    pub inherited: [String; 3],
    /// What loads known to have shipped undamaged would set.
    pub offer: Offer,
    /// How much of their force loads read again have kept.
    pub relaxing: Block,
    /// The same as a chart; `None` while no load was read again.
    pub kept: Option<KeptForce>,
    /// What to know about the computing.
    pub notes: Vec<String>,
}

/// What the screen shows now.
///
/// # Errors
/// The store's errors.
pub fn view(session: &Session, scope: Scope, method: MethodId) -> Result<View, BookError> {
    let material = gather(session, scope)?;
    match method {
        MethodId::TorsionTool => view_by::<TorsionTool>(session, scope, &material),
        MethodId::PullPlate => view_by::<PullPlate>(session, scope, &material),
    }
}

fn view_by<M: Method>(
    session: &Session,
    scope: Scope,
    material: &Material,
) -> Result<View, BookError> {
    let units = session.units();
    let targets = targets_for::<M>(&material.targets, material.line.id, material.stability());
    let result = containment(&material.taken::<M>(), &targets);
    let flagged = zones::flagged::<M>(material, units);
    let own = |zone: ZoneName| {
        targets::shown_target::<M>(material, zone)
            .map_or_else(String::new, |target| target.minimum.entered().to_owned())
    };
    let entry = |zone: ZoneName| session.entry(zone.as_str(), &own(zone), units.force.symbol());
    let inherited = |zone: ZoneName, kept: Option<Containment<M>>| match kept {
        Some(kept) if own(zone).is_empty() => format!(
            "{}, for the whole visit, while nothing is written here",
            figures::force(kept.force(), units)
        ),
        Some(_) | None => String::new(),
    };
    let [top, middle, bottom] = targets.each_ref().map(ZoneTargets::to_show);
    let film = film_per_load(&material.weights);
    let estimate = restraint::estimate(session, material);
    let side = side::side(material, &result, units);
    let (headline, tone) = headline(&result, units);
    let (findings, not_known) = findings::findings(session, scope, M::ID, material)?;
    Ok(View {
        people: people::people::<M>(material, units),
        breaks: people::breaks(material, &session.book().children(material.setup.id)?),
        findings,
        not_known: Block {
            points: not_known,
            ..Block::default()
        },
        outcome: outcome::<M>(session, scope, material)?,
        method: M::ID,
        scope: scope_words::<M>(scope, material),
        headline,
        tone,
        zones: result
            .zones
            .iter()
            .map(|zone| zones::words(zone, units, result.rule, &flagged))
            .collect(),
        side: (!side.readings.is_empty()).then_some(side),
        any_target: targets.iter().any(|zone| !zone.is_empty()),
        film: film
            .as_ref()
            .map_or_else(String::new, |film| film_mass(film.mass, units)),
        film_detail: film.as_ref().map_or_else(String::new, |film| {
            let loads = usize::try_from(film.loads).unwrap_or(usize::MAX);
            let weighings = count(material.weights.len(), "weighing", "weighings");
            format!("{} in {weighings}", count(loads, "load", "loads"))
        }),
        balance: film::balance(material, units),
        stretch: film::stretch(material, units),
        restraint: estimate.block,
        way: estimate.way,
        friction: estimate.friction,
        targets: [
            entry(ZoneName::Top),
            entry(ZoneName::Middle),
            entry(ZoneName::Bottom),
        ],
        inherited: [
            inherited(ZoneName::Top, top),
            inherited(ZoneName::Middle, middle),
            inherited(ZoneName::Bottom, bottom),
        ],
        offer: derive::offer::<M>(session, material)?,
        relaxing: relaxing::block::<M>(material, units),
        kept: relaxing::chart::<M>(material, units),
        notes: zones::notes::<M>(&result),
    })
}

/// What was planned of the setup shown; empty for a load and where nothing was.
fn outcome<M: Method>(
    session: &Session,
    scope: Scope,
    material: &Material,
) -> Result<Block, BookError> {
    if material.setup.planned.is_none() || matches!(scope, Scope::Load(_)) {
        return Ok(Block::default());
    }
    let records = plan::records(session, material.setup.id)?;
    Ok(plan::outcome_block::<M>(
        &records,
        &material.setup,
        session.units(),
    ))
}

fn scope_words<M: Method>(scope: Scope, material: &Material) -> String {
    match scope {
        Scope::Load(_) => material
            .loads
            .first()
            .map_or_else(String::new, |load| load.name.clone()),
        Scope::Setup(_) => {
            let read = material
                .readings
                .iter()
                .filter(|readings| readings.iter().any(|reading| is_in_use::<M>(reading)))
                .count();
            format!(
                "{}, {} read of {}",
                material.setup.name,
                count(read, "load", "loads"),
                material.loads.len()
            )
        }
    }
}

/// What matters most: the weakest zone against its target.
fn headline<M: Method>(result: &ContainmentResult<M>, units: UnitChoice) -> (String, Tone) {
    let weakest = result
        .weakest
        .and_then(|weakest| result.zones.iter().find(|zone| zone.zone == weakest));
    let missing: Vec<String> = result
        .zones
        .iter()
        .filter(|zone| zone.count == 0)
        .map(|zone| zone.zone.as_str().to_owned())
        .collect();
    let other_faces = result.zones.iter().any(|zone| zone.on_other_faces > 0);
    match (result.verdict, weakest) {
        (Verdict::NotMeasured, _) | (_, None) => {
            ("Not measured with this tool yet.".to_owned(), Tone::Info)
        }
        (Verdict::NoTarget, Some(zone)) => (
            format!(
                "{} The {} is weakest: lowest {}.",
                if other_faces {
                    "The targets are for faces of another length: nothing here to judge by."
                } else {
                    "No target to judge by."
                },
                zone.zone.as_str(),
                zone.lowest
                    .map_or_else(String::new, |lowest| figures::force(lowest.force(), units))
            ),
            Tone::Info,
        ),
        (Verdict::Below, Some(zone)) => (
            format!(
                "The {} is too weak: its lowest reading is {} under its target.",
                zone.zone.as_str(),
                figures::small(zone.margin_n.unwrap_or(0.0).abs(), units)
            ),
            Tone::Bad,
        ),
        (Verdict::Incomplete, Some(_)) => {
            let what = if missing.is_empty() && other_faces {
                "some faces are of a length that no target is for".to_owned()
            } else if missing.is_empty() {
                "one zone has no target".to_owned()
            } else {
                format!("not measured: {}", missing.join(", "))
            };
            (
                format!(
                    "What was read reaches its target, but nothing is said of the whole: {what}."
                ),
                Tone::Warning,
            )
        }
        (Verdict::Reaches, Some(zone)) => (
            format!(
                "Every zone reaches its target. The {} comes closest, {} above.",
                zone.zone.as_str(),
                figures::small(zone.margin_n.unwrap_or(0.0), units)
            ),
            Tone::Good,
        ),
    }
}

/// Changes the method.
pub fn pick_method(session: &mut Session, method: MethodId) {
    if let Place::Results { scope, .. } = session.here() {
        session.turn(Place::Results { scope, method });
    }
}

/// Goes to weigh the film of the load, or of the setup's first load.
pub fn weigh(session: &mut Session) {
    let Place::Results { scope, .. } = session.here() else {
        return;
    };
    let material = gather(session, scope);
    let Some(material) = session.report(material) else {
        return;
    };
    if let Some(load) = material.loads.first() {
        session.go(Place::Weigh(load.id));
    }
}
