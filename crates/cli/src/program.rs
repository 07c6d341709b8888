//! Which program this is: what one kept for later, another may not understand.

use std::{env, fs, io};

use hallwright_core::fnv::Fnv128;

/// The digest of this program.
pub(crate) fn digest_of_program() -> io::Result<u128> {
    Ok(digest_words(&fs::read(env::current_exe()?)?))
}

/// The digest of bytes, taken eight at a time: for large files.
fn digest_words(bytes: &[u8]) -> u128 {
    let mut hash = Fnv128::default();
    for chunk in bytes.chunks(8) {
        let mut word = [0; 8];
        word[..chunk.len()].copy_from_slice(chunk);
        hash.symbol(u64::from_le_bytes(word));
    }
    hash.symbol(bytes.len() as u64);
    hash.value()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_longer_by_nothing_is_another() {
        assert_ne!(digest_words(b"ab"), digest_words(b"ab\0"));
    }
}
