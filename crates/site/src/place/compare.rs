//! What is declared against what the blocks make.

use std::collections::{BTreeMap, BTreeSet};

use hallwright_core::id::PartId;
use hallwright_core::network::Network;
use hallwright_core::part::{Hopper, Intake, Part};

use super::far;
use super::finding::{Detail, Finding, Rule};
use super::lay::room_name;
use super::reach::reach;
use crate::blocks::{Piece, Shape, World};
use crate::derive::{Made, ear_blocks};
use crate::network::{Ear, Hearing, Role, ears, links, routes, sources};
use hallwright_declared::placement::{Origin, Placed, Placement};
use hallwright_declared::space::{Block, Side};

/// What a comparison came to.
#[derive(Clone, PartialEq, Eq, Debug, Default)]
pub struct Compared {
    /// Every difference, and everything else that the tick rules do not know.
    pub findings: Vec<Finding>,
    /// How many declared links blocks make, each listener's sources counted one by one.
    pub proven: usize,
}

/// Compares what a network that is placed like this declares with what blocks make. A piece is the part of its name; links of parts
/// that stand nowhere are not proven, and not missed either.
#[must_use]
pub fn compare(network: &Network, placement: &Placement, world: &World, made: &Made) -> Compared {
    let names = by_name(network);
    let part_of = |piece: &Piece| match piece.is_room() {
        true => None,
        false => names.get(piece.name.as_str()).copied(),
    };
    let parts: Vec<Option<PartId>> = world.pieces().iter().map(part_of).collect();
    let mut pieces: Vec<Option<usize>> = vec![None; network.part_count()];
    for (piece, part) in parts.iter().enumerate() {
        if let Some(part) = part {
            pieces[part.index()].get_or_insert(piece);
        }
    }
    let in_rooms = placement.room_of_each(network.part_count());
    let rooms = room_pieces(placement, world);
    for (part, room) in in_rooms.iter().enumerate() {
        if let Some(piece) = room.and_then(|room| rooms[room]) {
            pieces[part] = Some(piece);
        }
    }
    let mut comparer = Comparer {
        network,
        placement,
        world,
        made,
        parts,
        pieces,
        compared: Compared::default(),
    };
    for part in network.part_ids() {
        let Some(piece) = comparer.pieces[part.index()] else {
            continue;
        };
        if comparer.piece(piece).is_room() {
            comparer.looks_out(part, piece);
            comparer.too_fast(part, piece);
        } else {
            comparer.links(part, piece);
            comparer.ears(part, piece);
            comparer.open_top(part, piece);
        }
    }
    comparer.strangers();
    comparer.chests();
    comparer.unmodelled();
    comparer.compared
}

struct Comparer<'a> {
    network: &'a Network,
    placement: &'a Placement,
    world: &'a World,
    made: &'a Made,
    /// Of each piece the part that it is.
    parts: Vec<Option<PartId>>,
    /// Of each part its piece.
    pieces: Vec<Option<usize>>,
    compared: Compared,
}

