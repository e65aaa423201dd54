//! What was found on a line, with what shows it and who may act.

use std::collections::BTreeMap;

use super::{heading, names};
use crate::analysis::diagnosis::Finding;
use crate::report::content::{Align, Cell, Paragraph, Piece, Table};
use crate::report::gather::{LineReport, Report, diagnosis};
use crate::survey::{self, CheckResult, Kind, Record, RecordRef, Seriousness};
use crate::words::{Reader, Tone, figures};
use crate::{say, say_count};

/// How a finding is meant.
pub(super) const fn tone(seriousness: Seriousness) -> Tone {
    match seriousness {
        Seriousness::Note => Tone::Info,
        Seriousness::Matters => Tone::Warning,
        Seriousness::Serious => Tone::Bad,
    }
}

/// The findings of a line, the most serious first.
pub(super) fn of_line(report: &Report, line: &LineReport, to: Reader) -> Vec<Finding> {
    let mut found = diagnosis(report, &line.line, to)
        .map(|diagnosis| diagnosis.findings)
        .unwrap_or_default();
    found.sort_by_key(|finding| std::cmp::Reverse(finding.seriousness));
    found
}

/// The findings that somebody wrote for a line.
pub(super) fn written<'r>(
    report: &'r Report,
    line: &'r LineReport,
) -> impl Iterator<Item = &'r Record<survey::Finding>> + 'r {
    let findings = report.records.findings.iter();
    findings.filter(|finding| finding.line == Some(line.line.id))
}

pub(super) fn findings(pieces: &mut Vec<Piece>, report: &Report, line: &LineReport, to: Reader) {
    let l = to.language;
    let found = of_line(report, line, to);
    let mut written = written(report, line).peekable();
    if !found.is_empty() || written.peek().is_some() {
        pieces.push(heading(2, say!(l, "What was found")));
    }
    for finding in &found {
        computed(pieces, report, finding, to);
    }
    for finding in written {
        noted(pieces, report, finding, to);
    }
    let not_known = diagnosis(report, &line.line, to).map(|of| of.not_known);
    let not_known: Vec<String> = not_known
        .iter()
        .flatten()
        .map(|need| figures::sentence(&need.said(l)))
        .collect();
    if !not_known.is_empty() {
        pieces.push(heading(3, say!(l, "Not looked into")));
        pieces.push(Piece::Points(not_known));
    }
}

fn computed(pieces: &mut Vec<Piece>, report: &Report, finding: &Finding, to: Reader) {
    let l = to.language;
    let serious = names::seriousness(finding.seriousness).said(l);
    pieces.push(Paragraph::lead(
        figures::sentence(&finding.what),
        Some(tone(finding.seriousness)),
    ));
    let about = match &finding.setup_name {
        Some(name) => say!(
            l,
            "{serious}. Setup: {name}.",
            serious = serious,
            name = name
        ),
        None => say!(l, "{serious}. The whole line.", serious = serious),
    };
    pieces.push(Paragraph::small(about));
    let mut head = |label: String, text: String| {
        if !text.is_empty() {
            pieces.push(Paragraph::headed(label, text));
        }
    };
    let list = |texts: Vec<String>| -> String {
        let texts: Vec<String> = texts.iter().map(|text| figures::sentence(text)).collect();
        texts.join(" ")
    };
    head(
        say!(l, "It may come from:"),
        list(finding.causes.iter().map(|of| of.said(l)).collect()),
    );
    head(
        say!(l, "Against that:"),
        list(finding.against.iter().map(|of| of.says.clone()).collect()),
    );
    head(say!(l, "Next step:"), figures::sentence(finding.next_step));
    head(
        say!(l, "Who may act:"),
        format!("{}.", names::who(finding.who_may_act).said(l)),
    );
    head(
        say!(l, "Shown by:"),
        evidence(report, finding.evidence.iter(), to),
    );
    if let Some(care) = finding.care {
        head(say!(l, "Caution:"), care.word().said(l).to_owned());
    }
}

fn noted(pieces: &mut Vec<Piece>, report: &Report, finding: &Record<survey::Finding>, to: Reader) {
    let l = to.language;
    pieces.push(Paragraph::lead(
        figures::sentence(&finding.what),
        Some(tone(finding.seriousness)),
    ));
    let serious = names::seriousness(finding.seriousness).said(l);
    let state = names::state(finding.state).said(l);
    pieces.push(Paragraph::small(say!(
        l,
        "{serious}. Noted by the representative; {state}.",
        serious = serious,
        state = state.to_lowercase()
    )));
    if !finding.action.trim().is_empty() {
        let action = figures::sentence(&finding.action);
        pieces.push(Paragraph::headed(say!(l, "Next step:"), action));
    }
    pieces.push(Paragraph::headed(
        say!(l, "Who may act:"),
        format!("{}.", names::who(finding.who_may_act).said(l)),
    ));
    pieces.push(Paragraph::headed(
        say!(l, "Shown by:"),
        evidence(report, finding.evidence.iter().copied(), to),
    ));
}

