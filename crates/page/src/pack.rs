//! Rows of numbers as short texts: each number in as few bytes as it needs, deflated, in base64.

use std::io::Write;

use base64::Engine as _;
use base64::engine::general_purpose::STANDARD;
use flate2::Compression;
use flate2::write::DeflateEncoder;

/// Numbers that are being packed.
#[derive(Default)]
pub(super) struct Packer {
    bytes: Vec<u8>,
}

impl Packer {
    /// Adds a number: seven bits a byte, lowest first, the eighth says that more follow.
    pub(super) fn add(&mut self, mut number: u64) {
        while number >= 0x80 {
            self.bytes.push((number & 0x7f) as u8 | 0x80);
            number >>= 7;
        }
        self.bytes.push(number as u8);
    }

    /// Adds a number that may be below zero: 0, -1, 1, -2, 2 become 0, 1, 2, 3, 4.
    pub(super) fn add_signed(&mut self, number: i64) {
        self.add(((number << 1) ^ (number >> 63)) as u64);
    }

    /// The text.
    pub(super) fn finish(self) -> String {
        let mut encoder = DeflateEncoder::new(Vec::new(), Compression::best());
        // Writing to memory does not fail.
        let deflated = encoder
            .write_all(&self.bytes)
            .and_then(|()| encoder.finish());
        STANDARD.encode(deflated.unwrap_or_default())
    }
}

/// A series packed as its differences.
pub(super) fn differences(numbers: &[u64]) -> String {
    let mut packer = Packer::default();
    let mut before = 0;
    for number in numbers {
        packer.add_signed((*number as i64) - before);
        before = *number as i64;
    }
    packer.finish()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn small_numbers_take_one_byte_whatever_their_sign() {
        let mut packer = Packer::default();
        for number in [0, -1, 1, -64, 63] {
            packer.add_signed(number);
        }
        assert_eq!(packer.bytes, [0, 1, 2, 127, 126]);
        let mut packer = Packer::default();
        packer.add(300);
        // 300 = 2 * 128 + 44.
        assert_eq!(packer.bytes, [0x80 | 44, 2]);
    }
}
