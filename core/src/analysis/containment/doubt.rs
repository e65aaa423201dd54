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
    /// Ten times the middle of the other readings, or more.
    FarAbove {
        /// The median of the others.
        others: Force,
    },
    /// A tenth of the middle of the other readings, or less.
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

/// How far two forces may lie apart, relative to each other, and be the same: turning units into
/// newtons rounds in the last binary digit.
const CONVERTED: f64 = 1e-12;

/// Asks about a value against the tool's range and the other readings of the same load and method.
#[must_use]
pub fn doubt<M: Method>(
    value: Containment<M>,
    others: &[Containment<M>],
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
    if n >= 10.0 * others.n() * (1.0 - CONVERTED) {
        Some(Doubt::FarAbove { others })
    } else if n <= others.n() / 10.0 * (1.0 + CONVERTED) {
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
