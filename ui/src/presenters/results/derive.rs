//! Targets derived from loads of this line that are known to have shipped undamaged.

use tautbook_core::analysis::containment::target::{Derivation, DeriveError, Derived, derive};
use tautbook_core::analysis::containment::{ToleranceRule, ZoneName, targets_for};
use tautbook_core::book::BookError;
use tautbook_core::survey::{Load, Reading, Record, Setup, Target, TargetOrigin};
use tautbook_core::units::{
    Length, Method, MethodId, PullPlate, TorsionTool, UnitChoice, show_length,
};

use super::super::block::{Block, Fact};
use super::super::{count, figures};
use super::material::{Material, gather};
use super::targets::{on_faces, own_target};
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
    let units = session.units();
    let shipped = Shipped::of(session, material)?;
    let needed = Target::LEAST_SHIPPED_LOADS;
    let have = shipped.loads.len();
    let mut known = Block::default();
    for zone in ZoneName::ALL {
        known.note(origin::<M>(material, zone));
    }
    if have < needed {
        let class = if material.stability().is_some() {
            " of this line and of this class"
        } else {
            " of this line"
        };
        known.lead = format!(
            "{}{class} {} marked as arrived whole: {} more needed to derive targets. Mark it on \
             each load.",
            count(have, "load", "loads"),
            if have == 1 { "is" } else { "are" },
            needed - have,
        );
        return Ok(Offer {
            block: known,
            press: String::new(),
        });
    }
    let found = shipped.derive::<M>();
    let mut block = known;
    for one in &found {
        block.facts.push(fact(one, units));
    }
    let mut most = 0;
    for derived in sure(&found) {
        most = most.max(derived.loads.len());
        for assumption in &derived.assumptions {
            block.note(assumption.to_string());
        }
    }
    let press = if most == 0 {
        String::new()
    } else {
        format!("Derive targets from {most} loads that shipped well")
    };
    Ok(Offer { block, press })
}

fn fact<M: Method>(one: &Derivation<M>, units: UnitChoice) -> Fact {
    let zone = figures::sentence(one.zone.as_str());
    let zone = zone.trim_end_matches('.');
    match &one.target {
        Ok(derived) => {
            let rule = ToleranceRule::default();
            Fact::new(
                format!("{zone}, from loads that shipped well"),
                figures::force(derived.minimum.force(), units),
            )
            .with(format!(
                "{}; {} of such loads hold more, {} sure{}",
                count(derived.loads.len(), "load", "loads"),
                figures::percent(rule.coverage, units),
                figures::percent(rule.confidence, units),
                faces(derived, units)
            ))
        }
        Err(error) => Fact::new(format!("{zone}, from loads that shipped well"), "none yet")
            .with(figures::sentence(&error.to_string())),
    }
}

/// The faces a target by the pull plate holds for; blank for the torsion tool.
fn faces<M: Method>(derived: &Derived<M>, units: UnitChoice) -> String {
    derived
        .face_length_m
        .and_then(|m| Length::from_m(m).ok())
        .map_or_else(String::new, |length| {
            let style = units.style().with_digits(0);
            format!("; on {} faces", show_length(length, units.length, &style))
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
    if let Some(Some(text)) = session.report(words) {
        session.ask(Question {
            title: "Set these targets?".to_owned(),
            text,
            yes: "Set targets".to_owned(),
            no: "Not now".to_owned(),
            when_yes: WhenYes::DeriveTargets,
        });
    }
}

/// What would be set, in words; `None` where nothing can be derived.
fn words<M: Method>(session: &Session) -> Result<Option<String>, BookError> {
    let Place::Results { scope, .. } = session.here() else {
        return Ok(None);
    };
    let units = session.units();
    let material = gather(session, scope)?;
    let found = Shipped::of(session, &material)?.derive::<M>();
    let mut said = Vec::new();
    let mut replaced = Vec::new();
    for derived in sure(&found) {
        said.push(format!(
            "{} {}{}",
            derived.zone.as_str(),
            figures::force(derived.minimum.force(), units),
            faces(derived, units)
        ));
        if let Some(own) = in_place_of(&material, derived) {
            replaced.push(format!(
                "{} at the {}{}",
                own.minimum.entered(),
                derived.zone.as_str(),
                on_faces(own)
            ));
        }
    }
    if said.is_empty() {
        return Ok(None);
    }
    let rule = ToleranceRule::default();
    let mut text = format!(
        "{} {} of such loads hold more, {} sure.",
        figures::sentence(&format!("at least: {}", said.join(", "))),
        figures::percent(rule.coverage, units),
        figures::percent(rule.confidence, units)
    );
    if !replaced.is_empty() {
        text = format!("{text} In place of {}.", replaced.join(", "));
    }
    Ok(Some(text))
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
            text: "Targets set from loads that shipped well.".to_owned(),
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
fn origin<M: Method>(material: &Material, zone: ZoneName) -> String {
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
        let from = match &own.origin {
            TargetOrigin::ShippedLoads { loads } => {
                format!("from {} loads that shipped well", loads.len())
            }
            TargetOrigin::CustomerStandard { .. } => "the customer\u{2019}s own".to_owned(),
        };
        let is_plain = matches!(own.origin, TargetOrigin::CustomerStandard { .. });
        if is_plain && own.face_length.is_none() {
            continue;
        }
        said.push(format!(
            "The target at the {} of {}{} is {from}.",
            zone.as_str(),
            own.minimum.entered(),
            on_faces(own)
        ));
    }
    said.join(" ")
}
