//! The state of a run: one record for each part, and what is on its way.

use hallwright_core::id::{BoxId, KindId, PartId};
use hallwright_core::network::Network;
use hallwright_core::part::Part;
use hallwright_core::setup::Setup;
use hallwright_core::slot::Filling;
use rand::SeedableRng;
use rand_chacha::ChaCha8Rng;

use crate::book::RuleBook;
use crate::digest::fnv;
use crate::fault::Fault;
use crate::inventory::{Article, CarriedBox, Inventory};
use crate::mishaps::Stuck;

/// All that changes in a run.
#[derive(Clone, Debug)]
pub(crate) struct World {
    /// The tick under way; between two ticks, the next one.
    pub(crate) tick: u64,
    /// The state of each part, by its id.
    pub(crate) parts: Vec<PartState>,
    /// Loose stacks in the order in which they came loose.
    pub(crate) loose: Vec<LooseStack>,
    /// Signal events that are scheduled, in the order of scheduling.
    pub(crate) pending: Vec<PendingEvent>,
    /// For each part, by its id, the tick from whose start on it is awake; 0 if it never slept.
    pub(crate) awake_at: Vec<u64>,
    /// For each part, by its id, the ticks that it sleeps in all, those of a sleep under way included.
    pub(crate) slept_ticks: Vec<u64>,
    /// For each part, by its id, how long it is stuck, if it is.
    pub(crate) stuck: Vec<Option<Stuck>>,
    /// The number of the next loose stack.
    pub(crate) next_stack: u64,
    /// The number of the next box.
    pub(crate) next_box: usize,
    /// The deliveries that wait, at whatever place, in the order in which they were due.
    pub(crate) waiting: Vec<Consignment>,
    /// Items of each kind that were there at the start, in boxes or not; so too the five below.
    pub(crate) at_start: Vec<u64>,
    pub(crate) sent: Vec<u64>,
    pub(crate) refused: Vec<u64>,
    pub(crate) delivered: Vec<u64>,
    pub(crate) withdrawn: Vec<u64>,
    pub(crate) lost: Vec<u64>,
}

/// The state of one part.
#[derive(Clone, Debug)]
pub(crate) enum PartState {
    /// A mouth or stream: what is there is loose.
    Open,
    /// A shuttle's dock: what stands there is a shuttle.
    Dock,
    Container(Inventory),
    Hopper(HopperState),
    Dropper(Box<DropperState>),
    Bench(BenchState),
    Selector(SelectorState),
    Shuttle(ShuttleState),
    /// The level of a signal, 0 to 15: what all who read it see.
    Signal(u8),
}

#[derive(Clone, Debug)]
pub(crate) struct HopperState {
    pub(crate) slots: Inventory,
    /// Ticks until it may act again.
    pub(crate) cooldown: u32,
    /// The tick of its last turn; -1 before the first.
    pub(crate) last_turn: i64,
    /// Work units since the start.
    pub(crate) work: u64,
}

#[derive(Clone, Debug)]
pub(crate) struct DropperState {
    pub(crate) slots: Inventory,
    pub(crate) chance: ChaCha8Rng,
}

#[derive(Clone, Debug)]
pub(crate) struct BenchState {
    /// The box that stands there.
    pub(crate) standing: Option<Article>,
    /// For how many ends of phase 4 in a row the condition has held.
    pub(crate) held_ticks: u64,
}

#[derive(Clone, Debug)]
pub(crate) struct SelectorState {
    /// First in first.
    pub(crate) queue: Vec<Queued>,
    /// The tick at which the item accepted last is or was ready.
    pub(crate) last_ready: Option<u64>,
    /// The tick of its last turn; -1 before the first.
    pub(crate) last_turn: i64,
}

#[derive(Clone, Debug)]
pub(crate) struct Queued {
    pub(crate) article: Article,
    pub(crate) ready: u64,
}

#[derive(Clone, Debug)]
pub(crate) struct ShuttleState {
    pub(crate) slots: Inventory,
    /// The stop where it is docked, or to which it is on the way.
    pub(crate) stop: usize,
    pub(crate) whereabouts: Whereabouts,
}

#[derive(Clone, Copy, Debug)]
pub(crate) enum Whereabouts {
    /// Docked since this tick.
    Docked { since: u64 },
    /// On the way, and able to dock from this tick on.
    UnderWay { arrives: u64 },
}

