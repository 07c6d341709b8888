//! Arrivals from a CSV file: the columns `tick` or `time`, `place`, `kind`, `count` and
//! `full_of`.

use std::ops::ControlFlow;

use hallwright_core::tick::Tick;
use hallwright_core::timeline::{Action, Terms};

use super::Resolver;
use super::arrivals::Delivery;
use super::fillings::ItemValue;
use super::names::ScopeId;
use super::sort::DELIVERABLE;
use super::table::TableRow;
use super::time::LONGEST_TICKS;
use crate::document::FromFileDocument;
use crate::source::Span;
use crate::suggest::did_you_mean_one_of;

/// The columns that there may be.
const COLUMNS: [&str; 6] = ["tick", "time", "place", "kind", "count", "full_of"];

/// Which field of a row holds what.
struct Columns {
    tick: Option<usize>,
    time: Option<usize>,
    place: usize,
    kind: usize,
    count: Option<usize>,
    full_of: Option<usize>,
}

impl Resolver<'_> {
    /// Reads the arrivals of a file.
    pub(super) fn listed_in_file(
        &mut self,
        scope: ScopeId,
        arrival: &FromFileDocument,
        terms: Terms,
        entries: &mut Vec<(Tick, Action)>,
    ) {
        let Some(text) = self.table_text(&arrival.path) else {
            return;
        };
        let mut columns = None;
        self.each_row(&text, |resolver, row| {
            let Some(columns) = &columns else {
                columns = resolver.columns(row);
                return match columns {
                    Some(_) => ControlFlow::Continue(()),
                    None => ControlFlow::Break(()),
                };
            };
            if let Some(entry) = resolver.row(scope, terms, columns, row) {
                if !resolver.reserve_arrivals(1, &entry.1, row.span) {
                    return ControlFlow::Break(());
                }
                entries.push(entry);
            }
            ControlFlow::Continue(())
        });
    }

    /// Which column is which, as the first row says.
    fn columns(&mut self, row: &TableRow<'_>) -> Option<Columns> {
        let reported = self.problems.count();
        self.check_columns(row);
        let mut is_sound = self.problems.count() == reported;
        for (name, span) in &row.fields {
            if !COLUMNS.contains(name) {
                let help = did_you_mean_one_of(name, &COLUMNS);
                self.report_row(*span, format!("there is no column `{name}`"), help);
                is_sound = false;
            }
        }
        let find = |name: &str| row.fields.iter().position(|(field, _)| *field == name);
        let (tick, time) = (find("tick"), find("time"));
        let (place, kind) = (find("place"), find("kind"));
        if tick.is_some() == time.is_some() {
            let message = "a table of arrivals has either a column `tick` or a column `time`";
            self.report_row(row.span, message.to_owned(), None);
            is_sound = false;
        }
        for (name, column) in [("place", place), ("kind", kind)] {
            if column.is_none() {
                let message = format!("the column `{name}` is missing");
                self.report_row(row.span, message, None);
                is_sound = false;
            }
        }
        Some(Columns {
            tick,
            time,
            place: place?,
            kind: kind?,
            count: find("count"),
            full_of: find("full_of"),
        })
        .filter(|_| is_sound)
    }

    /// What one row says.
    fn row(
        &mut self,
        scope: ScopeId,
        terms: Terms,
        columns: &Columns,
        row: &TableRow<'_>,
    ) -> Option<(Tick, Action)> {
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
                    self.report_row(span, format!("`{text}` is no tick"), None);
                }
                tick
            }
            (None, Some((text, span))) => {
                let ticks = self.time(text, span);
                let at = ticks.and_then(|ticks| u64::try_from(ticks).ok());
                if ticks.is_some() && at.is_none() {
                    self.report_row(span, "a time cannot be negative here".to_owned(), None);
                }
                at
            }
            (None, None) => {
                self.report_row(row.span, "the row does not say when".to_owned(), None);
                None
            }
        };
        let (Some((place, place_span)), Some((kind, kind_span))) =
            (field(columns.place), field(columns.kind))
        else {
            self.report_row(row.span, "the row lacks its place or kind".to_owned(), None);
            return None;
        };
        let part = self.part_at(place, scope, place_span);
        let part = part.filter(|part| self.fits(*part, &DELIVERABLE, place, place_span));
        let item = self.row_item((kind, kind_span), columns.full_of.and_then(field));
        let count = match columns.count.and_then(field) {
            None => Some(1),
            Some((text, span)) => {
                let count: Option<u32> = text.parse().ok().filter(|count| *count > 0);
                if count.is_none() {
                    self.report_row(span, format!("`{text}` is no count of at least 1"), None);
                }
                count
            }
        };
        let delivery = Delivery {
            place: part?,
            item: item?,
            count: count?,
        };
        Some((Tick(at?), delivery.action(terms)))
    }

    /// An item of a row, and what it is full of if it is a box.
    fn row_item(&mut self, kind: (&str, Span), full_of: Option<(&str, Span)>) -> Option<ItemValue> {
        let kind_id = self.kind_named(kind.0, kind.1);
        let Some((goods, span)) = full_of else {
            return Some(ItemValue {
                kind: kind_id?,
                contents: Vec::new(),
            });
        };
        let goods = self.kind_named(goods, span)?;
        let contents = self.full_of_kind(goods, span);
        let kind = kind_id.filter(|id| self.is_box(*id, kind.1))?;
        Some(ItemValue {
            kind,
            contents: contents?,
        })
    }
}
