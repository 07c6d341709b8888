//! CSV tables for others to read, with the place of every field.

use std::path::Path;

use crate::diagnostic::Diagnostic;
use crate::ids;
use crate::read::read_text;
use crate::resolve::{line_at, place_fields};
use crate::source::{Sources, Span};

/// A text with its place.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct PlacedText {
    /// The text, without blanks around it.
    pub text: String,
    /// Where it stands; of an empty field, its row.
    pub span: Span,
}

/// One row of a table.
#[derive(Clone, Debug)]
pub struct PlacedRow {
    /// As many fields as the table has columns.
    pub fields: Vec<PlacedText>,
    /// The whole row.
    pub span: Span,
}

/// A table: a row of names, and the rows below it.
#[derive(Clone, Debug, Default)]
pub struct PlacedTable {
    /// The names of the columns.
    pub columns: Vec<PlacedText>,
    /// The rows.
    pub rows: Vec<PlacedRow>,
}

impl PlacedTable {
    /// The number of the column of this name.
    #[must_use]
    pub fn column(&self, name: &str) -> Option<usize> {
        self.columns.iter().position(|column| column.text == name)
    }
}

/// Reads a table: commas between fields, lines that begin with `#` are comments. Rows that do not
/// fit are reported and left out. `None` if there is no table at all, which is reported as well.
pub fn read_placed_table(
    path: &Path,
    sources: &mut Sources,
    problems: &mut Vec<Diagnostic>,
) -> Option<PlacedTable> {
    let text = match read_text(path) {
        Ok(text) => text,
        Err((id, message)) => {
            problems.push(Diagnostic::general(id, message));
            return None;
        }
    };
    let file = sources.add(path, text);
    let text = sources.file(file).text.as_str();
    let mut reader = csv::ReaderBuilder::new()
        .has_headers(false)
        .flexible(true)
        .trim(csv::Trim::All)
        .comment(Some(b'#'))
        .from_reader(text.as_bytes());
    let mut table = PlacedTable::default();
    for record in reader.records() {
        let record = match record {
            Ok(record) => record,
            Err(error) => {
                let start = error.position().map_or(0, csv::Position::byte);
                let message = format!("this is no row of a table: {error}");
                let span = line_at(text, file, start);
                problems.push(Diagnostic::error(ids::FILE_BAD_ROW, span, message));
                return Some(table);
            }
        };
        let start = record.position().map_or(0, csv::Position::byte);
        let row = place_fields(text, file, start, &record);
        let fields = row.fields.iter().map(|(text, span)| PlacedText {
            text: (*text).to_owned(),
            span: *span,
        });
        let fields: Vec<PlacedText> = fields.collect();
        if table.columns.is_empty() {
            table.columns = fields;
        } else if fields.len() == table.columns.len() {
            let span = row.span;
            table.rows.push(PlacedRow { fields, span });
        } else {
            let (found, wanted) = (fields.len(), table.columns.len());
            let message = format!("the row has {found} fields, and the table {wanted} columns");
            problems.push(Diagnostic::error(ids::FILE_BAD_ROW, row.span, message));
        }
    }
    if table.columns.is_empty() {
        let message = format!("`{}` has no row with the names of columns", path.display());
        problems.push(Diagnostic::general(ids::FILE_BAD_ROW, message));
        return None;
    }
    Some(table)
}
