//! Why loose stacks were lost.

use std::collections::BTreeMap;

use hallwright_core::event::Event;
use hallwright_core::tick::Tick;
use hallwright_report::findings::{LossReason, LossRow};
use hallwright_report::units::{grouped, seconds, time};
use hallwright_words::reason_words;

use super::blockage::Blockage;
use super::by_hand::put_in;
use super::{Scene, TroubleCause};
use crate::life::life;

/// The losses by place, kind and reason, with what kept hoppers from taking the first of them.
pub(super) fn explain(scene: &Scene<'_>) -> Vec<TroubleCause> {
    let mut groups: BTreeMap<(&str, &str, &'static str), Vec<&LossRow>> = BTreeMap::new();
    for row in &scene.findings.loss.rows {
        let key = (
            row.mouth.as_str(),
            row.kind.as_str(),
            reason_words(row.reason),
        );
        groups.entry(key).or_default().push(row);
    }
    let mut groups: Vec<_> = groups.into_iter().collect();
    groups.sort_by_key(|(_, rows)| rows[0].at);
    groups
        .into_iter()
        .map(|(key, rows)| group(scene, key, &rows))
        .collect()
}

fn group(
    scene: &Scene<'_>,
    (mouth, kind, reason): (&str, &str, &str),
    rows: &[&LossRow],
) -> TroubleCause {
    let tps = scene.findings.ticks_per_second;
    let first = rows[0];
    let items: u64 = rows.iter().map(|row| row.items).sum();
    let mut cause = TroubleCause::of(format!(
        "{} {kind} lost at {mouth}, first at {}: {reason}",
        grouped(items),
        time(first.at.0, tps)
    ));
    cause.shows(mouth, Some(first.at));
    cause.say(format!(
        "it came loose at {} and lay for {}",
        first.came_loose_at,
        seconds(first.loose_ticks, tps)
    ));
    if let Some(words) = put_in_first(scene, kind, first.at) {
        cause.say(words);
    }
    match first.reason {
        LossReason::NoHopper => cause.advise(format!("put a hopper below {mouth}")),
        LossReason::StillOnStream => {
            cause.advise(
                "make the stream shorter: goods are lost before they reach its end".to_owned(),
            );
        }
        LossReason::Busy => cause.advise(format!(
            "put more hoppers below {mouth}, or throw less at once"
        )),
        LossReason::Locked | LossReason::Full | LossReason::LockedInPart => {
            let engine = scene.at(Tick(first.at.0.saturating_sub(1)));
            let view = engine.view();
            let part = scene.network.find(mouth);
            let item = part.and_then(|part| scene.item_in(&view, part, scene.kind_named(kind)));
            if let (Some(part), Some(item)) = (part, item) {
                Blockage { scene, view: &view }.follow(part, item, &mut cause);
            }
            cause.advise(format!(
                "stop what throws at {} as long as hoppers below {mouth} take nothing",
                first.came_loose_at
            ));
        }
    }
    cause
}

/// That what was lost in a tick was put in by hand where its life in the hall began, if it was.
fn put_in_first(scene: &Scene<'_>, kind: &str, at: Tick) -> Option<String> {
    let kind = scene.kind_named(kind)?;
    let mut entries = scene.history.entries();
    let (lost, _) = entries.find(|(_, entry)| {
        let is_lost = matches!(entry.event, Event::Lost { item, .. } if item.kind == kind);
        is_lost && entry.tick() == at
    })?;
    let stays = life(scene.history, scene.network, lost);
    put_in(scene, kind, &[stays.first()?.part])
}
