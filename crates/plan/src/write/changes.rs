//! What is said to people of a hall that continues another, and of where goods lie.

use std::fmt::Write as _;

use super::text::{row, table};
use crate::changes::{ChangesReport, PlacedReport};
use crate::why::GoodReport;

/// What came, left and moved, and which parts to bring.
pub(super) fn changes(changes: &ChangesReport, text: &mut String) {
    let _ = writeln!(
        text,
        "Kept: {} kinds where they lay; new: {}, gone: {}, moved: {}",
        changes.stayed_kinds,
        changes.came.len(),
        changes.left.len(),
        changes.moves.len()
    );
    for came in &changes.came {
        let _ = writeln!(text, "new   {}: {}", came.name, slices(came));
    }
    for left in &changes.left {
        let _ = writeln!(text, "gone  {}: was in {}", left.name, slices(left));
    }
    for moved in &changes.moves {
        let filters = match moved.filters {
            1 => "1 filter".to_owned(),
            filters => format!("{filters} filters"),
        };
        let _ = writeln!(
            text,
            "move  {}: from {} to {}, {} stacks to carry, {filters} to fill: {}",
            moved.name,
            slices(&moved.from),
            slices(&moved.to),
            moved.carry_stacks,
            moved.why
        );
    }
    for (sort, count) in &changes.lengthened {
        let _ = writeln!(
            text,
            "longer  {sort}: by {count}, for nothing was free; what the line comes to behind it stands further on"
        );
    }
    text.push('\n');
    let Some(parts) = &changes.parts_to_bring else {
        return;
    };
    if parts.is_empty() {
        text.push_str("Parts to bring: none, the hall is built of as many as before\n\n");
        return;
    }
    text.push_str(
        "Parts to bring, beside those of the hall that is kept; less than 0 are left over\n",
    );
    let rows: Vec<Vec<String>> = parts
        .iter()
        .map(|(name, count)| row([name, &format!("{count:+}")]))
        .collect();
    table(&rows, text);
}

/// Slices as `bulk 3` or `bulk 3 to 5`.
fn slices(placed: &PlacedReport) -> String {
    match placed.slices[..] {
        [] => placed.sort.to_owned(),
        [only] => format!("{} {only}", placed.sort),
        [first, .., last] => format!("{} {first} to {last}", placed.sort),
    }
}

/// A line for each kind.
pub(super) fn goods(goods: &[GoodReport], text: &mut String) {
    text.push_str(
        "\nGoods, and why they lie there: slice, stacks, stacks in five years; ! has no room then\n",
    );
    let cells = |good: &GoodReport| {
        let placed = PlacedReport {
            name: String::new(),
            sort: good.sort,
            slices: good.slices.clone(),
        };
        let mark = if good.has_room_in_5_years { "" } else { "!" };
        let later = format!("{}{mark}", good.stacks_in_5_years);
        row([&good.name, &slices(&placed), &good.stacks, &later])
    };
    let rows: Vec<Vec<String>> = goods.iter().map(cells).collect();
    let mut lines = String::new();
    table(&rows, &mut lines);
    for (line, good) in lines.lines().zip(goods) {
        let _ = writeln!(text, "{line}  {}", good.why);
    }
}
