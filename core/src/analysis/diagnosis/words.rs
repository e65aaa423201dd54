//! How figures are written in a finding.

use crate::language::Word;
use crate::survey::CheckItem;
use crate::units::{
    Containment, Force, Length, LengthUnit, Mass, MassUnit, Method, Thickness, UnitChoice,
    show_force, show_length, show_mass, show_thickness,
};

use crate::word;

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

/// What of the machine is looked at, in a list.
pub(super) const fn item(item: CheckItem) -> Word {
    match item {
        CheckItem::RollerLight => {
            word!(ctx: "part in a list", "light between pinch and drive rollers")
        }
        CheckItem::RollerGap => word!(ctx: "part in a list", "gap between the rollers"),
        CheckItem::RollerSurface => word!(ctx: "part in a list", "surface of the rollers"),
        CheckItem::ChainOrBelt => word!(ctx: "part in a list", "chain or belt"),
        CheckItem::SprocketsOrGears => word!(ctx: "part in a list", "sprockets or gears"),
        CheckItem::Springs => word!(ctx: "part in a list", "springs"),
        CheckItem::Brake => word!(ctx: "part in a list", "brake"),
        CheckItem::CarriageTravel => word!(ctx: "part in a list", "travel of the carriage"),
        CheckItem::FilmPath => word!(ctx: "part in a list", "path of the film"),
        CheckItem::ClampAndCutter => word!(ctx: "part in a list", "clamp and cutter"),
        CheckItem::FilmTail => word!(ctx: "part in a list", "end of the film"),
    }
}

/// The same with its article, within a sentence.
pub(super) const fn the_item(item: CheckItem) -> Word {
    match item {
        CheckItem::RollerLight => {
            word!(ctx: "part with article", "the light between pinch and drive rollers")
        }
        CheckItem::RollerGap => word!(ctx: "part with article", "the gap between the rollers"),
        CheckItem::RollerSurface => {
            word!(ctx: "part with article", "the surface of the rollers")
        }
        CheckItem::ChainOrBelt => word!(ctx: "part with article", "the chain or belt"),
        CheckItem::SprocketsOrGears => word!(ctx: "part with article", "the sprockets or gears"),
        CheckItem::Springs => word!(ctx: "part with article", "the springs"),
        CheckItem::Brake => word!(ctx: "part with article", "the brake"),
        CheckItem::CarriageTravel => {
            word!(ctx: "part with article", "the travel of the carriage")
        }
        CheckItem::FilmPath => word!(ctx: "part with article", "the path of the film"),
        CheckItem::ClampAndCutter => word!(ctx: "part with article", "the clamp and cutter"),
        CheckItem::FilmTail => word!(ctx: "part with article", "the end of the film"),
    }
}
