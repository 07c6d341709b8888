//! What chains of instances connect: the outlet of one with the inlet of the next.

use std::collections::HashMap;

use hallwright_core::id::PartId;

use super::Resolver;
use super::names::ScopeId;
use super::sort;
use crate::diagnostic::Diagnostic;
use crate::document::{Expression, PartDocument, RowDocument};
use crate::ids;
use crate::source::Span;
use crate::text::{Entries, Name};

/// The ports that a row is chained by unless it says otherwise.
const DEFAULT_CHAIN: (&str, &str) = ("outlet", "inlet");

/// What chains connect.
#[derive(Default)]
pub(super) struct Connections<'d> {
    /// From the outlet's part to what it leads to, and where that is written.
    targets: HashMap<PartId, (PartId, Span)>,
    /// Inputs that chains add to wires.
    wire_inputs: HashMap<PartId, Vec<PartId>>,
    /// Rows, each with its module and instances.
    rows: Vec<(&'d RowDocument, usize, Vec<ScopeId>)>,
    /// Ports of an instance that lead outside: the scope outside, the instance, and where to.
    ends: Vec<(ScopeId, ScopeId, &'d Entries<Expression>)>,
}

impl<'d> Connections<'d> {
    /// Plans to connect each instance of a row to the next.
    pub(super) fn chain(&mut self, row: &'d RowDocument, module: usize, scopes: &[ScopeId]) {
        self.rows.push((row, module, scopes.to_vec()));
    }

    /// Plans to connect ports of an instance to what is outside it.
    pub(super) fn end(
        &mut self,
        outside: ScopeId,
        instance: ScopeId,
        then: &'d Entries<Expression>,
    ) {
        if !then.list.is_empty() {
            self.ends.push((outside, instance, then));
        }
    }

    /// What a chain connects a part to, and where that is written.
    pub(super) fn planned(&self, part: PartId) -> Option<(PartId, Span)> {
        self.targets.get(&part).copied()
    }

    /// What a chain connects a part to.
    pub(super) fn target(&self, part: PartId) -> Option<PartId> {
        self.planned(part).map(|(target, _)| target)
    }

    /// The inputs that chains add to a wire.
    pub(super) fn wire_inputs(&self, wire: PartId) -> &[PartId] {
        self.wire_inputs.get(&wire).map_or(&[], Vec::as_slice)
    }
}

impl<'d> Resolver<'d> {
    /// The ports that connect each instance of a row to the next: outlet and inlet.
    pub(super) fn chain<'r>(&self, row: &'r RowDocument) -> Vec<(&'r str, &'r str)> {
        match &row.chain {
            Some(chain) => chain
                .list
                .iter()
                .filter_map(|entry| {
                    let inlet = entry.value.as_ref()?;
                    Some((entry.name.text.as_str(), inlet.text.as_str()))
                })
                .collect(),
            None => {
                let module = self.layouts.module(&row.module.text).flatten();
                let is_chained = module.is_some_and(|module| {
                    let ports = &self.layouts.get(module).ports;
                    ports.contains_key(DEFAULT_CHAIN.0) && ports.contains_key(DEFAULT_CHAIN.1)
                });
                if is_chained {
                    vec![DEFAULT_CHAIN]
                } else {
                    Vec::new()
                }
            }
        }
    }

    /// Makes every connection that was planned.
    pub(super) fn connect(&mut self) {
        for (row, module, scopes) in std::mem::take(&mut self.connections.rows) {
            self.connect_row(row, module, &scopes);
        }
        for (outside, instance, then) in std::mem::take(&mut self.connections.ends) {
            let module = self.scopes[instance.index()].layout;
            self.problems.enter(outside);
            for entry in &then.list {
                let Some(target) = &entry.value else { continue };
                let is_port = self.check_port(&entry.name, module);
                let outlet = is_port
                    .then(|| self.port(instance, &entry.name.text, entry.name.span))
                    .flatten();
                let target = self.part_named(outside, target);
                if let (Some(outlet), Some(target)) = (outlet, target) {
                    self.connect_pair(outlet, target, entry.name.span);
                }
            }
        }
    }

    fn connect_row(&mut self, row: &'d RowDocument, module: usize, scopes: &[ScopeId]) {
        self.problems
            .enter(scopes.first().copied().unwrap_or(ScopeId::TOP));
        if let Some(chain) = &row.chain {
            for entry in &chain.list {
                let outlet = self.check_port(&entry.name, module);
                let inlet = entry
                    .value
                    .as_ref()
                    .is_none_or(|inlet| self.check_port(inlet, module));
                if !(outlet && inlet) {
                    return;
                }
            }
        }
        for (outlet, inlet) in self.chain(row) {
            let span = row.chain.as_ref().map_or(row.module.span, |chain| {
                let mut names = chain.list.iter().map(|entry| &entry.name);
                names
                    .find(|name| name.text == outlet)
                    .map_or(row.module.span, |name| name.span)
            });
            for pair in scopes.windows(2) {
                let from = self.port(pair[0], outlet, span);
                let to = self.port(pair[1], inlet, span);
                if let (Some(from), Some(to)) = (from, to) {
                    self.connect_pair(from, to, span);
                }
            }
        }
    }

    /// Whether a module has a port of this name. Reports if not.
    fn check_port(&mut self, name: &Name, module: usize) -> bool {
        let layout = self.layouts.get(module);
        if layout.ports.contains_key(name.text.as_str()) {
            return true;
        }
        let message = format!("the module has no port `{}`", name.text);
        let problem = Diagnostic::error(ids::UNKNOWN_PORT, name.span, message);
        let problem = problem.help(layout.ports_in_words());
        self.problems
            .report_not_in(problem, &name.text, layout.port_list);
        false
    }

    /// The part that a port of an instance stands for. What is wrong with it is reported at the port.
    fn port(&mut self, instance: ScopeId, port: &str, span: Span) -> Option<PartId> {
        let layout = self.layouts.get(self.scopes[instance.index()].layout);
        let target: &'d Name = layout.ports.get(port)?;
        if target.text.contains("[*]") {
            let message =
                format!("the port `{port}` stands for several parts, and cannot be chained");
            self.problems
                .report(Diagnostic::error(ids::BAD_CHAIN, span, message));
            return None;
        }
        self.part_at(&target.text, instance, target.span)
    }

    /// Connects an outlet to what it leads to.
    fn connect_pair(&mut self, outlet: PartId, target: PartId, span: Span) {
        let record = &self.parts[outlet.index()];
        let has_own = match record.part {
            PartDocument::Hopper(hopper) => hopper.target.is_some(),
            PartDocument::Dropper(dropper) => dropper.target.is_some() || dropper.out.is_some(),
            PartDocument::Selector(selector) => selector.rest.is_some(),
            signal if (sort::SIGNAL.fits)(signal) => {
                self.connect_signal(outlet, target, span);
                return;
            }
            other => {
                let message = format!(
                    "`{}` is {}, which a chain cannot connect",
                    record.name.text,
                    sort::in_words(other)
                );
                let help = "an outlet is a hopper, dropper, selector or signal".to_owned();
                let problem = Diagnostic::error(ids::BAD_CHAIN, span, message).help(help);
                self.problems
                    .report(problem.context(record.name.span, "declared here"));
                return;
            }
        };
        let planned = (target, span);
        if has_own || self.connections.targets.insert(outlet, planned).is_some() {
            let message = format!("`{}` leads elsewhere already", record.name.text);
            let problem = Diagnostic::error(ids::BAD_CHAIN, span, message);
            let problem = problem.context(record.name.span, "declared here");
            self.problems
                .report(problem.help("leave its own target out".to_owned()));
        }
    }

    fn connect_signal(&mut self, outlet: PartId, target: PartId, span: Span) {
        let record = &self.parts[target.index()];
        if matches!(record.part, PartDocument::Wire(_)) {
            let inputs = self.connections.wire_inputs.entry(target).or_default();
            inputs.push(outlet);
            return;
        }
        let message = format!(
            "a chain of signals leads into a wire, and `{}` is {}",
            record.name.text,
            sort::in_words(record.part)
        );
        let problem = Diagnostic::error(ids::BAD_CHAIN, span, message);
        self.problems
            .report(problem.context(record.name.span, "declared here"));
    }
}
