//! The engine against numbers from outside: facts of the trade, queueing theory, statistics.

mod boxes;
mod levels;
mod rates;
mod slot_choice;
mod waiting;
