//! Why things never get home: stuck, or backed up.

use hallwright_core::engine::{Engine, View};
use hallwright_core::id::{KindId, PartId};
use hallwright_report::findings::{Fate, StayReason, StayRow};
use hallwright_report::units::{count, grouped, items, time};
use hallwright_report::went_on;
use hallwright_words::stay_words;

use super::blockage::Blockage;
use super::{Scene, TroubleCause, round};

/// What has this fate when the run has gone on, with what keeps it there.
pub(super) fn explain(scene: &Scene<'_>, fate: Fate) -> Vec<TroubleCause> {
    let rows = scene.findings.going_on.rows.iter();
    let rows: Vec<&StayRow> = rows.filter(|row| row.fate == fate).collect();
    if rows.is_empty() {
        return Vec::new();
    }
    let end = scene.at(scene.end);
    let gone = went_on(scene.network, scene.setup, scene.declared, &end);
    let after = Engine::resume(scene.network, &gone.setup, &gone.state);
    let mut explainer = Explainer {
        scene,
        at_end: &end.view(),
        after: &after.view(),
        round: round::Moves::of(scene, &gone),
    };
    rows.into_iter().map(|row| explainer.of(row)).collect()
}

struct Explainer<'s, 'v> {
    scene: &'s Scene<'s>,
    at_end: &'s View<'v>,
    after: &'s View<'v>,
    round: round::Moves,
}

impl Explainer<'_, '_> {
    fn of(&mut self, row: &StayRow) -> TroubleCause {
        let scene = self.scene;
        let mut cause = TroubleCause::of(stay_words(row));
        let Some(part) = scene.network.find(&row.part) else {
            return cause;
        };
        // What waits for a full store does so since that is full, and there it is seen.
        let full = match &row.reason {
            StayReason::Full(store) => scene.store_named(store),
            _ => None,
        };
        let since = full.and_then(|store| scene.since(self.at_end, &store.parts));
        match (full, since) {
            (Some(store), Some(_)) => {
                let part = store.parts.first();
                cause.shows(part.map_or(&row.part, |part| scene.name(*part)), since);
            }
            _ => cause.shows(&row.part, scene.since(self.at_end, &[part])),
        }
        scene.of_filter_not_named(part, &mut cause);
        let kind = scene.kind_named(&row.kind);
        if let StayReason::Full(store) = &row.reason {
            self.too_small(store, kind, &mut cause);
        }
        match &row.reason {
            StayReason::LostAfterwards
            | StayReason::MisplacedAfterwards
            | StayReason::PassedByAfterwards(_) => {
                self.follow(self.at_end, part, kind, &mut cause);
            }
            StayReason::NoWay(store) => {
                let round = &self.round;
                round.explain(scene, self.after, (part, kind), &mut cause);
                self.no_way(store, part, kind, &mut cause);
            }
            StayReason::HomeHasRoom(_)
            | StayReason::OverflowHasRoom(_)
            | StayReason::Full(_)
            | StayReason::NoHome => {
                if !self
                    .round
                    .explain(scene, self.after, (part, kind), &mut cause)
                {
                    self.waiting(part, &mut cause);
                    self.follow(self.after, part, kind, &mut cause);
                }
                if let StayReason::Full(store) = &row.reason {
                    self.full(store, &mut cause);
                }
            }
        }
        cause
    }

    fn follow(
        &self,
        view: &View<'_>,
        part: PartId,
        kind: Option<KindId>,
        cause: &mut TroubleCause,
    ) {
        let blockage = Blockage {
            scene: self.scene,
            view,
        };
        if let Some(item) = self.scene.item_in(view, part, kind) {
            blockage.follow(part, item, cause);
        }
    }

    /// What waits at the landing is not in the part yet.
    fn waiting(&self, part: PartId, cause: &mut TroubleCause) {
        let waiting = self.after.waiting().filter(|(place, _)| *place == part);
        for (_, delivery) in waiting {
            if let Some(signal) = delivery.terms.while_on {
                let mut signals =
                    super::signals::Signals::new(self.scene, self.after, delivery.kind);
                if self.after.level(signal) == 0 {
                    let name = self.scene.name(signal);
                    cause.say(format!("the delivery comes in only while {name} is on"));
                    signals.follow(signal, super::signals::Want::AtLeast(1), cause);
                }
            }
        }
    }

