//! The digest of a run's state, after `docs/digest.md`.

use hallwright_core::id::PartId;
use rand_chacha::ChaCha8Rng;

use crate::engine::ReferenceEngine;
use crate::inventory::{Article, Inventory};
use crate::world::{PartState, SelectorState, ShuttleState, Whereabouts};

/// The 64-bit FNV-1a hash, in the public domain, by Fowler, Noll and Vo.
pub(crate) fn fnv(bytes: &[u8]) -> u64 {
    let mut hash: u64 = 0xcbf2_9ce4_8422_2325;
    for byte in bytes {
        hash ^= u64::from(*byte);
        hash = hash.wrapping_mul(0x0000_0100_0000_01b3);
    }
    hash
}

/// The bytes that are hashed.
#[derive(Default)]
struct Bytes(Vec<u8>);

impl Bytes {
    fn number(&mut self, number: u64) {
        self.0.extend_from_slice(&number.to_le_bytes());
    }

    fn index(&mut self, index: usize) {
        self.number(index as u64);
    }

    fn inventory(&mut self, inventory: &Inventory) {
        for slot in &inventory.slots {
            match slot {
                None => self.number(0),
                Some(pile) => {
                    self.number(u64::from(pile.count));
                    self.article(&pile.article);
                }
            }
        }
    }

    fn article(&mut self, article: &Article) {
        self.index(article.kind.index() + 1);
        if let Some(contents) = article.contents() {
            self.inventory(contents);
        }
    }

    fn chance(&mut self, chance: &ChaCha8Rng) {
        let position: u128 = chance.get_word_pos();
        self.0.extend_from_slice(&position.to_le_bytes());
    }

    fn selector(&mut self, selector: &SelectorState) {
        self.index(selector.queue.len());
        for queued in &selector.queue {
            self.article(&queued.article);
            self.number(queued.ready);
        }
        self.number(selector.last_ready.map_or(0, |ready| ready + 1));
    }

    fn shuttle(&mut self, shuttle: &ShuttleState) {
        self.inventory(&shuttle.slots);
        let (way, tick) = match shuttle.whereabouts {
            Whereabouts::Docked { since } => (0, since),
            Whereabouts::UnderWay { arrives } => (1, arrives),
        };
        self.number(way);
        self.index(shuttle.stop);
        self.number(tick);
    }

    fn part(&mut self, part: &PartState) {
        match part {
            PartState::Open | PartState::Place => {}
            PartState::Container(slots) => self.inventory(slots),
            PartState::Dropper(dropper) => {
                self.inventory(&dropper.slots);
                self.chance(&dropper.chance);
            }
            PartState::Hopper(hopper) => {
                self.inventory(&hopper.slots);
                self.number(u64::from(hopper.cooldown));
                self.number(hopper.work);
            }
            PartState::Bench(bench) => match &bench.standing {
                None => self.number(0),
                Some(article) => {
                    self.number(1);
                    self.article(article);
                    self.number(bench.held_ticks);
                }
            },
            PartState::Selector(selector) => self.selector(selector),
            PartState::Shuttle(shuttle) => self.shuttle(shuttle),
            PartState::Signal(level) => self.number(u64::from(*level)),
        }
    }
}

impl ReferenceEngine {
    /// One number for everything that can matter to the run's future.
    #[must_use]
    pub fn digest(&self) -> u64 {
        fnv(&self.digest_bytes())
    }

    /// The bytes that the digest is the hash of.
    fn digest_bytes(&self) -> Vec<u8> {
        let world = &self.world;
        let mut bytes = Bytes::default();
        bytes.number(world.tick);
        for part in &world.parts {
            bytes.part(part);
        }
        bytes.index(world.loose.len());
        for stack in &world.loose {
            bytes.number(stack.number);
            bytes.article(&stack.article);
            bytes.number(u64::from(stack.count));
            bytes.index(PartId::index(stack.place));
            bytes.number(u64::from(stack.age));
            bytes.number(u64::from(stack.at_rest));
        }
        let mut pending = world.pending.clone();
        pending.sort_by_key(|event| (event.due, event.priority));
        bytes.index(pending.len());
        for event in pending {
            bytes.number(event.due);
            bytes.number(u64::try_from(event.priority + 2).unwrap_or(u64::MAX));
            bytes.index(event.part.index());
            bytes.number(u64::from(event.level));
        }
        for kind in 0..world.lost.len() {
            bytes.number(world.lost[kind]);
            bytes.number(world.delivered[kind]);
            bytes.number(world.withdrawn[kind]);
        }
        bytes.number(world.next_stack);
        bytes.0
    }
}
