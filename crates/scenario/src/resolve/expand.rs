//! From layouts and modules to parts: how many there will be, and their declaration.

use hallwright_core::id::PartId;
use hallwright_declared::space::Block;

use super::Resolver;
use super::names::{Member, ScopeId};
use super::positions::Frame;
use super::rows::RowInstance;
use crate::diagnostic::Diagnostic;
use crate::document::{
    Expression, OneDocument, PartDocument, Placed, RowDocument, SetDown, UseDocument,
};
use crate::ids;
use crate::source::Span;
use crate::text::{Entries, Entry, Name};

/// One part that was declared.
pub(super) struct PartRecord<'d> {
    /// The scope that it belongs to.
    pub(super) scope: ScopeId,
    /// Its name there.
    pub(super) name: &'d Name,
    /// What it is.
    pub(super) part: &'d PartDocument,
    /// Whether it is drawn: its links follow from its blocks.
    pub(super) is_drawn: bool,
    /// Whether it should be drawn, and is not.
    pub(super) is_lost: bool,
    /// Its first word, if it is drawn.
    pub(super) word: Option<Span>,
}

impl<'d> Resolver<'d> {
    /// Whether the layout stays within so many parts. Nothing is expanded to find out; the first
    /// entry that goes beyond is reported.
    pub(super) fn within_limit(&mut self, limit: usize) -> bool {
        let limit = u64::try_from(limit)
            .unwrap_or(u64::MAX)
            .min(u64::from(u32::MAX) / 2);
        let body = self.layouts.get(0).body;
        let mut total: u64 = 0;
        for entry in body.parts.list.iter().chain(&body.signals.list) {
            total += self.count_part(ScopeId::TOP, entry);
            if total > limit {
                return self.report_too_many(&entry.name, total, limit);
            }
        }
        for entry in &body.uses.list {
            let Some(used) = &entry.value else { continue };
            total = total.saturating_add(self.count_use(ScopeId::TOP, used, limit - total));
            if total > limit {
                return self.report_too_many(&entry.name, total, limit);
            }
        }
        let total = usize::try_from(total).unwrap_or(0);
        self.parts.reserve(total);
        self.placement.parts.reserve(total);
        true
    }

    fn report_too_many(&mut self, name: &Name, total: u64, limit: u64) -> bool {
        let message = format!(
            "with `{}` the layout has at least {total} parts, more than the limit of {limit}",
            name.text
        );
        let problem = Diagnostic::error(ids::TOO_MANY_PARTS, name.span, message);
        let help = "make fewer modules, or allow more parts".to_owned();
        self.problems.report(problem.help(help));
        false
    }

    fn count_part(&mut self, scope: ScopeId, entry: &'d Entry<Placed<PartDocument>>) -> u64 {
        let part = entry.value.as_ref();
        let is_there = part.and_then(|part| self.holds(scope, part.when.as_ref()));
        u64::from(is_there == Some(true))
    }

    /// How many parts a use makes; more than `limit` means only that there are more.
    fn count_use(&mut self, scope: ScopeId, used: &'d SetDown<UseDocument>, limit: u64) -> u64 {
        if self.holds(scope, used.when.as_ref()) != Some(true) {
            return 0;
        }
        match &used.value {
            UseDocument::One(one) => match self.module_of(&one.module) {
                Some(module) => {
                    let module = (module, one.module.span);
                    self.count_instance(scope, module, &one.with, &RowInstance::default(), limit)
                }
                None => 0,
            },
            UseDocument::Row(row) => self.count_row(scope, row, limit),
        }
    }

    fn count_row(&mut self, scope: ScopeId, row: &'d RowDocument, limit: u64) -> u64 {
        let module = self.module_of(&row.module);
        let instances = self.instances(scope, row);
        let (Some(module), Some(instances)) = (module, instances) else {
            return 0;
        };
        let count = instances.count();
        let with = row
            .with
            .list
            .iter()
            .filter_map(|entry| entry.value.as_ref());
        let varies = instances.vary()
            || self.layouts.get(module).mentions_index
            || with.into_iter().any(|value| value.mentions_index());
        let module = (module, row.module.span);
        let mut total: u64 = 0;
        for index in 0..count {
            let left = limit.saturating_sub(total);
            let turn = instances.turn(index);
            let one = self.count_instance(scope, module, &row.with, &turn, left);
            if !varies {
                return one.saturating_mul(count);
            }
            total = total.saturating_add(one);
            if total > limit {
                break;
            }
        }
        total
    }

