//! The digest of a run's state, after `docs/look-up/digest.md`.

use hallwright_core::id::PartId;
use hallwright_core::part::{Part, Signal};
use rand_chacha::ChaCha8Rng;

use crate::engine::ReferenceEngine;
use crate::inventory::{Article, Inventory};
use crate::world::{Consignment, PartState, SelectorState, ShuttleState, Whereabouts};

/// The 64-bit FNV-1a hash, in the public domain, by Fowler, Noll and Vo.
pub(crate) fn fnv(bytes: &[u8]) -> u64 {
    let mut hash: u64 = 0xcbf2_9ce4_8422_2325;
    for byte in bytes {
        hash ^= u64::from(*byte);
        hash = hash.wrapping_mul(0x0000_0100_0000_01b3);
    }
    hash
}

/// The same hash of the bytes of these numbers, each least significant first. The bytes of 0 at the end of a
/// number only multiply, and are taken together: most numbers have seven.
fn fnv_of_numbers(numbers: &[u64]) -> u64 {
    let prime: u64 = 0x0000_0100_0000_01b3;
    let mut powers = [1_u64; 9];
    for exponent in 1..powers.len() {
        powers[exponent] = powers[exponent - 1].wrapping_mul(prime);
    }
    let mut hash = fnv(&[]);
    for number in numbers {
        let used = 8 - (number.leading_zeros() / 8) as usize;
        for byte in &number.to_le_bytes()[..used] {
            hash = (hash ^ u64::from(*byte)).wrapping_mul(prime);
        }
        hash = hash.wrapping_mul(powers[8 - used]);
    }
    hash
}

/// The numbers whose bytes are hashed.
#[derive(Default)]
struct Numbers(Vec<u64>);

impl Numbers {
    fn number(&mut self, number: u64) {
        self.0.push(number);
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
        self.number(position as u64);
        self.number((position >> 64) as u64);
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
            PartState::Open | PartState::Dock => {}
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
        fnv_of_numbers(&self.digested())
    }

    /// The numbers that the digest is the hash of.
    fn digested(&self) -> Vec<u64> {
        let world = &self.world;
        let mut numbers = Numbers::default();
        numbers.number(world.tick);
        for part in &world.parts {
            numbers.part(part);
        }
        numbers.index(world.loose.len());
        for stack in &world.loose {
            numbers.number(stack.number);
            numbers.article(&stack.article);
            numbers.number(u64::from(stack.count));
            numbers.index(PartId::index(stack.place));
            numbers.number(u64::from(stack.age));
            numbers.number(u64::from(stack.at_rest));
        }
        let mut pending = world.pending.clone();
        pending.sort_by_key(|event| (event.due, event.rank));
        numbers.index(pending.len());
        for event in pending {
            numbers.number(event.due);
            numbers.number(event.rank as u64);
            numbers.index(event.part.index());
            numbers.number(u64::from(event.level));
        }
        for kind in 0..world.lost.len() {
            numbers.number(world.lost[kind]);
            numbers.number(world.delivered[kind]);
            numbers.number(world.withdrawn[kind]);
        }
        numbers.number(world.next_stack);
        let mut lines: Vec<&Consignment> = world.waiting.iter().collect();
        // Those of one place keep their order.
        lines.sort_by_key(|one| one.place);
        if !lines.is_empty() {
            numbers.index(lines.len());
        }
        for one in lines {
            numbers.index(one.place.index());
            numbers.number(u64::from(one.count));
            numbers.article(&world.next_article(one.kind, &one.contents, &self.book));
            numbers.number(u64::from(one.waits));
            numbers.index(one.while_on.map_or(0, |signal| signal.index() + 1));
        }
        self.digest_sleep(&mut numbers);
        self.digest_stuck(&mut numbers);
        numbers.0
    }

    /// Which signals are stuck; nothing if none is.
    fn digest_stuck(&self, numbers: &mut Numbers) {
        let stuck: Vec<_> = self
            .network
            .part_ids()
            .filter_map(|part| Some((part, self.stuck(part)?)))
            .collect();
        if stuck.is_empty() {
            return;
        }
        numbers.index(stuck.len());
        for (part, stuck) in &stuck {
            numbers.index(part.index());
            numbers.number(stuck.free_at);
        }
        for (_, stuck) in &stuck {
            numbers.number(u64::from(stuck.own_level));
        }
    }

