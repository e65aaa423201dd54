//! Rules about the loads as they stand, and how a cause stands by the look over the machine.

use crate::language::Word;
use crate::survey::{CheckItem, CheckResult, FilmTail};
use crate::{say, say_count, word};

use super::evidence::{LineEvidence, SetupEvidence};
use super::finding::{Against, Cause, Hit, Shown, Standing};
use super::words;

pub(super) fn damage(line: &LineEvidence<'_>, setup: &SetupEvidence<'_>) -> Vec<Hit> {
    let l = line.to.language;
    setup
        .loads
        .iter()
        .filter(|load| !load.damage.trim().is_empty())
        .map(|load| {
            let what = say!(
                l,
                "Load {name} is damaged: {damage}.",
                name = load.name,
                damage = sentence(&load.damage)
            );
            let against = if load.shipped_undamaged == Some(true) {
                vec![Against {
                    record: load.reference(),
                    says: say!(
                        l,
                        "the same load is noted as having arrived whole; ask which is right."
                    ),
                }]
            } else {
                Vec::new()
            };
            Hit::new(what, Shown::one(load.reference())).against(against)
        })
        .collect()
}

/// A note without the point at its end.
pub(super) fn sentence(note: &str) -> &str {
    note.trim().trim_end_matches('.')
}

pub(super) fn loose_tail(line: &LineEvidence<'_>, setup: &SetupEvidence<'_>) -> Vec<Hit> {
    let loose: Vec<_> = setup
        .loads
        .iter()
        .filter(|load| load.tail == Some(FilmTail::Loose))
        .collect();
    let Some(shown) = Shown::new(loose.iter().map(|load| load.reference())) else {
        return Vec::new();
    };
    let noted = setup
        .loads
        .iter()
        .filter(|load| load.tail.is_some())
        .count();
    let l = line.to.language;
    let what = say_count!(
        l,
        noted,
        "The end of the film hangs loose on {loose} of {n} load looked at.",
        "The end of the film hangs loose on {loose} of {n} loads looked at.",
        loose = loose.len()
    );
    let mut causes: Vec<Cause> = [
        (
            CheckItem::ClampAndCutter,
            word!("the clamp and cutter leave a long end"),
        ),
        (
            CheckItem::FilmTail,
            word!("the end is not wiped down or tucked in"),
        ),
    ]
    .into_iter()
    .map(|(item, what)| cause(line, item, what))
    .collect();
    causes.push(Cause {
        what: say!(l, "the cling side faces away from the load"),
        standing: Standing::Possible,
    });
    let against = [CheckItem::ClampAndCutter, CheckItem::FilmTail]
        .into_iter()
        .filter_map(|item| line.check(item))
        .filter(|check| matches!(check.result, CheckResult::Good | CheckResult::Adjusted))
        .map(|check| Against {
            record: check.reference(),
            says: say!(
                l,
                "the look over the machine found {part} in order; look again while it wraps, from \
                 outside the guards.",
                part = words::the_item(check.item).said(l)
            ),
        })
        .collect();
    vec![Hit::new(what, shown).against(against).causes(causes)]
}

/// A cause as the last look over the machine has it.
pub(super) fn cause(line: &LineEvidence<'_>, item: CheckItem, what: Word) -> Cause {
    let standing = line
        .check(item)
        .map_or(Standing::NotLookedAt, |check| match check.result {
            CheckResult::NeedsTechnician => Standing::Shown(check.reference()),
            CheckResult::Good | CheckResult::Adjusted => Standing::SpokenAgainst(check.reference()),
            CheckResult::NotLookedAt => Standing::NotLookedAt,
        });
    Cause {
        what: what.said(line.to.language).to_owned(),
        standing,
    }
}
