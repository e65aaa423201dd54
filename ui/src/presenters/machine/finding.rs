//! The finding that an item of the check list leaves behind when it is not good.

use tautbook_core::analysis::diagnosis::finding_of_check;
use tautbook_core::book::{Act, Book, BookError, Which};
use tautbook_core::language::Language;
use tautbook_core::say;
use tautbook_core::survey::{
    CheckItem, CheckResult, Finding, FindingState, Id, Line, MachineCheck, Record, RecordRef,
    Seriousness, WhoMayAct,
};

use super::{ITEMS, check_of, field, last};
use crate::session::{Entry, Session};

/// The field of what is to be done.
const ACTION: &str = "action";

/// What the list shows of a finding.
#[derive(Debug, Clone, PartialEq)]
pub struct FindingRow {
    /// How serious.
    pub seriousness: Seriousness,
    /// What to do.
    pub action: Entry,
    /// How far it has come.
    pub state: FindingState,
    /// Who may do it.
    pub who: &'static str,
}

/// The finding of a check that was made last, one that was set aside as well.
pub(in crate::presenters) fn of_check(
    book: &Book,
    check: &Record<MachineCheck>,
) -> Result<Option<Record<Finding>>, BookError> {
    Ok(of_visit(book, check.line)?
        .into_iter()
        .rfind(|finding| finding.is_of_check(check.reference())))
}

/// Every finding of the visit that a line was seen on, those that were set aside as well.
pub(super) fn of_visit(book: &Book, line: Id<Line>) -> Result<Vec<Record<Finding>>, BookError> {
    let visit = book.get(line)?.visit;
    book.children_which(visit, Which::All)
}

/// The row of a check's finding among those of the visit, where there is one in use.
pub(super) fn row(
    session: &Session,
    findings: &[Record<Finding>],
    check: &Record<MachineCheck>,
) -> Option<FindingRow> {
    let finding = findings
        .iter()
        .rfind(|finding| finding.is_of_check(check.reference()))
        .filter(|finding| finding.set_aside.is_none())?;
    Some(FindingRow {
        seriousness: finding.seriousness,
        action: session.entry(&field(check.item, ACTION), &finding.action, ""),
        state: finding.state,
        who: who(finding.who_may_act, session.language()),
    })
}

/// Who may do what is to be done.
pub(in crate::presenters) fn who(who: WhoMayAct, language: Language) -> &'static str {
    use tautbook_core::word;
    match who {
        WhoMayAct::Operator => word!("The site\u{2019}s operator, at the panel"),
        WhoMayAct::RepWithOperator => word!("You with the operator, guards closed"),
        WhoMayAct::Technician => word!("A qualified technician, machine isolated"),
    }
    .said(language)
}

/// What a finding is to follow: its check as it was, the finding as it is, and the pictures.
pub(super) struct Before {
    check: Option<Record<MachineCheck>>,
    finding: Option<Record<Finding>>,
    pictures: Vec<RecordRef>,
}

impl Before {
    pub(super) fn of(book: &Book, check: Option<Record<MachineCheck>>) -> Result<Self, BookError> {
        let (finding, pictures) = match &check {
            Some(check) => (of_check(book, check)?, book.photos_of(check.reference())?),
            None => (None, Vec::new()),
        };
        Ok(Self {
            check,
            finding,
            pictures: pictures.iter().map(Record::reference).collect(),
        })
    }
}

/// Lets the finding follow its check, within the action that changes the check. What the person
/// wrote in it stays. Whether it was set aside by that.
pub(super) fn follow(
    act: &mut Act<'_>,
    before: &Before,
    check: &Record<MachineCheck>,
    language: Language,
) -> Result<bool, BookError> {
    let visit = act.get(check.line)?.visit;
    let of = |check| finding_of_check(check, visit, &before.pictures, language);
    let (new, old) = match (of(check), &before.finding) {
        (None, None) => return Ok(false),
        (Some(new), None) => {
            act.add(new)?;
            return Ok(false);
        }
        (None, Some(old)) if old.set_aside.is_some() => return Ok(false),
        (None, Some(old)) => {
            let reason = if check.result == CheckResult::Good {
                say!(language, "the check is good again")
            } else {
                say!(language, "the check is noted as not looked at")
            };
            act.set_aside(old.id, reason)?;
            return Ok(true);
        }
        (Some(new), Some(old)) => (new, old),
    };
    if old.set_aside.is_some() {
        act.bring_back(old.id)?;
    }
    let as_made = before.check.as_ref().and_then(of);
    act.change(old.id, |finding| {
        finding.what = new.what;
        finding.evidence = new.evidence;
        if finding.who_may_act == new.who_may_act {
            return;
        }
        // From put right to for a technician or back: what nobody changed goes with it.
        let unchanged = |same: fn(&Finding, &Finding) -> bool| {
            as_made.as_ref().is_some_and(|made| same(made, &old.body))
        };
        if unchanged(|made, old| made.action == old.action) {
            finding.action = new.action;
        }
        if unchanged(|made, old| made.seriousness == old.seriousness) {
            finding.seriousness = new.seriousness;
        }
        finding.who_may_act = new.who_may_act;
        finding.state = new.state;
    })?;
    Ok(false)
}

/// Changes the finding of an item as an action of its own.
fn change(
    session: &mut Session,
    line: Id<Line>,
    item: CheckItem,
    edit: impl FnOnce(&mut Finding),
) -> Result<(), BookError> {
    let checks = session.book.children::<MachineCheck, _>(line)?;
    let Some(check) = last(&checks, item) else {
        return Ok(());
    };
    if let Some(finding) = of_check(&session.book, check)? {
        session
            .book
            .act("edit_finding", |act| act.change(finding.id, edit))?;
    }
    Ok(())
}

/// Says how serious it is.
pub fn weigh(session: &mut Session, line: Id<Line>, item: CheckItem, seriousness: Seriousness) {
    let done = change(session, line, item, |finding| {
        finding.seriousness = seriousness;
    });
    session.report(done);
}

/// Says how far it has come.
pub fn move_on(session: &mut Session, line: Id<Line>, item: CheckItem, state: FindingState) {
    let done = change(session, line, item, |finding| finding.state = state);
    session.report(done);
}

/// Notes half typed what is to be done.
pub fn draft_action(session: &mut Session, item: CheckItem, text: &str) {
    session.draft(&field(item, ACTION), text);
}

/// Keeps what is to be done.
pub fn edit_action(session: &mut Session, line: Id<Line>, item: CheckItem, text: &str) {
    session.settle(&field(item, ACTION), text, |session, text| {
        let words = text.trim().to_owned();
        change(session, line, item, |finding| finding.action = words)?;
        Ok(())
    });
}

/// Tries to keep whatever stands half typed.
pub(super) fn settle(session: &mut Session, line: Id<Line>) {
    for item in ITEMS {
        if let Some(text) = session.unsettled(&field(item, ACTION)) {
            edit_action(session, line, item, &text);
        }
    }
}

/// Notes an item of the list, its finding with it; whether a finding was set aside by that.
pub(super) fn keep(
    session: &mut Session,
    line: Id<Line>,
    item: CheckItem,
    edit: impl FnOnce(&mut MachineCheck),
) -> Result<tautbook_core::book::Done<bool>, BookError> {
    let checks = session.book.children::<MachineCheck, _>(line)?;
    let before = Before::of(&session.book, last(&checks, item).cloned())?;
    let language = session.language();
    session.book.act("check_machine", |act| {
        let check = check_of(act, line, item, before.check.as_ref(), edit)?;
        follow(act, &before, &check, language)
    })
}
