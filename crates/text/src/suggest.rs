//! Suggestions for misspelt names.

/// Only for names of up to so many bytes something is suggested.
const MOST_BYTES: usize = 200;

/// The candidate that was probably meant, if one is near enough: at most a third of its letters
/// differ. The first of equally near ones wins.
pub(crate) fn nearest<'c>(
    written: &str,
    candidates: impl IntoIterator<Item = &'c str>,
) -> Option<&'c str> {
    // How far two texts differ takes as long as the product of their lengths, and nobody mistypes so long a name.
    if written.len() > MOST_BYTES {
        return None;
    }
    let allowed = (written.chars().count() / 3).max(1);
    let mut best: Option<(usize, &str)> = None;
    for candidate in candidates {
        if candidate.len().abs_diff(written.len()) > 4 * allowed {
            continue;
        }
        let distance = strsim::osa_distance(written, candidate);
        if distance <= allowed && best.is_none_or(|(least, _)| distance < least) {
            best = Some((distance, candidate));
        }
    }
    best.map(|(_, candidate)| candidate)
}

/// A hint naming the candidate that was probably meant, if one is near enough.
#[must_use]
pub fn did_you_mean<'c>(
    written: &str,
    candidates: impl IntoIterator<Item = &'c str>,
) -> Option<String> {
    nearest(written, candidates).map(|name| format!("did you mean `{name}`?"))
}

/// A hint naming the candidate that was probably meant, or else all of a short list.
pub fn did_you_mean_one_of(written: &str, candidates: &[&str]) -> Option<String> {
    did_you_mean(written, candidates.iter().copied()).or_else(|| {
        let list: Vec<String> = candidates.iter().map(|name| format!("`{name}`")).collect();
        (!list.is_empty()).then(|| format!("known here: {}", list.join(", ")))
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_near_name_is_suggested_and_a_far_one_is_not() {
        // One letter is left out of `buffer`; `chest` differs in far more than a third.
        assert_eq!(nearest("bufer", ["chest", "buffer"]), Some("buffer"));
        assert_eq!(nearest("bufer", ["chest"]), None);
    }
}
