//! Numbers as the screens of results write them, in the units in use.

use crate::chart::Axis;
use crate::language::Reader;
use crate::say;
use crate::units::{
    DecimalMark, Entered, Force, ForceUnit, Length, Mass, MassUnit, N_PER_LBF, UnitChoice,
    show_force, show_length, show_mass,
};

/// A true minus sign.
const MINUS: &str = "\u{2212}";

/// A shown value without a last tenth that is zero: "12 lb 6 oz" for "12 lb 6.0 oz".
#[must_use]
pub fn without_tenth(shown: &str) -> String {
    match shown.rsplit_once(['.', ',']) {
        Some((whole, rest)) if rest.starts_with("0 ") || rest.starts_with("0\u{a0}") => {
            format!("{whole}{}", &rest[1..])
        }
        Some(_) | None => shown.to_owned(),
    }
}

/// A force without the tenth that says nothing.
#[must_use]
pub fn force(force: Force, units: UnitChoice) -> String {
    without_tenth(&show_force(force, units.force, &units.style()))
}

/// A force in newtons; blank for what is none.
#[must_use]
pub fn newtons(n: f64, units: UnitChoice) -> String {
    Force::from_n(n).map_or_else(|_| String::new(), |n| force(n, units))
}

/// A force as it was written, where that is in the unit in use; else in that unit. With the decimal mark
/// in use either way.
#[must_use]
pub fn written_force(written: &Entered<Force>, units: UnitChoice) -> String {
    let in_newtons = written.text.ends_with(ForceUnit::Newton.symbol());
    if in_newtons != (units.force == ForceUnit::Newton) {
        return force(written.value, units);
    }
    match units.decimal {
        DecimalMark::Point => written.text.replace(',', "."),
        DecimalMark::Comma => written.text.replace('.', ","),
    }
}

/// A spread or a difference of forces: ounces alone below a pound, whole pounds alone.
pub fn small(n: f64, units: UnitChoice) -> String {
    let shown = newtons(n, units);
    if let Some(ounces) = shown.strip_prefix("0 lb ") {
        return ounces.to_owned();
    }
    shown
        .strip_suffix(" 0 oz")
        .map_or_else(|| shown.clone(), str::to_owned)
}

/// A difference of forces with its sign.
#[must_use]
pub fn signed(n: f64, units: UnitChoice) -> String {
    let shown = small(n.abs(), units);
    if shown == small(0.0, units) {
        return shown;
    }
    let sign = if n < 0.0 { MINUS } else { "+" };
    format!("{sign}{shown}")
}

/// The limits of an interval of forces in newtons, none below zero.
#[must_use]
pub fn between((low, high): (f64, f64), to: Reader) -> String {
    say!(
        to.language,
        "{low} and {high}",
        low = newtons(low.max(0.0), to.units),
        high = newtons(high.max(0.0), to.units)
    )
}

/// A length without zeros at its end.
#[must_use]
pub fn length(length: Length, units: UnitChoice) -> String {
    let shown = show_length(length, units.length, &units.style().with_digits(2));
    match shown.split_once(' ') {
        Some((number, unit)) if number.contains(['.', ',']) => {
            let number = number.trim_end_matches('0').trim_end_matches(['.', ',']);
            format!("{number} {unit}")
        }
        Some(_) | None => shown,
    }
}

/// A mass of film in kilograms; ounces alone below a pound. Blank for what is none.
#[must_use]
pub fn film(kg: f64, units: UnitChoice) -> String {
    Mass::from_kg(kg).map_or_else(|_| String::new(), |mass| film_mass(mass, units))
}

/// The same of a mass.
#[must_use]
pub fn film_mass(mass: Mass, units: UnitChoice) -> String {
    let unit = match units.mass {
        MassUnit::PoundOunce if mass.lb() < 1.0 => MassUnit::Ounce,
        unit => unit,
    };
    show_mass(mass, unit, &units.style())
}

/// The unit of what is too heavy for small ones, and a mass in kilograms in it.
fn heavy_in(kg: f64, units: UnitChoice) -> (&'static str, f64) {
    match units.mass {
        MassUnit::Gram | MassUnit::Kilogram => ("kg", kg),
        MassUnit::Ounce | MassUnit::PoundOunce => {
            ("lb", Mass::from_kg(kg).map_or(f64::NAN, Mass::lb))
        }
    }
}

