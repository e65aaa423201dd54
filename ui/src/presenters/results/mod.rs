//! Results: each zone against its target, by one method, the film it took, and what follows.

mod derive;
mod findings;
mod material;
mod restraint;
mod targets;

use tautbook_core::analysis::containment::{ZoneName, ZoneTargets, containment, targets_for};
use tautbook_core::analysis::film::{FilmPerLoad, film_per_load};
use tautbook_core::book::BookError;
use tautbook_core::chart::{KeptForce, LoadSide};
use tautbook_core::language::Language;
use tautbook_core::say;
use tautbook_core::say_count;
use tautbook_core::survey::{Id, Load};
use tautbook_core::units::{Containment, Method, MethodId, PullPlate, TorsionTool};
use tautbook_core::words;

pub use derive::{Offer, ask as ask_derive, derive_targets};
pub use findings::{FindingView, Link, open_link};
pub(crate) use material::{Material, gather, is_in_use};
pub use restraint::{Way, draft_friction, edit_friction, pick_way};
pub use targets::{draft_target, edit_target, settle};
pub use words::ZoneWords;

use super::block::Block;
use super::figures::film_mass;
use super::{compare, figures, keep, plan};
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
    /// It is of one load.
    pub of_load: bool,
    /// It is of a setup, and the line has another to lay it beside.
    pub can_compare: bool,
    /// The film of every load of it that is not kept as a sample is weighed, by itself or together with
    /// others.
    pub all_weighed: bool,
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
    let to = session.reader();
    let units = to.units;
    let targets = targets_for::<M>(&material.targets, material.line.id, material.stability());
    let result = containment(&material.taken::<M>(), &targets);
    let flagged = words::flagged::<M>(material, to);
    let own = |zone: ZoneName| {
        targets::shown_target::<M>(material, zone)
            .map_or_else(String::new, |target| target.minimum.entered().to_owned())
    };
    let entry = |zone: ZoneName| session.entry(zone.as_str(), &own(zone), units.force.symbol());
    let inherited = |zone: ZoneName, kept: Option<Containment<M>>| match kept {
        Some(kept) if own(zone).is_empty() => say!(
            to.language,
            "{force}, for the whole visit, while nothing is written here",
            force = figures::force(kept.force(), units)
        ),
        Some(_) | None => String::new(),
    };
    let [top, middle, bottom] = targets.each_ref().map(ZoneTargets::to_show);
    let film = film_per_load(&material.weights, &material.tools);
    let estimate = restraint::estimate(session, material);
    let side = words::side(material, &result, to);
    let (headline, tone) = words::headline(&result, to);
    let (findings, not_known) = findings::findings(session, scope, M::ID, material)?;
    Ok(View {
        people: words::people::<M>(material, to),
        breaks: words::breaks(material, &session.book().children(material.setup.id)?, to),
        findings,
        not_known: Block {
            points: not_known,
            ..Block::default()
        },
        outcome: outcome::<M>(session, scope, material)?,
        method: M::ID,
        scope: scope_words::<M>(scope, material, to.language),
        headline,
        tone,
        zones: result
            .zones
            .iter()
            .map(|zone| words::zone_words(zone, to, result.rule, &flagged))
            .collect(),
        of_load: matches!(scope, Scope::Load(_)),
        can_compare: match scope {
            Scope::Setup(_) => compare::has_another(session, material.line.id)?,
            Scope::Load(_) => false,
        },
        all_weighed: all_weighed(session, material, film.as_ref())?,
        side: (!side.readings.is_empty()).then_some(side),
        any_target: targets.iter().any(|zone| !zone.is_empty()),
        film: film
            .as_ref()
            .map_or_else(String::new, |film| film_mass(film.mass, units)),
        film_detail: film.as_ref().map_or_else(String::new, |film| {
            let loads = usize::try_from(film.loads).unwrap_or(usize::MAX);
            let weighings = say_count!(
                to.language,
                material.weights.len(),
                "in {n} weighing",
                "in {n} weighings"
            );
            say_count!(
                to.language,
                loads,
                "{n} load {in_weighings}",
                "{n} loads {in_weighings}",
                in_weighings = weighings
            )
        }),
        balance: words::balance(material, to),
        stretch: words::stretch(material, to),
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
        relaxing: words::relaxing::<M>(material, to),
        kept: words::kept_chart::<M>(material, to),
        notes: words::notes::<M>(&result, to),
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
    Ok(words::plan::outcome::<M>(
        &records,
        &material.setup,
        session.reader(),
    ))
}

fn scope_words<M: Method>(scope: Scope, material: &Material, language: Language) -> String {
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
            say_count!(
                language,
                read,
                "{setup}, {n} load read of {all}",
                "{setup}, {n} loads read of {all}",
                setup = material.setup.name,
                all = material.loads.len()
            )
        }
    }
}

