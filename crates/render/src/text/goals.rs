//! Verdicts: the goals of the file, then what is judged of every run. Those that are not as they should
//! be come first.

use super::page::{LABEL, Page, ROWS};
use hallwright_report::findings::Findings;
use hallwright_report::goals::Verdict;
use hallwright_report::verdicts::Ruling;
use hallwright_words::goal_words;

/// The most causes that are reported of one verdict.
const CAUSES: usize = 4;

/// Writes how many goals were met, and each of them; then what else is not as it should be.
pub(super) fn write(page: &mut Page, found: &Findings) {
    let goals: Vec<&Verdict> = found.goals().collect();
    if !goals.is_empty() {
        let (met, missed): (Vec<&Verdict>, Vec<&Verdict>) =
            goals.iter().partition(|verdict| verdict.is_met());
        let words = format!("{} of {} met", met.len(), goals.len());
        page.labelled("Goals", LABEL, &words);
        for verdict in &missed {
            one(page, verdict, found);
        }
        let shown = if met.len() > ROWS + 1 {
            ROWS
        } else {
            met.len()
        };
        for verdict in &met[..shown] {
            one(page, verdict, found);
        }
        if shown < met.len() {
            page.labelled("", LABEL, &format!("… and {} more met", met.len() - shown));
        }
    }
    let always: Vec<&Verdict> = found.judged_anyway().collect();
    let ok = always.iter().filter(|verdict| verdict.is_met()).count();
    let words = format!("{ok} of {} ok, judged though no goal asks", always.len());
    page.labelled("Always", LABEL, &words);
    for verdict in always {
        if verdict.ruling != Ruling::Ok {
            one(page, verdict, found);
        }
    }
}

fn one(page: &mut Page, verdict: &Verdict, found: &Findings) {
    let label = match verdict.ruling {
        Ruling::Ok | Ruling::NotFinished if verdict.is_judged_anyway() => "  ok",
        Ruling::Ok | Ruling::NotFinished => "  met",
        Ruling::Allowed => "  allowed",
        Ruling::NotKnown => "  unknown",
        Ruling::Missed => "  missed",
    };
    page.labelled(label, LABEL, &goal_words(verdict, found));
    for why in verdict.why.iter().take(CAUSES) {
        page.labelled("", LABEL, why);
    }
    if verdict.why.len() > CAUSES {
        let more = verdict.why.len() - CAUSES;
        page.labelled("", LABEL, &format!("… and {more} more"));
    }
}
