//! The margin: how much less the new setup may hold, chosen before it is read.

use serde::{Deserialize, Serialize};
use tautbook_core::survey::{Id, Moment, Setup};
use tautbook_core::units::{Entered, Force, Method, MethodId, parse_force};

use super::super::figures;
use super::Pair;
use crate::place::Place;
use crate::session::{Entry, Session, Tone, optional};

/// The field.
const MARGIN: &str = "margin";

/// A margin as this device remembers it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
struct Chosen {
    force: Entered<Force>,
    at: Moment,
}

/// The margin as the screen shows it.
pub(super) struct View {
    pub(super) entry: Entry,
    pub(super) kept: Option<Force>,
    /// Whether it was chosen before the new setup was read.
    pub(super) beforehand: bool,
    pub(super) note: String,
    pub(super) tone: Tone,
}

fn key(old: Id<Setup>, new: Id<Setup>, method: MethodId) -> String {
    format!("margin {old} {new} {}", method.as_str())
}

fn chosen(session: &Session, key: &str) -> Option<Chosen> {
    let kept = session.book().state(key).ok().flatten()?;
    serde_json::from_str(&kept).ok()
}

/// The margin of a pair by one method.
pub(super) fn view<M: Method>(session: &Session, pair: &Pair) -> View {
    let units = session.units();
    let kept = chosen(session, &key(pair.old.id, pair.new.id, M::ID));
    let first_read = pair
        .records
        .readings
        .iter()
        .filter(|reading| reading.measure.method() == M::ID)
        .filter(|reading| {
            pair.records
                .loads
                .iter()
                .any(|load| load.id == reading.load && load.setup == pair.new.id)
        })
        .map(|reading| reading.taken_at)
        .min();
    let beforehand = kept
        .as_ref()
        .is_some_and(|kept| first_read.is_none_or(|first| kept.at <= first));
    let (note, tone) = match &kept {
        None => (
            "Agree it with the customer before the new setup is read: what is chosen after the \
             readings proves nothing."
                .to_owned(),
            Tone::Info,
        ),
        Some(kept) if beforehand => (
            format!("Chosen before the new setup was read, {}.", when(kept.at)),
            Tone::Good,
        ),
        Some(kept) => (
            format!(
                "Chosen after the new setup was read, {}: it shows what the readings say, not \
                 that the new setup was put to the test. Wrap and read fresh loads in a new setup \
                 for that.",
                when(kept.at)
            ),
            Tone::Warning,
        ),
    };
    let text = kept
        .as_ref()
        .map_or_else(String::new, |kept| kept.force.text.clone());
    View {
        entry: session.entry(MARGIN, &text, units.force.symbol()),
        kept: kept.map(|kept| kept.force.value),
        beforehand,
        note,
        tone,
    }
}

fn when(at: Moment) -> String {
    at.date_time().format("%-d %b %Y %H:%M").to_string()
}

/// Notes a margin half typed.
pub fn draft_margin(session: &mut Session, text: &str) {
    session.draft(MARGIN, text);
}

/// Keeps the margin with the time it was chosen.
pub fn edit_margin(session: &mut Session, text: &str) {
    let Place::Compare { old, new, method } = session.here() else {
        return;
    };
    session.settle(MARGIN, text, |session, text| {
        let force = optional(parse_force(text, &session.units().force_typing()))?;
        let key = key(old, new, method);
        match force {
            None => session.book.forget_state(&key)?,
            Some(force) => {
                let same = chosen(session, &key).is_some_and(|kept| kept.force == force);
                if !same {
                    let at = session.book.now();
                    let kept = serde_json::to_string(&Chosen { force, at }).unwrap_or_default();
                    session.book.set_state(&key, &kept)?;
                }
            }
        }
        Ok(())
    });
}

/// Tries to keep a margin that stands half typed.
pub(super) fn settle(session: &mut Session) {
    if let Some(text) = session.unsettled(MARGIN) {
        edit_margin(session, &text);
    }
}

/// A margin in words.
pub(super) fn words(force: Force, units: tautbook_core::units::UnitChoice) -> String {
    figures::small(force.n(), units)
}
