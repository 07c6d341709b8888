//! The FNV-1a hash (in the public domain, by Fowler, Noll and Vo), for digests that are the same on
//! every machine and in every version: of states, events, files.
//!
//! The reference engine has one of its own, as the two engines share no helper.

/// Defines the hash of one width by its offset and prime.
macro_rules! define_fnv {
    ($(#[$doc:meta])* $name:ident: $number:ident, $offset:literal, $prime:literal) => {
        $(#[$doc])*
        #[derive(Clone, Copy, PartialEq, Eq, Debug)]
        pub struct $name($number);

        impl $name {
            const PRIME: $number = $prime;

            /// Takes the next symbol: a byte, or a number as a whole, which is quicker and gives
            /// another hash than its bytes.
            #[inline]
            pub fn symbol(&mut self, symbol: impl Into<$number>) {
                self.0 = (self.0 ^ symbol.into()).wrapping_mul(Self::PRIME);
            }

            /// Takes these bytes, one after the other.
            #[inline]
            pub fn bytes(&mut self, bytes: impl IntoIterator<Item = u8>) {
                for byte in bytes {
                    self.symbol(byte);
                }
            }

            /// The hash of all that was taken.
            #[must_use]
            pub fn value(self) -> $number {
                self.0
            }
        }

        /// The hash of nothing.
        impl Default for $name {
            fn default() -> Self {
                Self($offset)
            }
        }
    };
}

define_fnv! {
    /// The hash in 64 bits.
    Fnv64: u64, 0xcbf2_9ce4_8422_2325, 0x0000_0100_0000_01b3
}
define_fnv! {
    /// The hash in 128 bits: two of a million things are not mistaken for each other.
    Fnv128: u128, 0x6c62_272e_07bb_0142_62b8_2175_6295_c58d, 0x0000_0000_0100_0000_0000_0000_0000_013b
}

impl Fnv64 {
    /// What so many bytes of 0 multiply the hash by, for 0 to 8 of them.
    const ZEROS: [u64; 9] = {
        let mut factors = [1_u64; 9];
        let mut zeros = 1;
        while zeros < factors.len() {
            factors[zeros] = factors[zeros - 1].wrapping_mul(Self::PRIME);
            zeros += 1;
        }
        factors
    };

    /// Takes the bytes of a number, least significant first.
    ///
    /// Most numbers are small, and a byte of 0 does nothing but multiply: those at the end all do so at once.
    #[inline]
    pub fn number(&mut self, number: u64) {
        let (mut rest, mut left) = (number, 8);
        while rest > 0xff {
            self.symbol(rest & 0xff);
            (rest, left) = (rest >> 8, left - 1);
        }
        self.0 = (self.0 ^ rest).wrapping_mul(Self::ZEROS[left]);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_hashes_are_as_they_are_defined() {
        // (offset xor 0x61) × prime, modulo 2^64 and 2^128, worked out by hand with whole numbers.
        let mut short = Fnv64::default();
        short.bytes(*b"a");
        assert_eq!(short.value(), 0xaf63_dc4c_8601_ec8c);
        let mut long = Fnv128::default();
        long.bytes(*b"a");
        assert_eq!(long.value(), 0xd228_cb69_6f1a_8caf_7891_2b70_4e4a_8964);
    }

    #[test]
    fn a_number_is_its_bytes() {
        let (mut hash, mut bytes) = (Fnv64::default(), Fnv64::default());
        hash.number(0x0102);
        bytes.bytes([2, 1, 0, 0, 0, 0, 0, 0]);
        assert_eq!(hash, bytes);
        // With bytes of 0 in front, between and behind, and with none.
        let shifted = (0..64).map(|bits| 0xa5_u64 << bits);
        let numbers = [0, 1, 0xff, 0x100, 0xff00_0000_0000_00ff, u64::MAX];
        for number in numbers.into_iter().chain(shifted) {
            hash.number(number);
            bytes.bytes(number.to_le_bytes());
            assert_eq!(hash, bytes, "{number:#x}");
        }
    }
}
