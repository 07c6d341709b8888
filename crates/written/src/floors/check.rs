//! Whether what the blocks show is all that is declared, so that the links of what is drawn can be left out.

use std::collections::{BTreeMap, BTreeSet};

use hallwright_core::id::PartId;
use hallwright_core::network::Network;
use hallwright_scenario::Scenario;
use hallwright_site::network::{Ear, Role, ears, links, sources};
use hallwright_site::place::Site;

use super::drawing::wires_from;
use super::{Standing, Undrawable, named};

/// Checks a site without problems. Gives the wires that stay parts: those that parts hear which are not drawn, and
/// those that something names.
pub(super) fn check(
    scenario: &Scenario,
    site: &Site,
    standing: &Standing,
    unworded: &BTreeMap<usize, String>,
    in_rooms: &BTreeSet<PartId>,
) -> Result<BTreeSet<PartId>, Undrawable> {
    let mut checker = Checker {
        network: &scenario.network,
        site,
        standing,
        unworded,
        in_rooms,
        kept: BTreeSet::new(),
    };
    let parts = checker.network.part_ids();
    for part in parts.filter(|part| !standing.is_wire(*part)) {
        checker.links(part)?;
        checker.signals(part)?;
    }
    // Rooms name what is in them, and keep it.
    for part in in_rooms.iter().filter(|part| standing.is_wire(**part)) {
        checker.keep(*part, *part)?;
    }
    for (part, by) in named::named(scenario) {
        checker.named(part, &by)?;
    }
    Ok(checker.kept)
}

struct Checker<'a> {
    network: &'a Network,
    site: &'a Site,
    standing: &'a Standing,
    /// The pieces that no words can show, with why.
    unworded: &'a BTreeMap<usize, String>,
    /// What is in a room, and linked to whatever says so.
    in_rooms: &'a BTreeSet<PartId>,
    /// Wires that stay parts.
    kept: BTreeSet<PartId>,
}

impl Checker<'_> {
    fn name(&self, part: PartId) -> String {
        self.network.name(part).to_owned()
    }

    /// Why a part that stands cannot be drawn.
    fn why_unworded(&self, part: PartId) -> Option<&String> {
        let number = self.standing.pieces.get(&part)?;
        self.unworded.get(number)
    }

    /// An error unless both stand or neither does.
    fn both_or_neither(&self, one: PartId, other: PartId) -> Result<(), Undrawable> {
        if self.in_rooms.contains(&one) || self.in_rooms.contains(&other) {
            return Ok(()); // Whoever hears what is in a room keeps its links.
        }
        let (standing, other) = match (self.standing.stands(one), self.standing.stands(other)) {
            (true, false) => (one, other),
            (false, true) => (other, one),
            (true, true) | (false, false) => return Ok(()),
        };
        Err(Undrawable::LinkedToUnplaced {
            standing: self.name(standing),
            other: self.name(other),
        })
    }

    /// What a part acts on or looks at. Where a shuttle stops it says itself, drawn or not.
    fn links(&self, part: PartId) -> Result<(), Undrawable> {
        let stands = self.standing.stands(part);
        for (role, to) in links(self.network, part) {
            let is_said = matches!(role, Role::Stop(_)) && stands;
            if !is_said {
                self.both_or_neither(part, to)?;
            }
        }
        Ok(())
    }

    /// What a part hears.
    fn signals(&mut self, part: PartId) -> Result<(), Undrawable> {
        let stands = self.standing.stands(part);
        for (ear, signal) in ears(self.network, part) {
            if let Some(why) = self.why_unworded(part).cloned() {
                self.declare(part, signal, why)?;
            } else if ear == Ear::Lift && stands && self.standing.is_wire(signal) {
                self.named(
                    signal,
                    &format!("the lift of `{}`", self.network.name(part)),
                )?;
            }
            if ear == Ear::Lift && stands {
                continue; // What lifts its box a bench says itself.
            }
            for (source, _) in sources(self.network, signal).iter() {
                self.both_or_neither(part, source)?;
            }
            match stands {
                true => self.is_carried(part, ear, signal)?,
                false => self.keep(part, signal)?,
            }
        }
        Ok(())
    }

    /// An error unless the blocks carry to an ear whatever it hears, each source with its loss.
    fn is_carried(&self, part: PartId, ear: Ear, signal: PartId) -> Result<(), Undrawable> {
        let Some(piece) = self.standing.pieces.get(&part) else {
            return Ok(());
        };
        let made = self.site.made.hears[*piece].get(&ear);
        for (source, declared) in sources(self.network, signal).iter() {
            if self.in_rooms.contains(&source) {
                continue;
            }
            let number = self.standing.pieces.get(&source);
            let made = number.and_then(|number| made?.get(*number));
            if made.is_none_or(|made| made.loss != declared.loss) {
                let mut wires = wires_from(self.network, signal).into_iter();
                let carries = |wire: PartId| sources(self.network, wire).get(source).is_some();
                let unplaced = wires.find(|wire| !self.standing.stands(*wire) && carries(*wire));
                return Err(Undrawable::WireUnplaced {
                    listener: self.name(part),
                    source_name: self.name(source),
                    wire: self.name(unplaced.unwrap_or(signal)),
                });
            }
        }
        Ok(())
    }

    /// Keeps the wires through which a part hears that stands nowhere.
    fn keep(&mut self, part: PartId, signal: PartId) -> Result<(), Undrawable> {
        for wire in wires_from(self.network, signal) {
            if self.standing.stands(wire) {
                return Err(Undrawable::WireToUnplaced {
                    listener: self.name(part),
                    wire: self.name(wire),
                });
            }
            self.kept.insert(wire);
        }
        Ok(())
    }

    /// Keeps what a part hears that is declared where it stands.
    fn declare(&mut self, part: PartId, signal: PartId, why: String) -> Result<(), Undrawable> {
        let wires = wires_from(self.network, signal);
        if self.standing.is_wire(signal) && self.is_drawn(signal, &wires) {
            return Err(Undrawable::Neither {
                name: self.name(part),
                why,
                wire: self.name(signal),
            });
        }
        self.kept.extend(wires);
        Ok(())
    }

    /// Whether a wire has no name once what stands is drawn: it is drawn itself, or carries a signal of what is.
    fn is_drawn(&self, wire: PartId, wires: &[PartId]) -> bool {
        if self.in_rooms.contains(&wire) {
            return false;
        }
        wires.iter().any(|wire| self.standing.stands(*wire))
            || sources(self.network, wire)
                .iter()
                .any(|(source, _)| self.standing.stands(source))
    }

    /// Keeps a wire that something names, unless it is drawn, or belongs to what is drawn.
    fn named(&mut self, part: PartId, by: &str) -> Result<(), Undrawable> {
        if !self.standing.is_wire(part) {
            return Ok(());
        }
        let wires = wires_from(self.network, part);
        if self.is_drawn(part, &wires) {
            return Err(Undrawable::WireNamed {
                by: by.to_owned(),
                wire: self.name(part),
            });
        }
        self.kept.extend(wires);
        Ok(())
    }
}
