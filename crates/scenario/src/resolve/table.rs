//! Tables in CSV files, with the place of every field.

use std::ops::ControlFlow;
use std::path::PathBuf;
use std::rc::Rc;

use super::Resolver;
use crate::diagnostic::Diagnostic;
use crate::ids;
use crate::source::{FileId, Span};
use crate::text::Name;

/// So many columns a table may have.
const MOST_COLUMNS: usize = 256;

/// So many rows a table of modules may have.
const MOST_ROWS: usize = 100_000;

/// One row, with the place of each field.
pub(crate) struct TableRow<'t> {
    /// The fields, without blanks around them.
    pub(crate) fields: Vec<(&'t str, Span)>,
    /// The whole row.
    pub(crate) span: Span,
}

/// A table that is kept: a row of names, and the rows below it.
pub(super) struct Table {
    /// The names of the columns.
    pub(super) columns: Vec<(String, Span)>,
    /// The rows, each with as many fields as there are columns.
    pub(super) rows: Vec<Vec<(String, Span)>>,
}

impl Table {
    /// The number of the column of this name.
    pub(super) fn column(&self, name: &str) -> Option<usize> {
        self.columns.iter().position(|(column, _)| column == name)
    }

    /// The rows that have a text in a column, without that column.
    pub(super) fn only(&self, number: usize, text: &str) -> Self {
        let without = |fields: &Vec<(String, Span)>| {
            let mut fields = fields.clone();
            fields.remove(number);
            fields
        };
        let rows = self.rows.iter().filter(|row| row[number].0 == text);
        Self {
            columns: without(&self.columns),
            rows: rows.map(without).collect(),
        }
    }

    /// What a row has in the column of a name; `None` if there is no such column or it is empty.
    pub(super) fn field(&self, row: usize, column: &str) -> Option<&(String, Span)> {
        let number = self.column(column)?;
        let field = self.rows.get(row)?.get(number)?;
        Some(field).filter(|(text, _)| !text.is_empty())
    }
}

impl Resolver<'_> {
    /// Reads the text of a table. Reports if that cannot be done.
    pub(super) fn table_text(&mut self, path: &Name) -> Option<(FileId, String)> {
        let location = self.table_path(path);
        match self.sources.read_named(&location, path.span) {
            Ok(text) => Some((self.sources.add(&location, text.clone()), text)),
            Err(problem) => {
                self.problems.report(*problem);
                None
            }
        }
    }

    fn table_path(&self, path: &Name) -> PathBuf {
        self.sources.beside(path.span.file, &path.text)
    }

    /// Reports what is wrong with a row.
    pub(super) fn report_row(&mut self, span: Span, message: String, help: Option<String>) {
        self.problems
            .report(Diagnostic::error(ids::FILE_BAD_ROW, span, message).help(help));
    }

    /// Hands over every row of a table, from the first, until one breaks off or cannot be read.
    pub(super) fn each_row(
        &mut self,
        (file, text): &(FileId, String),
        mut take: impl FnMut(&mut Self, &TableRow<'_>) -> ControlFlow<()>,
    ) {
        let mut reader = csv::ReaderBuilder::new()
            .has_headers(false)
            .flexible(true)
            .trim(csv::Trim::All)
            .comment(Some(b'#'))
            .from_reader(text.as_bytes());
        for record in reader.records() {
            let record = match record {
                Ok(record) => record,
                Err(error) => {
                    let start = error.position().map_or(0, csv::Position::byte);
                    let span = line_at(text, *file, start);
                    self.report_row(span, format!("this is no row of a table: {error}"), None);
                    return;
                }
            };
            let start = record.position().map_or(0, csv::Position::byte);
            if record.len() > MOST_COLUMNS {
                let span = line_at(text, *file, start);
                let message = format!("a table has at most {MOST_COLUMNS} columns");
                self.report_row(span, message, None);
                return;
            }
            if take(self, &place_fields(text, *file, start, &record)).is_break() {
                return;
            }
        }
    }

    /// A whole table, read once however often it is used. `None` if something is wrong with it.
    pub(super) fn table(&mut self, path: &Name) -> Option<Rc<Table>> {
        let location = self.table_path(path);
        if let Some(known) = self.tables.get(&location) {
            return known.clone();
        }
        let table = self.read_table(path).map(Rc::new);
        self.tables.insert(location, table.clone());
        table
    }

    fn read_table(&mut self, path: &Name) -> Option<Table> {
        let text = self.table_text(path)?;
        let mut table = Table {
            columns: Vec::new(),
            rows: Vec::new(),
        };
        let reported = self.problems.count();
        self.each_row(&text, |resolver, row| {
            let fields = row.fields.iter();
            let fields: Vec<(String, Span)> = fields
                .map(|(field, span)| ((*field).to_owned(), *span))
                .collect();
            if table.columns.is_empty() {
                resolver.check_columns(row);
                table.columns = fields;
            } else if fields.len() == table.columns.len() {
                table.rows.push(fields);
            } else {
                let (found, wanted) = (fields.len(), table.columns.len());
                let message = format!("the row has {found} fields, and the table {wanted} columns");
                resolver.report_row(row.span, message, None);
            }
            if table.rows.len() > MOST_ROWS {
                let message = format!("a table of modules has at most {MOST_ROWS} rows");
                resolver.report_row(row.span, message, None);
                return ControlFlow::Break(());
            }
            ControlFlow::Continue(())
        });
        Some(table).filter(|_| self.problems.count() == reported)
    }

    /// Reports of columns of one name.
    pub(super) fn check_columns(&mut self, row: &TableRow<'_>) {
        for (number, (name, span)) in row.fields.iter().enumerate() {
            let mut earlier = row.fields[..number].iter();
            if earlier.any(|(earlier, _)| earlier == name) {
                self.report_row(*span, format!("there are two columns `{name}`"), None);
            }
        }
    }
}

