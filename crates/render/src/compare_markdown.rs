//! A comparison as tables of Markdown.

use super::compare_tables::{
    alike_words, by_subsystem, figure_tables, overview, runs_words, same_words,
};
use hallwright_names::markdown;
use hallwright_trials::compare::Comparison;

/// A comparison as Markdown: tables for pages and pull requests. `is_brief`: without the tables of
/// single figures.
#[must_use]
pub fn compare_markdown(found: &Comparison, is_brief: bool) -> String {
    let mut text = format!("{}.\n", runs_words(found));
    let mut bullet = |words: &str| text.push_str(&format!("\n- {}", markdown(words)));
    found.incomparable.iter().for_each(|words| bullet(words));
    for broken in &found.broken {
        let name = &found.designs[broken.design].name;
        bullet(&format!("{name}: an invariant broke: {}", broken.message));
    }
    if found.is_all_equal() {
        bullet("every figure reported here is equal in all runs");
    }
    for alike in &found.alike {
        bullet(&alike_words(alike, found));
    }
    let same = same_words(found);
    if !same.is_empty() {
        bullet(&format!("the same in all runs: {}", same.join(", ")));
    }
    text.push('\n');
    for table in overview(found).into_iter().chain(by_subsystem(found)) {
        let headers = table.columns.iter().map(|(header, _)| header.clone());
        let header: Vec<String> = [table.title].into_iter().chain(headers).collect();
        let rows = found.designs.iter().enumerate().map(|(place, design)| {
            let cells = table.columns.iter().map(|(_, cells)| cells[place].clone());
            [design.name.clone()].into_iter().chain(cells).collect()
        });
        write(&mut text, &header, &rows.collect::<Vec<_>>());
    }
    if !is_brief {
        for table in figure_tables(found) {
            write(&mut text, &table.header, &table.rows);
        }
    }
    text
}

fn write(text: &mut String, header: &[String], rows: &[Vec<String>]) {
    let line = |cells: &[String]| {
        let cells: Vec<String> = cells
            .iter()
            .map(|cell| markdown(cell).into_owned())
            .collect();
        format!("| {} |\n", cells.join(" | "))
    };
    text.push('\n');
    text.push_str(&line(header));
    text.push_str(&format!("| --- |{}\n", " ---: |".repeat(header.len() - 1)));
    for row in rows {
        text.push_str(&line(row));
    }
}
