//! No English is left on the screens in another language.
//!
//! Every scene is opened in each language. A word that stands there as it does in English
//! must be one that the language's catalogues say too, or one that somebody wrote in the book.

use std::collections::BTreeSet;
use std::path::Path;

use i_slint_backend_testing::ElementQuery;
use tautbook_core::book::Which;
use tautbook_core::language::Language;
use tautbook_core::survey::Visit;
use tautbook_ui::app::App;
use tautbook_ui::screens::MainWindow;
use tautbook_ui::session::Session;

use super::{backend, survey};

type Words = BTreeSet<String>;

/// What stands for a quantity, a name of a file or of a thing in every language.
const ALIKE: &[&str] = &[
    // Units and formats.
    "lb",
    "oz",
    "in",
    "ft",
    "ga",
    "mm",
    "cm",
    "kg",
    "min",
    "mil",
    "pdf",
    "jpeg",
    "png",
    "zip",
    "age",
    "usd",
    // The names of the languages, each in itself.
    "english",
    "español",
    "français",
    // What a scene types.
    "ish",
    // The app's own name, and the folders it keeps.
    "tautbook",
    "outgoing",
    "tmp",
];

/// The words of a text in small letters; numbers, codes and single letters are none.
fn words(text: &str) -> impl Iterator<Item = String> + '_ {
    text.split(|sign: char| !sign.is_alphanumeric())
        .filter(|word| word.chars().count() > 1 && word.chars().all(char::is_alphabetic))
        .map(str::to_lowercase)
}

/// A translation without the names of its placeholders.
fn without_names(said: &str) -> String {
    let mut left = String::new();
    for part in said.split('{') {
        left.push_str(part.split_once('}').map_or(part, |(_, after)| after));
        left.push(' ');
    }
    left
}

/// The words that a language's catalogues say.
fn said(language: Language) -> Words {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("../lang")
        .join(language.code())
        .join("LC_MESSAGES");
    let mut found = Words::new();
    for name in ["tautbook.po", "tautbook-screens.po"] {
        let text = std::fs::read_to_string(folder.join(name)).unwrap();
        let mut translated = false;
        for line in text.lines() {
            if !line.starts_with('"') {
                translated = line.starts_with("msgstr");
            }
            if translated && let Some((_, said)) = line.split_once('"') {
                found.extend(words(&without_names(&said.replace("\\n", " "))));
            }
        }
    }
    assert!(found.len() > 500, "{}", found.len());
    found
}

/// What people wrote in the book and what stands half typed, the longest first. Names in the records' own terms, such as
/// `as_found`, are none of it.
fn written(session: &Session) -> Vec<String> {
    let mut found = BTreeSet::new();
    let term = |text: &str| text.bytes().all(|sign| matches!(sign, b'a'..=b'z' | b'_'));
    let mut gather = |value: &serde_json::Value| {
        let mut left = vec![value];
        while let Some(value) = left.pop() {
            match value {
                serde_json::Value::String(text) if !term(text) => {
                    found.insert(text.clone());
                }
                serde_json::Value::Array(parts) => left.extend(parts),
                serde_json::Value::Object(parts) => left.extend(parts.values()),
                _ => {}
            }
        }
    };
    for visit in session.book().all::<Visit>().unwrap() {
        let records = session.book().visit_records(visit.id, Which::All).unwrap();
        gather(&serde_json::to_value(records).unwrap());
    }
    found.insert(survey::THICKNESS.to_owned());
    let mut found: Vec<String> = found.into_iter().collect();
    found.sort_by_key(|text| std::cmp::Reverse(text.len()));
    found
}

/// A text without what people wrote, names of files made of that, and the licence's own name.
fn without(text: &str, written: &[String]) -> String {
    let file = |part: &str| {
        [".zip", ".jpg", ".pdf"]
            .iter()
            .any(|end| part.contains(end))
    };
    // A space that does not break is a space here.
    let text = text.replace('\u{a0}', " ");
    let parts: Vec<&str> = text.split(' ').filter(|part| !file(part)).collect();
    let mut left = parts.join(" ").replace("MIT OR Apache-2.0", "");
    for own in written {
        if left.contains(own.as_str()) {
            left = left.replace(own.as_str(), " 0 ");
        }
    }
    left
}

/// A scene in a language: what its screen says, and what people wrote in its book.
fn seen(language: Language, name: &str) -> (Vec<String>, impl Fn() -> Vec<String>) {
    let kept = tempfile::tempdir().unwrap();
    let window = MainWindow::new().unwrap();
    let app = App::start(&window, survey::start_in(language, name, kept.path()));
    i_slint_backend_testing::mock_elapsed_time(std::time::Duration::from_millis(20));
    let labels = ElementQuery::from_root(&window)
        .match_descendants()
        .match_predicate(|element| element.accessible_label().is_some())
        .find_all()
        .iter()
        .filter_map(i_slint_backend_testing::ElementHandle::accessible_label)
        .map(Into::into)
        .collect();
    (labels, move || {
        let _kept = &kept;
        app.look(written)
    })
}

#[test]
fn no_english_is_left_in_another_language() {
    backend::backend();
    let mut left = BTreeSet::new();
    // The parts are named as their makers named them and their licences.
    for name in survey::names().into_iter().filter(|name| *name != "parts") {
        let (texts, _) = seen(Language::English, name);
        let english: Words = texts.iter().flat_map(|text| words(text)).collect();
        for language in [Language::Spanish, Language::French] {
            let said = said(language);
            let same = |text: &str| -> Vec<String> {
                words(text)
                    .filter(|word| english.contains(word) && !said.contains(word))
                    .filter(|word| !ALIKE.contains(&word.as_str()))
                    .collect()
            };
            let (mut texts, written) = seen(language, name);
            texts.retain(|text| !same(text).is_empty());
            if texts.is_empty() {
                continue;
            }
            let written = written();
            for text in texts {
                let same = same(&without(&text, &written));
                if !same.is_empty() {
                    left.insert(format!("{}, {name}: {same:?} in {text:?}", language.code()));
                }
            }
        }
    }
    let left: Vec<String> = left.into_iter().collect();
    assert!(left.is_empty(), "{}:\n{}", left.len(), left.join("\n"));
}

#[test]
fn a_word_left_in_english_is_found() {
    let spanish = said(Language::Spanish);
    assert!(spanish.contains("carga"));
    for english in ["load", "setup", "readings", "weighing"] {
        assert!(!spanish.contains(english), "{english}");
    }
    let found: Vec<String> = words("Load 4, 7K2M-4QXD: 12 lb a load").collect();
    assert_eq!(found, ["load", "lb", "load"]);
}
