//! Where items end.

use std::collections::BTreeSet;

use super::{Amount, Better, Compared, Definition, Of, Take, Topic, Unit, When, figures};
use crate::findings::{Amounts, ContentsFinding, Measured, OverflowReason, Standing};
use crate::goals::Verdict;
use crate::units::listed;
use hallwright_analysis::homes::KindHomes;

const BASE: Definition = Definition {
    topic: Topic::Sorting,
    unit: Unit::Items,
    ..Definition::BASE
};

fn no_store(found: &Measured, _: &Of) -> Option<String> {
    let is_missing = found.stores.is_empty();
    is_missing.then(|| "no store is declared".to_owned())
}

/// How many kinds arrive of which this is so, loose or in boxes.
fn kinds(found: &Measured, is_so: fn(&KindHomes) -> bool) -> u64 {
    let kinds = found.homes.iter().filter(|one| is_so(one));
    let names: BTreeSet<&str> = kinds.map(|one| one.kind.as_str()).collect();
    names.len() as u64
}

/// What is counted, of which so many are boxes.
fn goods_and_boxes(all: u64, boxes: u64) -> Amounts {
    Amounts {
        goods: all.saturating_sub(boxes),
        boxes,
        goods_in_boxes: 0,
    }
}

fn always(_: &Measured) -> bool {
    true
}

#[expect(
    clippy::unnecessary_wraps,
    reason = "it is what a figure is worked out to"
)]
fn count(items: u64) -> Option<Amount> {
    Some(Amount::Count(items))
}

