//! Warnings: what compiles, but is hardly meant. Reported only of scenarios without mistakes.

#![deny(clippy::wildcard_enum_match_arm)]

mod comes;
mod goals;
mod hand_overs;
mod locks;
mod reach;
mod rings;
mod sections;
mod sieves;

use hallwright_analysis::sieves::Sieve;
use hallwright_analysis::ways::KindWays;
use hallwright_core::declare::{Declarations, StorePurpose};
use hallwright_core::id::PartId;
use hallwright_core::network::Network;
use hallwright_core::part::Part;
use hallwright_core::slot::Filling;
use hallwright_core::tick::Tick;
use hallwright_core::timeline::Action;

use super::Resolver;
use crate::diagnostic::Diagnostic;
use crate::ids;
use comes::Comes;
use locks::Possible;
use reach::Reach;

/// What is looked at.
struct Design<'n> {
    network: &'n Network,
    declarations: &'n Declarations,
    /// Everything that comes from outside, the stops' actions too.
    actions: Vec<&'n Action>,
    /// For each part, whether it is declared as a sieve.
    sieves: Vec<bool>,
}

impl Design<'_> {
    /// Whether a part is declared as a sieve.
    fn is_sieve(&self, part: PartId) -> bool {
        self.sieves[part.index()]
    }
}

