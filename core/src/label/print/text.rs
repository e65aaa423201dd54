//! What stands on a label, in words.

use crate::label::SampleFacts;
use crate::language::Language;
use crate::say;
use crate::survey::{Id, Sample, SampleKind};

/// A name and what it is.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Fact {
    /// The name.
    pub name: String,
    /// What it is; left off the label when blank.
    pub value: String,
}

impl Fact {
    /// Of a name and a value.
    pub fn new(name: impl Into<String>, value: impl Into<String>) -> Self {
        Self {
            name: name.into(),
            value: value.into(),
        }
    }
}

/// Everything a person reads on a label, in their language.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LabelText {
    /// The sample; its codes follow from it.
    pub sample: Id<Sample>,
    /// What it is.
    pub title: String,
    /// What stands over the short code.
    pub type_this: String,
    /// Until when it is kept, the largest text.
    pub retain: Fact,
    /// Date, site, line, load and the like, in their order.
    pub facts: Vec<Fact>,
    /// What to do and not to do.
    pub notice: String,
}

/// The words of a label that are the same on every label, to be given in any language.
#[derive(Debug, Clone, PartialEq, Eq)]
#[allow(missing_docs)] // Each is named after what it says in English.
pub struct LabelWords {
    pub kept_pallet: String,
    pub kept_film: String,
    pub kept_roll_end: String,
    pub type_this: String,
    pub retain_until: String,
    /// In place of a date that is not set.
    pub no_date: String,
    pub date: String,
    pub site: String,
    pub line: String,
    pub load: String,
    pub kept_by: String,
    pub notice_pallet: String,
    pub notice_other: String,
}

impl LabelWords {
    /// In a language.
    #[must_use]
    pub fn of(language: Language) -> Self {
        Self {
            kept_pallet: say!(language, "Kept sample: wrapped pallet"),
            kept_film: say!(language, "Kept sample: cut film"),
            kept_roll_end: say!(language, "Kept sample: end of a roll"),
            type_this: say!(language, "If the square code is torn, type"),
            retain_until: say!(language, "Retain until"),
            no_date: say!(language, "no date set"),
            date: say!(language, "Date"),
            site: say!(language, "Site"),
            line: say!(language, "Line"),
            load: say!(language, "Load"),
            kept_by: say!(language, "Kept by"),
            notice_pallet: say!(
                language,
                "Do not unwrap, cut or wrap again. Before moving or shipping it, call the film \
                 representative."
            ),
            notice_other: say!(
                language,
                "Do not throw away: it will be measured again. Before moving it, call the film \
                 representative."
            ),
        }
    }

    /// The text of a sample's label. Dates stand as year-month-day, which no country reads
    /// otherwise.
    #[must_use]
    pub fn label(&self, sample: &SampleFacts) -> LabelText {
        let (title, notice) = match sample.what {
            SampleKind::Pallet => (&self.kept_pallet, &self.notice_pallet),
            SampleKind::CutFilm => (&self.kept_film, &self.notice_other),
            SampleKind::RollEnd => (&self.kept_roll_end, &self.notice_other),
        };
        let until = sample
            .retain_until
            .map_or_else(|| self.no_date.clone(), |date| date.to_string());
        let date = sample.date.map(|date| date.to_string()).unwrap_or_default();
        let site: Vec<&str> = [sample.customer.trim(), sample.site.trim()]
            .into_iter()
            .filter(|name| !name.is_empty())
            .collect();
        let site = site.join(", ");
        LabelText {
            sample: sample.sample,
            title: title.clone(),
            type_this: self.type_this.clone(),
            retain: Fact::new(&self.retain_until, until),
            facts: vec![
                Fact::new(&self.date, date),
                Fact::new(&self.site, site),
                Fact::new(&self.line, &sample.line),
                Fact::new(&self.load, &sample.load),
                Fact::new(&self.kept_by, &sample.rep),
            ],
            notice: notice.clone(),
        }
    }
}
