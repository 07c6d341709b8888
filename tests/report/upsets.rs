//! What befell a hall, worked out by hand: sleeps, reopenings, mishaps, and what is taken at its word.

use hallwright_core::goods::StackLimit;
use hallwright_core::network::NetworkBuilder;
use hallwright_core::order::Orders;
use hallwright_core::part::{Bench, Dropper, Leg, Lift, Outlet, Part, Selector, Shuttle};
use hallwright_core::predicate::Predicate;
use hallwright_core::rules::Rules;
use hallwright_core::slot::Filling;
use hallwright_core::tick::Tick;
use hallwright_core::timeline::Action;
use hallwright_declared::declarations::{Declarations, Region, StorePurpose};
use hallwright_report::findings::{SpellFinding, SpellSort, Standing};
use hallwright_words as words;

use crate::support::{capped, chest, deliver, filling, lever, of_kind, run_with, store};

#[test]
fn what_slept_and_what_was_stuck_is_told_by_region_name_or_number() {
    let mut builder = NetworkBuilder::new(Rules::default());
    let near = chest(&mut builder, "near end", 1);
    let far = chest(&mut builder, "far end", 1);
    let farther = chest(&mut builder, "farther", 1);
    let gate = lever(&mut builder, "gate");
    let network = builder.build().expect("sound");
    let declarations = Declarations {
        regions: vec![Region {
            name: "away".to_owned(),
            parts: vec![far, farther],
        }],
        ..Declarations::default()
    };
    let sleep = |parts: &[_], sleep_ticks| Action::Sleep {
        parts: parts.to_vec(),
        sleep_ticks,
    };
    let stick = |on, stuck_ticks| Action::Stick {
        signals: vec![gate],
        on,
        stuck_ticks,
    };
    let reopen = Action::Reopen {
        orders: Orders::default(),
    };
    let entries = vec![
        (20, sleep(&[farther, far], 20)),
        (50, sleep(&[near], 10)),
        (50, reopen.clone()),
        (70, sleep(&[near, far], 30)),
        (90, stick(true, 5)),
        (95, stick(false, 900)),
        // After the end nothing is told.
        (100, sleep(&[farther], 10)),
        (100, reopen),
    ];
    let found = run_with(&network, &declarations, 100, entries);
    let spells = &found.upsets.spells;
    let first = SpellFinding {
        sort: SpellSort::Asleep,
        at: Tick(20),
        over_at: Tick(40),
        region: Some("away".to_owned()),
        parts: vec!["far end".to_owned(), "farther".to_owned()],
    };
    assert_eq!((spells.len(), &spells[0]), (5, &first));
    assert_eq!(found.upsets.reopened_at, [Tick(50)]);
    let slept = "away from 1.0 s to 2.0 s, near end from 2.5 s to 3.0 s, \
                 2 parts from 3.5 s to 5.0 s; opened again at 2.5 s";
    assert_eq!(words::slept(&found).as_deref(), Some(slept));
    let stuck = "gate stuck on from 4.5 s to 4.75 s, gate stuck off from 4.75 s on";
    assert_eq!(words::mishaps(&found).as_deref(), Some(stuck));
    assert_eq!(words::by_hand(&found), None);
    assert_eq!(words::taken_at_word(&found), None);
    // Signals that are stuck at the end leave it open whether it is quiet.
    assert!(!found.quiet.is_known);
}

