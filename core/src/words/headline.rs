//! What matters most of a containment result, in a sentence.

use crate::analysis::containment::{ContainmentResult, Verdict};
use crate::units::{Method, UnitChoice};
use crate::words::{Tone, figures};

/// What matters most: the weakest zone against its target.
#[must_use]
pub fn headline<M: Method>(result: &ContainmentResult<M>, units: UnitChoice) -> (String, Tone) {
    let weakest = result
        .weakest
        .and_then(|weakest| result.zones.iter().find(|zone| zone.zone == weakest));
    let missing: Vec<String> = result
        .zones
        .iter()
        .filter(|zone| zone.count == 0)
        .map(|zone| zone.zone.as_str().to_owned())
        .collect();
    let other_faces = result.zones.iter().any(|zone| zone.on_other_faces > 0);
    match (result.verdict, weakest) {
        (Verdict::NotMeasured, _) | (_, None) => {
            ("Not measured with this tool yet.".to_owned(), Tone::Info)
        }
        (Verdict::NoTarget, Some(zone)) => (
            format!(
                "{} The {} is weakest: lowest {}.",
                if other_faces {
                    "The targets are for faces of another length: nothing here to judge by."
                } else {
                    "No target to judge by."
                },
                zone.zone.as_str(),
                zone.lowest
                    .map_or_else(String::new, |lowest| figures::force(lowest.force(), units))
            ),
            Tone::Info,
        ),
        (Verdict::Below, Some(zone)) => (
            format!(
                "The {} is too weak: its lowest reading is {} under its target.",
                zone.zone.as_str(),
                figures::small(zone.margin_n.unwrap_or(0.0).abs(), units)
            ),
            Tone::Bad,
        ),
        (Verdict::Incomplete, Some(_)) => {
            let what = if missing.is_empty() && other_faces {
                "some faces are of a length that no target is for".to_owned()
            } else if missing.is_empty() {
                "one zone has no target".to_owned()
            } else {
                format!("not measured: {}", missing.join(", "))
            };
            (
                format!(
                    "What was read reaches its target, but nothing is said of the whole: {what}."
                ),
                Tone::Warning,
            )
        }
        (Verdict::Reaches, Some(zone)) => (
            format!(
                "Every zone reaches its target. The {} comes closest, {} above.",
                zone.zone.as_str(),
                figures::small(zone.margin_n.unwrap_or(0.0), units)
            ),
            Tone::Good,
        ),
    }
}
