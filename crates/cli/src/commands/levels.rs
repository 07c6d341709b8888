//! `hallwright levels`: from how many items on a comparator reads each level.

use anyhow::Result;
use hallwright_analysis::levels::{Levels, levels};
use hallwright_core::goods::StackLimit;
use hallwright_render::{levels_csv, levels_json, levels_text};

use crate::exit_code::Outcome;
use crate::files;
use crate::flags::{LevelsFlags, LevelsFormat};

/// A hopper, a dropper, a chest and a double chest.
const COMMON_SLOTS: [u16; 4] = [5, 9, 27, 54];
const ALL_LIMITS: [StackLimit; 3] = [StackLimit::SixtyFour, StackLimit::Sixteen, StackLimit::One];

/// Prints the levels that the flags ask for.
pub(crate) fn print_levels(flags: &LevelsFlags) -> Result<Outcome> {
    let limits = flags.stack.map_or(ALL_LIMITS.to_vec(), |limit| vec![limit]);
    let slots = flags
        .slots
        .map_or(COMMON_SLOTS.to_vec(), |slots| vec![slots]);
    let pairs = limits
        .iter()
        .flat_map(|limit| slots.iter().map(|slots| levels(*slots, *limit)));
    let all: Vec<Levels> = pairs.collect();
    files::print(&match flags.format {
        LevelsFormat::Text => levels_text(&all, files::width_columns()),
        LevelsFormat::Json => levels_json(&all),
        LevelsFormat::Csv => levels_csv(&all),
    })?;
    Ok(Outcome::Done)
}
