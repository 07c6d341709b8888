//! Hoppers that are filled like sieves though nobody says that they are.

use hallwright_analysis::sieves::Sieve;
use hallwright_core::id::PartId;
use hallwright_core::network::Network;
use hallwright_core::part::{ComparatorMode, Intake, Rear, Signal};
use hallwright_core::slot::Filling;

use crate::support::Draft;

/// What reads the sieve, or another part, so that the hopper below is locked.
#[derive(Clone, Copy, PartialEq)]
enum Guard {
    Itself,
    Another,
    Nothing,
}

/// A hopper with so many items of its own in slot 0 and one filler in each of so many further slots.
fn filled(own: u8, fillers: u16, guard: Guard) -> (Network, PartId) {
    let mut draft = Draft::new();
    let [above, other, store] = draft.chests(["above", "other", "store"]);
    let sieve = draft.below("sieve", above, None);
    let rear = if guard == Guard::Another {
        other
    } else {
        sieve
    };
    let level = Signal::Comparator {
        rear: Rear::Inventory(rear),
        side: None,
        mode: ComparatorMode::Compare,
    };
    let level = draft.signal("level", level);
    let shut = draft.signal("shut", Signal::Inverter { input: level });
    let lock = (guard != Guard::Nothing).then_some(shut);
    draft.hopper("out", Intake::Above(sieve), Some(store), lock);
    for slot in 0..=fillers {
        let (kind, count) = match slot {
            0 => (draft.barley, own),
            _ => (draft.rye, 1),
        };
        let filling = Filling {
            slot,
            kind,
            count,
            contents: Vec::new(),
        };
        draft.builder.fill(sieve, filling);
    }
    (draft.done(), sieve)
}

/// Whether the hopper is found, if these are named.
fn is_found((network, sieve): &(Network, PartId), named: &[PartId]) -> bool {
    let found = Sieve::not_named(network, named);
    let found: Vec<PartId> = found.iter().map(|one| one.hopper).collect();
    assert!(found.is_empty() || found == [*sieve]);
    !found.is_empty()
}

#[test]
fn a_hopper_that_holds_several_kinds_and_guards_its_own_outlet_is_a_sieve() {
    let sieve = filled(41, 4, Guard::Itself);
    assert!(is_found(&sieve, &[]));
    assert!(!is_found(&sieve, &[sieve.1]), "it is named");
    // With free slots of which any kind can take one, it has more room still.
    assert!(is_found(&filled(41, 1, Guard::Itself), &[]));
    assert!(!is_found(&filled(41, 0, Guard::Itself), &[]), "no filler");
    assert!(!is_found(&filled(64, 4, Guard::Itself), &[]), "no room");
    assert!(!is_found(&filled(41, 4, Guard::Another), &[]));
    assert!(!is_found(&filled(41, 4, Guard::Nothing), &[]), "no lock");
}

#[test]
fn a_full_sieve_lets_in_what_it_holds_and_one_with_a_free_slot_anything() {
    let lets_in = |fillers: u16, kinds: usize| {
        let (network, sieve) = filled(41, fillers, Guard::Itself);
        let sieves = Sieve::all(&network, &[sieve]);
        let [sieve] = &sieves[..] else {
            panic!("there is one")
        };
        // Each filler is the same kind, and counts once.
        assert_eq!(sieve.fillers.len(), usize::from(fillers > 0));
        assert_eq!(sieve.room_items, 23 + 64 * (4 - u32::from(fillers)));
        let kinds = (0..kinds).map(hallwright_core::id::KindId::from_index);
        kinds.map(|kind| sieve.lets_in(kind)).collect::<Vec<_>>()
    };
    assert_eq!(lets_in(4, 3), [true, true, false]);
    assert_eq!(lets_in(3, 3), [true, true, true]);
}

#[test]
fn the_parts_that_a_lock_hangs_on_are_those_that_comparators_read() {
    let guards = |guard| {
        let (network, sieve) = filled(41, 4, guard);
        let guards = Sieve::all(&network, &[sieve])[0].guards(&network);
        let names = |parts: Vec<PartId>| {
            let names = parts.into_iter().map(|part| network.name(part).to_owned());
            names.collect::<Vec<_>>()
        };
        guards.map(|guards| names(guards.into_keys().collect()))
    };
    assert_eq!(guards(Guard::Itself), Some(vec!["sieve".to_owned()]));
    assert_eq!(guards(Guard::Another), Some(vec!["other".to_owned()]));
    assert_eq!(guards(Guard::Nothing), None);
}
