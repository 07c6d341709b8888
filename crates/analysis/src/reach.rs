//! Where goods can come to by themselves and in boxes.
//!
//! It is looked along the ways of the network, of which none is missing and some may never be taken.
//! What is known better is left out: a sieve lets only those kinds in that it starts with, as long as it
//! is intact; goods are drawn from a box on a bench and put into it, and the box itself is set down and
//! lifted there.

use hallwright_core::id::{KindId, PartId};
use hallwright_core::network::Network;
use hallwright_core::part::Part;
use hallwright_declared::declarations::Declarations;
use petgraph::Direction;

use crate::homes::Form;
use crate::ways::{KindSet, KindWays, Way, WayKind};

/// Says where goods can come to.
pub struct Reach<'n> {
    network: &'n Network,
    ways: KindWays,
    boxes: Vec<KindId>,
    benches: Vec<PartId>,
    /// For each declared sieve without an empty slot, the kinds that it starts with.
    doors: Vec<Option<KindSet>>,
}

/// The parts that goods can come to, by number.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Reached {
    loose: Vec<bool>,
    boxed: Vec<bool>,
}

impl Reached {
    /// Whether they can come to any of these parts in a form.
    pub fn any(&self, parts: &[PartId], form: Form) -> bool {
        let reached = match form {
            Form::Loose => &self.loose,
            Form::Boxed => &self.boxed,
        };
        parts.iter().any(|part| reached[part.index()])
    }

    /// Whether they can come to any of these parts at all.
    pub fn any_at_all(&self, parts: &[PartId]) -> bool {
        self.any(parts, Form::Loose) || self.any(parts, Form::Boxed)
    }
}

impl<'n> Reach<'n> {
    /// In a network, with the stores that are declared in it.
    pub fn new(network: &'n Network, declared: &Declarations) -> Self {
        let kinds = network.kinds().len();
        let ids = (0..kinds).map(KindId::from_index);
        let mut doors = vec![None; network.part_count()];
        for sieve in &declared.sieves {
            let own = network.fillings().iter();
            let own = own.filter(|(part, _)| part == sieve);
            let mut door = KindSet::none(kinds);
            let mut filled = 0;
            for (_, filling) in own {
                door.insert(filling.kind);
                filled += 1;
            }
            if network.own_slots(*sieve) == Some(filled) {
                doors[sieve.index()] = Some(door);
            }
        }
        let benches = network.parts().filter(|(_, part)| part.bench().is_some());
        Self {
            network,
            ways: KindWays::new(network),
            boxes: ids.filter(|kind| network.kind(*kind).is_box).collect(),
            benches: benches.map(|(id, _)| id).collect(),
            doors,
        }
    }

    /// Where goods of a kind can come to from some parts, going through none of those that are barred.
    /// What arrives in boxes is followed as the boxes go, and both ways where it is packed or drawn out.
    pub fn from(&self, kind: KindId, form: Form, starts: &[PartId], bars: &[PartId]) -> Reached {
        // A box that is asked about itself goes as boxes do, whatever is in it.
        let is_box = self.network.kind(kind).is_box;
        let boxes = if is_box {
            vec![kind]
        } else {
            self.boxes.clone()
        };
        let nodes = self.network.part_count() + 1;
        let mut reached = Reached {
            loose: vec![false; nodes],
            boxed: vec![false; nodes],
        };
        let mut is_barred = vec![false; nodes];
        for bar in bars {
            is_barred[bar.index()] = true;
        }
        // Where they newly are in each form, to go on from.
        let (mut loose, mut boxed) = match form {
            Form::Loose if !is_box => (starts.to_vec(), Vec::new()),
            Form::Loose | Form::Boxed => (Vec::new(), starts.to_vec()),
        };
        while !loose.is_empty() || !boxed.is_empty() {
            let new = self
                .ways
                .ways()
                .reached(loose.drain(..), Direction::Outgoing, |way| {
                    self.carries_loose(way, kind) && !is_barred[way.to]
                });
            boxed.extend(self.new_benches(&new, &reached.boxed));
            take_in(&mut reached.loose, &new);
            let new = self
                .ways
                .ways()
                .reached(boxed.drain(..), Direction::Outgoing, |way| {
                    self.carries_boxes(way, &boxes) && !is_barred[way.to]
                });
            if !is_box {
                loose.extend(self.new_benches(&new, &reached.loose));
            }
            take_in(&mut reached.boxed, &new);
        }
        if is_box {
            reached.loose.clone_from(&reached.boxed);
        }
        reached
    }

    /// The benches among these at which goods have not been in the other form.
    fn new_benches(&self, here: &[bool], known: &[bool]) -> Vec<PartId> {
        let benches = self.benches.iter().copied();
        benches
            .filter(|id| here[id.index()] && !known[id.index()])
            .collect()
    }

    fn carries_loose(&self, way: &Way, kind: KindId) -> bool {
        let is_own = !matches!(
            way.kind,
            WayKind::Pack | WayKind::Unpack | WayKind::Lift | WayKind::SetDown
        );
        is_own && self.carries(way, kind)
    }

    fn carries_boxes(&self, way: &Way, boxes: &[KindId]) -> bool {
        let is_bench = |node: usize| {
            let part = self.network.part(PartId::from_index(node));
            matches!(part, Part::Bench(_))
        };
        let is_own = match way.kind {
            WayKind::Pack | WayKind::Unpack | WayKind::ThrowPast => false,
            WayKind::Lift | WayKind::SetDown => true,
            WayKind::Push | WayKind::Pull | WayKind::PickUp | WayKind::Throw => {
                !is_bench(way.from) && !is_bench(way.to)
            }
            WayKind::Flow | WayKind::Match | WayKind::Rest | WayKind::WhenFull => true,
            WayKind::Load | WayKind::Unload | WayKind::Travel => true,
        };
        is_own && boxes.iter().any(|kind| self.carries(way, *kind))
    }

    /// Whether a way lets a kind through, and what it leads into lets it in.
    fn carries(&self, way: &Way, kind: KindId) -> bool {
        let door = self.doors.get(way.to).and_then(Option::as_ref);
        self.ways.carries(way, kind) && door.is_none_or(|door| door.contains(kind))
    }
}

fn take_in(all: &mut [bool], new: &[bool]) {
    for (known, new) in all.iter_mut().zip(new) {
        *known |= new;
    }
}
