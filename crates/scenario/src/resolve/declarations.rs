//! What is declared about the layout: stores, flows, sections, sieves, lamps.

use std::collections::HashMap;

use hallwright_core::id::PartId;
use hallwright_declared::declarations::{Declarations, Flow, Lamp, Section, Store, StorePurpose};

use super::Resolver;
use super::names::ScopeId;
use super::sort::{Expected, HOPPER, INVENTORY, ITEM_PART, RETURN, SIGNAL};
use crate::diagnostic::Diagnostic;
use crate::document::{Conditional, Expression};
use crate::document::{FlowDocument, LampDocument, SectionDocument, StoreDocument};
use crate::ids;
use crate::source::Span;
use crate::text::{Entries, Name};

/// Where each named thing stands in its list; `None` for one that could not be understood.
#[derive(Default)]
pub(super) struct Directory {
    /// Flows.
    pub(super) flows: Numbers,
    /// Sections.
    pub(super) sections: Numbers,
    /// Lamps.
    pub(super) lamps: Numbers,
    /// Gathers.
    pub(super) gathers: Numbers,
}

/// Numbers by name, and the names in order.
pub(super) struct Numbers {
    by_name: HashMap<String, Option<usize>>,
    /// The names, in the order of declaration.
    pub(super) names: Vec<String>,
    /// Whether every name could be read.
    pub(super) is_whole: bool,
}

impl Default for Numbers {
    fn default() -> Self {
        Self {
            by_name: HashMap::new(),
            names: Vec::new(),
            is_whole: true,
        }
    }
}

impl Numbers {
    pub(super) fn add(&mut self, name: String, number: Option<usize>) {
        self.names.push(name.clone());
        self.by_name.entry(name).or_insert(number);
    }

    /// The number of a name.
    pub(super) fn get(&self, name: &str) -> Option<Option<usize>> {
        self.by_name.get(name).copied()
    }
}

/// The store that each part is in, and where that is written.
type Holders = HashMap<PartId, (String, Span)>;

impl<'d> Resolver<'d> {
    /// Everything that is declared, of the top layout and of every instance.
    pub(super) fn declarations(&mut self) -> Declarations {
        let mut declarations = Declarations::default();
        let mut directory = Directory::default();
        let mut holders = Holders::new();
        for number in 0..self.scopes.len() {
            let scope = ScopeId(u32::try_from(number).unwrap_or(u32::MAX));
            let body = self.layouts.get(self.scopes[number].layout).body;
            self.problems.enter(scope);
            self.stores(scope, &body.stores, &mut declarations, &mut holders);
            self.flows(scope, &body.flows, &mut declarations, &mut directory.flows);
            self.sections(
                scope,
                &body.sections,
                &mut declarations,
                &mut directory.sections,
            );
            self.lamps(scope, &body.lamps, &mut declarations, &mut directory.lamps);
            let sieves = self.parts_named(scope, body.sieves.as_ref(), &HOPPER);
            declarations.sieves.extend(sieves);
            self.gathers(scope, body, &mut declarations, &mut directory.gathers);
            self.open_places(scope, body, &mut declarations);
        }
        declarations.arrivals = std::mem::take(&mut self.arrival_names);
        declarations.desks = self.desks.all();
        declarations.regions = self.regions.all();
        self.problems.enter(ScopeId::TOP);
        let document = self.document;
        declarations.width_blocks = document
            .width_blocks
            .as_ref()
            .and_then(|width| self.number_from(ScopeId::TOP, width, 1))
            .or(Some(self.width_blocks).filter(|sum| *sum > 0));
        declarations.costs = self.costs();
        let written = document.blocks_per_hour.as_ref();
        let written = written.and_then(|rate| self.number_from(ScopeId::TOP, rate, 1));
        declarations.blocks_per_hour = self
            .blocks_per_hour
            .or(written)
            .or(self.usual_blocks_per_hour);
        declarations.stops = self.stops();
        declarations.leave = self.leave(&directory);
        (self.goal_spans, declarations.goals) = self.goals(&directory).into_iter().unzip();
        declarations
    }

    /// The full name of something declared, and the thing itself if it is there.
    pub(super) fn present<T>(
        &mut self,
        scope: ScopeId,
        name: &Name,
        value: Option<&'d Conditional<T>>,
    ) -> Option<(String, Option<&'d T>)> {
        let full_name = format!("{}{}", self.scopes[scope.index()].prefix, name.text);
        let Some(conditional) = value else {
            return Some((full_name, None));
        };
        match self.holds(scope, conditional.when.as_ref()) {
            Some(true) => Some((full_name, Some(&conditional.value))),
            Some(false) => None,
            None => Some((full_name, None)),
        }
    }

