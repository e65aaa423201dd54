//! Records as one JSON document: what a day file carries inside, and what the sample surveys are.
//!
//! ```json
//! {"format": "tautbook-records", "version": 1, "records": {"visits": [...], "lines": [...]}}
//! ```
//!
//! The form of each record is the JSON Schema in `core/schema/records.schema.json`.

use serde::{Deserialize, Serialize};
use serde_json::Value;
use thiserror::Error;

use crate::language::Language;
use crate::say;
use crate::survey::RecordSet;

/// The word that says what a file is.
const FORMAT: &str = "tautbook-records";

/// The version written here, and the latest that can be read.
const VERSION: u32 = 1;

/// A JSON document larger than this is not read.
const MOST_BYTES: usize = 256 * 1024 * 1024;

/// Why a file of records was not read.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
#[error("{}", self.said(Language::English))]
pub enum RecordsError {
    /// It is far larger than any day's work.
    TooLarge,
    /// It is not JSON, or was cut off.
    NotJson {
        /// What is wrong and where.
        detail: String,
    },
    /// It is JSON of something else.
    NotRecords,
    /// A later Tautbook wrote it.
    Newer {
        /// The version found.
        found: u64,
    },
    /// A record is not as it should be.
    Record {
        /// What is wrong and where.
        detail: String,
    },
    /// A field nobody here knows: taking the file in would lose it.
    UnknownField {
        /// Where it stands.
        path: String,
    },
}

impl RecordsError {
    /// It in a language.
    #[must_use]
    pub fn said(&self, language: Language) -> String {
        match self {
            Self::TooLarge => say!(
                language,
                "this file is larger than {most} MB: choose a file that Tautbook wrote",
                most = MOST_BYTES >> 20
            ),
            Self::NotJson { detail } => say!(
                language,
                "this is not a whole file of records: {detail}; ask for it to be sent again",
                detail = detail
            ),
            Self::NotRecords => say!(
                language,
                "this is not a file of Tautbook's records: choose another file"
            ),
            Self::Newer { found } => say!(
                language,
                "this file was written by a newer Tautbook (version {found}, this one reads up to {known}): update Tautbook to take it in",
                found = found,
                known = VERSION
            ),
            Self::Record { detail } => say!(
                language,
                "a record in this file cannot be read: {detail}; nothing was taken in",
                detail = detail
            ),
            Self::UnknownField { path } => say!(
                language,
                "this file has a field Tautbook does not know ({path}): nothing was taken in, so that nothing is lost; update Tautbook or correct the file",
                path = path
            ),
        }
    }
}

/// A file of records.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct RecordsFile {
    format: String,
    version: u32,
    /// What it holds.
    pub records: RecordSet,
}

impl RecordsFile {
    /// A file of these records.
    #[must_use]
    pub fn new(records: RecordSet) -> Self {
        Self {
            format: FORMAT.to_owned(),
            version: VERSION,
            records,
        }
    }

    /// Reads a file.
    ///
    /// # Errors
    /// [`RecordsError`]; the whole file is read and checked before anything is returned.
    pub fn read(bytes: &[u8]) -> Result<Self, RecordsError> {
        if bytes.len() > MOST_BYTES {
            return Err(RecordsError::TooLarge);
        }
        let json: Value = serde_json::from_slice(bytes).map_err(|error| RecordsError::NotJson {
            detail: error.to_string(),
        })?;
        if json.get("format").and_then(Value::as_str) != Some(FORMAT) {
            return Err(RecordsError::NotRecords);
        }
        match json.get("version").and_then(Value::as_u64) {
            None | Some(0) => return Err(RecordsError::NotRecords),
            Some(found) if found > u64::from(VERSION) => {
                return Err(RecordsError::Newer { found });
            }
            Some(_) => {}
        }
        // Read from the text, not from `json`, so that an error names line and column.
        let file: Self = serde_json::from_slice(bytes).map_err(|error| RecordsError::Record {
            detail: error.to_string(),
        })?;
        let understood = serde_json::to_value(&file).map_err(|error| RecordsError::Record {
            detail: error.to_string(),
        })?;
        match unknown_field(&json, &understood) {
            Some(path) => Err(RecordsError::UnknownField { path }),
            None => Ok(file),
        }
    }

    /// The file as text, one field a line.
    ///
    /// # Errors
    /// [`RecordsError::Record`] when a number in it is not finite.
    pub fn write(&self) -> Result<String, RecordsError> {
        let mut text =
            serde_json::to_string_pretty(self).map_err(|error| RecordsError::Record {
                detail: error.to_string(),
            })?;
        text.push('\n');
        Ok(text)
    }
}

/// The path of the first field in `given` that `understood` does not have.
fn unknown_field(given: &Value, understood: &Value) -> Option<String> {
    match (given, understood) {
        (Value::Object(given), Value::Object(understood)) => {
            given
                .iter()
                .find_map(|(key, value)| match understood.get(key) {
                    Some(known) => unknown_field(value, known).map(|path| format!("{key}.{path}")),
                    // Left out when it says nothing.
                    None if value.is_null() => None,
                    None => Some(key.clone()),
                })
        }
        (Value::Array(given), Value::Array(understood)) => given
            .iter()
            .zip(understood)
            .enumerate()
            .find_map(|(n, (value, known))| {
                unknown_field(value, known).map(|path| format!("{n}.{path}"))
            }),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const VISIT: &str = r#"{"format": "tautbook-records", "version": 1, "records": {"visits": [
        {"id": "01956c2e-7000-7000-8000-000000000001", "created": "2026-03-04T09:00:00Z",
         "changed": "2026-03-04T09:00:00Z", "device": "01956c2e-7000-7000-8000-00000000000d",
         "customer": "Harrow Tile", "site": "Kiln Lane", "date": "2026-03-04"}]}}"#;

    #[test]
    fn what_is_written_reads_back() {
        let file = RecordsFile::read(VISIT.as_bytes()).unwrap();
        assert_eq!(file.records.visits[0].customer, "Harrow Tile");
        assert_eq!(
            RecordsFile::read(file.write().unwrap().as_bytes()).unwrap(),
            file
        );
    }

    #[test]
    fn every_fault_has_its_own_word() {
        let error = |text: &str| RecordsFile::read(text.as_bytes()).unwrap_err();
        assert!(matches!(error(&VISIT[..200]), RecordsError::NotJson { .. }));
        assert!(matches!(error(""), RecordsError::NotJson { .. }));
        assert_eq!(error(r#"{"records": []}"#), RecordsError::NotRecords);
        assert_eq!(error("[1, 2]"), RecordsError::NotRecords);
        assert_eq!(
            error(&VISIT.replace("\"version\": 1", "\"version\": 7")),
            RecordsError::Newer { found: 7 }
        );
        let no_date = error(&VISIT.replace("2026-03-04\"}", "2026-13-04\"}"));
        assert!(matches!(no_date, RecordsError::Record { .. }), "{no_date}");
        assert_eq!(
            error(&VISIT.replace("\"site\"", "\"mood\": \"fine\", \"site\"")),
            RecordsError::UnknownField {
                path: "records.visits.0.mood".to_owned()
            }
        );
        let deep = "[".repeat(100_000);
        assert!(
            matches!(error(&deep), RecordsError::NotJson { .. }),
            "depth is bounded"
        );
    }
}
