//! Collects problems, each only once.

use std::collections::HashSet;

use super::names::ScopeId;
use crate::diagnostic::{Diagnostic, Severity};
use crate::source::Span;
use crate::suggest::did_you_mean;
use crate::text::Entries;

/// So many suggestions are worked out; beyond, a file is too broken for them to be worth the time.
const MOST_SUGGESTIONS: usize = 200;

/// What is wrong so far.
#[derive(Default)]
pub(super) struct Problems {
    list: Vec<Diagnostic>,
    reported: HashSet<(&'static str, Span)>,
    suggestions: usize,
    /// For each scope, the scope in which its module is used and where that is written.
    trail: Vec<Option<(ScopeId, Span)>>,
    /// The scope that is being worked on.
    scope: ScopeId,
}

impl Problems {
    /// Starts with problems that are known already.
    pub(super) fn new(list: Vec<Diagnostic>) -> Self {
        Self {
            list,
            ..Self::default()
        }
    }

    /// Reports a problem, unless the same is reported already of the same text: what is wrong in a
    /// module is wrong in each of its instances.
    pub(super) fn report(&mut self, problem: Diagnostic) {
        if problem
            .primary()
            .is_none_or(|span| self.reported.insert((problem.id, span)))
        {
            let problem = self.with_uses(problem);
            self.list.push(problem);
        }
    }

    /// Whether any of them keeps the scenario from being run.
    pub(super) fn has_errors(&self) -> bool {
        let mut all = self.list.iter();
        all.any(|problem| problem.severity == Severity::Error)
    }

    /// How many there are.
    pub(super) fn count(&self) -> usize {
        self.list.len()
    }

    /// The scopes around one, by number, from the outermost, with its own; empty for the top layout.
    pub(super) fn around(&self, scope: ScopeId) -> Vec<u32> {
        let mut around = Vec::new();
        let mut here = scope;
        while let Some(Some((within, _))) = self.trail.get(here.index()) {
            around.push(here.0);
            here = *within;
        }
        around.reverse();
        around
    }

    /// Notes where the module of the next scope is used; none for the top layout.
    pub(super) fn add_scope(&mut self, used_at: Option<(ScopeId, Span)>) {
        self.trail.push(used_at);
    }

    /// Forgets all scopes from this number on.
    pub(super) fn forget_scopes(&mut self, from: usize) {
        self.trail.truncate(from);
    }

    /// Says which scope is being worked on. Gives back which one was.
    pub(super) fn enter(&mut self, scope: ScopeId) -> ScopeId {
        std::mem::replace(&mut self.scope, scope)
    }

    /// Marks in a problem the uses that brought it in from another file.
    fn with_uses(&self, mut problem: Diagnostic) -> Diagnostic {
        let Some(primary) = problem.primary() else {
            return problem;
        };
        let mut file = primary.file;
        let mut scope = self.scope;
        while let Some(Some((within, span))) = self.trail.get(scope.index()) {
            if span.file != file {
                problem = problem.context(*span, "used here");
                file = span.file;
            }
            scope = *within;
        }
        problem
    }

    /// Reports that a name is unknown, with a suggestion from the names that are known, before any help
    /// that the problem has.
    pub(super) fn report_unknown<'c>(
        &mut self,
        problem: Diagnostic,
        written: &str,
        candidates: impl IntoIterator<Item = &'c str>,
    ) {
        let reported = problem
            .primary()
            .is_some_and(|span| self.reported.contains(&(problem.id, span)));
        if reported {
            return;
        }
        self.suggestions += 1;
        let help = if self.suggestions <= MOST_SUGGESTIONS {
            did_you_mean(written, candidates)
        } else {
            None
        };
        let help = match (help, &problem.help) {
            (Some(near), Some(more)) => Some(format!("{near} {more}")),
            (near, more) => near.or_else(|| more.clone()),
        };
        self.report(problem.help(help));
    }

    /// Reports that a name is not in a map, unless the map could not be read as a whole.
    pub(super) fn report_not_in<T>(&mut self, problem: Diagnostic, name: &str, map: &Entries<T>) {
        if map.is_whole {
            self.report_unknown(problem, name, map.names());
        }
    }

    /// All that was reported.
    pub(super) fn into_list(self) -> Vec<Diagnostic> {
        self.list
    }
}
