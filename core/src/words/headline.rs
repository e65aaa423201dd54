//! What matters most of a containment result, in a sentence.

use crate::analysis::containment::{ContainmentResult, Verdict, ZoneName, ZoneResult, ZoneVerdict};
use crate::say;
use crate::units::Method;
use crate::words::{Reader, Tone, figures};

/// What matters most: the weakest zone against its target.
#[must_use]
pub fn headline<M: Method>(result: &ContainmentResult<M>, to: Reader) -> (String, Tone) {
    let Reader { units, language: l } = to;
    let weakest = result
        .weakest
        .and_then(|weakest| result.zones.iter().find(|zone| zone.zone == weakest));
    let missing: Vec<&str> = result
        .zones
        .iter()
        .filter(|zone| zone.count == 0)
        .map(|zone| zone.zone.in_list().said(l))
        .collect();
    let other_faces = result.zones.iter().any(|zone| zone.on_other_faces > 0);
    match (result.verdict, weakest) {
        (Verdict::NotMeasured, _) | (_, None) => {
            (say!(l, "Not measured with this tool yet."), Tone::Info)
        }
        (Verdict::NoTarget, Some(zone)) => {
            let name = zone.zone.the_at_head().said(l);
            let lowest = zone
                .lowest
                .map_or_else(String::new, |lowest| figures::force(lowest.force(), units));
            let said = if other_faces {
                say!(
                    l,
                    "The targets are for faces of another length: nothing here to judge by. {zone} \
                     is weakest: lowest {lowest}.",
                    zone = name,
                    lowest = lowest
                )
            } else {
                say!(
                    l,
                    "No target to judge by. {zone} is weakest: lowest {lowest}.",
                    zone = name,
                    lowest = lowest
                )
            };
            (said, Tone::Info)
        }
        (Verdict::Below, Some(zone)) => (
            say!(
                l,
                "{zone} is too weak: its lowest reading is {short} under its target.",
                zone = zone.zone.the_at_head().said(l),
                short = figures::small(zone.margin_n.unwrap_or(0.0).abs(), units)
            ),
            Tone::Bad,
        ),
        (Verdict::Incomplete, Some(_)) => {
            let said = if missing.is_empty() && other_faces {
                say!(
                    l,
                    "What was read reaches its target, but nothing is said of the whole: some faces \
                     are of a length that no target is for."
                )
            } else if missing.is_empty() {
                say!(
                    l,
                    "What was read reaches its target, but nothing is said of the whole: one zone \
                     has no target."
                )
            } else {
                say!(
                    l,
                    "What was read reaches its target, but nothing is said of the whole: not \
                     measured: {zones}.",
                    zones = missing.join(", ")
                )
            };
            (said, Tone::Warning)
        }
        (Verdict::Reaches, Some(closest)) => {
            let said = match unsure(result) {
                None => {
                    let said = say!(
                        l,
                        "Every zone reaches its target. {zone} comes closest, {above} above.",
                        zone = closest.zone.the_at_head().said(l),
                        above = figures::small(closest.margin_n.unwrap_or(0.0), units)
                    );
                    return (said, Tone::Good);
                }
                Some(Unsure::TooFew(zone)) => say!(
                    l,
                    "Every reading reaches its target, but there are too few at {zone} to be sure.",
                    zone = zone.the().said(l)
                ),
                Some(Unsure::Short(zone, short_n)) => say!(
                    l,
                    "Every reading reaches its target, but they are too few or too uneven to be \
                     sure: the lower bound at {zone} is {short} under.",
                    zone = zone.the().said(l),
                    short = figures::small(short_n, units)
                ),
            };
            (said, Tone::Warning)
        }
    }
}

/// Why readings that all reach their target do not show that the load does.
enum Unsure {
    /// There is no bound to say so.
    TooFew(ZoneName),
    /// The lower bound is under the target, by so many newtons.
    Short(ZoneName, f64),
}

/// The zone that is least sure to reach its target, where one is not.
fn unsure<M: Method>(result: &ContainmentResult<M>) -> Option<Unsure> {
    let mut shortest: Option<(ZoneName, f64)> = None;
    for zone in &result.zones {
        let Some(margin_n) = least_sure(zone) else {
            return Some(Unsure::TooFew(zone.zone));
        };
        if margin_n < shortest.map_or(0.0, |(_, least)| least) {
            shortest = Some((zone.zone, margin_n));
        }
    }
    shortest.map(|(zone, margin_n)| Unsure::Short(zone, -margin_n))
}

/// The least of the lower bounds of a zone less its target, in newtons; `None` where one that is
/// judged has none.
fn least_sure<M: Method>(zone: &ZoneResult<M>) -> Option<f64> {
    // Faces of unlike length have bounds of their own in place of one of the zone.
    let bounds = match (&zone.tolerance, zone.faces.as_slice()) {
        (Some(own), _) => vec![Some(own)],
        (None, []) => vec![None],
        (None, faces) => {
            let judged = faces.iter().filter(|face| face.target.is_some());
            judged.map(|face| face.tolerance.as_ref()).collect()
        }
    };
    let margins: Option<Vec<f64>> = bounds
        .into_iter()
        .map(|bound| bound.and_then(|bound| bound.margin_n))
        .collect();
    margins?.into_iter().reduce(f64::min)
}

/// Whether a zone that reaches its target by its lowest reading is not sure to by its lower bound.
#[must_use]
pub fn reaches_unsure<M: Method>(zone: &ZoneResult<M>) -> bool {
    zone.verdict == ZoneVerdict::Reaches && least_sure(zone).is_none_or(|margin_n| margin_n < 0.0)
}
