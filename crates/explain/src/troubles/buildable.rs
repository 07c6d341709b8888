//! What the blocks do not make as it is declared.

use hallwright_report::goals::Verdict;
use hallwright_report::verdicts::Ruling;

use super::{Scene, TroubleCause};

/// Each problem with its help. Once something is not allowed, only that.
pub(super) fn explain(scene: &Scene<'_>, verdict: &Verdict) -> Vec<TroubleCause> {
    let Some(site) = &scene.findings.site else {
        return Vec::new();
    };
    let is_missed = verdict.ruling == Ruling::Missed;
    let problems = site.problems.iter();
    let problems = problems.filter(|problem| !(is_missed && problem.is_allowed));
    let causes = problems.map(|problem| {
        let mut cause = TroubleCause::of(problem.in_a_line());
        cause.advise(problem.help.clone());
        cause
    });
    causes.collect()
}
