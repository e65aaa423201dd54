//! Containment force of a setup by one method: zone by zone against the targets, and drawn.

use super::notes::Notes;
use super::{heading, names};
use crate::analysis::containment::{ContainmentResult, ZoneVerdict};
use crate::report::content::{Align, Cell, Chart, Paragraph, Piece, Row, Table};
use crate::units::Method;
use crate::words::{self, Material, Reader, ZoneWords};
use crate::{say, say_count};

pub(super) fn containment<M: Method>(
    pieces: &mut Vec<Piece>,
    material: &Material,
    result: &ContainmentResult<M>,
    notes: &mut Notes,
    to: Reader,
) {
    let l = to.language;
    let method = names::method(M::ID).said(l);
    pieces.push(heading(
        3,
        say!(l, "Containment force: {method}", method = method),
    ));
    let (headline, tone) = words::headline(result, to);
    pieces.push(Paragraph::lead(headline, Some(tone)));
    let flagged = words::flagged::<M>(material, to);
    let zones: Vec<ZoneWords> = result
        .zones
        .iter()
        .map(|zone| words::zone_words(zone, to, result.rule, &flagged))
        .collect();
    pieces.push(Piece::Table(table(&zones, method, to)));
    let mut said: Vec<String> = Vec::new();
    for zone in &zones {
        let name = zone.zone.word().said(l);
        let warnings = std::iter::once(&zone.warning).chain(&zone.more.points);
        said.extend(
            warnings
                .filter(|text| !text.is_empty())
                .map(|text| format!("{name}: {text}")),
        );
    }
    pieces.push(Piece::Points(said));
    let side = words::side(material, result, to);
    if !side.readings.is_empty() {
        pieces.push(Piece::Chart(Box::new(Chart::Side(side))));
    }
    let more: Vec<Row> = zones
        .iter()
        .flat_map(|zone| {
            let name = zone.zone.word().said(l);
            zone.more.facts.iter().map(move |fact| Row {
                label: format!("{name}: {}", fact.label),
                ..Row::from(fact)
            })
        })
        .collect();
    if !more.is_empty() {
        pieces.push(Piece::Facts(more));
    }
    notes.cite(pieces, &words::notes(result, to), to);
}

/// Zone by zone.
fn table(zones: &[ZoneWords], method: &str, to: Reader) -> Table {
    let l = to.language;
    let rows = zones.iter().map(|zone| {
        let (verdict, good) = verdict(zone.verdict, zone.unsure, to);
        vec![
            zone.zone.word().said(l).into(),
            zone.count.to_string().into(),
            zone.lowest.as_str().into(),
            zone.mean.as_str().into(),
            zone.interval.as_str().into(),
            zone.deviation.as_str().into(),
            zone.target.as_str().into(),
            zone.margin.as_str().into(),
            Cell {
                text: verdict,
                good,
            },
        ]
    });
    Table {
        summary: say!(
            l,
            "Containment force zone by zone: {method}",
            method = method
        ),
        columns: vec![
            (say!(l, "Zone"), Align::Text(2)),
            (say!(l, "Readings"), Align::Figure),
            (say!(l, "Lowest"), Align::Figure),
            (say!(l, "Mean"), Align::Figure),
            (say!(l, "Mean, 95 % between"), Align::Text(4)),
            (say!(l, "Standard deviation"), Align::Figure),
            (say!(l, "Target"), Align::Figure),
            (say!(l, "Lowest less target"), Align::Figure),
            (say!(l, "Verdict"), Align::Text(3)),
        ],
        rows: rows.collect(),
    }
}

/// How a zone stands, and whether that is good.
pub(super) fn verdict(verdict: ZoneVerdict, unsure: bool, to: Reader) -> (String, Option<bool>) {
    let l = to.language;
    match verdict {
        ZoneVerdict::Reaches if unsure => (say!(l, "reaches it, not sure yet"), None),
        ZoneVerdict::NotMeasured => (say!(l, "not measured"), None),
        ZoneVerdict::NoTarget => (say!(l, "no target"), None),
        ZoneVerdict::Reaches => (say!(l, "reaches it"), Some(true)),
        ZoneVerdict::Below => (say!(l, "below"), Some(false)),
    }
}

/// How many loads of a setup were read.
pub(super) fn read<M: Method>(material: &Material, to: Reader) -> String {
    let read = material
        .readings
        .iter()
        .filter(|readings| readings.iter().any(|of| words::is_in_use::<M>(of)));
    say_count!(to.language, read.count(), "{n} load read", "{n} loads read")
}
