//! `hallwright levels`: from how many items on a comparator reads each level.

use anyhow::Result;
use hallwright_analysis::readings::{Readings, readings};
use hallwright_core::goods::StackLimit;
use hallwright_render::{levels_csv, levels_json, levels_text};

use crate::exit_code::Outcome;
use crate::files::{Guard, Target, targets_or, write_targets};
use crate::flags::{LevelsFlags, LevelsFormat};

/// A hopper, a dropper, a chest and a double chest.
const COMMON_SLOTS: [u16; 4] = [5, 9, 27, 54];
const ALL_LIMITS: [StackLimit; 3] = [StackLimit::SixtyFour, StackLimit::Sixteen, StackLimit::One];

/// Writes the levels that the flags ask for.
pub(crate) fn report_levels(flags: &LevelsFlags) -> Result<Outcome> {
    let limits = flags.stack.map_or(ALL_LIMITS.to_vec(), |limit| vec![limit]);
    let slots = flags
        .slots
        .map_or(COMMON_SLOTS.to_vec(), |slots| vec![slots]);
    let pairs = limits
        .iter()
        .flat_map(|limit| slots.iter().map(|slots| readings(*slots, *limit)));
    let all: Vec<Readings> = pairs.collect();
    Guard::default().writes(flags.output.iter().map(Target::path))?;
    let targets = targets_or(&flags.output, LevelsFormat::Text);
    write_targets(&targets, &|format, columns| {
        Ok(match format {
            LevelsFormat::Text => levels_text(&all, columns),
            LevelsFormat::Json => levels_json(&all),
            LevelsFormat::Csv => levels_csv(&all),
        })
    })?;
    Ok(Outcome::Done)
}
