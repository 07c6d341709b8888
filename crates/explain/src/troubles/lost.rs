//! Why loose stacks were lost.

use std::collections::BTreeMap;

use hallwright_core::tick::Tick;
use hallwright_report::findings::{LossReason, LossRow};
use hallwright_report::units::{grouped, seconds, time};
use hallwright_report::words::reason_words;

use super::blockage::Blockage;
use super::{Scene, TroubleCause};

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
    cause.say(format!(
        "it came loose at {} and lay for {}",
        first.came_loose_at,
        seconds(first.loose_ticks, tps)
    ));
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
