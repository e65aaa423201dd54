//! Targets derived from loads of this line that are known to have shipped undamaged.

use tautbook_core::analysis::containment::target::{Derivation, DeriveError, Derived, derive};
use tautbook_core::analysis::containment::{ToleranceRule, ZoneName, targets_for};
use tautbook_core::book::BookError;
use tautbook_core::language::{Language, Reader};
use tautbook_core::say;
use tautbook_core::say_count;
use tautbook_core::survey::{Load, Reading, Record, Setup, Target, TargetOrigin};
use tautbook_core::units::{
    Length, Method, MethodId, PullPlate, TorsionTool, UnitChoice, show_length,
};

use super::super::block::{Block, Fact};
use super::super::figures;
use super::material::{Material, gather};
use super::targets::own_target;
use crate::place::Place;
use crate::session::{Notice, NoticeAct, Question, Session, Tone, WhenYes};

/// What can be derived, and the words of the button; blank while nothing can.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Offer {
    /// Zone by zone, with what it rests on or what is missing.
    pub block: Block,
    /// The words of the button.
    pub press: String,
}

/// The loads of the line that shipped undamaged, with their readings.
struct Shipped {
    loads: Vec<Record<Load>>,
    readings: Vec<Record<Reading>>,
}

impl Shipped {
    /// Of the class of the loads shown, where they share one.
    fn of(session: &Session, material: &Material) -> Result<Self, BookError> {
        let book = session.book();
        let class = material.stability();
        let mut shipped = Self {
            loads: Vec::new(),
            readings: Vec::new(),
        };
        for setup in book.children::<Setup, _>(material.line.id)? {
            for load in book.children::<Load, _>(setup.id)? {
                let alike = class.is_none() || load.stability == class;
                if load.shipped_undamaged == Some(true) && alike {
                    shipped
                        .readings
                        .extend(book.children::<Reading, _>(load.id)?);
                    shipped.loads.push(load);
                }
            }
        }
        Ok(shipped)
    }

    /// What follows for each zone and, by the pull plate, each length of face; of a zone for which
    /// nothing follows the length that most loads bear out.
    fn derive<M: Method>(&self) -> Vec<Derivation<M>> {
        let found = derive::<M>(&self.loads, &self.readings, ToleranceRule::default());
        let have = |of: &Derivation<M>| match &of.target {
            Ok(_) => usize::MAX,
            Err(DeriveError::TooFewLoads { have, .. }) => *have,
            Err(_) => usize::MAX - 1,
        };
        let nearest = |zone| {
            let here = found.iter().filter(|of| of.zone == zone);
            here.map(have).max().unwrap_or(0)
        };
        let mut picked: Vec<Derivation<M>> = Vec::new();
        for one in &found {
            let said = picked.last().is_some_and(|last| last.zone == one.zone);
            if one.target.is_ok() || (!said && have(one) == nearest(one.zone)) {
                picked.push(one.clone());
            }
        }
        picked
    }
}

/// The targets that can be set.
fn sure<M: Method>(found: &[Derivation<M>]) -> impl Iterator<Item = &Derived<M>> + '_ {
    found.iter().filter_map(|one| one.target.as_ref().ok())
}

/// What the screen offers.
pub(super) fn offer<M: Method>(session: &Session, material: &Material) -> Result<Offer, BookError> {
    let to = session.reader();
    let shipped = Shipped::of(session, material)?;
    let needed = Target::LEAST_SHIPPED_LOADS;
    let have = shipped.loads.len();
    let mut known = Block::default();
    for zone in ZoneName::ALL {
        known.note(origin::<M>(material, zone, to.language));
    }
    if have < needed {
        let left = needed - have;
        known.lead = if material.stability().is_some() {
            say_count!(
                to.language,
                have,
                "{n} load of this line and of this class is marked as arrived whole: {left} more needed to derive targets. Mark it on each load.",
                "{n} loads of this line and of this class are marked as arrived whole: {left} more needed to derive targets. Mark it on each load.",
                left = left
            )
        } else {
            say_count!(
                to.language,
                have,
                "{n} load of this line is marked as arrived whole: {left} more needed to derive targets. Mark it on each load.",
                "{n} loads of this line are marked as arrived whole: {left} more needed to derive targets. Mark it on each load.",
                left = left
            )
        };
        return Ok(Offer {
            block: known,
            press: String::new(),
        });
    }
    let found = shipped.derive::<M>();
    let mut block = known;
    for one in &found {
        block.facts.push(fact(one, to));
    }
    let mut most = 0;
    for derived in sure(&found) {
        most = most.max(derived.loads.len());
        for assumption in &derived.assumptions {
            block.note(assumption.said(to.language));
        }
    }
    let press = if most == 0 {
        String::new()
    } else {
        say_count!(
            to.language,
            most,
            "Derive targets from {n} load that shipped well",
            "Derive targets from {n} loads that shipped well"
        )
    };
    Ok(Offer { block, press })
}

