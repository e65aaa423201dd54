//! The value on the glove keypad: one number, or pounds and ounces in two parts.

use serde::{Deserialize, Serialize};
use tautbook_core::language::Language;
use tautbook_core::say;
use tautbook_core::units::{DecimalMark, ForceUnit, MassUnit, TypedError};

/// How many signs one part takes: more is a stuck key.
const MOST_SIGNS: usize = 7;

/// What the keypad types, by the units in use.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PadUnit {
    /// Pounds, then ounces behind the unit key.
    PoundOunce,
    /// Ounces; the unit key makes pounds of what stands there, and ounces follow.
    OunceFirst,
    /// One number in this unit.
    One(&'static str),
}

impl PadUnit {
    /// For a force.
    #[must_use]
    pub const fn force(unit: ForceUnit) -> Self {
        match unit {
            ForceUnit::PoundOunce => Self::PoundOunce,
            ForceUnit::Newton => Self::One("N"),
        }
    }

    /// For the mass of film: that of a load is a matter of ounces.
    #[must_use]
    pub const fn mass(unit: MassUnit) -> Self {
        match unit {
            MassUnit::PoundOunce => Self::OunceFirst,
            MassUnit::Ounce => Self::One("oz"),
            MassUnit::Kilogram => Self::One("kg"),
            MassUnit::Gram => Self::One("g"),
        }
    }

    /// The unit of the number that is typed first.
    #[must_use]
    pub const fn first(self) -> &'static str {
        match self {
            Self::PoundOunce => "lb",
            Self::OunceFirst => "oz",
            Self::One(unit) => unit,
        }
    }

    /// How it is remembered.
    const fn name(self) -> &'static str {
        match self {
            Self::PoundOunce => "",
            Self::OunceFirst => "oz first",
            Self::One(unit) => unit,
        }
    }

    /// The word on the key between two parts; empty where there is one.
    #[must_use]
    pub const fn key(self) -> &'static str {
        match self {
            Self::PoundOunce | Self::OunceFirst => "lb",
            Self::One(_) => "",
        }
    }
}

/// A value as it is typed.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Pad {
    first: String,
    /// `Some` once the unit key was pressed.
    second: Option<String>,
    /// The unit it was begun in, which it keeps when another is chosen meanwhile: empty for pounds
    /// and ounces, "oz first" for ounces and pounds, `None` for the unit in use.
    #[serde(default)]
    unit: Option<String>,
}

/// A value as a figure shows it.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Figure {
    /// The first number.
    pub first: String,
    /// Its unit, once it is known.
    pub first_unit: &'static str,
    /// The second number.
    pub second: String,
    /// Its unit, once it is known.
    pub second_unit: &'static str,
}

impl Pad {
    /// What was remembered as `text`; nothing typed when it cannot be read.
    #[must_use]
    pub fn recall(text: &str) -> Self {
        serde_json::from_str(text).unwrap_or_default()
    }

    /// As text to remember.
    #[must_use]
    pub fn remember(&self) -> String {
        serde_json::to_string(self).unwrap_or_default()
    }

