//! What a rule hands out: findings that cannot be without evidence.

use std::fmt;

use crate::language::{Language, Word};
use crate::survey::{
    self, FindingState, Id, Line, RecordRef, Seriousness, Setup, Visit, WhoMayAct,
};

use super::rules::RuleId;
use crate::{say, word};

/// The records that show something: one at least, each once.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Shown {
    first: RecordRef,
    rest: Vec<RecordRef>,
}

impl Shown {
    /// Those records, each once and in their order; `None` when there is none.
    #[must_use]
    pub fn new(records: impl IntoIterator<Item = RecordRef>) -> Option<Self> {
        let mut all: Vec<RecordRef> = Vec::new();
        for record in records {
            if !all.contains(&record) {
                all.push(record);
            }
        }
        let mut all = all.into_iter();
        Some(Self {
            first: all.next()?,
            rest: all.collect(),
        })
    }

    /// One record.
    #[must_use]
    pub const fn one(record: RecordRef) -> Self {
        Self {
            first: record,
            rest: Vec::new(),
        }
    }

    /// All of them.
    pub fn iter(&self) -> impl Iterator<Item = RecordRef> + '_ {
        std::iter::once(self.first).chain(self.rest.iter().copied())
    }
}

/// A record that speaks against a finding, and what it says.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Against {
    /// The record.
    pub record: RecordRef,
    /// What it says, one plain sentence.
    pub says: String,
}

/// How a likely cause stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Standing {
    /// This record shows it.
    Shown(RecordRef),
    /// Nothing speaks for or against it.
    Possible,
    /// It was not looked at.
    NotLookedAt,
    /// This record speaks against it.
    SpokenAgainst(RecordRef),
}

impl Standing {
    /// Shown first, spoken against last.
    pub(super) const fn order(self) -> u8 {
        match self {
            Self::Shown(_) => 0,
            Self::Possible => 1,
            Self::NotLookedAt => 2,
            Self::SpokenAgainst(_) => 3,
        }
    }
}

/// A likely cause.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Cause {
    /// What it is.
    pub what: String,
    /// How it stands.
    pub standing: Standing,
}

impl Cause {
    /// It, with how it stands.
    #[must_use]
    pub fn said(&self, language: Language) -> String {
        match self.standing {
            Standing::Shown(_) => say!(
                language,
                "{cause} (the look over the machine shows it)",
                cause = self.what
            ),
            Standing::Possible => self.what.clone(),
            Standing::NotLookedAt => {
                say!(language, "{cause} (not looked at)", cause = self.what)
            }
            Standing::SpokenAgainst(_) => {
                say!(language, "{cause} (found in order)", cause = self.what)
            }
        }
    }
}

/// The caution that goes with an action. Each defers to the site's rules and local law.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Care {
    /// Work in the machine.
    Machine,
    /// Setting the wrapper at its panel.
    Panel,
    /// Threading film.
    Threading,
    /// Cutting film.
    CuttingFilm,
    /// A load that may not hold.
    Load,
}

impl Care {
    /// All of them.
    pub const ALL: [Self; 5] = [
        Self::Machine,
        Self::Panel,
        Self::Threading,
        Self::CuttingFilm,
        Self::Load,
    ];
}

impl Care {
    /// It, in words.
    #[must_use]
    pub const fn word(self) -> Word {
        match self {
            Self::Machine => {
                word!(
                    "For a qualified technician, with the machine isolated and locked out by the \
                 site's authorised person under the site's own procedure before a guard is opened \
                 or a hand goes in. Guards and interlocks stay in place; the machine's manual \
                 gives the values."
                )
            }
            Self::Panel => {
                word!(
                    "At the panel only, by the operator or with the operator, guards closed and \
                 nobody near the load while it wraps."
                )
            }
            Self::Threading => {
                word!(
                    "Film is threaded by the operator, with the machine stopped the way the site \
                 requires; no hand comes near a roller that can turn. Guards stay in place."
                )
            }
            Self::CuttingFilm => {
                word!(
                    "Before cutting film: the load may fall when it is released. Stand clear of where \
                 it leans, blade guarded and away from the body, gloves on."
                )
            }
            Self::Load => {
                word!(
                    "Keep clear of a load that leans or is loose, and never climb on it. Whether and \
                 how it is moved or shipped is for the site to say."
                )
            }
        }
    }
}

impl fmt::Display for Care {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.word().said(Language::English))
    }
}

/// Something found, with the records that show it.
#[derive(Debug, Clone, PartialEq)]
pub struct Finding {
    /// The rule that found it.
    pub rule: RuleId,
    /// The setup it is about; `None` when it is about the line.
    pub setup: Option<Id<Setup>>,
    /// That setup's name.
    pub setup_name: Option<String>,
    /// What was found, in a sentence with its figures.
    pub what: String,
    /// The records that show it.
    pub evidence: Shown,
    /// The records that speak against it.
    pub against: Vec<Against>,
    /// What it may come from, what was shown first.
    pub causes: Vec<Cause>,
    /// What to do next.
    pub next_step: &'static str,
    /// Who may do it.
    pub who_may_act: WhoMayAct,
    /// How serious it is.
    pub seriousness: Seriousness,
    /// The caution that goes with it.
    pub care: Option<Care>,
}

impl Finding {
    /// The finding as the book keeps it, with its evidence and what speaks against it.
    ///
    /// Records that speak against it are named in the text and linked with the rest. `language` is
    /// the one the finding was worded in.
    #[must_use]
    pub fn to_record(
        &self,
        visit: Id<Visit>,
        line: Id<Line>,
        language: Language,
    ) -> survey::Finding {
        // Kept by itself, it has to say which setup it is about.
        let mut what = self.setup_name.as_ref().map_or_else(
            || self.what.clone(),
            |name| format!("\u{201c}{name}\u{201d}: {}", self.what),
        );
        for against in &self.against {
            what.push(' ');
            what.push_str(&say!(language, "Against this: {says}", says = against.says));
        }
        let mut action = self.next_step.to_owned();
        if let Some(care) = self.care {
            action.push(' ');
            action.push_str(care.word().said(language));
        }
        let linked = self
            .evidence
            .iter()
            .chain(self.against.iter().map(|against| against.record));
        survey::Finding {
            visit,
            line: Some(line),
            what,
            seriousness: self.seriousness,
            evidence: Shown::new(linked).iter().flat_map(Shown::iter).collect(),
            action,
            who_may_act: self.who_may_act,
            state: FindingState::Open,
        }
    }
}

/// What a rule's test found.
pub(super) struct Hit {
    pub(super) what: String,
    pub(super) evidence: Shown,
    pub(super) against: Vec<Against>,
    /// The causes as they stand here, where the rule's own list is not enough.
    pub(super) causes: Option<Vec<Cause>>,
    /// How serious it is here, where it is not what the rule says.
    pub(super) seriousness: Option<Seriousness>,
}

impl Hit {
    pub(super) const fn new(what: String, evidence: Shown) -> Self {
        Self {
            what,
            evidence,
            against: Vec::new(),
            causes: None,
            seriousness: None,
        }
    }

    pub(super) fn against(mut self, against: Vec<Against>) -> Self {
        self.against = against;
        self
    }

    pub(super) fn causes(mut self, mut causes: Vec<Cause>) -> Self {
        causes.sort_by_key(|cause| cause.standing.order());
        self.causes = Some(causes);
        self
    }
}
