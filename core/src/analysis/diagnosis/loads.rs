//! Rules about the loads as they stand, and how a cause stands by the look over the machine.

use crate::survey::{CheckItem, CheckResult, FilmTail};

use super::evidence::{LineEvidence, SetupEvidence};
use super::finding::{Against, Cause, Hit, Shown, Standing};
use super::words;

pub(super) fn damage(_: &LineEvidence<'_>, setup: &SetupEvidence<'_>) -> Vec<Hit> {
    setup
        .loads
        .iter()
        .filter(|load| !load.damage.trim().is_empty())
        .map(|load| {
            let what = format!("Load {} is damaged: {}.", load.name, sentence(&load.damage));
            let against = if load.shipped_undamaged == Some(true) {
                vec![Against {
                    record: load.reference(),
                    says: "the same load is noted as having arrived whole; ask which is right."
                        .to_owned(),
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
    let what = format!(
        "The end of the film hangs loose on {} of {} looked at.",
        loose.len(),
        words::count(noted, "load", "loads")
    );
    let mut causes: Vec<Cause> = [
        (
            CheckItem::ClampAndCutter,
            "the clamp and cutter leave a long end",
        ),
        (
            CheckItem::FilmTail,
            "the end is not wiped down or tucked in",
        ),
    ]
    .into_iter()
    .map(|(item, what)| cause(line, item, what))
    .collect();
    causes.push(Cause {
        what: "the clinging side faces away from the load".into(),
        standing: Standing::Possible,
    });
    let against = [CheckItem::ClampAndCutter, CheckItem::FilmTail]
        .into_iter()
        .filter_map(|item| line.check(item))
        .filter(|check| matches!(check.result, CheckResult::Good | CheckResult::Adjusted))
        .map(|check| Against {
            record: check.reference(),
            says: format!(
                "the look over the machine found the {} in order; look again while it wraps, from \
                 outside the guards.",
                words::item(check.item)
            ),
        })
        .collect();
    vec![Hit::new(what, shown).against(against).causes(causes)]
}

/// A cause as the last look over the machine has it.
pub(super) fn cause(line: &LineEvidence<'_>, item: CheckItem, what: &'static str) -> Cause {
    let standing = line
        .check(item)
        .map_or(Standing::NotLookedAt, |check| match check.result {
            CheckResult::NeedsTechnician => Standing::Shown(check.reference()),
            CheckResult::Good | CheckResult::Adjusted => Standing::SpokenAgainst(check.reference()),
            CheckResult::NotLookedAt => Standing::NotLookedAt,
        });
    Cause {
        what: what.into(),
        standing,
    }
}
