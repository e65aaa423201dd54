//! How figures are written in a finding.

use crate::analysis::containment::ZoneName;
use crate::survey::CheckItem;
use crate::units::{
    Containment, Force, Length, LengthUnit, Mass, MassUnit, Method, MethodId, Thickness,
    UnitChoice, show_force, show_length, show_mass, show_thickness,
};

/// The method in words.
pub(super) const fn tool(method: MethodId) -> &'static str {
    match method {
        MethodId::TorsionTool => "torsion tool",
        MethodId::PullPlate => "pull plate",
    }
}

/// A force.
pub(super) fn force<M: Method>(units: UnitChoice, value: Containment<M>) -> String {
    show_force(value.force(), units.force, &units.style())
}

/// So many newtons.
pub(super) fn newtons(units: UnitChoice, n: f64) -> String {
    let force = Force::from_n(n.max(0.0)).unwrap_or(Force::ZERO);
    show_force(force, units.force, &units.style())
}

/// A fraction in percent.
pub(super) fn percent(fraction: f64) -> String {
    format!("{:.0} %", fraction * 100.0)
}

/// A height or a length on the load.
pub(super) fn length(units: UnitChoice, m: f64) -> String {
    let digits = match units.length {
        LengthUnit::Millimetre => 0,
        _ => 1,
    };
    let length = Length::from_m(m).unwrap_or(Length::ZERO);
    show_length(length, units.length, &units.style().with_digits(digits))
}

/// A mass of film: ounces alone below a pound.
pub(super) fn film_mass(units: UnitChoice, kg: f64) -> String {
    let mass = Mass::from_kg(kg.max(0.0)).unwrap_or(Mass::ZERO);
    let unit = match units.mass {
        MassUnit::PoundOunce if mass.lb() < 1.0 => MassUnit::Ounce,
        unit => unit,
    };
    show_mass(mass, unit, &units.style())
}

/// A thickness of film in micrometres.
pub(super) fn thickness(units: UnitChoice, um: f64) -> String {
    let thickness = Thickness::from_um(um.max(0.0)).unwrap_or(Thickness::ZERO);
    show_thickness(thickness, units.thickness, &units.style())
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
