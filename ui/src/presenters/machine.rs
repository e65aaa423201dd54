//! Machine: the look over a wrapper, item by item, after the caution.

pub mod finding;

use tautbook_core::book::{Act, BookError};
use tautbook_core::language::Language;
use tautbook_core::say;
use tautbook_core::survey::{
    Caution, CautionKind, CheckItem, CheckResult, Finding, Id, Line, MachineCheck, Moment, Record,
    Visit,
};
use tautbook_core::units::parse_length;
use tautbook_core::word;
use tautbook_core::words::dates::{short_date, short_time};

use super::{caution, loading, photos, written};
use crate::session::{Entry, FieldError, Notice, NoticeAct, Session, Tone, optional};
use finding::FindingRow;

/// The check list, in the order one goes round the machine.
pub const ITEMS: [CheckItem; 11] = [
    CheckItem::FilmPath,
    CheckItem::RollerSurface,
    CheckItem::RollerGap,
    CheckItem::RollerLight,
    CheckItem::Springs,
    CheckItem::Brake,
    CheckItem::ChainOrBelt,
    CheckItem::SprocketsOrGears,
    CheckItem::CarriageTravel,
    CheckItem::ClampAndCutter,
    CheckItem::FilmTail,
];

/// One item.
#[derive(Debug, Clone, PartialEq)]
pub struct ItemRow {
    /// Which.
    pub item: CheckItem,
    /// Its name.
    pub name: &'static str,
    /// How to look at it.
    pub how: &'static str,
    /// What was found; `None` before it was looked at.
    pub result: Option<CheckResult>,
    /// The measured gap, where there is one to measure.
    pub gap: Option<Entry>,
    /// What was seen.
    pub notes: Entry,
    /// How many pictures it has.
    pub photos: usize,
    /// What to do where it stands behind a guard and is marked, and nobody is named as having locked the
    /// machine out then; blank elsewhere.
    pub not_locked: String,
    /// What was found by it, where it is not good.
    pub finding: Option<FindingRow>,
}

/// What the screen shows.
#[derive(Debug, Clone, PartialEq)]
pub struct View {
    /// The caution was acknowledged today.
    pub acknowledged: bool,
    /// When; blank when it was not.
    pub read_at: String,
    /// Who locked the machine out.
    pub isolated_by: Entry,
    /// The check list.
    pub items: Vec<ItemRow>,
    /// How many items were looked at.
    pub done: usize,
    /// The way of the film on this line.
    pub way: loading::Way,
}

/// What the screen shows now.
///
/// # Errors
/// The store's errors.
pub fn view(session: &Session, line: Id<Line>) -> Result<View, BookError> {
    let checks = session.book().children::<MachineCheck, _>(line)?;
    let findings = finding::of_visit(session.book(), line)?;
    let caution = acknowledgement(session, line)?;
    let isolated_by = caution
        .as_ref()
        .map_or("", |caution| caution.isolated_by.as_str());
    let locked_out = caution::locked_out(session, about(session, line)?)?;
    let mut items = Vec::new();
    for item in ITEMS {
        items.push(row(session, &checks, &findings, item, &locked_out)?);
    }
    Ok(View {
        isolated_by: session.entry(ISOLATED_BY, isolated_by, ""),
        acknowledged: caution.is_some(),
        read_at: caution.as_ref().map_or_else(String::new, |caution| {
            short_time(&caution.acknowledged_at.date_time(), session.language())
        }),
        way: loading::way(&session.book().get(line)?.wrapper, session.language()),
        done: ITEMS
            .iter()
            .filter(|item| was_looked_at(&checks, **item))
            .count(),
        items,
    })
}

/// How many items of a line's machine were looked at, of how many.
///
/// # Errors
/// The store's errors.
pub fn looked_at(session: &Session, line: Id<Line>) -> Result<(usize, usize), BookError> {
    let checks = session.book().children::<MachineCheck, _>(line)?;
    let done = ITEMS.iter().filter(|item| was_looked_at(&checks, **item));
    Ok((done.count(), ITEMS.len()))
}

/// Whether what was noted of an item is done with the machine locked out: it stands behind a guard, or
/// was put right where film runs and is cut.
fn asks_for_lockout(checks: &[Record<MachineCheck>], item: CheckItem) -> bool {
    let near = matches!(item, CheckItem::RollerSurface | CheckItem::ClampAndCutter);
    let adjusted = last(checks, item).is_some_and(|of| of.result == CheckResult::Adjusted);
    was_looked_at(checks, item) && (item.is_behind_guard() || near && adjusted)
}

/// Whether something was found or measured at an item.
fn was_looked_at(checks: &[Record<MachineCheck>], item: CheckItem) -> bool {
    last(checks, item)
        .is_some_and(|check| check.result != CheckResult::NotLookedAt || check.gap.is_some())
}

/// A gap that is wider than any between rollers, in metres (common practice, no source): most likely
/// thousandths of an inch without their name.
const WIDE_GAP_M: f64 = 0.0254;

