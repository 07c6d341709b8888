//! The report for people.

use std::fmt::Write as _;

use super::changes::{changes, goods};
use crate::parts::Counts;
use crate::report::{PlaceReport, PlanReport, SightReport, TICKS_PER_SECOND};
use crate::why::counted;

/// The report as text, with a newline at its end.
#[must_use]
pub fn text(report: &PlanReport) -> String {
    let mut text = String::new();
    let sides = if report.sides == 1 {
        "at one side of each aisle"
    } else {
        "at both sides of each aisle"
    };
    let rows = if report.rows == 1 { "row" } else { "rows" };
    let lines = match (report.lines, report.lines_needed) {
        (1, _) => "",
        (_, 1) => ", two lines in parallel (one would do) behind a fork",
        _ => ", two lines in parallel behind a fork",
    };
    let kinds = if report.kinds == 1 { "kind" } else { "kinds" };
    let _ = write!(text, "{}: {} {kinds}", report.title, report.kinds);
    if report.sections.is_empty() {
        text.push_str(", all in boxes\n\n");
    } else {
        let _ = writeln!(
            text,
            "\n{} blocks long, {} {rows}, slices {sides}{lines}\n",
            report.length_blocks, report.rows
        );
    }
    if let Some(kept) = &report.kept {
        changes(kept, &mut text);
    }
    slices(report, &mut text);
    lengths(report, &mut text);
    flow(report, &mut text);
    sections(report, &mut text);
    super::proof::proof(report, &mut text);
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
    text.push_str("Places along the lines\n");
    let mut rows = vec![row([
        &"",
        &"blocks each",
        &"in use",
        &"free",
        &"reserve wished",
        &"left out",
    ])];
    for slice in &report.slices {
        rows.push(row([
            &slice.sort,
            &slice.width_blocks,
            &slice.used_slices,
            &slice.free_slices,
            &slice.reserve_slices,
            &slice.left_out_slices,
        ]));
    }
    table(&rows, text);
}

fn lengths(report: &PlanReport, text: &mut String) {
    if report.lengths.is_empty() {
        return;
    }
    text.push_str("Lengths to choose from\n");
    let mut rows = vec![row([&"rows", &"blocks long"])];
    for length in &report.lengths {
        let mut cells = row([&length.rows, &length.length_blocks]);
        if length.is_planned {
            cells.push("<- planned".to_owned());
        }
        rows.push(cells);
    }
    table(&rows, text);
}

/// A time in seconds and ticks.
pub(super) fn time(ticks: u64) -> String {
    let hundredths = ticks * 100 / TICKS_PER_SECOND;
    format!("{}.{:02} s ({ticks} t)", hundredths / 100, hundredths % 100)
}

/// Thousandths as a number with at most three digits behind the point.
fn thousandths(number: u64) -> String {
    let text = format!("{}.{:03}", number / 1000, number % 1000);
    let text = text.trim_end_matches('0').trim_end_matches('.');
    text.to_owned()
}

/// Tenths of a percent.
fn percent(permille: u64) -> String {
    format!("{}.{} %", permille / 10, permille % 10)
}