    /// Whether nothing is typed.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.first.is_empty() && self.second.is_none()
    }

    /// The unit it is typed in: the one it was begun in, or else the one in use.
    #[must_use]
    pub fn unit(&self, in_use: PadUnit) -> PadUnit {
        let begun = self.unit.as_deref().filter(|_| !self.is_empty());
        match begun {
            Some(unit) => [PadUnit::PoundOunce, PadUnit::OunceFirst]
                .into_iter()
                .chain(["N", "oz", "kg", "g"].map(PadUnit::One))
                .find(|known| known.name() == unit)
                .unwrap_or(in_use),
            None => in_use,
        }
    }

    /// Takes a key: a digit, the point, or the unit key. `in_use` is the unit in use.
    pub fn key(&mut self, key: &str, in_use: PadUnit) {
        let unit = self.unit(in_use);
        self.unit = Some(unit.name().to_owned());
        if key == unit.key() && !key.is_empty() {
            // Ounces alone are typed behind no pounds.
            self.second.get_or_insert_default();
            return;
        }
        let part = self.second.as_mut().unwrap_or(&mut self.first);
        let digits_or_point = match key {
            "." => !part.contains('.'),
            digit => digit.len() == 1 && digit.bytes().all(|sign| sign.is_ascii_digit()),
        };
        if digits_or_point && part.len() < MOST_SIGNS {
            part.push_str(key);
        }
    }

    /// Takes back the last key.
    pub fn erase(&mut self) {
        match &mut self.second {
            Some(second) if second.is_empty() => self.second = None,
            Some(second) => {
                second.pop();
            }
            None => {
                self.first.pop();
            }
        }
    }

    /// The value with its unit, as the parsers read it with the decimal mark in use.
    #[must_use]
    pub fn text(&self, unit: PadUnit, decimal: DecimalMark) -> String {
        // The units have no point in them.
        marked(&self.with_point(unit), decimal)
    }

    fn with_point(&self, unit: PadUnit) -> String {
        match (unit, &self.second) {
            (PadUnit::One(unit), _) if !self.first.is_empty() => format!("{} {unit}", self.first),
            (PadUnit::One(_), _) => String::new(),
            (PadUnit::PoundOunce | PadUnit::OunceFirst, None) if self.first.is_empty() => {
                String::new()
            }
            (PadUnit::PoundOunce | PadUnit::OunceFirst, None) => {
                format!("{} {}", self.first, unit.first())
            }
            (PadUnit::PoundOunce | PadUnit::OunceFirst, Some(second)) => {
                match (self.first.as_str(), second.as_str()) {
                    ("", "") => String::new(),
                    ("", ounces) => format!("{ounces} oz"),
                    (pounds, "") => format!("{pounds} lb"),
                    (pounds, ounces) => format!("{pounds} lb {ounces} oz"),
                }
            }
        }
    }

    /// The value as a figure, with the decimal mark in use.
    #[must_use]
    pub fn figure(&self, unit: PadUnit, decimal: DecimalMark) -> Figure {
        let shown = |part: &str| marked(part, decimal);
        let second = self.second.as_deref().unwrap_or_default();
        Figure {
            first: shown(&self.first),
            first_unit: match unit {
                PadUnit::One(unit) => unit,
                _ if self.second.is_some() && self.first.is_empty() => "",
                _ if self.second.is_some() => "lb",
                _ => unit.first(),
            },
            second: shown(second),
            second_unit: if self.second.is_some() { "oz" } else { "" },
        }
    }
}

/// What is typed with a point, with the decimal mark in use.
pub(super) fn marked(typed: &str, decimal: DecimalMark) -> String {
    match decimal {
        DecimalMark::Point => typed.to_owned(),
        DecimalMark::Comma => typed.replace('.', ","),
    }
}

