//! How fast it is: every workload that `docs/understand/performance.md` lists, but those of `parallel.rs`, and a table of them.
//!
//! `cargo bench --bench step` measures all of them, `cargo bench --bench step -- line_288` those with
//! this in their name, and `cargo bench --bench step -- --once floor/line_288` runs one case once, for
//! a profiler.

mod case;
mod engine_cases;
mod factories;
mod figures;
mod filters;
mod floor;
mod goals;
mod masks;
mod measure;
mod memory;
mod networks;
mod observers;
mod once;
mod planning;
mod scenario_compile;
mod scenarios;
mod table;

use std::process::ExitCode;

use case::Runner;

fn main() -> ExitCode {
    let mut arguments = std::env::args().skip_while(|argument| argument != "--once");
    if arguments.next().is_some() {
        return run_once(&arguments.next().unwrap_or_default());
    }
    let mut measure = measure::Measure::from_arguments();
    all(&mut measure);
    print!("{}", table::table(&measure.finish()));
    ExitCode::SUCCESS
}

/// Every case of the bench, in the order in which they are measured.
fn all(runner: &mut impl Runner) {
    networks::networks(runner);
    observers::granary(runner);
    scenario_compile::scenario_compile(runner);
    planning::planning(runner);
}

/// Runs the case of this name once.
fn run_once(name: &str) -> ExitCode {
    let mut once = once::Once::new(name);
    all(&mut once);
    match once.finish() {
        Ok(()) => ExitCode::SUCCESS,
        Err(problem) => {
            eprintln!("{problem}");
            ExitCode::FAILURE
        }
    }
}
