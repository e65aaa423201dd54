//! A part of a page in words: what matters first, then figures, then what to know about them.

/// How something said is meant.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Tone {
    /// Worth knowing.
    Info,
    /// Done as asked.
    Good,
    /// Take care.
    Warning,
    /// It did not work.
    Bad,
}

/// One figure with what it is.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Fact {
    /// What it is.
    pub label: String,
    /// The figure.
    pub value: String,
    /// How sure it is, or where it comes from.
    pub detail: String,
}

impl Fact {
    /// A figure without more about it.
    pub fn new(label: impl Into<String>, value: impl Into<String>) -> Self {
        Self {
            label: label.into(),
            value: value.into(),
            detail: String::new(),
        }
    }

    /// The same with something more about it.
    #[must_use]
    pub fn with(self, detail: impl Into<String>) -> Self {
        Self {
            detail: detail.into(),
            ..self
        }
    }
}

/// A part of a page.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Block {
    /// The sentence that matters; blank for none.
    pub lead: String,
    /// How the lead is meant; `None` for plain words.
    pub tone: Option<Tone>,
    /// Figures.
    pub facts: Vec<Fact>,
    /// What to know about them, a sentence each.
    pub points: Vec<String>,
}

impl Block {
    /// Whether it says nothing.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.lead.is_empty() && self.facts.is_empty() && self.points.is_empty()
    }

    /// One sentence alone.
    pub fn plain(lead: impl Into<String>) -> Self {
        Self {
            lead: lead.into(),
            ..Self::default()
        }
    }

    /// Notes a sentence once.
    pub fn note(&mut self, point: impl Into<String>) {
        let point = point.into();
        if !point.is_empty() && !self.points.contains(&point) {
            self.points.push(point);
        }
    }
}
