//! The table at the end: a row for each case that was measured.

use comfy_table::{CellAlignment, ContentArrangement, Table, presets};

use crate::figures::{Figure, Figures};
use crate::goals::{GOALS, grouped, short};

/// Draws the table, in Markdown, with a sentence about the goals behind it. Empty if nothing was
/// measured.
pub(crate) fn table(figures: &Figures) -> String {
    let mut table = Table::new();
    table
        .load_style(presets::ASCII_MARKDOWN)
        .set_content_arrangement(ContentArrangement::Disabled)
        .set_header([
            "workload",
            "a run does",
            "a run takes",
            "±",
            "ns a move",
            "moves/s",
            "× floor",
            "× reference's speed",
            "bytes a hopper",
            "goal",
        ]);
    for column in 1..=8 {
        if let Some(column) = table.column_mut(column) {
            column.set_cell_alignment(CellAlignment::Right);
        }
    }
    let (mut met, mut judged, mut rows) = (0, 0, 0);
    for (id, figure) in figures.iter() {
        let goals = GOALS.iter().filter(|goal| goal.row == id);
        let verdicts: Vec<_> = goals.map(|goal| goal.judge(figures)).collect();
        met += verdicts
            .iter()
            .filter(|verdict| verdict.is_met == Some(true))
            .count();
        judged += verdicts
            .iter()
            .filter(|verdict| verdict.is_met.is_some())
            .count();
        let words: Vec<&str> = verdicts
            .iter()
            .map(|verdict| verdict.words.as_str())
            .collect();
        table.add_row(row(id, figure, figures, words.join("; ")));
        rows += 1;
    }
    if rows == 0 {
        return String::new();
    }
    format!("\n{table}\n\n{met} of {judged} goals met.\n")
}

fn row(id: &str, figure: &Figure, figures: &Figures, goals: String) -> [String; 10] {
    let (group, name) = id.split_once('/').unwrap_or(("", id));
    let label = match group {
        "engine" => name.to_owned(),
        _ => format!("{name}: {}", group.replace('_', " ")),
    };
    let beside = |group: &str| figures.get(&format!("{group}/{name}"))?.each();
    let is_engine = group == "engine";
    let each = figure.each();
    let ratio = |of: Option<f64>, to: Option<f64>| {
        let ratio = of.zip(to).filter(|_| is_engine);
        ratio.map_or(String::new(), |(of, to)| short(of / to))
    };
    let half_width = (figure.run.upper - figure.run.lower) / 2.0 / figure.run.median;
    let bytes = figure.memory.map_or(String::new(), |memory| {
        let part = |bytes: u64| short(bytes as f64 / memory.hoppers as f64);
        format!(
            "{} + {} = {}",
            part(memory.network_bytes),
            part(memory.engine_bytes - memory.item_bytes),
            short(memory.bytes_a_hopper())
        )
    });
    [
        label,
        format!("{} {}", grouped(figure.amount), figure.unit),
        duration(figure.run.median),
        format!("{:.1} %", half_width * 100.0),
        each.map_or(String::new(), short),
        each.map_or(String::new(), |each| grouped((1e9 / each) as u64)),
        ratio(each, beside("floor")),
        ratio(beside("reference"), each),
        bytes,
        goals,
    ]
}

/// A time with a unit that suits it.
fn duration(nanoseconds: f64) -> String {
    match nanoseconds {
        short_one if short_one < 1e6 => format!("{} µs", short(nanoseconds / 1e3)),
        middle if middle < 1e9 => format!("{} ms", short(nanoseconds / 1e6)),
        _ => format!("{} s", short(nanoseconds / 1e9)),
    }
}
