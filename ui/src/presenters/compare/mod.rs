//! Compare: two setups of a line side by side, judged by a margin chosen beforehand.

mod factors;
mod margin;

use tautbook_core::analysis::comparison::{
    Comparison, Criteria, FilmComparison, compare_films, compare_setups,
};
use tautbook_core::book::{BookError, Which};
use tautbook_core::chart;
use tautbook_core::say;
use tautbook_core::survey::{Id, Line, Record, Setup, SetupRole};
use tautbook_core::units::{Force, Method, MethodId, PullPlate, TorsionTool};
use tautbook_core::words::compare::{self as words, Pair};

pub use factors::{Field, draft_factor, edit_factor};
pub use margin::{draft_margin, edit_margin};

use super::block::Block;
use super::plan;
use crate::lists::{List, Shown};
use crate::place::Place;
use crate::session::{Entry, Session, Tone};

/// What the screen shows.
#[derive(Debug, Clone, PartialEq)]
pub struct View {
    /// What is laid beside what.
    pub scope: String,
    /// The method.
    pub method: MethodId,
    /// The setups of the line, some at a time.
    pub setups: Shown<(Id<Setup>, String)>,
    /// The old one.
    pub old: Id<Setup>,
    /// The new one.
    pub new: Id<Setup>,
    /// The verdict.
    pub headline: String,
    /// How it is meant.
    pub tone: Tone,
    /// Why.
    pub why: Block,
    /// How much weaker the new setup may be.
    pub margin: Entry,
    /// When that was chosen, or what to do.
    pub margin_note: String,
    /// How that is meant.
    pub margin_tone: Tone,
    /// Zone by zone.
    pub zones: Block,
    /// What that rests on, a sentence each.
    pub zones_rest_on: Vec<String>,
    /// The film of both.
    pub film: Block,
    /// What a year saves.
    pub savings: Block,
    /// What that rests on, a sentence each.
    pub savings_rest_on: Vec<String>,
    /// The numbers that takes, in the order of [`Field::ALL`].
    pub factors: [Entry; 12],
    /// One of them stands typed and is not kept.
    pub factor_typed: bool,
    /// The two setups drawn; `None` without a reading.
    pub chart: Option<chart::Compare>,
}

fn pair(session: &Session, old: Id<Setup>, new: Id<Setup>) -> Result<Pair, BookError> {
    let book = session.book();
    let (old, new) = (book.get(old)?, book.get(new)?);
    let line = book.get(new.line)?;
    Ok(Pair {
        records: book.visit_records(line.visit, Which::InUse)?,
        old,
        new,
        line,
    })
}

/// What the screen shows now.
///
/// # Errors
/// The store's errors.
pub fn view(
    session: &Session,
    old: Id<Setup>,
    new: Id<Setup>,
    method: MethodId,
) -> Result<View, BookError> {
    let pair = pair(session, old, new)?;
    match method {
        MethodId::TorsionTool => view_by::<TorsionTool>(session, &pair),
        MethodId::PullPlate => view_by::<PullPlate>(session, &pair),
    }
}

fn view_by<M: Method>(session: &Session, pair: &Pair) -> Result<View, BookError> {
    let to = session.reader();
    let (old, new) = (pair.old.id, pair.new.id);
    let margin = margin::view::<M>(session, pair);
    let force = margin.kept.unwrap_or(Force::ZERO);
    let found = compare_setups::<M>(&pair.records, &pair.new, old, Criteria::new(force));
    let film = compare_films(&pair.records, new, old).ok();
    let names = [pair.old.name.clone(), pair.new.name.clone()];
    let (headline, tone, why) = verdict(&found, film.as_ref(), &margin, old == new, to);
    let (savings, savings_rest_on) = words::savings(pair, film.as_ref(), to);
    let setups = session.book().children::<Setup, _>(pair.new.line)?;
    let chosen = |setup: &Record<Setup>| setup.id == old || setup.id == new;
    let chosen: Vec<_> = setups
        .iter()
        .filter(|setup| chosen(setup))
        .cloned()
        .collect();
    let mut setups = session.shown(List::SetupChoices, setups);
    // What is chosen is seen on whatever page it stands.
    for setup in chosen.into_iter().rev() {
        if !setups.iter().any(|shown| shown.id == setup.id) {
            setups.rows.insert(0, setup);
        }
    }
    let setups = setups.map(|setup| (setup.id, setup.body.name));
    Ok(View {
        scope: say!(
            to.language,
            "{new} against {old}",
            new = names[1],
            old = names[0]
        ),
        method: M::ID,
        setups,
        old,
        new,
        headline,
        tone,
        why,
        zones: words::zones(&found, to),
        zones_rest_on: words::rests_on(&found, to),
        savings,
        savings_rest_on,
        factors: factors::entries(session, &pair.line.factors),
        factor_typed: factors::any_typed(session),
        film: words::film(pair, film.as_ref(), to),
        chart: words::chart(&found, names, margin.kept.is_some(), to),
        margin: margin.entry,
        margin_note: margin.note,
        margin_tone: margin.tone,
    })
}