/// The line that begins at a byte, or the next one if that is a blank.
pub(crate) fn line_at(text: &str, file: FileId, start: u64) -> Span {
    let start = usize::try_from(start).unwrap_or(0).min(text.len());
    let ahead = text.get(start..).unwrap_or("");
    let start = start + (ahead.len() - ahead.trim_start().len());
    let length = text
        .get(start..)
        .and_then(|line| line.lines().next())
        .map_or(0, str::len);
    Span {
        file,
        start: u32::try_from(start).unwrap_or(u32::MAX),
        end: u32::try_from(start + length).unwrap_or(u32::MAX),
    }
}

/// Finds where each field of a row stands: the fields follow one another in the text.
pub(crate) fn place_fields<'r>(
    text: &str,
    file: FileId,
    start: u64,
    record: &'r csv::StringRecord,
) -> TableRow<'r> {
    let mut start = start;
    let mut span = line_at(text, file, start);
    // Comments stand before the row that they belong to.
    while text
        .get(span.start as usize..)
        .is_some_and(|line| line.starts_with('#'))
    {
        start = u64::from(span.end);
        span = line_at(text, file, start);
    }
    place_fields_from(text, span, record)
}

/// The same of a row that begins here, whatever it begins with.
pub(crate) fn place_fields_from<'r>(
    text: &str,
    span: Span,
    record: &'r csv::StringRecord,
) -> TableRow<'r> {
    let file = span.file;
    let mut from = span.start as usize;
    let fields = record
        .iter()
        .map(|field| {
            let found = text.get(from..).and_then(|ahead| ahead.find(field));
            let place = match found {
                Some(offset) if !field.is_empty() => {
                    let start = from + offset;
                    from = start + field.len();
                    Span {
                        file,
                        start: u32::try_from(start).unwrap_or(u32::MAX),
                        end: u32::try_from(from).unwrap_or(u32::MAX),
                    }
                }
                _ => span,
            };
            // The separator behind it is passed, so that an equal text in it is not found again.
            from = text
                .get(from..)
                .and_then(|ahead| ahead.find([',', ';', '\t', '\n']))
                .map_or(from, |at| from + at);
            (field, place)
        })
        .collect();
    TableRow { fields, span }
}