#[test]
fn what_is_put_in_by_hand_and_boxes_taken_away_are_in_the_account() {
    let mut builder = NetworkBuilder::new(Rules::default());
    let barley = builder.kind("barley", StackLimit::SixtyFour);
    let slate = builder.kind("slate", StackLimit::Sixteen);
    let boxes = builder.box_kind("box");
    let rack = chest(&mut builder, "rack", 3);
    let bin = chest(&mut builder, "bin", 1);
    let floor = builder.add("floor", Part::Mouth);
    let gate = lever(&mut builder, "gate");
    let bench = Bench {
        lift: Lift::Empty,
        after_ticks: 0,
        output: floor,
    };
    let bench = builder.add("bench", Part::Bench(bench));
    let dispenser = Dropper {
        trigger: Some(gate),
        outlet: Outlet::Bench(bench),
    };
    let dispenser = builder.add("dispenser", Part::Dropper(dispenser));
    let of_barley = |slot, count| Filling {
        contents: vec![filling(0, barley, count)],
        ..filling(slot, boxes, 1)
    };
    builder.fill(rack, of_barley(1, 7));
    builder.fill(dispenser, of_barley(0, 30));
    let network = builder.build().expect("sound");
    let declarations = Declarations {
        stores: vec![
            store("bench", bench, &[barley], StorePurpose::Slice),
            store("bin", bin, &[barley], StorePurpose::Slice),
        ],
        ..Declarations::default()
    };
    let fill = Action::Fill {
        place: bin,
        kind: slate,
        contents: Vec::new(),
    };
    let entries = vec![
        (
            0,
            Action::MoveLever {
                lever: gate,
                on: true,
            },
        ),
        (2, Action::TakeBox { place: rack }),
        // There is none any more.
        (3, Action::TakeBox { place: rack }),
        (10, Action::TakeBox { place: bench }),
        (12, fill),
        (13, deliver(rack, barley, 2)),
        // Full: this is no hand's doing, but a delivery that is refused.
        (14, deliver(bin, barley, 5)),
    ];
    let found = run_with(&network, &declarations, 60, entries);
    assert_eq!(found.upsets.boxes_taken, 2);
    assert_eq!(
        found.upsets.put_in,
        [of_kind(2, "barley"), of_kind(16, "slate")]
    );
    let account = &found.account;
    assert_eq!(account.broken(), None);
    // Two boxes with 7 and 30 barley are gone; 2 barley lie in the rack, 16 slate where barley belongs.
    let taken = account.amount(Standing::TakenOut);
    assert_eq!((taken.goods, taken.boxes, taken.goods_in_boxes), (0, 2, 37));
    assert_eq!((account.sent.goods, account.refused.goods), (23, 5));
    assert_eq!(account.amount(Standing::Misplaced).goods, 16);
    // Of the store on which the box stood, nothing is left.
    assert_eq!(found.stores[0].final_items, 0);
    let told = "16 slate, 2 barley put in; 2 boxes taken away";
    assert_eq!(words::by_hand(&found).as_deref(), Some(told));
    assert_eq!(words::mishaps(&found), None);
    assert_eq!(words::slept(&found), None);
}

#[test]
fn a_result_rests_on_selectors_and_shuttles() {
    let mut builder = NetworkBuilder::new(Rules::default());
    let barley = builder.kind("barley", StackLimit::SixtyFour);
    let bin = chest(&mut builder, "bin", 1);
    let rest = chest(&mut builder, "rest", 1);
    let selector = |interval_ticks, latency_ticks, holds| {
        Part::Selector(Box::new(Selector {
            latency_ticks,
            interval_ticks,
            holds,
            takes: Predicate::Kinds(vec![barley]),
            match_target: bin,
            rest_target: rest,
            when_full: None,
            lock: None,
        }))
    };
    let first = builder.add("first", selector(8, 4, 1));
    builder.add("second", selector(8, 4, 1));
    builder.add("head", capped(Some(first), None));
    let network = builder.clone().build().expect("sound");
    let declarations = Declarations::default();
    let found = run_with(&network, &declarations, 20, Vec::new());
    let told = "2 selectors are taken at their word: 2.50 items/s, 4 t";
    assert_eq!(words::taken_at_word(&found).as_deref(), Some(told));

    builder.add("third", selector(0, 2, 4));
    let north = builder.add("north", Part::Dock);
    let south = builder.add("south", Part::Dock);
    let leg = |dock, travel_ticks, dwell_ticks| Leg {
        dock,
        travel_ticks,
        dwell_ticks,
        release: None,
    };
    let barge = Shuttle {
        slots: 5,
        stops: vec![leg(north, 100, 20), leg(south, 260, 20)],
    };
    builder.add("barge", Part::Shuttle(Box::new(barge)));
    let network = builder.build().expect("sound");
    let found = run_with(&network, &declarations, 20, Vec::new());
    let at_word = &found.taken_at_word;
    let rows: Vec<(usize, u32, u32)> = at_word
        .selectors
        .iter()
        .map(|row| (row.parts.len(), row.interval_ticks, row.latency_ticks))
        .collect();
    assert_eq!(rows, [(2, 8, 4), (1, 0, 2)]);
    assert_eq!(at_word.shuttles[0].round_ticks, 400);
    // Four in two ticks would be more, but one in every turn, 20 a second, is the most.
    let told = "3 selectors and 1 shuttle are taken at their word: 2 of 2.50 items/s, 4 t; \
                1 of 20.00 items/s, 2 t; a round of 20.0 s (400 t)";
    assert_eq!(words::taken_at_word(&found).as_deref(), Some(told));
}
