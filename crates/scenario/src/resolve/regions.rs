//! Regions, and what else stands for many parts at once: modules, whole or in a row.

use std::collections::HashMap;

use hallwright_core::id::PartId;
use hallwright_declared::declarations::Region;

use super::Resolver;
use super::layouts::{Layout, names_of, unique};
use super::names::{Failure, Member, ScopeId, first_step, not_in_row};
use crate::diagnostic::Diagnostic;
use crate::document::Expression;
use crate::ids;
use crate::source::Span;

/// The regions of a scenario, from near to far.
#[derive(Default)]
pub(super) struct Regions {
    list: Vec<Region>,
    /// Whether the names of all could be read.
    is_whole: bool,
}

impl Regions {
    /// All regions, in the order of the text.
    pub(super) fn all(&self) -> Vec<Region> {
        self.list.clone()
    }
}

impl<'d> Resolver<'d> {
    /// Every region: modules or parts that fall asleep together. A part is in one region at most.
    pub(super) fn find_regions(&mut self) {
        let document = self.document;
        let regions = &document.regions;
        self.regions.is_whole = regions.is_whole;
        unique(names_of(regions).into_iter(), "regions", &mut self.problems);
        let mut holders: HashMap<PartId, (String, Span)> = HashMap::new();
        let mut found = Vec::new();
        for entry in &regions.list {
            self.report_region_named_as_part(&entry.name.text, entry.name.span);
            let Some(list) = &entry.value else { continue };
            let known = self.problems.count();
            let parts = self.many_parts(list);
            if parts.is_empty() && self.problems.count() == known {
                let name = &entry.name.text;
                let message = format!("the region \"{name}\" names nothing");
                let help = "name its modules or parts: `\"near\": [\"quay\", \"line[*]\"]`";
                let problem = Diagnostic::error(ids::EMPTY_REGION, list.span, message);
                self.problems.report(problem.help(help.to_owned()));
            }
            self.note_region(&entry.name.text, &parts, list.span, &mut holders);
            found.push(Region {
                name: entry.name.text.clone(),
                parts,
            });
        }
        // Only now, so that no region is made of others.
        self.regions.list = found;
    }

    /// Reports of a region with the name of a part or module: a name would mean two things.
    fn report_region_named_as_part(&mut self, name: &str, span: Span) {
        let body = self.layouts.get(0).body;
        let mut members = Layout::member_names(body);
        let Some(member) = members.find(|member| member.text == name) else {
            return;
        };
        let message = format!("a part or module is named `{name}` as well");
        let problem = Diagnostic::error(ids::DUPLICATE_NAME, span, message);
        let problem = problem.context(member.span, "first named here");
        self.problems
            .report(problem.help("give the region another name".to_owned()));
    }

    /// Notes which region each part is in. Reports of a part that is in another one already: it could not
    /// fall asleep with both.
    fn note_region(
        &mut self,
        name: &str,
        parts: &[PartId],
        span: Span,
        holders: &mut HashMap<PartId, (String, Span)>,
    ) {
        for part in parts {
            let Some((other, at)) = holders.get(part) else {
                holders.insert(*part, (name.to_owned(), span));
                continue;
            };
            let part = self.full_name(*part);
            let message = format!("`{part}` is in two regions: \"{other}\" and \"{name}\"");
            let problem = Diagnostic::error(ids::PART_IN_TWO_REGIONS, span, message)
                .context(*at, "here it is in the other")
                .help("a part is in one region: leave it out of one of them".to_owned());
            self.problems.report(problem);
        }
    }

