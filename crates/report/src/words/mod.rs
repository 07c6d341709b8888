//! What was found, in words: whole phrases that a report, a page and a check show alike.

mod answers;
mod crowding;
mod goals;
mod losses;
mod standing;
mod upsets;

pub use answers::{
    after, after_in, going_round, in_no_section, in_no_store, kept_up, lost, moves_later,
    obstacles, quiet, quiet_run, sorted, unlocked, why_never,
};
pub use crowding::crowded_words;
pub use goals::{goal_words, quantity_words};
pub use losses::{kinds, reason_words};
pub use standing::{amount_words, homes_words, refusal_words, stay_words};
pub use upsets::{by_hand, mishaps, slept, taken_at_word};
