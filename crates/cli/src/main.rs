//! The command `hallwright`: flags, files and exit codes. What it does is in the other crates.

#[macro_use]
mod files;
mod commands;
mod exit_code;
mod flags;
mod interrupt;
mod manner;
mod pages;
mod program;
mod progress;
mod repeat;
mod runs;
mod verify;

use std::panic::{AssertUnwindSafe, catch_unwind};
use std::process::ExitCode;

use clap::Parser;

use crate::exit_code::Outcome;
use crate::flags::{Command, Flags};

fn main() -> ExitCode {
    let flags = Flags::parse();
    manner::choose(flags.color, flags.quiet);
    let result = catch_unwind(AssertUnwindSafe(|| match &flags.command {
        Command::Run(run) => commands::run::run(run),
        Command::Show(show) => commands::show::show(show),
        Command::Explain(explain) => commands::explain::explain_run(explain),
        Command::New(new) => commands::new::new(new),
        Command::Tune(tune) => commands::tune::tune(tune),
        Command::Plan(plan) => commands::plan::plan(plan),
        Command::Sheet(sheet) => commands::sheet::write_sheet(sheet),
        Command::Levels(levels) => commands::levels::report_levels(levels),
        Command::Calibrate(calibrate) => commands::calibrate::calibrate(calibrate),
        Command::Check(check) => commands::check::check(check),
        Command::Compare(compare) => commands::compare::compare(compare),
        Command::Completions(completions) => commands::completions::write(completions),
    }));
    // What broke was reported when it did.
    let Ok(result) = result else {
        return Outcome::Broken.into();
    };
    match result {
        Ok(outcome) => outcome.into(),
        Err(error) => {
            files::note(&format!("error: {error:#}"));
            Outcome::Unusable.into()
        }
    }
}
