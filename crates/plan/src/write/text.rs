//! The report for people.

use std::fmt::Write as _;

use super::changes::{changes, goods};
use crate::parts::Counts;
use crate::report::{PlaceReport, PlanReport, SightReport, TICKS_PER_SECOND};

/// The report as text, with a newline at its end.
#[must_use]
pub fn text(report: &PlanReport) -> String {
    let mut text = String::new();
    let sides = if report.sides == 1 {
        "one side"
    } else {
        "two sides"
    };
    let tiles = if report.tiles == 1 { "tile" } else { "tiles" };
    let _ = writeln!(
        text,
        "{}: {} kinds\n{} blocks long, {} {tiles} of {} blocks, {sides}\n",
        report.title, report.kinds, report.length_blocks, report.tiles, report.tile_blocks
    );
    if let Some(kept) = &report.kept {
        changes(kept, &mut text);
    }
    slices(report, &mut text);
    lengths(report, &mut text);
    sections(report, &mut text);
    if let Some(sight) = &report.sight {
        self::sight(sight, &mut text);
    }
    parts(report, &mut text);
    materials(report, &mut text);
    allocation(report, &mut text);
    goods(&report.goods, &mut text);
    text
}

/// Rows with their columns below one another; all but the first column to the right.
pub(super) fn table(rows: &[Vec<String>], text: &mut String) {
    let columns = rows.iter().map(Vec::len).max().unwrap_or(0);
    let width = |column: usize| {
        let cells = rows.iter().filter_map(|row| row.get(column));
        cells.map(|cell| cell.chars().count()).max().unwrap_or(0)
    };
    let widths: Vec<usize> = (0..columns).map(width).collect();
    for row in rows {
        let mut line = String::new();
        for (column, cell) in row.iter().enumerate() {
            let width = widths[column];
            let _ = match column {
                0 => write!(line, "{cell:<width$}"),
                _ => write!(line, "  {cell:>width$}"),
            };
        }
        text.push_str(line.trim_end());
        text.push('\n');
    }
    text.push('\n');
}

/// A row of a table.
pub(super) fn row<const N: usize>(cells: [&dyn ToString; N]) -> Vec<String> {
    cells.iter().map(|cell| cell.to_string()).collect()
}

fn slices(report: &PlanReport, text: &mut String) {
    text.push_str("Slices: lower bound is how few would do, packed at best\n");
    let mut rows = vec![row([
        &"",
        &"kinds",
        &"slices",
        &"lower bound",
        &"above it",
        &"if families mixed",
        &"stacks",
        &"room",
    ])];
    for slice in &report.slices {
        rows.push(row([
            &slice.sort,
            &slice.kinds,
            &slice.used_slices,
            &slice.lower_bound_slices,
            &slice.above_bound_slices,
            &slice.without_families_slices,
            &slice.used_stacks,
            &slice.room_stacks,
        ]));
    }
    table(&rows, text);
    text.push_str("Room on the whole length\n");
    let mut rows = vec![row([
        &"",
        &"blocks each",
        &"room for",
        &"in use",
        &"free",
        &"reserve wished",
        &"left out",
    ])];
    for slice in &report.slices {
        rows.push(row([
            &slice.sort,
            &slice.width_blocks,
            &slice.room_slices,
            &slice.used_slices,
            &slice.free_slices,
            &slice.reserve_slices,
            &slice.left_out_slices,
        ]));
    }
    table(&rows, text);
}

fn lengths(report: &PlanReport, text: &mut String) {
    text.push_str("Lengths to choose from: slices there is room for, and how many are free\n");
    let mut head = row([&"blocks", &"tiles"]);
    for slice in &report.slices {
        head.push(slice.sort.to_owned());
        head.push("free".to_owned());
    }
    head.push("reserve".to_owned());
    let mut rows = vec![head];
    for length in &report.lengths {
        let mut cells = row([&length.length_blocks, &length.tiles]);
        for (room, free) in length.room_slices.iter().zip(&length.free_slices) {
            cells.push(room.to_string());
            cells.push(free.map_or_else(|| "too few".to_owned(), |free| free.to_string()));
        }
        cells.push(if length.has_reserve { "fits" } else { "short" }.to_owned());
        if length.is_planned {
            cells.push("<- planned".to_owned());
        }
        rows.push(cells);
    }
    table(&rows, text);
}

