//! The report for programs.

use crate::report::PlanReport;

/// The report as JSON, with a newline at its end.
#[must_use]
pub fn json(report: &PlanReport) -> String {
    // Texts, numbers, lists and maps with text keys: nothing that JSON could not say.
    let text = serde_json::to_string_pretty(report).unwrap_or_default();
    format!("{text}\n")
}
