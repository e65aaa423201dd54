//! A visit's lines beside those of the visit before, as text.

use std::fmt::{self, Write as _};

use tautbook_core::analysis::containment::CONFIDENCE;
use tautbook_core::book::{Book, Which};
use tautbook_core::office::{FollowUp, Reference, ZoneSince, follow_up, plain_name};
use tautbook_core::survey::{Id, Line, Record, RecordSet, Visit};
use tautbook_core::units::{Length, UnitChoice};
use tautbook_core::words::{figures, units_written};

use crate::show::words::{capital, joined};

/// Every line of the visit.
pub(super) fn text(book: &Book, visit: Id<Visit>) -> anyhow::Result<String> {
    let now = book.visit_records(visit, Which::InUse)?;
    let this = book.get(visit)?;
    let before = visits_before(book, &this)?;
    let units = units_written(&now);
    let mut text = String::new();
    writeln!(
        text,
        "{}, {}",
        joined(&[&this.customer, &this.site], ", "),
        this.date
    )?;
    if now.lines.is_empty() {
        writeln!(text, "  No line was looked at.")?;
    }
    for line in &now.lines {
        writeln!(text, "\n{}", line.name)?;
        match earlier(line, &before) {
            Some((earlier, then)) => {
                let found = follow_up((line, &now), (earlier, then));
                let date = then.visits.first().map(|visit| visit.date);
                let date = date.map(|date| date.to_string()).unwrap_or_default();
                told(&mut text, &found, &date, units)?;
            }
            None => writeln!(text, "  Not seen on an earlier visit in this book.")?,
        }
    }
    Ok(text)
}

/// The earlier visits to the same site, and those whose lines this visit's lines say they are; the
/// latest first.
fn visits_before(book: &Book, this: &Record<Visit>) -> anyhow::Result<Vec<RecordSet>> {
    let named = |visit: &Visit| (plain_name(&visit.customer), plain_name(&visit.site));
    let mut ids: Vec<(chrono::NaiveDate, Id<Visit>)> = Vec::new();
    for visit in book.all::<Visit>()? {
        let is_earlier = (visit.date, visit.id) < (this.date, this.id);
        if is_earlier && named(&visit) == named(this) {
            ids.push((visit.date, visit.id));
        }
    }
    for line in book.children::<Line, _>(this.id)? {
        if let Some(earlier) = line.earlier
            && let Some(earlier) = book.find(earlier)?
        {
            let visit = book.get(earlier.visit)?;
            ids.push((visit.date, visit.id));
        }
    }
    ids.sort();
    ids.dedup();
    ids.iter()
        .rev()
        .map(|(_, id)| Ok(book.visit_records(*id, Which::InUse)?))
        .collect()
}

/// The line as it was seen last: the one it says it is, else the last one of its name.
fn earlier<'r>(
    line: &Record<Line>,
    before: &'r [RecordSet],
) -> Option<(&'r Record<Line>, &'r RecordSet)> {
    let lines = || {
        before
            .iter()
            .flat_map(|set| set.lines.iter().map(move |line| (line, set)))
    };
    let said = lines().find(|(earlier, _)| Some(earlier.id) == line.earlier);
    let name = plain_name(&line.name);
    said.or_else(|| lines().find(|(earlier, _)| plain_name(&earlier.name) == name))
}

const fn reference(of: Reference) -> &'static str {
    match of {
        Reference::Planned => "planned",
        Reference::AsLeft => "left",
        Reference::Tried => "tried",
        Reference::AsFound => "found",
    }
}

fn told(text: &mut String, found: &FollowUp<'_>, date: &str, units: UnitChoice) -> fmt::Result {
    match &found.proposed {
        Some((of, setup)) => {
            writeln!(
                text,
                "  On {date} it was {}: {}",
                reference(*of),
                setup.name
            )?;
        }
        None => writeln!(text, "  On {date} nothing was proposed.")?,
    }
    let Some(now) = found.found else {
        return writeln!(text, "  How it was found now is not noted.");
    };
    writeln!(text, "  Found now: {}", now.name)?;
    if let Some(settings) = &found.settings {
        match settings.same() {
            Some(true) => writeln!(text, "  Set as proposed, as far as both were noted.")?,
            Some(false) => {
                for field in &settings.differ {
                    writeln!(
                        text,
                        "  {}: {} then, {} now",
                        capital(&field.name.replace('_', " ")),
                        field.then,
                        field.now
                    )?;
                }
            }
            None => writeln!(text, "  No setting was noted both times.")?,
        }
        if !settings.on_one_only.is_empty() {
            let names = settings.on_one_only.join(", ").replace('_', " ");
            writeln!(text, "  Noted one time only: {names}")?;
        }
    }
    let Some((of, beside)) = &found.beside else {
        return writeln!(text, "  Nothing was measured on {date}.");
    };
    writeln!(
        text,
        "  Measured now against {}, {} on {date}:",
        beside.name,
        reference(*of)
    )?;
    for (tool, zones) in [
        ("torsion tool", &found.torsion),
        ("pull plate", &found.pull),
    ] {
        for zone in zones {
            writeln!(text, "    {tool}, {}", zone_words(zone, units))?;
        }
    }
    match &found.film {
        Some(Ok(film)) => {
            let within = film
                .interval(CONFIDENCE)
                .map_or_else(String::new, |within| {
                    format!(
                        ", 95 % between {} and {}",
                        signed_film(-within.high, units),
                        signed_film(-within.low, units)
                    )
                });
            writeln!(
                text,
                "    film a load: {} then, {} now; {}{within}",
                figures::film(film.old.kg, units),
                figures::film(film.new.kg, units),
                signed_film(-film.saved.difference, units),
            )
        }
        Some(Err(why)) => writeln!(text, "    film a load: {why}"),
        None => Ok(()),
    }
}

fn signed_film(kg: f64, units: UnitChoice) -> String {
    let sign = if kg < 0.0 { "\u{2212}" } else { "+" };
    format!("{sign}{}", figures::film(kg.abs(), units))
}

fn zone_words(zone: &ZoneSince, units: UnitChoice) -> String {
    let mut words = zone.zone.as_str().to_owned();
    if let Some(face) = zone.face_length_m.and_then(|m| Length::from_m(m).ok()) {
        let _ = write!(words, ", faces of {}", figures::length(face, units)); // Cannot fail.
    }
    let mean = |n: f64| figures::newtons(n, units);
    let sides = match (&zone.then, &zone.now) {
        (Some(then), Some(now)) => format!(
            ": mean {} then, {} now",
            mean(then.summary.mean),
            mean(now.summary.mean)
        ),
        _ => String::new(),
    };
    let change = match &zone.change {
        Ok(change) => format!(
            "; {}, 95 % between {} and {}",
            figures::signed(change.welch.difference, units),
            figures::signed(change.interval.low, units),
            figures::signed(change.interval.high, units)
        ),
        Err(why) => format!("; {why}"),
    };
    words + &sides + &change
}
