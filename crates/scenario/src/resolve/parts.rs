//! What each part is: from its document to the core's part.

use hallwright_core::id::PartId;
use hallwright_core::part::{
    Bench, Container, Dropper, Hopper, Intake, Leg, Lift, Outlet, Part, Selector, Shuttle, Stream,
};
use hallwright_core::predicate::Predicate;
use hallwright_core::slot::{DROPPER_SLOTS, HOPPER_SLOTS};

use super::Resolver;
use super::names::ScopeId;
use crate::diagnostic::Diagnostic;
use crate::document::{
    BenchDocument, DropperDocument, Expression, FillingDocument, HopperDocument, LiftDocument,
    MouthDocument, PartDocument, PredicateDocument, SelectorDocument, ShuttleDocument,
    StreamDocument,
};
use crate::ids;
use crate::source::Span;

/// Slots of a chest or barrel.
const CHEST_SLOTS: u16 = 27;
/// Slots of a double chest.
const DOUBLE_CHEST_SLOTS: u16 = 54;
/// Slots of a shuttle unless it says otherwise.
const SHUTTLE_SLOTS: u16 = 27;
/// What every part says that has it, since no block does: what lifts a box, and where a shuttle goes.
const UNDRAWN_ROLES: [&str; 2] = ["lift signal", "stop"];
/// Stands for what a drawn part will be linked to.
pub(super) const ANY_PART: PartId = PartId::from_index(0);
/// What a number becomes that could not be understood, so that the rest is still checked.
const PLACEHOLDER: u16 = 1;

/// The part that is being defined, and the scope in which its names are looked up.
#[derive(Clone, Copy)]
pub(super) struct Owner {
    /// The part.
    pub(super) part: PartId,
    /// The scope.
    pub(super) scope: ScopeId,
}

impl<'d> Resolver<'d> {
    /// Defines every part that was declared.
    pub(super) fn define_parts(&mut self) {
        for number in 0..self.parts.len() {
            let record = &self.parts[number];
            let (document, span) = (record.part, record.name.span);
            let owner = Owner {
                part: PartId::from_index(number),
                scope: record.scope,
            };
            self.problems.enter(owner.scope);
            match self.part(owner, document, span) {
                Some(part) if self.is_drawn(owner.part) => self.keep_drawn(owner, &part),
                Some(_) if self.leaves_losses(owner.part) => {}
                Some(part) => self.builder.define(owner.part, part),
                None => {}
            }
        }
        self.problems.enter(ScopeId::TOP);
        self.define_drawn();
    }

    /// A connection of a part. One that leads nowhere is reported, and leads to a placeholder, so that
    /// the other connections are still checked.
    pub(super) fn connection(
        &mut self,
        owner: Owner,
        role: &'static str,
        name: &'d Expression,
    ) -> PartId {
        if self.is_drawn(owner.part) && !UNDRAWN_ROLES.contains(&role) {
            self.report_declared_link(owner, name.span);
        }
        match self.part_named(owner.scope, name) {
            Some(target) => {
                self.mark(owner.part, role, Some(target), name.span);
                target
            }
            None => self.placeholder(),
        }
    }

    /// A connection that every part of its sort has. One that is drawn has what its blocks make: until that is
    /// known, any part stands for it.
    pub(super) fn needed(
        &mut self,
        owner: Owner,
        role: &'static str,
        (field, head): (&str, Span),
        name: Option<&'d Expression>,
    ) -> PartId {
        match name {
            Some(name) => self.connection(owner, role, name),
            None if self.needs_no_links(owner.part) => ANY_PART,
            None => {
                self.report_missing(field, head);
                self.placeholder()
            }
        }
    }

    /// Reports that a field is missing of a part that begins with this word.
    pub(super) fn report_missing(&mut self, field: &str, head: Span) {
        let message = format!("the field `{field}` is missing");
        self.problems
            .report(Diagnostic::error(ids::MISSING_FIELD, head, message));
    }

