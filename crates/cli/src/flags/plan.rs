//! Flags of `plan`.

use std::path::PathBuf;

use clap::{Args, ValueEnum};

use crate::files::{Target, target};

/// Flags of `plan`.
#[derive(Debug, Args)]
#[command(
    after_help = "A hall's files are scenario.ron with its tables allocation.csv and arrivals.csv and its\n\
    modules.ron, and the report as report.txt and report.json. A file that is there already\n\
    and differs is kept. Nothing is written then, unless --force is given. A hall that is kept\n\
    in its own folder is replaced, but for edited files.\n\n\
    The planned hall is run before it is written: an hour of its inflows, its whole stock, one\n\
    stack of every kind, and stops at every tick of a minute. If a promise is broken, the\n\
    files are written nevertheless, to look at.\n\n\
    Examples:\n\
    \x20 hallwright plan scenarios/plan/mill-catalogue.csv --no-proof --output hall=mill\n\
    \x20 hallwright plan scenarios/plan/mill-catalogue.csv --explain barley\n\n\
    Exit codes:\n\
    \x20 0  planned\n\
    \x20 1  planned, and a promise is broken\n\
    \x20 2  the flags or a file cannot be used, or the goods do not fit\n\
    \x20 3  an invariant broke: a bug in hallwright"
)]
pub(crate) struct PlanFlags {
    /// The goods (CSV): name, stack_limit, amount, inflow_per_hour and, perhaps, family, wish and a_year.
    pub(crate) catalogue: PathBuf,

    /// The description of the hall (RON); by default that of scenarios/plan/hall.ron.
    #[arg(long, value_name = "HALL")]
    pub(crate) hall: Option<PathBuf>,

    /// What parts cost (CSV: part, material, count), for a list of raw materials.
    #[arg(long, value_name = "COSTS")]
    pub(crate) costs: Option<PathBuf>,

    /// Do not run what is planned; the report says so then.
    #[arg(long)]
    pub(crate) no_proof: bool,

    /// At how many ticks of a minute under full load it is stopped, in all orders. By default at all 1200;
    /// a big hall at fewer, so that it takes about as long.
    #[arg(long, value_name = "N", conflicts_with = "no_proof", value_parser = clap::value_parser!(u64).range(1..=1200))]
    pub(crate) stops: Option<u64>,

    /// Continue a hall: the folder of an earlier plan, or its allocation.csv. Goods that lie there stay in
    /// their slices, new goods go where there is room. The report lists what has to move and which parts to
    /// bring.
    #[arg(long, value_name = "FOLDER")]
    pub(crate) keep: Option<PathBuf>,

    /// A kind that is to move to another slice of the hall that is kept. May be given several times.
    #[arg(long = "move", value_name = "KIND", requires = "keep")]
    pub(crate) moving: Vec<String>,

    /// Write nothing. Print why a kind lies where it lies, what other slices would mean for it, and where
    /// it would find room. May be given several times.
    #[arg(long, value_name = "KIND", conflicts_with_all = ["output", "force"])]
    pub(crate) explain: Vec<String>,

    /// Write over files that are there already.
    #[arg(long)]
    pub(crate) force: bool,

    /// What is written: hall (files in a folder), text or json (the report). Without a path, the folder is
    /// beside the catalogue and named like it, and the report goes to standard output. May be given several
    /// times. Without it: hall and text.
    #[arg(long, value_name = "FORMAT[=PATH]", value_parser = target::<PlanFormat>)]
    pub(crate) output: Vec<Target<PlanFormat>>,
}

/// What is written of a plan.
#[derive(Clone, Copy, PartialEq, Eq, Debug, ValueEnum)]
pub(crate) enum PlanFormat {
    /// The hall's files, in a folder.
    Hall,
    /// The report for people.
    Text,
    /// The report for programs.
    Json,
}
