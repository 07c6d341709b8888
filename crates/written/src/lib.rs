//! Layouts written out: a compiled scenario as a text that is read as the same again, without modules and
//! parameters. Who gives the same run again keeps such a text: whatever changes a run shows in it.

mod declarations;
mod flat;
mod floors;
mod parts;

pub use flat::flat;
pub use floors::{Undrawable, floors};

use hallwright_core::id::KindId;
use hallwright_core::network::Network;
use hallwright_core::order::Order;
use hallwright_core::slot::Filling;
use hallwright_core::timeline::Action;
use hallwright_scenario::write::{list, part, parts, quoted, ticks};

/// An item, with what it holds if it is a box.
fn item(network: &Network, kind: KindId, contents: &[Filling]) -> String {
    let name = quoted(&network.kind(kind).name);
    if contents.is_empty() {
        name
    } else {
        format!("Boxed(box: {name}, holds: {})", fillings(network, contents))
    }
}

/// What slots hold.
fn fillings<'f>(network: &Network, all: impl IntoIterator<Item = &'f Filling>) -> String {
    list(all.into_iter().map(|filling| {
        let item = item(network, filling.kind, &filling.contents);
        format!(
            "(slot: {}, kind: {item}, count: {})",
            filling.slot, filling.count
        )
    }))
}

/// What is delivered where, as fields.
fn delivery(network: &Network, action: &Action) -> Option<String> {
    let Action::Deliver {
        place,
        kind,
        count,
        contents,
        terms: _,
    } = action
    else {
        return None;
    };
    Some(format!(
        "place: {}, kind: {}, count: {count}",
        part(network, *place),
        item(network, *kind, contents)
    ))
}

/// On what terms deliveries come, as fields with a comma before each; nothing if by default.
fn terms(network: &Network, action: &Action) -> String {
    let Action::Deliver { terms, .. } = action else {
        return String::new();
    };
    let mut fields = String::new();
    if terms.waits {
        fields.push_str(", when_full: Wait");
    }
    if let Some(signal) = terms.while_on {
        fields.push_str(&format!(", while_on: {}", part(network, signal)));
    }
    fields
}

/// Something that the operator does.
fn action(network: &Network, action: &Action) -> String {
    match action {
        Action::MoveLever { lever, on: true } => format!("On({})", part(network, *lever)),
        Action::MoveLever { lever, on: false } => format!("Off({})", part(network, *lever)),
        Action::Press { button } => format!("Press({})", part(network, *button)),
        Action::Withdraw { place, count } => {
            format!("Withdraw(place: {}, count: {count})", part(network, *place))
        }
        Action::Deliver { .. } => {
            let fields = delivery(network, action).unwrap_or_default();
            format!("Deliver({fields})")
        }
        Action::Sleep {
            parts: sleepers,
            sleep_ticks,
        } => {
            let sleepers = parts(network, sleepers);
            let time = ticks(u64::from(*sleep_ticks));
            format!("Sleep(parts: {sleepers}, time: {time})")
        }
        Action::Stick {
            signals,
            on,
            stuck_ticks,
        } => {
            let signals = parts(network, signals);
            let time = ticks(u64::from(*stuck_ticks));
            format!("Stuck(signals: {signals}, on: {on}, time: {time})")
        }
        Action::Fill {
            place,
            kind,
            contents,
        } => {
            let (place, item) = (part(network, *place), item(network, *kind, contents));
            format!("Fill(place: {place}, kind: {item})")
        }
        Action::TakeBox { place } => format!("TakeBox(place: {})", part(network, *place)),
        Action::Reopen { orders } => {
            let update = order(network, &orders.update);
            let signal = order(network, &orders.signal);
            format!("Reopen(order: {update}, signal_order: {signal})")
        }
    }
}

/// An order of parts.
fn order(network: &Network, order: &Order) -> String {
    match order {
        Order::Declared => "Declared".to_owned(),
        Order::Reversed => "Reversed".to_owned(),
        Order::Shuffled(seed) => format!("Shuffled({seed})"),
        Order::Listed(listed) => format!("Listed({})", parts(network, listed)),
    }
}

/// Some things that the operator does.
fn actions(network: &Network, all: &[Action]) -> String {
    list(all.iter().map(|one| action(network, one)))
}
