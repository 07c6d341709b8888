//! Names of parts: paths such as `slice.eye`, `row[3].eye`, `row[*].store`.

use std::borrow::Cow;

use hallwright_core::id::PartId;

use super::Resolver;
use super::evaluate::Value;
use super::sort::{self, Expected};
use crate::diagnostic::Diagnostic;
use crate::document::{Expression, RowDocument};
use crate::ids;
use crate::source::Span;
use hallwright_declared::space::{Axes, Block};

/// So many times the limit of parts may parts be named in all: `[*]` stands for many at once.
const NAMES_A_PART: usize = 8;

/// So many names are always allowed.
const LEAST_NAMES: usize = 100_000;

/// A layout in use: the top layout, or one instance of a module.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default, Debug)]
pub(super) struct ScopeId(pub(super) u32);

impl ScopeId {
    /// The top layout.
    pub(super) const TOP: Self = Self(0);

    /// Its place in the list of scopes.
    pub(super) fn index(self) -> usize {
        self.0 as usize
    }
}

/// What is known of one layout in use.
pub(super) struct Scope<'d> {
    /// What stands before the names of its parts, such as `row[3].`.
    pub(super) prefix: String,
    /// Its layout.
    pub(super) layout: usize,
    /// The number of the instance in its row, or 0.
    pub(super) index: i64,
    /// The values of its parameters, in their order; `None` where that could not be said.
    pub(super) parameters: Vec<Option<Value>>,
    /// Its parts, signals and uses, in their order.
    pub(super) members: Vec<Member<'d>>,
    /// Where it stands.
    pub(super) origin: Block,
    /// How it is turned.
    pub(super) axes: Axes,
    /// Whether its width is part of that of a scope around it.
    pub(super) is_measured: bool,
}

/// What a name inside a layout stands for.
pub(super) enum Member<'d> {
    /// A part.
    Part(PartId),
    /// Something that could not be understood, which is reported.
    Broken,
    /// Something whose condition does not hold.
    Absent,
    /// A module used once.
    One(ScopeId),
    /// A module used in a row.
    Row(&'d RowDocument, Vec<ScopeId>),
}

/// Why a path leads nowhere; `None` if that has been reported already.
pub(super) type Failure = Option<Box<Unresolved>>;

/// A path that leads nowhere.
pub(super) struct Unresolved {
    id: &'static str,
    message: String,
    help: Option<String>,
    /// The name that was not found, and where it was looked for.
    looked_for: Option<(String, ScopeId)>,
}

/// A failure with a hint that is no suggestion.
fn failure(id: &'static str, message: String, help: Option<String>) -> Failure {
    Some(Box::new(Unresolved {
        id,
        message,
        help,
        looked_for: None,
    }))
}

/// One step of a path: its name, what stands in its brackets, and the path behind it.
pub(super) fn first_step(path: &str) -> (&str, Option<&str>, Option<&str>) {
    let (step, rest) = match path.split_once('.') {
        Some((step, rest)) => (step, Some(rest)),
        None => (path, None),
    };
    match step.strip_suffix(']').and_then(|open| open.split_once('[')) {
        Some((name, number)) => (name, Some(number), rest),
        None => (step, None, rest),
    }
}

/// How many times parts may be named in all, if there may be so many parts.
pub(super) fn most_names(part_limit: usize) -> usize {
    part_limit.saturating_mul(NAMES_A_PART).max(LEAST_NAMES)
}

impl<'d> Resolver<'d> {
    /// The part that an expression names. Reports if there is not exactly one.
    pub(super) fn part_named(&mut self, scope: ScopeId, name: &'d Expression) -> Option<PartId> {
        let (path, written_in) = self.name(scope, name)?;
        self.part_at(&path, written_in, name.span)
    }

    /// The part that a path leads to.
    pub(super) fn part_at(&mut self, path: &str, scope: ScopeId, span: Span) -> Option<PartId> {
        if path.contains("[*]") {
            let message = format!("`{path}` names several parts, and one is needed here");
            self.problems
                .report(Diagnostic::error(ids::NOT_ONE_PART, span, message));
            return None;
        }
        let mut found = std::mem::take(&mut self.spare_list);
        self.add_parts_at(path, scope, span, &mut found);
        let first = found.first().copied();
        found.clear();
        self.spare_list = found;
        first
    }

    /// All parts that a list of names leads to, each fit for its place.
    pub(super) fn parts_named(
        &mut self,
        scope: ScopeId,
        list: Option<&'d Expression>,
        expected: &Expected,
    ) -> Vec<PartId> {
        let Some(list) = list else { return Vec::new() };
        let mut parts = Vec::new();
        for (path, written_in, span) in self.names(scope, list) {
            for part in self.parts_at(&path, written_in, span) {
                if self.fits(part, expected, &path, span) {
                    parts.push(part);
                }
            }
        }
        parts
    }

