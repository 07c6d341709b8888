//! Flags of `sheet`.

use std::path::PathBuf;

use clap::{Args, ValueEnum};
use hallwright_declared::space::Block;

use super::build_rate::BuildRate;
use super::loading::Loading;
use super::values::block;
use crate::files::{Target, target};

/// Flags of `sheet`.
#[derive(Debug, Args)]
#[command(
    after_help = "A scenario without positions has a parts list and an order of building, and no plans.\n\n\
    Examples:\n\
    \x20 hallwright sheet scenarios/standing/filter.ron\n\
    \x20 hallwright sheet scenarios/standing/filter.ron --from 120,64,-30 --output html=filter.html\n\n\
    Exit codes:\n\
    \x20 0  done\n\
    \x20 2  the flags or a file cannot be used\n\
    \x20 3  an invariant broke: a bug in hallwright"
)]
pub(crate) struct SheetFlags {
    /// The scenario file (RON).
    pub(crate) scenario: PathBuf,

    #[command(flatten)]
    pub(crate) loading: Loading,

    #[command(flatten)]
    pub(crate) build: BuildRate,

    /// Where the layout's (0, 0, 0) is to stand: all blocks are counted from there.
    #[arg(
        long,
        value_name = "X,Y,Z",
        value_parser = block,
        default_value = "0,0,0",
        allow_hyphen_values = true
    )]
    pub(crate) from: Block,

    /// Where the sheet goes: text, csv or html. Without a path, to standard output. May be given several
    /// times. Without it: text.
    #[arg(long, value_name = "FORMAT[=PATH]", value_parser = target::<SheetFormat>)]
    pub(crate) output: Vec<Target<SheetFormat>>,
}

/// How a sheet is written.
#[derive(Clone, Copy, PartialEq, Eq, Debug, ValueEnum)]
pub(crate) enum SheetFormat {
    /// Plans, lists and steps for people.
    Text,
    /// A row for each block.
    Csv,
    /// One page for browser and paper, with boxes to tick off.
    Html,
}
