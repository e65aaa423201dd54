//! The envelope every record travels in, and what a record must be able to say of itself.

use std::cmp::Ordering;
use std::hash::{Hash, Hasher};

use chrono::{DateTime, Datelike, FixedOffset, SecondsFormat};
use serde::de::DeserializeOwned;
use serde::{Deserialize, Deserializer, Serialize, Serializer};
use thiserror::Error;
use uuid::Uuid;

use super::{Id, Kind, RecordRef, Tool, ToolKind};
use crate::language::{Language, Word};
use crate::word;

/// An instant with the local offset of the place where it was noted, to the millisecond.
///
/// Written as RFC 3339, `2026-03-04T09:30:00.000-05:00`. Ordered by the instant, then by the
/// offset: two of them are equal only when nothing about them differs.
#[derive(Debug, Clone, Copy)]
pub struct Moment(DateTime<FixedOffset>);

impl Moment {
    fn order(self) -> (i64, i32) {
        (self.unix_ms(), self.offset_minutes())
    }
}

impl PartialEq for Moment {
    fn eq(&self, other: &Self) -> bool {
        self.order() == other.order()
    }
}
impl Eq for Moment {}
impl PartialOrd for Moment {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}
impl Ord for Moment {
    fn cmp(&self, other: &Self) -> Ordering {
        self.order().cmp(&other.order())
    }
}
impl Hash for Moment {
    fn hash<H: Hasher>(&self, state: &mut H) {
        self.order().hash(state);
    }
}

impl Default for Moment {
    /// 1970-01-01T00:00:00Z.
    fn default() -> Self {
        Self(DateTime::UNIX_EPOCH.fixed_offset())
    }
}

impl Moment {
    /// From milliseconds since 1970-01-01T00:00:00Z and the local offset in minutes east of UTC.
    ///
    /// `None` when the offset is a day or more, or the year, there or in UTC, is not one of 0 to
    /// 9999: RFC 3339 writes no other, and what cannot be written cannot be kept.
    #[must_use]
    pub fn from_unix_ms(ms: i64, offset_minutes: i32) -> Option<Self> {
        let offset = FixedOffset::east_opt(offset_minutes.checked_mul(60)?)?;
        let writable = |year: i32| (0..=9_999).contains(&year);
        let at = DateTime::from_timestamp_millis(ms).filter(|at| writable(at.year()))?;
        let at = at.with_timezone(&offset);
        writable(at.year()).then_some(Self(at))
    }

    /// Milliseconds since 1970-01-01T00:00:00Z.
    #[must_use]
    pub fn unix_ms(self) -> i64 {
        self.0.timestamp_millis()
    }

    /// The local offset in minutes east of UTC.
    #[must_use]
    pub fn offset_minutes(self) -> i32 {
        self.0.offset().local_minus_utc() / 60
    }

    /// As date and time with its offset.
    #[must_use]
    pub fn date_time(self) -> DateTime<FixedOffset> {
        self.0
    }

    /// Parses RFC 3339; fractions finer than a millisecond and offset seconds are dropped.
    #[must_use]
    pub fn parse(text: &str) -> Option<Self> {
        let at = DateTime::parse_from_rfc3339(text).ok()?;
        Self::from_unix_ms(at.timestamp_millis(), at.offset().local_minus_utc() / 60)
    }
}

impl std::fmt::Display for Moment {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(&self.0.to_rfc3339_opts(SecondsFormat::Millis, false))
    }
}
impl Serialize for Moment {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}
impl<'de> Deserialize<'de> for Moment {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let text = String::deserialize(deserializer)?;
        Self::parse(&text).ok_or_else(|| {
            serde::de::Error::custom(format!(
                "'{text}' is not a time: write it as 2026-03-04T09:30:00.000-05:00"
            ))
        })
    }
}
#[cfg(feature = "schema")]
impl schemars::JsonSchema for Moment {
    fn schema_name() -> std::borrow::Cow<'static, str> {
        "Moment".into()
    }
    fn json_schema(_: &mut schemars::SchemaGenerator) -> schemars::Schema {
        schemars::json_schema!({"type": "string", "format": "date-time"})
    }
}

/// Why and when a record was set aside. It stays in the book and can be brought back.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct SetAside {
    /// When.
    pub at: Moment,
    /// The reason in the person's words, or one of the usual ones.
    pub reason: String,
}

