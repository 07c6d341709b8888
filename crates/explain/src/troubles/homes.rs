//! Kinds that arrive and have no home, or several.

use hallwright_analysis::homes::KindHomes;
use hallwright_core::id::{KindId, PartId};
use hallwright_declared::declarations::StorePurpose;
use hallwright_words::homes_words;
use petgraph::Direction;

use super::{Scene, TroubleCause};

/// How many parts of a way are named.
const NAMED: usize = 8;

/// Kinds without a home: where they end, and what bars the way to a store that takes them.
pub(super) fn without(scene: &Scene<'_>) -> Vec<TroubleCause> {
    let kinds = scene.findings.homes.iter();
    let kinds = kinds.filter(|kind| kind.is_homeless());
    kinds.map(|kind| homeless(scene, kind)).collect()
}

fn homeless(scene: &Scene<'_>, kind: &KindHomes) -> TroubleCause {
    let mut cause = TroubleCause::of(homes_words(kind, scene.declared));
    let name = &kind.kind;
    let (Some(id), Some(start)) = (scene.kind_named(name), scene.network.find(&kind.arrives_at))
    else {
        return cause;
    };
    cause.shows(&kind.arrives_at, None);
    scene.of_filter_not_named(start, &mut cause);
    let reached = scene.reached(start, id);
    for home in &kind.homes {
        let Some(store) = scene.store_named(&home.store) else {
            continue;
        };
        let before = scene.ways.leading_to(&store.parts);
        let barred = scene.network.part_ids().find(|part| {
            let from = scene.ways.hops(*part, Direction::Incoming);
            before.contains_key(part)
                && !reached[part.index()]
                && from.iter().any(|(from, _)| reached[from.index()])
        });
        match barred {
            Some(barred) => {
                let why = match scene.sieve(barred) {
                    Some(sieve) => format!("a filter for {}", scene.kind(sieve.own)),
                    None => "to which nothing hands it on".to_owned(),
                };
                cause.say(format!(
                    "its way to \"{}\" ends before {}, {why}",
                    store.name,
                    scene.name(barred)
                ));
            }
            None => cause.say(format!(
                "nothing leads from {} to \"{}\"",
                kind.arrives_at, store.name
            )),
        }
    }
    let stores = scene.declared.stores.iter().filter(|store| {
        store.purpose != StorePurpose::Serving
            && store.parts.iter().any(|part| reached[part.index()])
    });
    for store in stores.take(2) {
        let way = way_words(scene, id, start, &store.parts);
        cause.say(format!(
            "it can come to \"{}\", which is not its home: {way}",
            store.name
        ));
    }
    cause.advise(match kind.homes.is_empty() {
        true => {
            format!("give {name} a store that takes it, or allow it with WithoutHome([\"{name}\"])")
        }
        false => format!("lead {name} to its store, or allow it with WithoutHome([\"{name}\"])"),
    });
    cause
}

/// Kinds with several homes of which none is reached only past another.
pub(super) fn shared(scene: &Scene<'_>) -> Vec<TroubleCause> {
    let kinds = scene.findings.homes.iter().filter(|kind| kind.is_shared());
    let causes = kinds.map(|kind| {
        let mut cause = TroubleCause::of(homes_words(kind, scene.declared));
        let name = &kind.kind;
        let (id, start) = (scene.kind_named(name), scene.network.find(&kind.arrives_at));
        for home in kind.rivals() {
            if let (Some(id), Some(start), Some(store)) = (id, start, scene.store_named(&home.store)) {
                let way = match home.is_reached {
                    true => way_words(scene, id, start, &store.parts),
                    false => format!("no way for {name} leads there from {}", kind.arrives_at),
                };
                cause.say(format!("\"{}\": {way}", store.name));
            }
        }
        let last = kind.rivals().last().map_or("", |home| &home.store);
        cause.advise(format!(
            "let \"{last}\" take another kind, put one behind the other, or allow it with SharedHome([\"{name}\"])"
        ));
        cause
    });
    causes.collect()
}

/// The shortest way from a part into some others.
fn way_words(scene: &Scene<'_>, kind: KindId, start: PartId, goals: &[PartId]) -> String {
    if goals.contains(&start) {
        return format!("it arrives in {}", scene.name(start));
    }
    let mut came_from: std::collections::BTreeMap<PartId, PartId> =
        std::collections::BTreeMap::new();
    let mut waiting = std::collections::VecDeque::from([start]);
    while let Some(part) = waiting.pop_front() {
        if goals.contains(&part) {
            let mut way = vec![part];
            while let Some(before) = came_from
                .get(&way[way.len() - 1])
                .filter(|_| way[way.len() - 1] != start)
            {
                way.push(*before);
            }
            way.reverse();
            let names: Vec<String> = way
                .iter()
                .map(|part| scene.name(*part).to_owned())
                .collect();
            let left_out = names.len().saturating_sub(NAMED);
            return match left_out {
                0 => format!("by {}", names.join(", ")),
                more => format!(
                    "by {}, … {more} more …, {}",
                    names[..NAMED - 1].join(", "),
                    names[names.len() - 1]
                ),
            };
        }
        for (next, _) in scene.hops(part, kind) {
            if next != start && scene.lets_in(next, kind) && !came_from.contains_key(&next) {
                came_from.insert(next, part);
                waiting.push_back(next);
            }
        }
    }
    "by boxes or shuttles".to_owned()
}
