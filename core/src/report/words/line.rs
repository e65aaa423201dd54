//! A line: its wrapper, its setups, what was found on it, what was tried, what is proposed.

use super::notes::Notes;
use super::{block, findings, heading, joined, names, setup, trial};
use crate::report::content::{Paragraph, Piece, Row};
use crate::report::gather::{LineReport, Report};
use crate::say;
use crate::survey::LoadVolume;
use crate::words::Reader;

pub(super) fn line(
    pieces: &mut Vec<Piece>,
    report: &Report,
    line: &LineReport,
    notes: &mut Notes,
    to: Reader,
) {
    let l = to.language;
    pieces.push(heading(1, say!(l, "Line: {name}", name = line.line.name)));
    let facts = facts(line, to);
    if !facts.is_empty() {
        pieces.push(Piece::Facts(facts));
    }
    if !line.line.notes.trim().is_empty() {
        pieces.push(Paragraph::plain(line.line.notes.clone()));
    }
    if line.setups.is_empty() {
        pieces.push(Paragraph::plain(say!(
            l,
            "No setup of this line was noted, and nothing measured on it."
        )));
    }
    findings::findings(pieces, report, line, to);
    for setup in &line.setups {
        setup::setup(pieces, report, setup, notes, to);
    }
    for tried in &line.trials {
        trial::trial(pieces, tried, notes, to);
    }
    trial::plans(pieces, report, line, notes, to);
    findings::machine(pieces, report, line, to);
    if let Some(first) = line.setups.first()
        && !first.material.loads.is_empty()
    {
        pieces.push(heading(2, say!(l, "On the way: an estimate for context")));
        let estimate = crate::words::restraint_estimate(&first.material, to);
        block(pieces, &estimate, notes, to);
    }
}

fn facts(line: &LineReport, to: Reader) -> Vec<Row> {
    let l = to.language;
    let line = &line.line;
    let wrapper = &line.wrapper;
    let mut rows = Vec::new();
    let mut add = |label: String, value: String| {
        if !value.trim().is_empty() {
            rows.push(Row {
                label,
                detail: value,
                ..Row::default()
            });
        }
    };
    add(say!(l, "Product"), line.product.clone());
    let kind = names::wrapper(wrapper.kind).said(l);
    add(
        say!(l, "Wrapper"),
        joined([kind, wrapper.make_model.as_str()], ", "),
    );
    let nominal = wrapper
        .nominal_pre_stretch
        .as_ref()
        .map_or_else(String::new, |ratio| ratio.text.clone());
    let stretch = wrapper
        .pre_stretch
        .map_or("", |kind| names::pre_stretch(kind).said(l));
    add(say!(l, "Pre-stretch"), joined([stretch, &nominal], ", "));
    if let Some(rotation) = wrapper.rotation {
        let turns = names::rotation(rotation).said(l);
        add(
            say!(l, "Turns"),
            say!(l, "{way}, seen from above", way = turns),
        );
    }
    add(say!(l, "Condition"), wrapper.condition.clone());
    if let Some(volume) = line.volume {
        let year = crate::words::figures::grouped_count(volume.loads_a_year());
        let said = match volume {
            LoadVolume::PerYear { .. } => say!(l, "{loads} a year", loads = year),
            LoadVolume::PerShift {
                loads,
                shifts_a_day,
                days_a_year,
            } => say!(
                l,
                "{loads} a year: {shift} a shift, {shifts} shifts a day, {days} days a year",
                loads = year,
                shift = loads,
                shifts = shifts_a_day,
                days = days_a_year
            ),
        };
        add(say!(l, "Loads"), said);
    }
    rows
}
