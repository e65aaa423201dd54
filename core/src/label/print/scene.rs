//! What is drawn on a page: black marks at places in millimetres from the upper left.

use crate::label::Symbol;

/// One page.
#[derive(Debug, Clone)]
pub(super) struct Page {
    pub(super) width: f64,
    pub(super) height: f64,
    pub(super) marks: Vec<Mark>,
}

/// One mark, black.
#[derive(Debug, Clone)]
pub(super) enum Mark {
    /// A filled rectangle.
    Bar {
        x: f64,
        y: f64,
        width: f64,
        height: f64,
    },
    /// A line of text from its left end on its baseline.
    Text {
        x: f64,
        baseline: f64,
        /// One em.
        size: f64,
        bold: bool,
        text: String,
    },
    /// A square code, the upper left of its modules (not of its quiet zone).
    Symbol {
        x: f64,
        y: f64,
        module: f64,
        symbol: Symbol,
    },
}
