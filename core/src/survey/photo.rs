//! A picture, known by what is in its file.

use chrono::NaiveDateTime;
use serde::{Deserialize, Serialize};
use uuid::Uuid;

use super::{ContentError, Entity, Id, Kind, RecordRef, Visit, phrases};
use crate::word;

/// A picture.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Photo {
    /// The visit it was taken on.
    #[cfg_attr(feature = "schema", schemars(with = "Uuid"))]
    pub visit: Id<Visit>,
    /// What it shows: a reading, load, check, sample, the visit itself.
    pub of: RecordRef,
    /// SHA-256 (FIPS 180-4) of the kept file, 64 lower-case hexadecimal digits.
    pub sha256: String,
    /// Width in pixels.
    pub width_px: u32,
    /// Height in pixels.
    pub height_px: u32,
    /// Size of the file.
    pub bytes: u64,
    /// Place among the pictures of the same record, from 0.
    #[serde(default)]
    pub order: u32,
    /// What to see.
    #[serde(default)]
    pub caption: String,
    /// When it was taken, by the camera's own clock and in its local time.
    #[serde(default)]
    pub taken_at: Option<NaiveDateTime>,
    /// The picture that this is a copy of, with marks drawn on it.
    #[serde(default)]
    #[cfg_attr(feature = "schema", schemars(with = "Option<Uuid>"))]
    pub original: Option<Id<Photo>>,
}

impl Entity for Photo {
    const KIND: Kind = Kind::Photo;

    fn parents(&self) -> Vec<Option<Uuid>> {
        vec![Some(self.visit.uuid())]
    }

    fn search_text(&self) -> String {
        phrases([&self.caption])
    }

    fn check(&self) -> Result<(), ContentError> {
        if !is_sha256(&self.sha256) {
            return Err(ContentError::new(
                "sha256",
                word!("the picture's SHA-256 is 64 lower-case hexadecimal digits"),
            ));
        }
        Ok(())
    }
}

/// Whether a text is a SHA-256 as pictures are named by it: 64 lower-case hexadecimal digits.
pub(crate) fn is_sha256(text: &str) -> bool {
    text.len() == 64
        && text
            .bytes()
            .all(|digit| matches!(digit, b'0'..=b'9' | b'a'..=b'f'))
}
