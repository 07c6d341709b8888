//! What opens a sieve, and which levels signals settle at.

use std::collections::BTreeMap;

use hallwright_analysis::levels::{Known, Levels, Settled};
use hallwright_analysis::sieves::{Opening, Sieve};
use hallwright_analysis::ways::Ways;
use hallwright_core::goods::StackLimit;
use hallwright_core::id::PartId;
use hallwright_core::part::{ComparatorMode, Intake, Rear, Signal};
use hallwright_core::slot::Filling;

use crate::support::Draft;

/// When a sieve opens that holds so many of one stack limit and four fillers, if the wire behind its
/// comparator loses so much.
fn opening(limit: StackLimit, count: u8, filler: StackLimit, loss: u8) -> Opening {
    let mut draft = Draft::new();
    let own = draft.builder.kind("own", limit);
    let fillers = draft.builder.kind("filler", filler);
    let above = draft.chest("above");
    let sieve = draft.below("sieve", above, None);
    let level = draft.signal(
        "level",
        Signal::Comparator {
            rear: Rear::Inventory(sieve),
            side: None,
            mode: ComparatorMode::Compare,
        },
    );
    let open = draft.signal(
        "open",
        Signal::Wire {
            inputs: vec![(level, loss)],
        },
    );
    let shut = draft.signal("shut", Signal::Inverter { input: open });
    let store = draft.chest("store");
    let out = draft.hopper("out", Intake::Above(sieve), Some(store), Some(shut));
    for slot in 0..5 {
        let (kind, count) = match slot {
            0 => (own, count),
            _ => (fillers, 1),
        };
        let filling = Filling {
            slot,
            kind,
            count,
            contents: Vec::new(),
        };
        draft.builder.fill(sieve, filling);
    }
    let network = draft.done();
    let sieves = Sieve::all(&network, &[sieve, sieve]);
    assert_eq!(sieves.len(), 1, "each is there once");
    assert_eq!(sieves[0].outlet(&network), Some(out));
    let readings = BTreeMap::new();
    let known = Known {
        readings: &readings,
        moves: &|_| false,
    };
    sieves[0].opening(&network, Some(shut), known)
}

#[test]
fn a_sieve_opens_where_the_rules_say_its_level_changes() {
    use StackLimit::{Sixteen, SixtyFour};
    // Level 3 begins at 46 of 320 (the tick rules say so), level 4 at 69.
    assert_eq!(opening(SixtyFour, 41, SixtyFour, 2), Opening::Right);
    assert_eq!(
        opening(SixtyFour, 40, SixtyFour, 2),
        Opening::Late { items: 2 }
    );
    assert_eq!(
        opening(SixtyFour, 20, SixtyFour, 2),
        Opening::Late { items: 22 }
    );
    let too_many = |items| Opening::AtRest {
        too_many: Some(items),
    };
    assert_eq!(opening(SixtyFour, 42, SixtyFour, 2), too_many(1));
    assert_eq!(opening(SixtyFour, 64, SixtyFour, 2), too_many(23));
    // 64 and four fillers are 68.
    assert_eq!(opening(SixtyFour, 41, SixtyFour, 3), Opening::Never);
    // Fillers of 16 weigh 4 each: 53 and 16 are 69.
    assert_eq!(opening(SixtyFour, 52, Sixteen, 3), Opening::Right);
    // Items of 16 weigh 4 each: 40 and 4 are 44, one more makes 48.
    assert_eq!(opening(Sixteen, 10, SixtyFour, 2), Opening::Right);
    assert_eq!(
        opening(Sixteen, 9, SixtyFour, 2),
        Opening::Late { items: 2 }
    );
    assert_eq!(opening(Sixteen, 11, SixtyFour, 2), too_many(1));
    // With no loss any level opens it, down to its last item.
    assert_eq!(
        opening(SixtyFour, 41, SixtyFour, 0),
        Opening::AtRest { too_many: None }
    );
}

#[test]
fn a_signal_on_a_loop_can_be_anything_and_one_that_past_decides_on_or_off() {
    let mut draft = Draft::new();
    let lever = draft.signal("lever", Signal::Lever { starts_on: true });
    let repeater = |input| Signal::Repeater {
        input,
        delay_ticks: 2,
        lock: None,
    };
    // The loop is three long: its members read one another.
    let first = PartId::from_index(lever.index() + 1);
    let third = PartId::from_index(lever.index() + 3);
    draft.signal("one", Signal::Inverter { input: third });
    let two = draft.signal("two", repeater(first));
    draft.signal("three", repeater(two));
    let latch = draft.signal(
        "latch",
        Signal::Latch {
            set: lever,
            reset: two,
        },
    );
    let both = draft.signal(
        "both",
        Signal::AllOf {
            inputs: vec![lever, latch],
        },
    );
    let off = draft.signal(
        "off",
        Signal::NoneOf {
            inputs: vec![lever, latch],
        },
    );
    let network = draft.done();
    let readings = BTreeMap::new();
    let levels = |moved: bool, signal| {
        let moves = |_| moved;
        let known = Known {
            readings: &readings,
            moves: &moves,
        };
        Settled::new(&network, known, (lever, 0)).levels(signal)
    };
    assert_eq!(levels(false, lever), Levels::only(15));
    assert_eq!(levels(true, lever), Levels::EITHER);
    assert_eq!(levels(false, two), Levels::EITHER);
    assert_eq!(levels(false, latch), Levels::EITHER);
    assert_eq!(levels(false, both), Levels::EITHER);
    // The lever is on, and stays so.
    assert_eq!(levels(false, off), Levels::only(0));
    assert_eq!(levels(true, off), Levels::EITHER);
}

#[test]
fn rings_among_some_parts_are_those_of_the_whole_network_that_lie_there() {
    let mut draft = Draft::new();
    let [one, two, three] = draft.chests(["one", "two", "three"]);
    let there = draft.below("there", one, Some(two));
    let back = draft.below("back", two, Some(one));
    let on = draft.below("on", two, Some(three));
    let network = draft.done();
    let ways = Ways::new(&network);
    let all: Vec<PartId> = network.part_ids().collect();
    let ring = vec![one, two, there, back];
    assert_eq!(
        ways.rings_within(&all, |_| true),
        std::slice::from_ref(&ring)
    );
    assert_eq!(
        ways.rings_within(&all, |_| true),
        ways.rings_along(|_| true)
    );
    assert_eq!(ways.rings_within(&ring, |_| true), [ring]);
    assert!(
        ways.rings_within(&[one, two, there, on], |_| true)
            .is_empty()
    );
    assert!(
        ways.rings_within(&all, |way| way.by != Some(back))
            .is_empty()
    );
}

#[test]
fn a_comparator_settles_at_what_is_known_of_its_own_inventory() {
    let mut draft = Draft::new();
    let chests = draft.chests(["apart", "known", "unknown"]);
    let levels = chests.map(|chest| {
        let comparator = Signal::Comparator {
            rear: Rear::Inventory(chest),
            side: None,
            mode: ComparatorMode::Compare,
        };
        draft.signal(&format!("level of {chest}"), comparator)
    });
    let network = draft.done();
    let readings = BTreeMap::from([(chests[1], 5)]);
    let known = Known {
        readings: &readings,
        moves: &|_| false,
    };
    let mut settled = Settled::new(&network, known, (chests[0], 3));
    let settled = levels.map(|level| settled.levels(level));
    assert_eq!(settled, [Levels::only(3), Levels::only(5), Levels::ALL]);
}
