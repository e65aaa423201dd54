//! What the wrapping would have to add on the way: an estimate for context, beside the readings.

use tautbook_core::analysis::restraint::{Need, RestraintNote, restraint};
use tautbook_core::book::BookError;
use tautbook_core::survey::{Transport, Travel};
use tautbook_core::units::{UnitChoice, parse_number};

use super::super::block::{Block, Fact};
use super::super::figures;
use super::material::{Material, gather};
use crate::place::Place;
use crate::session::{Entry, FieldError, Session, optional};

/// The field of the friction.
const FRICTION: &str = "friction";

/// The ways that are offered.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Way {
    /// By road.
    #[default]
    Road,
    /// By rail.
    Rail,
    /// By sea, heavy weather.
    Sea,
}

impl Way {
    const fn transport(self) -> Transport {
        match self {
            Self::Road => Transport::Road,
            Self::Rail => Transport::RailShunting,
            Self::Sea => Transport::SeaC,
        }
    }

    const fn of(transport: Transport) -> Self {
        match transport {
            Transport::Road => Self::Road,
            Transport::Rail | Transport::RailShunting => Self::Rail,
            Transport::SeaA | Transport::SeaB | Transport::SeaC => Self::Sea,
        }
    }
}

/// The estimate, how it travels, and the friction as typed.
pub(super) struct Estimate {
    pub(super) block: Block,
    pub(super) way: Way,
    pub(super) friction: Entry,
}

/// The estimate as the screen shows it.
pub(super) fn estimate(session: &Session, material: &Material) -> Estimate {
    let units = session.units();
    let travel = material.line.travel;
    let kept = travel
        .friction
        .map_or_else(String::new, |friction| figures::decimal(friction, 2, units));
    Estimate {
        block: block(material, travel, units),
        way: travel.transport.map_or_else(Way::default, Way::of),
        friction: session.entry(FRICTION, &kept, "0.3"),
    }
}

fn block(material: &Material, travel: Travel, units: UnitChoice) -> Block {
    let mass = material
        .loads
        .iter()
        .filter_map(|load| load.mass.as_ref())
        .map(|mass| mass.value)
        .max_by(tautbook_core::units::Mass::total_cmp);
    let transport = travel
        .transport
        .unwrap_or_else(|| Way::default().transport());
    let found = match restraint(mass, travel.friction, transport) {
        Ok(found) => found,
        Err(error) => return Block::plain(figures::sentence(&error.to_string())),
    };
    let mut block = Block::plain(format!(
        "Estimate, for the heaviest load read, by {transport}: no target, and no reading is judged by it."
    ));
    for direction in found {
        let value = match direction.need {
            Need::Force(force) => format!("about {}", rough(force.n(), units)),
            Need::AtMost(force) => format!("at most {}", rough(force.n(), units)),
            Need::FrictionHolds => "friction holds it".to_owned(),
        };
        let push = figures::sentence(&format!("pushed {}", direction.push));
        block
            .facts
            .push(Fact::new(push.trim_end_matches('.'), value).with(format!(
                "{} g; the same tilt: {}\u{b0}",
                figures::decimal(direction.accelerations.horizontal, 1, units),
                figures::decimal(direction.tilt.same_ratio_deg, 0, units)
            )));
        block.note(format!(
            "Accelerations: {}.",
            direction.accelerations.source
        ));
    }
    for note in RestraintNote::ALL {
        if note != RestraintNote::Estimate {
            block.note(note.to_string());
        }
    }
    block
}

/// A large force to a whole unit.
fn rough(n: f64, units: UnitChoice) -> String {
    let (per, unit) = figures::force_scale(units);
    format!("{} {unit}", figures::grouped(n * per))
}

/// Chooses how the loads of the line travel.
pub fn pick_way(session: &mut Session, way: Way) {
    let done = change(session, |travel| travel.transport = Some(way.transport()));
    session.report(done);
}

fn change(session: &mut Session, edit: impl FnOnce(&mut Travel)) -> Result<(), BookError> {
    let Place::Results { scope, .. } = session.here() else {
        return Ok(());
    };
    let line = gather(session, scope)?.line.id;
    session.book.act("edit_travel", |act| {
        act.change(line, |line| edit(&mut line.travel))
    })?;
    Ok(())
}

/// Notes the friction half typed.
pub fn draft_friction(session: &mut Session, text: &str) {
    session.draft(FRICTION, text);
}

/// Keeps the friction.
pub fn edit_friction(session: &mut Session, text: &str) {
    session.settle(FRICTION, text, |session, text| {
        let decimal = session.units().decimal;
        let friction = optional(parse_number(text, decimal))?;
        change(session, |travel| travel.friction = friction).map_err(FieldError::from)
    });
}

/// Tries to keep a friction that stands half typed.
pub(super) fn settle(session: &mut Session) {
    if let Some(text) = session.unsettled(FRICTION) {
        edit_friction(session, &text);
    }
}