#[derive(Clone, Debug)]
pub(crate) struct LooseStack {
    pub(crate) number: u64,
    pub(crate) article: Article,
    pub(crate) count: u32,
    /// The mouth or stream where it came loose.
    pub(crate) place: PartId,
    /// The mouth where it rests or will rest.
    pub(crate) mouth: PartId,
    /// Ticks since it came loose, or the younger stack merged into it did.
    pub(crate) age: u32,
    /// The tick in which it came loose.
    pub(crate) since: u64,
    /// The first tick in which it can come to rest.
    pub(crate) arrives: u64,
    pub(crate) at_rest: bool,
}

/// A delivery, or what is left of it.
#[derive(Clone, Debug)]
pub(crate) struct Consignment {
    pub(crate) place: PartId,
    pub(crate) kind: KindId,
    pub(crate) count: u32,
    /// Of boxes: what each of them holds.
    pub(crate) contents: Vec<Filling>,
    /// Whether it waits for room.
    pub(crate) waits: bool,
    /// The signal that holds it while off.
    pub(crate) while_on: Option<PartId>,
}

#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(crate) struct PendingEvent {
    pub(crate) due: u64,
    pub(crate) rank: Rank,
    /// The signal or dropper.
    pub(crate) part: PartId,
    /// The level that a delay line's event brings; 0 for every other.
    pub(crate) level: u8,
}

/// What comes first among the events of one tick.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub(crate) enum Rank {
    First,
    Second,
    Third,
    Last,
}

/// The two accessors of one kind of part. Asking for a part of another kind is a bug.
macro_rules! accessors {
    ($name:ident, $name_mut:ident, $variant:ident, $state:ty) => {
        pub(crate) fn $name(&self, part: PartId) -> &$state {
            match &self.parts[part.index()] {
                PartState::$variant(state) => state,
                other => panic!("{part} is something else: {other:?}"),
            }
        }

        pub(crate) fn $name_mut(&mut self, part: PartId) -> &mut $state {
            match &mut self.parts[part.index()] {
                PartState::$variant(state) => state,
                other => panic!("{part} is something else: {other:?}"),
            }
        }
    };
}

impl World {
    accessors!(hopper, hopper_mut, Hopper, HopperState);
    accessors!(dropper, dropper_mut, Dropper, DropperState);
    accessors!(bench, bench_mut, Bench, BenchState);
    accessors!(selector, selector_mut, Selector, SelectorState);
    accessors!(shuttle, shuttle_mut, Shuttle, ShuttleState);
    accessors!(level, level_mut, Signal, u8);

    /// Before tick 0: everything filled, all signals at 0.
    pub(crate) fn new(network: &Network, setup: &Setup, book: &RuleBook) -> Self {
        let nothing = vec![0; network.kinds().len()];
        let first_turn = if book.breaks(Fault::FirstTurnAtZero) {
            0
        } else {
            -1
        };
        let mut world = Self {
            tick: 0,
            parts: network
                .parts()
                .map(|(id, part)| start_of(network, setup.seed, first_turn, id, part))
                .collect(),
            loose: Vec::new(),
            pending: Vec::new(),
            awake_at: vec![0; network.part_count()],
            slept_ticks: vec![0; network.part_count()],
            stuck: vec![None; network.part_count()],
            next_stack: 0,
            next_box: 0,
            waiting: Vec::new(),
            at_start: nothing.clone(),
            sent: nothing.clone(),
            refused: nothing.clone(),
            delivered: nothing.clone(),
            withdrawn: nothing.clone(),
            lost: nothing,
        };
        for (part, filling) in network.fillings() {
            let article = world.next_article(filling.kind, &filling.contents, book);
            world.next_box += usize::from(article.carried.is_some());
            if let Some(slots) = world.inventory_mut(network, *part) {
                slots.lay(filling.slot, article, filling.count);
            }
        }
        world.at_start = world.count_everything();
        world
    }

    /// A new item. If it is a box it has the next number, which counts as given only when the
    /// caller says so.
    pub(crate) fn next_article(
        &self,
        kind: KindId,
        contents: &[Filling],
        book: &RuleBook,
    ) -> Article {
        let carried = book.is_box(kind).then(|| CarriedBox {
            id: BoxId::from_index(self.next_box),
            contents: Inventory::inside_box(contents),
        });
        Article { kind, carried }
    }

    /// The shuttle that is docked at a place.
    pub(crate) fn shuttle_at(&self, network: &Network, place: PartId) -> Option<PartId> {
        network.part_ids().find(|part| {
            let Part::Shuttle(shuttle) = network.part(*part) else {
                return false;
            };
            let state = self.shuttle(*part);
            matches!(state.whereabouts, Whereabouts::Docked { .. })
                && shuttle.stops[state.stop].dock == place
        })
    }

