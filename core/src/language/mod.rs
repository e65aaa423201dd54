//! What people read, in their language.
//!
//! Sentences stand in the code in English, which is the key of their translations in the gettext
//! catalogues of `lang`. The macros [`say!`](crate::say), [`say_count!`](crate::say_count) and
//! [`word!`](crate::word) mark them; placeholders have names, so that a translation can put them
//! in another order. A test gathers all that is marked and refuses a catalogue that lacks a
//! sentence or a placeholder, or has one too many.

mod fill;
mod reader;
mod tables;

#[doc(hidden)]
pub use fill::{counted, filled};
pub use reader::Reader;

use serde::{Deserialize, Serialize};

use crate::units::DecimalMark;

/// A language people read Tautbook in.
#[derive(
    Debug, Clone, Copy, Default, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize,
)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum Language {
    /// English.
    #[default]
    English,
    /// Spanish.
    Spanish,
    /// French.
    French,
}

impl Language {
    /// All of them, in the order screens list them.
    pub const ALL: [Self; 3] = [Self::English, Self::Spanish, Self::French];

    /// Its code after ISO 639-1.
    #[must_use]
    pub const fn code(self) -> &'static str {
        match self {
            Self::English => "en",
            Self::Spanish => "es",
            Self::French => "fr",
        }
    }

    /// The decimal sign its readers expect.
    #[must_use]
    pub const fn decimal_mark(self) -> DecimalMark {
        match self {
            Self::English => DecimalMark::Point,
            Self::Spanish | Self::French => DecimalMark::Comma,
        }
    }

    /// Its own name for itself.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::English => "English",
            Self::Spanish => "Español",
            Self::French => "Français",
        }
    }

    /// The language of a locale such as `es-MX` or `fr_CA.UTF-8`; none for other languages.
    #[must_use]
    pub fn of_locale(locale: &str) -> Option<Self> {
        let code = locale.split(['-', '_', '.', '@']).next()?;
        Self::ALL
            .into_iter()
            .find(|language| code.eq_ignore_ascii_case(language.code()))
    }

    /// Whether so many are one in its grammar, after the plural rules of CLDR: none is one in
    /// French and many in English and Spanish.
    const fn is_one(self, n: usize) -> bool {
        match self {
            Self::English | Self::Spanish => n == 1,
            Self::French => n <= 1,
        }
    }
}

/// A word or sentence without placeholders, to be said in any language: made by
/// [`word!`](crate::word).
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Word {
    key: &'static str,
}

impl Word {
    #[doc(hidden)]
    #[must_use]
    pub const fn of_key(key: &'static str) -> Self {
        Self { key }
    }

    /// It, in a language.
    #[must_use]
    pub fn said(self, language: Language) -> &'static str {
        tables::form(language, self.key, 0).unwrap_or_else(|| fill::english(self.key))
    }
}

/// Marks a word or sentence without placeholders, such as a name in a table: a
/// [`Word`](crate::language::Word). `ctx:` tells apart what is one word in English and several in
/// another language.
///
/// ```
/// use tautbook_core::language::{Language, Word};
/// use tautbook_core::word;
///
/// const TOP: Word = word!(ctx: "zone", "Top");
/// assert_eq!(TOP.said(Language::English), "Top");
/// ```
#[macro_export]
macro_rules! word {
    (ctx: $context:literal, $text:literal) => {
        $crate::language::Word::of_key(concat!($context, "\u{4}", $text))
    };
    ($text:literal) => {
        $crate::language::Word::of_key($text)
    };
}

/// A sentence in a language, as text, its named placeholders filled. The compiler refuses a
/// placeholder without a value and a value without a placeholder.
///
/// ```
/// use tautbook_core::language::Language;
/// use tautbook_core::say;
///
/// let load = "A 17";
/// assert_eq!(say!(Language::English, "Load {name}", name = load), "Load A 17");
/// ```
///
/// ```compile_fail
/// use tautbook_core::{language::Language, say};
/// say!(Language::English, "Load {name}");
/// ```
#[macro_export]
macro_rules! say {
    ($language:expr, ctx: $context:literal, $text:literal $(, $name:ident = $value:expr)* $(,)?) => {
        $crate::language_said!(filled($language, concat!($context, "\u{4}", $text)), $text $(, $name = $value)*)
    };
    ($language:expr, $text:literal $(, $name:ident = $value:expr)* $(,)?) => {
        $crate::language_said!(filled($language, $text), $text $(, $name = $value)*)
    };
}

/// A sentence with a number of things in a language, as text: its form for one and its form for
/// many. `{n}` is the number, other placeholders are as in [`say!`](crate::say).
///
/// ```
/// use tautbook_core::language::Language;
/// use tautbook_core::say_count;
///
/// let say = |n: usize| say_count!(Language::English, n, "{n} sentence", "{n} sentences");
/// assert_eq!((say(1), say(2)), ("1 sentence".to_owned(), "2 sentences".to_owned()));
/// ```
#[macro_export]
macro_rules! say_count {
    ($language:expr, $n:expr, $one:literal, $many:literal $(, $name:ident = $value:expr)* $(,)?) => {{
        let number: usize = $n;
        $crate::language_said!(counted($language, $one, $many, number), $many, n = number $(, $name = $value)*)
    }};
}

/// What [`say!`](crate::say) and [`say_count!`](crate::say_count) share.
#[doc(hidden)]
#[macro_export]
macro_rules! language_said {
    ($form:ident($($given:expr),*), $text:literal $(, $name:ident = $value:expr)*) => {
        match ($(&$value,)*) {
            ($($name,)*) => {
                // Only for the compiler to hold the names against each other.
                if false {
                    let _ = format_args!(concat!($text, ""), $($name = $name),*);
                }
                $crate::language::$form($($given,)* &[$((stringify!($name), $name as &dyn ::std::fmt::Display)),*])
            }
        }
    };
}

#[cfg(test)]
mod tests {
    use super::{Language, Word};

    #[test]
    fn locales_name_their_language() {
        let of = Language::of_locale;
        assert_eq!(of("es-MX"), Some(Language::Spanish));
        assert_eq!(of("fr_CA.UTF-8"), Some(Language::French));
        assert_eq!(of("EN"), Some(Language::English));
        assert_eq!(of("C"), None);
        assert_eq!(of("de-DE"), None);
        assert_eq!(of(""), None);
    }

    #[test]
    fn what_no_catalogue_has_is_said_in_english() {
        const NOWHERE: Word = Word::of_key("zone\u{4}Nowhere at all");
        for language in Language::ALL {
            assert_eq!(NOWHERE.said(language), "Nowhere at all");
        }
    }

    #[test]
    fn the_tables_can_be_searched() {
        for table in [&super::tables::SPANISH[..], &super::tables::FRENCH[..]] {
            assert!(table.is_sorted_by(|one, next| one.0 < next.0));
            assert!(!table.is_empty());
        }
    }
}
