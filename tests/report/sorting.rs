//! What lands where: misplaced, passed by, sieves.

use hallwright_core::goods::StackLimit;
use hallwright_core::network::NetworkBuilder;
use hallwright_core::part::Part;
use hallwright_core::rules::Rules;
use hallwright_core::slot::Filling;
use hallwright_core::tick::Tick;
use hallwright_core::timeline::{Action, Terms};
use hallwright_declared::declarations::{Declarations, Goal, Section, StorePurpose};
use hallwright_report::findings::{NoRoom, OverflowReason, OverflowRow};

use crate::support::{capped, chest, deliver, filling, of_kind, run_with, store};

#[test]
fn items_in_a_slice_that_does_not_take_them_are_misplaced() {
    let mut builder = NetworkBuilder::new(Rules::default());
    let barley = builder.kind("barley", StackLimit::SixtyFour);
    let flax = builder.kind("flax", StackLimit::SixtyFour);
    let crate_kind = builder.box_kind("crate");
    let flax_chest = chest(&mut builder, "flax chest", 27);
    let hopper = builder.add("hopper", capped(Some(flax_chest), None));
    let network = builder.build().expect("sound");
    let declarations = Declarations {
        stores: vec![store(
            "flax store",
            flax_chest,
            &[flax],
            StorePurpose::Slice,
        )],
        goals: vec![Goal::MisplacedAtMost(0), Goal::MisplacedAtMost(6)],
        ..Declarations::default()
    };
    let mixed = Action::Deliver {
        place: hopper,
        kind: crate_kind,
        count: 1,
        contents: vec![filling(0, flax, 10), filling(1, barley, 5)],
        terms: Terms::default(),
    };
    let entries = vec![
        (0, deliver(hopper, flax, 2)),
        (20, deliver(hopper, barley, 1)),
        (100, mixed),
    ];
    let found = run_with(&network, &declarations, 200, entries);
    let store = &found.stores[0];
    // A box counts as its contents do: five barley of it are misplaced, ten flax are not.
    assert_eq!(store.misplaced, [of_kind(6, "barley")]);
    assert_eq!(store.contents, [of_kind(6, "barley"), of_kind(12, "flax")]);
    assert_eq!(store.final_items, 4);
    // Two flax go in ticks 7 and 15. The barley, delivered in tick 20 into an empty hopper, goes
    // 7 ticks later.
    assert_eq!(store.first_misplaced_at, Some(Tick(27)));
    assert!(!found.verdicts[0].is_met());
    assert_eq!(found.verdicts[0].went_wrong_at, Some(Tick(27)));
    assert!(found.verdicts[1].is_met());
    let here = &found.whereabouts;
    // Two flax, ten flax in the box, and the box itself.
    assert_eq!((here.sorted_items, here.misplaced_items), (13, 6));
    assert_eq!(here.delivered_items, 19);
}

