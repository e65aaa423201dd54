//! The catalogues, as the build script writes them.

use super::Language;

include!(concat!(env!("OUT_DIR"), "/catalogues.rs"));

/// A form of what stands under a key: 0 alone or for one, 1 for many. None in English and where the
/// catalogue lacks it.
pub(super) fn form(language: Language, key: &str, form: usize) -> Option<&'static str> {
    let table = match language {
        Language::English => return None,
        Language::Spanish => &SPANISH[..],
        Language::French => &FRENCH[..],
    };
    let at = table.binary_search_by_key(&key, |(key, _)| key).ok()?;
    table.get(at)?.1.get(form).copied()
}
