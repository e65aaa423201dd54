//! A report in words: the pieces of content in the reader's language and units.

mod containment;
mod findings;
mod how;
mod line;
pub(super) mod names;
mod notes;
mod photos;
mod readings;
mod samples;
mod setup;
mod summary;
mod trial;

use super::content::{Content, Paragraph, Piece};
use super::gather::Report;
use crate::language::Language;
use crate::say;
use crate::words::{Block, Reader};
use notes::Notes;

/// The whole report.
pub(super) fn report(report: &Report, to: Reader) -> Content {
    let l = to.language;
    let mut notes = Notes::default();
    let mut pieces = Vec::new();
    for line in &report.lines {
        pieces.push(Piece::NewPage);
        line::line(&mut pieces, report, line, &mut notes, to);
    }
    let mut rest = Vec::new();
    samples::samples(&mut rest, report, to);
    photos::photos(&mut rest, report, to);
    how::measured(&mut rest, report, to);
    notes.list(&mut rest, to);
    how::care(&mut rest, to);
    pieces.push(Piece::NewPage);
    pieces.append(&mut rest);
    Content {
        title: title(report, l),
        language: l,
        running: joined(
            [
                report.visit.customer.as_str(),
                report.visit.site.as_str(),
                &report.visit.date.to_string(),
            ],
            " \u{b7} ",
        ),
        page_of,
        summary: summary::summary(report, to),
        pieces,
    }
}

/// What a report is called.
fn title(report: &Report, language: Language) -> String {
    let who = joined(
        [report.visit.customer.as_str(), report.visit.site.as_str()],
        ", ",
    );
    let date = report.visit.date;
    if who.is_empty() {
        say!(language, "Stretch-wrap report, {date}", date = date)
    } else {
        say!(
            language,
            "Stretch-wrap report: {who}, {date}",
            who = who,
            date = date
        )
    }
}

/// The number of a page.
pub(super) fn page_of(language: Language, page: usize, pages: usize) -> String {
    say!(
        language,
        "Page {page} of {pages}",
        page = page,
        pages = pages
    )
}

/// The parts that say something.
pub(super) fn joined<'p>(parts: impl IntoIterator<Item = &'p str>, with: &str) -> String {
    let parts: Vec<&str> = parts
        .into_iter()
        .map(str::trim)
        .filter(|part| !part.is_empty())
        .collect();
    parts.join(with)
}

/// A heading.
fn heading(level: u8, text: impl Into<String>) -> Piece {
    Piece::Heading {
        level,
        text: text.into(),
    }
}

/// Puts what a screen says in a block on paper: what matters, its figures, and its points among
/// the notes at the end.
fn block(pieces: &mut Vec<Piece>, block: &Block, notes: &mut Notes, to: Reader) {
    if !block.lead.is_empty() {
        let paragraph = Paragraph {
            text: block.lead.clone(),
            tone: block.tone,
            ..Paragraph::default()
        };
        pieces.push(Piece::Paragraph(paragraph));
    }
    if !block.facts.is_empty() {
        pieces.push(Piece::Facts(block.facts.iter().map(Into::into).collect()));
    }
    notes.cite(pieces, &block.points, to);
}
