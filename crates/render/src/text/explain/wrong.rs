//! What went wrong: what is stuck, goes round, was lost or misplaced, and what held a flow back.

use super::troubles;
use crate::text::page::Page;
use hallwright_explain::cause_words;
use hallwright_explain::{
    Doing, Explanation, FlowWay, LostLife, Misplacement, Ring, Standing, StayFinding, Stuck,
    WrongTurn,
};
use hallwright_report::units::{count, grouped, items, listed, percent, time};

/// How many members of a ring, or stays, are named.
const NAMED: usize = 8;

/// Everything that went wrong; nothing if nothing did.
pub(super) fn write(page: &mut Page, found: &Explanation) {
    troubles::write(page, &found.troubles);
    for ring in &found.deadlocks {
        page.blank();
        page.line(&deadlock_words(ring, found.ticks_per_second));
    }
    for ring in &found.circulations {
        page.blank();
        page.line(&circulation_words(ring, found.ticks_per_second));
    }
    if !found.lost.is_empty() {
        page.blank();
        let stacks = count(found.lost_stacks, "stack was lost", "stacks were lost");
        page.line(&format!("{stacks}; of the first:"));
        for life in &found.lost {
            lost(page, life, found.ticks_per_second);
        }
    }
    if !found.misplaced.is_empty() {
        page.blank();
        let words = count(found.misplaced_items, "item is", "items are");
        page.line(&format!("{words} misplaced; the first of each store:"));
        for misplaced in &found.misplaced {
            misplacement(page, misplaced, found.ticks_per_second);
        }
    }
    for flow in &found.flows {
        held_back(page, flow, found.ticks_per_second);
    }
}

/// Why each part still held something.
pub(super) fn stuck(page: &mut Page, stuck: &[Stuck]) {
    page.blank();
    for stuck in stuck.iter().take(NAMED) {
        page.labelled("", 2, &format!("{}: {}", stuck.part, stuck_words(stuck)));
    }
    if stuck.len() > NAMED {
        page.labelled("", 2, &format!("… and {} more", stuck.len() - NAMED));
    }
}

fn stuck_words(stuck: &Stuck) -> String {
    let words = match &stuck.why {
        Standing::NoWayOn => "nothing leads on from it".to_owned(),
        Standing::Locked { part, by } if *part == stuck.part => format!("locked by {by}"),
        Standing::Locked { part, by } => format!("{part} below it is locked by {by}"),
        Standing::FullTarget(target) => format!("{target} has no room"),
        Standing::NotTriggered => "nothing fires it".to_owned(),
        Standing::UnderWay => "still under way".to_owned(),
    };
    let Some(locked) = &stuck.locked else {
        return words;
    };
    let after = format!("{words}, {} t after the stop", grouped(locked.after_ticks));
    match &locked.cause {
        Some((cause, part, ticks)) => {
            format!(
                "{after} ({} t of it: {}, {part})",
                grouped(*ticks),
                cause_words(*cause)
            )
        }
        None => after,
    }
}

fn deadlock_words(ring: &Ring, ticks_per_second: u32) -> String {
    format!(
        "Deadlock since {}: {} wait for each other, with {} inside.",
        time(ring.since.0, ticks_per_second),
        listed(&ring.members, NAMED),
        items(ring.items),
    )
}

fn circulation_words(ring: &Ring, ticks_per_second: u32) -> String {
    format!(
        "Going round since {}: {} among {}; one of them made {} and nothing left.",
        time(ring.since.0, ticks_per_second),
        items(ring.items),
        listed(&ring.members, NAMED),
        count(ring.moves, "move", "moves"),
    )
}

/// The places of an item, with the ticks that it was there.
fn stay_words(stays: &[StayFinding]) -> String {
    let shown = stays.len().min(NAMED);
    // The last places report most.
    let left_out = stays.len() - shown;
    let words = stays[left_out..].iter().map(|stay| match stay.since {
        Some(since) => format!(
            "{} from tick {} for {} t",
            stay.part,
            since.0,
            grouped(stay.ticks)
        ),
        None => format!("{} from the start for {} t", stay.part, grouped(stay.ticks)),
    });
    let words: Vec<String> = words.collect();
    let before = if left_out > 0 {
        format!("after {}: ", count(left_out as u64, "place", "places"))
    } else {
        String::new()
    };
    format!("{before}{}", words.join(", "))
}

fn lost(page: &mut Page, life: &LostLife, ticks_per_second: u32) {
    let words = format!(
        "{} at {}: {}",
        life.kind,
        time(life.at.0, ticks_per_second),
        stay_words(&life.stays)
    );
    page.labelled("", 2, &words);
}

fn misplacement(page: &mut Page, found: &Misplacement, ticks_per_second: u32) {
    let at = time(found.at.0, ticks_per_second);
    page.labelled("", 2, &format!("{} in {} at {at}", found.kind, found.store));
    page.labelled("", 4, &format!("came by {}", stay_words(&found.stays)));
    match &found.turn {
        _ if found.own_stores.is_empty() => page.labelled("", 4, "no store takes it"),
        Some(turn) => turn_off(page, turn, &found.own_stores),
        None => {
            let own = found.own_stores.join(", ");
            page.labelled(
                "",
                4,
                &format!("no way led from there to its own store, {own}"),
            );
        }
    }
}

fn turn_off(page: &mut Page, turn: &WrongTurn, own: &[String]) {
    let by_list = match turn.is_match {
        Some(true) => " as a match",
        Some(false) => " as no match",
        None => "",
    };
    let words = format!(
        "left the way to {} at {}, tick {}, for {}{by_list} ({})",
        own.join(", "),
        turn.part,
        turn.at.0,
        turn.went_to,
        turn.there
    );
    page.labelled("", 4, &words);
    for (way, state) in turn.ways.iter().take(NAMED) {
        page.labelled("", 4, &format!("its way on, {way}: {state}"));
    }
}

fn held_back(page: &mut Page, flow: &FlowWay, ticks_per_second: u32) {
    page.blank();
    let over = time(flow.ticks, ticks_per_second);
    let bottleneck = match &flow.bottleneck {
        Some((part, Doing::Busy)) => format!("{part} was busy all the time it could be"),
        Some((part, Doing::Starved)) => format!("too little came to {part}"),
        Some((part, Doing::Blocked)) => format!("{part} stood before a target without room"),
        Some((part, Doing::Locked)) => format!("{part} was locked"),
        None => "nothing leads into it".to_owned(),
    };
    page.line(&format!(
        "{} was held back: {bottleneck}. Over {over}:",
        flow.flow
    ));
    let rows: Vec<Vec<String>> = flow
        .parts
        .iter()
        .map(|part| {
            vec![
                part.part.clone(),
                grouped(part.items),
                percent(part.busy),
                percent(part.starved),
                percent(part.blocked),
                percent(part.locked),
            ]
        })
        .collect();
    let header = ["Part", "items", "busy", "starved", "blocked", "locked"];
    page.table(&header, &rows);
}
