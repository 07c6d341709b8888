//! What goes round for ever: where it goes, and why it does not leave.

use std::collections::{BTreeMap, BTreeSet};

use hallwright_core::engine::{Engine, View};
use hallwright_core::event::{Event, Moment, Observer};
use hallwright_core::id::{KindId, PartId};
use hallwright_core::slot::Item;
use hallwright_report::GoneOn;
use hallwright_report::units::{seconds, time};

use super::blockage::Blockage;
use super::{Scene, TroubleCause};
use crate::standing::state_words;

/// The moves within one round of what the hall does again and again.
#[derive(Default)]
pub(super) struct Moves {
    period_ticks: u64,
    /// How often something of each sort left each part.
    left: BTreeMap<(PartId, Item), u64>,
}

impl Observer for Moves {
    fn event(&mut self, _moment: Moment, event: &Event, _view: &View<'_>) {
        if let Event::ItemMoved { from, item, .. } = *event {
            *self.left.entry((from, item)).or_insert(0) += 1;
        }
    }
}

impl Moves {
    /// Those of a hall that went on after its end; none if it came to rest.
    pub(super) fn of(scene: &Scene<'_>, gone: &GoneOn) -> Self {
        let mut moves = Self {
            period_ticks: gone.period_ticks,
            ..Self::default()
        };
        if gone.period_ticks > 0 {
            let mut engine = Engine::resume(scene.network, &gone.setup, &gone.state);
            let until = engine.tick() + gone.period_ticks;
            engine.run_watched(until, &mut moves);
        }
        moves
    }

    /// Says of what is in a part that it goes round, if it does, and why it does not leave.
    pub(super) fn explain(
        &self,
        scene: &Scene<'_>,
        view: &View<'_>,
        (part, kind): (PartId, Option<KindId>),
        cause: &mut TroubleCause,
    ) -> bool {
        let Some(item) = scene.item_in(view, part, kind) else {
            return false;
        };
        if !self.left.contains_key(&(part, item)) {
            return false;
        }
        let mut rings = scene.ways.rings(|_| true).into_iter();
        let Some(ring) = rings.find(|ring| ring.contains(&part)) else {
            return false;
        };
        let is_on_round = |at: &&PartId| self.left.contains_key(&(**at, item));
        let round: Vec<PartId> = ring.iter().filter(is_on_round).copied().collect();
        let tps = scene.findings.ticks_per_second;
        let kind = scene.kind(item.kind);
        cause.say(format!(
            "{kind} goes round for ever by {}; the hall does the same every {}",
            scene.names(&round),
            time(self.period_ticks, tps)
        ));
        let members: BTreeSet<PartId> = ring.into_iter().collect();
        let goals = scene.goals(item.kind).into_iter();
        let goals: Vec<PartId> = goals.flat_map(|store| &store.parts).copied().collect();
        let mut has_exit = false;
        for from in &round {
            for (exit, _) in scene.hops(*from, item.kind) {
                let leads_home =
                    !members.contains(&exit) && scene.ways.leading_to(&goals).contains_key(&exit);
                if leads_home {
                    has_exit = true;
                    let (at, way) = (scene.name(*from), scene.name(exit));
                    if scene.lets_in(exit, item.kind) {
                        let state = state_words(view, exit, item);
                        cause.say(format!("it passes the way out at {at} by {way}: {state}"));
                        Blockage { scene, view }.of_hop(*from, exit, item, cause);
                    } else {
                        cause.say(format!(
                            "it passes {way} at {at}, which is filled for other goods and lets no {kind} in"
                        ));
                    }
                }
            }
        }
        let first = round.first().map_or("it", |part| scene.name(*part));
        if has_exit {
            cause.advise(format!(
                "let the way out take {kind} whenever it passes, or give the ring an overflow"
            ));
        } else {
            cause.say(format!("no way for {kind} leads out of the ring"));
            cause.advise(format!(
                "lead {kind} out of the ring of {first}, or break it by a signal after {}",
                seconds(self.period_ticks, tps)
            ));
        }
        true
    }
}
