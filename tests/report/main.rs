//! Tests of the report: small networks are run, and what is found is compared with figures worked
//! out by hand from `docs/tick-rules.md`.

mod compare;
mod cost;
mod flows;
mod hall;
mod idle_calls;
mod line;
mod loss;
mod random;
mod recurring;
mod rendering;
mod retrieval;
mod rounds;
mod sorting;
mod stops;
mod support;
mod sweep;
mod tune;