    /// Who sleeps, and for how long clocks have slept; nothing if nobody does or has.
    fn digest_sleep(&self, numbers: &mut Numbers) {
        let world = &self.world;
        let is_clock = |part: &Part| matches!(part, Part::Signal(Signal::Clock { .. }));
        let ids = self.network.part_ids();
        let sleepers: Vec<PartId> = ids.filter(|part| self.is_asleep(*part)).collect();
        let mut clocks = self.parts_where(is_clock);
        clocks.retain(|part| world.slept_ticks[part.index()] > 0);
        for (parts, ticks) in [(sleepers, &world.awake_at), (clocks, &world.slept_ticks)] {
            if !parts.is_empty() {
                numbers.index(parts.len());
            }
            for part in parts {
                numbers.index(part.index());
                numbers.number(ticks[part.index()]);
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use hallwright_core::goods::StackLimit;
    use hallwright_core::id::KindId;
    use hallwright_core::network::{Network, NetworkBuilder};
    use hallwright_core::part::{
        Bench, Container, Dropper, Hopper, Intake, Leg, Lift, Outlet, Selector, Shuttle, Stream,
    };
    use hallwright_core::predicate::Predicate;
    use hallwright_core::rules::Rules;
    use hallwright_core::setup::Setup;
    use hallwright_core::slot::Filling;
    use hallwright_core::tick::Tick;
    use hallwright_core::timeline::{Action, Terms, Timeline};

    use super::*;

    fn filling(slot: u16, kind: KindId, count: u8) -> Filling {
        Filling {
            slot,
            kind,
            count,
            contents: Vec::new(),
        }
    }

    /// One part of every sort. The number after each name is its place in the order.
    struct Yard {
        network: Network,
        barley: KindId,
        floor: PartId,
        lever: PartId,
        dropper: PartId,
        selector: PartId,
        shuttle: PartId,
        clock: PartId,
    }

    /// Adds a lever and what reads it. Gives the lever.
    fn add_signals(builder: &mut NetworkBuilder) -> PartId {
        let lever = builder.add("lever 2", Part::Signal(Signal::Lever { starts_on: false }));
        let inverter = Signal::Inverter { input: lever };
        builder.add("inverter 3", Part::Signal(inverter));
        let line = Signal::DelayLine {
            input: lever,
            delay_ticks: 7,
        };
        builder.add("line 4", Part::Signal(line));
        lever
    }

    /// Adds a stream, and a clock that is on half of the time. Gives the clock.
    fn add_stream_and_clock(builder: &mut NetworkBuilder, floor: PartId) -> PartId {
        let stream = Stream {
            transit_ticks: 4,
            mouth: floor,
        };
        builder.add("stream 11", Part::Stream(stream));
        let clock = Signal::Clock {
            period_ticks: 10,
            high_ticks: 5,
            phase_ticks: 0,
        };
        builder.add("clock 12", Part::Signal(clock))
    }

    fn yard() -> Yard {
        let mut builder = NetworkBuilder::new(Rules::default());
        let barley = builder.kind("barley", StackLimit::SixtyFour);
        let crate_kind = builder.box_kind("crate");
        let chest = builder.add("chest 0", Part::Container(Container { slots: 2 }));
        let floor = builder.add("floor 1", Part::Mouth);
        let lever = add_signals(&mut builder);
        let dropper = Dropper {
            trigger: Some(lever),
            outlet: Outlet::Into(chest),
        };
        let dropper = builder.add("dropper 5", Part::Dropper(dropper));
        let bench = Bench {
            lift: Lift::Empty,
            after_ticks: 0,
            output: floor,
        };
        builder.add("bench 6", Part::Bench(bench));
        let place = builder.add("place 7", Part::Dock);
        let stop = Leg {
            dock: place,
            travel_ticks: 3,
            dwell_ticks: 9,
            release: None,
        };
        let shuttle = Shuttle {
            slots: 5,
            stops: vec![stop],
        };
        let shuttle = builder.add("shuttle 8", Part::Shuttle(Box::new(shuttle)));
        let selector = Selector {
            latency_ticks: 6,
            interval_ticks: 2,
            holds: 1,
            takes: Predicate::Kinds(vec![barley]),
            match_target: chest,
            rest_target: floor,
            when_full: None,
            lock: None,
        };
        let selector = builder.add("selector 9", Part::Selector(Box::new(selector)));
        let hopper = Hopper {
            target: None,
            intake: Intake::Cap,
            lock: None,
        };
        let hopper = builder.add("hopper 10", Part::Hopper(hopper));
        let clock = add_stream_and_clock(&mut builder, floor);
        let crate_of_barley = Filling {
            contents: vec![filling(3, barley, 5)],
            ..filling(0, crate_kind, 1)
        };
        builder.fill(chest, crate_of_barley);
        builder.fill(dropper, filling(0, barley, 4));
        builder.fill(hopper, filling(2, barley, 1));
        Yard {
            network: builder.build().expect("the yard is sound"),
            barley,
            floor,
            lever,
            dropper,
            selector,
            shuttle,
            clock,
        }
    }

    /// Tick 0: the lever goes on, 70 barley come loose, one goes into the selector, one is taken
    /// out of the dropper; then dropper, shuttle and clock fall asleep for three ticks, and the clock is stuck off
    /// for nine.
    fn inputs(yard: &Yard) -> Timeline {
        let deliver = |place, count| Action::Deliver {
            place,
            kind: yard.barley,
            count,
            contents: Vec::new(),
            terms: Terms::default(),
        };
        let lever_on = Action::MoveLever {
            lever: yard.lever,
            on: true,
        };
        let withdraw = Action::Withdraw {
            place: yard.dropper,
            count: 1,
        };
        let sleep = Action::Sleep {
            parts: vec![yard.clock, yard.dropper, yard.shuttle],
            sleep_ticks: 3,
        };
        let stick = Action::Stick {
            signals: vec![yard.clock],
            on: false,
            stuck_ticks: 9,
        };
        Timeline::new(vec![
            (Tick(0), lever_on),
            (Tick(0), deliver(yard.floor, 70)),
            (Tick(0), deliver(yard.selector, 1)),
            (Tick(0), withdraw),
            (Tick(0), sleep),
            (Tick(0), stick),
        ])
    }

    #[test]
    fn the_digest_is_that_of_the_numbers_of_the_page() {
        let yard = yard();
        let setup = Setup {
            timeline: inputs(&yard),
            ..Setup::default()
        };
        let mut engine = ReferenceEngine::new(&yard.network, &setup);
        engine.step();
        // Written down by hand from `docs/look-up/digest.md`.
        let mut numbers: Vec<u64> = vec![1];
        // The chest: a crate, in it 5 barley in slot 3; an empty slot.
        numbers.extend([1, 2, 0, 0, 0, 5, 1]);
        numbers.extend([0; 23]);
        numbers.extend([0]);
        // Lever, inverter and delay line.
        numbers.extend([15, 15, 0]);
        // The dropper: 3 barley, 8 empty slots, a random stream not drawn from.
        numbers.extend([3, 1, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0]);
        // The empty bench; the shuttle, 5 empty slots, docked at stop 0, as if since tick 0 + 3.
        numbers.extend([0]);
        numbers.extend([0, 0, 0, 0, 0, 0, 0, 3]);
        // The selector: one barley ready at 6, the item accepted last ready at 6.
        numbers.extend([1, 1, 6, 7]);
        // The hopper: 1 barley in slot 2, no cooldown, 10 + 1 work units for one turn.
        numbers.extend([0, 0, 1, 1, 0, 0, 0, 11]);
        // The clock, as it shows.
        numbers.extend([0]);
        // Two stacks, at rest on the floor, one tick old.
        numbers.extend([2]);
        numbers.extend([0, 1, 64, 1, 1, 1]);
        numbers.extend([1, 1, 6, 1, 1, 1]);
        // Pending: the inverter at 2, the delay line at 7 with level 15, the dropper at 4 + 3.
        numbers.extend([3]);
        numbers.extend([2, 3, 3, 0]);
        numbers.extend([7, 2, 4, 15]);
        numbers.extend([7, 3, 5, 0]);
        // Barley: none lost, 71 delivered, 1 withdrawn. Crates: nothing. The next stack.
        numbers.extend([0, 71, 1, 0, 0, 0]);
        numbers.extend([2]);
        // Asleep until tick 3: dropper, shuttle and clock. The clock's sleep is 3 ticks in all.
        numbers.extend([3, 5, 3, 8, 3, 12, 3]);
        numbers.extend([1, 12, 3]);
        // Stuck until tick 9: the clock, by itself at 15.
        numbers.extend([1, 12, 9, 15]);
        assert_eq!(engine.digested(), numbers);
        let bytes: Vec<u8> = numbers
            .iter()
            .flat_map(|number| number.to_le_bytes())
            .collect();
        assert_eq!(engine.digest(), fnv(&bytes));
    }

    #[test]
    fn the_hash_is_fnv_1a() {
        // Test values that its authors publish, given from memory.
        assert_eq!(fnv(b""), 0xcbf2_9ce4_8422_2325);
        assert_eq!(fnv(b"a"), 0xaf63_dc4c_8601_ec8c);
        assert_eq!(fnv(b"foobar"), 0x8594_4171_f739_67e8);
    }

    #[test]
    fn the_hash_of_numbers_is_that_of_their_bytes() {
        let shifted = (0..64).map(|bits| 0x9d_u64 << bits);
        let numbers = [0, 1, 0xff, 0x100, 0xff00_0000_0000_00ff, u64::MAX];
        let numbers: Vec<u64> = numbers.into_iter().chain(shifted).collect();
        for until in 0..=numbers.len() {
            let numbers = &numbers[..until];
            let bytes = numbers.iter().flat_map(|number| number.to_le_bytes());
            assert_eq!(fnv_of_numbers(numbers), fnv(&bytes.collect::<Vec<u8>>()));
        }
    }
}
