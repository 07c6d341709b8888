//! CSV tables for others to read, with the place of every field.

use std::path::Path;

use crate::diagnostic::Diagnostic;
use crate::ids;
use crate::read::read_text;
use crate::resolve::{line_at, place_fields_from};
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
    /// The number of the column of this name, see [`PlacedText::is_called`].
    #[must_use]
    pub fn column(&self, name: &str) -> Option<usize> {
        self.columns
            .iter()
            .position(|column| column.is_called(name))
    }
}

impl PlacedText {
    /// Whether it is this name, small or large letters and blanks or lines between its words being alike:
    /// `Stack limit` is called `stack_limit`.
    #[must_use]
    pub fn is_called(&self, name: &str) -> bool {
        let plain = |letter: char| match letter {
            ' ' | '-' => '_',
            other => other.to_ascii_lowercase(),
        };
        self.text.chars().map(plain).eq(name.chars().map(plain))
    }
}

/// Whether a line is a comment: it begins with `#` and a blank, or has nothing but `#`. So `#c` is a name.
fn is_comment(line: &str) -> bool {
    let Some(rest) = line.trim_start().strip_prefix('#') else {
        return false;
    };
    let rest = rest.trim_start_matches('#');
    rest.is_empty() || rest.starts_with(char::is_whitespace)
}

/// The text with its comments blanked out, every byte of it where it was.
fn without_comments(text: &str) -> String {
    let lines = text.split_inclusive('\n');
    let blanked = lines.map(|line| match is_comment(line) {
        true => line
            .bytes()
            .map(|byte| {
                if matches!(byte, b'\n' | b'\r') {
                    byte
                } else {
                    b' '
                }
            })
            .map(char::from)
            .collect(),
        false => line.to_owned(),
    });
    blanked.collect()
}

/// What stands between the fields: what the first line that says anything has of a comma, a semicolon or a tab.
fn separator(text: &str) -> u8 {
    let first = text.lines().find(|line| !line.trim().is_empty());
    let has = |separator: &&u8| first.is_some_and(|line| line.as_bytes().contains(separator));
    *b",;\t".iter().find(has).unwrap_or(&b',')
}

/// Reads a table: between fields there are commas, or else semicolons or tabs, as in its first line; lines that
/// begin with `# ` are comments. Rows that do not fit are reported and left out. `None` if there is no table at
/// all, which is reported as well.
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
    let text = without_comments(&sources.file(file).text);
    let text = text.as_str();
    let separator = separator(text);
    let mut reader = csv::ReaderBuilder::new()
        .has_headers(false)
        .flexible(true)
        .trim(csv::Trim::All)
        .delimiter(separator)
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
        if record.len() == 1 && record.get(0) == Some("") {
            continue; // A blank line, or one that was a comment.
        }
        let row = place_fields_from(text, line_at(text, file, start), &record);
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
            let fields_words = if found == 1 { "field" } else { "fields" };
            let message =
                format!("the row has {found} {fields_words}, and the table {wanted} columns");
            let problem = Diagnostic::error(ids::FILE_BAD_ROW, row.span, message);
            problems.push(match help(fields.first(), separator, wanted) {
                Some(help) => problem.help(help),
                None => problem,
            });
        }
    }
    if table.columns.is_empty() {
        let message = format!("`{}` has no row with the names of columns", path.display());
        problems.push(Diagnostic::general(ids::FILE_BAD_ROW, message));
        return None;
    }
    Some(table)
}

/// What may be meant by a row that has not as many fields as the table.
fn help(first: Option<&PlacedText>, separator: u8, wanted: usize) -> Option<String> {
    let first = first?;
    if first.text.starts_with('#') {
        return Some("a comment begins with `#` and a blank".to_owned());
    }
    let name = |separator: u8| match separator {
        b'\t' => "tabs",
        b';' => "semicolons",
        _ => "commas",
    };
    let others = b",;\t".iter().filter(|other| **other != separator);
    let mut meant = others.filter(|other| {
        let found = first.text.bytes().filter(|byte| byte == *other).count();
        found + 1 == wanted && wanted > 1
    });
    let meant = name(*meant.next()?);
    let here = name(separator);
    Some(format!(
        "the first line has {here} between its columns, and this row {meant}"
    ))
}
