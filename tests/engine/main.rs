//! Tests of the engine's behaviour: networks run tick by tick, by both engines.

mod crowded_mouth;
mod landings;
mod large;
mod lockstep;
mod mishaps;
mod outcome;
mod short_arrivals;
mod slept_through;
mod trace_case;
mod worked_traces;
