//! The way of the film from the roll to the load, and which way up the roll goes.

use tautbook_core::analysis::loading::TACK_TEST;
use tautbook_core::book::BookError;
use tautbook_core::survey::{CautionKind, Id, Line, Record, Rotation, Setup, Threading};
use tautbook_core::words::loading::{self as said, WayUpWords};

pub use said::{Missing, Way, short, way};

use super::caution;
use crate::place::Place;
use crate::session::Session;

/// Which way up the roll goes, with the test of it at the machine.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct WayUpView {
    /// What is said of it.
    pub said: WayUpWords,
    /// The caution about the machine was read today, for this line.
    pub acknowledged: bool,
    /// The test at the machine.
    pub check: String,
}

/// Which way up the roll of a setup goes.
///
/// # Errors
/// The store's errors.
pub fn way_up(
    session: &Session,
    setup: &Setup,
    line: &Record<Line>,
) -> Result<WayUpView, BookError> {
    let Some(roll) = setup.film_roll else {
        return Ok(WayUpView {
            said: said::way_up(None, line, session.language()),
            ..WayUpView::default()
        });
    };
    let roll = session.book().get(roll)?;
    let about = (line.visit, Some(line.id));
    let acknowledged = caution::acknowledged(session, about, CautionKind::Roll)?.is_some();
    Ok(WayUpView {
        said: said::way_up(Some(&roll), line, session.language()),
        acknowledged,
        check: if acknowledged {
            TACK_TEST.said(session.language()).to_owned()
        } else {
            String::new()
        },
    })
}

/// Goes to where what is missing is written.
pub fn open_missing(session: &mut Session, setup: Id<Setup>) {
    let view = session.book.get(setup).and_then(|setup| {
        let line = session.book.get(setup.line)?;
        way_up(session, &setup, &line)
    });
    match session.report(view).and_then(|view| view.said.missing) {
        Some(Missing::Roll(roll)) => session.go(Place::FilmRoll(roll)),
        Some(Missing::Line(line)) => session.go(Place::Line(line)),
        None => {}
    }
}

/// Notes that the caution about the roll was read, or takes that back.
pub fn acknowledge(session: &mut Session, setup: Id<Setup>, read: bool) {
    let done = session
        .book
        .get(setup)
        .and_then(|setup| session.book.get(setup.line))
        .and_then(|line| {
            let about = (line.visit, Some(line.id));
            caution::acknowledge(session, about, CautionKind::Roll, read)
        });
    session.report(done);
}

/// Changes the way of the film on a line.
fn thread(session: &mut Session, id: Id<Line>, change: impl FnOnce(&mut Threading)) {
    super::line::pick(session, id, |line| {
        let mut threading = line.wrapper.threading.unwrap_or_default();
        change(&mut threading);
        line.wrapper.threading = (threading != Threading::default()).then_some(threading);
    });
}

/// Chooses which way the roll turns; `None` where nobody has looked.
pub fn pick_roll_turns(session: &mut Session, id: Id<Line>, turns: Option<Rotation>) {
    thread(session, id, |threading| threading.roll_turns = turns);
}

/// More bends than this are a slip of the thumb (common practice, no source).
const MOST_BENDS: u8 = 12;

/// Counts a change of bend more or less; under none it is not known.
pub fn step_bends(session: &mut Session, id: Id<Line>, more: bool) {
    thread(session, id, |threading| {
        threading.reversals = match (threading.reversals, more) {
            (None, true) => Some(0),
            (None | Some(0), false) => None,
            (Some(count), true) => Some(count.saturating_add(1).min(MOST_BENDS)),
            (Some(count), false) => Some(count - 1),
        };
    });
}
