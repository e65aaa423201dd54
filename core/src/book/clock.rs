//! The time, and an order of actions that no wrong clock can upset.

use chrono::{Local, Offset, Utc};

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

#[cfg(test)]
mod tests {
    use super::*;

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
