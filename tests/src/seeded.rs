//! Numbers that look random and are the same on every run.

/// `SplitMix64` (Steele, Lea and Flood, 2014).
#[derive(Debug, Clone)]
pub struct Seeded(u64);

impl Seeded {
    /// The sequence of that seed.
    #[must_use]
    pub const fn new(seed: u64) -> Self {
        Self(seed)
    }

    /// The next 64 bits.
    pub fn bits(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut mixed = self.0;
        mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        mixed ^ (mixed >> 31)
    }

    /// A number from 0 up to and without `end`; 0 when `end` is 0.
    pub fn below(&mut self, end: u64) -> u64 {
        self.bits() % end.max(1)
    }

    /// A place in a list of that length.
    pub fn index(&mut self, length: usize) -> usize {
        let length = u64::try_from(length).unwrap_or(u64::MAX);
        usize::try_from(self.below(length)).unwrap_or(0)
    }

    /// One of them.
    ///
    /// # Panics
    /// When there is none.
    pub fn pick<'a, T>(&mut self, from: &'a [T]) -> &'a T {
        &from[self.index(from.len())]
    }

    /// A number from `low` up to `high`.
    pub fn between(&mut self, low: f64, high: f64) -> f64 {
        // 53 bits are all that a number of that kind holds.
        #[allow(clippy::cast_precision_loss)]
        let share = (self.bits() >> 11) as f64 / (1_u64 << 53) as f64;
        low + (high - low) * share
    }

    /// True once in `n` times.
    pub fn once_in(&mut self, n: u64) -> bool {
        self.below(n) == 0
    }
}