    /// How many parts an instance makes. It counts for at least one, so that endless uses of
    /// modules without parts reach the limit too.
    fn count_instance(
        &mut self,
        within: ScopeId,
        module: (usize, Span),
        with: &'d Entries<Expression>,
        turn: &RowInstance<'d>,
        limit: u64,
    ) -> u64 {
        let scopes = self.scopes.len();
        let inner = self.instance(within, String::new(), module, with, turn);
        let before = self.problems.enter(inner);
        let total = self.count_scope(inner, limit);
        self.problems.enter(before);
        self.scopes.truncate(scopes);
        self.problems.forget_scopes(scopes);
        total.max(1)
    }

    fn count_scope(&mut self, scope: ScopeId, limit: u64) -> u64 {
        let body = self.layouts.get(self.scopes[scope.index()].layout).body;
        let mut total: u64 = 0;
        for entry in body.parts.list.iter().chain(&body.signals.list) {
            total += self.count_part(scope, entry);
        }
        for used in body
            .uses
            .list
            .iter()
            .filter_map(|entry| entry.value.as_ref())
        {
            if total > limit {
                break;
            }
            total = total.saturating_add(self.count_use(scope, used, limit - total));
        }
        total
    }

    /// The module of a name. Reports if there is none.
    fn module_of(&mut self, name: &Name) -> Option<usize> {
        match self.layouts.module(&name.text) {
            Some(module) => module,
            None => {
                let message = format!("there is no module `{}`", name.text);
                let problem = Diagnostic::error(ids::UNKNOWN_MODULE, name.span, message);
                self.problems
                    .report_not_in(problem, &name.text, &self.document.modules);
                None
            }
        }
    }

    /// Declares everything in a scope: parts, signals, then what its uses bring.
    pub(super) fn declare(&mut self, scope: ScopeId) {
        let before = self.problems.enter(scope);
        let layout = self.layouts.get(self.scopes[scope.index()].layout);
        let body = layout.body;
        let parts = body.parts.list.iter().chain(&body.signals.list);
        let parts: Vec<&'d Entry<Placed<PartDocument>>> = parts.collect();
        let heights = self.heights(scope);
        let mut declared: Vec<(usize, Member<'d>)> = self
            .declaration_order(scope, parts.len(), &heights)
            .into_iter()
            .map(|number| {
                (
                    number,
                    self.declare_part(scope, parts[number], number, &heights),
                )
            })
            .collect();
        declared.sort_by_key(|(number, _)| *number);
        let mut members: Vec<Member<'d>> = declared.into_iter().map(|(_, member)| member).collect();
        self.place_drawn_blocks(scope, &heights);
        let full = self.blocks(scope, &body.full);
        self.placement.full.extend(full);
        let caps = self.blocks(scope, &body.caps);
        self.placement.caps.extend(caps);
        let wires = self.blocks(scope, &body.wires);
        self.placement.wires.extend(wires);
        for entry in &body.uses.list {
            let member = match &entry.value {
                Some(used) if self.is_first(scope, &entry.name, members.len()) => {
                    match self.holds(scope, used.when.as_ref()) {
                        Some(true) => self.declare_use(scope, &entry.name, used),
                        Some(false) => Member::Absent,
                        None => Member::Broken,
                    }
                }
                _ => Member::Broken,
            };
            members.push(member);
        }
        self.scopes[scope.index()].members = members;
        self.problems.enter(before);
    }

    /// Whether a name is the first of its kind: a second one is reported, and cannot be referred to.
    fn is_first(&self, scope: ScopeId, name: &Name, number: usize) -> bool {
        let layout = self.layouts.get(self.scopes[scope.index()].layout);
        layout.names_each_once || layout.members.get(name.text.as_str()) == Some(&number)
    }

    fn declare_part(
        &mut self,
        scope: ScopeId,
        entry: &'d Entry<Placed<PartDocument>>,
        number: usize,
        heights: &[Option<i32>],
    ) -> Member<'d> {
        let Some(conditional) = &entry.value else {
            return Member::Broken;
        };
        match self.holds(scope, conditional.when.as_ref()) {
            None => Member::Broken,
            Some(false) => Member::Absent,
            Some(true) => {
                let prefix = &self.scopes[scope.index()].prefix;
                let name = &entry.name.text;
                let is_first = self.is_first(scope, &entry.name, number);
                let id: PartId = match (is_first, prefix.is_empty()) {
                    (true, true) => self.builder.declare(name),
                    (true, false) => self.builder.declare(&format!("{prefix}{name}")),
                    // A second part of a name is reported already. It is declared under a name that
                    // nothing can refer to, only so that what it says is checked as well.
                    (false, _) => self.builder.declare(&format!("{prefix}{name}?{number}")),
                };
                let layout = self.layouts.get(self.scopes[scope.index()].layout);
                let is_drawn = layout.drawing.has(number);
                let is_lost = layout.drawing.misses(number, conditional);
                let drawn = layout.drawing.words.get(number);
                let word = drawn.and_then(|words| words.first()).map(|word| word.span);
                let words = is_drawn.then_some((name.as_str(), number, heights));
                let placed = self.placed(
                    scope,
                    conditional.placing.as_deref(),
                    &conditional.value,
                    words,
                );
                self.placement.parts.push(placed.map(Box::new));
                self.parts.push(PartRecord {
                    scope,
                    name: &entry.name,
                    part: &conditional.value,
                    is_drawn,
                    is_lost,
                    word,
                });
                Member::Part(id)
            }
        }
    }