/// A time in seconds and ticks.
fn time(ticks: u64) -> String {
    let hundredths = ticks * 100 / TICKS_PER_SECOND;
    format!("{}.{:02} s ({ticks} t)", hundredths / 100, hundredths % 100)
}

fn sections(report: &PlanReport, text: &mut String) {
    let wished = time(report.stop_wished_ticks);
    let _ = writeln!(
        text,
        "Sections: from a stop until it is safe to close, {wished} wished"
    );
    let mut rows = vec![row([&"", &"slices", &"line hoppers", &"at most"])];
    for section in &report.sections {
        let stop = time(section.stop_at_most_ticks);
        rows.push(row([
            &section.name,
            &section.places,
            &section.line_hoppers,
            &stop,
        ]));
    }
    table(&rows, text);
}

fn sight(sight: &SightReport, text: &mut String) {
    let seen = if sight.is_seen {
        "both are"
    } else {
        "they are not both"
    };
    let from = match sight.seen_up_to_blocks {
        Some(near) => format!(
            "up to {near:.2} blocks from the wall, and from {:.2} blocks on",
            sight.seen_from_blocks
        ),
        None if sight.seen_from_blocks == 0.0 => "from everywhere".to_owned(),
        None => format!("from {:.2} blocks on", sight.seen_from_blocks),
    };
    let _ = writeln!(
        text,
        "Sight line: rows at {} and {} blocks, eye at {} blocks, {} blocks from the wall, view of {} degrees\n\
         {seen} within one view; they would be {from}\n",
        sight.lower_blocks,
        sight.upper_blocks,
        sight.eye_blocks,
        sight.distance_blocks,
        sight.view_degrees
    );
}

fn parts(report: &PlanReport, text: &mut String) {
    text.push_str("Parts list\n");
    let mut rows = vec![row([&"", &"total", &"mean per tile"])];
    let per_tile = |count: u64| format!("{:.1}", count as f64 / report.tiles as f64);
    let all = report.parts.items.iter().chain(&report.parts.signals);
    rows.extend(all.map(|(name, count)| row([name, count, &per_tile(*count)])));
    let in_filters = report.parts.goods_in_filters;
    rows.push(row([
        &"items in filters",
        &in_filters,
        &per_tile(in_filters),
    ]));
    table(&rows, text);
    let _ = writeln!(
        text,
        "{:.2} hoppers a block, {:.2} storage slots a hopper ({} slots in slices)\n\
         {} slots more in buffers, for the unsorted and in free slices\n",
        report.parts.hoppers_a_block,
        report.parts.storage_slots_a_hopper,
        report.parts.storage_slots,
        report.parts.other_slots
    );
}

fn materials(report: &PlanReport, text: &mut String) {
    let Some(materials) = &report.materials else {
        return;
    };
    text.push_str("Raw materials\n");
    let counts: &Counts = &materials.counts;
    let rows: Vec<Vec<String>> = counts
        .iter()
        .map(|(name, count)| row([name, count]))
        .collect();
    table(&rows, text);
    if !materials.without_costs.is_empty() {
        let _ = writeln!(
            text,
            "without costs: {}\n",
            materials.without_costs.join(", ")
        );
    }
}

fn allocation(report: &PlanReport, text: &mut String) {
    text.push_str("Allocation, from the input on: slice, side, blocks, stacks of room, kinds\n");
    let cells = |place: &PlaceReport| {
        let last = place.first_block + place.width_blocks - 1;
        let blocks = if last == place.first_block {
            last.to_string()
        } else {
            format!("{}-{last}", place.first_block)
        };
        let stacks = match place.state {
            "used" => format!("{} of {}", place.used_stacks, place.room_stacks),
            _ => String::new(),
        };
        let name = format!("{}, {}", place.section, place.slice);
        row([&name, &place.side, &blocks, &stacks])
    };
    let rows: Vec<Vec<String>> = report.allocation.iter().map(cells).collect();
    let mut lines = String::new();
    table(&rows, &mut lines);
    for (line, place) in lines.lines().zip(&report.allocation) {
        let kinds = match place.state {
            "used" => place.kinds.join(", "),
            state => format!("({state})"),
        };
        let _ = writeln!(text, "{line}  {kinds}");
    }
}
