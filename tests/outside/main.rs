//! The engine against numbers from outside: facts of the trade, queueing theory, flows in graphs,
//! statistics.

mod boxes;
mod exchange;
mod flow_network;
mod levels;
mod minimum_cut;
mod rates;
mod runs;
mod slot_choice;
mod stages;
mod tandem;
mod trade;
mod waiting;
