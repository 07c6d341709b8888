//! Which stores a kind can come to.

use hallwright_analysis::homes::{Form, HomesOfRuns};
use hallwright_analysis::ways::{Home, KindWays};
use hallwright_core::id::{KindId, PartId};
use hallwright_core::network::Network;
use hallwright_core::part::{Dropper, Intake, Outlet, Part};
use hallwright_core::slot::Filling;
use hallwright_core::tick::Tick;
use hallwright_core::timeline::{Action, Terms, Timeline};
use hallwright_declared::declarations::{Declarations, Store, StorePurpose};

use crate::support::Draft;

fn home(store: usize, past: &[usize]) -> Home {
    Home {
        store,
        past: past.to_vec(),
    }
}

#[test]
fn selectors_part_the_kinds_to_their_stores() {
    let mut draft = Draft::new();
    let [barley_store, rye_store, others] = draft.chests(["barley", "rye", "others"]);
    let (barley, rye) = (draft.barley, draft.rye);
    let second = draft.selector("second", &[rye], rye_store, others);
    let first = draft.selector("first", &[barley], barley_store, second);
    let ways = KindWays::new(&draft.done());
    let stores: [&[_]; 3] = [&[barley_store], &[rye_store], &[others]];
    assert_eq!(ways.homes(barley, first, &stores), [home(0, &[])]);
    assert_eq!(ways.homes(rye, first, &stores), [home(1, &[])]);
    // What comes in behind the first selector is not sorted by it.
    assert_eq!(ways.homes(barley, second, &stores), [home(2, &[])]);
}

#[test]
fn a_store_that_spills_into_another_is_passed() {
    let mut draft = Draft::new();
    let [own, spill, last] = draft.chests(["own", "spill", "last"]);
    let barley = draft.barley;
    let line = draft.hopper("line", Intake::Cap, Some(own), None);
    draft.below("over", own, Some(spill));
    draft.below("on", spill, Some(last));
    let ways = KindWays::new(&draft.done());
    let stores: [&[_]; 3] = [&[last], &[own], &[spill]];
    let all = ways.homes(barley, line, &stores);
    assert_eq!(all, [home(0, &[1, 2]), home(1, &[]), home(2, &[1])]);
    // From inside a store that store is no longer before it.
    let from_own = ways.homes(barley, own, &stores);
    assert_eq!(from_own, [home(0, &[2]), home(1, &[]), home(2, &[])]);
}

#[test]
fn a_store_with_a_way_round_it_is_not_passed() {
    let mut draft = Draft::new();
    let [near, far, source] = draft.chests(["near", "far", "source"]);
    let barley = draft.barley;
    draft.below("to near", source, Some(near));
    draft.below("on", near, Some(far));
    draft.below("round", source, Some(far));
    let ways = KindWays::new(&draft.done());
    let stores: [&[_]; 2] = [&[near], &[far]];
    let homes = ways.homes(barley, source, &stores);
    assert_eq!(homes, [home(0, &[]), home(1, &[])]);
}

#[test]
fn a_store_of_several_chests_is_passed_as_a_whole() {
    let mut draft = Draft::new();
    let [one, other, beyond, source] = draft.chests(["one", "other", "beyond", "source"]);
    let barley = draft.barley;
    for (chest, names) in [(one, ["a", "b"]), (other, ["c", "d"])] {
        draft.below(names[0], source, Some(chest));
        draft.below(names[1], chest, Some(beyond));
    }
    let ways = KindWays::new(&draft.done());
    let homes = |stores: &[&[_]]| ways.homes(barley, source, stores);
    let whole = homes(&[&[one, other], &[beyond]]);
    assert_eq!(whole, [home(0, &[]), home(1, &[0])]);
    let each = homes(&[&[one], &[other], &[beyond]]);
    assert_eq!(each, [home(0, &[]), home(1, &[]), home(2, &[])]);
}

#[test]
fn what_is_packed_comes_to_where_boxes_are_opened() {
    let mut draft = Draft::new();
    let mouth = draft.builder.add("mouth", Part::Mouth);
    let packs = draft.bench("packs", mouth);
    let opens = draft.bench("opens", mouth);
    let [store, boxes] = draft.chests(["store", "boxes"]);
    draft.hopper("boxed", Intake::Mouth(mouth), Some(boxes), None);
    draft.below("opened", opens, Some(store));
    let barley = draft.barley;
    let ways = KindWays::new(&draft.done());
    let stores: [&[_]; 2] = [&[store], &[boxes]];
    let homes = ways.homes(barley, packs, &stores);
    assert_eq!(homes, [home(0, &[]), home(1, &[])]);
}

