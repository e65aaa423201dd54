//! How it was measured, and what to take care of.

use super::{heading, joined, names};
use crate::report::content::{Align, Cell, Paragraph, Piece, Table};
use crate::report::gather::Report;
use crate::say;
use crate::survey::{Measure, Moment, Record, TargetOrigin, Tool, Zone};
use crate::units::MethodId;
use crate::words::Reader;
use crate::words::dates::short_date;

pub(super) fn measured(pieces: &mut Vec<Piece>, report: &Report, to: Reader) {
    let l = to.language;
    pieces.push(heading(1, say!(l, "How it was measured")));
    let used = |method: MethodId| {
        let mut readings = report.records.readings.iter();
        readings.any(|reading| reading.measure.method() == method)
    };
    if used(MethodId::TorsionTool) {
        pieces.push(Paragraph::headed(
            say!(l, "Torsion tool."),
            say!(
                l,
                "The tool is hooked into the film and turned; the force its lever takes is read. \
                 Such readings compare with readings of the same kind of tool only, taken the same \
                 way."
            ),
        ));
    }
    if used(MethodId::PullPlate) {
        pieces.push(Paragraph::headed(
            say!(l, "Pull plate."),
            say!(
                l,
                "A round plate behind the film is pulled off the load a set distance, and the force \
                 is read. A shorter face reads more for the same film, so the length of the face \
                 belongs to the reading."
            ),
        ));
        pull(pieces, report, to);
    }
    pieces.push(Paragraph::plain(say!(
        l,
        "The two methods answer different questions. No table, mean or chart of this report holds \
         readings of both, and no factor turns one into the other."
    )));
    pieces.push(Paragraph::plain(say!(
        l,
        "A zone reaches its target when its lowest reading does. Intervals are of the mean, 95 % \
         sure, after Student. The lower bound is a tolerance bound: most of all such \
         readings lie above it, as sure as is said beside it."
    )));
    tools(pieces, report, to);
    targets(pieces, report, to);
}

/// How far plates were pulled, where that was written.
fn pull(pieces: &mut Vec<Piece>, report: &Report, to: Reader) {
    let mut pulled: Vec<&str> = Vec::new();
    for reading in &report.records.readings {
        if let Measure::PullPlate(of) = &reading.measure
            && let Some(distance) = &of.pulled
            && !pulled.contains(&distance.text.as_str())
        {
            pulled.push(&distance.text);
        }
    }
    if !pulled.is_empty() {
        pieces.push(Paragraph::plain(say!(
            to.language,
            "The plate was pulled {distances}.",
            distances = pulled.join(", ")
        )));
    }
}

fn tools(pieces: &mut Vec<Piece>, report: &Report, to: Reader) {
    let l = to.language;
    if report.records.tools.is_empty() {
        return;
    }
    let rows = report.records.tools.iter().map(|tool| {
        let (state, good) = state(report, tool, to);
        let text = |text: Option<&String>| text.cloned().unwrap_or_default();
        let steps = joined(
            [
                text(tool.force_step.as_ref().map(|of| &of.text)).as_str(),
                &text(tool.mass_step.as_ref().map(|of| &of.text)),
                &text(tool.thickness_step.as_ref().map(|of| &of.text)),
            ],
            ", ",
        );
        vec![
            tool.name.as_str().into(),
            names::tool(tool.kind).said(l).into(),
            steps.into(),
            Cell { text: state, good },
        ]
    });
    pieces.push(Piece::Table(Table {
        summary: say!(l, "Tools that were used"),
        columns: vec![
            (say!(l, "Tool"), Align::Text(4)),
            (say!(l, "Kind"), Align::Text(3)),
            (say!(l, "Reads to"), Align::Text(2)),
            (say!(l, "Last check against a known weight"), Align::Text(4)),
        ],
        rows: rows.collect(),
    }));
}

