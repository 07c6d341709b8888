//! The instances of a row: how many, and what is special to each.

use std::rc::Rc;

use super::Resolver;
use super::evaluate::Value;
use super::names::ScopeId;
use super::table::Table;
use crate::diagnostic::Diagnostic;
use crate::document::{EachDocument, EachFileDocument, Expression, RowDocument};
use crate::ids;
use crate::source::Span;
use crate::suggest::did_you_mean;
use crate::text::Entries;

/// What is special to one instance; nothing for a module used once.
#[derive(Clone, Default)]
pub(super) struct RowInstance<'d> {
    /// Its number in the row.
    pub(super) index: Option<i64>,
    /// What it is for.
    pub(super) each: Option<Value>,
    /// Parameters that the row lists for it.
    pub(super) listed: Option<&'d Entries<Expression>>,
    /// The row of a table that it is for.
    row: Option<(Rc<Table>, usize)>,
}

impl RowInstance<'_> {
    /// What its row of a table has for a parameter.
    pub(super) fn field(&self, parameter: &str) -> Option<&(String, Span)> {
        let (table, row) = self.row.as_ref()?;
        table.field(*row, parameter)
    }
}

/// The instances of a row.
pub(super) enum Instances<'d> {
    /// So many.
    Counted(u32),
    /// One for each value.
    Values(Rc<[Value]>),
    /// One for each entry.
    Listed(&'d [Entries<Expression>]),
    /// One for each row of a table.
    Table(Rc<Table>),
}

impl<'d> Instances<'d> {
    /// How many there are.
    pub(super) fn count(&self) -> u64 {
        match self {
            Self::Counted(count) => (*count).into(),
            Self::Values(values) => values.len() as u64,
            Self::Listed(entries) => entries.len() as u64,
            Self::Table(table) => table.rows.len() as u64,
        }
    }

    /// Whether their parameters differ, whatever the row itself says.
    pub(super) fn vary(&self) -> bool {
        matches!(self, Self::Listed(_) | Self::Table(_))
    }

    /// What is special to one.
    pub(super) fn turn(&self, index: u64) -> RowInstance<'d> {
        let mut turn = RowInstance {
            index: i64::try_from(index).ok(),
            ..RowInstance::default()
        };
        let at = usize::try_from(index).unwrap_or(usize::MAX);
        match self {
            Self::Counted(_) => {}
            Self::Values(values) => turn.each = values.get(at).cloned(),
            Self::Listed(entries) => turn.listed = entries.get(at),
            Self::Table(table) => turn.row = Some((Rc::clone(table), at)),
        }
        turn
    }
}

impl<'d> Resolver<'d> {
    /// The instances of a row. `None` if that cannot be said, which is reported.
    pub(super) fn instances(
        &mut self,
        scope: ScopeId,
        row: &'d RowDocument,
    ) -> Option<Instances<'d>> {
        Some(match (&row.count, &row.each) {
            (Some(count), None) => Instances::Counted(self.number_from(scope, count, 0)?),
            (None, Some(EachDocument::List(list))) => Instances::Values(self.list(scope, list)?),
            (None, Some(EachDocument::Listed(listed))) => Instances::Listed(&listed.entries),
            (None, Some(EachDocument::FromFile(file))) => Instances::Table(self.chosen(file)?),
            (count, _) => {
                let given = usize::from(count.is_some());
                self.report_one_of(row.head, "`count` and `each`", given);
                return None;
            }
        })
    }

    /// The rows of a table that a row is for: all, or only those with certain texts in certain
    /// columns, which are then no parameters of the module. `None` if that cannot be said.
    fn chosen(&mut self, file: &EachFileDocument) -> Option<Rc<Table>> {
        let mut table = self.table(&file.path)?;
        for entry in &file.only.list {
            let (column, Some(wanted)) = (&entry.name, &entry.value) else {
                return None;
            };
            let Some(number) = table.column(&column.text) else {
                let message = format!("the table has no column `{}`", column.text);
                let problem = Diagnostic::error(ids::WRONG_VALUE, column.span, message);
                let columns = table.columns.iter().map(|(name, _)| name.as_str());
                let help = did_you_mean(&column.text, columns);
                self.problems.report(problem.help(help));
                return None;
            };
            table = Rc::new(table.only(number, &wanted.text));
            if table.rows.is_empty() {
                let message = format!("no row has `{}` as its `{}`", wanted.text, column.text);
                self.problems
                    .report(Diagnostic::error(ids::WRONG_VALUE, wanted.span, message));
                return None;
            }
        }
        Some(table)
    }

    /// Checks the names of parameters that a row lists for its instances.
    pub(super) fn check_instances(
        &mut self,
        row: &'d RowDocument,
        instances: &Instances<'d>,
        module: usize,
    ) {
        match instances {
            Instances::Counted(_) | Instances::Values(_) => {}
            Instances::Listed(entries) => {
                for entry in *entries {
                    self.check_given_names(entry, module, "the module");
                    for name in entry.list.iter().map(|given| &given.name) {
                        self.check_given_once(row, &name.text, name.span);
                    }
                }
            }
            Instances::Table(table) => {
                for (name, span) in &table.columns {
                    let layout = self.layouts.get(module);
                    if !layout.parameter_numbers.contains_key(name.as_str()) {
                        let message = format!("the module has no parameter `{name}`");
                        let problem = Diagnostic::error(ids::UNKNOWN_PARAMETER, *span, message);
                        self.problems
                            .report_not_in(problem, name, layout.parameters);
                    }
                    self.check_given_once(row, name, *span);
                }
            }
        }
    }

    /// Reports if a parameter is given by the row as a whole as well.
    fn check_given_once(&mut self, row: &RowDocument, name: &str, span: Span) {
        if let Some(first) = row.with.get(name) {
            let message = format!("the parameter `{name}` is given twice");
            let problem = Diagnostic::error(ids::DUPLICATE_NAME, span, message);
            self.problems
                .report(problem.context(first.name.span, "given to all here"));
        }
    }
}
