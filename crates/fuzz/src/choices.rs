//! Choices that bytes make.

use hallwright_core::fnv::Fnv64;

/// Makes choices out of bytes, in their order. Once they are used up, every choice is the first.
pub struct Choices<'b> {
    bytes: &'b [u8],
    goes_on: bool,
}

/// Where most inputs are only read, one in so many goes on.
const GOES_ON_IN: u64 = 64;

/// Numbers at which something ends.
const EDGES: [u64; 14] = [
    0,
    1,
    2,
    63,
    64,
    65,
    255,
    65_536,
    1_000_000_000,
    i32::MAX as u64,
    u32::MAX as u64,
    u32::MAX as u64 + 1,
    i64::MAX as u64,
    u64::MAX,
];

impl<'b> Choices<'b> {
    /// Choices of these bytes, of an input that goes on as far as it can.
    #[must_use]
    pub fn new(bytes: &'b [u8]) -> Self {
        Self {
            bytes,
            goes_on: true,
        }
    }

    /// The same, but most inputs are only read and checked. A hash of the bytes says which go on, so that inputs made of
    /// one that did go on as seldom as others.
    #[must_use]
    pub fn mostly_read(bytes: &'b [u8]) -> Self {
        let mut hash = Fnv64::default();
        hash.bytes(bytes.iter().copied());
        Self {
            bytes,
            goes_on: hash.value().is_multiple_of(GOES_ON_IN),
        }
    }

    /// Whether what comes of an input is also drawn, run, planned or written, which takes most of the time.
    #[must_use]
    pub fn goes_on(&self) -> bool {
        self.goes_on
    }

    /// Whether all bytes are used up.
    #[must_use]
    pub fn is_over(&self) -> bool {
        self.bytes.is_empty()
    }

    /// The next byte.
    pub fn byte(&mut self) -> u8 {
        let Some((first, rest)) = self.bytes.split_first() else {
            return 0;
        };
        self.bytes = rest;
        *first
    }

    /// A number of 64 bits.
    pub fn word(&mut self) -> u64 {
        u64::from_le_bytes(std::array::from_fn(|_| self.byte()))
    }

    /// A number below another; 0 if there is none.
    pub fn below(&mut self, count: usize) -> usize {
        let drawn = match count {
            0..=1 => return 0,
            2..=256 => usize::from(self.byte()),
            _ => usize::from(u16::from_le_bytes([self.byte(), self.byte()])) * (count / 65_536 + 1),
        };
        drawn % count
    }

    /// True once in so many times, at most 256.
    pub fn once_in(&mut self, times: usize) -> bool {
        self.below(times) == times - 1
    }

    /// One of several.
    pub fn pick<'t, T>(&mut self, several: &'t [T]) -> &'t T {
        &several[self.below(several.len())]
    }

    /// One of several texts.
    pub fn text<'t>(&mut self, several: &[&'t str]) -> &'t str {
        several[self.below(several.len())]
    }

    /// A number: most are small, some are where something ends.
    pub fn number(&mut self) -> u64 {
        match self.below(8) {
            7 => *self.pick(&EDGES),
            _ => self.below(100) as u64,
        }
    }
}