#[test]
fn overflow_says_why_each_item_came_there() {
    let mut builder = NetworkBuilder::new(Rules::default());
    let barley = builder.kind("barley", StackLimit::SixtyFour);
    let slate = builder.kind("slate", StackLimit::SixtyFour);
    let wool = builder.kind("wool", StackLimit::SixtyFour);
    let barley_chest = chest(&mut builder, "barley chest", 1);
    builder.fill(barley_chest, filling(0, barley, 62));
    let wool_chest = chest(&mut builder, "wool chest", 1);
    builder.fill(wool_chest, filling(0, wool, 64));
    let overflow_chest = chest(&mut builder, "overflow chest", 27);
    let second_chest = chest(&mut builder, "second overflow chest", 27);
    let hopper = builder.add("hopper", capped(Some(overflow_chest), None));
    let filler = builder.add("filler", capped(Some(barley_chest), None));
    let network = builder.build().expect("sound");
    let declarations = Declarations {
        stores: vec![
            store("barley store", barley_chest, &[barley], StorePurpose::Slice),
            store("wool store", wool_chest, &[wool], StorePurpose::Slice),
            store("overflow", overflow_chest, &[], StorePurpose::Overflow),
            store("second overflow", second_chest, &[], StorePurpose::Overflow),
        ],
        goals: vec![Goal::PassedByAtMost(0)],
        ..Declarations::default()
    };
    // What the operator puts into overflow has not been passed by.
    let entries = vec![
        (0, deliver(overflow_chest, barley, 3)),
        // Four barley go over in ticks 7, 15, 23, 31; in between the barley chest fills up: two
        // go in, in ticks 17 and 25.
        (0, deliver(hopper, barley, 4)),
        (10, deliver(filler, barley, 2)),
        (40, deliver(hopper, wool, 2)),
        (60, deliver(hopper, slate, 1)),
        (
            100,
            Action::Withdraw {
                place: wool_chest,
                count: 1,
            },
        ),
        (100, deliver(hopper, wool, 1)),
    ];
    let found = run_with(&network, &declarations, 200, entries);
    let row = |kind: &str, reason, items| OverflowRow {
        kind: kind.to_owned(),
        is_box: false,
        reason,
        items,
    };
    assert_eq!(
        found.overflow.rows,
        [
            row("barley", OverflowReason::PassedBy, 3),
            row("barley", OverflowReason::StoreFull, 1),
            row("slate", OverflowReason::NoStore, 1),
            row("wool", OverflowReason::PassedBy, 1),
            row("wool", OverflowReason::StoreFull, 2),
        ]
    );
    assert_eq!(found.overflow.first_passed_by_at, Some(Tick(7)));
    assert_eq!(found.verdicts[0].went_wrong_at, Some(Tick(7)));
    assert_eq!(found.misplaced_items(), 0);
}

#[test]
fn a_box_needs_an_empty_slot_in_the_slice_of_its_contents() {
    let mut builder = NetworkBuilder::new(Rules::default());
    let barley = builder.kind("barley", StackLimit::SixtyFour);
    let crate_kind = builder.box_kind("crate");
    let barley_chest = chest(&mut builder, "barley chest", 1);
    builder.fill(barley_chest, filling(0, barley, 1));
    let overflow_chest = chest(&mut builder, "overflow chest", 27);
    let hopper = builder.add("hopper", capped(Some(overflow_chest), None));
    let network = builder.build().expect("sound");
    let declarations = Declarations {
        stores: vec![
            store("barley store", barley_chest, &[barley], StorePurpose::Slice),
            store("overflow", overflow_chest, &[], StorePurpose::Overflow),
        ],
        ..Declarations::default()
    };
    let full = |contents: Vec<Filling>| Action::Deliver {
        place: hopper,
        kind: crate_kind,
        count: 1,
        contents,
        terms: Terms::default(),
    };
    let entries = vec![
        // There is room for barley, but not for a box of it.
        (0, full(vec![filling(0, barley, 64)])),
        // Nobody takes an empty box.
        (0, full(Vec::new())),
        (
            50,
            Action::Withdraw {
                place: barley_chest,
                count: 1,
            },
        ),
        (50, full(vec![filling(0, barley, 64)])),
    ];
    let found = run_with(&network, &declarations, 100, entries);
    let count = |reason| found.overflow.items(reason);
    assert_eq!(count(OverflowReason::StoreFull), 1);
    assert_eq!(count(OverflowReason::NoStore), 1);
    assert_eq!(count(OverflowReason::PassedBy), 1);
    // Each box is an item, and so is everything inside: 65 + 1 + 65.
    assert_eq!(found.whereabouts.overflow_items, 131);
}

#[test]
fn a_sieve_is_intact_with_goods_on_their_way_through_but_not_with_less() {
    let mut builder = NetworkBuilder::new(Rules::default());
    let barley = builder.kind("barley", StackLimit::SixtyFour);
    let marker = builder.kind("marker", StackLimit::SixtyFour);
    let mut sieve = |name: &str| {
        let hopper = builder.add(name, capped(None, None));
        builder.fill(hopper, filling(0, barley, 41));
        builder.fill(hopper, filling(1, marker, 1));
        hopper
    };
    let passing = sieve("passing");
    let drained = sieve("drained");
    let spoiled = sieve("spoiled");
    let flax = builder.kind("flax", StackLimit::SixtyFour);
    let network = builder.build().expect("sound");
    let declarations = Declarations {
        sieves: vec![passing, drained, spoiled],
        goals: vec![Goal::SievesBrokenAtMost(0)],
        ..Declarations::default()
    };
    let entries = vec![
        (10, deliver(passing, barley, 2)),
        (
            20,
            Action::Withdraw {
                place: drained,
                count: 3,
            },
        ),
        (30, deliver(spoiled, flax, 4)),
    ];
    let found = run_with(&network, &declarations, 100, entries);
    assert!(found.sieves[0].is_intact());
    assert_eq!(found.sieves[0].surplus, [of_kind(2, "barley")]);
    assert_eq!(found.sieves[1].missing, [of_kind(3, "barley")]);
    assert_eq!(found.sieves[1].broken_since, Some(Tick(20)));
    assert_eq!(found.sieves[2].foreign, [of_kind(4, "flax")]);
    assert!(!found.sieves_intact());
    assert_eq!(found.verdicts[0].went_wrong_at, Some(Tick(20)));
}

