//! A comparison for people: what is alike, the worst of each figure in one table for each topic, and
//! then best, median, worst and difference of every figure.

use super::page::Page;
use crate::compare_tables::{
    Columns, alike_words, by_subsystem, figure_tables, overview, runs_words, same_words,
};
use hallwright_trials::compare::Comparison;

const LABEL: usize = 10;

/// The least columns that names of designs are shown in.
const NAME_COLUMNS: usize = 12;

/// A comparison as text of this width. `is_brief`: without the tables of single figures.
#[must_use]
pub fn compare_text(found: &Comparison, is_brief: bool, width_columns: u16) -> String {
    let mut page = Page::new(width_columns);
    let title = found.designs.first().map(|design| design.title.as_str());
    page.line(title.unwrap_or_default());
    let names: Vec<&str> = found
        .designs
        .iter()
        .map(|each| each.name.as_str())
        .collect();
    page.labelled("Designs", LABEL, &names.join(", "));
    page.labelled("Runs", LABEL, &runs_words(found));
    for words in &found.incomparable {
        page.labelled("Beware", LABEL, words);
    }
    for broken in &found.broken {
        let name = &found.designs[broken.design].name;
        let case = broken.case.words(found.ticks_per_second);
        let words = format!(
            "{name}: an invariant broke: {}; with {case}",
            broken.message
        );
        page.labelled("Broken", LABEL, &words);
        page.labelled("", LABEL, &format!("again: {}", broken.command));
    }
    if found.is_all_equal() {
        page.labelled(
            "Equal",
            LABEL,
            "every figure reported here is equal in all runs",
        );
    }
    for alike in &found.alike {
        page.labelled("Alike", LABEL, &alike_words(alike, found));
    }
    let same = same_words(found);
    if !same.is_empty() {
        page.labelled("The same", LABEL, &same.join(", "));
    }
    for table in overview(found).iter().chain(&by_subsystem(found)) {
        columns(&mut page, table, &names);
    }
    if !is_brief {
        for table in figure_tables(found) {
            let header: Vec<&str> = table.header.iter().map(String::as_str).collect();
            page.whole_table(&header, &table.rows);
        }
    }
    page.finish()
}

/// A table of columns beside the designs; as many tables as the width makes of it.
fn columns(page: &mut Page, table: &Columns, names: &[&str]) {
    let width = |words: &str| words.chars().count();
    let widest_name = names.iter().map(|name| width(name)).max().unwrap_or(0);
    let first = widest_name.max(width(&table.title)).max(NAME_COLUMNS);
    let mut rest = table.columns.as_slice();
    while !rest.is_empty() {
        let mut used = first;
        let fitting = rest.iter().take_while(|(header, cells)| {
            let widest = cells.iter().map(|cell| width(cell)).max().unwrap_or(0);
            used += 2 + widest.max(width(header));
            used <= page.width()
        });
        // At least one column, however narrow the page is.
        let taken = fitting.count().max(1);
        let (now, later) = rest.split_at(taken);
        let headers = now.iter().map(|(header, _)| header.as_str());
        let header: Vec<&str> = [table.title.as_str()].into_iter().chain(headers).collect();
        let rows: Vec<Vec<String>> = names
            .iter()
            .enumerate()
            .map(|(place, name)| {
                let cells = now.iter().map(|(_, cells)| cells[place].clone());
                [(*name).to_owned()].into_iter().chain(cells).collect()
            })
            .collect();
        page.whole_table(&header, &rows);
        rest = later;
    }
}