    /// All parts that a list stands for, in the order of declaration and each once: names of regions, of
    /// modules (all of their parts, those of modules in them too), and of parts.
    pub(super) fn many_parts(&mut self, list: &'d Expression) -> Vec<PartId> {
        let mut parts = Vec::new();
        for (path, scope, span) in self.names(ScopeId::TOP, list) {
            let mut regions = self.regions.list.iter();
            let region = regions.find(|region| scope == ScopeId::TOP && region.name == *path);
            if let Some(region) = region {
                parts.extend(&region.parts);
                continue;
            }
            match self.modules_at(scope, &path, false) {
                Ok(Some(modules)) => {
                    for module in modules {
                        self.collect_parts(module, &mut parts);
                    }
                }
                Ok(None) if self.is_unknown(scope, &path) => self.report_no_such(&path, span),
                Ok(None) => parts.extend(self.parts_at(&path, scope, span)),
                Err(failure) => self.report_failure(failure, scope, span),
            }
        }
        parts.sort_unstable();
        parts.dedup();
        parts
    }

    /// Whether the top layout knows nothing by the first name of a path.
    fn is_unknown(&self, scope: ScopeId, path: &str) -> bool {
        let layout = self.layouts.get(self.scopes[scope.index()].layout);
        let (name, ..) = first_step(path);
        scope == ScopeId::TOP
            && !layout.members.contains_key(name)
            && !layout.members.contains_key(path)
    }

    fn report_no_such(&mut self, path: &str, span: Span) {
        let layout = self.layouts.get(0);
        if !layout.body.is_whole() || !self.regions.is_whole {
            return; // It may be among the names that could not be read.
        }
        let message = format!("no region, module or part is named `{path}`");
        let problem = Diagnostic::error(ids::UNKNOWN_PART, span, message);
        let body = layout.body;
        let members = Layout::member_names(body).map(|name| name.text.as_str());
        let regions = self.document.regions.names();
        let candidates: Vec<&str> = regions.chain(members).collect();
        self.problems.report_unknown(problem, path, candidates);
    }

    /// The instances that a path leads to, whole; `None` if it leads to no module.
    pub(super) fn modules_at(
        &self,
        scope: ScopeId,
        path: &str,
        outside: bool,
    ) -> Result<Option<Vec<ScopeId>>, Failure> {
        let known = &self.scopes[scope.index()];
        let layout = self.layouts.get(known.layout);
        let (name, number, rest) = first_step(path);
        if layout.is_flat || (outside && layout.ports.contains_key(name)) {
            return Ok(None);
        }
        let member = layout.members.get(name);
        let modules = match member.and_then(|at| known.members.get(*at)) {
            Some(Member::One(inner)) if number.is_none() => vec![*inner],
            Some(Member::Row(_, scopes)) => match number {
                None if rest.is_some() => return Ok(None),
                None | Some("*") => scopes.clone(),
                Some("first") => scopes.first().copied().into_iter().collect(),
                Some("last") => scopes.last().copied().into_iter().collect(),
                Some(number) => {
                    let chosen = number.parse().ok();
                    let chosen = chosen.and_then(|number: usize| scopes.get(number));
                    vec![*chosen.ok_or_else(|| not_in_row(name, scopes.len(), number))?]
                }
            },
            Some(Member::Part(_) | Member::Broken | Member::Absent | Member::One(_)) | None => {
                return Ok(None);
            }
        };
        let Some(rest) = rest else {
            return Ok(Some(modules));
        };
        let mut inner = Vec::new();
        for module in modules {
            match self.modules_at(module, rest, true)? {
                Some(found) => inner.extend(found),
                None => return Ok(None),
            }
        }
        Ok(Some(inner))
    }

    /// All parts of an instance, and of those in it.
    pub(super) fn collect_parts(&self, scope: ScopeId, parts: &mut Vec<PartId>) {
        for member in &self.scopes[scope.index()].members {
            match member {
                Member::Part(part) => parts.push(*part),
                Member::One(inner) => self.collect_parts(*inner, parts),
                Member::Row(_, scopes) => {
                    for inner in scopes {
                        self.collect_parts(*inner, parts);
                    }
                }
                Member::Broken | Member::Absent => {}
            }
        }
    }
}
