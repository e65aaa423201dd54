//! The customer's report and the loading card, held against the book and read by programs of
//! others.

#![allow(clippy::unwrap_used)] // In a test a failed unwrap is a failed test.

use std::ops::ControlFlow;
use std::path::{Path, PathBuf};

use tautbook_core::book::{Book, Which};
use tautbook_core::language::Language;
use tautbook_core::photos::{Options as PhotoOptions, Source, prepare};
use tautbook_core::report::{CardOf, Made, Options, Paper, ReportError, card, report};
use tautbook_core::survey::{Id, Line, Load, RecordSet, Setup, SetupRole, Visit};
use tautbook_tests::others::said;
use tautbook_tests::reported::{SAMPLES, book_of, made, sample};
use tautbook_tests::{day, scene};

struct Sample {
    folder: tempfile::TempDir,
    book: Book,
    visit: Id<Visit>,
    records: RecordSet,
}

fn opened(name: &str) -> Sample {
    let folder = tempfile::tempdir().unwrap();
    let records = sample(name).unwrap();
    let (book, visits) = book_of(&folder.path().join("book.taut"), &records).unwrap();
    Sample {
        folder,
        book,
        visit: visits[0],
        records,
    }
}

impl Sample {
    fn made(&self, language: Language, paper: Paper) -> Made {
        made(
            &self.book,
            self.visit,
            Options::of(&self.records, language, paper),
        )
        .unwrap()
    }

    fn on_disk(&self, made: &Made) -> PathBuf {
        let file = self.folder.path().join("report.pdf");
        std::fs::write(&file, &made.pdf).unwrap();
        file
    }
}

fn text_of(file: &Path) -> String {
    said(
        "pdftotext",
        "poppler-utils",
        &["-layout", file.to_str().unwrap(), "-"],
    )
}

const PAPERS: [Paper; 2] = [Paper::Letter, Paper::A4];

#[test]
fn the_same_book_gives_the_same_bytes() {
    for name in SAMPLES {
        let here = opened(name);
        let there = opened(name);
        for language in Language::ALL {
            for paper in PAPERS {
                let one = here.made(language, paper);
                assert_eq!(
                    one,
                    there.made(language, paper),
                    "{name} {language:?} {paper:?}"
                );
                assert!(
                    one.missing.is_empty(),
                    "{name} {language:?}: {:?}",
                    one.missing
                );
            }
        }
    }
}

#[test]
fn another_program_finds_the_file_sound() {
    for name in SAMPLES {
        let sample = opened(name);
        for (language, paper) in [
            (Language::English, Paper::Letter),
            (Language::Spanish, Paper::A4),
            (Language::French, Paper::A4),
        ] {
            let file = sample.on_disk(&sample.made(language, paper));
            let file = file.to_str().unwrap();
            let checked = said("qpdf", "qpdf", &["--check", file]);
            assert!(
                checked.contains("No syntax or stream encoding errors"),
                "{checked}"
            );
            let info = said("pdfinfo", "poppler-utils", &[file]);
            let line = |key: &str| {
                let line = info.lines().find(|line| line.starts_with(key)).unwrap();
                line[key.len()..].trim().to_owned()
            };
            assert_eq!(line("Tagged:"), "yes");
            assert!(!line("Title:").is_empty());
            let size = match paper {
                Paper::Letter => "612 x 792",
                Paper::A4 => "595.",
            };
            assert!(line("Page size:").starts_with(size), "{info}");
            let fonts = said("pdffonts", "poppler-utils", &[file]);
            let mut rows = 0;
            for row in fonts.lines().skip(2) {
                // name, type, encoding, emb, sub, uni, object: counted from the right.
                let cells: Vec<&str> = row.split_whitespace().rev().collect();
                assert_eq!(cells[2..5], ["yes", "yes", "yes"], "{row}");
                rows += 1;
            }
            assert!(rows > 1, "{fonts}");
            let tree = said("pdfinfo", "poppler-utils", &["-struct", file]);
            for tag in ["H1", "H2", "Table", "TH", "TD", "Figure"] {
                assert!(tree.contains(tag), "{tag} in the structure of {name}");
            }
            let catalogue = said("qpdf", "qpdf", &["--json", "--json-key=qpdf", file]);
            let lang = format!("\"/Lang\": \"u:{}\"", language.code());
            assert!(catalogue.contains(&lang), "{lang} of {name}");
        }
    }
}

/// Every reading as it was written.
fn written(sample: &Sample) -> Vec<String> {
    let records = sample
        .book
        .visit_records(sample.visit, Which::InUse)
        .unwrap();
    let readings = records.readings.iter();
    readings
        .map(|reading| reading.measure.entered().to_owned())
        .collect()
}

