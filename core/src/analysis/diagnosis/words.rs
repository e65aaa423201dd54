//! How figures are written in a finding.

use crate::analysis::containment::ZoneName;
use crate::survey::CheckItem;
use crate::units::{Containment, Method, MethodId, N_PER_LBF};

/// The method in words.
pub(super) const fn tool(method: MethodId) -> &'static str {
    match method {
        MethodId::TorsionTool => "torsion tool",
        MethodId::PullPlate => "pull plate",
    }
}

/// A force in both units.
pub(super) fn force<M: Method>(value: Containment<M>) -> String {
    newtons(value.force().n())
}

/// So many newtons in both units.
pub(super) fn newtons(n: f64) -> String {
    format!("{n:.1} N ({:.2} lbf)", n / N_PER_LBF)
}

/// A fraction in percent.
pub(super) fn percent(fraction: f64) -> String {
    format!("{:.0} %", fraction * 100.0)
}

/// A length in both units.
pub(super) fn length(m: f64) -> String {
    format!("{:.0} mm ({:.1} in)", m * 1000.0, m / 0.0254)
}

/// A mass of film in both units.
pub(super) fn film_mass(kg: f64) -> String {
    format!("{:.0} g ({:.2} oz)", kg * 1000.0, kg / 0.028_349_523_125)
}

/// One or many of something.
pub(super) fn count(n: usize, one: &str, many: &str) -> String {
    format!("{n} {}", if n == 1 { one } else { many })
}

/// A zone at the head of a sentence.
pub(super) const fn zone(zone: ZoneName) -> &'static str {
    match zone {
        ZoneName::Top => "The top",
        ZoneName::Middle => "The middle",
        ZoneName::Bottom => "The bottom",
    }
}

/// What of the machine is looked at.
pub(super) const fn item(item: CheckItem) -> &'static str {
    match item {
        CheckItem::RollerLight => "light between pinch and drive rollers",
        CheckItem::RollerGap => "gap between the rollers",
        CheckItem::RollerSurface => "surface of the rollers",
        CheckItem::ChainOrBelt => "chain or belt",
        CheckItem::SprocketsOrGears => "sprockets or gears",
        CheckItem::Springs => "springs",
        CheckItem::Brake => "brake",
        CheckItem::CarriageTravel => "travel of the carriage",
        CheckItem::FilmPath => "path of the film",
        CheckItem::ClampAndCutter => "clamp and cutter",
        CheckItem::FilmTail => "end of the film",
    }
}