/// Changes the method.
pub fn pick_method(session: &mut Session, method: MethodId) {
    if let Place::Results { scope, .. } = session.here() {
        session.turn(Place::Results { scope, method });
    }
}

/// Whether the film of every load that is not kept as a sample is weighed: each by itself, or some
/// together that are enough for all.
fn all_weighed(
    session: &Session,
    material: &Material,
    film: Option<&FilmPerLoad>,
) -> Result<bool, BookError> {
    let weights = &material.weights;
    let (mut to_weigh, mut left) = (0, 0);
    for load in &material.loads {
        let weighed = weights.iter().any(|of| of.load == load.id);
        if weighed || keep::kept(session, load.id)?.is_none() {
            to_weigh += 1;
            left += usize::from(!weighed);
        }
    }
    let enough =
        film.is_some_and(|film| usize::try_from(film.loads).is_ok_and(|loads| loads >= to_weigh));
    let together = weights.iter().any(|of| of.loads_together > 1);
    Ok(to_weigh == 0 || enough && (together || left == 0))
}

/// Whether the film of every load of a load's setup is weighed, perhaps on another together with it.
pub(super) fn is_all_weighed(session: &Session, load: Id<Load>) -> Result<bool, BookError> {
    let setup = session.book().get(load)?.setup;
    let material = gather(session, Scope::Setup(setup))?;
    let film = film_per_load(&material.weights, &material.tools);
    all_weighed(session, &material, film.as_ref())
}

/// Opens the plan of the setup.
pub fn open_plan(session: &mut Session) {
    let Place::Results { scope, .. } = session.here() else {
        return;
    };
    let setup = match scope {
        Scope::Setup(id) => Ok(id),
        Scope::Load(id) => session.book().get(id).map(|load| load.setup),
    };
    if let Some(setup) = session.report(setup) {
        plan::open(session, setup);
    }
}

/// Lays the setup beside another of its line.
pub fn open_compare(session: &mut Session) {
    if let Place::Results {
        scope: Scope::Setup(setup),
        ..
    } = session.here()
    {
        compare::open(session, setup);
    }
}

/// The first load that is neither weighed nor kept as a sample; else the first.
fn next_to_weigh(session: &Session, material: &Material) -> Result<Option<Id<Load>>, BookError> {
    for load in &material.loads {
        let weighed = material.weights.iter().any(|it| it.load == load.id);
        if !weighed && keep::kept(session, load.id)?.is_none() {
            return Ok(Some(load.id));
        }
    }
    Ok(material.loads.first().map(|load| load.id))
}

/// Goes to weigh the film of the load, or of the setup's first load whose film was not weighed yet.
pub fn weigh(session: &mut Session) {
    let Place::Results { scope, .. } = session.here() else {
        return;
    };
    let material = gather(session, scope);
    let Some(material) = session.report(material) else {
        return;
    };
    let next = next_to_weigh(session, &material);
    if let Some(Some(load)) = session.report(next) {
        session.go(Place::Weigh(load));
    }
}
