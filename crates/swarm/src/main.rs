//! Runs random networks in both engines and reports the first difference, if there is any.

use std::ops::Range;
use std::process::ExitCode;

use anyhow::{Result, bail};
use clap::Parser;
use hallwright_reference::Fault;
use hallwright_swarm::coverage::{Coverage, LEAST_SHARE};
use hallwright_swarm::hunt::{Outcome, hunt};

/// With fewer networks than this, a row met too seldom says nothing.
const ENOUGH_NETWORKS: u64 = 1000;

/// Runs random networks in both engines, tick by tick, and compares all that can be seen.
#[derive(Parser)]
#[command(name = "swarm")]
struct Arguments {
    /// How many networks to run.
    #[arg(long, default_value_t = 1000)]
    count: u64,
    /// The seed of the first network; those after it follow.
    #[arg(long, default_value_t = 0)]
    seed: u64,
    /// Run the network of this seed alone.
    #[arg(long, conflicts_with_all = ["count", "seed"])]
    only: Option<u64>,
    /// Break this rule in the reference engine: a difference must be found.
    #[arg(long, value_parser = fault_of_name)]
    fault: Option<Fault>,
    /// Print a network that differs as it was drawn, without making it smaller.
    #[arg(long)]
    whole: bool,
}

fn fault_of_name(name: &str) -> Result<Fault> {
    let named = |fault: &&Fault| format!("{fault:?}") == name;
    match Fault::ALL.iter().find(named) {
        Some(fault) => Ok(*fault),
        None => bail!("no fault is named `{name}`; there are {:?}", Fault::ALL),
    }
}

impl Arguments {
    fn seeds(&self) -> Range<u64> {
        let first = self.only.unwrap_or(self.seed);
        let count = if self.only.is_some() { 1 } else { self.count };
        first..first.saturating_add(count)
    }
}

fn main() -> ExitCode {
    let arguments = Arguments::parse();
    // A panic of an engine is reported as a difference, with its network.
    std::panic::set_hook(Box::new(|_| {}));
    let Outcome { coverage, finding } = hunt(arguments.seeds(), arguments.fault);
    print_table(&coverage);
    if let Some(finding) = &finding {
        println!("\nThe runs differ.");
        if arguments.whole {
            println!("{}", finding.in_words());
        } else {
            println!("{}", finding.reduced().in_words());
        }
    }
    if arguments.fault.is_some() {
        return verdict(finding.is_some(), "the broken rule was not noticed");
    }
    let rare = coverage.rare();
    let is_covered = coverage.networks() < ENOUGH_NETWORKS || rare.is_empty();
    if !is_covered {
        println!(
            "\nmet by less than {:.0} % of networks: {}",
            LEAST_SHARE * 100.0,
            rare.join("; ")
        );
    }
    verdict(finding.is_none() && is_covered, "see above")
}

fn verdict(is_good: bool, otherwise: &str) -> ExitCode {
    if is_good {
        println!("all is well");
        ExitCode::SUCCESS
    } else {
        println!("failed: {otherwise}");
        ExitCode::FAILURE
    }
}

fn print_table(coverage: &Coverage) {
    println!(
        "{} networks, {:.0} events each on average; the share of networks that met",
        coverage.networks(),
        coverage.mean_events()
    );
    for (row, share) in coverage.shares() {
        println!("  {row:<48} {:>6.2} %", share * 100.0);
    }
}
