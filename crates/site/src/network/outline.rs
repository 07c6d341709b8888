//! A network without names and wires.

use std::collections::{BTreeMap, BTreeSet};

use hallwright_core::goods::Kind;
use hallwright_core::id::PartId;
use hallwright_core::network::Network;
use hallwright_core::rules::Rules;
use hallwright_core::slot::Filling;

use super::declared::{ears, is_wire, links, sources};
use super::{Ear, Role};
use crate::blocks::Settings;

/// What remains of a network if its wires are dissolved: who hears whom, with which loss.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Outline {
    /// The numbers of its world.
    pub rules: Rules,
    /// The goods, in the order of their ids.
    pub kinds: Vec<Kind>,
    /// Its parts but for wires. They name each other by their numbers here.
    pub members: Vec<Member>,
}

/// One part of an outline.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Member {
    /// Its name, unique in the outline.
    pub name: String,
    /// What it is and how it is set.
    pub settings: Settings,
    /// What it holds at the start, by slot.
    pub contents: Vec<Filling>,
    /// What it acts on or looks at.
    pub links: BTreeSet<(Role, usize)>,
    /// What it hears. An ear that hears nothing is left out.
    pub hears: BTreeMap<Ear, Hearing<usize>>,
}

/// How one source is heard.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Heard {
    /// How much of its level is lost on the way, 0 to 14.
    pub loss: u8,
    /// Whether it is heard itself, not through a wire or a full block. Only ranks of events hang on it: two
    /// networks that differ in nothing else are the same.
    pub is_direct: bool,
}

/// Everything that is heard at one ear.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Hearing<Source: Ord> {
    sources: BTreeMap<Source, Heard>,
}

impl<Source: Ord> Default for Hearing<Source> {
    fn default() -> Self {
        Self {
            sources: BTreeMap::new(),
        }
    }
}

impl<Source: Ord + Copy> Hearing<Source> {
    /// One more way by which a source is heard. The way with the least loss counts.
    pub fn add(&mut self, source: Source, loss: u8, is_direct: bool) {
        let new = Heard { loss, is_direct };
        let heard = self.sources.entry(source).or_insert(new);
        heard.loss = heard.loss.min(loss);
        heard.is_direct |= is_direct;
    }

    /// How a source is heard, if it is.
    #[must_use]
    pub fn get(&self, source: Source) -> Option<Heard> {
        self.sources.get(&source).copied()
    }

    /// All sources, in their order.
    pub fn iter(&self) -> impl Iterator<Item = (Source, Heard)> {
        self.sources.iter().map(|(source, heard)| (*source, *heard))
    }

    /// Whether nothing is heard.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.sources.is_empty()
    }

    /// The one source that is heard, and heard itself; `None` if there are more, or if it is heard through
    /// something.
    #[must_use]
    pub fn only_one_itself(&self) -> Option<Source> {
        let mut all = self.iter();
        match (all.next(), all.next()) {
            (Some((source, heard)), None) if heard.is_direct => Some(source),
            _ => None,
        }
    }

    /// The same with other names for the sources. Those without one are left out.
    #[must_use]
    pub fn renamed<Other: Ord + Copy>(
        &self,
        name: impl Fn(Source) -> Option<Other>,
    ) -> Hearing<Other> {
        let mut renamed = Hearing::default();
        for (source, heard) in self.iter() {
            if let Some(other) = name(source) {
                renamed.add(other, heard.loss, heard.is_direct);
            }
        }
        renamed
    }
}

impl Outline {
    /// That of a network.
    #[must_use]
    pub fn of(network: &Network) -> Self {
        let parts: Vec<PartId> = network
            .part_ids()
            .filter(|part| !is_wire(network, *part))
            .collect();
        let numbers: BTreeMap<PartId, usize> = parts
            .iter()
            .enumerate()
            .map(|(number, part)| (*part, number))
            .collect();
        let number = |part: PartId| numbers.get(&part).copied();
        let mut members: Vec<Member> = parts
            .iter()
            .filter_map(|&part| {
                let settings = Settings::of(network.part(part))?;
                let heard = |(ear, signal): (Ear, PartId)| {
                    let hearing = sources(network, signal).renamed(number);
                    (!hearing.is_empty()).then_some((ear, hearing))
                };
                let link = |(role, to): (Role, PartId)| Some((role, number(to)?));
                Some(Member {
                    name: network.name(part).to_owned(),
                    settings,
                    contents: Vec::new(),
                    links: links(network, part).into_iter().filter_map(link).collect(),
                    hears: ears(network, part).into_iter().filter_map(heard).collect(),
                })
            })
            .collect();
        for (part, filling) in network.fillings() {
            if let Some(number) = number(*part) {
                members[number].contents.push(filling.clone());
            }
        }
        Self {
            rules: *network.rules(),
            kinds: network.kinds().to_vec(),
            members,
        }
    }
}
