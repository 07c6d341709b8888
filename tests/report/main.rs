//! Tests of the report: small networks are run, and what is found is compared with figures worked
//! out by hand from `docs/look-up/tick-rules.md`.

mod account;
mod accounts;
mod alike;
mod arrivals;
mod buildable;
mod cost;
mod crowding;
mod drawn;
mod figures;
mod flows;
mod halfway;
mod judged;
mod line;
mod loss;
mod parts;
mod random;
mod recurring;
mod rest;
mod retrieval;
mod rounds;
mod safe;
mod sleep;
mod sorting;
mod stops;
mod support;
mod upsets;
mod whereabouts;
mod worst_minute;