figures! {
    /// Items in slices that take them, at the end.
    SORTED: Definition {
        words: "sorted",
        key: "sorted_items",
        better: Better::More,
        when: When::AtTheEnd,
        recorded: Some("sorted"),
        compared: Compared::Whole(always),
        take: Take::Whole(|found| count(found.whereabouts.sorted_items)),
        things: Some(|found| {
            let here = &found.whereabouts;
            goods_and_boxes(here.sorted_items, here.sorted_boxes)
        }),
        ..BASE
    };
    /// Items in slices that do not take them, at the end.
    MISPLACED: Definition {
        words: "misplaced",
        key: "misplaced_items",
        recorded: Some("misplaced"),
        compared: Compared::Whole(always),
        take: Take::Whole(|found| count(found.misplaced_items())),
        first_at: Some(|found| {
            let stores = found.stores.iter();
            let stores = stores.filter(|store| !store.misplaced.is_empty());
            stores.filter_map(|store| store.first_misplaced_at).min()
        }),
        why_not: no_store,
        ..BASE
    };
    /// Items that reached overflow while their slice had room.
    PASSED_BY: Definition {
        words: "passed by",
        key: "passed_by_items",
        recorded: Some("passed by"),
        compared: Compared::Whole(always),
        take: Take::Whole(|found| count(found.overflow.items(OverflowReason::PassedBy))),
        first_at: Some(|found| found.overflow.first_passed_by_at),
        things: Some(|found| {
            let rows = found.overflow.rows.iter();
            let rows = rows.filter(|row| row.reason == OverflowReason::PassedBy && row.is_box);
            let boxes = rows.map(|row| row.items).sum();
            goods_and_boxes(found.overflow.items(OverflowReason::PassedBy), boxes)
        }),
        why_not: no_store,
        ..BASE
    };
    /// Items gone by despawning.
    LOST: Definition {
        words: "lost",
        key: "lost_items",
        recorded: Some("lost"),
        compared: Compared::Whole(always),
        take: Take::Whole(|found| count(found.loss.items)),
        first_at: Some(|found| found.loss.rows.first().map(|row| row.at)),
        things: Some(|found| {
            let boxes = found.account.amount(Standing::Lost).boxes;
            goods_and_boxes(found.loss.items, boxes)
        }),
        ..BASE
    };
    /// What deliveries asked to bring and found no room, boxes without what they hold.
    REFUSED: Definition {
        words: "refused",
        key: "refused_items",
        recorded: Some("refused"),
        compared: Compared::Whole(always),
        take: Take::Whole(|found| count(found.account.refused.goods_and_boxes())),
        first_at: Some(|found| found.account.refusals.first().map(|refusal| refusal.first_at)),
        things: Some(|found| found.account.refused),
        ..BASE
    };
    /// What never gets home though there is room for it, found by going on after the end.
    STUCK: Definition {
        words: "stuck",
        key: "stuck_items",
        when: When::AtTheEnd,
        recorded: Some("stuck"),
        compared: Compared::Whole(always),
        take: Take::Whole(|found| count(found.going_on.stuck.goods_and_boxes())),
        things: Some(|found| found.going_on.stuck),
        ..BASE
    };
    /// What never gets home for want of room, found by going on after the end.
    BACKED_UP: Definition {
        words: "backed up",
        key: "backed_up_items",
        when: When::AtTheEnd,
        recorded: Some("backed up"),
        compared: Compared::Whole(always),
        take: Take::Whole(|found| count(found.going_on.backed_up.goods_and_boxes())),
        things: Some(|found| found.going_on.backed_up),
        ..BASE
    };
    /// Kinds that arrive and have no home that a way leads to.
    WITHOUT_HOME: Definition {
        words: "without a home",
        key: "kinds_without_home",
        unit: Unit::Kinds,
        when: When::Before,
        take: Take::Whole(|found| count(kinds(found, KindHomes::is_homeless))),
        ..BASE
    };
    /// Kinds that arrive and have several homes, of which none lies past another.
    SHARED_HOME: Definition {
        words: "with several homes",
        key: "kinds_with_several_homes",
        unit: Unit::Kinds,
        when: When::Before,
        take: Take::Whole(|found| count(kinds(found, KindHomes::is_shared))),
        ..BASE
    };
    /// Items in overflow stores, at the end.
    IN_OVERFLOW: Definition {
        words: "in overflow",
        key: "overflow_items",
        better: Better::Neither,
        when: When::AtTheEnd,
        recorded: Some("in overflow"),
        take: Take::Whole(|found| count(found.whereabouts.overflow_items)),
        ..BASE
    };
    /// Items in no store, in lines, queues, droppers and the like, at the end.
    IN_LINES: Definition {
        words: "in lines",
        key: "in_lines_items",
        when: When::AtTheEnd,
        recorded: Some("in lines"),
        take: Take::Whole(|found| count(found.whereabouts.in_lines_items)),
        ..BASE
    };
    /// Items that came into no store and are not lost: those that wait, are loose or in lines.
    IN_NO_STORE: Definition {
        words: "in no store",
        key: "in_no_store_items",
        when: When::AtTheEnd,
        take: Take::Whole(|found| count(found.whereabouts.in_no_store_items())),
        things: Some(|found| {
            let here = &found.whereabouts;
            let in_lines: u64 = here.in_lines.iter().map(|row| row.boxes).sum();
            let loose = found.account.amount(Standing::Loose).boxes;
            goods_and_boxes(here.in_no_store_items(), here.waiting_boxes + in_lines + loose)
        }),
        why_not: no_store,
        ..BASE
    };
    /// Items delivered.
    DELIVERED: Definition {
        words: "delivered",
        key: "delivered_items",
        better: Better::Neither,
        recorded: Some("delivered"),
        take: Take::Whole(|found| count(found.whereabouts.delivered_items)),
        ..BASE
    };
    /// What some inventories hold at the end.
    CONTENTS: Definition {
        words: "contents",
        key: "contents_items",
        better: Better::Neither,
        when: When::AtTheEnd,
        take: Take::Contents,
        ..BASE
    };
    /// Items that midway returns drew back.
    WENT_ROUND: Definition {
        words: "went round",
        key: "returned_items",
        compared: Compared::Sections,
        take: Take::Sections(|sections| {
            let returned = sections.iter().filter_map(|section| section.returned);
            count(returned.map(|returned| returned.items).sum())
        }),
        ..BASE
    };
    /// Items that still go round when the run ends.
    STILL_GOING_ROUND: Definition {
        words: "still going round",
        key: "going_round_items",
        compared: Compared::Whole(|found| !found.sections.is_empty()),
        take: Take::Whole(|found| count(found.going_round_items())),
        subject: Some("going round"),
        first_at: Some(|found| {
            let rounds = found.sections.iter().filter_map(|one| one.going_round);
            rounds.map(|round| round.since).min()
        }),
        why_not: |found, _| {
            let has_returns = found.sections.iter().any(|one| one.returned.is_some());
            (!has_returns).then(|| "no section has returns".to_owned())
        },
        ..BASE
    };
    /// Item filters that did not end holding what they began with.
    SIEVES_NOT_INTACT: Definition {
        words: "sieves not intact",
        key: "broken_sieves",
        unit: Unit::Sieves,
        recorded: Some("sieves not intact"),
        compared: Compared::Whole(|found| !found.sieves.is_empty()),
        take: Take::Whole(|found| count(found.broken_sieves().count() as u64)),
        first_at: Some(|found| {
            let since = found.broken_sieves().filter_map(|sieve| sieve.broken_since);
            since.min()
        }),
        ..BASE
    };
    /// Goals that were missed; nothing where none is set.
    GOALS_MISSED: Definition {
        words: "goals missed",
        key: "missed_goals",
        unit: Unit::Goals,
        compared: Compared::Whole(always),
        take: Take::Goals(|verdicts| {
            let missed = verdicts.iter().filter(|verdict| !Verdict::is_met(verdict));
            let missed = Amount::Count(missed.count() as u64);
            (!verdicts.is_empty()).then_some(missed)
        }),
        ..BASE
    };
}

/// `barley in barley chest`, `all in this, that … and 2 more`.
pub(super) fn contents_words(contents: &ContentsFinding) -> String {
    let kinds = match contents.kinds.as_slice() {
        [] => "all".to_owned(),
        kinds => listed(kinds, 3),
    };
    format!("{kinds} in {}", listed(&contents.parts, 3))
}
