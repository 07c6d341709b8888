//! From how many items on comparators read each level, in tables for people.

use super::page::Page;
use hallwright_analysis::readings::{Reading, Readings};
use hallwright_report::units::grouped;

/// The levels of some inventories, a table for each stack limit. Inventories of one stack limit stand
/// next to each other.
#[must_use]
pub fn levels_text(all: &[Readings], width_columns: u16) -> String {
    let mut page = Page::new(width_columns);
    match all {
        [one] => write_one(&mut page, one),
        all => {
            page.line("From how many items on a comparator reads each level.");
            for group in all.chunk_by(|one, next| one.limit == next.limit) {
                write_group(&mut page, group);
            }
            page.blank();
            page.line("A level at which there is - is never read: one item more passes it over.");
        }
    }
    page.finish()
}

fn items(number: u32) -> String {
    grouped(number.into())
}

fn write_one(page: &mut Page, one: &Readings) {
    let (slots, limit) = (one.slots, one.limit.items());
    let plural = if slots == 1 { "slot" } else { "slots" };
    page.line(&format!("{slots} {plural} of goods that stack to {limit}."));
    let shown = |reading: Option<Reading>, number: fn(Reading) -> u32| {
        reading.map_or_else(|| "-".to_owned(), |reading| items(number(reading)))
    };
    let rows = (1..).zip(one.levels).map(|(level, reading): (u8, _)| {
        vec![
            level.to_string(),
            shown(reading, |reading| reading.from_items),
            shown(reading, |reading| reading.to_items),
        ]
    });
    let header = ["level", "from items", "to items"];
    page.whole_table(&header, &rows.collect::<Vec<_>>());
}

fn write_group(page: &mut Page, group: &[Readings]) {
    let Some(first) = group.first() else { return };
    page.blank();
    page.line(&format!("Goods that stack to {}:", first.limit.items()));
    let names: Vec<String> = group.iter().map(|one| inventory(one.slots)).collect();
    let header = std::iter::once("level").chain(names.iter().map(String::as_str));
    let rows = (0..first.levels.len()).map(|place| {
        let cells = group.iter().map(|one| {
            one.levels[place].map_or_else(|| "-".to_owned(), |reading| items(reading.from_items))
        });
        let level = (place + 1).to_string();
        std::iter::once(level).chain(cells).collect::<Vec<String>>()
    });
    page.whole_table(&header.collect::<Vec<_>>(), &rows.collect::<Vec<_>>());
}

/// What has so many slots.
fn inventory(slots: u16) -> String {
    match slots {
        5 => "hopper".to_owned(),
        9 => "dropper".to_owned(),
        27 => "chest, barrel, box".to_owned(),
        54 => "double chest".to_owned(),
        1 => "1 slot".to_owned(),
        slots => format!("{slots} slots"),
    }
}