#[test]
fn homes_of_many_runs_are_those_of_each() {
    let mut draft = Draft::new();
    let [source, own] = draft.chests(["source", "own"]);
    draft.below("line", source, Some(own));
    let (barley, rye) = (draft.barley, draft.rye);
    let network = draft.done();
    let declared = Declarations {
        stores: vec![Store {
            name: "slice".to_owned(),
            parts: vec![own],
            takes: vec![barley],
            purpose: StorePurpose::Slice,
        }],
        ..Declarations::default()
    };
    let delivery = |at, kind| {
        let action = Action::Deliver {
            place: source,
            kind,
            count: 1,
            contents: Vec::new(),
            terms: Terms::default(),
        };
        (Tick(at), action)
    };
    let timeline = Timeline::new(vec![delivery(5, barley), delivery(50, rye)]);
    let mut of_runs = HomesOfRuns::default();
    let mut arrived = Vec::new();
    // Rye arrives in the second run alone, and nothing in the last.
    for end in [10, 60, 20, 5] {
        let found = of_runs.of(&network, &declared, &timeline, Tick(end));
        let mut alone = HomesOfRuns::default();
        assert_eq!(found, alone.of(&network, &declared, &timeline, Tick(end)));
        arrived.push(found.len());
    }
    assert_eq!(arrived, [1, 2, 1, 0]);
}

/// What arrives at a tick, and whether its home, one chest, is reached by a run of 10 ticks; nothing if nothing
/// arrives.
fn arriving(
    network: &Network,
    store: PartId,
    takes: KindId,
    (at, delivery): (u64, Action),
) -> Vec<(Form, bool)> {
    let store = Store {
        name: "store".to_owned(),
        parts: vec![store],
        takes: vec![takes],
        purpose: StorePurpose::Slice,
    };
    let declared = Declarations {
        stores: vec![store],
        ..Declarations::default()
    };
    let timeline = Timeline::new(vec![(Tick(at), delivery)]);
    let found = HomesOfRuns::default().of(network, &declared, &timeline, Tick(10));
    let rows = found.iter();
    rows.map(|row| (row.form, !row.is_homeless())).collect()
}

#[test]
fn goods_and_boxes_of_them_come_home_only_where_selectors_let_them() {
    let mut draft = Draft::new();
    let carton = draft.builder.box_kind("box");
    let barley = draft.barley;
    let [taken, rest, source] = draft.chests(["taken", "rest", "source"]);
    let selector = draft.selector("selector", &[barley], taken, rest);
    draft.below("in", source, Some(selector));
    let network = draft.done();
    let delivery = |kind, contents: Vec<Filling>| Action::Deliver {
        place: source,
        kind,
        count: 1,
        contents,
        terms: Terms::default(),
    };
    let inside = Filling {
        slot: 0,
        kind: barley,
        count: 1,
        contents: Vec::new(),
    };
    let loose = |store| arriving(&network, store, barley, (9, delivery(barley, Vec::new())));
    assert_eq!(loose(taken), [(Form::Loose, true)]);
    assert_eq!(loose(rest), [(Form::Loose, false)]);
    // A box is none of the kinds that the selector takes, whatever is in it.
    let boxed = |store| {
        let delivery = delivery(carton, vec![inside.clone()]);
        arriving(&network, store, barley, (9, delivery))
    };
    assert_eq!(boxed(taken), [(Form::Boxed, false)]);
    assert_eq!(boxed(rest), [(Form::Boxed, true)]);
    // The tick in which the run ends is no part of it.
    let late = arriving(&network, taken, barley, (10, delivery(barley, Vec::new())));
    assert_eq!(late, []);
}

#[test]
fn goods_that_arrive_in_boxes_come_home_out_of_them() {
    let mut draft = Draft::new();
    let carton = draft.builder.box_kind("box");
    let barley = draft.barley;
    let [store, empties] = draft.chests(["store", "empties"]);
    let mouth = draft.builder.add("mouth", Part::Mouth);
    let bench = draft.bench("bench", mouth);
    draft.below("opens", bench, Some(store));
    draft.hopper("takes empties", Intake::Mouth(mouth), Some(empties), None);
    let dispenser = Dropper {
        trigger: None,
        outlet: Outlet::Bench(bench),
    };
    let dispenser = draft.builder.add("dispenser", Part::Dropper(dispenser));
    let network = draft.done();
    let inside = Filling {
        slot: 0,
        kind: barley,
        count: 1,
        contents: Vec::new(),
    };
    let delivery = Action::Deliver {
        place: dispenser,
        kind: carton,
        count: 1,
        contents: vec![inside],
        terms: Terms::default(),
    };
    let boxed = arriving(&network, store, barley, (9, delivery));
    assert_eq!(boxed, [(Form::Boxed, true)]);
}