fn row(
    session: &Session,
    checks: &[Record<MachineCheck>],
    findings: &[Record<Finding>],
    item: CheckItem,
    locked_out: &[Moment],
) -> Result<ItemRow, BookError> {
    let check = last(checks, item);
    let hint = session.units().length.symbol();
    let gap = is_measured(item).then(|| {
        let kept = check.and_then(|check| check.gap.as_ref());
        let mut entry = session.entry(&field(item, GAP), written(kept), hint);
        let wide = kept.is_some_and(|gap| gap.value.m() >= WIDE_GAP_M);
        if wide && item != CheckItem::ChainOrBelt && entry.error.is_empty() {
            entry.doubt = say!(
                session.language(),
                "{gap} between rollers? Thousandths of an inch are written so: 20 thou",
                gap = entry.text
            );
        }
        entry
    });
    let notes = check.map_or("", |check| check.notes.as_str());
    Ok(ItemRow {
        item,
        name: photos::check_item(item).said(session.language()),
        how: how(item, session.language()),
        result: check.map(|check| check.result),
        gap,
        notes: session.entry(&field(item, NOTES), notes, ""),
        photos: match check {
            Some(check) => photos::how_many(session, check.reference())?,
            None => 0,
        },
        not_locked: match check {
            Some(check) if asks_for_lockout(checks, item) => {
                not_locked(session, looked_at_last(session, check)?, locked_out)
            }
            Some(_) | None => String::new(),
        },
        finding: check.and_then(|check| finding::row(session, findings, check)),
    })
}

/// When an item was last looked at: its result or its gap was noted, not only a word about it.
fn looked_at_last(session: &Session, check: &Record<MachineCheck>) -> Result<Moment, BookError> {
    let changes = session.book().history(check.reference())?;
    let looked = changes.iter().rev().find(|change| {
        let field = change.field.split('.').next().unwrap_or_default();
        matches!(field, "" | "result" | "gap")
    });
    Ok(looked.map_or(check.changed, |change| change.action.at))
}

fn not_locked(session: &Session, looked_at: Moment, locked_out: &[Moment]) -> String {
    let language = session.language();
    let is_locked = |since: &Moment| caution::holds(*since, looked_at);
    if locked_out.iter().any(is_locked) {
        String::new()
    } else if caution::day(looked_at) == caution::day(session.book().now()) {
        say!(
            language,
            "Who locked the machine out? Write it above. If nobody did, choose “Not looked at”."
        )
    } else {
        say!(
            language,
            "Nobody is named as having locked the machine out on {day}. Choose “Not looked at”, and look \
             again once it is locked out.",
            day = short_date(caution::day(looked_at), language)
        )
    }
}

/// Where a feeler gauge or a rule has something to measure.
const fn is_measured(item: CheckItem) -> bool {
    matches!(
        item,
        CheckItem::RollerGap | CheckItem::RollerLight | CheckItem::ChainOrBelt
    )
}

/// The latest look at an item.
fn last(checks: &[Record<MachineCheck>], item: CheckItem) -> Option<&Record<MachineCheck>> {
    checks.iter().rfind(|check| check.item == item)
}

/// How an item is looked at, from outside the guards (common practice, no source).
fn how(item: CheckItem, language: Language) -> &'static str {
    match item {
        CheckItem::FilmPath => {
            word!("The film follows the threading picture and runs over every roller.")
        }
        CheckItem::RollerSurface => {
            word!(
                "Locked out or through the guard: rubber whole, clean and round; no cuts, flat spots or \
                 old film."
            )
        }
        CheckItem::RollerGap => {
            word!("Locked out: even along its length, as the machine’s manual has it.")
        }
        CheckItem::RollerLight => {
            word!(
                "Locked out: a light behind the closed rollers. Light that shows through is a gap."
            )
        }
        CheckItem::Springs => {
            word!("Locked out: none broken, stretched or missing; both sides alike.")
        }
        CheckItem::Brake => word!("From outside: the roll stops without coasting and does not drag."),
        CheckItem::ChainOrBelt => word!("Locked out: tight, whole, clean; no skipped teeth and no slack."),
        CheckItem::SprocketsOrGears => word!("Locked out: no worn or broken teeth; those of the wanted ratio."),
        CheckItem::CarriageTravel => word!("From outside: even all the way up and down, without sticking."),
        CheckItem::ClampAndCutter => word!("From outside: holds the film and cuts it clean every time."),
        CheckItem::FilmTail => {
            word!("The end of the film is pressed to the load and does not trail.")
        }
    }
    .said(language)
}

const ISOLATED_BY: &str = "isolated_by";
const GAP: &str = "gap";
const NOTES: &str = "notes";

fn field(item: CheckItem, part: &str) -> String {
    format!("{part} {item:?}")
}

/// The line and its visit, for which a caution about a machine is read.
fn about(session: &Session, line: Id<Line>) -> Result<(Id<Visit>, Option<Id<Line>>), BookError> {
    Ok((session.book().get(line)?.visit, Some(line)))
}

