//! Rooms: boxes in which signal parts stand somewhere. What is asked of them holds however a hall is turned.

use hallwright_core::id::PartId;
use hallwright_core::part::{Hopper, Intake, Part, Rear, Signal, Watched};
use hallwright_declared::placement::{Placed, Room, Supports};
use hallwright_declared::space::{Block, Side};
use hallwright_site::blocks::Shape;
use hallwright_site::place::{Counts, Rule, place};

use crate::made::{Made, hopper, judge_turned};

impl Made {
    fn delayed(&mut self, name: &str, input: PartId, delay_ticks: u32) -> PartId {
        let line = Signal::DelayLine { input, delay_ticks };
        self.add(name, Part::Signal(line), None)
    }

    fn locked(&mut self, name: &str, lock: PartId, at: Block) -> PartId {
        self.placement.caps.push(at + Block::new(0, 1, 0));
        let hopper = Hopper {
            target: None,
            intake: Intake::Cap,
            lock: Some(lock),
        };
        self.add(name, Part::Hopper(hopper), Some(Placed::at(at)))
    }

    /// A room of 4 by 2 by 3 blocks.
    fn room(&mut self, name: &str, corner: Block, parts: &[PartId]) {
        self.placement.rooms.push(Room {
            name: name.to_owned(),
            corner,
            size: Block::new(4, 2, 3),
            parts: parts.to_vec(),
        });
    }

    /// Builds it, and finds these lines, however it is turned. Gives what was counted.
    fn judge(self, expected: &[&str]) -> Counts {
        let (network, placement) = self.build();
        judge_turned(&network, &placement, expected, |_, _| ()).counts
    }
}

/// A hopper that a lever in a room locks, so many ticks later, 3 + `beyond` blocks east and one south of its corner.
fn gate(beyond: i32, delay_ticks: Option<u32>) -> Made {
    let mut hall = Made::new();
    let lever = hall.lever("lever", None);
    hall.room("room", Block::default(), &[lever]);
    let heard = match delay_ticks {
        Some(ticks) => hall.delayed("way", lever, ticks),
        None => lever,
    };
    hall.locked("gate", heard, Block::new(3 + beyond, 0, 1));
    hall
}

#[test]
fn a_signal_takes_the_time_of_its_way_from_the_nearest_block_of_the_room() {
    // The steps, the ticks that they need, and those that there are.
    let too_fast = |figures: &str| format!("too-fast gate lever {figures}");
    gate(1, None).judge(&[]);
    gate(18, None).judge(&[]);
    gate(19, None).judge(&[&too_fast("19 2 0")]);
    gate(19, Some(1)).judge(&[&too_fast("19 2 1")]);
    gate(19, Some(2)).judge(&[]);
    gate(36, Some(2)).judge(&[]);
    gate(37, Some(3)).judge(&[&too_fast("37 4 3")]);
    gate(37, Some(4)).judge(&[]);
}

#[test]
fn steps_go_across_and_up_at_once_from_a_room_as_from_a_block() {
    // From the corner block (3, 1, 2): across 9 and 9, and up as far as that.
    let at = |block: Block, expected: &[&str]| {
        let mut hall = Made::new();
        let lever = hall.lever("lever", None);
        hall.room("room", Block::default(), &[lever]);
        hall.locked("gate", lever, block);
        hall.judge(expected);
    };
    at(Block::new(12, 19, 11), &[]);
    at(Block::new(12, 20, 11), &["too-fast gate lever 19 2 0"]);
    at(Block::new(13, 1, 11), &["too-fast gate lever 19 2 0"]);
    // From the other corner.
    at(Block::new(-9, -18, -9), &[]);
    at(Block::new(-9, -1, -10), &["too-fast gate lever 19 2 0"]);
}

#[test]
fn the_soonest_of_several_ways_counts() {
    let mut hall = Made::new();
    let lever = hall.lever("lever", None);
    let late = hall.delayed("late", lever, 2);
    hall.room("room", Block::default(), &[lever]);
    let inputs = vec![(late, 0), (lever, 3)];
    let both = hall.add("both", Part::Signal(Signal::Wire { inputs }), None);
    hall.locked("gate", both, Block::new(23, 0, 0));
    hall.judge(&["too-fast gate lever 20 2 0"]);
}

#[test]
fn an_observer_that_stands_nowhere_is_one_of_the_ways() {
    let watching = |more_ticks: u32, expected: &[&str]| {
        let mut hall = Made::new();
        let lever = hall.lever("lever", None);
        hall.room("room", Block::default(), &[lever]);
        let late = hall.delayed("late", lever, more_ticks);
        let watches = Watched::Signal(late);
        let eye = hall.add("eye", Part::Signal(Signal::Observer { watches }), None);
        // 55 steps are 6 ticks, of which the observer takes 2.
        hall.locked("gate", eye, Block::new(58, 0, 0));
        hall.judge(expected);
    };
    watching(3, &["too-fast gate lever 55 6 5"]);
    watching(4, &[]);
}

