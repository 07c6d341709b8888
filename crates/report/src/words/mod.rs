//! What was found, in words: whole phrases that a report, a page and a check show alike.

mod answers;
mod crowding;
mod goals;
mod losses;

pub use answers::{
    after, going_round, kept_up, lost, obstacles, quiet, quiet_run, sorted, unstored, why_never,
};
pub use crowding::crowded_words;
pub use goals::{goal_words, quantity_words};
pub use losses::{kinds, reason_words};