    /// Stands for a part that could not be found.
    pub(super) fn placeholder(&mut self) -> PartId {
        // It is declared behind all parts and never defined, which keeps the core from checking
        // connections to it, and from building the network.
        match self.dangling {
            Some(part) => part,
            None => *self.dangling.insert(self.builder.declare("?")),
        }
    }

    /// A connection that may be absent.
    pub(super) fn optional(
        &mut self,
        owner: Owner,
        role: &'static str,
        name: Option<&'d Expression>,
    ) -> Option<PartId> {
        name.map(|name| self.connection(owner, role, name))
    }

    /// A number of a part that the core checks.
    pub(super) fn number(
        &mut self,
        owner: Owner,
        field: &'static str,
        number: &'d Expression,
    ) -> u16 {
        self.mark(owner.part, field, None, number.span);
        self.number_from(owner.scope, number, 0)
            .unwrap_or(PLACEHOLDER)
    }

    /// A duration of a part that the core checks.
    pub(super) fn duration(
        &mut self,
        owner: Owner,
        field: &'static str,
        time: &'d Expression,
    ) -> u32 {
        self.mark(owner.part, field, None, time.span);
        self.part_ticks(owner.scope, time)
            .unwrap_or(PLACEHOLDER.into())
    }

    /// A duration of a part that may be left out.
    pub(super) fn optional_duration(
        &mut self,
        owner: Owner,
        time: Option<&'d Expression>,
        default: u32,
    ) -> u32 {
        time.map_or(default, |time| {
            self.part_ticks(owner.scope, time).unwrap_or(default)
        })
    }

    /// Reports that a part needs exactly one of some fields.
    pub(super) fn report_one_of(&mut self, span: Span, fields: &str, given: usize) {
        let message = if given == 0 {
            format!("one of {fields} is needed here")
        } else {
            format!("only one of {fields} can stand here")
        };
        self.problems
            .report(Diagnostic::error(ids::ONE_OF_FIELDS, span, message));
    }

    fn part(&mut self, owner: Owner, document: &'d PartDocument, span: Span) -> Option<Part> {
        Some(match document {
            PartDocument::Container(container) => {
                let slots = self.number(owner, "slots", &container.slots);
                self.container(owner, slots, &container.holds)
            }
            PartDocument::Chest(chest) | PartDocument::Barrel(chest) => {
                self.container(owner, CHEST_SLOTS, &chest.holds)
            }
            PartDocument::DoubleChest(chest) => {
                self.container(owner, DOUBLE_CHEST_SLOTS, &chest.holds)
            }
            PartDocument::Hopper(hopper) => self.hopper(owner, hopper, span),
            PartDocument::Dropper(dropper) => return self.dropper(owner, dropper, span),
            PartDocument::Dispenser(dispenser) => {
                self.fill(owner, DROPPER_SLOTS, &dispenser.holds);
                Part::Dropper(Dropper {
                    trigger: self.optional(owner, "trigger", dispenser.trigger.as_ref()),
                    outlet: Outlet::Bench(self.needed(
                        owner,
                        "bench",
                        ("bench", dispenser.head),
                        dispenser.bench.as_ref(),
                    )),
                })
            }
            PartDocument::Mouth(mouth) => self.mouth(owner, mouth),
            PartDocument::Stream(stream) => self.stream(owner, stream, span),
            PartDocument::Bench(bench) => self.bench(owner, bench),
            PartDocument::Selector(selector) => return self.selector(owner, selector, span),
            PartDocument::Dock(_) => Part::Dock,
            PartDocument::Shuttle(shuttle) => self.shuttle(owner, shuttle),
            signal => Part::Signal(self.signal(owner, signal, span)?),
        })
    }

    fn container(&mut self, owner: Owner, slots: u16, holds: &'d [FillingDocument]) -> Part {
        self.fill(owner, slots, holds);
        Part::Container(Container { slots })
    }