    fn stores(
        &mut self,
        scope: ScopeId,
        stores: &'d Entries<Conditional<StoreDocument>>,
        declarations: &mut Declarations,
        holders: &mut Holders,
    ) {
        for entry in &stores.list {
            let Some((name, Some(store))) = self.present(scope, &entry.name, entry.value.as_ref())
            else {
                continue;
            };
            let is_overflow = self.flag_or_off(scope, store.overflow.as_ref());
            let serves = self.flag_or_off(scope, store.serves.as_ref());
            if is_overflow && serves {
                self.report_two_purposes(entry.name.span);
            }
            let parts = self.parts_named(scope, Some(&store.parts), &INVENTORY);
            self.note_store(&name, &parts, store.parts.span, holders);
            declarations.stores.push(Store {
                name,
                parts,
                takes: match &store.takes {
                    Some(takes) => self.kinds(scope, takes),
                    None => Vec::new(),
                },
                purpose: match (is_overflow, serves) {
                    (true, _) => StorePurpose::Overflow,
                    (false, true) => StorePurpose::Serving,
                    (false, false) => StorePurpose::Slice,
                },
            });
        }
    }

    /// A flag, off where it is not given.
    fn flag_or_off(&mut self, scope: ScopeId, flag: Option<&'d Expression>) -> bool {
        flag.and_then(|flag| self.flag(scope, flag))
            .unwrap_or(false)
    }

    /// Reports of a store that is to be two things.
    fn report_two_purposes(&mut self, span: Span) {
        let message = "a store takes the overflow or it serves, not both";
        let problem = Diagnostic::error(ids::ONE_OF_FIELDS, span, message);
        self.problems
            .report(problem.help("leave out `overflow` or `serves`".to_owned()));
    }

    /// Notes which store each part is in. Reports of a part that is in another one already: nobody could
    /// say in which of the two its items are.
    fn note_store(&mut self, name: &str, parts: &[PartId], span: Span, holders: &mut Holders) {
        for part in parts {
            let Some((other, at)) = holders.get(part) else {
                holders.insert(*part, (name.to_owned(), span));
                continue;
            };
            if other == name {
                continue;
            }
            let part = self.full_name(*part);
            let message = format!("`{part}` is in two stores: \"{other}\" and \"{name}\"");
            let problem = Diagnostic::error(ids::PART_IN_TWO_STORES, span, message)
                .context(*at, "here it is in the other")
                .help("a part belongs to one store: leave it out of one of them".to_owned());
            self.problems.report(problem);
        }
    }

    fn flows(
        &mut self,
        scope: ScopeId,
        flows: &'d Entries<Conditional<FlowDocument>>,
        declarations: &mut Declarations,
        numbers: &mut Numbers,
    ) {
        numbers.is_whole &= flows.is_whole;
        for entry in &flows.list {
            let Some((name, flow)) = self.present(scope, &entry.name, entry.value.as_ref()) else {
                continue;
            };
            let number = flow.map(|_| declarations.flows.len());
            numbers.add(name.clone(), number);
            let Some(flow) = flow else { continue };
            declarations.flows.push(Flow {
                name,
                into: self.parts_named(scope, Some(&flow.into), &ITEM_PART),
                kinds: match &flow.kinds {
                    Some(kinds) => self.kinds(scope, kinds),
                    None => Vec::new(),
                },
            });
        }
    }

    fn sections(
        &mut self,
        scope: ScopeId,
        sections: &'d Entries<Conditional<SectionDocument>>,
        declarations: &mut Declarations,
        numbers: &mut Numbers,
    ) {
        numbers.is_whole &= sections.is_whole;
        for entry in &sections.list {
            let Some((name, section)) = self.present(scope, &entry.name, entry.value.as_ref())
            else {
                continue;
            };
            let number = section.map(|_| declarations.sections.len());
            numbers.add(name.clone(), number);
            let Some(section) = section else { continue };
            let width = section.width_blocks.as_ref();
            declarations.sections.push(Section {
                name,
                line: self.parts_named(scope, section.line.as_ref(), &ITEM_PART),
                queue: self.parts_named(scope, section.queue.as_ref(), &ITEM_PART),
                locked: self.parts_named(scope, section.locked.as_ref(), &HOPPER),
                call: section
                    .call
                    .as_ref()
                    .and_then(|call| self.fitting_part(scope, call, &SIGNAL)),
                returns: self.parts_named(scope, section.returns.as_ref(), &RETURN),
                width_blocks: width.and_then(|width| self.number_from(scope, width, 1)),
            });
        }
    }

    fn lamps(
        &mut self,
        scope: ScopeId,
        lamps: &'d Entries<Conditional<LampDocument>>,
        declarations: &mut Declarations,
        numbers: &mut Numbers,
    ) {
        numbers.is_whole &= lamps.is_whole;
        for entry in &lamps.list {
            let Some((name, lamp)) = self.present(scope, &entry.name, entry.value.as_ref()) else {
                continue;
            };
            let signal: Option<PartId> =
                lamp.and_then(|lamp| self.fitting_part(scope, &lamp.signal, &SIGNAL));
            let expected: &Expected = &INVENTORY;
            let watches = lamp.map_or_else(Vec::new, |lamp| {
                self.parts_named(scope, lamp.watches.as_ref(), expected)
            });
            let number = signal.map(|_| declarations.lamps.len());
            numbers.add(name.clone(), number);
            if let Some(signal) = signal {
                declarations.lamps.push(Lamp {
                    name,
                    signal,
                    watches,
                });
            }
        }
    }
}