impl Comparer<'_> {
    fn piece(&self, number: usize) -> &Piece {
        self.world.piece(number)
    }

    fn at(&self, number: usize) -> Option<Block> {
        self.piece(number).blocks.first().copied()
    }

    /// The block of a piece that is nearest to another's first.
    fn nearest(&self, number: usize, to: usize) -> Option<Block> {
        let to = self.at(to);
        let blocks = self.piece(number).blocks.iter().copied();
        blocks.min_by_key(|block| to.map(|to| block.steps_to(to)))
    }

    /// A finding about two pieces.
    fn between(&self, rule: Rule, piece: usize, other: usize) -> Finding {
        Finding::new(rule, self.parts[piece], self.at(piece))
            .with(self.parts[other], self.nearest(other, piece))
    }

    /// A finding about two parts, of which one is in a room at least.
    fn through_wall(
        &self,
        rule: Rule,
        (part, piece): (PartId, usize),
        (to, other): (PartId, usize),
    ) -> Finding {
        let at = match self.piece(piece).is_room() {
            true => self.nearest(piece, other),
            false => self.at(piece),
        };
        let finding = Finding::new(rule, Some(part), at);
        let finding = finding.with(Some(to), self.nearest(other, piece));
        finding.in_rooms([piece, other].map(|number| room_name(self.piece(number))))
    }

    fn report(&mut self, finding: Finding) {
        self.compared.findings.push(finding);
    }

    fn is_boxed(&self, part: PartId) -> bool {
        match self.network.part(part) {
            Part::Selector(_) | Part::Dock | Part::Shuttle(_) => true,
            Part::Container(_) | Part::Hopper(_) | Part::Dropper(_) | Part::Mouth => false,
            Part::Stream(_) | Part::Bench(_) | Part::Signal(_) => false,
        }
    }

    /// Goods, readings and what is watched.
    fn links(&mut self, part: PartId, piece: usize) {
        let declared = links(self.network, part);
        let made = &self.made.links[piece];
        let mut asked: BTreeSet<(Role, usize)> = BTreeSet::new();
        for (role, to) in declared {
            let Some(other) = self.pieces[to.index()] else {
                continue;
            };
            if self.piece(other).is_room() {
                let finding = self.through_wall(apart(role), (part, piece), (to, other));
                self.report(finding.saying(Detail::Link(role)));
                continue;
            }
            asked.insert((role, other));
            if let Role::Stop(_) = role {
                continue; // A shuttle's round is taken at its word.
            }
            if made.contains(&(role, other)) {
                self.compared.proven += 1;
            } else {
                let rule = self.apart(role, part, to);
                // Where the other is already, something else is missing: a side, or a turn.
                let is_there = |block: &Block| self.world.at(*block) == Some(other);
                let mut wanted = reach(self.world, self.piece(piece), role);
                wanted.retain(|block| !is_there(block));
                let finding = self.between(rule, piece, other).wanted(wanted);
                self.report(finding.saying(Detail::Link(role)));
            }
        }
        for (role, other) in made.difference(&asked) {
            if let Some(rule) = unasked(*role) {
                let finding = self.between(rule, piece, *other);
                self.report(finding.saying(Detail::Link(*role)));
            }
        }
    }

    /// What a part in a room reads or watches that stands outside of it, or in another room.
    fn looks_out(&mut self, part: PartId, piece: usize) {
        let watched = ears(self.network, part).into_iter();
        let watched = watched.filter(|(ear, _)| *ear == Ear::Watch);
        for (ear, wire) in watched {
            let is_drawn = self.placement.of(wire).is_some_and(Placed::is_added_wire);
            let finding = match self.pieces[wire.index()] {
                Some(other) if other != piece => {
                    self.through_wall(Rule::WatchingApart, (part, piece), (wire, other))
                }
                // Which of the drawn blocks it fills is not said.
                None if is_drawn => {
                    let finding = Finding::new(Rule::WatchingApart, Some(part), self.at(piece));
                    let room = room_name(self.piece(piece));
                    finding.with(Some(wire), None).in_rooms([room, None])
                }
                Some(_) | None => continue,
            };
            self.report(finding.saying(Detail::Ear(ear)));
        }
        for (role, to) in links(self.network, part) {
            let Some(other) = self.pieces[to.index()].filter(|other| *other != piece) else {
                continue;
            };
            let finding = self.through_wall(apart(role), (part, piece), (to, other));
            self.report(finding.saying(Detail::Link(role)));
        }
    }

    /// What a part hears sooner than it could. Gives the pieces of those.
    fn too_fast(&mut self, part: PartId, piece: usize) -> BTreeSet<usize> {
        let far = far::too_fast(self.network, self.world, &self.pieces, part, piece);
        let others = far.iter().map(|(_, other, _)| *other).collect();
        for (source, other, detail) in far {
            let finding = self.through_wall(Rule::TooFast, (part, piece), (source, other));
            self.report(finding.saying(detail));
        }
        others
    }

    /// The rule that a declared link breaks if blocks do not make it.
    fn apart(&self, role: Role, part: PartId, to: PartId) -> Rule {
        match self.is_boxed(to) || self.is_boxed(part) {
            true if role.is_of_goods() => Rule::SideApart,
            _ => apart(role),
        }
    }

    /// What the ears of a part hear.
    fn ears(&mut self, part: PartId, piece: usize) {
        let declared: BTreeMap<Ear, PartId> = ears(self.network, part).into_iter().collect();
        let made = &self.made.hears[piece];
        let all: BTreeSet<Ear> = declared.keys().chain(made.keys()).copied().collect();
        let nothing = Hearing::default();
        let too_far = self.too_fast(part, piece);
        for ear in all {
            if ear == Ear::Lift {
                continue; // Who lifts a bench's box is taken at its word.
            }
            let made = made.get(&ear).unwrap_or(&nothing);
            self.ear(piece, ear, declared.get(&ear).copied(), made, &too_far);
        }
    }

    fn ear(
        &mut self,
        piece: usize,
        ear: Ear,
        signal: Option<PartId>,
        made: &Hearing<usize>,
        too_far: &BTreeSet<usize>,
    ) {
        let (apart, unasked) = rules_of(ear);
        let is_drawn = |wire: PartId| {
            let placed = self.placement.of(wire);
            let piece = self.pieces[wire.index()].filter(|piece| !self.piece(*piece).is_room());
            piece.is_some() || placed.is_some_and(Placed::is_added_wire)
        };
        let (every, drawn) = match signal {
            Some(signal) => (
                sources(self.network, signal),
                routes(self.network, signal, is_drawn),
            ),
            None => (Hearing::default(), Hearing::default()),
        };
        if let (Ear::Watch, Some(wire), Some(part)) = (ear, signal, self.parts[piece])
            && let Some(other) = self.pieces[wire.index()]
            && self.piece(other).is_room()
        {
            let finding = self.through_wall(apart, (part, piece), (wire, other));
            self.report(finding.saying(Detail::Ear(ear)));
        }
        let mut asked = BTreeSet::new();
        for (source, best) in every.iter() {
            let Some(other) = self.pieces[source.index()] else {
                continue;
            };
            if self.piece(other).is_room() {
                continue; // The way from its wall is taken at its word; only its time is asked.
            }
            asked.insert(other);
            let by_drawing = drawn.get(source);
            match made.get(other) {
                Some(heard) => {
                    let fits = heard.loss == best.loss
                        || by_drawing.is_some_and(|drawn| drawn.loss == heard.loss);
                    if fits {
                        self.compared.proven += 1;
                    } else {
                        let finding = self.between(Rule::Loss, piece, other);
                        self.report(finding.saying(Detail::Loss {
                            ear,
                            declared: by_drawing.unwrap_or(best).loss,
                            made: heard.loss,
                        }));
                    }
                }
                None if by_drawing.is_some() && !too_far.contains(&other) => {
                    let finding = self.between(apart, piece, other);
                    let wanted = ear_blocks(self.piece(piece), ear);
                    self.report(finding.wanted(wanted).saying(Detail::Ear(ear)));
                }
                None => {} // Too far in any case, or through a wire of which nobody says where it is.
            }
        }
        let hangs = self.piece(piece).hangs();
        for (other, _) in made.iter().filter(|(other, _)| !asked.contains(other)) {
            if hangs && other == piece {
                continue; // It would hear itself; but it cannot hang, and that is reported.
            }
            let finding = self.between(unasked, piece, other);
            self.report(finding.saying(Detail::Ear(ear)));
        }
    }

    fn open_top(&mut self, part: PartId, piece: usize) {
        // What lies above a drawn hopper lies in a mouth that nobody named.
        let is_unnamed = |mouth: PartId| {
            let placed = self.placement.of(mouth);
            placed.is_some_and(|placed| placed.origin == Origin::Added)
        };
        let has_open_top = self.made.open_tops.contains(&piece);
        let is_open = |hopper: &Hopper| match hopper.intake {
            Intake::Cap => has_open_top,
            Intake::Mouth(mouth) => is_unnamed(mouth),
            Intake::Above(_) => false,
        };
        if self.network.part(part).hopper().is_some_and(is_open) {
            let at = self.at(piece);
            let wanted = at.map(|at| at.beside(Side::PlusY)).into_iter().collect();
            self.report(Finding::new(Rule::OpenTop, Some(part), at).wanted(wanted));
        }
    }

    /// Pieces that are no part of the network do nothing to its parts only if they touch none.
    fn strangers(&mut self) {
        for piece in 0..self.parts.len() {
            if self.parts[piece].is_some() {
                continue;
            }
            let links = self.made.links[piece].iter();
            let made: Vec<(Role, usize)> = links.copied().collect();
            for (role, other) in made {
                if let (Some(rule), Some(_)) = (unasked(role), self.parts[other]) {
                    let finding = self.between(rule, piece, other);
                    self.report(finding.saying(Detail::Link(role)));
                }
            }
        }
    }

    /// Every two single chests beside each other, though of three in a row only two join: which two hangs on
    /// how the hall is turned.
    fn chests(&mut self) {
        let singles: Vec<usize> = self.world.of_shape(Shape::Chest).collect();
        for piece in singles {
            let Some(block) = self.at(piece) else {
                continue;
            };
            for side in Side::LEVEL {
                let beside = self.world.at(block.beside(side));
                let other = beside.filter(|other| *other > piece);
                let joins = other.filter(|other| self.piece(*other).shape == Shape::Chest);
                if let Some(other) = joins {
                    let finding = self.between(Rule::ChestsJoin, piece, other);
                    self.report(finding);
                }
            }
        }
    }

    /// What blocks do that the tick rules do not know.
    fn unmodelled(&mut self) {
        for armed in &self.made.armed {
            let finding = self.between(Rule::Armed, armed.dropper, armed.source);
            self.compared.findings.push(finding);
        }
        for drowned in &self.made.drowned {
            let finding = self.between(Rule::Drowned, drowned.comparator, drowned.source);
            self.compared
                .findings
                .push(finding.wanted(vec![drowned.through]));
        }
    }
}

