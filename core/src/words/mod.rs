//! What the computing found, in words and as charts: said alike by the screens and by the report.

pub mod block;
pub mod compare;
pub mod dates;
pub mod fields;
pub mod figures;
mod film;
pub mod glue;
mod headline;
pub mod loading;
mod material;
mod people;
pub mod plan;
mod relaxing;
mod restraint;
mod side;
mod zones;

use crate::survey::RecordSet;
use crate::units::UnitChoice;

pub use crate::language::Reader;
pub use block::{Block, Fact, Tone};
pub use film::{balance, stretch};
pub use headline::{headline, reaches_unsure};
pub use material::{Material, is_in_use};
pub use people::{breaks, people};
pub use relaxing::{block as relaxing, chart as kept_chart};
pub use restraint::restraint_estimate;
pub use side::side;
pub use zones::{ZoneWords, flagged, notes, words as zone_words};

/// The units a visit was written in: newtons, grams and millimetres when most readings were
/// written without pounds and ounces.
#[must_use]
pub fn units_written(records: &RecordSet) -> UnitChoice {
    let readings = &records.readings;
    let pounds = readings.iter().filter(|reading| {
        let text = reading.measure.entered();
        text.contains("lb") || text.contains("oz")
    });
    if readings.is_empty() || 2 * pounds.count() >= readings.len() {
        UnitChoice::imperial()
    } else {
        UnitChoice::metric()
    }
}

/// One thing or several: "1 load", "3 loads".
#[must_use]
pub fn count(n: usize, one: &str, many: &str) -> String {
    if n == 1 {
        format!("1 {one}")
    } else {
        format!("{n} {many}")
    }
}

/// The parts that say something, with a comma between.
#[must_use]
pub fn listed<const N: usize>(parts: [String; N]) -> String {
    let said: Vec<String> = parts.into_iter().filter(|part| !part.is_empty()).collect();
    said.join(", ")
}
