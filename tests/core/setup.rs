//! What is wrong with a timeline for a network.

use hallwright_core::goods::StackLimit;
use hallwright_core::id::{KindId, PartId};
use hallwright_core::network::NetworkBuilder;
use hallwright_core::order::{Order, Orders};
use hallwright_core::part::{Container, Part, Signal};
use hallwright_core::rules::Rules;
use hallwright_core::setup::Setup;
use hallwright_core::tick::Tick;
use hallwright_core::timeline::{Action, Timeline};

/// Two chests, a mouth and two levers, and what is wrong with a timeline for them.
fn problems(entries: &[(u64, Action)]) -> Vec<(Tick, String)> {
    let mut builder = NetworkBuilder::new(Rules::default());
    builder.kind("barley", StackLimit::SixtyFour);
    for name in ["near", "far"] {
        builder.add(name, Part::Container(Container { slots: 1 }));
    }
    builder.add("floor", Part::Mouth);
    for name in ["up", "down"] {
        builder.add(name, Part::Signal(Signal::Lever { starts_on: false }));
    }
    let network = builder.build().expect("they need nobody");
    let entries = entries.iter();
    let entries = entries.map(|(tick, action)| (Tick(*tick), action.clone()));
    let setup = Setup {
        timeline: Timeline::new(entries.collect()),
        ..Setup::default()
    };
    setup.problems(&network)
}

fn sleep(parts: &[usize], sleep_ticks: u32) -> Action {
    let parts = parts.iter().map(|part| PartId::from_index(*part));
    Action::Sleep {
        parts: parts.collect(),
        sleep_ticks,
    }
}

#[test]
fn a_part_asleep_cannot_be_put_to_sleep_again() {
    let next_to_each_other = [
        (3, sleep(&[0, 2], 4)),
        (5, sleep(&[1, 3], 9)),
        (7, sleep(&[0], 1)),
        (8, sleep(&[0, 2], 1)),
    ];
    assert_eq!(problems(&next_to_each_other), []);
    let found = problems(&[(3, sleep(&[0, 1], 4)), (6, sleep(&[1], 1))]);
    let text = "`far` is asleep until tick 7; it cannot be put to sleep before";
    assert_eq!(found, [(Tick(6), text.to_owned())]);
    let found = problems(&[(3, sleep(&[0, 1, 0], 4))]);
    let text = "`near` is asleep until tick 7; it cannot be put to sleep before";
    assert_eq!(found, [(Tick(3), text.to_owned())]);
    assert_eq!(problems(&[(3, sleep(&[0], 0))]).len(), 1);
}

#[test]
fn a_signal_that_is_stuck_cannot_get_stuck_again() {
    let stick = |signals: &[usize], stuck_ticks| {
        let signals = signals.iter().map(|part| PartId::from_index(*part));
        Action::Stick {
            signals: signals.collect(),
            on: true,
            stuck_ticks,
        }
    };
    // Asleep or not is another matter.
    let apart = [
        (1, sleep(&[3], 9)),
        (3, stick(&[3, 4], 2)),
        (5, stick(&[3], 2)),
    ];
    assert_eq!(problems(&apart), []);
    let found = problems(&[(3, stick(&[3, 4], 2)), (4, stick(&[4], 2))]);
    let text = "`down` is stuck until tick 5; it cannot get stuck before";
    assert_eq!(found, [(Tick(4), text.to_owned())]);
    assert_eq!(problems(&[(3, stick(&[3], 0))]).len(), 1);
    let found = problems(&[(3, stick(&[3, 0], 2))]);
    assert_eq!(found, [(Tick(3), "`near` is no signal".to_owned())]);
}

#[test]
fn hands_go_into_inventories_only() {
    let fill = |place: usize| Action::Fill {
        place: PartId::from_index(place),
        kind: KindId::from_index(0),
        contents: Vec::new(),
    };
    let take = |place: usize| Action::TakeBox {
        place: PartId::from_index(place),
    };
    assert_eq!(problems(&[(3, fill(0)), (3, take(1))]), []);
    let found = problems(&[(3, fill(2)), (4, take(3))]);
    let texts = [
        (Tick(3), "`floor` is no inventory to fill".to_owned()),
        (Tick(4), "`up` is no inventory to withdraw from".to_owned()),
    ];
    assert_eq!(found, texts);
}

#[test]
fn orders_listed_at_a_reopening_name_every_part_once() {
    let reopened = |signal: &[usize]| {
        let signal = signal.iter().map(|part| PartId::from_index(*part));
        let orders = Orders {
            update: Order::Listed(Vec::new()),
            signal: Order::Listed(signal.collect()),
        };
        let found = problems(&[(1, Action::Reopen { orders })]);
        found.first().map(|(_, text)| text.clone())
    };
    assert_eq!(reopened(&[4, 3]), None);
    let wrong = |text: &str| Some(format!("in the signal order, {text}"));
    assert_eq!(reopened(&[4]), wrong("`up` is not listed"));
    assert_eq!(reopened(&[4, 3, 4]), wrong("`down` is listed twice"));
    let text = "`floor` is no signal, hopper, selector or dropper";
    assert_eq!(reopened(&[2, 3, 4]), wrong(text));
}