fn flow(report: &PlanReport, text: &mut String) {
    let flow = &report.flow;
    text.push_str("Inflow");
    if !report.sections.is_empty() {
        let _ = write!(
            text,
            ": {} items an hour, {} of the {} that {} carr{}",
            thousandths(flow.inflow_thousandths_per_hour),
            percent(flow.share_permille),
            thousandths(flow.line_thousandths_per_hour * report.lines),
            if report.lines == 1 {
                "a line"
            } else {
                "two lines"
            },
            if report.lines == 1 { "ies" } else { "y" },
        );
    }
    text.push('\n');
    if let Some(wing) = &report.wing {
        let [x, y, z] = wing.from;
        let [long, high, deep] = wing.blocks;
        let _ = writeln!(
            text,
            "in boxes: {} items an hour, {} full boxes; as many empty ones are needed to fill them, and come back once they \
             are emptied\n\
             box wing: {} of {} boxes, {long} x {high} x {deep} blocks (x, y, z) from ({x}, {y}, {z}); stops within {}",
            thousandths(flow.boxed_thousandths_per_hour),
            thousandths(flow.boxes_thousandths_per_hour),
            counted(wing.columns as u64, "column"),
            wing.boxes_a_column,
            time(wing.stop_at_most_ticks),
        );
    }
    if !flow.filling.is_empty() {
        text.push_str("full first, if all were empty and nothing was taken out; then the overflow behind them\n");
        let mut rows = vec![row([&"", &"full after", &"overflow full"])];
        for filling in &flow.filling {
            let kinds = filling.kinds.join(", ");
            let name = format!("{}: {kinds}", filling.slice);
            let after = format!("{} h", filling.full_after_hours);
            let overflow = match filling.overflow_full_after_hours {
                Some(hours) => format!("{hours} h later"),
                None => "goes on to the next".to_owned(),
            };
            rows.push(row([&name, &after, &overflow]));
        }
        table(&rows, text);
    } else {
        text.push('\n');
    }
}

fn sections(report: &PlanReport, text: &mut String) {
    if report.sections.is_empty() {
        return;
    }
    let wished = time(report.stop_wished_ticks);
    let _ = writeln!(
        text,
        "Sections: from a stop until it is safe to close, {wished} wished"
    );
    let mut rows = vec![row([
        &"",
        &"row",
        &"slices",
        &"line hoppers",
        &"items an hour",
        &"of the line",
        &"stops within",
    ])];
    for section in &report.sections {
        let stop = time(section.stop_at_most_ticks);
        let name = match report.lines {
            1 => section.name.clone(),
            _ => format!("{}, line {}", section.name, section.line),
        };
        rows.push(row([
            &name,
            &section.row,
            &section.places,
            &section.line_hoppers,
            &thousandths(section.inflow_thousandths_per_hour),
            &percent(section.share_permille),
            &stop,
        ]));
    }
    table(&rows, text);
}

fn sight(sight: &SightReport, text: &mut String) {
    let from = match sight.seen_up_to_blocks {
        Some(near) => format!(
            "up to {near:.2} blocks from the wall, and from {:.2} blocks away",
            sight.seen_from_blocks
        ),
        None if sight.seen_from_blocks == 0.0 => "from everywhere".to_owned(),
        None => format!("from {:.2} blocks away", sight.seen_from_blocks),
    };
    let here = if sight.is_seen {
        "they do"
    } else {
        "they do not"
    };
    let _ = writeln!(
        text,
        "Sight line: rows at {} and {} blocks, eye at {} blocks, {} blocks from the wall, view of {} degrees\n\
         both rows fit in one view {from}; here {here}\n",
        sight.lower_blocks,
        sight.upper_blocks,
        sight.eye_blocks,
        sight.distance_blocks,
        sight.view_degrees
    );
}

fn parts(report: &PlanReport, text: &mut String) {
    text.push_str("Parts list\n");
    let all = report.parts.items.iter().chain(&report.parts.signals);
    let mut rows: Vec<_> = all.map(|(name, count)| row([name, count])).collect();
    rows.push(row([&"items in filters", &report.parts.goods_in_filters]));
    table(&rows, text);
    let _ = writeln!(
        text,
        "{}{:.2} storage slots a hopper ({} slots in slices)\n\
         {} slots more in buffers, for the unsorted and in free slices\n",
        if report.sections.is_empty() {
            String::new()
        } else {
            format!("{:.2} hoppers a block, ", report.parts.hoppers_a_block)
        },
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
    text.push_str("Allocation, from the input on: slice, row, blocks, stacks of room, hours until full, kinds\n");
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
        let full = place.full_after_hours.map(|hours| format!("{hours} h"));
        row([
            &name,
            &place.row,
            &blocks,
            &stacks,
            &full.unwrap_or_default(),
        ])
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
