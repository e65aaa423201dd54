//! Settings: what this device is set to.

use tautbook_core::units::show_number;

use super::today::{REP, keep_rep};
use crate::session::{Entry, Look, Session};

/// The field of the rep's name.
const NAME: &str = "settings.rep";

/// What Settings shows.
#[derive(Debug, Clone, PartialEq)]
pub struct View {
    /// Who visits.
    pub rep: Entry,
    /// What the device is set to.
    pub look: Look,
    /// A number as it is now written.
    pub example: String,
}

/// What Settings shows now.
///
/// # Errors
/// The store's errors.
pub fn view(session: &Session) -> Result<View, tautbook_core::book::BookError> {
    let rep = session.book().state(REP)?.unwrap_or_default();
    Ok(View {
        rep: session.entry(NAME, &rep, ""),
        look: session.look(),
        example: show_number(12.4, &session.units().style()),
    })
}

/// Notes what stands half typed.
pub fn draft(session: &mut Session, text: &str) {
    session.draft(NAME, text);
}

/// Keeps the rep's name, for new visits and for what is written from now on.
pub fn edit(session: &mut Session, text: &str) {
    session.settle(NAME, text, |session, text| {
        let text = text.trim();
        Ok(keep_rep(session, text)?)
    });
}

/// Tries to keep what stands half typed, before the person goes on.
pub fn settle(session: &mut Session) {
    if let Some(text) = session.unsettled(NAME) {
        edit(session, &text);
    }
}

/// Changes one of the settings.
pub fn set(session: &mut Session, change: impl FnOnce(&mut Look)) {
    let mut look = session.look();
    change(&mut look);
    session.set_look(look);
}
