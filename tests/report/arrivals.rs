//! What was sent, refused, delivered and still waits, by arrival and kind.

use hallwright_core::goods::StackLimit;
use hallwright_core::id::{KindId, PartId};
use hallwright_core::network::NetworkBuilder;
use hallwright_core::rules::Rules;
use hallwright_core::tick::Tick;
use hallwright_core::timeline::{Action, Terms};
use hallwright_declared::declarations::Declarations;
use hallwright_report::findings::ArrivalFinding;

use crate::support::{chest, deliver, lever, run_with};

fn of_arrival(number: u32, place: PartId, kind: KindId, count: u32, terms: Terms) -> Action {
    Action::Deliver {
        place,
        kind,
        count,
        contents: Vec::new(),
        terms: Terms {
            arrival: Some(number),
            ..terms
        },
    }
}

#[test]
fn each_arrival_says_what_became_of_what_it_sent() {
    let mut builder = NetworkBuilder::new(Rules::default());
    let barley = builder.kind("barley", StackLimit::SixtyFour);
    let oat = builder.kind("oat", StackLimit::SixtyFour);
    let near = chest(&mut builder, "near", 1);
    let far = chest(&mut builder, "far", 1);
    let gate = lever(&mut builder, "gate");
    let network = builder.build().expect("sound");
    let declarations = Declarations {
        arrivals: ["cart", "boat", "held"].map(str::to_owned).to_vec(),
        ..Declarations::default()
    };
    let waits = Terms {
        waits: true,
        ..Terms::default()
    };
    let held = Terms {
        while_on: Some(gate),
        ..Terms::default()
    };
    let entries = vec![
        // Room for 64: 24 of the second 44 are refused, and all of the oat.
        (0, of_arrival(0, near, barley, 44, Terms::default())),
        (3, of_arrival(0, near, barley, 44, Terms::default())),
        (5, of_arrival(0, near, oat, 2, Terms::default())),
        // Of 100, 36 wait until 30 are taken out: then 6 of them, and 5 more from tick 9.
        (1, of_arrival(1, far, barley, 100, waits)),
        (
            7,
            Action::Withdraw {
                place: far,
                count: 30,
            },
        ),
        (9, of_arrival(1, far, barley, 5, waits)),
        (2, of_arrival(2, far, oat, 7, held)),
        (4, deliver(near, barley, 1)),
    ];
    let found = run_with(&network, &declarations, 20, entries);
    let row =
        |arrival: Option<&str>, kind: &str, [sent, delivered, refused]: [u64; 3]| ArrivalFinding {
            arrival: arrival.map(str::to_owned),
            kind: kind.to_owned(),
            sent_items: sent,
            delivered_items: delivered,
            refused_items: refused,
            first_refused_at: None,
            most_waiting_items: 0,
        };
    let refused_at = |tick, row| ArrivalFinding {
        first_refused_at: Some(Tick(tick)),
        ..row
    };
    let at_most = |items, row| ArrivalFinding {
        most_waiting_items: items,
        ..row
    };
    let expected = [
        refused_at(3, row(Some("cart"), "barley", [88, 64, 24])),
        refused_at(5, row(Some("cart"), "oat", [2, 0, 2])),
        at_most(36, row(Some("boat"), "barley", [105, 94, 0])),
        at_most(7, row(Some("held"), "oat", [7, 0, 0])),
        refused_at(4, row(None, "barley", [1, 0, 1])),
    ];
    assert_eq!(found.arrivals, expected);
    let waiting: Vec<u64> = found
        .arrivals
        .iter()
        .map(ArrivalFinding::waiting_items)
        .collect();
    assert_eq!(waiting, [0, 0, 11, 7, 0]);
}
