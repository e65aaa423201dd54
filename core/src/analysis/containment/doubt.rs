//! Asking about a value that looks wrong, before it is saved.

use crate::units::{Containment, Force, Method};

/// Whether a value just typed should be asked about before it is saved, and why. Never a refusal.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Doubt {
    /// More than the tool can show.
    OverToolRange {
        /// What the tool can show.
        range: Force,
    },
    /// As far above the middle of the other readings as is asked about, or further.
    FarAbove {
        /// The median of the others.
        others: Force,
    },
    /// As far below the middle of the other readings as is asked about, or further.
    FarBelow {
        /// The median of the others.
        others: Force,
    },
    /// More than a person pulls with one hand, when the tool's range is not known: 400 N or
    /// 90 lb (common practice, no source).
    OverHandForce,
    /// Zero: a tear or a slip is set aside with its reason, not read as zero.
    Zero,
}

/// The pull above which a reading by hand is asked about (common practice, no source).
const HAND_FORCE_N: f64 = 400.0;

/// How many times the other readings a value is asked about (common practice, no source).
pub const FAR: f64 = 10.0;

/// The same where the others were written in the other unit. One pound-force is 4.45 N: a value read in
/// the one unit and typed as the other is that far off.
pub const FAR_BETWEEN_UNITS: f64 = 4.0;

/// How far two forces may lie apart, relative to each other, and be the same: turning units into
/// newtons rounds in the last binary digit.
const CONVERTED: f64 = 1e-12;

/// Asks about a value against the tool's range and the other readings of the same load and method: `far`
/// times those, or one `far`th of them, is asked about.
#[must_use]
pub fn doubt<M: Method>(
    value: Containment<M>,
    others: &[Containment<M>],
    far: f64,
    tool_range: Option<Force>,
) -> Option<Doubt> {
    let n = value.force().n();
    if n <= 0.0 {
        return Some(Doubt::Zero);
    }
    match tool_range {
        Some(range) if n > range.n() => return Some(Doubt::OverToolRange { range }),
        None if n > HAND_FORCE_N => return Some(Doubt::OverHandForce),
        Some(_) | None => {}
    }
    let others = median(others)?;
    if n >= far * others.n() * (1.0 - CONVERTED) {
        Some(Doubt::FarAbove { others })
    } else if n <= others.n() / far * (1.0 + CONVERTED) {
        Some(Doubt::FarBelow { others })
    } else {
        None
    }
}

fn median<M: Method>(values: &[Containment<M>]) -> Option<Force> {
    let mut sorted: Vec<Force> = values.iter().map(|value| value.force()).collect();
    sorted.sort_by(Force::total_cmp);
    let middle = sorted.len() / 2;
    let upper = *sorted.get(middle)?;
    if sorted.len() % 2 == 1 {
        return Some(upper);
    }
    let lower = *sorted.get(middle.checked_sub(1)?)?;
    Force::from_n(f64::midpoint(lower.n(), upper.n())).ok()
}
