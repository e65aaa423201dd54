//! A setup: its film and settings, what was read on its loads, the film it took.

use super::notes::Notes;
use super::{block, containment, heading, joined, names, readings};
use crate::report::content::{Align, Cell, Paragraph, Piece, Row, Table};
use crate::report::gather::{Report, SetupReport};
use crate::say;
use crate::survey::{FilmRoll, PalletFit, Record, Settings, Spiral};
use crate::units::{PullPlate, TorsionTool};
use crate::words::{self, Material, Reader, figures};

pub(super) fn setup(
    pieces: &mut Vec<Piece>,
    report: &Report,
    setup: &SetupReport,
    notes: &mut Notes,
    to: Reader,
) {
    let l = to.language;
    let material = &setup.material;
    let role = names::role(material.setup.role).said(l);
    let name = material.setup.name.as_str();
    let title = if name.eq_ignore_ascii_case(role) {
        say!(l, "Setup: {name}", name = name)
    } else {
        say!(l, "Setup: {name} ({role})", name = name, role = role)
    };
    pieces.push(heading(2, title));
    let facts = facts(material, to);
    if !facts.is_empty() {
        pieces.push(Piece::Facts(facts));
    }
    if !material.setup.notes.trim().is_empty() {
        pieces.push(Paragraph::plain(material.setup.notes.clone()));
    }
    loads(pieces, material, to);
    if let Some(result) = &setup.by_method.torsion {
        containment::containment::<TorsionTool>(pieces, material, result, notes, to);
        readings::readings::<TorsionTool>(pieces, material, to);
        said_of_method::<TorsionTool>(pieces, report, material, notes, to);
    }
    if let Some(result) = &setup.by_method.pull {
        containment::containment::<PullPlate>(pieces, material, result, notes, to);
        readings::readings::<PullPlate>(pieces, material, to);
        said_of_method::<PullPlate>(pieces, report, material, notes, to);
    }
    if setup.by_method.torsion.is_none() && setup.by_method.pull.is_none() {
        pieces.push(Paragraph::plain(say!(
            l,
            "The containment force of this setup was not measured."
        )));
    }
    film(pieces, report, material, notes, to);
}

/// What came of a plan, how far people differ, what is left of the force later.
fn said_of_method<M: crate::units::Method>(
    pieces: &mut Vec<Piece>,
    report: &Report,
    material: &Material,
    notes: &mut Notes,
    to: Reader,
) {
    let l = to.language;
    let method = names::method(M::ID).said(l);
    let outcome = words::plan::outcome::<M>(&report.records, &material.setup, to);
    if !outcome.is_empty() {
        pieces.push(heading(
            3,
            say!(l, "Planned and measured: {method}", method = method),
        ));
        block(pieces, &outcome, notes, to);
    }
    let people = words::people::<M>(material, to);
    if !people.facts.is_empty() {
        pieces.push(heading(
            3,
            say!(l, "People and tools: {method}", method = method),
        ));
        block(pieces, &people, notes, to);
    }
    if let Some(kept) = words::kept_chart::<M>(material, to) {
        pieces.push(heading(
            3,
            say!(l, "Force left later: {method}", method = method),
        ));
        block(pieces, &words::relaxing::<M>(material, to), notes, to);
        pieces.push(Piece::Chart(Box::new(crate::report::content::Chart::Kept(
            kept,
        ))));
    }
}

fn turns(value: Option<f64>, to: Reader) -> String {
    value.map_or_else(String::new, |turns| figures::decimal(turns, 2, to.units))
}

fn spiral(spiral: Option<&Spiral>, to: Reader) -> String {
    match spiral {
        None => String::new(),
        Some(Spiral::Pitch(pitch)) => say!(to.language, "{pitch} a turn", pitch = pitch.text),
        Some(Spiral::Overlap(overlap)) => {
            say!(to.language, "{overlap} overlap", overlap = overlap.text)
        }
    }
}

fn facts(material: &Material, to: Reader) -> Vec<Row> {
    let l = to.language;
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
    if let Some(roll) = &material.roll {
        add(say!(l, "Film"), film_words(roll, to));
        let price = roll.price.as_ref().map_or_else(String::new, |price| {
            let amount = figures::decimal(price.amount, 2, to.units);
            let code = price.currency.as_str();
            match price.per {
                crate::survey::PricePer::Pound => {
                    say!(l, "{amount} {code} a pound", amount = amount, code = code)
                }
                crate::survey::PricePer::Kilogram => {
                    say!(
                        l,
                        "{amount} {code} a kilogram",
                        amount = amount,
                        code = code
                    )
                }
                crate::survey::PricePer::Roll => {
                    say!(l, "{amount} {code} a roll", amount = amount, code = code)
                }
            }
        });
        add(say!(l, "Price of the film"), price);
    }
    let Settings {
        start_height,
        bottom_turns,
        top_turns,
        up,
        down,
        over_top,
        film_force,
        pre_stretch,
    } = &material.setup.settings;
    let text = |value: &Option<crate::units::Entered<crate::units::Length>>| {
        value
            .as_ref()
            .map_or_else(String::new, |value| value.text.clone())
    };
    add(say!(l, "Turns at the bottom"), turns(*bottom_turns, to));
    add(say!(l, "Turns at the top"), turns(*top_turns, to));
    add(say!(l, "Up"), spiral(up.as_ref(), to));
    add(say!(l, "Down"), spiral(down.as_ref(), to));
    add(say!(l, "First turn at"), text(start_height));
    add(say!(l, "Over the top"), text(over_top));
    add(say!(l, "Film force set"), film_force.clone());
    let stretch = pre_stretch
        .as_ref()
        .map_or_else(String::new, |of| of.text.clone());
    add(say!(l, "Pre-stretch set"), stretch);
    rows
}

