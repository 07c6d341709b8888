//! Rows of numbers in few bytes: each number in as few as it needs, all rows of a page one behind the
//! other, deflated as a whole, in base64. A browser unpacks them at once.

use std::collections::HashMap;
use std::io::Write;

use base64::Engine as _;
use base64::engine::general_purpose::STANDARD;
use flate2::Compression;
use flate2::write::DeflateEncoder;
use serde_json::{Value, json};

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
}

/// All rows of a page. What is put onto it gives the number of its row.
#[derive(Default)]
pub(super) struct Shelf {
    bytes: Vec<u8>,
    /// How many bytes each row takes.
    lengths: Packer,
    rows: u64,
}

impl Shelf {
    /// Puts a row onto it.
    pub(super) fn put(&mut self, row: Packer) -> Value {
        self.lengths.add(row.bytes.len() as u64);
        self.bytes.extend(row.bytes);
        self.rows += 1;
        json!(self.rows - 1)
    }

    /// Puts numbers onto it.
    pub(super) fn numbers(&mut self, numbers: impl IntoIterator<Item = u64>) -> Value {
        let mut row = Packer::default();
        numbers.into_iter().for_each(|number| row.add(number));
        self.put(row)
    }

    /// Puts a series onto it, as its differences.
    pub(super) fn differences(&mut self, numbers: impl IntoIterator<Item = u64>) -> Value {
        let mut row = Packer::default();
        let mut before = 0;
        for number in numbers {
            row.add_signed(number as i64 - before);
            before = number as i64;
        }
        self.put(row)
    }

    /// Names of which many are the same: each once, and a row that says which is where.
    pub(super) fn names<'n>(&mut self, names: impl IntoIterator<Item = &'n str>) -> Value {
        let mut known: HashMap<&str, u64> = HashMap::new();
        let mut words = Vec::new();
        let mut which = Packer::default();
        for name in names {
            let number = *known.entry(name).or_insert_with(|| {
                words.push(name);
                words.len() as u64 - 1
            });
            which.add(number);
        }
        json!({ "words": words, "which": self.put(which) })
    }

    /// All rows as one text. The lengths come first, with how many bytes they take.
    pub(super) fn finish(self) -> String {
        let mut head = Packer::default();
        head.add(self.lengths.bytes.len() as u64);
        let mut encoder = DeflateEncoder::new(Vec::new(), Compression::best());
        // Writing to memory does not fail.
        let deflated = [head.bytes, self.lengths.bytes, self.bytes]
            .iter()
            .try_for_each(|bytes| encoder.write_all(bytes))
            .and_then(|()| encoder.finish());
        STANDARD.encode(deflated.unwrap_or_default())
    }
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

    #[test]
    fn names_are_kept_once() {
        let mut shelf = Shelf::default();
        shelf.numbers([7]);
        let names = shelf.names(["head", "line", "head"]);
        assert_eq!(names, json!({ "words": ["head", "line"], "which": 1 }));
        assert_eq!(shelf.bytes, [7, 0, 1, 0]);
        assert_eq!(shelf.lengths.bytes, [1, 3]);
    }
}