/// The rule that a link of blocks, not of boxes, breaks if blocks do not make it.
pub(super) fn apart(role: Role) -> Rule {
    match role {
        Role::Match | Role::Rest | Role::WhenFull | Role::Stop(_) => Rule::SideApart,
        Role::Reads => Rule::ReadingApart,
        Role::WatchesSignal | Role::WatchesLock => Rule::WatchingApart,
        Role::WatchesTrigger | Role::WatchesMatches => Rule::WatchingApart,
        Role::Target => Rule::TargetApart,
        Role::Above => Rule::AboveApart,
        Role::Mouth | Role::Drinks | Role::End | Role::Out => Rule::MouthApart,
        Role::Into | Role::Bench | Role::Loose => Rule::FrontApart,
    }
}

/// The rules about a signal that is missed at an ear, and about one that nobody declared there.
pub(super) fn rules_of(ear: Ear) -> (Rule, Rule) {
    match ear {
        Ear::Lock => (Rule::LockApart, Rule::LocksUnasked),
        Ear::Trigger => (Rule::TriggerApart, Rule::FiresUnasked),
        Ear::Watch => (Rule::WatchingApart, Rule::FeedsUnasked),
        Ear::Input(_) | Ear::Rear | Ear::Side | Ear::Release(_) | Ear::Lift => {
            (Rule::SignalApart, Rule::FeedsUnasked)
        }
    }
}

