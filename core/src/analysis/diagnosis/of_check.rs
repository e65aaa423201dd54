//! The finding that one item of the look over a machine makes by itself.

use super::line::{about, for_technician};
use super::rules::{RuleId, rule};
use super::words;
use crate::language::Language;
use crate::say;
use crate::survey::{
    self, CheckResult, FindingState, Id, MachineCheck, Record, RecordRef, Seriousness, Visit,
    WhoMayAct,
};

/// The finding of a check that is not good, with its pictures as evidence; `None` for an item that
/// is good or was not looked at.
///
/// What needs a technician is open and for a technician, as serious as the rule of the diagnosis
/// has it. What was put right is done and worth knowing: by hand, or behind a guard by a technician
/// (common practice, no source).
#[must_use]
pub fn finding_of_check(
    check: &Record<MachineCheck>,
    visit: Id<Visit>,
    pictures: &[RecordRef],
    language: Language,
) -> Option<survey::Finding> {
    let evidence = std::iter::once(check.reference())
        .chain(pictures.iter().copied())
        .collect();
    let (what, seriousness, action, who_may_act, state) = match check.result {
        CheckResult::Good | CheckResult::NotLookedAt => return None,
        CheckResult::NeedsTechnician => {
            let rule = rule(RuleId::MachineWork)?;
            let action = rule.next_step.said(language).to_owned();
            let what = for_technician(&check.body, language);
            let (serious, who) = (rule.seriousness, rule.who_may_act);
            (what, serious, action, who, FindingState::Open)
        }
        CheckResult::Adjusted => (
            adjusted(&check.body, language),
            Seriousness::Note,
            say!(
                language,
                "Wrap a load and measure again, and look at it once more on the next visit."
            ),
            WhoMayAct::RepWithOperator,
            FindingState::Done,
        ),
    };
    Some(survey::Finding {
        visit,
        line: Some(check.line),
        what,
        seriousness,
        evidence,
        action,
        who_may_act,
        state,
    })
}

/// What of the machine was put right, and by whom.
fn adjusted(check: &MachineCheck, l: Language) -> String {
    let done = if check.item.is_behind_guard() {
        say!(l, "Put right by a technician")
    } else {
        say!(l, "Put right by hand")
    };
    let part = words::the_item(check.item).said(l);
    match about(check) {
        (None, "") => say!(l, "{done}, {part}.", done = done, part = part),
        (None, note) => say!(
            l,
            "{done}, {part}: {note}.",
            done = done,
            part = part,
            note = note
        ),
        (Some(gap), "") => say!(
            l,
            "{done}, {part}, {gap} measured.",
            done = done,
            part = part,
            gap = gap
        ),
        (Some(gap), note) => say!(
            l,
            "{done}, {part}, {gap} measured: {note}.",
            done = done,
            part = part,
            gap = gap,
            note = note
        ),
    }
}
