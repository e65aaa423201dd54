//! What the wrapping would have to add on the way: an estimate for context, beside the readings.

use crate::analysis::restraint::{Need, RestraintNote, restraint};
use crate::survey::Transport;
use crate::units::UnitChoice;
use crate::words::{Block, Fact, Material, figures};

/// The estimate for the heaviest load, by road where nothing else is written.
#[must_use]
pub fn restraint_estimate(material: &Material, units: UnitChoice) -> Block {
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