impl Resolver<'_> {
    /// Reports what looks mistaken.
    pub(super) fn report_smells(
        &mut self,
        network: &Network,
        declarations: &Declarations,
        entries: &[(Tick, Action)],
    ) {
        let stops = declarations.stops.iter();
        let in_stops = stops.flat_map(|stop| {
            let restart = stop.restart.iter().flat_map(|restart| &restart.actions);
            stop.actions.iter().chain(restart)
        });
        let mut sieves = vec![false; network.part_count()];
        for sieve in &declarations.sieves {
            sieves[sieve.index()] = true;
        }
        let design = Design {
            network,
            declarations,
            actions: entries
                .iter()
                .map(|(_, action)| action)
                .chain(in_stops)
                .collect(),
            sieves,
        };
        let ways = KindWays::new(network);
        let reach = Reach::new(&design, ways.ways());
        for (id, part) in network.parts() {
            self.report_smells_of_part(&design, &reach, id, part);
        }
        let possible = Possible::new(&design, &reach);
        self.report_stuck_locks(&design, &possible);
        self.report_hand_overs(&design, &reach, &possible);
        self.report_goods_without_store(&design);
        let sieves = Sieve::all(network, &declarations.sieves);
        self.report_wrong_sieves(&design, &sieves, &possible);
        self.report_idle_bounds(&design);
        if let Some(site) = &declarations.site {
            self.report_site(site);
        }
        self.report_parts_in_no_section(&design, &reach, ways.ways());
        let rings = rings::free_rings(network, ways.ways());
        if sieves.is_empty() && rings.is_empty() {
            return;
        }
        if let Some(comes) = Comes::new(&design, ways) {
            self.report_blocked_sieves(&design, &sieves, &comes);
            self.report_two_of_a_kind(&design, &sieves, &comes);
            self.report_endless_rings(&design, &rings, &comes);
        }
    }

    /// Reports a warning at a part.
    fn warn(&mut self, id: &'static str, part: PartId, message: String, help: &str) {
        let Some(record) = self.parts.get(part.index()) else {
            return;
        };
        let span = record.name.span;
        self.problems.enter(record.scope);
        self.problems
            .report(Diagnostic::warning(id, span, message).help(help.to_owned()));
    }

    fn report_smells_of_part(
        &mut self,
        design: &Design<'_>,
        reach: &Reach,
        id: PartId,
        part: &Part,
    ) {
        let network = design.network;
        let name = network.name(id);
        match part {
            Part::Mouth => {
                if !reach.is_fed(id) {
                    let message = format!("nothing comes to the mouth `{name}`");
                    let help = "lead a stream, dropper, bench or selector to it, or let something arrive there";
                    self.warn(ids::UNFED_MOUTH, id, message, help);
                }
            }
            Part::Stream(stream) if !reach.leads_on(stream.mouth) => {
                let mouth = network.name(stream.mouth);
                let message =
                    format!("`{name}` ends at `{mouth}`, from which no hopper takes anything");
                let help = "set a hopper below: `Hopper(mouth: …)`; loose items despawn in time";
                self.warn(ids::BARE_MOUTH, id, message, help);
            }
            Part::Signal(signal) => {
                if let Some(read) = signal
                    .inventory_read()
                    .filter(|read| !reach.can_hold(*read))
                {
                    let read = network.name(read);
                    let message = format!("`{name}` reads `{read}`, which never holds anything");
                    let help = "lead something into it, or read another place";
                    self.warn(ids::NEVER_FILLED, id, message, help);
                }
            }
            Part::Container(_)
            | Part::Hopper(_)
            | Part::Dropper(_)
            | Part::Stream(_)
            | Part::Bench(_)
            | Part::Selector(_)
            | Part::Dock => {
                if !reach.is_fed(id) && !reach.is_read(id) {
                    let message = format!("nothing ever reaches `{name}`");
                    let help =
                        "lead something into it, let something arrive there, or leave it out";
                    self.warn(ids::UNREACHED_PART, id, message, help);
                }
            }
            // What it is fed with comes through its places.
            Part::Shuttle(_) => {}
        }
    }

    fn report_stuck_locks(&mut self, design: &Design<'_>, possible: &Possible) {
        for (id, part) in design.network.parts() {
            if let Some(lock) = part.lock()
                && !possible.off(lock)
            {
                let (name, signal) = (design.network.name(id), design.network.name(lock));
                let message =
                    format!("the lock of `{name}` never goes off: `{signal}` is always on");
                let help =
                    "a part is locked while its signal is on: perhaps an inverter is missing";
                self.warn(ids::LOCK_NEVER_OFF, id, message, help);
            }
        }
    }

    /// Reports of goods that come in and belong nowhere.
    fn report_goods_without_store(&mut self, design: &Design<'_>) {
        let stores = &design.declarations.stores;
        let is_overflow = |purpose| purpose == StorePurpose::Overflow;
        if stores.is_empty() || stores.iter().any(|store| is_overflow(store.purpose)) {
            return;
        }
        let mut comes = vec![false; design.network.kinds().len()];
        let mut note = |filling: &Filling| {
            if filling.contents.is_empty() {
                comes[filling.kind.index()] = true;
            }
            for inner in &filling.contents {
                comes[inner.kind.index()] = true;
            }
        };
        // What hoppers hold from the start may be meant to stay there.
        for (part, filling) in design.network.fillings() {
            if design.network.part(*part).container().is_some() {
                note(filling);
            }
        }
        for action in &design.actions {
            if let Action::Deliver { kind, contents, .. } | Action::Fill { kind, contents, .. } =
                action
            {
                note(&Filling {
                    slot: 0,
                    kind: *kind,
                    count: 1,
                    contents: contents.clone(),
                });
            }
        }
        for store in stores {
            for kind in &store.takes {
                comes[kind.index()] = false;
            }
        }
        let document = self.document;
        for (kind, _) in design
            .network
            .kinds()
            .iter()
            .zip(comes)
            .filter(|(_, comes)| *comes)
        {
            let Some(entry) = document.goods.get(&kind.name) else {
                continue;
            };
            let message = format!("no store takes `{}`, and there is no overflow", kind.name);
            let help = "add it to what a store takes, or declare a store with `overflow: true`";
            let problem = Diagnostic::warning(ids::GOODS_WITHOUT_STORE, entry.name.span, message);
            self.problems.report(problem.help(help.to_owned()));
        }
    }
}
