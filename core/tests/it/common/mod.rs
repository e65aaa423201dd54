//! Records as the tests need them.

pub(crate) mod marks;

use tautbook_core::survey::{Id, Moment, Record};
use uuid::Uuid;

pub(crate) fn at() -> Moment {
    Moment::from_unix_ms(1_772_600_000_000, -300).unwrap()
}

pub(crate) fn record<T>(id: u128, body: T) -> Record<T> {
    Record {
        id: Id::from_uuid(Uuid::from_u128(id)),
        created: at(),
        changed: at(),
        device: Uuid::from_u128(1),
        set_aside: None,
        body,
    }
}