#[test]
fn the_lift_of_a_bench_has_the_time_of_its_way_too() {
    use hallwright_core::part::{Bench, Lift};
    let mut hall = Made::new();
    let lever = hall.lever("lever", None);
    hall.room("room", Block::default(), &[lever]);
    let mouth = hall.add("mouth", Part::Mouth, None);
    let bench = Bench {
        lift: Lift::Signal(lever),
        after_ticks: 0,
        output: mouth,
    };
    let at = Placed::at(Block::new(40, 0, 0));
    hall.add("bench", Part::Bench(bench), Some(at));
    hall.store("store", Block::new(60, 0, 0));
    hall.judge(&["too-fast bench lever 37 4 0"]);
}

#[test]
fn a_comparator_in_a_room_reads_nothing_outside_and_one_outside_leads_there() {
    let reading = |at: Option<Block>, expected: &[&str]| {
        let mut hall = Made::new();
        let store = hall.store("store", Block::new(-2, 0, 1));
        let east = |block| Placed::at(block).facing(Side::PlusX);
        let comparator = Signal::Comparator {
            rear: Rear::Inventory(store),
            side: None,
            mode: hallwright_core::part::ComparatorMode::Compare,
        };
        let eye = hall.add("eye", Part::Signal(comparator), at.map(east));
        let inverter = Part::Signal(Signal::Inverter { input: eye });
        let halt = hall.add("halt", inverter, None);
        let inside = if at.is_some() {
            vec![halt]
        } else {
            vec![eye, halt]
        };
        hall.room("room", Block::default(), &inside);
        hall.judge(expected)
    };
    reading(None, &["reading-apart eye store"]);
    let counts = reading(Some(Block::new(-1, 0, 1)), &[]);
    let expected = Counts {
        parts: 3,
        stand: 3,
        links_proven: 1,
        at_their_word: 1,
        problems: 0,
    };
    assert_eq!(counts, expected);
}

#[test]
fn within_a_room_nothing_is_asked_and_nothing_proven() {
    let mut hall = Made::new();
    let lever = hall.lever("lever", None);
    let watches = Watched::Signal(lever);
    let eye = hall.add("eye", Part::Signal(Signal::Observer { watches }), None);
    let inputs = vec![(eye, 0)];
    let wire = hall.add("wire", Part::Signal(Signal::Wire { inputs }), None);
    let lamp = hall.add("lamp", Part::Signal(Signal::Inverter { input: wire }), None);
    hall.room("room", Block::default(), &[lever, eye, wire, lamp]);
    let counts = hall.judge(&[]);
    assert_eq!((counts.stand, counts.at_their_word), (4, 4));
    assert_eq!(counts.links_proven, 0);
}

#[test]
fn a_room_fills_its_blocks_and_does_nothing_to_its_neighbours() {
    let mut hall = Made::new();
    let lever = hall.lever("lever", None);
    hall.room("room", Block::default(), &[lever]);
    // Around it: a hopper that points at it, one below it that it closes, wire that runs along it.
    let at = |x, y, z| Some(Placed::at(Block::new(x, y, z)));
    hall.add("above", hopper(None, Intake::Cap), at(1, 2, 1));
    hall.placement.caps.push(Block::new(1, 3, 1));
    hall.add("below", hopper(None, Intake::Cap), at(1, -1, 1));
    hall.lever("other", Some(Block::new(4, 0, 1)));
    hall.placement.wires.push(Block::new(4, 0, 0));
    hall.placement.full.push(Block::new(4, -1, 0));
    hall.judge(&[]);
    // A part, a full block, a wire and another room in the last of its blocks.
    let corner = Block::new(3, 1, 2);
    let within = |put: fn(&mut Made, Block)| {
        let mut hall = Made::new();
        let lever = hall.lever("lever", None);
        hall.room("room", Block::default(), &[lever]);
        put(&mut hall, corner);
        let network = hall.builder.build().expect("the network is sound");
        let findings = place(&network, &hall.placement).findings;
        let rules: Vec<(Rule, Option<Block>)> =
            findings.iter().map(|one| (one.rule, one.at)).collect();
        assert_eq!(rules, [(Rule::Overlap, Some(corner))]);
        let words = findings[0].words(&network);
        assert!(words.contains("the room `room` at (3, 1, 2)"), "{words}");
    };
    within(|hall, at| {
        hall.store("store", at);
    });
    within(|hall, at| hall.placement.full.push(at));
    within(|hall, at| {
        hall.placement.supports = Supports::Listed;
        hall.placement.full.push(at);
    });
    within(|hall, at| {
        let lever = hall.lever("second", None);
        hall.room("other room", at, &[lever]);
    });
}

#[test]
fn a_room_with_the_name_of_a_part_is_not_that_part() {
    let mut hall = Made::new();
    let lever = hall.lever("lever", None);
    hall.room("gate", Block::default(), &[lever]);
    hall.locked("gate", lever, Block::new(10, 0, 0));
    let network = hall.builder.build().expect("the network is sound");
    let site = place(&network, &hall.placement);
    assert_eq!(site.findings, []);
    let rooms = site.world.pieces().iter().filter(|piece| piece.is_room());
    let shapes: Vec<Shape> = rooms.map(|room| room.shape).collect();
    assert_eq!(shapes, [Shape::Word]);
}