/// A mass of a year's film in kilograms that is known to `half_kg` either way, to no more figures
/// than that leaves ([`as_known`]); with a minus where it is less than nothing.
#[must_use]
pub fn heavy_known(kg: f64, half_kg: f64, round: Round, units: UnitChoice) -> String {
    let (unit, shown) = heavy_in(kg.abs(), units);
    let (_, half) = heavy_in(half_kg.abs(), units);
    if !shown.is_finite() {
        return String::new();
    }
    let shown = as_known(shown.copysign(kg), half, round);
    format!("{} {unit}", grouped(shown))
}

/// Whether a saving is one, and the sign that makes a positive number of it either way: what is not
/// saved is told as more of it, without a minus.
#[must_use]
pub fn saves(saved: f64) -> (bool, f64) {
    if saved < 0.0 {
        (false, -1.0)
    } else {
        (true, 1.0)
    }
}

/// Which way a number is rounded.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Round {
    /// To what is nearest.
    Nearest,
    /// Down: what is at least that.
    Down,
    /// Up: what is at most that.
    Up,
}

/// A number that is known to `half` either way, to the second figure of that: of 4841 known to 1052
/// it leaves 4800. A number known better than to 100 is left as it is, since its whole is shown in
/// any case.
///
/// Source: JCGM 100:2008 (GUM), 7.2.6: an uncertainty is given to two significant digits at most,
/// and the number to the same place.
#[must_use]
pub fn as_known(value: f64, half: f64, round: Round) -> f64 {
    let place = |half: f64| 10.0_f64.powf(half.abs().log10().floor() - 1.0);
    // 99.96 to two figures is 100, of which the second is the ten.
    let step = place((half / place(half)).round() * place(half));
    if !(step > 1.0 && step.is_finite()) {
        return value;
    }
    let steps = value / step;
    step * match round {
        Round::Nearest => steps.round(),
        Round::Down => steps.floor(),
        Round::Up => steps.ceil(),
    }
}

/// A whole number with its thousands apart.
#[must_use]
pub fn grouped(value: f64) -> String {
    let text = format!("{:.0}", value.abs());
    let mut shown = String::new();
    for (at, digit) in text.chars().enumerate() {
        if at > 0 && (text.len() - at).is_multiple_of(3) {
            shown.push('\u{202f}');
        }
        shown.push(digit);
    }
    if value <= -0.5 {
        shown.insert_str(0, MINUS);
    }
    shown
}

/// A whole number of things with its thousands apart.
#[must_use]
#[allow(clippy::cast_precision_loss)] // Nobody counts that far.
pub fn grouped_count(n: u64) -> String {
    grouped(n as f64)
}

/// A number to so many decimals, without zeros at its end.
#[must_use]
pub fn decimal(value: f64, digits: usize, units: UnitChoice) -> String {
    let text = format!("{value:.digits$}");
    let text = match text.contains('.') {
        true => text.trim_end_matches('0').trim_end_matches('.'),
        false => text.as_str(),
    };
    let text = if text == "-0" { "0" } else { text };
    let text = text.replace('-', MINUS);
    match units.decimal {
        DecimalMark::Comma => text.replace('.', ","),
        DecimalMark::Point => text,
    }
}

/// A share as a percentage without decimals.
#[must_use]
pub fn percent(share: f64, units: UnitChoice) -> String {
    format!("{} %", decimal(share * 100.0, 0, units))
}

/// A scale of forces from zero over values in newtons.
pub fn force_axis(values: impl IntoIterator<Item = f64>, units: UnitChoice) -> Axis {
    axis(values, true, force_scale(units), units)
}

/// A scale over values, those of zero or of their own.
pub fn axis(
    values: impl IntoIterator<Item = f64>,
    zero: bool,
    scale: (f64, &str),
    units: UnitChoice,
) -> Axis {
    Axis::over(values, zero, scale, 4, |value| decimal(value, 2, units))
}

/// How many of the unit of forces go into a newton, and its name.
#[must_use]
pub const fn force_scale(units: UnitChoice) -> (f64, &'static str) {
    match units.force {
        ForceUnit::PoundOunce => (1.0 / N_PER_LBF, "lb"),
        ForceUnit::Newton => (1.0, "N"),
    }
}

