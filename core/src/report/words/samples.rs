//! Samples that are kept.

use super::{heading, names};
use crate::label::ShortCode;
use crate::report::content::{Align, Paragraph, Piece, Table};
use crate::report::gather::Report;
use crate::say;
use crate::words::Reader;

pub(super) fn samples(pieces: &mut Vec<Piece>, report: &Report, to: Reader) {
    let l = to.language;
    let samples = &report.records.samples;
    if samples.is_empty() {
        return;
    }
    pieces.push(heading(1, say!(l, "Samples kept")));
    let rows = samples.iter().map(|sample| {
        let loads = &report.records.loads;
        let load = loads.iter().find(|load| Some(load.id) == sample.load);
        let until = sample
            .retain_until
            .map_or_else(|| say!(l, "no date set"), |date| date.to_string());
        vec![
            ShortCode::of(sample.id).to_string().into(),
            names::sample(sample.what).said(l).into(),
            load.map_or("", |load| load.name.as_str()).into(),
            sample.place.as_str().into(),
            until.into(),
            sample.notes.as_str().into(),
        ]
    });
    pieces.push(Piece::Table(Table {
        summary: say!(l, "Samples kept"),
        columns: vec![
            (say!(l, "Code"), Align::Text(3)),
            (say!(l, "What"), Align::Text(3)),
            (say!(l, "Load"), Align::Text(2)),
            (say!(l, "Place"), Align::Text(4)),
            (say!(l, "Keep until"), Align::Text(3)),
            (say!(l, "Note"), Align::Text(4)),
        ],
        rows: rows.collect(),
    }));
    pieces.push(Paragraph::small(say!(
        l,
        "A kept pallet stays wrapped as it is: it is measured again later. The code stands on its \
         label."
    )));
}
