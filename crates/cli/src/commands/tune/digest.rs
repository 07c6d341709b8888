//! Digests that tell runs apart.
//!
//! The 128-bit FNV-1a hash (in the public domain, by Fowler, Noll and Vo): with it, two of a million
//! runs are not mistaken for each other.

const OFFSET: u128 = 0x6c62_272e_07bb_0142_62b8_2175_6295_c58d;
const PRIME: u128 = 0x0000_0000_0100_0000_0000_0000_0000_013b;

/// The digest of some texts, one after the other. Each ends with a byte that no text contains, so
/// that moving text from one to the next changes the digest.
pub(super) fn digest<'t>(texts: impl IntoIterator<Item = &'t str>) -> u128 {
    const END: u8 = 0xff;
    let texts = texts.into_iter();
    fold(texts.flat_map(|text| text.bytes().chain([END])))
}

/// The digest of bytes, taken eight at a time: for large files.
pub(super) fn digest_words(bytes: &[u8]) -> u128 {
    let word = |chunk: &[u8]| {
        let mut word = [0; 8];
        word[..chunk.len()].copy_from_slice(chunk);
        u64::from_le_bytes(word)
    };
    let words = bytes.chunks(8).map(word);
    words
        .chain([bytes.len() as u64])
        .fold(OFFSET, |hash, word| {
            (hash ^ u128::from(word)).wrapping_mul(PRIME)
        })
}

fn fold(bytes: impl Iterator<Item = u8>) -> u128 {
    bytes.fold(OFFSET, |hash, byte| {
        (hash ^ u128::from(byte)).wrapping_mul(PRIME)
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_hash_is_as_it_is_defined() {
        // (OFFSET xor 0x61) * PRIME modulo 2^128, worked out by hand with whole numbers.
        assert_eq!(
            fold(b"a".iter().copied()),
            0xd228_cb69_6f1a_8caf_7891_2b70_4e4a_8964
        );
    }

    #[test]
    fn texts_are_kept_apart() {
        assert_ne!(digest(["ab", "c"]), digest(["a", "bc"]));
        assert_ne!(digest_words(b"ab"), digest_words(b"ab\0"));
    }
}
