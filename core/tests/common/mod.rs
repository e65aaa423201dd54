//! Records as the tests of film and its balance need them.

use tautbook_core::survey::{Id, MarkPlace, Moment, Record, StretchMark};
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

pub(crate) fn mark(id: u128, place: MarkPlace, before: &str, after: &str) -> Record<StretchMark> {
    record(
        id,
        StretchMark {
            setup: Id::from_uuid(Uuid::from_u128(10)),
            load: None,
            place,
            before: before.parse().unwrap(),
            after: after.parse().unwrap(),
            taken_at: at(),
            notes: String::new(),
        },
    )
}