fn verdict<M: Method>(
    found: &Comparison<M>,
    film: Option<&FilmComparison>,
    margin: &margin::View,
    one_setup: bool,
    to: tautbook_core::words::Reader,
) -> (String, Tone, Block) {
    if one_setup {
        let text = say!(
            to.language,
            "This is one setup twice. Choose another one below."
        );
        return (text, Tone::Info, Block::default());
    }
    let Some(force) = margin.kept else {
        let text = say!(
            to.language,
            "Not judged: choose first how much less the new setup may hold."
        );
        return (text, Tone::Info, Block::default());
    };
    words::verdict(found, film, force, margin.beforehand, to)
}

/// Opens a setup beside another of its line: the one as found, or else the one before it.
pub fn open(session: &mut Session, new: Id<Setup>) {
    let found = other_than(session, new);
    if let Some(Some((old, new))) = session.report(found) {
        go(session, old, new);
    }
}

/// Whether a line has setups to lay beside each other.
pub(super) fn has_another(session: &Session, line: Id<Line>) -> Result<bool, BookError> {
    Ok(session.book().children::<Setup, _>(line)?.len() > 1)
}

/// The old setup and the new.
type Couple = (Id<Setup>, Id<Setup>);

fn other_than(session: &Session, setup: Id<Setup>) -> Result<Option<Couple>, BookError> {
    let book = session.book();
    let setups = book.children::<Setup, _>(book.get(setup)?.line)?;
    let as_found = setups
        .iter()
        .find(|other| other.role == SetupRole::AsFound && other.id != setup);
    if let Some(old) = as_found {
        return Ok(Some((old.id, setup)));
    }
    // The setup as found itself is laid beside the last that was tried.
    Ok(setups
        .iter()
        .rfind(|other| other.id != setup)
        .map(|other| (setup.min(other.id), setup.max(other.id))))
}

/// Opens the last setup of a line beside the one as found.
pub fn open_line(session: &mut Session, line: Id<Line>) {
    let setups = session.book().children::<Setup, _>(line);
    let Some(setups) = session.report(setups) else {
        return;
    };
    if let Some(last) = setups.last() {
        open(session, last.id);
    }
}

fn go(session: &mut Session, old: Id<Setup>, new: Id<Setup>) {
    let method = plan::most_read(session, new);
    if let Some(method) = session.report(method) {
        session.go(Place::Compare { old, new, method });
    }
}

/// Tries to keep whatever stands half typed, before the person goes on.
pub fn settle(session: &mut Session) {
    margin::settle(session);
    factors::settle(session);
}

/// Changes the method.
pub fn pick_method(session: &mut Session, method: MethodId) {
    if let Place::Compare { old, new, .. } = session.here() {
        session.turn(Place::Compare { old, new, method });
    }
}

/// Chooses the old setup.
pub fn pick_old(session: &mut Session, old: Id<Setup>) {
    if let Place::Compare { new, method, .. } = session.here() {
        session.turn(Place::Compare { old, new, method });
    }
}

/// Chooses the new setup.
pub fn pick_new(session: &mut Session, new: Id<Setup>) {
    if let Place::Compare { old, method, .. } = session.here() {
        session.turn(Place::Compare { old, new, method });
    }
}

/// Opens the plan that starts from the new setup.
pub fn open_plan(session: &mut Session) {
    if let Place::Compare { new, .. } = session.here() {
        plan::open(session, new);
    }
}
