//! What is drawn on a page: marks at places in points from its upper left.

use crate::chart::{Role, Scene};
use crate::words::Tone;

/// A colour by what it is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(in crate::report) enum Paint {
    /// As in charts.
    Role(Role),
    /// Take care.
    Warning,
}

impl Paint {
    pub(super) const INK: Self = Self::Role(Role::Ink);
    pub(super) const MUTED: Self = Self::Role(Role::Muted);
    pub(super) const ACCENT: Self = Self::Role(Role::Accent);
    pub(super) const RULE: Self = Self::Role(Role::Rule);

    pub(super) const fn of(tone: Tone) -> Self {
        match tone {
            Tone::Info => Self::ACCENT,
            Tone::Good => Self::Role(Role::Good),
            Tone::Warning => Self::Warning,
            Tone::Bad => Self::Role(Role::Bad),
        }
    }
}

/// A picture's place.
#[derive(Debug, Clone, PartialEq)]
pub(in crate::report) struct PhotoBox {
    pub(in crate::report) sha256: String,
    pub(in crate::report) bytes: u64,
    pub(in crate::report) x: f64,
    pub(in crate::report) y: f64,
    pub(in crate::report) width: f64,
    pub(in crate::report) height: f64,
    /// Lines that stand there when its file cannot be read.
    pub(in crate::report) instead: Vec<String>,
}

/// One thing drawn.
#[derive(Debug, Clone, PartialEq)]
pub(in crate::report) enum Mark {
    /// A line of text from its left end on its baseline.
    Text {
        x: f64,
        baseline: f64,
        size: f64,
        bold: bool,
        paint: Paint,
        text: String,
    },
    /// A filled rectangle.
    Bar {
        x: f64,
        y: f64,
        width: f64,
        height: f64,
        paint: Paint,
    },
    /// A chart.
    Scene {
        x: f64,
        y: f64,
        scale: f64,
        scene: Box<Scene>,
    },
    /// A picture.
    Photo(PhotoBox),
}

impl Mark {
    /// The same further down and to the right.
    pub(super) fn moved(mut self, dx: f64, dy: f64) -> Self {
        match &mut self {
            Self::Text { x, baseline: y, .. }
            | Self::Bar { x, y, .. }
            | Self::Scene { x, y, .. } => {
                *x += dx;
                *y += dy;
            }
            Self::Photo(photo) => {
                photo.x += dx;
                photo.y += dy;
            }
        }
        self
    }
}

/// A mark and what it belongs to: the number of a leaf of the tree; none for what only decorates.
#[derive(Debug, Clone, PartialEq)]
pub(in crate::report) struct Placed {
    pub(in crate::report) leaf: Option<usize>,
    pub(in crate::report) mark: Mark,
}