#[test]
fn what_waits_in_a_queue_is_kept_apart_from_what_is_stuck_elsewhere() {
    let mut builder = NetworkBuilder::new(Rules::default());
    let barley = builder.kind("barley", StackLimit::SixtyFour);
    let store_chest = chest(&mut builder, "store chest", 27);
    let queue = chest(&mut builder, "queue", 27);
    let stuck = builder.add("stuck", capped(None, None));
    let pond = builder.add("pond", Part::Mouth);
    let network = builder.build().expect("sound");
    let goal = Goal::InNoStoreAtMost;
    let declarations = Declarations {
        stores: vec![store("store", store_chest, &[barley], StorePurpose::Slice)],
        sections: vec![Section {
            name: "hall".to_owned(),
            line: Vec::new(),
            queue: vec![queue],
            locked: Vec::new(),
            call: None,
            returns: Vec::new(),
            width_blocks: None,
        }],
        goals: vec![goal(10), goal(9)],
        ..Declarations::default()
    };
    let entries = [(store_chest, 5), (queue, 2), (stuck, 7), (pond, 1)];
    let entries = entries.map(|(place, count)| (0, deliver(place, barley, count)));
    let found = run_with(&network, &declarations, 100, entries.to_vec());
    let here = &found.whereabouts;
    assert_eq!((here.sorted_items, here.waiting_items), (5, 2));
    let in_lines: u64 = here.in_lines.iter().map(|row| row.items).sum();
    assert_eq!((in_lines, here.loose_items), (7, 1));
    // 2 + 7 + 1.
    assert_eq!(here.in_no_store_items(), 10);
    assert!(found.verdicts[0].is_met());
    assert!(!found.verdicts[1].is_met());
}

#[test]
fn a_full_store_is_named_beside_what_is_stuck_before_it() {
    let mut builder = NetworkBuilder::new(Rules::default());
    let barley = builder.kind("barley", StackLimit::SixtyFour);
    let flax = builder.kind("flax", StackLimit::SixtyFour);
    let crate_kind = builder.box_kind("crate");
    let barley_chest = chest(&mut builder, "barley chest", 1);
    builder.fill(barley_chest, filling(0, barley, 60));
    let flax_chest = chest(&mut builder, "flax chest", 1);
    let hopper = builder.add("hopper", capped(Some(barley_chest), None));
    let network = builder.build().expect("sound");
    let declarations = Declarations {
        stores: vec![
            store("barley store", barley_chest, &[barley], StorePurpose::Slice),
            store("flax store", flax_chest, &[flax], StorePurpose::Slice),
        ],
        ..Declarations::default()
    };
    let boxed = Action::Deliver {
        place: flax_chest,
        kind: crate_kind,
        count: 1,
        contents: vec![filling(0, flax, 9)],
        terms: Terms::default(),
    };
    // Four of the ten barley find room, six do not; nor would the flax, but nothing of it waits.
    let entries = vec![(0, deliver(hopper, barley, 10)), (0, boxed)];
    let found = run_with(&network, &declarations, 200, entries);
    let here = &found.whereabouts;
    let no_room = NoRoom {
        store: "barley store".to_owned(),
        items: 6,
    };
    assert_eq!(here.no_room, [no_room]);
    // 64 barley, nine flax, and the box in which they are.
    assert_eq!((here.sorted_items, here.sorted_boxes), (74, 1));
}
