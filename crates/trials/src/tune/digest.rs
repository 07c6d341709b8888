//! Digests that report runs apart.

use hallwright_core::fnv::Fnv128;

/// The digest of some texts, one after the other. Each ends with a byte that no text contains, so
/// that moving text from one to the next changes the digest.
#[must_use]
pub fn digest<'t>(texts: impl IntoIterator<Item = &'t str>) -> u128 {
    const END: u8 = 0xff;
    let mut hash = Fnv128::default();
    for text in texts {
        hash.bytes(text.bytes().chain([END]));
    }
    hash.value()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn texts_are_kept_apart() {
        assert_ne!(digest(["ab", "c"]), digest(["a", "bc"]));
    }
}
