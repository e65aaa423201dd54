//! Content set on pages: text measured and broken into lines, tables into rows, all of it into
//! pages.

mod fonts;
mod lines;
mod mark;
mod pages;
mod picture;
mod table;
mod text;
mod tree;

pub(super) use fonts::Fonts;
pub(super) use mark::{Mark, Paint, PhotoBox, Placed};
pub(super) use pages::{Bookmark, Set};
pub(super) use tree::{Child, Kind, Tree};

use super::content::{Content, Piece};
use super::paper::Paper;
use super::{ReportError, content};
use crate::words::Fact;

/// A piece that is not broken over pages.
#[derive(Debug, Clone, Default)]
struct Chunk {
    /// Room over it, unless it stands first on a page.
    before: f64,
    height: f64,
    marks: Vec<Placed>,
    /// It stands on one page with what follows.
    keep: bool,
    /// The head that is drawn again when it stands first on a page.
    head: Option<usize>,
    /// Where the outline leads.
    bookmark: Option<(u8, String)>,
    /// It begins a page.
    new_page: bool,
}

/// What is being set.
struct Setter {
    fonts: Fonts,
    tree: Tree,
    width: f64,
    height: f64,
    chunks: Vec<Chunk>,
    /// Heads of tables, to be drawn again.
    heads: Vec<Chunk>,
}

/// Sets content on pages of a paper.
pub(super) fn set(content: &Content, paper: Paper) -> Result<Set, ReportError> {
    let mut setter = Setter {
        fonts: Fonts::new()?,
        tree: Tree::new(),
        width: paper.text_width(),
        height: paper.text_height(),
        chunks: Vec::new(),
        heads: Vec::new(),
    };
    setter.summary(content)?;
    for piece in &content.pieces {
        setter.piece(piece);
    }
    pages::fill(setter, content, paper)
}

impl Setter {
    /// What goes on the first page alone: as much of it as fits, what weighs most first.
    fn summary(&mut self, content: &Content) -> Result<(), ReportError> {
        let mut least = u8::MAX;
        loop {
            let mut trial = Self {
                fonts: Fonts::new()?,
                tree: Tree::new(),
                width: self.width,
                height: self.height,
                chunks: Vec::new(),
                heads: Vec::new(),
            };
            for (_, piece) in content
                .summary
                .iter()
                .filter(|(weight, _)| *weight <= least)
            {
                trial.piece(piece);
            }
            let height: f64 = trial
                .chunks
                .iter()
                .map(|chunk| chunk.before + chunk.height)
                .sum();
            let next = content
                .summary
                .iter()
                .map(|(weight, _)| *weight)
                .filter(|weight| *weight < least)
                .max();
            match next {
                Some(next) if height > self.height && next > 0 => least = next,
                _ => {
                    self.tree = trial.tree;
                    self.chunks = trial.chunks;
                    self.heads = trial.heads;
                    self.fonts.missing.append(&mut trial.fonts.missing);
                    return Ok(());
                }
            }
        }
    }

    fn piece(&mut self, piece: &Piece) {
        match piece {
            Piece::Title { title, under } => self.title(title, under),
            Piece::Heading { level, text } => self.heading(*level, text),
            Piece::Paragraph(paragraph) => self.paragraph(paragraph),
            Piece::Points(points) => self.points(points),
            Piece::Facts(rows) => self.facts(rows),
            Piece::Table(table) => self.table(table),
            Piece::Chart(chart) => self.chart(chart),
            Piece::Poster(path) => self.poster(path),
            Piece::Photos(pictures) => self.photos(pictures),
            Piece::NewPage => self.chunks.push(Chunk {
                new_page: true,
                ..Chunk::default()
            }),
        }
    }
}

impl From<&Fact> for content::Row {
    fn from(fact: &Fact) -> Self {
        Self {
            label: fact.label.clone(),
            value: fact.value.clone(),
            detail: fact.detail.clone(),
        }
    }
}
