//! Writes findings: [`text()`] for people, [`json()`] for programs. What a check found is written by
//! [`check_text`], [`check_json`], [`junit()`] and [`annotations()`]; a comparison by [`compare_text`],
//! [`compare_json`], [`compare_csv()`], [`compare_markdown()`] and [`compare_junit()`]; what a search
//! found by `tune_text`, `tune_json`, `tune_csv` and `tune_variant`.

mod annotations;
mod compare_csv;
mod compare_junit;
mod compare_markdown;
mod compare_tables;
mod json;
mod junit;
mod text;
mod trace;
mod tune_csv;

pub use annotations::annotations;
pub use compare_csv::compare_csv;
pub use compare_junit::compare_junit;
pub use compare_markdown::compare_markdown;
pub(crate) use json::unit_name;
pub use json::{SCHEMA_VERSION, check_json, compare_json, explain_json, json, tune_json};
pub use junit::junit;
pub(crate) use text::{
    answers, cause_words, goal_words, going_round, kinds, obstacles, reason_words, unstored,
};
pub use text::{check_text, compare_text, explain_text, text, tune_text, tune_variant};
pub use trace::{TraceWriter, trace_line};
pub use tune_csv::tune_csv;

/// What is known about a run beside its findings.
#[derive(Clone, PartialEq, Eq, Debug, Default)]
pub struct Heading {
    /// The scenario's title.
    pub title: String,
    /// The variant that was run.
    pub variant: Option<String>,
    /// The seed.
    pub seed: u64,
    /// The update order in words.
    pub order: String,
    /// The version of this program.
    pub version: String,
    /// The digest of everything that was read in.
    pub input_digest: String,
    /// The command that gives this report again.
    pub command: String,
    /// Whether both engines agreed on the run; `None` if that was not looked at.
    pub verified: Option<bool>,
}
