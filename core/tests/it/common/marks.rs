//! Stretch marks as the tests of film and its balance need them.

use tautbook_core::survey::{Id, MarkPlace, Record, StretchMark};
use uuid::Uuid;

use crate::common::{at, record};

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
