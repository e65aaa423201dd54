//! What was set aside, to be found again.

use uuid::Uuid;

use super::store::moment;
use super::{Book, BookError};
use crate::survey::{Kind, RecordRef, SetAside};

impl Book {
    /// Records of these kinds that are set aside, the one set aside last first, at most `most`.
    ///
    /// # Errors
    /// The store's errors.
    pub fn set_aside_of(
        &self,
        kinds: &[Kind],
        most: u32,
    ) -> Result<Vec<(RecordRef, SetAside)>, BookError> {
        if kinds.is_empty() {
            return Ok(Vec::new());
        }
        let of_kind = |kind: &Kind| {
            let kind = kind.as_str();
            format!(
                "SELECT '{kind}' AS kind, id, aside_ms, aside_offset, aside_reason \
                 FROM {kind} WHERE aside_ms IS NOT NULL"
            )
        };
        let all: Vec<String> = kinds.iter().map(of_kind).collect();
        let sql = format!(
            "{} ORDER BY aside_ms DESC, id DESC LIMIT ?1",
            all.join(" UNION ALL ")
        );
        let mut statement = self.db.prepare_cached(&sql)?;
        let rows = statement.query_map([most], |row| {
            let kind: String = row.get(0)?;
            let aside = SetAside {
                at: moment(row.get(2)?, row.get(3)?),
                reason: row.get(4)?,
            };
            Ok((kind, Uuid::from_bytes(row.get(1)?), aside))
        })?;
        let mut found = Vec::new();
        for row in rows {
            let (kind, id, aside) = row?;
            if let Some(kind) = Kind::from_name(&kind) {
                found.push((RecordRef { kind, id }, aside));
            }
        }
        Ok(found)
    }
}
