//! A finding: something found, never without its evidence.

use serde::{Deserialize, Serialize};
use uuid::Uuid;

use super::{ContentError, Entity, Id, Kind, Line, RecordRef, Visit, phrases, uuid_of};
use crate::word;

/// How serious.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum Seriousness {
    /// Worth knowing.
    Note,
    /// Costs film or holding force.
    Matters,
    /// A load or a person may come to harm.
    Serious,
}

/// Who may do what the finding asks for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum WhoMayAct {
    /// The site's operator, at the panel.
    Operator,
    /// The rep with the operator, guards closed.
    RepWithOperator,
    /// A qualified technician, with the machine isolated.
    Technician,
}

/// How far it has come.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum FindingState {
    /// To be done.
    #[default]
    Open,
    /// Done.
    Done,
    /// The customer leaves it.
    Declined,
}

/// Something found.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Finding {
    /// The visit.
    #[cfg_attr(feature = "schema", schemars(with = "Uuid"))]
    pub visit: Id<Visit>,
    /// The line, when it is one line's.
    #[serde(default)]
    #[cfg_attr(feature = "schema", schemars(with = "Option<Uuid>"))]
    pub line: Option<Id<Line>>,
    /// What was found.
    pub what: String,
    /// How serious.
    pub seriousness: Seriousness,
    /// The records that show it.
    pub evidence: Vec<RecordRef>,
    /// What to do.
    #[serde(default)]
    pub action: String,
    /// Who may do it.
    pub who_may_act: WhoMayAct,
    /// How far it has come.
    #[serde(default)]
    pub state: FindingState,
}

impl Finding {
    /// Whether one item of the look over a machine, with its pictures, is all that shows it.
    #[must_use]
    pub fn is_of_check(&self, check: RecordRef) -> bool {
        self.evidence.contains(&check)
            && self
                .evidence
                .iter()
                .all(|shown| *shown == check || shown.kind == Kind::Photo)
    }
}

impl Entity for Finding {
    const KIND: Kind = Kind::Finding;

    fn parents(&self) -> Vec<Option<Uuid>> {
        vec![Some(self.visit.uuid()), uuid_of(self.line)]
    }

    fn search_text(&self) -> String {
        phrases([&self.what, &self.action])
    }

    fn check(&self) -> Result<(), ContentError> {
        if self.evidence.is_empty() {
            return Err(ContentError::new(
                "evidence",
                word!("a finding needs evidence: link the reading, check or photo that shows it"),
            ));
        }
        Ok(())
    }
}