/// Why the keypad's value cannot be kept, in the few words there is room for beside it.
#[must_use]
pub fn short(error: &TypedError, language: Language) -> String {
    match error {
        TypedError::Blank => say!(language, "Type a value first."),
        TypedError::PartTooBig {
            carried,
            small_unit,
            limit,
            ..
        } => {
            say!(
                language,
                "{limit} {unit} or more: write {carried}.",
                limit = limit,
                unit = small_unit,
                carried = carried
            )
        }
        TypedError::FractionWithPart {
            big_unit,
            small_unit,
            ..
        } => {
            say!(
                language,
                "Whole {big} with {small}, or {big} with a point alone.",
                big = big_unit,
                small = small_unit
            )
        }
        other => other.said(language),
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)] // In a test a failed unwrap is a failed test.
    use tautbook_core::units::{UnitChoice, UnitSystem, parse_mass};

    use super::*;

    fn typed(keys: &[&str], unit: PadUnit) -> Pad {
        let mut pad = Pad::default();
        for key in keys {
            if *key == "<" {
                pad.erase();
            } else {
                pad.key(key, unit);
            }
        }
        pad
    }

    #[test]
    fn pounds_and_ounces_are_two_parts() {
        let text = |keys: &[&str]| {
            typed(keys, PadUnit::PoundOunce).text(PadUnit::PoundOunce, DecimalMark::Point)
        };
        assert_eq!(text(&["1", "2", "lb", "6"]), "12 lb 6 oz");
        assert_eq!(text(&["1", "2", "lb", "6", ".", "5"]), "12 lb 6.5 oz");
        assert_eq!(
            text(&["7", ".", "8"]),
            "7.8 lb",
            "a point makes decimal pounds, not ounces"
        );
        assert_eq!(text(&["lb", "6"]), "6 oz");
        assert_eq!(text(&["1", "2", "lb"]), "12 lb");
        assert_eq!(text(&["1", "2", "lb", "6", "<", "<", "<"]), "1 lb");
        assert_eq!(text(&["1", ".", ".", "5", "lb", "lb", "4"]), "1.5 lb 4 oz");
        assert_eq!(text(&[]), "");
        assert_eq!(text(&["lb"]), "");
    }

    /// The film of a load weighs ounces, and what a scale shows in ounces must not be taken for pounds.
    #[test]
    fn film_is_typed_in_ounces_until_the_key_makes_pounds_of_them() {
        let unit = PadUnit::mass(MassUnit::PoundOunce);
        let text = |keys: &[&str]| typed(keys, unit).text(unit, DecimalMark::Point);
        assert_eq!(text(&["3", ".", "2"]), "3.2 oz");
        assert_eq!(text(&["1", "lb", "1"]), "1 lb 1 oz");
        assert_eq!(text(&["1", "lb"]), "1 lb");
        assert_eq!(text(&["1", "lb", "<"]), "1 oz");
        assert_eq!(text(&["lb", "1"]), "1 oz");
        assert_eq!(text(&["lb"]), "");
        let figure = |keys: &[&str]| typed(keys, unit).figure(unit, DecimalMark::Point);
        let units = |figure: Figure| (figure.first_unit, figure.second_unit);
        assert_eq!(units(figure(&["3"])), ("oz", ""));
        assert_eq!(units(figure(&["3", "lb"])), ("lb", "oz"));
        assert_eq!(units(figure(&["lb"])), ("", "oz"));
        // Kept over an end of the app, and begun before film was typed so.
        let pad = Pad::recall(&typed(&["3"], unit).remember());
        assert_eq!(pad.unit(PadUnit::One("g")), unit);
        let before = typed(&["3"], PadUnit::PoundOunce);
        assert_eq!(before.text(before.unit(unit), DecimalMark::Point), "3 lb");
    }

    #[test]
    fn newtons_are_one_number() {
        let unit = PadUnit::force(ForceUnit::Newton);
        assert_eq!(
            typed(&["5", "5", ".", "5"], unit).text(unit, DecimalMark::Point),
            "55.5 N"
        );
        assert_eq!(
            typed(&["5", "lb", "5"], unit).text(unit, DecimalMark::Point),
            "55 N",
            "there is no unit key"
        );
        assert_eq!(
            typed(&["9"; 40], unit).text(unit, DecimalMark::Point),
            "9999999 N",
            "a stuck key stops"
        );
    }

    /// "1.285" typed on the keypad is not taken for thousands where the mark is a comma.
    #[test]
    fn a_point_is_the_decimal_mark_in_use() {
        let unit = PadUnit::mass(MassUnit::PoundOunce);
        let pad = typed(&["1", ".", "2", "8", "5"], unit);
        let text = pad.text(unit, DecimalMark::Comma);
        assert_eq!(text, "1,285 oz");
        let typing = UnitChoice::of(UnitSystem::Imperial)
            .with_decimal(DecimalMark::Comma)
            .mass_typing();
        let mass = parse_mass(&text, &typing).unwrap();
        assert!((16.0 * mass.value.lb() - 1.285).abs() < 1e-9);
        assert_eq!(pad.figure(unit, DecimalMark::Comma).first, "1,285");
    }

    #[test]
    fn a_value_keeps_the_unit_it_was_begun_in() {
        let (pounds, newtons) = (PadUnit::PoundOunce, PadUnit::One("N"));
        let mut pad = typed(&["1", "2", "lb", "6"], pounds);
        assert_eq!(
            pad.text(pad.unit(newtons), DecimalMark::Point),
            "12 lb 6 oz"
        );
        pad.key(".", newtons);
        pad.key("5", newtons);
        assert_eq!(
            pad.text(pad.unit(newtons), DecimalMark::Point),
            "12 lb 6.5 oz"
        );
        while !pad.is_empty() {
            pad.erase();
        }
        pad.key("9", newtons);
        assert_eq!(pad.text(pad.unit(pounds), DecimalMark::Point), "9 N");
    }

    #[test]
    fn what_is_typed_is_remembered() {
        let pad = typed(&["1", "2", "lb", "6"], PadUnit::PoundOunce);
        assert_eq!(Pad::recall(&pad.remember()), pad);
        assert!(Pad::recall("rubbish").is_empty());
    }
}
