//! How much fits around a block: each row of the table at its limit, and one above it.

use hallwright_analysis::crowding::{Around, Crowded, crowded};
use hallwright_core::id::PartId;
use hallwright_core::network::Network;
use hallwright_core::part::{
    ComparatorMode, Container, Dropper, Intake, Outlet, Part, Rear, Signal,
};

use crate::support::Draft;

impl Draft {
    fn double(&mut self, name: &str) -> PartId {
        let container = Container { slots: 54 };
        self.builder.add(name, Part::Container(container))
    }

    /// Hoppers that draw from something.
    fn drawing(&mut self, count: usize, from: PartId) {
        for number in 0..count {
            self.below(&format!("drawing {number}"), from, None);
        }
    }

    /// Hoppers that push into something.
    fn pushing(&mut self, count: usize, into: PartId) {
        for number in 0..count {
            self.hopper(&format!("pushing {number}"), Intake::Cap, Some(into), None);
        }
    }

    fn dropper(&mut self, name: &str, outlet: Outlet) -> PartId {
        let dropper = Dropper {
            trigger: None,
            outlet,
        };
        self.builder.add(name, Part::Dropper(dropper))
    }

    /// Droppers that hand to something.
    fn handing(&mut self, count: usize, into: PartId) {
        for number in 0..count {
            self.dropper(&format!("handing {number}"), Outlet::Into(into));
        }
    }

    fn lever(&mut self, name: &str) -> PartId {
        self.signal(name, Signal::Lever { starts_on: false })
    }

    fn comparator(&mut self, name: &str, of: PartId, side: Option<PartId>, mode: ComparatorMode) {
        let rear = Rear::Inventory(of);
        self.signal(name, Signal::Comparator { rear, side, mode });
    }

    /// Comparators that read something, each with a side of its own.
    fn reading(&mut self, count: usize, of: PartId) {
        for number in 0..count {
            let side = self.lever(&format!("side {number}"));
            let name = format!("reading {number}");
            self.comparator(&name, of, Some(side), ComparatorMode::Compare);
        }
    }
}

/// What a network is crowded by, with how many there are and fit.
fn found(draft: Draft) -> Vec<(Around, usize, usize)> {
    let network = draft.done();
    let all = crowded(&network);
    for place in &all {
        assert_eq!(place.parts.len(), place.there);
        assert_eq!(network.name(place.part), "place");
    }
    let rows = all.iter().map(|row| (row.around, row.there, row.fits));
    rows.collect()
}

/// Fails unless `most` of something fit around a place and one more does not.
fn fits(
    most: usize,
    around: Around,
    place: fn(&mut Draft) -> PartId,
    add: impl Fn(&mut Draft, usize, PartId),
) {
    let with = |count: usize| {
        let mut draft = Draft::new();
        let place = place(&mut draft);
        add(&mut draft, count, place);
        found(draft)
    };
    assert_eq!(with(most), [], "{around:?}: {most} fit");
    let too_many = with(most + 1);
    assert!(
        too_many.contains(&(around, most + 1, most)),
        "{around:?}: {too_many:?}"
    );
}

fn chest(draft: &mut Draft) -> PartId {
    draft.chest("place")
}

fn double(draft: &mut Draft) -> PartId {
    draft.double("place")
}

/// A hold of many slots, which says nothing of its size.
fn hold(draft: &mut Draft) -> PartId {
    let container = Container { slots: 270 };
    draft.builder.add("place", Part::Container(container))
}

fn bare_hopper(draft: &mut Draft) -> PartId {
    draft.hopper("place", Intake::Cap, None, None)
}

#[test]
fn one_hopper_draws_from_a_block_and_two_from_a_double_chest() {
    for place in [chest, hold, bare_hopper] {
        fits(1, Around::Drawing, place, Draft::drawing);
    }
    fits(2, Around::Drawing, double, Draft::drawing);
    let bench = |draft: &mut Draft| {
        let mouth = draft.builder.add("mouth", Part::Mouth);
        draft.bench("place", mouth)
    };
    fits(1, Around::Drawing, bench, Draft::drawing);
}

#[test]
fn five_hoppers_push_into_a_block_and_eight_into_a_double_chest() {
    for place in [chest, hold, bare_hopper] {
        fits(5, Around::Pushing, place, Draft::pushing);
    }
    fits(8, Around::Pushing, double, Draft::pushing);
}

#[test]
fn four_comparators_read_a_block_and_six_a_double_chest() {
    for place in [chest, hold, bare_hopper] {
        fits(4, Around::Reading, place, Draft::reading);
    }
    fits(6, Around::Reading, double, Draft::reading);
}

#[test]
fn six_parts_touch_a_block_and_ten_a_double_chest() {
    for place in [chest, hold, bare_hopper] {
        fits(6, Around::Touching, place, Draft::handing);
        // One below, five beside and above; the seventh has no side left.
        fits(6, Around::Touching, place, |draft, count, place| {
            draft.drawing(1, place);
            draft.reading(2, place);
            draft.pushing(2, place);
            draft.handing(count - 5, place);
        });
    }
    fits(10, Around::Touching, double, Draft::handing);
    fits(10, Around::Touching, double, |draft, count, place| {
        draft.drawing(2, place);
        draft.reading(4, place);
        draft.pushing(3, place);
        draft.handing(count - 9, place);
    });
}

