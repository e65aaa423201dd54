//! Words for what the record and the results hold.

use serde::Serialize;
use tautbook_core::survey::RecordSet;
use tautbook_core::units::{Force, ForceUnit, Mass, MassUnit, Style, show_force, show_mass};

/// The stable name of a value that is written as a word, with spaces: `needs technician`.
pub(crate) fn word<T: Serialize>(value: &T) -> String {
    match serde_json::to_value(value) {
        Ok(serde_json::Value::String(name)) => name.replace('_', " "),
        _ => String::new(),
    }
}

/// `1 load`, `3 loads`.
pub(crate) fn count(n: u32, what: &str) -> String {
    format!("{n} {what}{}", if n == 1 { "" } else { "s" })
}

/// The parts that say something, joined.
pub(crate) fn joined(parts: &[&str], with: &str) -> String {
    parts
        .iter()
        .map(|part| part.trim())
        .filter(|part| !part.is_empty())
        .collect::<Vec<_>>()
        .join(with)
}

/// The first `most` characters, with an ellipsis where there were more.
pub(crate) fn cut(text: &str, most: usize) -> String {
    if text.chars().count() <= most {
        return text.to_owned();
    }
    let mut short: String = text.chars().take(most.saturating_sub(1)).collect();
    short.push('…');
    short
}

/// With a capital letter.
pub(crate) fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or(String::new(), |first| {
        first.to_uppercase().chain(letters).collect()
    })
}

/// The units in which what was computed is shown: those the visit was written in.
#[derive(Debug, Clone, Copy)]
pub(super) struct Units {
    force: ForceUnit,
    mass: MassUnit,
}

impl Units {
    /// Newtons and grams when most readings were written without pounds and ounces.
    pub(super) fn of(set: &RecordSet) -> Self {
        let imperial = set
            .readings
            .iter()
            .filter(|reading| {
                let text = reading.measure.entered();
                text.contains("lb") || text.contains("oz")
            })
            .count();
        if set.readings.is_empty() || 2 * imperial >= set.readings.len() {
            Self {
                force: ForceUnit::PoundOunce,
                mass: MassUnit::Ounce,
            }
        } else {
            Self {
                force: ForceUnit::Newton,
                mass: MassUnit::Gram,
            }
        }
    }

    /// A force, or a dash.
    pub(super) fn force(self, n: Option<f64>) -> String {
        n.and_then(|n| Force::from_n(n).ok())
            .map_or("–".to_owned(), |force| {
                show_force(force, self.force, &Style::default())
            })
    }

    /// A mass, or a dash.
    pub(super) fn mass(self, kg: Option<f64>) -> String {
        kg.and_then(|kg| Mass::from_kg(kg).ok())
            .map_or("–".to_owned(), |mass| {
                show_mass(mass, self.mass, &Style::default().with_digits(1))
            })
    }
}
