//! Arrivals from a CSV file: the columns `tick` or `time`, `place`, `kind` and `count`.

use hallwright_core::tick::Tick;
use hallwright_core::timeline::Action;

use super::Resolver;
use super::arrivals::Delivery;
use super::fillings::ItemValue;
use super::names::ScopeId;
use super::sort::DELIVERABLE;
use super::time::LONGEST_TICKS;
use crate::diagnostic::Diagnostic;
use crate::document::FromFileDocument;
use crate::ids;
use crate::read::read_text;
use crate::source::{FileId, Sources, Span};
use crate::suggest::did_you_mean_one_of;

/// The columns that there may be.
const COLUMNS: [&str; 5] = ["tick", "time", "place", "kind", "count"];

/// Which field of a row holds what.
struct Columns {
    tick: Option<usize>,
    time: Option<usize>,
    place: usize,
    kind: usize,
    count: Option<usize>,
}

/// One row, with the place of each field.
struct Row<'t> {
    fields: Vec<(&'t str, Span)>,
    span: Span,
}

impl Resolver<'_> {
    /// Reads the arrivals of a file.
    pub(super) fn listed_in_file(
        &mut self,
        arrival: &FromFileDocument,
        sources: &mut Sources,
        entries: &mut Vec<(Tick, Action)>,
    ) {
        let path = sources.beside(arrival.path.span.file, &arrival.path.text);
        let text = match read_text(&path) {
            Ok(text) => text,
            Err(problem) => {
                let (id, message) = problem;
                self.problems
                    .tell(Diagnostic::error(id, arrival.path.span, message));
                return;
            }
        };
        let file = sources.add(&path, text.clone());
        let mut reader = csv::ReaderBuilder::new()
            .has_headers(false)
            .flexible(true)
            .trim(csv::Trim::All)
            .comment(Some(b'#'))
            .from_reader(text.as_bytes());
        let mut columns = None;
        for record in reader.records() {
            let record = match record {
                Ok(record) => record,
                Err(error) => {
                    let start = error.position().map_or(0, csv::Position::byte);
                    let span = line_at(&text, file, start);
                    self.tell_row(span, format!("this is no row of a table: {error}"), None);
                    return;
                }
            };
            let start = record.position().map_or(0, csv::Position::byte);
            let row = place_fields(&text, file, start, &record);
            match &columns {
                None => match self.columns(&row) {
                    Some(found) => columns = Some(found),
                    None => return,
                },
                Some(columns) => entries.extend(self.row(columns, &row)),
            }
        }
    }

    fn tell_row(&mut self, span: Span, message: String, help: Option<String>) {
        self.problems
            .tell(Diagnostic::error(ids::FILE_BAD_ROW, span, message).help(help));
    }

    /// Which column is which, as the first row says.
    fn columns(&mut self, row: &Row<'_>) -> Option<Columns> {
        let mut is_sound = true;
        for (number, (name, span)) in row.fields.iter().enumerate() {
            let is_known = COLUMNS.contains(name);
            let is_first = row.fields[..number]
                .iter()
                .all(|(earlier, _)| earlier != name);
            if !is_known {
                let help = did_you_mean_one_of(name, &COLUMNS);
                self.tell_row(*span, format!("there is no column `{name}`"), help);
            } else if !is_first {
                self.tell_row(*span, format!("there are two columns `{name}`"), None);
            }
            is_sound &= is_known && is_first;
        }
        let find = |name: &str| row.fields.iter().position(|(field, _)| *field == name);
        let (tick, time) = (find("tick"), find("time"));
        let (place, kind) = (find("place"), find("kind"));
        if tick.is_some() == time.is_some() {
            let message = "a table of arrivals has either a column `tick` or a column `time`";
            self.tell_row(row.span, message.to_owned(), None);
            is_sound = false;
        }
        for (name, column) in [("place", place), ("kind", kind)] {
            if column.is_none() {
                let message = format!("the column `{name}` is missing");
                self.tell_row(row.span, message, None);
                is_sound = false;
            }
        }
        Some(Columns {
            tick,
            time,
            place: place?,
            kind: kind?,
            count: find("count"),
        })
        .filter(|_| is_sound)
    }

    /// What one row says.
    fn row(&mut self, columns: &Columns, row: &Row<'_>) -> Option<(Tick, Action)> {
        let field = |column: usize| {
            row.fields
                .get(column)
                .copied()
                .filter(|(text, _)| !text.is_empty())
        };
        let at = match (columns.tick.and_then(field), columns.time.and_then(field)) {
            (Some((text, span)), _) => {
                let tick: Option<u64> = text.parse().ok();
                let tick = tick.filter(|tick| *tick <= LONGEST_TICKS.cast_unsigned());
                if tick.is_none() {
                    self.tell_row(span, format!("`{text}` is no tick"), None);
                }
                tick
            }
            (None, Some((text, span))) => {
                let ticks = self.time(text, span);
                let at = ticks.and_then(|ticks| u64::try_from(ticks).ok());
                if ticks.is_some() && at.is_none() {
                    self.tell_row(span, "a time cannot be negative here".to_owned(), None);
                }
                at
            }
            (None, None) => {
                self.tell_row(row.span, "the row does not say when".to_owned(), None);
                None
            }
        };
        let (Some((place, place_span)), Some((kind, kind_span))) =
            (field(columns.place), field(columns.kind))
        else {
            self.tell_row(row.span, "the row lacks its place or kind".to_owned(), None);
            return None;
        };
        let part = self.part_at(place, ScopeId::TOP, place_span);
        let part = part.filter(|part| self.fits(*part, &DELIVERABLE, place, place_span));
        let kind = self.kind_named(kind, kind_span);
        let count = match columns.count.and_then(field) {
            None => Some(1),
            Some((text, span)) => {
                let count: Option<u32> = text.parse().ok().filter(|count| *count > 0);
                if count.is_none() {
                    self.tell_row(span, format!("`{text}` is no count of at least 1"), None);
                }
                count
            }
        };
        let delivery = Delivery {
            place: part?,
            item: ItemValue {
                kind: kind?,
                contents: Vec::new(),
            },
            count: count?,
        };
        Some((Tick(at?), delivery.action()))
    }
}

/// The line that begins at a byte, or the next one if that is a blank.
fn line_at(text: &str, file: FileId, start: u64) -> Span {
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
fn place_fields<'r>(
    text: &str,
    file: FileId,
    start: u64,
    record: &'r csv::StringRecord,
) -> Row<'r> {
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
            // The comma behind it is passed, so that an equal text in it is not found again.
            from = text
                .get(from..)
                .and_then(|ahead| ahead.find([',', '\n']))
                .map_or(from, |at| from + at);
            (field, place)
        })
        .collect();
    Row { fields, span }
}