#[test]
fn what_a_hopper_draws_from_and_pushes_into_touches_it_too() {
    // A target, and five droppers.
    let with_target = |draft: &mut Draft| {
        let target = draft.chest("target");
        draft.hopper("place", Intake::Cap, Some(target), None)
    };
    let around = |draft: &mut Draft, count: usize, place| draft.handing(count - 1, place);
    fits(6, Around::Touching, with_target, around);
    let dropper = |draft: &mut Draft| {
        let target = draft.chest("target");
        draft.dropper("place", Outlet::Into(target))
    };
    fits(6, Around::Touching, dropper, around);
    // What a dropper throws at is in the block before it.
    let thrower = |draft: &mut Draft| {
        let mouth = draft.builder.add("mouth", Part::Mouth);
        draft.dropper("place", Outlet::Loose(mouth))
    };
    fits(6, Around::Touching, thrower, around);
    // A target, and an inventory or a mouth above.
    let between = |draft: &mut Draft| {
        let [above, target] = draft.chests(["above", "target"]);
        draft.below("place", above, Some(target))
    };
    let around = |draft: &mut Draft, count: usize, place| draft.handing(count - 2, place);
    fits(6, Around::Touching, between, around);
    let below_mouth = |draft: &mut Draft| {
        let target = draft.chest("target");
        let mouth = draft.builder.add("mouth", Part::Mouth);
        draft.hopper("place", Intake::Mouth(mouth), Some(target), None)
    };
    fits(6, Around::Touching, below_mouth, around);
}

#[test]
fn what_fills_no_block_that_is_known_touches_nothing() {
    // A selector that it pushes into, and a dock that it draws from.
    let place = |draft: &mut Draft| {
        let [taken, rest] = draft.chests(["taken", "rest"]);
        let barley = draft.barley;
        let selector = draft.selector("selector", &[barley], taken, rest);
        let dock = draft.builder.add("dock", Part::Dock);
        draft.below("place", dock, Some(selector))
    };
    fits(6, Around::Touching, place, Draft::handing);
}

#[test]
fn a_part_that_touches_in_two_ways_is_counted_once() {
    // A chain of hoppers, each beside the one before and below it: the first pushes into the second,
    // which draws from it too.
    let mut draft = Draft::new();
    let target = draft.chest("target");
    let first = draft.builder.declare("first");
    let place = draft.below("place", first, Some(target));
    draft.builder.define(
        first,
        Part::Hopper(hallwright_core::part::Hopper {
            target: Some(place),
            intake: Intake::Cap,
            lock: None,
        }),
    );
    draft.handing(4, place);
    assert_eq!(found(draft), []);
}

#[test]
fn equal_comparators_count_once() {
    fits(4, Around::Reading, chest, |draft, count, place| {
        let side = draft.lever("side");
        for number in 0..3 {
            draft.comparator(&format!("a{number}"), place, None, ComparatorMode::Compare);
            let name = format!("b{number}");
            draft.comparator(&name, place, Some(side), ComparatorMode::Compare);
            let name = format!("c{number}");
            draft.comparator(&name, place, Some(side), ComparatorMode::Subtract);
        }
        draft.reading_further(count - 3, place);
    });
    // Of those that are equal the first is reported.
    let mut draft = Draft::new();
    let place = draft.chest("place");
    draft.comparator("one", place, None, ComparatorMode::Compare);
    draft.comparator("same", place, None, ComparatorMode::Compare);
    draft.reading(4, place);
    let network = draft.done();
    let all = crowded(&network);
    assert_eq!(
        names(&network, &all[0]),
        ["one", "reading 0", "reading 1", "reading 2", "reading 3"]
    );
}

impl Draft {
    /// Comparators that read something, beside others.
    fn reading_further(&mut self, count: usize, of: PartId) {
        for number in 0..count {
            let side = self.lever(&format!("further side {number}"));
            let name = format!("further {number}");
            self.comparator(&name, of, Some(side), ComparatorMode::Compare);
        }
    }
}

fn names<'n>(network: &'n Network, crowded: &Crowded) -> Vec<&'n str> {
    let parts = crowded.parts.iter();
    parts.map(|part| network.name(*part)).collect()
}

#[test]
fn a_mouth_has_a_hopper_for_each_of_its_blocks() {
    for blocks in [1, 3] {
        let with = |count: usize| {
            let mut draft = Draft::new();
            let mouth = draft.builder.add("place", Part::Mouth);
            if blocks > 1 {
                draft.builder.mouth_blocks(mouth, blocks);
            }
            for number in 0..count {
                let intake = Intake::Mouth(mouth);
                draft.hopper(&format!("below {number}"), intake, None, None);
            }
            found(draft)
        };
        let most = usize::from(blocks);
        assert_eq!(with(most), []);
        assert_eq!(with(most + 1), [(Around::BelowMouth, most + 1, most)]);
    }
}

#[test]
fn selectors_and_docks_are_neither_crowded_nor_do_they_crowd() {
    let mut draft = Draft::new();
    let place = draft.chest("place");
    let other = draft.chest("other");
    let (barley, rye) = (draft.barley, draft.rye);
    for number in 0..9 {
        let name = format!("eye {number}");
        draft.selector(&name, &[barley, rye], place, other);
    }
    let eye = draft.selector("eye", &[barley], place, other);
    for number in 0..9 {
        draft.hopper(&format!("to eye {number}"), Intake::Cap, Some(eye), None);
    }
    let dock = draft.builder.add("dock", Part::Dock);
    for number in 0..9 {
        draft.hopper(&format!("to dock {number}"), Intake::Cap, Some(dock), None);
        draft.below(&format!("from dock {number}"), dock, None);
    }
    draft.dropper("hands to eye", Outlet::Into(eye));
    assert_eq!(found(draft), []);
}