fn fact<M: Method>(one: &Derivation<M>, to: Reader) -> Fact {
    let (units, language) = (to.units, to.language);
    let label = say!(
        language,
        "{zone}, from loads that shipped well",
        zone = one.zone.word().said(language)
    );
    match &one.target {
        Ok(derived) => {
            let rule = ToleranceRule::default();
            let coverage = figures::percent(rule.coverage, units);
            let confidence = figures::percent(rule.confidence, units);
            let loads = derived.loads.len();
            let detail = match faces(derived, units) {
                None => say_count!(
                    language,
                    loads,
                    "{n} load; {coverage} of such loads hold more, {confidence} sure",
                    "{n} loads; {coverage} of such loads hold more, {confidence} sure",
                    coverage = coverage,
                    confidence = confidence
                ),
                Some(face) => say_count!(
                    language,
                    loads,
                    "{n} load; {coverage} of such loads hold more, {confidence} sure; on {face} faces",
                    "{n} loads; {coverage} of such loads hold more, {confidence} sure; on {face} faces",
                    coverage = coverage,
                    confidence = confidence,
                    face = face
                ),
            };
            Fact::new(label, figures::force(derived.minimum.force(), units)).with(detail)
        }
        Err(error) => Fact::new(label, say!(language, "none yet"))
            .with(figures::sentence(&error.said(language))),
    }
}

/// The length of the faces a target by the pull plate holds for; none for the torsion tool.
fn faces<M: Method>(derived: &Derived<M>, units: UnitChoice) -> Option<String> {
    derived
        .face_length_m
        .and_then(|m| Length::from_m(m).ok())
        .map(|length| {
            let style = units.style().with_digits(0);
            show_length(length, units.length, &style)
        })
}

/// Asks whether to set the derived targets.
pub fn ask(session: &mut Session) {
    let Place::Results { method, .. } = session.here() else {
        return;
    };
    let words = match method {
        MethodId::TorsionTool => words::<TorsionTool>(session),
        MethodId::PullPlate => words::<PullPlate>(session),
    };
    let language = session.language();
    if let Some(Some(text)) = session.report(words) {
        session.ask(Question {
            title: say!(language, "Set these targets?"),
            text,
            yes: say!(language, "Set targets"),
            no: say!(language, "Not now"),
            when_yes: WhenYes::DeriveTargets,
        });
    }
}

/// What would be set, in words; `None` where nothing can be derived.
fn words<M: Method>(session: &Session) -> Result<Option<String>, BookError> {
    let Place::Results { scope, .. } = session.here() else {
        return Ok(None);
    };
    let (units, language) = (session.units(), session.language());
    let material = gather(session, scope)?;
    let found = Shipped::of(session, &material)?.derive::<M>();
    let mut said = Vec::new();
    let mut replaced = Vec::new();
    for derived in sure(&found) {
        let zone = derived.zone.in_list().said(language);
        let force = figures::force(derived.minimum.force(), units);
        said.push(match faces(derived, units) {
            None => say!(language, "{zone} {force}", zone = zone, force = force),
            Some(face) => say!(
                language,
                "{zone} {force} on {face} faces",
                zone = zone,
                force = force,
                face = face
            ),
        });
        if let Some(own) = in_place_of(&material, derived) {
            let zone = derived.zone.the().said(language);
            let force = own.minimum.entered();
            replaced.push(match &own.face_length {
                None => say!(language, "{force} at {zone}", force = force, zone = zone),
                Some(face) => say!(
                    language,
                    "{force} at {zone} on {face} faces",
                    force = force,
                    zone = zone,
                    face = face.text
                ),
            });
        }
    }
    if said.is_empty() {
        return Ok(None);
    }
    let rule = ToleranceRule::default();
    let mut text = vec![say!(
        language,
        "At least: {targets}. {coverage} of such loads hold more, {confidence} sure.",
        targets = said.join(", "),
        coverage = figures::percent(rule.coverage, units),
        confidence = figures::percent(rule.confidence, units)
    )];
    if !replaced.is_empty() {
        text.push(say!(
            language,
            "In place of {targets}.",
            targets = replaced.join(", ")
        ));
    }
    Ok(Some(text.join(" ")))
}

