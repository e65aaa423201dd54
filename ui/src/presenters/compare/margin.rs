//! The margin: how much less the new setup may hold, chosen before it is read.

use tautbook_core::say;
use tautbook_core::survey::Margin;
use tautbook_core::units::{Force, Method, parse_force};
use tautbook_core::words::dates::short_time;

use super::Pair;
use crate::place::Place;
use crate::session::{Entry, FieldError, Session, Tone, optional};

/// The field.
const MARGIN: &str = "margin";

/// The margin as the screen shows it.
pub(super) struct View {
    pub(super) entry: Entry,
    pub(super) kept: Option<Force>,
    /// Whether it was chosen before the new setup was read.
    pub(super) beforehand: bool,
    pub(super) note: String,
    pub(super) tone: Tone,
}

/// The margin of a pair by one method.
pub(super) fn view<M: Method>(session: &Session, pair: &Pair) -> View {
    let (units, language) = (session.units(), session.language());
    let (kept, beforehand) = match pair.margin::<M>() {
        Some((kept, beforehand)) => (Some(kept), beforehand),
        None => (None, false),
    };
    let (note, tone) = match kept {
        None => (
            say!(
                language,
                "Agree it with the customer before the new setup is read: what is chosen after the readings proves nothing."
            ),
            Tone::Info,
        ),
        Some(kept) if beforehand => (
            say!(
                language,
                "Chosen before the new setup was read, {when}.",
                when = short_time(&kept.chosen.date_time(), language)
            ),
            Tone::Good,
        ),
        Some(kept) => (
            say!(
                language,
                "Chosen after the new setup was read, {when}: it shows what the readings say, not that the new setup was put to the test. Wrap and read fresh loads in a new setup for that.",
                when = short_time(&kept.chosen.date_time(), language)
            ),
            Tone::Warning,
        ),
    };
    let text = kept.map_or_else(String::new, |kept| kept.force.text.clone());
    View {
        entry: session.entry(MARGIN, &text, units.force.symbol()),
        kept: kept.map(|kept| kept.force.value),
        beforehand,
        note,
        tone,
    }
}

/// Notes a margin half typed.
pub fn draft_margin(session: &mut Session, text: &str) {
    session.draft(MARGIN, text);
}

/// Keeps the margin on the new setup, with the time it was chosen; blank takes it back.
pub fn edit_margin(session: &mut Session, text: &str) {
    let Place::Compare { old, new, method } = session.here() else {
        return;
    };
    session.settle(MARGIN, text, |session, text| {
        let force = optional(parse_force(text, &session.units().force_typing()))?;
        if old == new {
            return Err(FieldError::Text(say!(
                session.language(),
                "choose two setups first: this is one setup twice"
            )));
        }
        session.book.act("choose_margin", |act| {
            let chosen = act.now();
            act.change(new, |setup| match force {
                None => setup.drop_margin(old, method),
                Some(force) => setup.choose_margin(Margin {
                    against: old,
                    method,
                    force,
                    chosen,
                }),
            })
        })?;
        Ok(())
    });
}

/// Tries to keep a margin that stands half typed.
pub(super) fn settle(session: &mut Session) {
    if let Some(text) = session.unsettled(MARGIN) {
        edit_margin(session, &text);
    }
}
