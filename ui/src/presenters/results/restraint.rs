//! What the wrapping would have to add on the way: an estimate for context, beside the readings.

use tautbook_core::book::BookError;
use tautbook_core::survey::{Transport, Travel};
use tautbook_core::units::parse_number;
use tautbook_core::words::{Block, restraint_estimate};

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
        block: restraint_estimate(material, session.reader()),
        way: travel.transport.map_or_else(Way::default, Way::of),
        friction: session.entry(FRICTION, &kept, "0.3"),
    }
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
