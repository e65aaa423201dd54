//! The list of a day file's members.

use std::collections::BTreeMap;

use chrono::NaiveDate;
use serde::{Deserialize, Serialize};
use serde_json::Value;
use uuid::Uuid;

use super::error::{DayFileError, MemberFault};
use super::member::{MANIFEST, Member};
use crate::survey::{Id, Moment, Visit};

/// The word that says what a file is.
const FORMAT: &str = "tautbook-day";

/// The version written here, and the latest that can be read.
pub(super) const VERSION: u32 = 1;

/// What a day file holds.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Manifest {
    /// Always `tautbook-day`.
    pub(super) format: String,
    /// Version of the form of day files.
    pub(super) version: u32,
    /// The Tautbook that wrote it.
    pub written_by: String,
    /// When, by the device's clock.
    pub made: Moment,
    /// The device it was made on.
    pub device: Uuid,
    /// The visits in it.
    pub visits: Vec<VisitInFile>,
    /// How many records of each kind, in the kinds' order; kinds without are left out.
    pub records: BTreeMap<String, u64>,
    /// Every other member.
    pub members: BTreeMap<String, MemberSum>,
    /// Pictures whose file was gone or damaged on the device when the day file was made.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub photos_left_out: Vec<PhotoLeftOut>,
}

/// A visit in a day file.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct VisitInFile {
    /// Which.
    #[cfg_attr(feature = "schema", schemars(with = "Uuid"))]
    pub id: Id<Visit>,
    /// The customer.
    pub customer: String,
    /// The site.
    pub site: String,
    /// The day.
    pub date: NaiveDate,
}

/// A member's size and sum.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct MemberSum {
    /// Its size in bytes, unpacked.
    pub bytes: u64,
    /// SHA-256 (FIPS 180-4) of its bytes, 64 lower-case hexadecimal digits.
    pub sha256: String,
}

/// A picture that could not be put into the file.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct PhotoLeftOut {
    /// The picture.
    pub sha256: String,
    /// Why.
    pub why: String,
}

impl Manifest {
    /// How many pictures are in it.
    #[must_use]
    pub fn photos(&self) -> usize {
        let members = self.members.keys();
        members
            .filter(|name| matches!(Member::of(name), Some(Member::Photo(_))))
            .count()
    }

    pub(super) fn new(made: Moment, device: Uuid, visits: Vec<VisitInFile>) -> Self {
        Self {
            format: FORMAT.to_owned(),
            version: VERSION,
            written_by: format!("Tautbook {}", env!("CARGO_PKG_VERSION")),
            made,
            device,
            visits,
            records: BTreeMap::new(),
            members: BTreeMap::new(),
            photos_left_out: Vec::new(),
        }
    }

    /// Reads a manifest.
    ///
    /// # Errors
    /// [`DayFileError::NotADayFile`], [`DayFileError::Newer`], [`DayFileError::Member`].
    pub(super) fn read(bytes: &[u8]) -> Result<Self, DayFileError> {
        /// What every version has.
        #[derive(Deserialize)]
        struct Head {
            format: String,
            version: Value,
        }
        let form = |error: serde_json::Error| {
            DayFileError::member(MANIFEST, MemberFault::Form(error.to_string()))
        };
        let head: Head = serde_json::from_slice(bytes).map_err(form)?;
        if head.format != FORMAT {
            return Err(DayFileError::NotADayFile);
        }
        match head.version.as_u64() {
            None | Some(0) => return Err(DayFileError::NotADayFile),
            Some(found) if found > u64::from(VERSION) => {
                return Err(DayFileError::Newer {
                    found,
                    known: VERSION,
                });
            }
            Some(_) => {}
        }
        let manifest: Self = serde_json::from_slice(bytes).map_err(form)?;
        for (name, sum) in &manifest.members {
            match Member::of(name) {
                None | Some(Member::Manifest) => {
                    return Err(DayFileError::member(name, MemberFault::Name));
                }
                // A picture's name is its sum.
                Some(Member::Photo(sha256)) if sha256 != sum.sha256 => {
                    return Err(DayFileError::member(name, MemberFault::Altered));
                }
                Some(member) if sum.bytes > member.most() => {
                    return Err(DayFileError::member(
                        name,
                        MemberFault::TooLarge {
                            most: member.most(),
                        },
                    ));
                }
                Some(_) => {}
            }
        }
        Ok(manifest)
    }
}
