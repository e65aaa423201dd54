//! What a report says, piece by piece, before it has any place on a page.

use crate::chart::{
    Compare, FilmPath, Frame, KeptForce, LoadSide, Scene, TradeOff, compare, film_path, kept_force,
    load_side, trade_off,
};
use crate::language::Language;
use crate::survey::Photo;
use crate::words::Tone;

/// A piece of a report.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Piece {
    /// What it is called, over the first page.
    Title {
        /// The title.
        title: String,
        /// Under it.
        under: String,
    },
    /// A heading.
    Heading {
        /// 1 is the largest under the title.
        level: u8,
        /// What it says.
        text: String,
    },
    /// A paragraph.
    Paragraph(Paragraph),
    /// Sentences one under the other.
    Points(Vec<String>),
    /// Figures with what they are.
    Facts(Vec<Row>),
    /// A table.
    Table(Table),
    /// A chart over the whole width.
    Chart(Box<Chart>),
    /// A drawing for a machine: as large as it goes.
    Poster(Box<FilmPath>),
    /// Pictures side by side.
    Photos(Vec<Picture>),
    /// What follows begins on a new page.
    NewPage,
}

/// How a paragraph is set.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(super) enum Manner {
    /// As most of the text.
    #[default]
    Plain,
    /// Smaller and quieter.
    Small,
    /// Larger: what matters most.
    Lead,
}

/// A paragraph.
#[derive(Debug, Clone, PartialEq, Default)]
pub(super) struct Paragraph {
    /// Its beginning, heavier; blank for none.
    pub(super) head: String,
    /// What it says.
    pub(super) text: String,
    /// How it is set.
    pub(super) manner: Manner,
    /// How it is meant; a bar in its colour stands beside it.
    pub(super) tone: Option<Tone>,
}

/// One figure with what it is.
#[derive(Debug, Clone, PartialEq, Default)]
pub(super) struct Row {
    /// What it is.
    pub(super) label: String,
    /// The figure.
    pub(super) value: String,
    /// More about it.
    pub(super) detail: String,
}

/// How the texts of a column stand.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Align {
    /// From the left; takes what room is left, so many parts of it.
    Text(u8),
    /// Figures, aligned on their decimal mark.
    Figure,
}

/// A table.
#[derive(Debug, Clone, PartialEq, Default)]
pub(super) struct Table {
    /// What it shows, for those who hear it.
    pub(super) summary: String,
    /// The heads of its columns and how they stand.
    pub(super) columns: Vec<(String, Align)>,
    /// Its rows; the first cell of each is its head.
    pub(super) rows: Vec<Vec<Cell>>,
}

/// A cell.
#[derive(Debug, Clone, PartialEq, Default)]
pub(super) struct Cell {
    /// What it says.
    pub(super) text: String,
    /// Whether that is good or bad; the text says so as well.
    pub(super) good: Option<bool>,
}

impl<T: Into<String>> From<T> for Cell {
    fn from(text: T) -> Self {
        Self {
            text: text.into(),
            good: None,
        }
    }
}

/// A chart.
#[derive(Debug, Clone, PartialEq)]
#[allow(clippy::large_enum_variant)] // Boxed where it is kept.
pub(super) enum Chart {
    /// A load from the side.
    Side(LoadSide),
    /// Two setups.
    Compare(Compare),
    /// Film against force.
    Trade(TradeOff),
    /// What is left of the force.
    Kept(KeptForce),
}

impl Chart {
    /// Laid out.
    pub(super) fn scene(&self, frame: Frame) -> Scene {
        match self {
            Self::Side(chart) => load_side(chart, frame),
            Self::Compare(chart) => compare(chart, frame),
            Self::Trade(chart) => trade_off(chart, frame),
            Self::Kept(chart) => kept_force(chart, frame),
        }
    }
}

/// The scene of a drawing for a machine.
pub(super) fn poster(path: &FilmPath, frame: Frame) -> Scene {
    film_path(path, frame)
}

/// A picture.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Picture {
    /// Its record.
    pub(super) photo: Photo,
    /// What stands under it.
    pub(super) caption: String,
    /// What is said of it aloud.
    pub(super) spoken: String,
    /// What stands in its place when its file cannot be read.
    pub(super) instead: String,
}

impl Paragraph {
    /// A plain one.
    pub(super) fn plain(text: impl Into<String>) -> Piece {
        Piece::Paragraph(Self {
            text: text.into(),
            ..Self::default()
        })
    }

    /// A small one.
    pub(super) fn small(text: impl Into<String>) -> Piece {
        Piece::Paragraph(Self {
            text: text.into(),
            manner: Manner::Small,
            ..Self::default()
        })
    }

    /// One with a heavier beginning.
    pub(super) fn headed(head: impl Into<String>, text: impl Into<String>) -> Piece {
        Piece::Paragraph(Self {
            head: head.into(),
            text: text.into(),
            ..Self::default()
        })
    }

    /// What matters most.
    pub(super) fn lead(text: impl Into<String>, tone: Option<Tone>) -> Piece {
        Piece::Paragraph(Self {
            text: text.into(),
            manner: Manner::Lead,
            tone,
            ..Self::default()
        })
    }
}

/// What a report is, ready to be set.
#[derive(Debug, Clone)]
pub(super) struct Content {
    /// What a viewer shows as its title.
    pub(super) title: String,
    /// Its language.
    pub(super) language: Language,
    /// At the foot of each page.
    pub(super) running: String,
    /// The number of a page of how many, in words.
    pub(super) page_of: fn(Language, usize, usize) -> String,
    /// What has to go on the first page alone, and with how little weight: what weighs least is
    /// left out first.
    pub(super) summary: Vec<(u8, Piece)>,
    /// What follows.
    pub(super) pieces: Vec<Piece>,
}
