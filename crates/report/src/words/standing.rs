//! Where things stand, in words: what is stuck, what was refused, which stores are homes.

use hallwright_declared::declarations::Declarations;

use crate::findings::{Amounts, Refusal, StayReason, StayRow};
use crate::units::{count, grouped, items, listed, time};
use hallwright_analysis::homes::{Form, HomeFinding, KindHomes};

/// `20 items`, `3 boxes with 5,184 items`, `2 items and 1 box`.
#[must_use]
pub fn amount_words(amount: Amounts) -> String {
    let Amounts {
        goods,
        boxes,
        goods_in_boxes,
    } = amount;
    let mut boxed = count(boxes, "box", "boxes");
    if goods_in_boxes > 0 {
        boxed.push_str(&format!(" with {}", items(goods_in_boxes)));
    }
    match (goods, boxes) {
        (_, 0) => items(goods),
        (0, _) => boxed,
        (_, _) => format!("{} and {boxed}", items(goods)),
    }
}

/// What stays where, and why: `20 madder in sieve: "madder" has room`.
#[must_use]
pub fn stay_words(row: &StayRow) -> String {
    let what = match row.amount {
        Amounts {
            goods, boxes: 0, ..
        } => format!("{} {}", grouped(goods), row.kind),
        amount => format!("{} of {}", amount_words(amount), row.kind),
    };
    let place = format!("{what} in {}", row.part);
    match &row.reason {
        StayReason::HomeHasRoom(store) => format!("{place}: \"{store}\" has room"),
        StayReason::OverflowHasRoom(store) => {
            format!("{place}: the overflow \"{store}\" has room")
        }
        StayReason::NoWay(store) => format!("{place}: no way leads from there to \"{store}\""),
        StayReason::Full(store) => format!("{place}: \"{store}\" is full"),
        StayReason::LostAfterwards => format!("{what} would be lost at {} after the end", row.part),
        StayReason::MisplacedAfterwards => format!("{place}: misplaced after the end"),
        StayReason::PassedByAfterwards(store) => {
            format!("{place}: passed by after the end, though \"{store}\" has room")
        }
        StayReason::NoHome => format!("{place}: no store is its home"),
    }
}

/// What was refused: `811 barley at landing, first at 0.1 s (2 t)`.
#[must_use]
pub fn refusal_words(row: &Refusal, ticks_per_second: u32) -> String {
    let first = time(row.first_at.0, ticks_per_second);
    let items = grouped(row.items);
    format!("{items} {} at {}, first at {first}", row.kind, row.place)
}

/// The homes of a kind: `oat, which arrives at in, has no home`.
#[must_use]
pub fn homes_words(kind: &KindHomes, declared: &Declarations) -> String {
    let name = match kind.form {
        Form::Loose => kind.kind.clone(),
        Form::Boxed => format!("{} in boxes", kind.kind),
    };
    let arrives = format!("{name}, which arrives at {}, has", kind.arrives_at);
    if declared.stores.is_empty() {
        return format!("{arrives} no home: no store is declared");
    }
    if kind.homes.is_empty() {
        return format!("{arrives} no home: no store takes it");
    }
    let named = |homes: Vec<&HomeFinding>| -> String {
        let names: Vec<String> = homes
            .iter()
            .map(|home| match home.is_reached {
                true => format!("\"{}\"", home.store),
                false => format!("\"{}\" (no way leads there)", home.store),
            })
            .collect();
        listed(&names, 4)
    };
    if kind.is_homeless() {
        return format!("{arrives} no home: {}", named(kind.homes.iter().collect()));
    }
    let rivals: Vec<&HomeFinding> = kind.rivals().collect();
    let number = match rivals.len() {
        1 => "one home".to_owned(),
        2 => "two homes".to_owned(),
        several => format!("{several} homes"),
    };
    format!("{arrives} {number}: {}", named(rivals))
}
