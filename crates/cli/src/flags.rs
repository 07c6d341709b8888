//! The flags, as the builder types them.

mod levels;
mod one_run;
mod root;
mod tune;

use std::num::NonZeroUsize;
use std::path::PathBuf;

use clap::{Args, Parser, Subcommand, ValueEnum};
use hallwright_core::declare::Mark;
use hallwright_core::setup::UpdateOrder;
use hallwright_core::tick::Tick;
use hallwright_report::figures::Name;
use hallwright_scenario::{DEFAULT_PART_LIMIT, did_you_mean};

use crate::files::{Target, target};
pub(crate) use levels::{LevelsFlags, LevelsFormat};
pub(crate) use one_run::OneRun;
pub(crate) use root::RootFlag;
pub(crate) use tune::{TuneFlags, TuneFormat};

/// Tries a storage hall's sorter before the first block is placed.
#[derive(Debug, Parser)]
#[command(version, about, long_about = None, max_term_width = 100)]
pub(crate) struct Flags {
    #[command(subcommand)]
    pub(crate) command: Command,
}

#[derive(Debug, Subcommand)]
pub(crate) enum Command {
    /// Run a scenario and say what was found.
    Run(Box<RunFlags>),
    /// Draw a run, or two variants of it, as a page to look at in a browser.
    Show(ShowFlags),
    /// Check scenarios: every variant in several update orders, seeds and stop ticks.
    Check(CheckFlags),
    /// Look through ranges of parameters for the cheapest design that meets all goals.
    Tune(TuneFlags),
    /// Compare designs: variants, or different scenarios that do the same job, side by side.
    Compare(CompareFlags),
    /// Say why a stop took so long, and what went wrong where.
    Explain(Box<ExplainFlags>),
    /// Write a small scenario to start from.
    New(NewFlags),
    /// Plan a hall from a catalogue of goods, and write a scenario of it.
    Plan(PlanFlags),
    /// Say from how many items on a comparator reads each level.
    Levels(LevelsFlags),
}

/// Flags of `plan`.
#[derive(Debug, Args)]
#[command(
    after_help = "Written are scenario.ron with its tables allocation.csv and arrivals.csv and its\n\
    modules.ron, and the report as report.txt and report.json. A file that is there\n\
    already and differs is kept, and nothing is written then, unless --force is given.\n\n\
    Exit codes: 0 planned, 2 the flags or a file cannot be used or the goods do not fit,\n\
    3 an invariant broke (a bug in hallwright)."
)]
pub(crate) struct PlanFlags {
    /// The goods (CSV): name, stack_limit, amount, inflow_per_hour and, perhaps, family and wish.
    pub(crate) catalogue: PathBuf,

    /// The description of the hall (RON); by default that of scenarios/plan/hall.ron.
    #[arg(long, value_name = "HALL")]
    pub(crate) hall: Option<PathBuf>,

    /// The folder to write into; by default one beside the catalogue, named like it.
    #[arg(long, value_name = "DIR")]
    pub(crate) out: Option<PathBuf>,

    /// What parts cost (CSV: part, material, count), for a list of raw materials.
    #[arg(long, value_name = "COSTS")]
    pub(crate) costs: Option<PathBuf>,

    /// Write over files that are there already.
    #[arg(long)]
    pub(crate) force: bool,

    /// How the report is printed. Both are written to files.
    #[arg(long, value_enum, default_value_t = Format::Text)]
    pub(crate) format: Format,
}

/// Flags of `new`.
#[derive(Debug, Args)]
pub(crate) struct NewFlags {
    /// Its name; `.ron` may be left out. A file that is there already is kept.
    pub(crate) name: PathBuf,
}

/// Flags of `run`.
#[derive(Debug, Args)]
#[command(
    after_help = "Exit codes: 0 done, 1 a goal was missed, 2 the flags or a file cannot be \
    used, 3 an invariant broke (a bug in hallwright)."
)]
pub(crate) struct RunFlags {
    /// The variant to run, by its name in the scenario.
    #[arg(long, value_name = "NAME")]
    pub(crate) variant: Option<String>,

    #[command(flatten)]
    pub(crate) run: OneRun,

    /// Run the slow reference engine beside the fast one and compare them at every tick.
    #[arg(long)]
    pub(crate) verify: bool,

    /// How the findings are written.
    #[arg(long, value_enum, default_value_t = Format::Text)]
    pub(crate) format: Format,

