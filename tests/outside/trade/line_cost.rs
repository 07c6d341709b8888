//! A hopper line at inventories of fewer slots costs the world less: droppers, of 9 slots, against
//! chests, of 27 (common practice, no source). How much less follows from the tick rules, section 8:
//! 18 work units in each turn that looks at such an inventory.

use hallwright_core::goods::StackLimit;
use hallwright_core::id::{KindId, PartId};
use hallwright_core::network::{Network, NetworkBuilder};
use hallwright_core::part::{Container, Dropper, Hopper, Intake, Outlet, Part};
use hallwright_core::rules::Rules;
use hallwright_core::slot::Filling;
use hallwright_reference::Fault;

use crate::runs::{Runner, work_units};

const HOPPERS: usize = 5;
/// The measured time: 100 times the 8 ticks of a hopper.
const MEASURED_TICKS: u64 = 800;

/// What stands above or below each hopper.
#[derive(Clone, Copy)]
enum Inventory {
    Dropper,
    Chest,
}

impl Inventory {
    fn slots(self) -> u16 {
        match self {
            Self::Dropper => 9,
            Self::Chest => 27,
        }
    }

    fn part(self) -> Part {
        match self {
            // Nothing ever fires it.
            Self::Dropper => Part::Dropper(Dropper {
                trigger: None,
                outlet: Outlet::Loose(PartId::from_index(0)),
            }),
            Self::Chest => Part::Container(Container {
                slots: self.slots(),
            }),
        }
    }
}

/// A network and its hoppers.
type Line = (Network, Vec<PartId>);

fn begin() -> (NetworkBuilder, KindId) {
    let mut builder = NetworkBuilder::new(Rules::default());
    let barley = builder.kind("barley", StackLimit::SixtyFour);
    builder.add("floor", Part::Mouth);
    (builder, barley)
}

fn filling(slot: u16, kind: KindId, count: u8) -> Filling {
    Filling {
        slot,
        kind,
        count,
        contents: Vec::new(),
    }
}

/// Five hoppers that push along, the last one into a barrel, with an inventory above each. The first
/// inventory holds as much as asked, the others nothing.
fn line_below(inventory: Inventory, slots_filled: u16) -> Line {
    let (mut builder, barley) = begin();
    let hoppers: Vec<PartId> = (0..HOPPERS)
        .map(|number| builder.declare(&format!("hopper {number}")))
        .collect();
    let barrel = builder.add("barrel", Part::Container(Container { slots: 27 }));
    for (number, hopper) in hoppers.iter().enumerate() {
        let above = builder.add(&format!("inventory {number}"), inventory.part());
        let slots_filled = if number == 0 { slots_filled } else { 0 };
        for slot in 0..slots_filled {
            builder.fill(above, filling(slot, barley, 64));
        }
        let part = Hopper {
            target: Some(hoppers.get(number + 1).copied().unwrap_or(barrel)),
            intake: Intake::Above(above),
            lock: None,
        };
        builder.define(*hopper, Part::Hopper(part));
    }
    let network = builder.build().expect("a line of hoppers is sound");
    (network, hoppers)
}

/// Five hoppers with a cap, each of which holds one item above an inventory that is full.
fn row_above(inventory: Inventory) -> Line {
    let (mut builder, barley) = begin();
    let mut hoppers = Vec::new();
    for number in 0..HOPPERS {
        let below = builder.add(&format!("inventory {number}"), inventory.part());
        for slot in 0..inventory.slots() {
            builder.fill(below, filling(slot, barley, 64));
        }
        let part = Hopper {
            target: Some(below),
            intake: Intake::Cap,
            lock: None,
        };
        let hopper = builder.add(&format!("hopper {number}"), Part::Hopper(part));
        builder.fill(hopper, filling(0, barley, 1));
        hoppers.push(hopper);
    }
    let network = builder.build().expect("a row of hoppers is sound");
    (network, hoppers)
}

/// The work of all hoppers in the measured time, which begins after the warm-up.
fn work((network, hoppers): &Line, warm_up_ticks: u64, runner: Runner) -> u64 {
    let after = |ticks| work_units(network, hoppers, ticks, runner);
    after(warm_up_ticks + MEASURED_TICKS) - after(warm_up_ticks)
}

#[test]
fn an_idle_line_costs_18_less_a_turn_below_droppers_than_below_chests() {
    // In each of 5 x 800 turns: 10 to try, none for the target of an empty hopper, 9 or 27 above.
    let below = |inventory, runner| work(&line_below(inventory, 0), 0, runner);
    assert_eq!(below(Inventory::Dropper, Runner::Core), 5 * 800 * 19);
    assert_eq!(below(Inventory::Chest, Runner::Core), 5 * 800 * 37);
    let broken = Runner::Broken(Fault::CostCountsEmptyPush);
    assert_ne!(below(Inventory::Dropper, broken), 5 * 800 * 19);
}

#[test]
fn a_busy_line_costs_18_less_a_transfer_below_droppers_than_below_chests() {
    // Each hopper acts in 100 turns: 10, 9 or 27 above, and 5 for the next hopper or 27 for the barrel.
    // It waits in the other 700, at 1.
    let below = |inventory, runner| work(&line_below(inventory, 9), 200, runner);
    let by_hand = |above: u64| 4 * (100 * (10 + above + 5) + 700) + 100 * (10 + above + 27) + 700;
    assert_eq!(by_hand(27) - by_hand(9), 18 * 500);
    assert_eq!(below(Inventory::Dropper, Runner::Core), by_hand(9));
    assert_eq!(below(Inventory::Chest, Runner::Core), by_hand(27));
    let broken = Runner::Broken(Fault::CostOfIdleMissing);
    assert_ne!(below(Inventory::Dropper, broken), by_hand(9));
}

#[test]
fn a_backed_up_row_costs_18_less_a_turn_above_droppers_than_above_chests() {
    // In each of 5 x 800 turns: 10 to try, 9 or 27 for the full target, 1 for the cap.
    let above = |inventory, runner| work(&row_above(inventory), 0, runner);
    assert_eq!(above(Inventory::Dropper, Runner::Core), 5 * 800 * 20);
    assert_eq!(above(Inventory::Chest, Runner::Core), 5 * 800 * 38);
    let broken = Runner::Broken(Fault::CostOfCapMissing);
    assert_ne!(above(Inventory::Dropper, broken), 5 * 800 * 20);
}
