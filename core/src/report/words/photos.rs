//! The pictures, by what they show.

use super::{heading, names};
use crate::report::content::{Picture, Piece};
use crate::report::gather::Report;
use crate::say;
use crate::survey::{Kind, RecordRef};
use crate::words::Reader;

pub(super) fn photos(pieces: &mut Vec<Piece>, report: &Report, to: Reader) {
    let l = to.language;
    if report.photos.is_empty() {
        return;
    }
    pieces.push(heading(1, say!(l, "Pictures")));
    for (of, photos) in &report.photos {
        let subject = subject(report, *of, to);
        let shown = photos.iter().enumerate().map(|(at, photo)| {
            let number = at + 1;
            let caption = photo.caption.trim();
            let named = if photos.len() > 1 {
                format!("{subject}, {number}")
            } else {
                subject.clone()
            };
            let said = if caption.is_empty() {
                named
            } else {
                say!(
                    l,
                    "{subject}: {caption}",
                    subject = named,
                    caption = caption
                )
            };
            Picture {
                photo: photo.body.clone(),
                spoken: say!(l, "Picture. {caption}", caption = said),
                caption: said,
                instead: say!(
                    l,
                    "The file of this picture is missing or damaged. It is still on the device \
                     that took it, or in that day\u{2019}s file."
                ),
            }
        });
        pieces.push(Piece::Photos(shown.collect()));
    }
}

/// What a picture shows, by name.
fn subject(report: &Report, of: RecordRef, to: Reader) -> String {
    let l = to.language;
    let all = &report.records;
    let load = |id: uuid::Uuid| {
        let load = all.loads.iter().find(|load| load.id.uuid() == id);
        load.map_or_else(String::new, |load| load.name.clone())
    };
    match of.kind {
        Kind::Line => {
            let line = all.lines.iter().find(|line| line.id.uuid() == of.id);
            line.map_or_else(String::new, |line| say!(l, "Line {name}", name = line.name))
        }
        Kind::Setup => {
            let setup = all.setups.iter().find(|setup| setup.id.uuid() == of.id);
            setup.map_or_else(String::new, |setup| setup.name.clone())
        }
        Kind::Load => load(of.id),
        Kind::Reading => {
            let reading = all
                .readings
                .iter()
                .find(|reading| reading.id.uuid() == of.id);
            reading.map_or_else(String::new, |reading| {
                let value = reading.measure.entered();
                let name = load(reading.load.uuid());
                say!(l, "{load}, reading of {value}", load = name, value = value)
            })
        }
        Kind::MachineCheck => {
            let check = all
                .machine_checks
                .iter()
                .find(|check| check.id.uuid() == of.id);
            check.map_or_else(String::new, |check| {
                names::item(check.item).said(l).to_owned()
            })
        }
        Kind::Sample => say!(l, "Kept sample"),
        Kind::Visit => say!(l, "The site"),
        _ => say!(l, "Picture"),
    }
}
