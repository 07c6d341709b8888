//! What was found, in words: whole phrases that a report, a page and a check show alike.

mod answers;
mod goals;
mod losses;
mod standing;

pub use answers::{
    after, going_round, kept_up, lost, obstacles, quiet, quiet_run, sorted, unstored, why_never,
};
pub use goals::{goal_words, quantity_words};
pub use losses::{kinds, reason_words};
pub use standing::{amount_words, homes_words, refusal_words, stay_words};