    /// The part that an expression names, if it is fit for its place.
    pub(super) fn fitting_part(
        &mut self,
        scope: ScopeId,
        name: &'d Expression,
        expected: &Expected,
    ) -> Option<PartId> {
        let part = self.part_named(scope, name)?;
        let (path, _): (Cow<'d, str>, _) = self.name(scope, name)?;
        self.fits(part, expected, &path, name.span).then_some(part)
    }

    /// Whether a part is fit for a place. Reports if it is not.
    pub(super) fn fits(
        &mut self,
        part: PartId,
        expected: &Expected,
        path: &str,
        span: Span,
    ) -> bool {
        let record = &self.parts[part.index()];
        let fits = (expected.fits)(record.part);
        if !fits {
            let message = format!(
                "`{path}` is {}, not {}",
                sort::in_words(record.part),
                expected.words
            );
            let problem = Diagnostic::error(ids::WRONG_PART, span, message);
            self.problems
                .report(problem.context(record.name.span, "declared here"));
        }
        fits
    }

    /// The parts that a path leads to; none if it leads nowhere, which is reported.
    pub(super) fn parts_at(&mut self, path: &str, scope: ScopeId, span: Span) -> Vec<PartId> {
        let mut found = Vec::new();
        self.add_parts_at(path, scope, span, &mut found);
        found
    }

    /// Adds the parts that a path leads to, to none so far.
    fn add_parts_at(&mut self, path: &str, scope: ScopeId, span: Span, found: &mut Vec<PartId>) {
        if self.names_found > self.most_names {
            return;
        }
        match self.walk(scope, path, false, found) {
            Ok(()) => {
                self.names_found += found.len().max(1);
                if self.names_found > self.most_names {
                    let message = format!(
                        "with `{path}` more than {} parts are named in all",
                        self.most_names
                    );
                    self.problems
                        .report(Diagnostic::error(ids::TOO_MANY_NAMES, span, message));
                }
            }
            Err(failure) => {
                self.report_failure(failure, scope, span);
                found.clear();
            }
        }
    }

    /// Reports that a path that is written in a scope leads nowhere.
    pub(super) fn report_failure(&mut self, failure: Failure, written_in: ScopeId, span: Span) {
        if let Some(unresolved) = failure {
            self.report_unresolved(*unresolved, written_in, span);
        }
    }

    fn report_unresolved(&mut self, unresolved: Unresolved, written_in: ScopeId, span: Span) {
        let problem =
            Diagnostic::error(unresolved.id, span, unresolved.message).help(unresolved.help);
        let Some((name, scope)) = unresolved.looked_for else {
            self.problems.report(problem);
            return;
        };
        if scope == written_in
            && let Some(help) = self.forgotten_dollar(scope, &name)
        {
            self.problems.report(problem.help(help));
            return;
        }
        let layout = self.layouts.get(self.scopes[scope.index()].layout);
        if !(layout.body.is_whole() && layout.port_list.is_whole) {
            return; // It may be among the names that could not be read.
        }
        let members = super::layouts::Layout::member_names(layout.body);
        let candidates = members
            .map(|name| name.text.as_str())
            .chain(layout.port_list.names());
        let problem = match scope == written_in {
            true => problem,
            false => problem.help(layout.ports_in_words()),
        };
        self.problems.report_unknown(problem, &name, candidates);
    }

    /// What to do about a name that is that of a parameter, but lacks the `$` of one.
    pub(super) fn forgotten_dollar(&self, scope: ScopeId, name: &str) -> Option<String> {
        let layout = self.layouts.get(self.scopes[scope.index()].layout);
        let is_parameter = layout.parameters.get(name).is_some();
        is_parameter.then(|| format!("`{name}` is a parameter: write `\"${name}\"`"))
    }

    /// Follows a path. `outside` says that it comes from outside the scope, where ports count.
    fn walk(
        &self,
        scope: ScopeId,
        path: &str,
        outside: bool,
        found: &mut Vec<PartId>,
    ) -> Result<(), Failure> {
        let known = &self.scopes[scope.index()];
        let layout = self.layouts.get(known.layout);
        let whole = layout.is_flat.then(|| layout.members.get(path)).flatten();
        let (name, number, rest) = match whole {
            Some(_) => (path, None, None),
            None => first_step(path),
        };
        if outside && let Some(target) = layout.ports.get(name) {
            // A port stands for a path inside; what is written behind it goes on from there.
            return match (number, rest) {
                (None, None) => self.walk(scope, &target.text, false, found),
                _ => {
                    let path = &path[name.len()..];
                    self.walk(scope, &format!("{}{path}", target.text), false, found)
                }
            };
        }
        let at = whole.or_else(|| layout.members.get(name));
        let Some(member) = at.and_then(|at| known.members.get(*at)) else {
            let place = known.prefix.strip_suffix('.');
            return Err(Some(Box::new(Unresolved {
                id: ids::UNKNOWN_PART,
                message: match place {
                    None => format!("no part is named `{name}`"),
                    Some(place) => format!("no part is named `{name}` in `{place}`"),
                },
                help: None,
                looked_for: Some((name.to_owned(), scope)),
            })));
        };
        match member {
            Member::Broken => Err(None),
            Member::Part(part) if number.is_none() && rest.is_none() => {
                found.push(*part);
                Ok(())
            }
            Member::Part(_) => Err(failure(
                ids::UNKNOWN_PART,
                format!("`{name}` is a part, and has nothing inside"),
                None,
            )),
            Member::Absent => Err(failure(
                ids::UNKNOWN_PART,
                format!("`{name}` is not there: its condition does not hold"),
                Some("give whatever refers to it the same `when`".to_owned()),
            )),
            Member::One(inner) if number.is_none() => match rest {
                Some(rest) => self.walk(*inner, rest, true, found),
                None => Err(not_one_part(name, "a module", &format!("`{name}.…`"))),
            },
            Member::One(_) => Err(failure(
                ids::NOT_IN_ROW,
                format!("`{name}` is used once, and has no numbers"),
                Some(format!("leave the brackets out: `{name}.…`")),
            )),
            Member::Row(row, scopes) => self.walk_row(name, row, scopes, (number, rest), found),
        }
    }

    /// Follows a path into a row.
    fn walk_row(
        &self,
        name: &str,
        row: &RowDocument,
        scopes: &[ScopeId],
        (number, rest): (Option<&str>, Option<&str>),
        found: &mut Vec<PartId>,
    ) -> Result<(), Failure> {
        let Some(rest) = rest else {
            let parts = format!("`{name}[0].…`, or `{name}[*].…` in a list");
            return Err(not_one_part(name, "a row of modules", &parts));
        };
        let chosen = match number {
            Some("*") => {
                for scope in scopes {
                    self.walk_wildcard(*scope, rest, found)?;
                }
                return Ok(());
            }
            Some("first") => scopes.first(),
            Some("last") => scopes.last(),
            Some(number) => number
                .parse()
                .ok()
                .and_then(|number: usize| scopes.get(number)),
            None => match self.chain_end(row, scopes, first_step(rest).0) {
                Some(end) => scopes.get(end),
                None => {
                    return Err(failure(
                        ids::NOT_ONE_PART,
                        format!("`{name}` is a row of {} modules: say which", scopes.len()),
                        Some(format!(
                            "write `{name}[0].{rest}`, `{name}[last].{rest}`, or `{name}[*].{rest}` in a list"
                        )),
                    ));
                }
            },
        };
        match chosen {
            Some(scope) => self.walk(*scope, rest, true, found),
            None => Err(not_in_row(name, scopes.len(), number.unwrap_or("first"))),
        }
    }

    /// Follows a path into one of all instances: what is not there in one is left out.
    fn walk_wildcard(
        &self,
        scope: ScopeId,
        rest: &str,
        found: &mut Vec<PartId>,
    ) -> Result<(), Failure> {
        let (name, ..) = first_step(rest);
        let known = &self.scopes[scope.index()];
        let layout = self.layouts.get(known.layout);
        let inner = layout
            .ports
            .get(name)
            .map_or(name, |target| first_step(&target.text).0);
        let member = layout
            .members
            .get(inner)
            .and_then(|at| known.members.get(*at));
        if matches!(member, Some(Member::Absent)) {
            return Ok(());
        }
        self.walk(scope, rest, true, found)
    }

    /// Which instance a port of the row as a whole belongs to: the first for the inlets of its
    /// chain, the last for the outlets. A row of one has no choice.
    fn chain_end(&self, row: &RowDocument, scopes: &[ScopeId], port: &str) -> Option<usize> {
        let last = scopes.len().saturating_sub(1);
        if scopes.len() <= 1 {
            return Some(0);
        }
        let is_outlet = |(outlet, _): &(&str, &str)| *outlet == port;
        let is_inlet = |(_, inlet): &(&str, &str)| *inlet == port;
        let chain = self.chain(row);
        if chain.iter().any(is_outlet) {
            Some(last)
        } else if chain.iter().any(is_inlet) {
            Some(0)
        } else {
            None
        }
    }
}

/// A row of so many modules has none of this number.
pub(super) fn not_in_row(name: &str, modules: usize, number: &str) -> Failure {
    failure(
        ids::NOT_IN_ROW,
        format!("`{name}` is a row of {modules} modules, and none is `[{number}]`"),
        Some("modules are numbered from 0; `first`, `last` and `*` are known too".to_owned()),
    )
}

fn not_one_part(name: &str, what: &str, parts: &str) -> Failure {
    failure(
        ids::NOT_ONE_PART,
        format!("`{name}` is {what}, not a part"),
        Some(format!("name one of its ports or parts: {parts}")),
    )
}