impl SetAside {
    /// The reason where a person took back what was noted last.
    pub const UNDONE: &str = "undone";
    /// The reason where a person set a record aside and gave none.
    pub const BY_HAND: &str = "set aside by hand";
    /// The reason of a reading at which the film tore.
    pub const FILM_TORE: &str = "the film tore";
    /// The reason of a reading at which the tool slipped.
    pub const SLIPPED: &str = "the tool slipped";
    /// The reason of a reading that was taken elsewhere than it says.
    pub const WRONG_PLACE: &str = "taken at the wrong place";
    /// The reason of a value that is not what the tool showed.
    pub const MISTYPED: &str = "typed wrong";

    /// The reason as a reader of that language is told it: a usual one in its words, else as written.
    #[must_use]
    pub fn why(&self, language: Language) -> &str {
        match self.reason.as_str() {
            Self::UNDONE => word!("undone").said(language),
            Self::BY_HAND => word!("by hand").said(language),
            Self::FILM_TORE => word!("the film tore").said(language),
            Self::SLIPPED => word!("the tool slipped").said(language),
            Self::WRONG_PLACE => word!("taken at the wrong place").said(language),
            Self::MISTYPED => word!("typed wrong").said(language),
            written => written,
        }
    }
}

/// One record: its identity, when and where it was made and last changed, and its content.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[cfg_attr(feature = "schema", schemars(rename = "{T}Record"))]
pub struct Record<T> {
    /// Identity.
    #[cfg_attr(feature = "schema", schemars(with = "Uuid"))]
    pub id: Id<T>,
    /// When it was made.
    pub created: Moment,
    /// When it was last changed.
    pub changed: Moment,
    /// The device it was made on.
    pub device: Uuid,
    /// Set when the record was set aside.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub set_aside: Option<SetAside>,
    /// The content.
    #[serde(flatten)]
    pub body: T,
}

impl<T: Entity> Record<T> {
    /// What points at this record from elsewhere.
    #[must_use]
    pub fn reference(&self) -> RecordRef {
        self.id.reference()
    }
}

impl<T> std::ops::Deref for Record<T> {
    type Target = T;
    fn deref(&self) -> &T {
        &self.body
    }
}

/// A record whose content contradicts itself.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
#[error("{field}: {}", problem.said(Language::English))]
pub struct ContentError {
    /// The field, by its name in the record.
    pub field: &'static str,
    /// What is wrong and what to do.
    pub problem: Word,
}

impl ContentError {
    /// A contradiction in `field`.
    #[must_use]
    pub const fn new(field: &'static str, problem: Word) -> Self {
        Self { field, problem }
    }
}

/// Content that can be kept in the book as a record of its own.
pub trait Entity:
    Serialize + DeserializeOwned + Clone + PartialEq + std::fmt::Debug + 'static
{
    /// What kind of record this is.
    const KIND: Kind;

    /// Fields that are themselves structures whose fields change one by one.
    ///
    /// History and merging look inside these, and only these.
    const NESTED: &'static [&'static str] = &[];

    /// The records this one belongs to or uses, in the order of [`Kind::parents`].
    fn parents(&self) -> Vec<Option<Uuid>>;

    /// What a person may search for, one phrase a line. Empty when there is nothing to find.
    fn search_text(&self) -> String {
        String::new()
    }

    /// The tool it was measured with and the kind of tool that has to be.
    fn tool_needed(&self) -> Option<(Id<Tool>, ToolKind)> {
        None
    }

    /// Refuses content that contradicts itself.
    ///
    /// # Errors
    /// The field, what is wrong with it and what to do.
    fn check(&self) -> Result<(), ContentError> {
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_moment_that_can_be_made_can_be_read_back() {
        const FIRST: i64 = -62_167_219_200_000; // 0000-01-01T00:00:00Z
        const LAST: i64 = 253_402_300_799_999; // 9999-12-31T23:59:59.999Z
        for (ms, offset) in [
            (FIRST, 0),
            (FIRST, 1_439),
            (LAST, 0),
            (LAST, -1_439),
            (0, -300),
        ] {
            let moment = Moment::from_unix_ms(ms, offset).unwrap();
            assert_eq!(Moment::parse(&moment.to_string()), Some(moment), "{moment}");
        }
        let here = Moment::from_unix_ms(0, -300);
        assert_ne!(here, Moment::from_unix_ms(0, 0), "noted at another place");
        for (ms, offset) in [
            (FIRST - 1, 0),
            (FIRST, -1),
            (LAST + 1, 0),
            (LAST, 1),
            (i64::MAX, 0),
            (0, 24 * 60),
        ] {
            assert_eq!(Moment::from_unix_ms(ms, offset), None, "{ms} {offset}");
        }
    }
}
