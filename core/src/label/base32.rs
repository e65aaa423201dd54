//! Crockford's base 32, for ids: digits and upper-case letters without I, L, O and U.
//!
//! Source: Douglas Crockford, "Base 32", <https://www.crockford.com/base32.html>, from memory.

/// The 32 signs, each worth its place.
const SIGNS: &[u8; 32] = b"0123456789ABCDEFGHJKMNPQRSTVWXYZ";

/// Signs that hold 128 bits: 26 times 5 are 130, and the first two bits are 0.
pub(super) const ID_SIGNS: usize = 26;

/// `value` in `N` signs, the lowest 5 bits last; higher bits than fit are left out.
pub(super) fn write<const N: usize>(mut value: u128) -> String {
    let mut signs = [b'0'; N];
    for sign in signs.iter_mut().rev() {
        *sign = usize::try_from(value & 31)
            .ok()
            .and_then(|place| SIGNS.get(place).copied())
            .unwrap_or(b'0');
        value >>= 5;
    }
    signs.iter().copied().map(char::from).collect()
}

/// The number that `text` writes, or `None` when a sign is not one of the 32 or it needs more than
/// 128 bits. Strict: one number has one spelling of a given length.
pub(super) fn read(text: &str) -> Option<u128> {
    text.bytes().try_fold(0_u128, |value, sign| {
        let worth = SIGNS.iter().position(|&known| known == sign)?;
        (value >> 123 == 0).then_some(())?;
        Some((value << 5) | u128::try_from(worth).ok()?)
    })
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    #[test]
    fn known_numbers() {
        assert_eq!(write::<2>(31), "0Z");
        assert_eq!(write::<3>(1_024), "100");
        assert_eq!(write::<ID_SIGNS>(u128::MAX), "7ZZZZZZZZZZZZZZZZZZZZZZZZZ");
        // The specification of ULID gives this pair: 2^128 - 1 is the greatest that 26 signs may be.
        assert_eq!(read("7ZZZZZZZZZZZZZZZZZZZZZZZZZ"), Some(u128::MAX));
        assert_eq!(read("80000000000000000000000000"), None);
        assert_eq!(read("1U"), None);
        assert_eq!(read("a"), None, "strict: capitals only");
    }

    proptest! {
        #[test]
        fn what_is_written_is_read(value: u128) {
            prop_assert_eq!(read(&write::<ID_SIGNS>(value)), Some(value));
        }
    }
}
