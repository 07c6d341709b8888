//! The account, what going on found and the homes, as they are written.

use serde::Serialize;

use hallwright_analysis::homes::{Form, KindHomes};
use hallwright_report::findings::{Account, Amounts, Fate, Findings, GoingOn, StayReason};

/// Goods in no box, boxes, and goods in boxes: never to be added.
#[derive(Serialize)]
pub(super) struct AmountsReport {
    items: u64,
    boxes: u64,
    items_in_boxes: u64,
}

impl AmountsReport {
    fn of(amounts: Amounts) -> Self {
        Self {
            items: amounts.goods,
            boxes: amounts.boxes,
            items_in_boxes: amounts.goods_in_boxes,
        }
    }
}

#[derive(Serialize)]
pub(super) struct AccountReport<'a> {
    at_start: AmountsReport,
    sent: AmountsReport,
    refused: AmountsReport,
    rows: Vec<Row>,
    kinds: Vec<Kind<'a>>,
    refusals: Vec<RefusalRow<'a>>,
}

#[derive(Serialize)]
struct Row {
    standing: &'static str,
    #[serde(flatten)]
    amounts: AmountsReport,
}

#[derive(Serialize)]
struct Kind<'a> {
    kind: &'a str,
    is_box: bool,
    at_start_items: u64,
    sent_items: u64,
    refused_items: u64,
    rows: Vec<KindRow>,
}

#[derive(Serialize)]
struct KindRow {
    standing: &'static str,
    items: u64,
}

#[derive(Serialize)]
struct RefusalRow<'a> {
    part: &'a str,
    kind: &'a str,
    items: u64,
    first_at_tick: u64,
}

impl<'a> AccountReport<'a> {
    pub(super) fn of(account: &'a Account) -> Self {
        let rows = account.rows.iter();
        Self {
            at_start: AmountsReport::of(account.at_start),
            sent: AmountsReport::of(account.sent),
            refused: AmountsReport::of(account.refused),
            rows: rows
                .map(|(standing, amounts)| Row {
                    standing: standing.key(),
                    amounts: AmountsReport::of(*amounts),
                })
                .collect(),
            kinds: account
                .kinds
                .iter()
                .map(|kind| Kind {
                    kind: &kind.kind,
                    is_box: kind.is_box,
                    at_start_items: kind.at_start,
                    sent_items: kind.sent,
                    refused_items: kind.refused,
                    rows: kind
                        .rows
                        .iter()
                        .map(|(standing, items)| KindRow {
                            standing: standing.key(),
                            items: *items,
                        })
                        .collect(),
                })
                .collect(),
            refusals: account
                .refusals
                .iter()
                .map(|row| RefusalRow {
                    part: &row.place,
                    kind: &row.kind,
                    items: row.items,
                    first_at_tick: row.first_at.0,
                })
                .collect(),
        }
    }
}

#[derive(Serialize)]
pub(super) struct GoingOnReport<'a> {
    ended: &'static str,
    went_on_ticks: u64,
    was_stopped: bool,
    on_the_way: AmountsReport,
    stuck: AmountsReport,
    backed_up: AmountsReport,
    without_home: AmountsReport,
    rows: Vec<Stay<'a>>,
}

#[derive(Serialize)]
struct Stay<'a> {
    kind: &'a str,
    part: &'a str,
    #[serde(flatten)]
    amounts: AmountsReport,
    fate: &'static str,
    reason: &'static str,
    store: Option<&'a str>,
}

impl<'a> GoingOnReport<'a> {
    pub(super) fn of(found: &'a GoingOn) -> Self {
        let rows = found.rows.iter().map(|row| {
            let (reason, store) = reason(&row.reason);
            Stay {
                kind: &row.kind,
                part: &row.part,
                amounts: AmountsReport::of(row.amount),
                fate: match row.fate {
                    Fate::Stuck => "stuck",
                    Fate::BackedUp => "backed_up",
                    Fate::Homeless => "without_home",
                },
                reason,
                store,
            }
        });
        Self {
            ended: found.ended.key(),
            went_on_ticks: found.ticks,
            was_stopped: found.was_stopped,
            on_the_way: AmountsReport::of(found.on_the_way),
            stuck: AmountsReport::of(found.stuck),
            backed_up: AmountsReport::of(found.backed_up),
            without_home: AmountsReport::of(found.homeless),
            rows: rows.collect(),
        }
    }
}

fn reason(reason: &StayReason) -> (&'static str, Option<&str>) {
    match reason {
        StayReason::HomeHasRoom(store) => ("home_has_room", Some(store)),
        StayReason::OverflowHasRoom(store) => ("overflow_has_room", Some(store)),
        StayReason::NoWay(store) => ("no_way_home", Some(store)),
        StayReason::Full(store) => ("store_full", Some(store)),
        StayReason::LostAfterwards => ("lost_afterwards", None),
        StayReason::MisplacedAfterwards => ("misplaced_afterwards", None),
        StayReason::PassedByAfterwards(store) => ("passed_by_afterwards", Some(store)),
        StayReason::NoHome => ("no_home", None),
    }
}

#[derive(Serialize)]
pub(super) struct Homes<'a> {
    kind: &'a str,
    in_boxes: bool,
    arrives_at: &'a str,
    is_without_home: bool,
    is_shared: bool,
    homes: Vec<Home<'a>>,
}

#[derive(Serialize)]
struct Home<'a> {
    store: &'a str,
    is_reached: bool,
    is_past_another: bool,
}

impl<'a> Homes<'a> {
    pub(super) fn of(found: &'a Findings) -> Vec<Self> {
        let rows = found.homes.iter();
        rows.map(|kind: &KindHomes| Homes {
            kind: &kind.kind,
            in_boxes: kind.form == Form::Boxed,
            arrives_at: &kind.arrives_at,
            is_without_home: kind.is_homeless(),
            is_shared: kind.is_shared(),
            homes: kind
                .homes
                .iter()
                .map(|home| Home {
                    store: &home.store,
                    is_reached: home.is_reached,
                    is_past_another: home.is_past_another,
                })
                .collect(),
        })
        .collect()
    }
}
