//! How long a hall takes to build, in words.

use hallwright_report::build_hours;
use hallwright_report::findings::BuildTime;
use hallwright_report::units::{count, decimal, grouped};

/// How long it takes, in words: `0.21 h to build 123 blocks at 600 an hour`.
#[must_use]
pub fn build_words(build: &BuildTime) -> String {
    let hours = decimal(build_hours(build.blocks(), build.blocks_per_hour), 2);
    let blocks = count(build.blocks(), "block", "blocks");
    let rate = grouped(build.blocks_per_hour.into());
    let assumed = match (build.placed_blocks, build.assumed_blocks) {
        (_, 0) => String::new(),
        (0, _) => " (the parts alone: nothing says where they stand)".to_owned(),
        (_, some) => format!(" ({} of them for parts that stand nowhere)", grouped(some)),
    };
    format!("{hours} h to build {blocks} at {rate} an hour{assumed}")
}
