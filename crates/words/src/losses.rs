//! Losses in words.

use hallwright_report::findings::{KindCount, LossReason};
use hallwright_report::units::{grouped, listed};

/// Why a stack was lost.
#[must_use]
pub fn reason_words(reason: LossReason) -> &'static str {
    match reason {
        LossReason::NoHopper => "no hopper there",
        LossReason::StillOnStream => "still on the stream",
        LossReason::Locked => "hoppers locked throughout",
        LossReason::Busy => "hoppers took others",
        LossReason::Full => "hoppers full",
        LossReason::LockedInPart => "hoppers locked or busy",
    }
}

/// So many of each kind, the most first: `12 barley, 3 oat`.
#[must_use]
pub fn kinds(counts: &[KindCount]) -> String {
    let mut counts: Vec<&KindCount> = counts.iter().collect();
    // The most first.
    counts.sort_by_key(|row| std::cmp::Reverse(row.items));
    let named: Vec<String> = counts
        .iter()
        .map(|row| format!("{} {}", grouped(row.items), row.kind))
        .collect();
    listed(&named, 3)
}