    /// Write every event of the run to a file, one JSON object a line.
    #[arg(long, value_name = "FILE")]
    pub(crate) trace: Option<PathBuf>,

    /// Write the layout flat, with every module and parameter worked out, to a file.
    #[arg(long, value_name = "FILE")]
    pub(crate) expand: Option<PathBuf>,

    /// Write the scenario with its modules and tables as one file.
    #[arg(long, value_name = "FILE")]
    pub(crate) bundle: Option<PathBuf>,

    /// Write text, json or html (a page to look at in a browser) to a file as well; may be given
    /// several times.
    #[arg(long, value_name = "FORMAT=PATH", value_parser = target::<RunFormat>)]
    pub(crate) output: Vec<Target<RunFormat>>,

    /// Repeat the run with its first stop at each tick of a range, such as 1200..1207; STEP is 1 if
    /// left out.
    #[arg(long, value_name = "FROM..TO/STEP", value_parser = stop_range, conflicts_with = "stop_at")]
    pub(crate) stop_sweep: Option<StopRange>,
}

/// Flags of `show`.
#[derive(Debug, Args)]
#[command(
    after_help = "The page is one file that needs no network: a summary, a map, curves, and a cursor \
    that goes through\nevery tick. It stays below 5 MB; what had to be left out for that is told on \
    standard error\nand in the page.\n\nExit codes: 0 the page is written, 2 the flags or a file \
    cannot be used, 3 an invariant broke (a bug in\nhallwright)."
)]
pub(crate) struct ShowFlags {
    /// The variant to draw, by its name in the scenario; given twice, both are drawn on one time.
    #[arg(long, value_name = "NAME")]
    pub(crate) variant: Vec<String>,

    #[command(flatten)]
    pub(crate) run: OneRun,

    /// The page's file; by default the scenario's name with `.html`, in the folder you are in.
    #[arg(long, value_name = "FILE")]
    pub(crate) out: Option<PathBuf>,
}

/// Flags of `explain`.
#[derive(Debug, Args)]
#[command(
    after_help = "The waits that are told add up to the time from the stop to the mark.\n\n\
    Exit codes: 0 done, 2 the flags or a file cannot be used, 3 an invariant broke (a bug\n\
    in hallwright)."
)]
pub(crate) struct ExplainFlags {
    /// The variant to run, by its name in the scenario.
    #[arg(long, value_name = "NAME")]
    pub(crate) variant: Option<String>,

    #[command(flatten)]
    pub(crate) run: OneRun,

    /// The mark of the first stop that is explained.
    #[arg(long, value_enum, default_value_t = MarkFlag::SafeToClose)]
    pub(crate) mark: MarkFlag,

    /// How the explanation is written.
    #[arg(long, value_enum, default_value_t = Format::Text)]
    pub(crate) format: Format,
}

/// A mark of a stop.
#[derive(Clone, Copy, PartialEq, Eq, Debug, ValueEnum)]
pub(crate) enum MarkFlag {
    /// Lines and lifts hold nothing.
    Cleared,
    /// Besides, every lock is on, no pulse is under way and nothing is loose.
    SafeToClose,
    /// Nothing moves.
    Quiet,
}

impl MarkFlag {
    /// The flag that chooses it again.
    pub(crate) fn words(self) -> &'static str {
        match self {
            Self::Cleared => " --mark cleared",
            Self::SafeToClose => "",
            Self::Quiet => " --mark quiet",
        }
    }
}

impl From<MarkFlag> for Mark {
    fn from(flag: MarkFlag) -> Self {
        match flag {
            MarkFlag::Cleared => Self::Cleared,
            MarkFlag::SafeToClose => Self::SafeToClose,
            MarkFlag::Quiet => Self::Quiet,
        }
    }
}

/// Flags of `check`.
#[derive(Debug, Args)]
#[command(
    after_help = "Each variant runs in the declared, the reversed and the shuffled update orders,\n\
    with every seed, and with its first stop at eight ticks spread over a clock or\n\
    cooldown period. A goal holds only if it holds in all of these runs.\n\n\
    Exit codes: 0 all hold, 1 a goal was missed or a recorded figure moved, 2 the flags\n\
    or a file cannot be used, 3 an invariant broke (a bug in hallwright), 4 there was\n\
    nothing to check."
)]
pub(crate) struct CheckFlags {
    /// Scenario files, and folders that are searched for them (*.ron).
    #[arg(required = true, value_name = "PATH")]
    pub(crate) paths: Vec<PathBuf>,

