//! From how many items on comparators read each level, as a table for programs.

use csv::Writer;

use hallwright_analysis::readings::Readings;

/// A line for each level of each inventory. The numbers of a level that is never read are left empty.
#[must_use]
pub fn levels_csv(all: &[Readings]) -> String {
    let mut table = Writer::from_writer(Vec::new());
    // Writing to memory cannot fail, and all rows have the same length.
    let _ = table.write_record(["slots", "stack_limit", "level", "from_items", "to_items"]);
    let shown = |items: Option<u32>| items.map_or_else(String::new, |items| items.to_string());
    for one in all {
        for (level, reading) in (1..).zip(one.levels) {
            let level: u8 = level;
            let _ = table.write_record([
                one.slots.to_string(),
                one.limit.items().to_string(),
                level.to_string(),
                shown(reading.map(|reading| reading.from_items)),
                shown(reading.map(|reading| reading.to_items)),
            ]);
        }
    }
    let bytes = table.into_inner().unwrap_or_default();
    String::from_utf8_lossy(&bytes).into_owned()
}