    fn declare_use(
        &mut self,
        scope: ScopeId,
        name: &'d Name,
        used: &'d SetDown<UseDocument>,
    ) -> Member<'d> {
        let frame = self.frame(scope, used.position.as_ref(), used.axes.as_ref());
        let prefix = format!("{}{}", self.scopes[scope.index()].prefix, name.text);
        match &used.value {
            UseDocument::One(one) => self.declare_one(scope, &prefix, one, frame),
            UseDocument::Row(row) => self.declare_row(scope, &prefix, row, frame),
        }
    }

    fn declare_one(
        &mut self,
        scope: ScopeId,
        prefix: &str,
        one: &'d OneDocument,
        frame: Frame,
    ) -> Member<'d> {
        let Some(module) = self.module_of(&one.module) else {
            return Member::Broken;
        };
        self.check_given_names(&one.with, module, "the module");
        let inner = self.instance(
            scope,
            format!("{prefix}."),
            (module, one.module.span),
            &one.with,
            &RowInstance::default(),
        );
        self.place(scope, inner, frame);
        self.declare(inner);
        self.connections.end(scope, inner, &one.then);
        Member::One(inner)
    }

    fn declare_row(
        &mut self,
        scope: ScopeId,
        prefix: &str,
        row: &'d RowDocument,
        mut frame: Frame,
    ) -> Member<'d> {
        let Some(module) = self.module_of(&row.module) else {
            return Member::Broken;
        };
        self.check_given_names(&row.with, module, "the module");
        let Some(instances) = self.instances(scope, row) else {
            return Member::Broken;
        };
        self.check_instances(row, &instances, module);
        let step = self.way(scope, row.step.as_deref());
        let mut scopes = Vec::new();
        for index in 0..instances.count() {
            let prefix = format!("{prefix}[{index}].");
            let inner = self.instance(
                scope,
                prefix,
                (module, row.module.span),
                &row.with,
                &instances.turn(index),
            );
            let width_blocks = self.place(scope, inner, frame);
            let along = || Block::new(i32::try_from(width_blocks).unwrap_or(i32::MAX), 0, 0);
            frame = self.shifted(scope, frame, step.unwrap_or_else(along));
            self.declare(inner);
            scopes.push(inner);
        }
        self.connections.chain(row, module, &scopes);
        if let Some(last) = scopes.last() {
            self.connections.end(scope, *last, &row.then);
        }
        Member::Row(row, scopes)
    }
}