    /// How much a store lacks room for.
    fn too_small(&self, name: &str, kind: Option<KindId>, cause: &mut TroubleCause) {
        let rows = self.scene.findings.going_on.rows.iter();
        let waits: u64 = rows
            .filter(|row| matches!(&row.reason, StayReason::Full(store) if store == name))
            .map(|row| row.amount.goods_and_boxes())
            .sum();
        let limit = kind.map_or(1, |kind| {
            u64::from(self.scene.network.kind(kind).stack_limit.items())
        });
        let slots = count(waits.div_ceil(limit), "more slot", "more slots");
        let of = match kind {
            Some(kind) => format!("{} {}", grouped(waits), self.scene.kind(kind)),
            None => items(waits),
        };
        cause.advise(format!(
            "give \"{name}\" {slots} for {of} in all, or an overflow behind it"
        ));
    }

    /// Since when a store is full, where that was not reported on the way.
    fn full(&self, name: &str, cause: &mut TroubleCause) {
        let scene = self.scene;
        let quoted = format!("\"{name}\"");
        let is_reported = cause.why.iter().any(|why| why.contains(&quoted));
        let Some(store) = scene.store_named(name).filter(|_| !is_reported) else {
            return;
        };
        let tps = scene.findings.ticks_per_second;
        let since = scene.since(self.after, &store.parts).map_or_else(
            || " by the time all else had come".to_owned(),
            |at| format!(" since {}", time(at.0, tps)),
        );
        cause.say(format!("{quoted} is full{since}"));
    }

    /// What a way to the store would have to get through.
    fn no_way(&self, store: &str, part: PartId, kind: Option<KindId>, cause: &mut TroubleCause) {
        let scene = self.scene;
        let (Some(store), Some(kind)) = (scene.store_named(store), kind) else {
            return;
        };
        if let Some(sieve) = scene.sieve(part).filter(|sieve| sieve.own != kind) {
            let (name, own) = (scene.name(part), scene.kind(sieve.own));
            cause.say(format!(
                "{name} is a filter for {own}, where it does not belong"
            ));
            cause.advise(format!(
                "put a filler that never arrives into every slot of {name} that {own} does not take"
            ));
            return;
        }
        let reached = scene.reached(part, kind);
        let before = scene.ways.leading_to(&store.parts);
        let kind_name = scene.kind(kind);
        // The filters at the edge of what is reached that would lead there.
        let doors = scene.network.part_ids().filter(|door| {
            let from = scene.ways.hops(*door, petgraph::Direction::Incoming);
            before.contains_key(door)
                && !scene.lets_in(*door, kind)
                && from.iter().any(|(from, _)| reached[from.index()])
        });
        let doors: Vec<PartId> = doors.collect();
        for door in doors.iter().take(2) {
            let Some(sieve) = scene.sieve(*door) else {
                continue;
            };
            let (name, own) = (scene.name(*door), scene.kind(sieve.own));
            cause.say(format!(
                "the way to \"{}\" leads through {name}, which is filled for {own} and lets no {kind_name} in",
                store.name
            ));
            cause.advise(format!("fill {name} with {kind_name} instead of {own}"));
        }
        if doors.is_empty() {
            let ends = scene
                .network
                .part_ids()
                .filter(|end| reached[end.index()] && scene.hops(*end, kind).is_empty());
            let ends: Vec<PartId> = ends.filter(|end| *end != part).collect();
            if ends.is_empty() {
                self.follow(self.after, part, Some(kind), cause);
            } else {
                cause.say(format!(
                    "from {} {kind_name} comes to {} and nowhere further",
                    scene.name(part),
                    scene.names(&ends)
                ));
            }
            cause.advise(format!(
                "lead a way from {} to \"{}\"",
                scene.name(part),
                store.name
            ));
        }
    }
}