/// Sets the derived targets for this line, all in one act.
pub fn derive_targets(session: &mut Session) {
    let Place::Results { method, .. } = session.here() else {
        return;
    };
    let done = match method {
        MethodId::TorsionTool => write::<TorsionTool>(session),
        MethodId::PullPlate => write::<PullPlate>(session),
    };
    let Some(done) = session.report(done) else {
        return;
    };
    for zone in ZoneName::ALL {
        session.drop_draft(zone.as_str());
    }
    if let Some(action) = done {
        session.say(Notice {
            tone: Tone::Good,
            text: say!(
                session.language(),
                "Targets set from loads that shipped well."
            ),
            act: Some(NoticeAct::Undo(action)),
        });
    }
}

fn write<M: Method>(
    session: &mut Session,
) -> Result<Option<tautbook_core::book::ActionKey>, BookError> {
    let Place::Results { scope, .. } = session.here() else {
        return Ok(None);
    };
    let units = session.units();
    let material = gather(session, scope)?;
    let found = Shipped::of(session, &material)?.derive::<M>();
    let (line, visit) = (material.line.id, material.line.visit);
    let done = session.book.act("derive_targets", |act| {
        for derived in sure(&found) {
            let units = (units.force, units.length);
            let Some(target) = derived.target(visit, Some(line), material.stability(), units)
            else {
                continue;
            };
            match in_place_of(&material, derived) {
                Some(own) => {
                    act.change(own.id, |kept: &mut Target| {
                        kept.minimum = target.minimum;
                        kept.face_length = target.face_length;
                        kept.origin = target.origin;
                    })?;
                }
                None => {
                    act.add(target)?;
                }
            }
        }
        Ok(())
    })?;
    Ok(done.action)
}

/// The target of this line that a derived one takes the place of: for the same faces, or for all
/// where that is not known. One for every face goes on judging the faces that nothing was derived
/// for.
fn in_place_of<'m, M: Method>(
    material: &'m Material,
    derived: &Derived<M>,
) -> Option<&'m Record<Target>> {
    own_target::<M>(material, derived.zone, derived.face_length_m)
        .filter(|own| own.face_length.is_some() == derived.face_length_m.is_some())
}

/// Where the targets of this line for a zone come from and what faces they are for, in a sentence;
/// blank where it is the customer's own for all faces, or none.
fn origin<M: Method>(material: &Material, zone: ZoneName, language: Language) -> String {
    let lengths = targets_for::<M>(&material.targets, material.line.id, material.stability());
    let lengths = lengths
        .iter()
        .zip(ZoneName::ALL)
        .filter(|(_, of)| *of == zone)
        .flat_map(|(targets, _)| targets.faces_m().into_iter().map(Some));
    let mut said = Vec::new();
    for face_m in std::iter::once(None).chain(lengths) {
        let Some(own) = own_target::<M>(material, zone, face_m) else {
            continue;
        };
        let zone = zone.the().said(language);
        let force = own.minimum.entered();
        said.push(match (&own.origin, &own.face_length) {
            (TargetOrigin::CustomerStandard { .. }, None) => continue,
            (TargetOrigin::CustomerStandard { .. }, Some(face)) => say!(
                language,
                "The target at {zone} of {force}, on {face} faces, is the customer’s own.",
                zone = zone,
                force = force,
                face = face.text
            ),
            (TargetOrigin::ShippedLoads { loads }, None) => say_count!(
                language,
                loads.len(),
                "The target at {zone} of {force} is from {n} load that shipped well.",
                "The target at {zone} of {force} is from {n} loads that shipped well.",
                zone = zone,
                force = force
            ),
            (TargetOrigin::ShippedLoads { loads }, Some(face)) => say_count!(
                language,
                loads.len(),
                "The target at {zone} of {force}, on {face} faces, is from {n} load that shipped well.",
                "The target at {zone} of {force}, on {face} faces, is from {n} loads that shipped well.",
                zone = zone,
                force = force,
                face = face.text
            ),
        });
    }
    said.join(" ")
}
