//! A miss for which an order is to blame, with the order that is named.

use hallwright_core::order::{Order, Orders};
use hallwright_declared::declarations::Mark;
use hallwright_explain::{OrderCause, Trouble, explain};
use hallwright_report::RunInput;
use hallwright_report::verdicts::{Question, Ruling};

use crate::support::{Hall, from_root};

/// What is said of misplaced items in these orders, with these flags of the hall on; `None` if none is.
fn misplaced(flags: &[&str], (update, signal): (Order, Order)) -> Option<Trouble> {
    let set: Vec<(&str, &str)> = flags.iter().map(|flag| (*flag, "true")).collect();
    let path = from_root("tests/explain/troubles/by_order.ron");
    let hall = Hall::load(&path, None, &set);
    let input = RunInput {
        orders: Orders { update, signal },
        ..hall.input()
    };
    let troubles = explain(&input, Mark::SafeToClose).troubles;
    let mut misplaced = troubles
        .into_iter()
        .filter(|trouble| trouble.question == Question::Misplaced);
    misplaced.next()
}

/// Which order is named for a miss.
#[track_caller]
fn named(flags: &[&str], orders: (Order, Order)) -> Option<OrderCause> {
    let found = misplaced(flags, orders).expect("something is misplaced");
    assert_eq!(found.ruling, Ruling::Missed);
    found.by_order
}

const DECLARED: Order = Order::Declared;
const REVERSED: Order = Order::Reversed;

#[test]
fn in_the_declared_orders_all_comes_home() {
    for flags in [&["raced"][..], &["handed"], &["handed", "spare"]] {
        assert_eq!(misplaced(flags, (DECLARED, DECLARED)), None, "{flags:?}");
    }
}

#[test]
fn the_one_order_that_makes_the_difference_is_named_whatever_the_other_is() {
    for other in [DECLARED, REVERSED, Order::Shuffled(5)] {
        let cause = named(&["raced"], (REVERSED, other.clone()));
        assert_eq!(cause, Some(OrderCause::Update), "{other:?}");
        let cause = named(&["handed"], (other.clone(), REVERSED));
        assert_eq!(cause, Some(OrderCause::Signal), "{other:?}");
    }
}

#[test]
fn two_orders_that_only_together_make_the_difference() {
    // Only what stops over can be taken, and only what is taken first goes astray.
    let flags = ["handed", "spare"];
    assert_eq!(misplaced(&flags, (DECLARED, REVERSED)), None);
    assert_eq!(misplaced(&flags, (REVERSED, DECLARED)), None);
    assert_eq!(
        named(&flags, (REVERSED, REVERSED)),
        Some(OrderCause::Together)
    );
}

#[test]
fn two_orders_of_which_each_makes_the_difference() {
    let flags = ["raced", "handed"];
    assert_eq!(named(&flags, (REVERSED, REVERSED)), Some(OrderCause::Each));
    assert_eq!(
        named(&flags, (REVERSED, DECLARED)),
        Some(OrderCause::Update)
    );
}

#[test]
fn no_order_is_named_for_what_is_so_in_the_declared_orders_too() {
    for orders in [(DECLARED, DECLARED), (REVERSED, REVERSED)] {
        assert_eq!(named(&["always"], orders), None);
    }
}
