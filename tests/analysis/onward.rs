//! Whether what rests in a slice may still go on to something behind it there.

use hallwright_analysis::onward::Onward;
use hallwright_core::engine::Engine;
use hallwright_core::id::{KindId, PartId};
use hallwright_core::part::{Container, Intake, Part};
use hallwright_core::setup::Setup;
use hallwright_core::slot::{Filling, Item};
use hallwright_declared::declarations::{Declarations, Store, StorePurpose};

use crate::support::Draft;

/// What the slots of a part hold, from the first on.
type Slots<'s> = &'s [(KindId, u8)];

fn fill(draft: &mut Draft, part: PartId, slots: Slots<'_>) {
    for (slot, (kind, count)) in (0..).zip(slots) {
        let filling = Filling {
            slot,
            kind: *kind,
            count: *count,
            contents: Vec::new(),
        };
        draft.builder.fill(part, filling);
    }
}

/// A slice of two hoppers, a container of three slots and a hopper below it. All but the first hold this at the
/// start. Whether an item of a kind may go on from the first hopper.
fn goes_on(mut draft: Draft, kind: KindId, [second, middle, last]: [Slots<'_>; 3]) -> bool {
    let container = Part::Container(Container { slots: 3 });
    let container = draft.builder.add("container", container);
    let hoppers = [
        draft.hopper("second", Intake::Cap, Some(container), None),
        draft.below("last", container, None),
    ];
    let first = draft.hopper("first", Intake::Cap, Some(hoppers[0]), None);
    fill(&mut draft, hoppers[0], second);
    fill(&mut draft, container, middle);
    fill(&mut draft, hoppers[1], last);
    let network = draft.done();
    let slice = Store {
        name: "slice".to_owned(),
        parts: network.part_ids().collect(),
        takes: vec![kind],
        purpose: StorePurpose::Slice,
    };
    let declared = Declarations {
        stores: vec![slice],
        ..Declarations::default()
    };
    let setup = Setup::default();
    let engine = Engine::new(&network, &setup);
    let onward = Onward::new(&network, &declared, &[Some(0); 4]);
    onward.may_go_on(first, Item { kind, box_id: None }, &engine.view())
}

#[test]
fn goods_go_on_to_where_their_own_stack_has_room() {
    let with_last = |count| {
        let draft = Draft::new();
        let (barley, rye) = (draft.barley, draft.rye);
        let middle = [(rye, 64), (rye, 1), (barley, count)];
        goes_on(
            draft,
            barley,
            [&[(barley, 64); 5], &middle, &[(rye, 64); 5]],
        )
    };
    assert!(with_last(63));
    assert!(!with_last(64));
}

#[test]
fn goods_go_on_once_any_of_those_before_them_may() {
    let with_middle = |of_barley: bool| {
        let draft = Draft::new();
        let (barley, rye) = (draft.barley, draft.rye);
        let between = if of_barley { barley } else { rye };
        let middle = [(rye, 64), (between, 64), (rye, 64)];
        let mut last = [(rye, 64); 5];
        last[4] = (barley, 63);
        goes_on(draft, barley, [&[(rye, 64); 5], &middle, &last])
    };
    // The barley in the middle goes into the last hopper, and makes room.
    assert!(with_middle(true));
    assert!(!with_middle(false));
}
