//! A trial against the setup as found, and what is proposed.

use super::notes::Notes;
use super::{block, heading, names};
use crate::analysis::comparison::{Comparison, FaceResult, ZoneComparison, said_together};
use crate::report::content::{Align, Cell, Chart, Paragraph, Piece, Row, Table};
use crate::report::gather::{LineReport, PlanOf, Report, Trial};
use crate::say;
use crate::units::{Length, Method, PullPlate, TorsionTool};
use crate::words::compare::{self, Pair};
use crate::words::{self, Reader, Tone, figures, plan};

pub(super) fn trial(pieces: &mut Vec<Piece>, trial: &Trial, notes: &mut Notes, to: Reader) {
    let l = to.language;
    let pair = &trial.pair;
    if trial.by_method.torsion.is_none() && trial.by_method.pull.is_none() && trial.film.is_none() {
        return;
    }
    pieces.push(heading(
        2,
        say!(
            l,
            "{new} against {old}",
            new = pair.new.name,
            old = pair.old.name
        ),
    ));
    if let Some(found) = &trial.by_method.torsion {
        by_method::<TorsionTool>(pieces, trial, found, notes, to);
    }
    if let Some(found) = &trial.by_method.pull {
        by_method::<PullPlate>(pieces, trial, found, notes, to);
    }
    pieces.push(heading(3, say!(l, "Film of both")));
    block(
        pieces,
        &compare::film(pair, trial.film.as_ref(), to),
        notes,
        to,
    );
    pieces.push(heading(3, say!(l, "A year: an estimate")));
    let (mut savings, rests_on) = compare::savings(pair, trial.film.as_ref(), to);
    savings.points.extend(rests_on);
    block(pieces, &savings, notes, to);
    sources(pieces, pair, to);
}

/// The verdict on a trial by a method; not judged while no margin is chosen.
pub(super) fn verdict<M: Method>(
    trial: &Trial,
    found: &Comparison<M>,
    to: Reader,
) -> (String, Tone, words::Block) {
    match trial.pair.margin::<M>() {
        Some((margin, beforehand)) => compare::verdict(
            found,
            trial.film.as_ref(),
            margin.force.value,
            beforehand,
            to,
        ),
        None => (
            say!(
                to.language,
                "Not judged: how much less the new setup may hold was not agreed beforehand."
            ),
            Tone::Info,
            words::Block::default(),
        ),
    }
}

fn by_method<M: Method>(
    pieces: &mut Vec<Piece>,
    trial: &Trial,
    found: &Comparison<M>,
    notes: &mut Notes,
    to: Reader,
) {
    let l = to.language;
    let method = names::method(M::ID).said(l);
    pieces.push(heading(
        3,
        say!(l, "Containment force of both: {method}", method = method),
    ));
    let (headline, tone, why) = verdict(trial, found, to);
    pieces.push(Paragraph::lead(headline, Some(tone)));
    if !why.points.is_empty() {
        pieces.push(Piece::Points(why.points));
    }
    pieces.push(Piece::Table(table(found, method, to)));
    let names = [trial.pair.old.name.clone(), trial.pair.new.name.clone()];
    let judged = trial.pair.margin::<M>().is_some();
    if let Some(chart) = compare::chart(found, names, judged, to) {
        pieces.push(Piece::Chart(Box::new(Chart::Compare(chart))));
    }
    let assumptions = said_together(&found.assumptions, l);
    notes.cite(pieces, &assumptions, to);
}

fn table<M: Method>(found: &Comparison<M>, method: &str, to: Reader) -> Table {
    let l = to.language;
    let mut rows = Vec::new();
    for zone in &found.zones {
        for face in &zone.faces {
            rows.push(row(zone, face, to));
        }
    }
    Table {
        summary: say!(l, "The two setups zone by zone: {method}", method = method),
        columns: vec![
            (say!(l, "Zone"), Align::Text(4)),
            (say!(l, "Mean, old"), Align::Figure),
            (say!(l, "Mean, new"), Align::Figure),
            (say!(l, "New less old"), Align::Figure),
            (say!(l, "95 % between"), Align::Text(4)),
            (say!(l, "At worst"), Align::Figure),
            (say!(l, "Lower bound, new"), Align::Figure),
            (say!(l, "Bound less target"), Align::Figure),
        ],
        rows,
    }
}

fn row<M: Method>(zone: &ZoneComparison<M>, face: &FaceResult<M>, to: Reader) -> Vec<Cell> {
    let l = to.language;
    let units = to.units;
    let name = zone.zone.word().said(l);
    let length = face
        .face_length_m
        .filter(|_| zone.face_by_face())
        .and_then(|m| Length::from_m(m).ok());
    let name = length.map_or_else(
        || name.to_owned(),
        |length| {
            let length = figures::length(length, units);
            say!(l, "{zone}, {length} faces", zone = name, length = length)
        },
    );
    let mean = |side: Option<&crate::analysis::comparison::SideResult>| {
        side.map_or_else(
            || say!(l, "not read"),
            |side| figures::newtons(side.summary.mean, units),
        )
    };
    let difference = face.difference.as_ref();
    let signed = |n: Option<f64>| n.map_or_else(String::new, |n| figures::signed(n, units));
    let between = difference.map_or_else(String::new, |of| {
        say!(
            l,
            "{low} and {high}",
            low = figures::signed(of.interval.low, units),
            high = figures::signed(of.interval.high, units)
        )
    });
    let over = face.over_target_n;
    vec![
        name.into(),
        mean(face.old.as_ref()).into(),
        mean(face.new.as_ref()).into(),
        signed(difference.map(|of| of.welch.difference)).into(),
        between.into(),
        signed(difference.map(|of| of.lower)).into(),
        face.bound
            .as_ref()
            .map_or_else(String::new, |of| figures::newtons(of.bound.max(0.0), units))
            .into(),
        Cell {
            text: signed(over),
            good: over.map(|over| over >= 0.0),
        },
    ]
}

