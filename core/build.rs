//! Writes the catalogues of `lang` as tables to be looked words up in.

use std::collections::BTreeMap;
use std::fmt::Write as _;
use std::path::Path;

/// The languages that have a catalogue; English is written in the code.
const CATALOGUES: [(&str, &str); 2] = [("es", "SPANISH"), ("fr", "FRENCH")];

fn main() {
    let mut code = String::new();
    for (locale, name) in CATALOGUES {
        let path = format!("../lang/{locale}/LC_MESSAGES/tautbook.po");
        println!("cargo::rerun-if-changed={path}");
        let entries = entries(&path);
        let _ = writeln!(
            code,
            "pub(super) static {name}: [(&str, &[&str]); {}] = [",
            entries.len()
        );
        for (key, forms) in entries {
            let _ = writeln!(code, "    ({key:?}, &{forms:?}),");
        }
        code.push_str("];\n");
    }
    let Some(out) = std::env::var_os("OUT_DIR") else {
        panic!("cargo names no folder for what is written");
    };
    let path = Path::new(&out).join("catalogues.rs");
    if let Err(error) = std::fs::write(&path, code) {
        panic!("{}: {error}", path.display());
    }
}

/// What is translated, in order of its key: the English, after its context and U+0004 where it has
/// one, as in compiled catalogues.
fn entries(path: &str) -> BTreeMap<String, Vec<String>> {
    let file = match rspolib::pofile(path) {
        Ok(file) => file,
        Err(error) => panic!("{path} is no catalogue: {error}"),
    };
    file.entries
        .into_iter()
        .filter(|entry| !entry.obsolete && !entry.fuzzy())
        .map(|entry| {
            let key = match entry.msgctxt {
                Some(context) => format!("{context}\u{4}{}", entry.msgid),
                None => entry.msgid,
            };
            let forms = match entry.msgid_plural {
                Some(_) => entry.msgstr_plural,
                None => entry.msgstr.into_iter().collect(),
            };
            (key, forms)
        })
        .filter(|(_, forms)| !forms.is_empty() && forms.iter().all(|form| !form.is_empty()))
        .collect()
}
