//! Goals: those missed first.

use super::page::{LABEL, Page, ROWS};
use hallwright_report::findings::Findings;
use hallwright_report::goals::Verdict;
use hallwright_report::words::goal_words;

/// Writes how many goals were met, and each of them.
pub(super) fn write(page: &mut Page, found: &Findings) {
    if found.verdicts.is_empty() {
        return;
    }
    let (met, missed): (Vec<&Verdict>, Vec<&Verdict>) =
        found.verdicts.iter().partition(|verdict| verdict.is_met());
    page.labelled(
        "Goals",
        LABEL,
        &format!("{} of {} met", met.len(), found.verdicts.len()),
    );
    for verdict in &missed {
        page.labelled("  missed", LABEL, &goal_words(verdict, found));
    }
    let shown = if met.len() > ROWS + 1 {
        ROWS
    } else {
        met.len()
    };
    for verdict in &met[..shown] {
        page.labelled("  met", LABEL, &goal_words(verdict, found));
    }
    if shown < met.len() {
        page.labelled("", LABEL, &format!("… and {} more met", met.len() - shown));
    }
}