/// When a tool was last checked, and whether that still held when it was last used here.
fn state(report: &Report, tool: &Record<Tool>, to: Reader) -> (String, Option<bool>) {
    let l = to.language;
    let used = report
        .records
        .readings
        .iter()
        .filter(|reading| reading.tool == Some(tool.id) && reading.set_aside.is_none())
        .map(|reading| reading.taken_at)
        .chain(
            report
                .records
                .film_weights
                .iter()
                .filter(|weight| weight.tool == Some(tool.id))
                .map(|weight| weight.taken_at),
        )
        .max();
    let day = |at: Moment| short_date(at.date_time().date_naive(), l);
    let checked = tool.checked_at.map_or_else(|| say!(l, "not noted"), day);
    match used.and_then(|used| tool.check_overdue(used)) {
        Some(true) => (
            say!(l, "{when}: past its time when used here", when = checked),
            Some(false),
        ),
        Some(false) => (
            say!(l, "{when}: held when used here", when = checked),
            Some(true),
        ),
        None => (checked, None),
    }
}

/// The targets with where they come from.
fn targets(pieces: &mut Vec<Piece>, report: &Report, to: Reader) {
    let l = to.language;
    if report.records.targets.is_empty() {
        pieces.push(Paragraph::plain(say!(
            l,
            "There is no target: nothing is judged. A target is the customer\u{2019}s own standard, \
             or derived from ten or more loads known to have arrived undamaged."
        )));
        return;
    }
    let rows = report.records.targets.iter().map(|target| {
        let lines = &report.records.lines;
        let line = target
            .line
            .and_then(|id| lines.iter().find(|line| line.id == id))
            .map_or_else(|| say!(l, "all lines"), |line| line.name.clone());
        let zone = match &target.zone {
            Zone::Height(height) => say!(l, "At {height}", height = height.text),
            zone => crate::analysis::containment::ZoneName::of(zone)
                .map_or_else(String::new, |zone| zone.word().said(l).to_owned()),
        };
        let faces = target
            .face_length
            .as_ref()
            .map_or_else(String::new, |length| {
                say!(l, "{length} faces", length = length.text)
            });
        let class = target
            .stability
            .map_or("", |kind| names::stability(kind).said(l));
        let origin = match &target.origin {
            TargetOrigin::CustomerStandard { reference } if reference.trim().is_empty() => {
                say!(l, "the customer\u{2019}s own")
            }
            TargetOrigin::CustomerStandard { reference } => {
                say!(
                    l,
                    "the customer\u{2019}s own: {reference}",
                    reference = reference
                )
            }
            TargetOrigin::ShippedLoads { loads } => crate::say_count!(
                l,
                loads.len(),
                "from {n} load that shipped undamaged",
                "from {n} loads that shipped undamaged"
            ),
        };
        vec![
            line.into(),
            names::method(target.minimum.method).said(l).into(),
            joined([zone.as_str(), &faces, class], ", ").into(),
            target.minimum.entered().into(),
            Cell::from(origin),
        ]
    });
    pieces.push(Piece::Table(Table {
        summary: say!(l, "Targets and where they come from"),
        columns: vec![
            (say!(l, "Line"), Align::Text(4)),
            (say!(l, "Method"), Align::Text(3)),
            (say!(l, "Zone"), Align::Text(4)),
            (say!(l, "Target"), Align::Figure),
            (say!(l, "Where it comes from"), Align::Text(4)),
        ],
        rows: rows.collect(),
    }));
}

/// What to take care of. Each defers to the site's rules and local law.
pub(super) fn care(pieces: &mut Vec<Piece>, to: Reader) {
    let l = to.language;
    pieces.push(heading(1, say!(l, "Cautions")));
    pieces.push(Piece::Points(vec![
        say!(
            l,
            "Settings are changed at the panel only, by the operator or with the operator, guards \
             closed and nobody near the load while it wraps."
        ),
        say!(
            l,
            "Anything in the machine is for a qualified technician, with the machine isolated and \
             locked out by the site\u{2019}s authorised person under the site\u{2019}s own procedure. \
             Guards and interlocks stay in place."
        ),
        say!(
            l,
            "Before cutting film: the load may fall when it is released. Stand clear of where it \
             leans, blade guarded and away from the body."
        ),
        say!(
            l,
            "A proposal is an estimate. Wrap one load so, read it at top, middle and bottom, and \
             weigh its film before anything ships on it."
        ),
        say!(l, "Site rules and local law come first, before anything this report says."),
    ]));
}
