//! Filling of placeholders.

use std::fmt::{Display, Write as _};

use super::{Language, tables};

/// The English of a key: what follows its context.
pub(super) fn english(key: &str) -> &str {
    key.split_once('\u{4}').map_or(key, |(_, text)| text)
}

/// A sentence with its placeholders filled.
#[must_use]
pub fn filled(language: Language, key: &str, values: &[(&str, &dyn Display)]) -> String {
    let text = tables::form(language, key, 0).unwrap_or_else(|| english(key));
    fill(text, values)
}

/// The same for so many.
#[must_use]
pub fn counted(
    language: Language,
    one: &str,
    many: &str,
    n: usize,
    values: &[(&str, &dyn Display)],
) -> String {
    let (form, text) = if language.is_one(n) {
        (0, one)
    } else {
        (1, many)
    };
    fill(tables::form(language, one, form).unwrap_or(text), values)
}

/// Puts values in the place of their `{name}`. A name without a value stays as it is: the checks of
/// the catalogues leave none.
fn fill(text: &str, values: &[(&str, &dyn Display)]) -> String {
    let mut said = String::with_capacity(text.len() + 16 * values.len());
    let mut rest = text;
    while let Some((before, after)) = rest.split_once('{') {
        said.push_str(before);
        let value = after.split_once('}').and_then(|(name, after)| {
            let (_, value) = values.iter().find(|(known, _)| *known == name)?;
            Some((value, after))
        });
        match value {
            Some((value, after)) => {
                // Writing to a String cannot fail.
                let _ = write!(said, "{value}");
                rest = after;
            }
            None => {
                said.push('{');
                rest = after;
            }
        }
    }
    said.push_str(rest);
    said
}

#[cfg(test)]
mod tests {
    use super::{counted, fill};
    use crate::language::Language;

    #[test]
    fn values_stand_where_their_names_stood() {
        let said = fill("{b} before {a}, {a}", &[("a", &1), ("b", &"{a}")]);
        assert_eq!(said, "{a} before 1, 1");
        assert_eq!(fill("no {such} name", &[("a", &1)]), "no {such} name");
        assert_eq!(fill("a { alone", &[]), "a { alone");
    }

    #[test]
    fn one_and_many_have_their_forms() {
        let say = |language, n| {
            counted(
                language,
                "{n} of nothing",
                "{n} of nothings",
                n,
                &[("n", &n)],
            )
        };
        assert_eq!(say(Language::English, 0), "0 of nothings");
        assert_eq!(say(Language::English, 1), "1 of nothing");
        assert_eq!(say(Language::Spanish, 2), "2 of nothings");
        assert_eq!(say(Language::French, 0), "0 of nothing");
    }
}
