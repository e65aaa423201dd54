//! The catalogues of translations hold exactly what the code says, with its placeholders.
//!
//! Run with `UPDATE_EXPECTED=1` to add what a catalogue lacks, to be translated, and to take out
//! what the code no longer says.

#![allow(clippy::unwrap_used)] // In a test a failed unwrap is a failed test.

use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write as _;
use std::path::{Path, PathBuf};

use proc_macro2::{Delimiter, TokenStream, TokenTree};
use rspolib::POEntry;

const LANGUAGES: [&str; 2] = ["es", "fr"];
/// No line is wrapped: changes are easier to read.
const UNWRAPPED: usize = usize::MAX / 2;

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR")).parent().unwrap()
}

fn catalogue(language: &str) -> PathBuf {
    root().join(format!("lang/{language}/LC_MESSAGES/tautbook.po"))
}

/// What is marked in the code, by its context and English.
type Marked = BTreeMap<(Option<String>, String), Option<String>>;

fn sources(folder: &Path, found: &mut Vec<PathBuf>) {
    let mut entries: Vec<_> = std::fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .collect();
    entries.sort();
    for path in entries {
        if path.is_dir() {
            sources(&path, found);
        } else if path.extension().is_some_and(|ending| ending == "rs") {
            found.push(path);
        }
    }
}

fn gather(tokens: TokenStream, marked: &mut Marked) {
    let trees: Vec<TokenTree> = tokens.into_iter().collect();
    for at in 0..trees.len() {
        if let TokenTree::Group(group) = &trees[at] {
            gather(group.stream(), marked);
        }
        let [
            TokenTree::Ident(name),
            TokenTree::Punct(bang),
            TokenTree::Group(group),
            ..,
        ] = &trees[at..]
        else {
            continue;
        };
        if bang.as_char() != '!' || group.delimiter() != Delimiter::Parenthesis {
            continue;
        }
        let arguments = arguments(group.stream());
        match name.to_string().as_str() {
            "word" => mark(&arguments, false, marked),
            "say" => mark(&arguments[1..], false, marked),
            "say_count" => mark(&arguments[2..], true, marked),
            _ => {}
        }
    }
}

/// The arguments of a macro, parted at its commas.
fn arguments(tokens: TokenStream) -> Vec<Vec<TokenTree>> {
    let mut arguments = vec![Vec::new()];
    for tree in tokens {
        match &tree {
            TokenTree::Punct(comma) if comma.as_char() == ',' => arguments.push(Vec::new()),
            _ => arguments.last_mut().unwrap().push(tree),
        }
    }
    arguments
}

fn text(argument: &[TokenTree]) -> String {
    let last = argument.last().unwrap().to_string();
    syn::parse_str::<syn::LitStr>(&last)
        .unwrap_or_else(|error| panic!("{last}: {error}"))
        .value()
}

fn mark(arguments: &[Vec<TokenTree>], counted: bool, marked: &mut Marked) {
    let (context, rest) = match arguments {
        [context, rest @ ..] if context.len() == 3 && context[0].to_string() == "ctx" => {
            (Some(text(context)), rest)
        }
        _ => (None, arguments),
    };
    let many = counted.then(|| text(&rest[1]));
    let one = text(&rest[0]);
    let before = marked.insert((context, one.clone()), many.clone());
    assert!(
        before.is_none_or(|before| before == many),
        "{one:?} is said with and without a number: give one of them a context"
    );
}

fn marked() -> Marked {
    let mut files = Vec::new();
    for member in ["core", "ui", "app"] {
        sources(&root().join(member).join("src"), &mut files);
    }
    let mut marked = Marked::new();
    for file in files {
        // The examples in the macros' own documentation are no sentences of ours.
        let code = std::fs::read_to_string(&file).unwrap();
        gather(code.parse().unwrap(), &mut marked);
    }
    marked
}

fn placeholders(text: &str) -> BTreeSet<String> {
    text.split('{')
        .skip(1)
        .map(|after| after.split_once('}').unwrap().0.to_owned())
        .collect()
}

fn key(entry: &POEntry) -> (Option<String>, String) {
    (entry.msgctxt.clone(), entry.msgid.clone())
}

fn entries(language: &str) -> Vec<POEntry> {
    let path = catalogue(language);
    rspolib::pofile(path.to_str().unwrap()).unwrap().entries
}

#[test]
fn each_language_says_all_that_is_said() {
    let marked = marked();
    if std::env::var_os("UPDATE_EXPECTED").is_some() {
        for language in LANGUAGES {
            update(language, &marked);
        }
    }
    let mut faults = String::new();
    for language in LANGUAGES {
        let entries = entries(language);
        let known: BTreeSet<_> = entries.iter().map(key).collect();
        assert_eq!(known.len(), entries.len(), "{language}: said twice");
        for said in marked.keys().filter(|said| !known.contains(*said)) {
            writeln!(faults, "{language}: lacks {said:?}").unwrap();
        }
        for entry in &entries {
            let fault = fault(entry, &marked);
            if let Some(fault) = fault {
                writeln!(faults, "{language}: {:?} {fault}", entry.msgid).unwrap();
            }
        }
    }
    assert!(faults.is_empty(), "\n{faults}");
}

fn fault(entry: &POEntry, marked: &Marked) -> Option<String> {
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
    if forms.len() != 1 + usize::from(many.is_some()) || forms.iter().any(|form| form.is_empty()) {
        return Some("is not translated".to_owned());
    }
    for (at, form) in forms.iter().enumerate() {
        let english = many.as_ref().filter(|_| at == 1).unwrap_or(&entry.msgid);
        let (mut needs, has) = (placeholders(english), placeholders(form));
        if at == 0 && many.is_some() && !has.contains("n") {
            needs.remove("n");
        }
        if has != needs {
            return Some(format!("should have {needs:?}, not {has:?}: {form:?}"));
        }
        let edges = |text: &str| {
            (
                text.starts_with(char::is_whitespace),
                text.ends_with(char::is_whitespace),
            )
        };
        if edges(form) != edges(english) {
            return Some(format!("has other blanks at its ends: {form:?}"));
        }
    }
    None
}

/// Writes a catalogue anew: the same header, what is said in order, what was translated kept.
fn update(language: &str, marked: &Marked) {
    let path = catalogue(language);
    let old = std::fs::read_to_string(&path).unwrap();
    let (header, _) = old.split_once("\n\n").unwrap();
    let known: BTreeMap<_, _> = entries(language)
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