fn acknowledgement(
    session: &Session,
    line: Id<Line>,
) -> Result<Option<Record<Caution>>, BookError> {
    let about = about(session, line)?;
    caution::acknowledged(session, about, CautionKind::Machine)
}

/// Notes that the caution was read, or takes that back.
pub fn acknowledge(session: &mut Session, line: Id<Line>, read: bool) {
    let before = acknowledgement(session, line);
    if matches!(before, Ok(None)) {
        // Who locked it out another day locked nothing out today.
        session.drop_draft(ISOLATED_BY);
    }
    let done = about(session, line)
        .and_then(|about| caution::acknowledge(session, about, CautionKind::Machine, read));
    session.report(done);
}

/// Notes half typed who locked the machine out.
pub fn draft_isolated_by(session: &mut Session, text: &str) {
    session.draft(ISOLATED_BY, text);
}

/// Keeps who locked the machine out.
pub fn edit_isolated_by(session: &mut Session, line: Id<Line>, text: &str) {
    session.settle(ISOLATED_BY, text, |session, text| {
        let Some(kept) = acknowledgement(session, line)? else {
            return Err(FieldError::Text(say!(
                session.language(),
                "tick first that you have read the caution"
            )));
        };
        let words = text.trim().to_owned();
        session.change("acknowledge_caution", kept.id, |caution: &mut Caution| {
            caution.isolated_by = words;
        })
    });
}

/// The record of an item changed, or made when there is none yet.
fn check_of(
    act: &mut Act<'_>,
    line: Id<Line>,
    item: CheckItem,
    kept: Option<&Record<MachineCheck>>,
    edit: impl FnOnce(&mut MachineCheck),
) -> Result<Record<MachineCheck>, BookError> {
    if let Some(kept) = kept {
        return act.change(kept.id, edit);
    }
    let mut check = MachineCheck {
        line,
        item,
        result: CheckResult::NotLookedAt,
        gap: None,
        notes: String::new(),
    };
    edit(&mut check);
    act.add(check)
}

/// Notes what was found. A finding goes with it, and says so when it goes.
pub fn pick(session: &mut Session, line: Id<Line>, item: CheckItem, result: CheckResult) {
    let done = finding::keep(session, line, item, |check| check.result = result);
    let Some(done) = session.report(done) else {
        return;
    };
    if done.value {
        let text = say!(
            session.language(),
            "The finding of this check was set aside. It is still in the book."
        );
        session.say(Notice {
            tone: Tone::Info,
            text,
            act: done.action.map(NoticeAct::Undo),
        });
    }
}

/// Notes what stands half typed: the gap, or else the notes.
pub fn draft(session: &mut Session, item: CheckItem, is_gap: bool, text: &str) {
    session.draft(&field(item, if is_gap { GAP } else { NOTES }), text);
}

/// Thousandths of an inch, as feelers are marked, in inches; anything else as it is.
fn in_inches(text: &str) -> String {
    let thousandths = ["thou", "mils", "mil"]
        .iter()
        .find_map(|unit| text.trim().strip_suffix(unit))
        .and_then(|number| number.trim().replace(',', ".").parse::<f64>().ok())
        .filter(|number| number.is_finite() && *number >= 0.0);
    match thousandths {
        Some(number) => format!("{} in", (number * 1e3).round() / 1e6),
        None => text.to_owned(),
    }
}

/// Keeps what was typed: the gap, or else the notes.
pub fn edit(session: &mut Session, line: Id<Line>, item: CheckItem, is_gap: bool, text: &str) {
    let units = session.units();
    if is_gap {
        session.settle(&field(item, GAP), text, |session, text| {
            let gap = optional(parse_length(&in_inches(text), &units.length_typing()))?;
            finding::keep(session, line, item, |check| check.gap = gap)?;
            Ok(())
        });
    } else {
        session.settle(&field(item, NOTES), text, |session, text| {
            let words = text.trim().to_owned();
            finding::keep(session, line, item, |check| check.notes = words)?;
            Ok(())
        });
    }
}

/// Tries to keep whatever stands half typed, before the person goes on.
pub fn settle(session: &mut Session, line: Id<Line>) {
    if let Some(text) = session.unsettled(ISOLATED_BY) {
        edit_isolated_by(session, line, &text);
    }
    for item in ITEMS {
        for (part, is_gap) in [(GAP, true), (NOTES, false)] {
            if let Some(text) = session.unsettled(&field(item, part)) {
                edit(session, line, item, is_gap, &text);
            }
        }
    }
    finding::settle(session, line);
}

/// Goes to the pictures of an item.
pub fn open_photos(session: &mut Session, line: Id<Line>, item: CheckItem) {
    let checks = session.book.children::<MachineCheck, _>(line);
    let Some(checks) = session.report(checks) else {
        return;
    };
    let of = match last(&checks, item) {
        Some(check) => Ok(check.reference()),
        None => session
            .book
            .act("check_machine", |act| {
                check_of(act, line, item, None, |_| {})
            })
            .map(|done| done.value.reference()),
    };
    if let Some(of) = session.report(of) {
        photos::open(session, of);
    }
}
