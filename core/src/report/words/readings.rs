//! Every reading as it was written: load by load, zone by zone, face by face, one method to a
//! table.

use super::names;
use crate::analysis::containment::ZoneName;
use crate::chart::FACES;
use crate::report::content::{Align, Cell, Paragraph, Piece, Table};
use crate::say;
use crate::survey::{Face, Load, Reading, Record, Zone};
use crate::units::Method;
use crate::words::{Material, Reader};

pub(super) fn readings<M: Method>(pieces: &mut Vec<Piece>, material: &Material, to: Reader) {
    let l = to.language;
    let by = |reading: &&Record<Reading>| reading.measure.method() == M::ID;
    let all: Vec<&Record<Reading>> = material.readings.iter().flatten().filter(by).collect();
    // A column for each face that was read.
    let faces: Vec<Option<Face>> = FACES
        .iter()
        .map(|(face, _)| *face)
        .filter(|face| all.iter().any(|reading| reading.face == *face))
        .collect();
    let mut rows = Vec::new();
    let mut aside = Vec::new();
    for (load, readings) in material.each_load() {
        let mut own: Vec<&Record<Reading>> = readings.iter().filter(by).collect();
        own.sort_by_key(|reading| (reading.order, reading.id));
        let mut zones: Vec<&Zone> = Vec::new();
        for zone in [Zone::Top, Zone::Middle, Zone::Bottom] {
            if let Some(reading) = own.iter().find(|reading| reading.zone == zone) {
                zones.push(&reading.zone);
            }
        }
        for reading in &own {
            if !zones.contains(&&reading.zone) {
                zones.push(&reading.zone);
            }
        }
        for zone in zones {
            let mut row: Vec<Cell> = vec![load.name.as_str().into(), zone_name(zone, to).into()];
            for face in &faces {
                let here = own
                    .iter()
                    .filter(|reading| reading.zone == *zone && reading.face == *face);
                let said: Vec<String> = here.map(|reading| written(reading)).collect();
                row.push(said.join("; ").into());
            }
            rows.push(row);
        }
        for reading in own {
            aside.extend(set_aside(load, reading, to));
        }
    }
    if rows.is_empty() {
        return;
    }
    let method = names::method(M::ID).said(l);
    let mut columns = vec![
        (say!(l, "Load"), Align::Text(3)),
        (say!(l, "Zone"), Align::Text(2)),
    ];
    columns.extend(faces.iter().map(|face| {
        let one = rows_of_one(&all, *face);
        let align = if one { Align::Figure } else { Align::Text(3) };
        (names::face(*face).said(l).to_owned(), align)
    }));
    pieces.push(Piece::Table(Table {
        summary: say!(l, "Readings as written: {method}", method = method),
        columns,
        rows,
    }));
    if !aside.is_empty() {
        pieces.push(Paragraph::small(say!(
            l,
            "In brackets, set aside and not counted: {readings}.",
            readings = aside.join("; ")
        )));
    }
}

/// Whether no place on a face was read twice, so that its column is of single figures.
fn rows_of_one(all: &[&Record<Reading>], face: Option<Face>) -> bool {
    let on: Vec<_> = all.iter().filter(|reading| reading.face == face).collect();
    on.iter().enumerate().all(|(at, reading)| {
        reading.set_aside.is_none()
            && !on
                .iter()
                .skip(at + 1)
                .any(|other| other.load == reading.load && other.zone == reading.zone)
    })
}

fn written(reading: &Record<Reading>) -> String {
    let text = reading.measure.entered().replace(' ', "\u{a0}");
    if reading.set_aside.is_some() {
        format!("({text})")
    } else {
        text
    }
}

fn set_aside(load: &Record<Load>, reading: &Record<Reading>, to: Reader) -> Option<String> {
    let why = reading.set_aside.as_ref()?.why(to.language);
    let zone = zone_name(&reading.zone, to);
    let text = reading.measure.entered();
    Some(format!("{} {zone} {text}: {why}", load.name))
}

/// A zone, or the height that was given.
fn zone_name(zone: &Zone, to: Reader) -> String {
    match zone {
        Zone::Height(height) => say!(to.language, "At {height}", height = height.text),
        Zone::Top | Zone::Middle | Zone::Bottom => ZoneName::of(zone)
            .map_or_else(String::new, |zone| zone.word().said(to.language).to_owned()),
    }
}