    /// How many shuffled update orders to try.
    #[arg(long, value_name = "N", default_value_t = 3)]
    pub(crate) shuffles: u64,

    /// How many seeds that follow the scenario's own to try, too.
    #[arg(long, value_name = "N", default_value_t = 0)]
    pub(crate) seeds: u64,

    /// How many runs to make at once; as many as there are cores by default.
    #[arg(long, value_name = "N")]
    pub(crate) jobs: Option<NonZeroUsize>,

    /// Write the figures of each scenario beside it, in place of comparing them.
    #[arg(long)]
    pub(crate) record: bool,

    /// Write text, json, junit, annotations or html (a page to look at in a browser) to a file, or
    /// to `-`; may be given several times
    #[arg(long, value_name = "FORMAT=PATH", value_parser = target::<CheckFormat>)]
    pub(crate) output: Vec<Target<CheckFormat>>,

    /// The most parts that a scenario may expand to.
    #[arg(long, value_name = "N", default_value_t = DEFAULT_PART_LIMIT)]
    pub(crate) part_limit: usize,

    #[command(flatten)]
    pub(crate) root: RootFlag,
}

/// Flags of `compare`.
#[derive(Debug, Args)]
#[command(
    after_help = "Each design runs in the same cases: the declared, the reversed and the shuffled update\n\
    orders, with every seed, and with its first stop at the same ticks: those of\n\
    `--stop-sweep`, or eight spread over the longest clock or cooldown period. Of every\n\
    figure the best, the median and the worst are told, and how its runs differ from the\n\
    first design's runs of the same cases. With several seeds, the mean difference is told\n\
    with its 95 % interval (Student's t, each seed counted once).\n\n\
    Exit codes: 0 done, whatever the answer is; 2 the flags or a file cannot be used, 3 an\n\
    invariant broke (a bug in hallwright)."
)]
pub(crate) struct CompareFlags {
    /// Scenario files, all variants of each; or one variant, written FILE#VARIANT.
    #[arg(required = true, value_name = "SCENARIO")]
    pub(crate) scenarios: Vec<String>,

    /// Compare only this variant; may be given several times. Without it, all.
    #[arg(long, value_name = "NAME")]
    pub(crate) variant: Vec<String>,

    /// Set a parameter in every design; may be given several times.
    #[arg(long, value_name = "NAME=VALUE", value_parser = name_and_value)]
    pub(crate) set: Vec<(String, String)>,

    /// How many shuffled update orders to try.
    #[arg(long, value_name = "N", default_value_t = 3)]
    pub(crate) shuffles: u64,

    /// How many seeds that follow the first design's own to try, too.
    #[arg(long, value_name = "N", default_value_t = 0)]
    pub(crate) seeds: u64,

    /// Stop every design at each tick of a range, such as 1200..1207; STEP is 1 if left out.
    #[arg(long, value_name = "FROM..TO/STEP", value_parser = stop_range)]
    pub(crate) stop_sweep: Option<StopRange>,

    /// How many runs to make at once; as many as there are cores by default.
    #[arg(long, value_name = "N")]
    pub(crate) jobs: Option<NonZeroUsize>,

    /// Tell only this figure, such as `safe to close`; may be given several times.
    #[arg(long, value_name = "NAME", value_parser = figure)]
    pub(crate) figure: Vec<Name>,

    /// Leave out the tables of single figures.
    #[arg(long)]
    pub(crate) brief: bool,

    /// Write text, markdown, csv, json, junit or html (a page of the first two designs) to a file, or
    /// to `-`; may be given several times
    #[arg(long, value_name = "FORMAT=PATH", value_parser = target::<CompareFormat>)]
    pub(crate) output: Vec<Target<CompareFormat>>,

    /// The most parts that a scenario may expand to.
    #[arg(long, value_name = "N", default_value_t = DEFAULT_PART_LIMIT)]
    pub(crate) part_limit: usize,

    #[command(flatten)]
    pub(crate) root: RootFlag,
}

/// How what a check found is written.
#[derive(Clone, Copy, PartialEq, Eq, Debug, ValueEnum)]
pub(crate) enum CheckFormat {
    /// A line for each scenario, more for what was missed.
    Text,
    /// Every figure, for programs.
    Json,
    /// A test case for each goal, in XML.
    Junit,
    /// A line for each miss, for hosted CI services.
    Annotations,
    /// A page of the first run that missed a goal, or else of the first run.
    Html,
}

