//! Reed-Solomon words mended with the help of where they are doubtful.
//!
//! The field is that of QR (ISO/IEC 18004): 256 elements, generator x^8 + x^4 + x^3 + x^2 + 1, check
//! polynomial with the roots 2^0, 2^1, ... The library that reads codes of others corrects unknown
//! errors only; a doubtful place told beforehand costs half as much.

/// Check signs in each block of a label's symbol.
pub(super) const CHECKS: usize = 22;
/// Signs in each block.
pub(super) const BLOCK: usize = 35;

/// Powers of 2 in the field and back, twice round so that sums of logarithms need no remainder.
pub(super) struct Field {
    power: [u8; 512],
    log: [u8; 256],
}

impl Field {
    pub(super) fn new() -> Self {
        let mut field = Self {
            power: [0; 512],
            log: [0; 256],
        };
        let mut value = 1_u16;
        for n in 0..=254_u8 {
            let at = usize::from(n);
            let element = u8::try_from(value).unwrap_or(0);
            field.power[at] = element;
            field.power[at + 255] = element;
            field.log[usize::from(element)] = n;
            value <<= 1;
            if value > 255 {
                value ^= 0x11d;
            }
        }
        field
    }

    fn times(&self, a: u8, b: u8) -> u8 {
        if a == 0 || b == 0 {
            return 0;
        }
        self.power[usize::from(self.log[usize::from(a)]) + usize::from(self.log[usize::from(b)])]
    }

    /// `a` over `b`, which is not 0.
    fn over(&self, a: u8, b: u8) -> u8 {
        if a == 0 {
            return 0;
        }
        let log = 255 + usize::from(self.log[usize::from(a)]);
        self.power[log - usize::from(self.log[usize::from(b)])]
    }

    /// 2 to the power of `n`, below 255.
    fn power(&self, n: usize) -> u8 {
        self.power[n]
    }

    fn at(&self, polynomial: &[u8], x: u8) -> u8 {
        polynomial
            .iter()
            .rev()
            .fold(0, |value, &next| self.times(value, x) ^ next)
    }

    /// The word's values at the roots: all 0 for a true word.
    fn syndromes(&self, word: &[u8; BLOCK]) -> [u8; CHECKS] {
        std::array::from_fn(|n| {
            let root = self.power(n);
            word.iter()
                .fold(0, |value, &next| self.times(value, root) ^ next)
        })
    }

    /// The true word nearest to `word`, whose signs at `doubtful` count for nothing; `None` when
    /// more is wrong than can be mended: the doubtful and twice the other wrong signs may be as many
    /// as there are check signs. Berlekamp and Massey's algorithm begun with the doubtful places,
    /// then Forney's (Blahut, "Algebraic Codes for Data Transmission", 7.4; from memory).
    pub(super) fn mend(&self, word: &[u8; BLOCK], doubtful: &[usize]) -> Option<[u8; BLOCK]> {
        if doubtful.len() > CHECKS {
            return None;
        }
        let mut word = *word;
        for &at in doubtful {
            *word.get_mut(at)? = 0;
        }
        let syndromes = self.syndromes(&word);
        if syndromes.iter().all(|&syndrome| syndrome == 0) {
            return Some(word);
        }
        let locator = self.locator(&syndromes, doubtful);
        let degree = locator.iter().rposition(|&sign| sign != 0)?;
        let mut value = [0_u8; CHECKS];
        for (n, place) in value.iter_mut().enumerate() {
            *place = (0..=n.min(degree))
                .fold(0, |sum, k| sum ^ self.times(locator[k], syndromes[n - k]));
        }
        // The derivative: even powers vanish.
        let slope: Vec<u8> = (1..=degree)
            .map(|k| if k % 2 == 1 { locator[k] } else { 0 })
            .collect();
        let mut found = 0;
        for (at, sign) in word.iter_mut().enumerate() {
            let from_end = BLOCK - 1 - at;
            let inverse = self.power((255 - from_end) % 255);
            if self.at(&locator, inverse) != 0 {
                continue;
            }
            let under = self.at(&slope, inverse);
            if under == 0 {
                return None;
            }
            let error = self.over(self.at(&value, inverse), under);
            *sign ^= self.times(self.power(from_end), error);
            found += 1;
        }
        let true_now = found == degree && self.syndromes(&word).iter().all(|&left| left == 0);
        true_now.then_some(word)
    }

    /// The polynomial whose roots are the inverses of the wrong places.
    fn locator(&self, syndromes: &[u8; CHECKS], doubtful: &[usize]) -> [u8; CHECKS + 2] {
        let mut locator = [0_u8; CHECKS + 2];
        locator[0] = 1;
        for &at in doubtful {
            let place = self.power(BLOCK - 1 - at);
            for k in (1..locator.len()).rev() {
                locator[k] ^= self.times(place, locator[k - 1]);
            }
        }
        let mut before = locator;
        let mut length = doubtful.len();
        for n in doubtful.len()..CHECKS {
            before.rotate_right(1);
            before[0] = 0;
            let off = (0..=n).fold(0, |sum, k| {
                let next = locator.get(k).copied().unwrap_or(0);
                sum ^ self.times(next, syndromes[n - k])
            });
            if off == 0 {
                continue;
            }
            let mut next = locator;
            for (sign, &old) in next.iter_mut().zip(&before) {
                *sign ^= self.times(off, old);
            }
            if 2 * length <= n + doubtful.len() {
                before = locator.map(|sign| self.over(sign, off));
                length = n + 1 + doubtful.len() - length;
            }
            locator = next;
        }
        locator
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;
    use rxing::common::reedsolomon::{GenericGFRef, PredefinedGenericGF, ReedSolomonEncoder};

    use super::*;

    /// A true word, by the library's encoder.
    fn word(data: &[u8]) -> [u8; BLOCK] {
        let field: GenericGFRef = PredefinedGenericGF::QrCodeField256.into();
        let mut signs: Vec<i32> = data.iter().map(|&sign| i32::from(sign)).collect();
        signs.resize(BLOCK, 0);
        let mut encoder = ReedSolomonEncoder::new(field).unwrap();
        encoder.encode(&mut signs, CHECKS).unwrap();
        std::array::from_fn(|at| u8::try_from(signs[at]).unwrap())
    }

    proptest! {
        #[test]
        fn as_much_is_mended_as_the_theory_says(
            data in proptest::collection::vec(any::<u8>(), BLOCK - CHECKS),
            order in Just((0..BLOCK).collect::<Vec<_>>()).prop_shuffle(),
            doubtful in 0..=CHECKS,
            less in 0_usize..3,
            noise: [u8; BLOCK],
        ) {
            let field = Field::new();
            let whole = word(&data);
            let errors = ((CHECKS - doubtful) / 2).saturating_sub(less);
            let mut spoilt = whole;
            for &at in &order[..doubtful] {
                spoilt[at] ^= noise[at];
            }
            for &at in &order[doubtful..doubtful + errors] {
                spoilt[at] ^= noise[at].max(1);
            }
            prop_assert_eq!(field.mend(&spoilt, &order[..doubtful]), Some(whole));
        }

        #[test]
        fn any_word_is_mended_into_a_true_one_or_given_up(
            noise: [u8; BLOCK],
            doubtful in proptest::collection::vec(0..BLOCK, 0..CHECKS),
        ) {
            let field = Field::new();
            if let Some(mended) = field.mend(&noise, &doubtful) {
                prop_assert_eq!(field.syndromes(&mended), [0; CHECKS]);
            }
        }
    }
}