#[test]
fn every_reading_in_the_book_stands_in_the_report() {
    for name in SAMPLES {
        let sample = opened(name);
        for language in Language::ALL {
            let file = sample.on_disk(&sample.made(language, Paper::Letter));
            let plain: String = text_of(&file).split_whitespace().collect();
            let mut expected = std::collections::BTreeMap::<String, usize>::new();
            for figure in written(&sample) {
                let figure: String = figure.split_whitespace().collect();
                *expected.entry(figure).or_default() += 1;
            }
            for (figure, times) in expected {
                let number = figure.trim_end_matches(|sign: char| sign.is_alphabetic());
                let stands = plain.matches(number).count();
                assert!(
                    stands >= times,
                    "{name} {language:?}: {figure} {stands} of {times} times"
                );
            }
        }
    }
}

/// A word on a page: page, left, top, right, bottom in points.
type Word = (usize, f64, f64, f64, f64, String);

fn words(file: &Path) -> (Vec<Word>, Vec<(f64, f64)>) {
    let said = said(
        "pdftotext",
        "poppler-utils",
        &["-bbox", file.to_str().unwrap(), "-"],
    );
    let number = |line: &str, key: &str| -> f64 {
        let from = line.split_once(&format!("{key}=\"")).unwrap().1;
        from.split_once('"').unwrap().0.parse().unwrap()
    };
    let (mut words, mut pages) = (Vec::new(), Vec::new());
    for line in said.lines().map(str::trim) {
        if line.starts_with("<page") {
            pages.push((number(line, "width"), number(line, "height")));
        } else if line.starts_with("<word") {
            let text = line.split_once('>').unwrap().1;
            words.push((
                pages.len() - 1,
                number(line, "xMin"),
                number(line, "yMin"),
                number(line, "xMax"),
                number(line, "yMax"),
                text.split_once("</word>").unwrap().0.to_owned(),
            ));
        }
    }
    (words, pages)
}

/// Each word is within its page and none lies over another.
fn set_well(file: &Path, what: &str) {
    let (words, pages) = words(file);
    assert!(!words.is_empty(), "{what}");
    for (page, left, top, right, bottom, text) in &words {
        let (width, height) = pages[*page];
        assert!(
            *left >= 18.0 && *top >= 18.0 && *right <= width - 18.0 && *bottom <= height - 18.0,
            "{what}, page {}: '{text}' at {left} {top} {right} {bottom}",
            page + 1
        );
    }
    for (at, one) in words.iter().enumerate() {
        // Words come in reading order; two that overlap are near each other in it, or on one line.
        for other in words[at + 1..]
            .iter()
            .take_while(|other| other.0 == one.0)
            .take(400)
        {
            let across = one.3.min(other.3) - one.1.max(other.1);
            let down = one.4.min(other.4) - one.2.max(other.2);
            // Boxes are as high as the typeface's tallest letter: lines may touch.
            let least = 0.5 * (one.4 - one.2).min(other.4 - other.2);
            assert!(
                across <= 1.0 || down <= least,
                "{what}, page {}: '{}' lies over '{}'",
                one.0 + 1,
                one.5,
                other.5
            );
        }
    }
}

#[test]
fn no_word_leaves_its_page_or_lies_over_another() {
    for name in SAMPLES {
        let sample = opened(name);
        for language in Language::ALL {
            for paper in PAPERS {
                let file = sample.on_disk(&sample.made(language, paper));
                set_well(&file, &format!("{name} {language:?} {paper:?}"));
                for line in &sample.records.lines {
                    let options = Options::of(&sample.records, language, paper);
                    let mut watch = |_| ControlFlow::Continue(());
                    let of = CardOf::Line(line.id);
                    let made = card(&sample.book, of, options, &mut watch).unwrap();
                    assert_eq!(made.pages, 1);
                    set_well(&sample.on_disk(&made), &format!("card {name} {language:?}"));
                }
            }
        }
    }
}

/// A book with one visit, made by hand.
fn by_hand(
    change: impl FnOnce(
        &mut tautbook_core::book::Act<'_>,
        Visit,
    ) -> Result<Id<Visit>, tautbook_core::book::BookError>,
) -> Sample {
    let folder = tempfile::tempdir().unwrap();
    let mut book = day::empty(folder.path());
    let records = RecordSet::default();
    let visit = sample("tile-maker").unwrap().visits[0].body.clone();
    let visit = book.act("a_visit", |act| change(act, visit)).unwrap().value;
    Sample {
        folder,
        book,
        visit,
        records,
    }
}