/// Where the figures of the savings come from.
fn sources(pieces: &mut Vec<Piece>, pair: &Pair, to: Reader) {
    let l = to.language;
    let factors = &pair.line.factors;
    let of = [
        (&factors.roll_change, say!(l, "minutes a roll change")),
        (&factors.film_break, say!(l, "minutes a film break")),
        (&factors.labour, say!(l, "for an hour of work")),
        (&factors.co2e, say!(l, "kg CO2e a kg of film")),
        (&factors.levy, say!(l, "levy a tonne")),
        (
            &factors.levy_free_from,
            say!(l, "of recycled content frees of the levy"),
        ),
    ];
    let said: Vec<String> = of
        .into_iter()
        .filter_map(|(factor, what)| {
            let factor = factor.as_ref()?;
            let value = figures::decimal(factor.value, 4, to.units);
            let year = factor.year.map(|year| year.to_string()).unwrap_or_default();
            let from = super::joined([factor.source.as_str(), &year], ", ");
            Some(if from.is_empty() {
                say!(
                    l,
                    "{value} {what} (no source given)",
                    value = value,
                    what = what
                )
            } else {
                say!(
                    l,
                    "{value} {what} ({source})",
                    value = value,
                    what = what,
                    source = from
                )
            })
        })
        .collect();
    if !said.is_empty() {
        pieces.push(Paragraph::small(say!(
            l,
            "Worked out with {figures}.",
            figures = said.join("; ")
        )));
    }
}

/// What is proposed from the setup as found, by each method it was read by.
pub(super) fn plans(
    pieces: &mut Vec<Piece>,
    report: &Report,
    line: &LineReport,
    notes: &mut Notes,
    to: Reader,
) {
    let Some(from) = &line.planned_from else {
        return;
    };
    if line.plans.torsion.is_none() && line.plans.pull.is_none() {
        return;
    }
    pieces.push(heading(
        2,
        say!(to.language, "Proposed, starting from {setup}", setup = from),
    ));
    if let Some(plan) = &line.plans.torsion {
        plan_by(pieces, report, plan, notes, to);
    }
    if let Some(plan) = &line.plans.pull {
        plan_by(pieces, report, plan, notes, to);
    }
}

fn plan_by<M: Method>(
    pieces: &mut Vec<Piece>,
    report: &Report,
    found: &PlanOf<M>,
    notes: &mut Notes,
    to: Reader,
) {
    let l = to.language;
    let method = names::method(M::ID).said(l);
    pieces.push(heading(
        3,
        say!(
            l,
            "By the readings of the {method}",
            method = method.to_lowercase()
        ),
    ));
    let found = match found {
        Ok(found) => found.as_ref(),
        Err(error) => {
            pieces.push(Paragraph::plain(plan::no_plan(error, l)));
            return;
        }
    };
    let (headline, tone) = plan::headline(found, to);
    pieces.push(Paragraph::lead(headline, Some(tone)));
    if let Some(best) = plan::proposed(found) {
        let offer = plan::offer(found, best, "", &report.records.film_rolls, to);
        let label = say!(l, "Programme (an estimate):");
        pieces.push(Paragraph::headed(label, offer.programme));
        pieces.push(Paragraph::headed(
            say!(l, "Film (an estimate):"),
            figures::sentence(&offer.film),
        ));
    }
    let caution = plan::caution(found, to);
    if !caution.is_empty() {
        pieces.push(Paragraph::headed(say!(l, "Before it is used:"), caution));
    }
    let shown = found.found.best.as_ref().unwrap_or(&found.now);
    let zones = plan::zones(found, shown, to);
    block(pieces, &zones, notes, to);
    let trade = plan::trade(found, to);
    if !trade.curve.is_empty() {
        pieces.push(Piece::Chart(Box::new(Chart::Trade(trade))));
    }
    let less = plan::why_not_less(found, to);
    if !less.facts.is_empty() {
        pieces.push(Paragraph::headed(say!(l, "Why not still less film:"), ""));
        block(pieces, &less, notes, to);
    }
    let others: Vec<Row> = found
        .alternatives
        .iter()
        .map(|other| {
            let title = plan::change(other.change).said(l);
            let offer = plan::offer(
                found,
                &other.candidate,
                title,
                &report.records.film_rolls,
                to,
            );
            Row {
                label: offer.title,
                value: offer.film,
                detail: offer.programme,
            }
        })
        .collect();
    if !others.is_empty() {
        pieces.push(Paragraph::headed(say!(l, "With less changed:"), ""));
        pieces.push(Piece::Facts(others));
    }
    let basis = plan::basis(found, &report.records.film_rolls, to);
    pieces.push(Paragraph::headed(say!(l, "What it rests on:"), ""));
    block(pieces, &basis, notes, to);
}