/// The rule about a link that nobody declared. Where a stream or bench leads is not asked: if it is not
/// where it is meant to lead, that is missed.
fn unasked(role: Role) -> Option<Rule> {
    match role {
        Role::Above | Role::Mouth => Some(Rule::DrawsUnasked),
        Role::Drinks => Some(Rule::Drinks),
        Role::Target | Role::Into | Role::Bench | Role::Loose => Some(Rule::PushesUnasked),
        Role::Match | Role::Rest | Role::WhenFull => Some(Rule::PushesUnasked),
        Role::Reads | Role::WatchesSignal | Role::WatchesLock => Some(Rule::FeedsUnasked),
        Role::WatchesTrigger | Role::WatchesMatches => Some(Rule::FeedsUnasked),
        Role::End | Role::Out | Role::Stop(_) => None,
    }
}

/// Of each room its piece.
fn room_pieces(placement: &Placement, world: &World) -> Vec<Option<usize>> {
    let numbered = world.pieces().iter().enumerate();
    let rooms = numbered.filter(|(_, piece)| piece.is_room());
    let by_name: BTreeMap<&str, usize> = rooms
        .map(|(number, piece)| (piece.name.as_str(), number))
        .collect();
    let rooms = placement.rooms.iter();
    rooms
        .map(|room| by_name.get(room.name.as_str()).copied())
        .collect()
}

/// Of each part of a network its name.
fn by_name(network: &Network) -> BTreeMap<&str, PartId> {
    let parts = network.part_ids();
    parts.map(|part| (network.name(part), part)).collect()
}