/// How many of the unit of film go into a kilogram, and its name.
pub fn film_scale(units: UnitChoice) -> (f64, &'static str) {
    match units.mass {
        MassUnit::Gram | MassUnit::Kilogram => (1000.0, "g"),
        MassUnit::Ounce | MassUnit::PoundOunce => (Mass::from_kg(1.0).map_or(1.0, Mass::oz), "oz"),
    }
}

/// A sentence from a text that may lack its capital and its stop.
#[must_use]
pub fn sentence(text: &str) -> String {
    let text = text.trim();
    let mut letters = text.chars();
    let Some(first) = letters.next() else {
        return String::new();
    };
    let mut shown: String = first.to_uppercase().chain(letters).collect();
    if !shown.ends_with(['.', '!', '?']) {
        shown.push('.');
    }
    shown
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_was_written_in_another_unit_is_shown_in_the_one_in_use() {
        let written = |text: &str, units: UnitChoice| {
            let force = if text.ends_with('N') {
                Force::from_n(70.0)
            } else {
                Force::from_lbf(12.5)
            };
            let text = text.to_owned();
            let value = force.unwrap();
            written_force(&Entered { value, text }, units)
        };
        let (pounds, newtons) = (UnitChoice::imperial(), UnitChoice::metric());
        assert_eq!(written("12 lb 8 oz", pounds), "12 lb 8 oz");
        // 1 lbf is 4.4482216152605 N (NIST SP 811, B.8): 70 N are 15 lb 11.8 oz, 12.5 lbf 55.6 N.
        assert_eq!(written("70.0 N", pounds), "15 lb 11.8 oz");
        assert_eq!(written("12 lb 8 oz", newtons), "55.6 N");
        let comma = newtons.with_decimal(DecimalMark::Comma);
        assert_eq!(
            written("70.0 N", comma),
            "70,0 N",
            "as many figures as it had"
        );
        assert_eq!(written("70,0 N", newtons), "70.0 N");
    }

    #[test]
    fn numbers_are_written_as_people_read_them() {
        let units = UnitChoice::imperial();
        assert_eq!(grouped(1_234_567.4), "1\u{202f}234\u{202f}567");
        assert_eq!(grouped(-1000.0), "\u{2212}1\u{202f}000");
        assert_eq!(grouped(999.6), "1\u{202f}000");
        assert_eq!(decimal(2.50, 2, units), "2.5");
        assert_eq!(decimal(-0.001, 2, units), "0");
        assert_eq!(decimal(100.0, 0, units), "100");
        assert_eq!(
            decimal(-2.5, 1, units.with_decimal(DecimalMark::Comma)),
            "\u{2212}2,5"
        );
        // JCGM 100:2008 (GUM), 7.2.6: 10.057 62 Ω known to 27 mΩ is 10.058 Ω; here in µΩ.
        let known = |value, half| grouped(as_known(value, half, Round::Nearest));
        assert_eq!(known(10_057_620.0, 27_000.0), "10\u{202f}058\u{202f}000");
        assert_eq!(known(4_841.0, 1_052.0), "4\u{202f}800");
        assert_eq!(known(-4_851.0, 989.0), "\u{2212}4\u{202f}850");
        assert_eq!(known(4_841.0, 99.4), "4\u{202f}841");
        assert_eq!(known(4_841.0, 99.96), "4\u{202f}840");
        assert_eq!(known(4_841.0, 100.0), "4\u{202f}840");
        for half in [0.0, f64::NAN, f64::INFINITY] {
            assert!((as_known(4.25, half, Round::Down) - 4.25).abs() < 1e-12);
        }
        let metric = UnitChoice::metric();
        let heavy = |kg, half, round| heavy_known(kg, half, round, metric);
        assert_eq!(heavy(-0.4, 0.0, Round::Nearest), "0 kg");
        assert_eq!(heavy(-49.6, 150.0, Round::Nearest), "\u{2212}50 kg");
        assert_eq!(heavy(-44.0, 1_052.0, Round::Down), "\u{2212}100 kg");
        assert_eq!(heavy(44.0, 1_052.0, Round::Up), "100 kg");
        assert_eq!(sentence("no mass: weigh it"), "No mass: weigh it.");
        assert_eq!(sentence(" "), "");
        assert_eq!(signed(-1.0 / 16.0 * N_PER_LBF, units), "\u{2212}1 oz");
        assert_eq!(newtons(f64::NAN, units), "");
    }
}
