//! A report in another language has no English left in it, but for what people wrote.
//!
//! The words of the English report are looked for in the others: three in a row on one line that
//! stand in both, at least one of them in no text of the record, were not translated.

#![allow(clippy::unwrap_used)] // In a test a failed unwrap is a failed test.

use std::collections::BTreeSet;
use std::ops::ControlFlow;
use std::path::Path;

use serde_json::Value;
use tautbook_core::language::Language;
use tautbook_core::report::{CardOf, Options, Paper, card};
use tautbook_core::survey::RecordSet;
use tautbook_tests::others::said;
use tautbook_tests::reported::{SAMPLES, book_of, made, sample};

/// Words in a row.
type Run = [String; 3];

/// What stands on the pages, in the order it was drawn.
fn text_of(folder: &Path, pdf: &[u8]) -> String {
    let file = folder.join("of.pdf");
    std::fs::write(&file, pdf).unwrap();
    said(
        "pdftotext",
        "poppler-utils",
        &["-raw", file.to_str().unwrap(), "-"],
    )
}

/// Three words in a row on one line, with nothing but blanks and commas between them.
fn runs(text: &str) -> BTreeSet<Run> {
    let mut runs = BTreeSet::new();
    let between = |letter: char| !letter.is_alphabetic() && letter != ' ' && letter != ',';
    for line in text.lines() {
        for part in line.split(between) {
            let words: Vec<String> = part
                .split([' ', ','])
                .filter(|word| !word.is_empty())
                .map(str::to_lowercase)
                .collect();
            let three = words.windows(3).map(|of| of.to_vec().try_into().unwrap());
            runs.extend(three);
        }
    }
    runs
}

/// Every word of the texts in the records.
fn written(records: &RecordSet) -> BTreeSet<String> {
    fn gather(value: &Value, said: &mut String) {
        match value {
            Value::String(text) => {
                said.push_str(text);
                said.push('\n');
            }
            Value::Array(values) => values.iter().for_each(|value| gather(value, said)),
            Value::Object(values) => values.values().for_each(|value| gather(value, said)),
            Value::Null | Value::Bool(_) | Value::Number(_) => {}
        }
    }
    let mut said = String::new();
    gather(&serde_json::to_value(records).unwrap(), &mut said);
    said.split(|letter: char| !letter.is_alphabetic())
        .map(str::to_lowercase)
        .collect()
}

/// The report of a sample and the cards of its lines, as text.
fn texts(name: &str, language: Language) -> String {
    let records = sample(name).unwrap();
    let folder = tempfile::tempdir().unwrap();
    let (book, visits) = book_of(&folder.path().join("book.taut"), &records).unwrap();
    let options = Options::of(&records, language, Paper::A4);
    let report = made(&book, visits[0], options).unwrap();
    let mut text = text_of(folder.path(), &report.pdf);
    for line in &records.lines {
        let mut watch = |_| ControlFlow::Continue(());
        let card = card(&book, CardOf::Line(line.id), options, &mut watch).unwrap();
        text.push_str(&text_of(folder.path(), &card.pdf));
    }
    text
}

#[test]
fn no_english_is_left_in_a_report_in_another_language() {
    for name in SAMPLES {
        let people = written(&sample(name).unwrap());
        let mut ours = runs(&texts(name, Language::English));
        ours.retain(|run| !run.iter().all(|word| people.contains(word)));
        // Else there would be nothing to find.
        assert!(ours.len() > 500, "{name}: {}", ours.len());
        for language in [Language::Spanish, Language::French] {
            let other = runs(&texts(name, language));
            assert!(other.len() > 500, "{name} {language:?}: {}", other.len());
            let left: Vec<String> = other
                .iter()
                .filter(|run| ours.contains(*run))
                .map(|run| run.join(" "))
                .collect();
            assert!(left.is_empty(), "{name} {language:?}: {left:#?}");
        }
    }
}