/// The records that show something, by what they belong to.
fn evidence(report: &Report, records: impl Iterator<Item = RecordRef>, to: Reader) -> String {
    let mut places: Vec<(String, BTreeMap<Kind, usize>)> = Vec::new();
    for record in records {
        let place = place(report, record);
        match places.iter_mut().find(|(of, _)| *of == place) {
            Some((_, kinds)) => *kinds.entry(record.kind).or_default() += 1,
            None => places.push((place, BTreeMap::from([(record.kind, 1)]))),
        }
    }
    let said: Vec<String> = places
        .into_iter()
        .map(|(place, kinds)| {
            let what: Vec<String> = kinds
                .into_iter()
                .map(|(kind, n)| counted(kind, n, to))
                .collect();
            let what = what.join(", ");
            if place.is_empty() {
                what
            } else {
                format!("{place} ({what})")
            }
        })
        .collect();
    figures::sentence(&said.join("; "))
}

/// What a record belongs to, by name: its load, else its setup, else its film or tool.
fn place(report: &Report, record: RecordRef) -> String {
    let all = &report.records;
    let load = |id: uuid::Uuid| all.loads.iter().find(|load| load.id.uuid() == id);
    let load_name = |id: Option<uuid::Uuid>| {
        id.and_then(load)
            .map_or_else(String::new, |load| load.name.clone())
    };
    match record.kind {
        Kind::Load => load_name(Some(record.id)),
        Kind::Reading => load_name(
            all.readings
                .iter()
                .find(|of| of.id.uuid() == record.id)
                .map(|of| of.load.uuid()),
        ),
        Kind::FilmWeight => load_name(
            all.film_weights
                .iter()
                .find(|of| of.id.uuid() == record.id)
                .map(|of| of.load.uuid()),
        ),
        Kind::Setup => all
            .setups
            .iter()
            .find(|of| of.id.uuid() == record.id)
            .map_or_else(String::new, |of| of.name.clone()),
        Kind::FilmRoll => all
            .film_rolls
            .iter()
            .find(|of| of.id.uuid() == record.id)
            .map_or_else(String::new, |of| of.name.clone()),
        _ => String::new(),
    }
}

/// So many records of a kind.
fn counted(kind: Kind, n: usize, to: Reader) -> String {
    let l = to.language;
    match kind {
        Kind::Reading => say_count!(l, n, "{n} reading", "{n} readings"),
        Kind::FilmWeight => say_count!(l, n, "{n} weighing", "{n} weighings"),
        Kind::Load => say_count!(l, n, "{n} load", "{n} loads"),
        Kind::Setup => say_count!(l, n, "{n} setting", "{n} settings"),
        Kind::FilmRoll => say_count!(l, n, "{n} film roll", "{n} film rolls"),
        Kind::StretchMark => say_count!(l, n, "{n} pair of marks", "{n} pairs of marks"),
        Kind::MachineCheck => say_count!(l, n, "{n} machine check", "{n} machine checks"),
        Kind::Thickness => say_count!(l, n, "{n} thickness", "{n} thicknesses"),
        Kind::FilmBreaks => say_count!(l, n, "{n} count of breaks", "{n} counts of breaks"),
        Kind::Photo => say_count!(l, n, "{n} picture", "{n} pictures"),
        Kind::Target => say_count!(l, n, "{n} target", "{n} targets"),
        _ => say_count!(l, n, "{n} record", "{n} records"),
    }
}

/// The machine as it was looked over.
pub(super) fn machine(pieces: &mut Vec<Piece>, report: &Report, line: &LineReport, to: Reader) {
    let l = to.language;
    let checks: Vec<_> = report
        .records
        .machine_checks
        .iter()
        .filter(|check| check.line == line.line.id)
        .collect();
    if checks.is_empty() {
        return;
    }
    pieces.push(heading(2, say!(l, "The machine as it was looked over")));
    let rows = checks.iter().map(|check| {
        let good = match check.result {
            CheckResult::Good | CheckResult::Adjusted => Some(true),
            CheckResult::NeedsTechnician => Some(false),
            CheckResult::NotLookedAt => None,
        };
        vec![
            names::item(check.item).said(l).into(),
            Cell {
                text: names::result(check.result).said(l).to_owned(),
                good,
            },
            check
                .gap
                .as_ref()
                .map_or("", |gap| gap.text.as_str())
                .into(),
            check.notes.as_str().into(),
        ]
    });
    pieces.push(Piece::Table(Table {
        summary: say!(l, "The machine as it was looked over"),
        columns: vec![
            (say!(l, "Part"), Align::Text(4)),
            (say!(l, "Result"), Align::Text(3)),
            (say!(l, "Gap"), Align::Figure),
            (say!(l, "Note"), Align::Text(6)),
        ],
        rows: rows.collect(),
    }));
    if checks
        .iter()
        .any(|check| check.result == CheckResult::NeedsTechnician)
    {
        pieces.push(Paragraph::small(say!(
            l,
            "What needs a technician is for a qualified one, with the machine isolated and locked \
             out under the site\u{2019}s own procedure, by the machine\u{2019}s manual."
        )));
    }
}
