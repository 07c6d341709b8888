//! How fast it is: every workload that `docs/performance.md` lists, and a table of them at the end.
//!
//! `cargo bench` measures all, `cargo bench --bench step -- line_288` what has this in its name, and
//! `cargo bench --bench step -- --once floor/line_288` runs one case once, for a profiler.

mod case;
mod engine_cases;
mod factories;
mod filters;
mod floor;
mod memory;
mod networks;
mod once;

use std::process::ExitCode;

use case::Runner;

fn main() -> ExitCode {
    let mut arguments = std::env::args().skip(1);
    let asked = arguments.position(|argument| argument == "--once");
    let once = asked.and_then(|_| std::env::args().skip_while(|word| word != "--once").nth(1));
    if let Some(name) = once {
        let mut once = once::Once::new(&name);
        all(&mut once);
        return match once.finish() {
            Ok(()) => ExitCode::SUCCESS,
            Err(problem) => {
                eprintln!("{problem}");
                ExitCode::FAILURE
            }
        };
    }
    ExitCode::SUCCESS
}

/// Every case of the bench, in the order in which they are measured.
fn all(runner: &mut impl Runner) {
    networks::networks(runner);
}
