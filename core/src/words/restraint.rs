//! What the wrapping would have to add on the way: an estimate for context, beside the readings.

use crate::analysis::restraint::{Need, Push, RestraintNote, restraint};
use crate::language::Word;
use crate::survey::Transport;
use crate::units::UnitChoice;
use crate::words::{Block, Fact, Material, Reader, figures};
use crate::{say, word};

/// The estimate for the heaviest load, by road where nothing else is written.
#[must_use]
pub fn restraint_estimate(material: &Material, to: Reader) -> Block {
    let Reader { units, language: l } = to;
    let travel = material.line.travel;
    let mass = material
        .loads
        .iter()
        .filter_map(|load| load.mass.as_ref())
        .map(|mass| mass.value)
        .max_by(crate::units::Mass::total_cmp);
    let transport = travel.transport.unwrap_or(Transport::Road);
    let found = match restraint(mass, travel.friction, transport) {
        Ok(found) => found,
        Err(error) => return Block::plain(figures::sentence(&error.said(l))),
    };
    let mut block = Block::plain(say!(
        l,
        "Estimate, for the heaviest load read, by {transport}: no target, and no reading is judged \
         by it.",
        transport = transport.said(l)
    ));
    for direction in found {
        let value = match direction.need {
            Need::Force(force) => say!(l, "about {force}", force = rough(force.n(), units)),
            Need::AtMost(force) => say!(l, "at most {force}", force = rough(force.n(), units)),
            Need::FrictionHolds => say!(l, "friction holds it"),
        };
        block
            .facts
            .push(Fact::new(pushed(direction.push).said(l), value).with(say!(
                l,
                "{g} g; the same tilt: {degrees}\u{b0}",
                g = figures::decimal(direction.accelerations.horizontal, 1, units),
                degrees = figures::decimal(direction.tilt.same_ratio_deg, 0, units)
            )));
        block.note(say!(
            l,
            "Accelerations: {source}.",
            source = direction.accelerations.source.said(l)
        ));
    }
    for note in RestraintNote::ALL {
        if note != RestraintNote::Estimate {
            block.note(note.said(l));
        }
    }
    block
}

/// A large force to a whole unit.
fn rough(n: f64, units: UnitChoice) -> String {
    let (per, unit) = figures::force_scale(units);
    format!("{} {unit}", figures::grouped(n * per))
}

/// A push at the head of a row.
const fn pushed(push: Push) -> Word {
    match push {
        Push::Forward => word!("Pushed forward"),
        Push::Rearward => word!("Pushed rearward"),
        Push::Sideways => word!("Pushed sideways"),
    }
}
