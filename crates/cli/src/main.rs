//! The command `hallwright`: flags, files and exit codes. What it does is in the other crates.

mod commands;
mod exit_code;
mod flags;
mod output;
mod progress;
mod trace_file;
mod verify;

use std::process::ExitCode;

use clap::Parser;

use crate::exit_code::Outcome;
use crate::flags::{Command, Flags};

fn main() -> ExitCode {
    let flags = Flags::parse();
    let result = match &flags.command {
        Command::Run(run) => commands::run::run(run),
        Command::New(new) => commands::new::new(new),
    };
    match result {
        Ok(outcome) => outcome.into(),
        Err(error) => {
            eprintln!("error: {error:#}");
            Outcome::Unusable.into()
        }
    }
}
