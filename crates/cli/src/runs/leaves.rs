//! Halls that are left, at the ticks that the flags name.

use std::num::NonZeroUsize;

use anyhow::{Result, bail};
use hallwright_core::tick::Tick;
use hallwright_declared::declarations::Mark;
use hallwright_explain::explain;
use hallwright_report::RunInput;
use hallwright_report::verdicts::Question;
use hallwright_trials::leave::{LeaveAsked, Wording, leaves, report};

use super::interruptible;
use crate::flags::LeavingFlags;

/// A run that is left, and what says how one tick of it is repeated.
pub(crate) type Leavable<'a> = (RunInput<'a>, Box<dyn Fn(Tick) -> String + 'a>);

/// What becomes of each of these halls when it is left, until the command is interrupted; `None` if that was not
/// asked.
///
/// # Errors
///
/// If no hall has regions, every run ends before the first tick, or threads cannot be started.
pub(crate) fn left(
    halls: &[Leavable<'_>],
    flags: &LeavingFlags,
    jobs: Option<NonZeroUsize>,
) -> Result<Vec<Option<LeaveAsked>>> {
    let Some(range) = flags.leave_at else {
        return Ok(halls.iter().map(|_| None).collect());
    };
    let mut regions = halls.iter().map(|(hall, _)| &hall.declarations.regions);
    if !halls.is_empty() && regions.all(Vec::is_empty) {
        let what = match halls.len() {
            1 => "the scenario declares none",
            _ => "no scenario declares any",
        };
        bail!(
            "`--leave-at` lets the regions of a hall fall asleep, but {what}: write beside its parts what is \
             near and what is far, such as `regions: {{\"near\": [\"quay\"], \"far\": [\"store\"]}}`"
        );
    }
    let ways = flags.most_ways();
    let each = halls.iter().map(|(hall, _)| leaves(hall, range, ways));
    let total = each.sum();
    let with_regions = halls
        .iter()
        .filter(|(hall, _)| !hall.declarations.regions.is_empty());
    let longest = with_regions.map(|(hall, _)| hall.run_ticks).max();
    if let Some(longest) = longest.filter(|_| total == 0) {
        let what = match halls.len() {
            1 => "the run ends",
            _ => "the longest run of a hall with regions ends",
        };
        let from = range.from;
        bail!("`--leave-at` begins at {from} t, but {what} at {longest} t: name an earlier tick");
    }
    let machine = interruptible(jobs, total, "leaves")?;
    let report = halls.iter().map(|(hall, command)| {
        let wording = Wording {
            command,
            explain: &explained,
        };
        Some(report(hall, range, ways, &machine, wording))
    });
    Ok(report.collect())
}

/// Why it is with these questions as it is in a run, a line for each cause: what is concerned, and why.
fn explained(input: &RunInput<'_>, questions: &[Question]) -> Vec<String> {
    let troubles = explain(input, Mark::SafeToClose).troubles;
    let asked = troubles
        .iter()
        .filter(|trouble| questions.contains(&trouble.question));
    let causes = asked.flat_map(|trouble| &trouble.causes);
    let causes = causes.filter(|cause| !cause.why.is_empty());
    causes
        .map(|cause| format!("{}: {}", cause.what.join(", "), cause.why.join("; ")))
        .collect()
}
