//! One load as text: what it is and every reading as it was entered.

use tautbook_core::survey::{Load, PalletFit, Reading, Record, RecordSet, Zone};
use tautbook_core::units::MethodId;

use super::table::labelled;
use super::text::{entered, in_use};
use super::words::{capital, count, joined, word};

/// Writes a load.
pub(super) fn load(text: &mut String, all: &RecordSet, load: &Record<Load>) {
    let sides: Vec<&str> = [&load.length, &load.width, &load.height]
        .iter()
        .filter_map(|side| side.as_ref())
        .map(|side| side.text.as_str())
        .collect();
    let fit = match &load.pallet_fit {
        None => String::new(),
        Some(PalletFit::Flush) => "flush".to_owned(),
        Some(PalletFit::Overhang(by)) => format!("overhang {}", by.text),
        Some(PalletFit::Inset(by)) => format!("inset {}", by.text),
    };
    let width = in_use(&all.film_widths)
        .find(|width| width.load == load.id)
        .map_or(String::new(), |width| {
            format!("film {} wide", width.value.text)
        });
    let parts = [
        sides.join(" × "),
        entered(load.mass.as_ref()).to_owned(),
        load.stability.map_or(String::new(), |kind| word(&kind)),
        fit,
        load.tail
            .map_or(String::new(), |tail| format!("tail {}", word(&tail))),
        load.film_breaks
            .map_or(String::new(), |n| count(n, "film break")),
        width,
        load.damage.clone(),
        load.notes.clone(),
    ];
    let parts: Vec<&str> = parts.iter().map(String::as_str).collect();
    text.push('\n');
    text.push_str(&labelled(
        "",
        &joined(&[&load.name, &joined(&parts, ", ")], ": "),
        2,
        0,
    ));
    for method in MethodId::ALL {
        readings(text, all, load, method);
    }
    for weight in in_use(&all.film_weights).filter(|weight| weight.load == load.id) {
        let tare = entered(weight.tare.as_ref());
        let line = format!(
            "{} gross{} for {}",
            weight.gross.text,
            if tare.is_empty() {
                String::new()
            } else {
                format!(", {tare} tare,")
            },
            count(weight.loads_together, "load")
        );
        text.push_str(&labelled("Weighed", &line, 4, 14));
    }
}

/// The readings by one method, a line for each zone, in the order of taking.
fn readings(text: &mut String, all: &RecordSet, load: &Record<Load>, method: MethodId) {
    let mut zones: Vec<(String, Vec<String>)> = ["top", "middle", "bottom"]
        .map(|zone| (zone.to_owned(), Vec::new()))
        .to_vec();
    let mut taken: Vec<&Record<Reading>> = all
        .readings
        .iter()
        .filter(|reading| reading.load == load.id && reading.measure.method() == method)
        .collect();
    taken.sort_by_key(|reading| (reading.order, reading.id));
    for reading in taken {
        let zone = match &reading.zone {
            Zone::Top => "top".to_owned(),
            Zone::Middle => "middle".to_owned(),
            Zone::Bottom => "bottom".to_owned(),
            Zone::Height(height) => format!("at {}", height.text),
        };
        let place = match zones.iter().position(|(name, _)| *name == zone) {
            Some(place) => place,
            None => {
                zones.push((zone, Vec::new()));
                zones.len() - 1
            }
        };
        if let Some((_, values)) = zones.get_mut(place) {
            values.push(value(reading));
        }
    }
    let mut label = capital(&method.as_str().replace('_', " "));
    for (zone, values) in zones.iter().filter(|(_, values)| !values.is_empty()) {
        let line = values.join(" · ");
        text.push_str(&labelled(&format!("{label:<14}{zone}"), &line, 4, 22));
        label.clear();
    }
}

/// `3 lb 5 oz front`, or `(1 lb 2 oz front, set aside: film tore)`.
fn value(reading: &Record<Reading>) -> String {
    let face = reading.face.map_or(String::new(), |face| word(&face));
    // A reading is not broken over two lines.
    let shown = joined(&[reading.measure.entered(), &face], " ").replace(' ', "\u{a0}");
    match &reading.set_aside {
        None => shown,
        Some(aside) => format!("({shown}, set aside: {})", aside.reason),
    }
}
