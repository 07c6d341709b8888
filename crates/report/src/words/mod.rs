//! Words that verdicts are said in: whole phrases for what stayed, was refused or has no home, and for what
//! stood in the way of rest.

mod crowding;
mod rest;
mod standing;

pub use crowding::crowded_words;
pub use rest::{MOST_NAMED, moves_later, obstacles, why_never};
pub use standing::{amount_words, homes_words, refusal_words, stay_words};
