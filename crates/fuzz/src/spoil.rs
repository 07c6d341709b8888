//! Bytes changed blindly.

use crate::choices::Choices;

/// One input in so many is spoiled.
pub const ONE_IN: usize = 6;

/// What stands in the place of what is taken away.
const PIECES: [&[u8]; 12] = [
    b"\"", b"(", b")", b"]", b"}", b",", b"\n", b"-", b"\0", b"\xff", b"\xc3", b"#",
];

/// The same, or with some bytes changed.
#[must_use]
pub fn perhaps_spoiled(mut bytes: Vec<u8>, choices: &mut Choices<'_>) -> Vec<u8> {
    if choices.once_in(ONE_IN) {
        for _ in 0..=choices.below(4) {
            spoil(&mut bytes, choices);
        }
    }
    bytes
}

/// The same of a text.
#[must_use]
pub fn perhaps_spoiled_text(text: String, choices: &mut Choices<'_>) -> String {
    let bytes = perhaps_spoiled(text.into_bytes(), choices);
    String::from_utf8_lossy(&bytes).into_owned()
}

/// Changes a few bytes in one place.
pub fn spoil(bytes: &mut Vec<u8>, choices: &mut Choices<'_>) {
    let at = choices.below(bytes.len());
    let end = bytes.len().min(at + 1 + choices.below(8));
    match choices.below(5) {
        0 if at < bytes.len() => bytes[at] ^= 1 << choices.below(8),
        1 => drop(bytes.splice(at..end, choices.pick(&PIECES).iter().copied())),
        2 => {
            let again = bytes[at..end].to_vec();
            bytes.splice(at..at, again);
        }
        3 => drop(bytes.drain(at..end)),
        _ => bytes.insert(at, choices.byte()),
    }
}