/// How what a comparison found is written.
#[derive(Clone, Copy, PartialEq, Eq, Debug, ValueEnum)]
pub(crate) enum CompareFormat {
    /// Tables for people.
    Text,
    /// Tables for pages.
    Markdown,
    /// A line for each figure and design.
    Csv,
    /// Every figure, for programs.
    Json,
    /// A test case for each figure, in XML.
    Junit,
    /// A page of the first two designs on one time.
    Html,
}

/// How a run is written to a file.
#[derive(Clone, Copy, PartialEq, Eq, Debug, ValueEnum)]
pub(crate) enum RunFormat {
    /// A summary for people.
    Text,
    /// Every figure, for programs.
    Json,
    /// A page to look at in a browser.
    Html,
}

/// How findings are written.
#[derive(Clone, Copy, PartialEq, Eq, Debug, ValueEnum)]
pub(crate) enum Format {
    /// A summary for people.
    Text,
    /// Every figure, for programs.
    Json,
}

/// The ticks of a stop sweep: `from`, `from + step`, … up to and including `to`.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(crate) struct StopRange {
    pub(crate) from: Tick,
    pub(crate) to: Tick,
    pub(crate) step_ticks: u64,
}

impl StopRange {
    /// Its ticks.
    pub(crate) fn ticks(self) -> Vec<Tick> {
        let step = usize::try_from(self.step_ticks).unwrap_or(usize::MAX);
        (self.from.0..=self.to.0).step_by(step).map(Tick).collect()
    }
}

fn name_and_value(text: &str) -> Result<(String, String), String> {
    match text.split_once('=') {
        Some((name, value)) if !name.is_empty() => Ok((name.to_owned(), value.to_owned())),
        _ => Err("write it as NAME=VALUE, such as `sections=4`".to_owned()),
    }
}

fn figure(text: &str) -> Result<Name, String> {
    let names: Vec<&str> = Name::all_compared().map(Name::words).collect();
    let found = Name::all_compared().find(|name| name.words() == text);
    found.ok_or_else(|| {
        did_you_mean(text, names.iter().copied())
            .unwrap_or_else(|| format!("there are: {}", names.join(", ")))
    })
}

fn tick(text: &str) -> Result<Tick, String> {
    let number = text.trim_end_matches('t').parse();
    let mend = "write it in ticks, such as `3600`";
    number.map(Tick).map_err(|_| mend.to_owned())
}

fn update_order(text: &str) -> Result<UpdateOrder, String> {
    let mend =
        || "write `declared`, `reversed` or `shuffled:SEED`, such as `shuffled:7`".to_owned();
    match text {
        "declared" => Ok(UpdateOrder::Declared),
        "reversed" => Ok(UpdateOrder::Reversed),
        _ => {
            let seed = text.strip_prefix("shuffled:").ok_or_else(mend)?;
            seed.parse().map(UpdateOrder::Shuffled).map_err(|_| mend())
        }
    }
}

fn stop_range(text: &str) -> Result<StopRange, String> {
    let mend = || {
        "write it as FROM..TO/STEP in ticks, such as `1200..1207/1`; FROM at most TO, STEP at \
         least 1"
            .to_owned()
    };
    let number = |text: &str| text.trim().trim_end_matches('t').parse::<u64>().ok();
    let (from, rest) = text.split_once("..").ok_or_else(mend)?;
    let (to, step) = rest.split_once('/').unwrap_or((rest, "1"));
    match (number(from), number(to), number(step)) {
        (Some(from), Some(to), Some(step)) if from <= to && step > 0 => Ok(StopRange {
            from: Tick(from),
            to: Tick(to),
            step_ticks: step,
        }),
        _ => Err(mend()),
    }
}

#[cfg(test)]
mod tests {
    use clap::CommandFactory;

    use super::*;

    #[test]
    fn the_flags_are_sound() {
        Flags::command().debug_assert();
    }

    #[test]
    fn a_stop_range_may_leave_its_step_out() {
        let expected = StopRange {
            from: Tick(5),
            to: Tick(9),
            step_ticks: 1,
        };
        assert_eq!(stop_range("5..9"), Ok(expected));
        assert_eq!(stop_range("5t..9t/1t"), Ok(expected));
        assert!(stop_range("9..5").is_err());
        assert!(stop_range("1..9/0").is_err());
    }
}
