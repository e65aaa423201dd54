//! Catalogues of translations held against what the code marks to be said.

#![allow(clippy::unwrap_used)] // In a check a failed unwrap is a failed check.

use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write as _;
use std::path::{Path, PathBuf};

use rspolib::POEntry;

const LANGUAGES: [&str; 2] = ["es", "fr"];
/// No line is wrapped: changes are easier to read.
const UNWRAPPED: usize = usize::MAX / 2;

/// What is marked in the code: the plural, where there is one, by its context and English.
pub type Marked = BTreeMap<(Option<String>, String), Option<String>>;

/// The folder of the whole project.
///
/// # Panics
///
/// Where the crate stands in no folder.
#[must_use]
pub fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR")).parent().unwrap()
}

/// The files of a folder and the folders in it whose names end so, in order.
///
/// # Panics
///
/// Where the folder cannot be read.
#[must_use]
pub fn sources(folder: &Path, ending: &str) -> Vec<PathBuf> {
    let mut entries: Vec<_> = std::fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .collect();
    entries.sort();
    let mut found = Vec::new();
    for path in entries {
        if path.is_dir() {
            found.extend(sources(&path, ending));
        } else if path.extension().is_some_and(|its| its == ending) {
            found.push(path);
        }
    }
    found
}

/// Adds what is said to what is marked.
///
/// # Panics
///
/// Where it is said with and without a number, which one key cannot tell apart.
pub fn mark(marked: &mut Marked, context: Option<String>, one: String, many: Option<String>) {
    let said = (context, one);
    let before = marked.get(&said);
    assert!(
        before.is_none_or(|before| *before == many),
        "{said:?} is said with and without a number: give one of them a context"
    );
    marked.insert(said, many);
}

/// The catalogues of one name, one for each language.
pub struct Catalogues {
    /// The name of their files, without its ending.
    pub name: &'static str,
    /// What stands in a sentence for a value; the number of things is `n`.
    pub placeholders: fn(&str) -> BTreeSet<String>,
}

fn key(entry: &POEntry) -> (Option<String>, String) {
    (entry.msgctxt.clone(), entry.msgid.clone())
}

fn edges(text: &str) -> (bool, bool) {
    (
        text.starts_with(char::is_whitespace),
        text.ends_with(char::is_whitespace),
    )
}

/// A mark that a line could begin with, where the language sets it off by a space that must not break:
/// in French before `:`, `;`, `!`, `?`, and within guillemets; in Spanish before `%` too (Imprimerie
/// nationale, *Lexique des règles typographiques*; RAE, *Ortografía*; both from memory).
fn loose_mark(language: &str, entry: &POEntry) -> Option<String> {
    let set_off = if language == "fr" { ":;!?%»" } else { "%" };
    let forms = entry.msgstr.iter().chain(&entry.msgstr_plural);
    for form in forms {
        let signs: Vec<char> = form.chars().collect();
        let loose = signs.windows(3).any(|near| match near {
            // Behind a full stop the mark is spoken of.
            ['«', ' ', _] => true,
            [before, ' ', mark] => *before != '.' && set_off.contains(*mark),
            _ => false,
        });
        if loose {
            return Some(format!("lets a line break before a mark: {form:?}"));
        }
    }
    None
}

impl Catalogues {
    /// Holds the catalogues against what is marked: a line for each fault. With `UPDATE_EXPECTED`
    /// they are first written anew.
    ///
    /// # Panics
    ///
    /// Where a catalogue cannot be read or written, or has a sentence twice.
    #[must_use]
    pub fn faults(&self, marked: &Marked) -> String {
        let mut faults = String::new();
        for language in LANGUAGES {
            if std::env::var_os("UPDATE_EXPECTED").is_some() {
                self.update(language, marked);
            }
            let entries = self.entries(language);
            let known: BTreeSet<_> = entries.iter().map(key).collect();
            assert_eq!(known.len(), entries.len(), "{language}: said twice");
            for said in marked.keys().filter(|said| !known.contains(*said)) {
                writeln!(faults, "{language}: lacks {said:?}").unwrap();
            }
            for entry in &entries {
                let fault = self.fault(entry, marked);
                if let Some(fault) = fault.or_else(|| loose_mark(language, entry)) {
                    writeln!(faults, "{language}: {:?} {fault}", entry.msgid).unwrap();
                }
            }
        }
        faults
    }

    fn path(&self, language: &str) -> PathBuf {
        root().join(format!("lang/{language}/LC_MESSAGES/{}.po", self.name))
    }

    fn entries(&self, language: &str) -> Vec<POEntry> {
        let path = self.path(language);
        rspolib::pofile(path.to_str().unwrap()).unwrap().entries
    }

    fn fault(&self, entry: &POEntry, marked: &Marked) -> Option<String> {
        let Some(many) = marked.get(&key(entry)) else {
            return Some("is said nowhere".to_owned());
        };
        if entry.fuzzy() {
            return Some("is doubtful".to_owned());
        }
        if entry.msgid_plural != *many {
            return Some(format!("should have {many:?} as its plural"));
        }
        let forms: Vec<&String> = match many {
            None => entry.msgstr.iter().collect(),
            Some(_) => entry.msgstr_plural.iter().collect(),
        };
        if forms.len() != 1 + usize::from(many.is_some())
            || forms.iter().any(|form| form.is_empty())
        {
            return Some("is not translated".to_owned());
        }
        for (at, form) in forms.iter().enumerate() {
            let english = many.as_ref().filter(|_| at == 1).unwrap_or(&entry.msgid);
            let (mut needs, has) = ((self.placeholders)(english), (self.placeholders)(form));
            if at == 0 && many.is_some() && !has.contains("n") {
                needs.remove("n");
            }
            if has != needs {
                return Some(format!("should have {needs:?}, not {has:?}: {form:?}"));
            }
            if edges(form) != edges(english) {
                return Some(format!("has other blanks at its ends: {form:?}"));
            }
        }
        None
    }

    /// Writes a catalogue anew: the same header, what is said in order, what was translated kept.
    fn update(&self, language: &str, marked: &Marked) {
        let path = self.path(language);
        let old = std::fs::read_to_string(&path).unwrap();
        let (header, _) = old.split_once("\n\n").unwrap();
        let known: BTreeMap<_, _> = self
            .entries(language)
            .into_iter()
            .map(|entry| (key(&entry), entry))
            .collect();
        let mut new = format!("{header}\n");
        for ((context, one), many) in marked {
            let mut entry = known
                .get(&(context.clone(), one.clone()))
                .cloned()
                .unwrap_or_else(|| POEntry::new(0));
            entry.msgctxt.clone_from(context);
            entry.msgid.clone_from(one);
            entry.msgid_plural.clone_from(many);
            if many.is_some() {
                entry.msgstr = None;
                entry.msgstr_plural.resize(2, String::new());
            } else {
                entry.msgstr.get_or_insert_default();
                entry.msgstr_plural.clear();
            }
            write!(new, "\n{}", entry.to_string_with_wrapwidth(UNWRAPPED)).unwrap();
        }
        std::fs::write(&path, new).unwrap();
    }
}