#[test]
fn a_visit_with_nothing_in_it_is_a_report_all_the_same() {
    let empty = by_hand(|act, visit| Ok(act.add(visit)?.id));
    let bare = by_hand(|act, visit| {
        let visit = act.add(visit)?.id;
        let line = act.add(Line::new(visit, "Line 1"))?;
        let setup = act.add(Setup::new(line.id, "As found", SetupRole::AsFound))?;
        act.add(Load::new(setup.id, "Load 1"))?;
        Ok(visit)
    });
    for (sample, what) in [(empty, "empty"), (bare, "bare")] {
        for language in Language::ALL {
            let made = sample.made(language, Paper::Letter);
            set_well(&sample.on_disk(&made), what);
        }
    }
}

#[test]
fn hostile_names_stay_on_the_page() {
    let long = "W".repeat(1_000);
    let odd = "\u{1f4e6}\u{202e}\u{5e9}\u{5dc}\u{5d5}\u{5dd}\u{0}\u{7}\t\u{200b}e\u{301}";
    let sample = by_hand(|act, visit| {
        let visit = act
            .add(Visit {
                customer: long.clone(),
                site: odd.to_owned(),
                notes: format!("{long} {odd}\n\n\n{long}"),
                ..visit
            })?
            .id;
        let line = act.add(Line::new(visit, long.as_str()))?;
        let setup = act.add(Setup::new(line.id, odd, SetupRole::AsFound))?;
        act.add(Load::new(setup.id, format!("{long}{odd}")))?;
        Ok(visit)
    });
    let made = sample.made(Language::English, Paper::A4);
    assert!(made.missing.contains(&'\u{1f4e6}'), "{:?}", made.missing);
    set_well(&sample.on_disk(&made), "hostile");
}

#[test]
fn photos_are_in_the_report_and_a_lost_one_is_told_in_its_place() {
    let mut sample = opened("tile-maker");
    let reading = sample.records.readings[0].reference();
    let mut ids = Vec::new();
    for n in 0..40_u16 {
        let jpeg = scene::jpeg(300 + 4 * n, 200 + 300 * (n % 2), false);
        let mut go_on = |_| ControlFlow::Continue(());
        let prepared = prepare(Source::Bytes(&jpeg), &PhotoOptions::default(), &mut go_on);
        let kept = sample.book.photo_folder().keep(&prepared.unwrap()).unwrap();
        let caption = format!("Picture number {n}");
        let done = sample
            .book
            .act("add_photo", |act| act.add_photo(&kept, reading, &caption));
        ids.push(done.unwrap().value);
    }
    let folder = sample.book.photo_folder();
    std::fs::remove_file(folder.photo(&ids[3].sha256).unwrap()).unwrap();
    std::fs::write(folder.photo(&ids[4].sha256).unwrap(), "no picture").unwrap();
    let made = sample.made(Language::English, Paper::Letter);
    assert_eq!(made.photos_missing, 2);
    let file = sample.on_disk(&made);
    set_well(&file, "photos");
    let listed = said(
        "pdfimages",
        "poppler-utils",
        &["-list", file.to_str().unwrap()],
    );
    let images = listed
        .lines()
        .filter(|line| line.contains(" jpeg "))
        .count();
    assert_eq!(images, 38, "{listed}");
    let text = text_of(&file);
    for n in 0..40 {
        assert!(text.contains(&format!("Picture number {n}")), "{n}");
    }
}

#[test]
fn what_is_called_off_makes_nothing() {
    let sample = opened("bottling-plant");
    let options = Options::of(&sample.records, Language::English, Paper::Letter);
    let mut told = 0;
    loop {
        let mut left = told;
        let mut watch = |_| {
            if left == 0 {
                return ControlFlow::Break(());
            }
            left -= 1;
            ControlFlow::Continue(())
        };
        match report(&sample.book, sample.visit, options, &mut watch) {
            Err(ReportError::Cancelled) => told += 1,
            Ok(_) => break,
            Err(other) => panic!("{other}"),
        }
    }
    assert!(told >= 3, "asked {told} times only");
}

#[test]
fn every_target_stands_in_the_report() {
    let sample = opened("tile-maker");
    let file = sample.on_disk(&sample.made(Language::English, Paper::Letter));
    let plain: String = text_of(&file).split_whitespace().collect();
    let targets = sample
        .book
        .visit_records(sample.visit, Which::InUse)
        .unwrap()
        .targets;
    assert!(!targets.is_empty());
    for target in &targets {
        let written: String = target.minimum.entered().split_whitespace().collect();
        let number = written.trim_end_matches(|sign: char| sign.is_alphabetic());
        assert!(plain.contains(number), "{written}");
    }
}