    fn hopper(&mut self, owner: Owner, hopper: &'d HopperDocument, span: Span) -> Part {
        self.fill(owner, HOPPER_SLOTS, &hopper.holds);
        let chained = self.connections.target(owner.part);
        let target = self.optional(owner, "target", hopper.target.as_ref());
        let intake = match (&hopper.above, &hopper.mouth) {
            (None, None) => Intake::Cap,
            (Some(above), None) => Intake::Above(self.connection(owner, "inventory above", above)),
            (None, Some(mouth)) => Intake::Mouth(self.connection(owner, "mouth", mouth)),
            (Some(_), Some(_)) => {
                self.report_one_of(span, "`above` and `mouth`", 2);
                Intake::Cap
            }
        };
        Part::Hopper(Hopper {
            target: target.or(chained),
            intake,
            lock: self.optional(owner, "lock", hopper.lock.as_ref()),
        })
    }

    fn dropper(&mut self, owner: Owner, dropper: &'d DropperDocument, span: Span) -> Option<Part> {
        self.fill(owner, DROPPER_SLOTS, &dropper.holds);
        let trigger = self.optional(owner, "trigger", dropper.trigger.as_ref());
        let chained = self.connections.target(owner.part);
        let outlet = match (&dropper.target, &dropper.out, chained) {
            (Some(target), None, _) => Outlet::Into(self.connection(owner, "target", target)),
            (None, Some(out), _) => Outlet::Loose(self.connection(owner, "outlet", out)),
            (None, None, _) if self.needs_no_links(owner.part) => Outlet::Into(ANY_PART),
            (None, None, Some(target)) => Outlet::Into(target),
            (target, ..) => {
                self.report_one_of(span, "`target` and `out`", usize::from(target.is_some()));
                return None;
            }
        };
        Some(Part::Dropper(Dropper { trigger, outlet }))
    }

    fn mouth(&mut self, owner: Owner, mouth: &'d MouthDocument) -> Part {
        if let Some(blocks) = &mouth.blocks
            && let Some(blocks) = self.number_from(owner.scope, blocks, 1)
        {
            self.builder.mouth_blocks(owner.part, blocks);
        }
        Part::Mouth
    }

    fn stream(&mut self, owner: Owner, stream: &'d StreamDocument, span: Span) -> Part {
        let path_blocks = self.path_blocks(owner.part);
        let transit_ticks = match (&stream.blocks, &stream.transit) {
            (Some(written), None) => {
                let blocks = self.number_from(owner.scope, written, 0).unwrap_or(0);
                if let Some(path) = path_blocks.filter(|path| *path != blocks) {
                    let said = format!("{blocks} blocks are said");
                    self.report_length(owner.part, written.span, &said, path);
                }
                self.rules.transit_ticks(blocks)
            }
            (None, Some(written)) => {
                let ticks = self.duration(owner, "transit time in ticks", written);
                let differs = |path: &u32| self.rules.transit_ticks(*path) != ticks;
                if let Some(path) = path_blocks.filter(differs) {
                    let said = format!("{ticks} t are said");
                    self.report_length(owner.part, written.span, &said, path);
                }
                ticks
            }
            // Of one that is drawn without a way it is reported where it is drawn.
            (None, None) if path_blocks.is_some() || self.needs_no_links(owner.part) => {
                self.rules.transit_ticks(path_blocks.unwrap_or(1))
            }
            (blocks, _) => {
                self.report_one_of(
                    span,
                    "`blocks` and `transit`",
                    usize::from(blocks.is_some()),
                );
                PLACEHOLDER.into()
            }
        };
        Part::Stream(Stream {
            transit_ticks,
            mouth: self.needed(owner, "end", ("mouth", stream.head), stream.mouth.as_ref()),
        })
    }

    /// How many blocks the path of a part has, if it has one.
    fn path_blocks(&self, part: PartId) -> Option<u32> {
        let placed = self.placement.of(part)?;
        let blocks = u32::try_from(placed.path.len()).ok()?;
        (blocks > 0).then_some(blocks)
    }

