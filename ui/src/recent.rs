//! What was written lately in each kind of field, to be offered where the field stands empty again: a
//! gloved hand types little.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

/// So many are kept of a field.
const MOST: usize = 3;
/// Longer texts are notes, not values.
const LONGEST: usize = 40;

/// Written lately, the latest first, by field.
#[derive(Debug, Default, Serialize, Deserialize)]
#[serde(transparent)]
pub(crate) struct Recent(BTreeMap<String, Vec<String>>);

impl Recent {
    /// What was written in a field; nothing for one that was not written in yet.
    pub(crate) fn of(&self, field: &str) -> &[String] {
        self.0.get(field).map_or(&[], Vec::as_slice)
    }

    /// Notes what was kept of a field; whether that changes anything.
    pub(crate) fn note(&mut self, field: &str, text: &str) -> bool {
        let text = text.trim();
        if text.is_empty() || text.contains('\n') || text.chars().count() > LONGEST {
            return false;
        }
        if self.of(field).first().is_some_and(|latest| latest == text) {
            return false;
        }
        let kept = self.0.entry(field.to_owned()).or_default();
        kept.retain(|known| known != text);
        kept.insert(0, text.to_owned());
        kept.truncate(MOST);
        true
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_latest_come_first_and_only_values_are_kept() {
        let mut recent = Recent::default();
        for text in ["48 in", "40 in", "48 in", "42 in", " 44 in "] {
            assert!(recent.note("load length", text));
        }
        assert_eq!(recent.of("load length"), ["44 in", "42 in", "48 in"]);
        assert!(!recent.note("load length", "44 in"), "it is the latest");
        for text in ["", "  ", "two\nlines", &"long ".repeat(10)] {
            assert!(!recent.note("load length", text), "{text:?}");
        }
        assert!(recent.of("load width").is_empty());
    }
}
