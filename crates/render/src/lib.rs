//! Writes findings: [`text()`] for people, [`json()`] and [`run_csv()`] for programs. What a check found is written by
//! [`check_text`], [`check_json`], [`check_csv()`], [`junit()`] and [`annotations()`]; a comparison by [`compare_text`],
//! [`compare_json`], [`compare_csv()`], [`compare_markdown()`] and [`compare_junit()`]; what a search
//! found by `tune_text`, `tune_json`, `tune_csv` and `tune_variant`; what comparators read by [`levels_text`],
//! [`levels_json`] and [`levels_csv()`]; what halls cost the world by [`calibrate_text`], [`calibrate_json`] and
//! [`calibrate_csv()`].

mod annotations;
mod calibrate_csv;
mod check_csv;
mod compare_csv;
mod compare_junit;
mod compare_markdown;
mod compare_tables;
mod json;
mod junit;
mod levels_csv;
mod run_csv;
mod text;
mod trace;
mod tune_csv;

pub use annotations::annotations;
pub use calibrate_csv::calibrate_csv;
pub use check_csv::check_csv;
pub use compare_csv::compare_csv;
pub use compare_junit::compare_junit;
pub use compare_markdown::compare_markdown;
pub use json::{
    SCHEMA_VERSION, calibrate_json, check_json, compare_json, explain_json, json, levels_json,
    tune_json,
};
pub use junit::junit;
pub use levels_csv::levels_csv;
pub use run_csv::run_csv;
pub use text::{
    calibrate_text, check_summary, check_text, compare_text, explain_text, levels_text, text,
    tune_text, tune_variant,
};
pub use trace::{TraceWriter, trace_line};
pub use tune_csv::tune_csv;
