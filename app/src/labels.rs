//! `tautbook label` and `tautbook find`: from a sample to its label and back.

use std::fmt::Write as _;
use std::ops::ControlFlow;
use std::path::{Path, PathBuf};

use anyhow::{Context as _, bail};
use clap::ValueEnum;
use tautbook_core::book::Book;
use tautbook_core::dayfile::write_whole;
use tautbook_core::label::print::{self, Dpi, LabelWords, pdf, png};
use tautbook_core::label::{
    Lookup, SampleFacts, ShortCode, Typed, look_up_pictured, look_up_typed, read_labels,
    sample_facts, state_of,
};
use tautbook_core::photos::Source;
use tautbook_core::survey::{Id, Sample};

use crate::paper::In;
use crate::{Outcome, books, print as say};

/// What labels are printed on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum LabelPaper {
    /// A label of 4 by 6 inches
    FourBySix,
    /// A label of the size A6
    A6,
    /// A sheet of A4 with up to eight labels
    A4,
    /// A sheet of Letter with up to eight labels
    Letter,
}

impl LabelPaper {
    const fn paper(self) -> print::Paper {
        match self {
            Self::FourBySix => print::Paper::FourBySix,
            Self::A6 => print::Paper::A6,
            Self::A4 => print::Paper::A4,
            Self::Letter => print::Paper::Letter,
        }
    }
}

/// `tautbook label`.
pub(crate) fn label(
    book: Option<&Path>,
    samples: &[String],
    out: &Path,
    paper: LabelPaper,
    language: In,
) -> anyhow::Result<Outcome> {
    let book = books::open_to_read(book)?;
    let words = LabelWords::of(language.language());
    let mut labels = Vec::new();
    for wanted in samples {
        let sample = find_sample(&book, wanted)?;
        labels.push(words.label(&sample_facts(&book, sample)?));
    }
    let paper = paper.paper();
    let ending = out.extension().and_then(|ending| ending.to_str());
    let (files, notes): (Vec<(PathBuf, Vec<u8>)>, _) = match ending {
        Some("pdf") => {
            let printed = pdf(&labels, paper)?;
            (vec![(out.to_owned(), printed.made)], printed.notes)
        }
        Some("png") => {
            let printed = png(&labels, paper, Dpi::Dpi300)?;
            let pages = printed.made.into_iter().enumerate();
            let named = pages.map(|(n, page)| (page_name(out, n), page));
            (named.collect(), printed.notes)
        }
        _ => bail!(
            "name the file {} with what it is to be: .pdf or .png",
            out.display()
        ),
    };
    let mut text = String::new();
    for (path, bytes) in &files {
        write_whole(path, bytes)?;
        writeln!(text, "{}", path.display())?;
    }
    for label in &labels {
        writeln!(text, "  {}  {}", ShortCode::of(label.sample), label.sample)?;
    }
    say(&text)?;
    for note in notes {
        eprintln!("tautbook: note: {note}");
    }
    Ok(Outcome::Fine)
}

/// The name of a page's picture: a number behind it from the second on.
fn page_name(out: &Path, n: usize) -> PathBuf {
    if n == 0 {
        return out.to_owned();
    }
    let stem = out.file_stem().unwrap_or_default().to_string_lossy();
    out.with_file_name(format!("{stem}-{}.png", n + 1))
}

/// The sample that `wanted` names: an id, the beginning of one, or its short code.
fn find_sample(book: &Book, wanted: &str) -> anyhow::Result<Id<Sample>> {
    let wanted = wanted.trim().to_lowercase();
    let samples = book.all::<Sample>()?;
    let begun: Vec<Id<Sample>> = samples
        .iter()
        .map(|sample| sample.id)
        .filter(|id| wanted.len() >= 8 && id.to_string().starts_with(&wanted))
        .collect();
    if let [one] = begun.as_slice() {
        return Ok(*one);
    }
    if begun.len() > 1 {
        bail!(
            "{} samples have ids that begin with '{wanted}': type more of it",
            begun.len()
        );
    }
    match look_up_typed(book, &wanted)? {
        Typed::Here(found) => match found.as_slice() {
            [one] => Ok(one.sample),
            several => {
                let mut text = format!(
                    "{} samples have the code {wanted}: type the id",
                    several.len()
                );
                for facts in several {
                    write!(text, "\n  {}  {facts}", facts.sample)?;
                }
                bail!(text)
            }
        },
        other => bail!("{other}"),
    }
}

/// `tautbook find`.
pub(crate) fn find(book: Option<&Path>, what: &str) -> anyhow::Result<Outcome> {
    let book = books::open_to_read(book)?;
    let path = Path::new(what);
    if path.is_file() {
        return find_pictured(&book, path);
    }
    let looks_like_a_file = path.extension().is_some() || what.contains(std::path::MAIN_SEPARATOR);
    if looks_like_a_file {
        bail!("there is no picture {what}: check the name, or type the code under the square");
    }
    match look_up_typed(&book, what)? {
        Typed::Here(found) => {
            let mut text = String::new();
            for facts in &found {
                told(&book, facts, &mut text)?;
            }
            say(&text)?;
            Ok(Outcome::Fine)
        }
        other => bail!("{other}"),
    }
}

fn find_pictured(book: &Book, picture: &Path) -> anyhow::Result<Outcome> {
    let reading = read_labels(Source::File(picture), &mut |_| ControlFlow::Continue(()))
        .with_context(|| format!("{} could not be looked at", picture.display()))?;
    let pictured = look_up_pictured(book, &reading)?;
    if pictured.found.is_empty() {
        bail!("{pictured}");
    }
    let mut outcome = Outcome::Fine;
    let mut text = String::new();
    for (lookup, seen) in pictured.found.iter().zip(&reading.labels) {
        match lookup {
            Lookup::Here(facts) => told(book, facts, &mut text)?,
            elsewhere @ Lookup::Elsewhere { .. } => {
                outcome = Outcome::Faults;
                let code = ShortCode::of(seen.code.sample());
                eprintln!("tautbook: {code}: {elsewhere}");
            }
        }
    }
    say(&text)?;
    Ok(outcome)
}

fn told(book: &Book, facts: &SampleFacts, text: &mut String) -> anyhow::Result<()> {
    let until = facts
        .retain_until
        .map_or_else(|| "no day set".to_owned(), |day| day.to_string());
    let state = state_of(book, facts.sample)?;
    writeln!(text, "{}  {facts}", ShortCode::of(facts.sample))?;
    writeln!(text, "  sample        {}", facts.sample)?;
    if let Some(visit) = book.visit_of(book.get(facts.sample)?.reference())? {
        writeln!(text, "  visit         {visit}")?;
    }
    for (name, value) in [("stands", &facts.place), ("kept by", &facts.rep)] {
        if !value.trim().is_empty() {
            writeln!(text, "  {name:<14}{}", value.trim())?;
        }
    }
    writeln!(text, "  keep until    {until}")?;
    if let Some(at) = state.released {
        writeln!(
            text,
            "  released      {}",
            at.date_time().format("%Y-%m-%d")
        )?;
    }
    if facts.set_aside {
        writeln!(text, "  set aside")?;
    }
    Ok(())
}