/// A roll of film in one line.
fn film_words(roll: &Record<FilmRoll>, to: Reader) -> String {
    let l = to.language;
    let text = |text: Option<&String>| text.cloned().unwrap_or_default();
    let recycled = roll
        .recycled_content
        .as_ref()
        .map_or_else(String::new, |of| {
            say!(l, "{share} recycled", share = of.text)
        });
    let mass = roll
        .net_mass
        .as_ref()
        .map_or_else(String::new, |of| say!(l, "{mass} net", mass = of.text));
    joined(
        [
            roll.name.as_str(),
            &text(roll.nominal_thickness.as_ref().map(|of| &of.text)),
            &text(roll.width.as_ref().map(|of| &of.text)),
            &text(roll.length.as_ref().map(|of| &of.text)),
            &mass,
            roll.cling.map_or("", |side| names::cling(side).said(l)),
            &recycled,
        ],
        ", ",
    )
}

/// The loads that were wrapped.
fn loads(pieces: &mut Vec<Piece>, material: &Material, to: Reader) {
    let l = to.language;
    if material.loads.is_empty() {
        return;
    }
    let rows = material.loads.iter().map(|load| {
        let sides: Vec<&str> = [&load.length, &load.width, &load.height]
            .into_iter()
            .filter_map(|side| side.as_ref())
            .map(|side| side.text.as_str())
            .collect();
        let fit = match &load.pallet_fit {
            None => String::new(),
            Some(PalletFit::Flush) => say!(l, "flush with the pallet"),
            Some(PalletFit::Overhang(by)) => say!(l, "{by} overhang", by = by.text),
            Some(PalletFit::Inset(by)) => say!(l, "{by} inset", by = by.text),
        };
        let breaks = load.film_breaks.map_or_else(String::new, |n| {
            let n = usize::try_from(n).unwrap_or(usize::MAX);
            crate::say_count!(l, n, "{n} film break", "{n} film breaks")
        });
        let width = material
            .widths
            .iter()
            .find(|width| width.load == load.id)
            .map_or_else(String::new, |width| {
                say!(l, "film {width} wide", width = width.value.text)
            });
        let more = joined(
            [
                load.stability
                    .map_or("", |kind| names::stability(kind).said(l)),
                &fit,
                load.tail.map_or("", |tail| names::tail(tail).said(l)),
                &breaks,
                &width,
                load.damage.as_str(),
                load.notes.as_str(),
            ],
            ", ",
        );
        vec![
            load.name.as_str().into(),
            sides.join(" \u{d7} ").into(),
            load.mass
                .as_ref()
                .map_or("", |mass| mass.text.as_str())
                .into(),
            Cell::from(more),
        ]
    });
    pieces.push(Piece::Table(Table {
        summary: say!(l, "Loads wrapped with this setup"),
        columns: vec![
            (say!(l, "Load"), Align::Text(3)),
            (say!(l, "Length \u{d7} width \u{d7} height"), Align::Text(4)),
            (say!(l, "Mass"), Align::Text(2)),
            (say!(l, "As seen"), Align::Text(6)),
        ],
        rows: rows.collect(),
    }));
}

/// The film weighed, its balance, how it was stretched, how often it broke.
fn film(
    pieces: &mut Vec<Piece>,
    report: &Report,
    material: &Material,
    notes: &mut Notes,
    to: Reader,
) {
    let l = to.language;
    let stretch = words::stretch(material, to);
    let counts: Vec<_> = report
        .records
        .film_breaks
        .iter()
        .filter(|of| of.setup == material.setup.id)
        .cloned()
        .collect();
    let breaks = words::breaks(material, &counts, to);
    if material.weights.is_empty() && stretch.is_empty() && breaks.is_empty() {
        return;
    }
    pieces.push(heading(3, say!(l, "Film")));
    if let Some(film) = crate::analysis::film::film_per_load(&material.weights, &material.tools) {
        let loads = usize::try_from(film.loads).unwrap_or(usize::MAX);
        pieces.push(Paragraph::headed(
            say!(
                l,
                "{mass} a load",
                mass = figures::film_mass(film.mass, to.units)
            ),
            crate::say_count!(
                l,
                loads,
                "from the film of {n} load.",
                "from the film of {n} loads."
            ),
        ));
        weights(pieces, material, to);
        block(pieces, &words::balance(material, to), notes, to);
    }
    block(pieces, &stretch, notes, to);
    block(pieces, &breaks, notes, to);
}

fn weights(pieces: &mut Vec<Piece>, material: &Material, to: Reader) {
    let l = to.language;
    let rows = material.weights.iter().map(|weight| {
        let load = material.loads.iter().find(|load| load.id == weight.load);
        let tare = weight.tare.as_ref();
        let net = weight.gross.value.kg() - tare.map_or(0.0, |tare| tare.value.kg());
        let each = net / f64::from(weight.loads_together.max(1));
        vec![
            load.map_or("", |load| load.name.as_str()).into(),
            weight.gross.text.as_str().into(),
            tare.map_or("", |tare| tare.text.as_str()).into(),
            Cell::from(weight.loads_together.to_string()),
            figures::film(each, to.units).into(),
        ]
    });
    pieces.push(Piece::Table(Table {
        summary: say!(l, "Weighings of film"),
        columns: vec![
            (say!(l, "Load"), Align::Text(3)),
            (say!(l, "Gross"), Align::Figure),
            (say!(l, "Tare"), Align::Figure),
            (say!(l, "Loads together"), Align::Figure),
            (say!(l, "Film a load"), Align::Figure),
        ],
        rows: rows.collect(),
    }));
}