    /// The inventory that stands at a part now, if any does.
    pub(crate) fn inventory(&self, network: &Network, part: PartId) -> Option<&Inventory> {
        match &self.parts[part.index()] {
            PartState::Container(slots) => Some(slots),
            PartState::Hopper(hopper) => Some(&hopper.slots),
            PartState::Dropper(dropper) => Some(&dropper.slots),
            PartState::Shuttle(shuttle) => Some(&shuttle.slots),
            PartState::Bench(bench) => bench.standing.as_ref()?.contents(),
            PartState::Dock => {
                let shuttle = self.shuttle_at(network, part)?;
                Some(&self.shuttle(shuttle).slots)
            }
            PartState::Open | PartState::Selector(_) | PartState::Signal(_) => None,
        }
    }

    /// The inventory that stands at a part now, to be changed.
    pub(crate) fn inventory_mut(
        &mut self,
        network: &Network,
        part: PartId,
    ) -> Option<&mut Inventory> {
        if matches!(self.parts[part.index()], PartState::Dock) {
            let shuttle = self.shuttle_at(network, part)?;
            return Some(&mut self.shuttle_mut(shuttle).slots);
        }
        match &mut self.parts[part.index()] {
            PartState::Container(slots) => Some(slots),
            PartState::Hopper(hopper) => Some(&mut hopper.slots),
            PartState::Dropper(dropper) => Some(&mut dropper.slots),
            PartState::Shuttle(shuttle) => Some(&mut shuttle.slots),
            PartState::Bench(bench) => {
                let carried = bench.standing.as_mut()?.carried.as_mut()?;
                Some(&mut carried.contents)
            }
            PartState::Open | PartState::Dock => None,
            PartState::Selector(_) | PartState::Signal(_) => None,
        }
    }

    /// A loose stack, if it is still there.
    pub(crate) fn stack(&self, number: u64) -> Option<&LooseStack> {
        self.loose.get(self.place_of_stack(number)?)
    }

    /// A loose stack, if it is still there, to be changed.
    pub(crate) fn stack_mut(&mut self, number: u64) -> Option<&mut LooseStack> {
        let place = self.place_of_stack(number)?;
        self.loose.get_mut(place)
    }

    /// Where a loose stack is in the order, if it is still there.
    pub(crate) fn place_of_stack(&self, number: u64) -> Option<usize> {
        // They came loose in the order of their numbers. Only one of the broken rules changes that.
        let sorted = self
            .loose
            .binary_search_by_key(&number, |stack| stack.number);
        sorted.ok().or_else(|| {
            let mut all = self.loose.iter();
            all.position(|stack| stack.number == number)
        })
    }
}

/// What a part is before tick 0.
fn start_of(network: &Network, seed: u64, first_turn: i64, id: PartId, part: &Part) -> PartState {
    match part {
        Part::Mouth | Part::Stream(_) => PartState::Open,
        Part::Dock => PartState::Dock,
        Part::Container(container) => {
            PartState::Container(Inventory::new(usize::from(container.slots)))
        }
        Part::Hopper(_) => PartState::Hopper(HopperState {
            slots: Inventory::new(5),
            cooldown: 0,
            last_turn: first_turn,
            work: 0,
        }),
        Part::Dropper(_) => PartState::Dropper(Box::new(DropperState {
            slots: Inventory::new(9),
            chance: chance_of(network.stream_tag(id), seed),
        })),
        Part::Bench(_) => PartState::Bench(BenchState {
            standing: None,
            held_ticks: 0,
        }),
        Part::Selector(_) => PartState::Selector(SelectorState {
            queue: Vec::new(),
            last_ready: None,
            last_turn: first_turn,
        }),
        Part::Shuttle(shuttle) => PartState::Shuttle(ShuttleState {
            slots: Inventory::new(usize::from(shuttle.slots)),
            stop: 0,
            whereabouts: Whereabouts::Docked { since: 0 },
        }),
        Part::Signal(_) => PartState::Signal(0),
    }
}

/// A dropper's own random stream: ChaCha with 8 rounds, seeded with the run's seed, its stream
/// number the hash of the part's tag.
fn chance_of(tag: &str, seed: u64) -> ChaCha8Rng {
    let mut chance = ChaCha8Rng::seed_from_u64(seed);
    chance.set_stream(fnv(tag.as_bytes()));
    chance
}
