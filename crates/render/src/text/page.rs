//! Lines and tables that fit a width.

use super::fit::fit;
use comfy_table::presets::NOTHING;
use comfy_table::{Cell, CellAlignment, ContentArrangement, Table};
use hallwright_names as names;

/// The width of the labels before answers and goals.
pub(super) const LABEL: usize = 10;
/// How many rows of a table, or names of a list, are shown.
pub(super) const ROWS: usize = 6;

/// A text of so many columns that grows downwards, with tables.
pub(super) struct Page(names::Page);

impl Page {
    /// An empty page.
    pub(super) fn new(width_columns: u16) -> Self {
        Self(names::Page::new(width_columns.max(40), glued))
    }

    /// The whole text.
    pub(super) fn finish(self) -> String {
        self.0.finish()
    }

    /// A blank line, unless there is one or nothing is above.
    pub(super) fn blank(&mut self) {
        self.0.gap();
    }

    /// A line that goes on below itself where it does not fit.
    pub(super) fn line(&mut self, words: &str) {
        self.0.line(words);
    }

    /// Words behind a label; they go on below themselves where they do not fit.
    pub(super) fn labelled(&mut self, label: &str, label_width: usize, words: &str) {
        self.0.labelled(label, label_width, words);
    }

    /// How many columns there are.
    pub(super) fn width(&self) -> usize {
        self.0.width()
    }

    /// A line that is never broken, to copy from.
    pub(super) fn unbroken(&mut self, line: &str) {
        self.0.unbroken(line);
    }

    /// A table after a blank line: the first column to the left, all others to the right. Rows
    /// beyond the limit are counted only.
    pub(super) fn table(&mut self, header: &[&str], rows: &[Vec<String>]) {
        // A last line that counts one row takes as much room as the row.
        let shown = if rows.len() > ROWS + 1 {
            ROWS
        } else {
            rows.len()
        };
        self.table_of(header, rows, shown);
        if shown < rows.len() {
            self.unbroken(&format!("… and {} more", rows.len() - shown));
        }
    }

    /// A table like [`Page::table`], with every row.
    pub(super) fn whole_table(&mut self, header: &[&str], rows: &[Vec<String>]) {
        self.table_of(header, rows, rows.len());
    }

    fn table_of(&mut self, header: &[&str], rows: &[Vec<String>], shown: usize) {
        if rows.is_empty() {
            return;
        }
        self.blank();
        let cleaned = |cell: &String| names::text(cell).into_owned();
        let rows: Vec<Vec<String>> = rows
            .iter()
            .map(|row| row.iter().map(cleaned).collect())
            .collect();
        let header: Vec<String> = header
            .iter()
            .map(|cell| names::text(cell).into_owned())
            .collect();
        let header: Vec<&str> = header.iter().map(String::as_str).collect();
        let (header, rows) = fit(&header, &rows, self.width());
        let mut table = Table::new();
        table
            .load_style(NOTHING)
            .set_content_arrangement(ContentArrangement::Dynamic)
            .set_width(u16::try_from(self.width()).unwrap_or(u16::MAX));
        let to_cells = |row: Vec<String>| -> Vec<Cell> {
            let cells = row.into_iter().enumerate();
            cells
                .map(|(column, words)| {
                    let right = column > 0;
                    let side = if right {
                        CellAlignment::Right
                    } else {
                        CellAlignment::Left
                    };
                    Cell::new(words).set_alignment(side)
                })
                .collect()
        };
        table.set_header(to_cells(header));
        for row in &rows[..shown] {
            table.add_row(to_cells(row.clone()));
        }
        for column in table.column_iter_mut() {
            let left = if column.index == 0 { 0 } else { 2 };
            column.set_padding((left, 0));
        }
        for line in table.lines() {
            self.unbroken(&line);
        }
    }
}

/// The pieces between which a line may be broken: not between a number and its unit, nor before the
/// ticks that follow seconds.
fn glued(words: &str) -> Vec<String> {
    let mut pieces: Vec<String> = Vec::new();
    for word in words.split(' ') {
        let is_number = |text: &str| text.ends_with(|end: char| end.is_ascii_digit());
        let mut letters = word.chars();
        let is_ticks =
            letters.next() == Some('(') && letters.next().is_some_and(|next| next.is_ascii_digit());
        match pieces.last_mut() {
            Some(last) if is_number(last) || is_ticks => {
                last.push(' ');
                last.push_str(word);
            }
            _ => pieces.push(word.to_owned()),
        }
    }
    pieces
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_stay_with_their_units() {
        assert_eq!(
            glued("cleared after 12.6 s (252 t), at most 3 items"),
            [
                "cleared",
                "after",
                "12.6 s (252 t),",
                "at",
                "most",
                "3 items"
            ]
        );
    }

    #[test]
    fn a_long_table_is_cut_and_says_by_how_much() {
        let mut page = Page::new(40);
        let rows: Vec<Vec<String>> = (0..12)
            .map(|row| vec![format!("row {row}"), "1 t".into()])
            .collect();
        page.table(&["Name", "time"], &rows);
        let text = page.finish();
        assert!(text.ends_with("row 5   1 t\n… and 6 more\n"), "{text}");
        // Header, six rows and the last line.
        assert_eq!(text.lines().count(), 8);
    }
}
