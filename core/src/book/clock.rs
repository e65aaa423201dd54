//! The time, and an order of actions that no wrong clock can upset.

use chrono::{Local, Offset, Utc};

use uuid::Uuid;

use crate::survey::Moment;

/// Tells the time. The book asks nothing else of the outside world's clock.
pub trait Clock: Send {
    /// Now, with the local offset.
    fn now(&self) -> Moment;
}

/// The clock of the machine.
#[derive(Debug, Clone, Copy, Default)]
pub struct SystemClock;

impl Clock for SystemClock {
    fn now(&self) -> Moment {
        let now = Local::now();
        let offset = now.offset().fix().local_minus_utc() / 60;
        Moment::from_unix_ms(now.with_timezone(&Utc).timestamp_millis(), offset).unwrap_or_default()
    }
}

/// A clock that stands where it was set: for tests and for made-up data.
#[derive(Debug, Clone, Copy)]
pub struct FixedClock(pub Moment);

impl Clock for FixedClock {
    fn now(&self) -> Moment {
        self.0
    }
}

/// Bits below the milliseconds in a stamp.
const COUNTER_BITS: u32 = 16;

/// The stamp after `last` at `now_ms`: milliseconds since 1970 in the upper bits, a counter in the
/// lower 16. A hybrid logical clock (Kulkarni et al., 2014): never at or before `last`, however far
/// the wall clock was set back, and as close to the wall clock as that allows.
#[must_use]
pub(super) fn next_stamp(last: i64, now_ms: i64) -> i64 {
    let wall = now_ms.clamp(0, i64::MAX >> COUNTER_BITS) << COUNTER_BITS;
    wall.max(last.saturating_add(1))
}

/// The milliseconds since 1970 in a stamp.
#[must_use]
pub(super) fn stamp_ms(stamp: i64) -> i64 {
    stamp >> COUNTER_BITS
}

/// The id of the `n`th record an action makes, counted from 0: a UUID version 7 (RFC 9562, 5.7)
/// whose time is that of the action's stamp, with the stamp's counter and `n` in the bits that
/// follow (6.2, method 1). Ids order as things were done, whatever the wall clock said; the 40
/// bits left are random.
pub(super) fn new_id(stamp: i64, n: u16) -> Uuid {
    let ms = u64::try_from(stamp_ms(stamp)).unwrap_or(0);
    let [_, _, _, _, _, _, high, low] = stamp.to_be_bytes();
    let [more, less] = n.to_be_bytes();
    let mut tail = [0_u8; 10];
    let [.., a, b, c, d, e] = *Uuid::new_v4().as_bytes();
    // The version takes the upper 4 bits of the first byte, the variant the upper 2 of the third.
    tail[0] = high >> 4;
    tail[1] = (high << 4) | (low >> 4);
    tail[2] = low & 0x0f;
    tail[3..5].copy_from_slice(&[more, less]);
    tail[5..].copy_from_slice(&[a, b, c, d, e]);
    uuid::Builder::from_unix_timestamp_millis(ms, &tail).into_uuid()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ids_order_as_things_were_done() {
        let first = next_stamp(0, 1_772_634_600_250);
        let ids: Vec<Uuid> = [
            first,
            first + 1,
            first + 15,
            first + 16,
            first + 300,
            first + 70_000,
        ]
        .into_iter()
        .flat_map(|stamp| [new_id(stamp, 0), new_id(stamp, 1), new_id(stamp, 300)])
        .collect();
        assert!(ids.is_sorted(), "{ids:?}");
        for id in &ids {
            assert_eq!(id.get_version_num(), 7);
            assert_eq!(id.get_variant(), uuid::Variant::RFC4122);
        }
        let (seconds, nanos) = ids[0].get_timestamp().unwrap().to_unix();
        assert_eq!((seconds, nanos), (1_772_634_600, 250_000_000));
        assert_ne!(
            new_id(first, 0),
            new_id(first, 0),
            "another device makes another id"
        );
    }

    #[test]
    fn stamps_follow_the_clock_and_never_turn_back() {
        let first = next_stamp(0, 1_000);
        assert_eq!(stamp_ms(first), 1_000);
        assert_eq!(
            next_stamp(first, 1_000),
            first + 1,
            "same millisecond counts on"
        );
        assert_eq!(
            next_stamp(first, 10),
            first + 1,
            "a clock set back does not go back"
        );
        assert_eq!(
            stamp_ms(next_stamp(first, 2_000)),
            2_000,
            "and catches up with the clock"
        );
        assert!(next_stamp(first, -5) > first, "a clock before 1970 neither");
    }
}
