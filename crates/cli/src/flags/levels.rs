//! Flags of `levels`.

use clap::{Args, ValueEnum};
use hallwright_core::goods::StackLimit;

use crate::files::{Target, target};

/// Flags of `levels`.
#[derive(Debug, Args)]
#[command(
    after_help = "Without flags: hoppers, droppers, chests and double chests with goods that stack to\n\
    64, to 16 and not at all. It does not matter how the items lie in the slots.\n\n\
    Examples:\n\
    \x20 hallwright levels\n\
    \x20 hallwright levels --slots 5 --stack 16\n\n\
    Exit codes:\n\
    \x20 0  done\n\
    \x20 2  the flags or a file cannot be used\n\
    \x20 3  an invariant broke: a bug in hallwright"
)]
pub(crate) struct LevelsFlags {
    /// How many slots the inventory has: 5 for a hopper, 27 for a chest.
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u16).range(1..))]
    pub(crate) slots: Option<u16>,

    /// What the goods in it stack to: 64, 16 or 1.
    #[arg(long, value_name = "LIMIT", value_parser = stack_limit)]
    pub(crate) stack: Option<StackLimit>,

    /// Where the levels go: text, json or csv. Without a path, to standard output. May be given several
    /// times. Without it: text.
    #[arg(long, value_name = "FORMAT[=PATH]", value_parser = target::<LevelsFormat>)]
    pub(crate) output: Vec<Target<LevelsFormat>>,
}

/// How levels are written.
#[derive(Clone, Copy, PartialEq, Eq, Debug, ValueEnum)]
pub(crate) enum LevelsFormat {
    /// Tables for people.
    Text,
    /// Every number, for programs.
    Json,
    /// A line for each level.
    Csv,
}

fn stack_limit(text: &str) -> Result<StackLimit, String> {
    let items = text.trim().parse().ok();
    let limit = items.and_then(StackLimit::from_items);
    limit.ok_or_else(|| "goods stack to 64, to 16 or to 1".to_owned())
}
