//! Identity of records: UUID version 7, typed by what it identifies.

use std::fmt;
use std::hash::{Hash, Hasher};
use std::marker::PhantomData;
use std::str::FromStr;

use serde::{Deserialize, Deserializer, Serialize, Serializer};
use uuid::Uuid;

use super::{Entity, Kind};

/// The identity of one record of kind `T`: a UUID (RFC 9562), version 7 when made here.
///
/// The type parameter keeps the id of a load from being used where the id of a line belongs.
/// Ids order by the time they were made.
pub struct Id<T> {
    uuid: Uuid,
    of: PhantomData<fn() -> T>,
}

impl<T> Id<T> {
    /// An id from a UUID that is known to belong to a record of kind `T`.
    #[must_use]
    pub const fn from_uuid(uuid: Uuid) -> Self {
        Self {
            uuid,
            of: PhantomData,
        }
    }

    /// The UUID itself.
    #[must_use]
    pub const fn uuid(self) -> Uuid {
        self.uuid
    }
}

impl<T: Entity> Id<T> {
    /// The record of this id, as others name it.
    #[must_use]
    pub const fn reference(self) -> RecordRef {
        RecordRef {
            kind: T::KIND,
            id: self.uuid,
        }
    }
}

impl<T> Clone for Id<T> {
    fn clone(&self) -> Self {
        *self
    }
}
impl<T> Copy for Id<T> {}
impl<T> PartialEq for Id<T> {
    fn eq(&self, other: &Self) -> bool {
        self.uuid == other.uuid
    }
}
impl<T> Eq for Id<T> {}
impl<T> PartialOrd for Id<T> {
    fn partial_cmp(&self, other: &Self) -> Option<std::cmp::Ordering> {
        Some(self.cmp(other))
    }
}
impl<T> Ord for Id<T> {
    fn cmp(&self, other: &Self) -> std::cmp::Ordering {
        self.uuid.cmp(&other.uuid)
    }
}
impl<T> Hash for Id<T> {
    fn hash<H: Hasher>(&self, state: &mut H) {
        self.uuid.hash(state);
    }
}
impl<T> fmt::Debug for Id<T> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}", self.uuid)
    }
}
impl<T> fmt::Display for Id<T> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}", self.uuid)
    }
}
impl<T> FromStr for Id<T> {
    type Err = uuid::Error;
    fn from_str(text: &str) -> Result<Self, Self::Err> {
        Ok(Self::from_uuid(Uuid::parse_str(text)?))
    }
}
impl<T> Serialize for Id<T> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        self.uuid.serialize(serializer)
    }
}
impl<'de, T> Deserialize<'de> for Id<T> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        Uuid::deserialize(deserializer).map(Self::from_uuid)
    }
}
#[cfg(feature = "schema")]
impl<T> schemars::JsonSchema for Id<T> {
    fn schema_name() -> std::borrow::Cow<'static, str> {
        "Id".into()
    }
    fn json_schema(generator: &mut schemars::SchemaGenerator) -> schemars::Schema {
        Uuid::json_schema(generator)
    }
}

/// The identity of a record of any kind: what evidence, photos and the history point at.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct RecordRef {
    /// What kind of record it is.
    pub kind: Kind,
    /// Its id.
    pub id: Uuid,
}

impl fmt::Display for RecordRef {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} {}", self.kind.as_str(), self.id)
    }
}