    fn report_length(&mut self, part: PartId, span: Span, said: &str, path_blocks: u32) {
        let name = self.full_name(part);
        let ticks = self.rules.transit_ticks(path_blocks);
        let message =
            format!("{said} of `{name}`, but its path has {path_blocks} blocks: {ticks} t");
        let problem = Diagnostic::error(ids::LENGTH_DIFFERS, span, message);
        let help = "leave it out: the path says how long it is".to_owned();
        self.problems.report(problem.help(help));
    }

    fn bench(&mut self, owner: Owner, bench: &'d BenchDocument) -> Part {
        let lift = match &bench.lift {
            LiftDocument::Empty => Lift::Empty,
            LiftDocument::Full => Lift::Full,
            LiftDocument::Signal(signal) => {
                Lift::Signal(self.connection(owner, "lift signal", signal))
            }
        };
        Part::Bench(Bench {
            lift,
            after_ticks: self.optional_duration(owner, bench.after.as_ref(), 0),
            output: self.needed(owner, "output", ("out", bench.head), bench.out.as_ref()),
        })
    }

    fn selector(
        &mut self,
        owner: Owner,
        selector: &'d SelectorDocument,
        span: Span,
    ) -> Option<Part> {
        let rest = self.optional(owner, "rest target", selector.rest.as_ref());
        let chained = self.connections.target(owner.part);
        let drawn = self.needs_no_links(owner.part).then_some(ANY_PART);
        let Some(rest_target) = rest.or(chained).or(drawn) else {
            let message = "the field `rest` is missing, and no chain gives it".to_owned();
            self.problems
                .report(Diagnostic::error(ids::MISSING_FIELD, span, message));
            return None;
        };
        let holds = selector.holds.as_ref();
        Some(Part::Selector(Box::new(Selector {
            latency_ticks: self.optional_duration(owner, selector.latency.as_ref(), 0),
            interval_ticks: self.optional_duration(owner, selector.interval.as_ref(), 0),
            holds: holds.map_or(1, |holds| self.number(owner, "`holds`", holds).into()),
            takes: self.predicate(owner.scope, &selector.takes),
            match_target: self.needed(
                owner,
                "match target",
                ("match", selector.head),
                selector.r#match.as_ref(),
            ),
            rest_target,
            when_full: self.optional(owner, "`when_full` target", selector.when_full.as_ref()),
            lock: self.optional(owner, "lock", selector.lock.as_ref()),
        })))
    }

    fn predicate(&mut self, scope: ScopeId, predicate: &'d PredicateDocument) -> Predicate {
        match predicate {
            PredicateDocument::Kinds(kinds) => Predicate::Kinds(self.kinds(scope, kinds)),
            PredicateDocument::BoxOf(kinds) => Predicate::BoxOf(self.kinds(scope, kinds)),
            PredicateDocument::BoxFull => Predicate::BoxFull,
            PredicateDocument::BoxEmpty => Predicate::BoxEmpty,
            PredicateDocument::Box => Predicate::Box,
            PredicateDocument::Single => Predicate::Single,
            PredicateDocument::All(inner) => {
                Predicate::All(inner.iter().map(|one| self.predicate(scope, one)).collect())
            }
            PredicateDocument::Any(inner) => {
                Predicate::Any(inner.iter().map(|one| self.predicate(scope, one)).collect())
            }
            PredicateDocument::Not(inner) => Predicate::Not(Box::new(self.predicate(scope, inner))),
        }
    }

    fn shuttle(&mut self, owner: Owner, shuttle: &'d ShuttleDocument) -> Part {
        let slots = match &shuttle.slots {
            Some(slots) => self.number(owner, "slots", slots),
            None => SHUTTLE_SLOTS,
        };
        self.fill(owner, slots, &shuttle.holds);
        let stops = shuttle.stops.iter().map(|stop| Leg {
            dock: self.connection(owner, "stop", &stop.dock),
            travel_ticks: self.part_ticks(owner.scope, &stop.travel).unwrap_or(0),
            dwell_ticks: self.optional_duration(owner, stop.dwell.as_ref(), 0),
            release: self.optional(owner, "release", stop.release.as_ref()),
        });
        let stops = stops.collect();
        Part::Shuttle(Box::new(Shuttle { slots, stops }))
    }
}
