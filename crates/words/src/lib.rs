//! What was found, in words: whole phrases that a report, a page and a check show alike.

mod answers;
mod build;
mod goals;
mod losses;
mod site;
mod upsets;

pub use answers::{
    after, after_in, going_round, in_no_section, in_no_store, kept_up, lost, quiet, quiet_run,
    sorted, unlocked,
};
pub use build::build_words;
pub use goals::{goal_words, quantity_words};
pub use hallwright_report::words::{
    amount_words, homes_words, moves_later, obstacles, refusal_words, stay_words, why_never,
};
pub use losses::{kinds, reason_words};
pub use site::built;
pub use upsets::{by_hand, mishaps, slept, taken_at_word};
