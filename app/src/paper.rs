//! `tautbook report` and `tautbook card`: a visit and its loading card as PDF.

use std::io::IsTerminal as _;
use std::ops::ControlFlow;
use std::path::Path;

use anyhow::bail;
use clap::ValueEnum;
use tautbook_core::book::{Book, Which};
use tautbook_core::dayfile::{Progress, write_whole};
use tautbook_core::language::Language;
use tautbook_core::report::{self, CardOf, Made, Options};
use tautbook_core::survey::{Id, Line, Visit};

use crate::{Outcome, books, print};

/// What a report is printed on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum Paper {
    /// 8.5 by 11 inches
    Letter,
    /// 210 by 297 millimetres
    A4,
}

/// The language it is in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum In {
    /// English
    En,
    /// Spanish
    Es,
    /// French
    Fr,
}

impl In {
    pub(crate) const fn language(self) -> Language {
        match self {
            Self::En => Language::English,
            Self::Es => Language::Spanish,
            Self::Fr => Language::French,
        }
    }
}

/// How a file is made.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Form {
    pub(crate) paper: Paper,
    pub(crate) language: In,
}

impl Form {
    /// In the units that the visit was written in; a comma where the language has one.
    fn options(self, book: &Book, visit: Id<Visit>) -> anyhow::Result<Options> {
        let records = book.visit_records(visit, Which::InUse)?;
        let paper = match self.paper {
            Paper::Letter => report::Paper::Letter,
            Paper::A4 => report::Paper::A4,
        };
        Ok(Options::of(&records, self.language.language(), paper))
    }
}

/// `tautbook report`.
pub(crate) fn report(
    book: Option<&Path>,
    visit: &str,
    out: &Path,
    form: Form,
) -> anyhow::Result<Outcome> {
    free(out)?;
    let book = books::open_to_read(book)?;
    let visit = books::find_visit(&book, visit)?;
    let options = form.options(&book, visit)?;
    let made = told(|watch| report::report(&book, visit, options, watch))?;
    written(&made, out)
}

/// `tautbook card`.
pub(crate) fn card(
    book: Option<&Path>,
    of: &str,
    out: &Path,
    form: Form,
) -> anyhow::Result<Outcome> {
    free(out)?;
    let book = books::open_to_read(book)?;
    let (of, visit) = match find_line(&book, of)? {
        Some(line) => (CardOf::Line(line), book.get(line)?.visit),
        None => {
            let visit = books::find_visit(&book, of)?;
            (CardOf::Visit(visit), visit)
        }
    };
    let options = form.options(&book, visit)?;
    let made = told(|watch| report::card(&book, of, options, watch))?;
    written(&made, out)
}

/// The one line whose id begins so, or that is called so; `None` for none.
fn find_line(book: &Book, wanted: &str) -> anyhow::Result<Option<Id<Line>>> {
    let wanted = wanted.trim();
    let lines = book.all::<Line>()?;
    let id = wanted.to_lowercase();
    let named = lines
        .iter()
        .filter(|line| line.name.trim().eq_ignore_ascii_case(wanted));
    let begun = lines
        .iter()
        .filter(|line| id.len() >= 8 && line.id.to_string().starts_with(&id));
    let mut found: Vec<_> = named.chain(begun).collect();
    found.sort_by_key(|line| line.id);
    found.dedup_by_key(|line| line.id);
    match found.as_slice() {
        [] => Ok(None),
        [one] => Ok(Some(one.id)),
        several => {
            let mut text = format!(
                "{} lines are meant by '{wanted}': type the id",
                several.len()
            );
            for line in several {
                text.push_str(&format!("\n  {}  {}", line.id, line.name));
            }
            bail!(text)
        }
    }
}

/// Refuses a name that is taken before any work is done.
fn free(out: &Path) -> anyhow::Result<()> {
    if out.symlink_metadata().is_ok() {
        bail!(
            "{} is there already and was left as it is: name another file",
            out.display()
        );
    }
    Ok(())
}

/// Makes a file, telling on standard error how far it is, where a person looks at it.
fn told<T>(make: impl FnOnce(&mut dyn FnMut(Progress) -> ControlFlow<()>) -> T) -> T {
    let seen = std::io::stderr().is_terminal();
    let mut last = String::new();
    let done = make(&mut |progress: Progress| {
        let percent = progress.done.saturating_mul(100).checked_div(progress.of);
        let line = format!("making the pages {} %", percent.unwrap_or(100));
        if seen && line != last {
            eprint!("\r{line:<26}");
            last = line;
        }
        ControlFlow::Continue(())
    });
    if seen {
        eprint!("\r                          \r");
    }
    done
}

/// Puts the file in its place once all of it is on the disk, and says what to know of it.
fn written(made: &Made, out: &Path) -> anyhow::Result<Outcome> {
    write_whole(out, &made.pdf)?;
    let pages = made.pages;
    let s = if pages == 1 { "" } else { "s" };
    let bytes = made.pdf.len();
    print(&format!(
        "{}: {pages} page{s}, {bytes} bytes\n",
        out.display()
    ))?;
    if !made.missing.is_empty() {
        let signs: String = made.missing.iter().take(40).collect();
        eprintln!(
            "tautbook: the report's typeface has no {signs}: question marks stand in their place"
        );
    }
    if made.photos_missing > 0 {
        eprintln!(
            "tautbook: {} of the pictures are missing or damaged: the report says so in their place",
            made.photos_missing
        );
        return Ok(Outcome::Faults);
    }
    Ok(Outcome::Fine)
}
