//! What befell the hall: sleeps, reopenings, mishaps.

use std::collections::{BTreeMap, BTreeSet};

use hallwright_core::event::{DeliveryNews, Event};
use hallwright_core::id::{KindId, PartId};
use hallwright_core::network::Network;
use hallwright_core::part::Part;
use hallwright_core::tick::Tick;
use hallwright_core::timeline::{Action, Timeline};
use hallwright_declared::declarations::{Declarations, Desk};
use serde::{Deserialize, Serialize};

use crate::findings::{
    KindCount, SelectorsAtWord, ShuttleAtWord, SpellFinding, SpellSort, TakenAtWord, Upsets,
};

/// Counts what goes through the operator's hands, and keeps what the timeline says.
pub(crate) struct UpsetMeasure<'d> {
    desks: &'d [Desk],
    spells: Vec<SpellFinding>,
    reopened_at: Vec<Tick>,
    /// When and where a box is to be taken away.
    takings: BTreeSet<(Tick, PartId)>,
    by_hand: ByHand,
}

/// What went through the operator's hands so far.
#[derive(Clone, Default, PartialEq, Serialize, Deserialize)]
pub(crate) struct ByHand {
    put_in: BTreeMap<KindId, u64>,
    boxes_taken: u64,
}

impl<'d> UpsetMeasure<'d> {
    /// `timeline`: everything that the operator does.
    pub(crate) fn new(
        declared: &'d Declarations,
        timeline: &Timeline,
        run_ticks: u64,
        network: &Network,
    ) -> Self {
        let entries = timeline.entries().iter();
        let entries = || entries.clone().take_while(|(at, _)| at.0 < run_ticks);
        let spells = entries().filter_map(|(at, action)| spell(*at, action, declared, network));
        let reopened = |(at, action): &(Tick, Action)| match action {
            Action::Reopen { .. } => Some(*at),
            _ => None,
        };
        let takings = entries().filter_map(|(at, action)| match action {
            Action::TakeBox { place } => Some((*at, *place)),
            _ => None,
        });
        Self {
            desks: &declared.desks,
            spells: spells.collect(),
            reopened_at: entries().filter_map(reopened).collect(),
            takings: takings.collect(),
            by_hand: ByHand::default(),
        }
    }

    pub(crate) fn kept(&self) -> ByHand {
        self.by_hand.clone()
    }

    pub(crate) fn put_back(&mut self, by_hand: ByHand) {
        self.by_hand = by_hand;
    }

    pub(crate) fn event(&mut self, tick: Tick, event: &Event) {
        if let Event::Withdrawn { place, item, .. } = *event
            && item.box_id.is_some()
            && self.takings.contains(&(tick, place))
        {
            self.by_hand.boxes_taken += 1;
        }
    }

    pub(crate) fn delivery(&mut self, news: &DeliveryNews) {
        let is_token = |desk: &Desk| desk.desk == news.place && desk.token == news.kind;
        let is_by_hand = news.arrival.is_none() && !self.desks.iter().any(is_token);
        if is_by_hand && news.delivered > 0 {
            *self.by_hand.put_in.entry(news.kind).or_default() += u64::from(news.delivered);
        }
    }

    pub(crate) fn finish(self, network: &Network) -> Upsets {
        let put_in = self.by_hand.put_in.into_iter();
        Upsets {
            spells: self.spells,
            reopened_at: self.reopened_at,
            put_in: put_in
                .map(|(kind, items)| KindCount {
                    kind: network.kind(kind).name.clone(),
                    items,
                })
                .collect(),
            boxes_taken: self.by_hand.boxes_taken,
        }
    }
}

/// The spell that an action casts, if it does.
fn spell(
    at: Tick,
    action: &Action,
    declared: &Declarations,
    network: &Network,
) -> Option<SpellFinding> {
    let (sort, parts) = match action {
        Action::Sleep { parts, .. } => (SpellSort::Asleep, parts),
        Action::Stick {
            signals, on: true, ..
        } => (SpellSort::StuckOn, signals),
        Action::Stick {
            signals, on: false, ..
        } => (SpellSort::StuckOff, signals),
        Action::MoveLever { .. } | Action::Press { .. } | Action::Deliver { .. } => return None,
        Action::Withdraw { .. } | Action::Fill { .. } | Action::TakeBox { .. } => return None,
        Action::Reopen { .. } => return None,
    };
    let parts: BTreeSet<PartId> = parts.iter().copied().collect();
    let mut regions = declared.regions.iter();
    let is_it = |region: &[PartId]| region.iter().copied().collect::<BTreeSet<_>>() == parts;
    let region = regions.find(|region| is_it(&region.parts));
    Some(SpellFinding {
        sort,
        at,
        over_at: at + u64::from(action.spell_ticks()?),
        region: region.map(|region| region.name.clone()),
        parts: parts
            .iter()
            .map(|part| network.name(*part).to_owned())
            .collect(),
    })
}

/// The selectors and shuttles of a network, which are taken at their word.
pub(crate) fn taken_at_word(network: &Network) -> TakenAtWord {
    let mut found = TakenAtWord::default();
    for (id, part) in network.parts() {
        let name = network.name(id).to_owned();
        match part {
            Part::Selector(selector) => {
                let is_alike = |row: &&mut SelectorsAtWord| {
                    (row.interval_ticks, row.latency_ticks, row.holds_items)
                        == (
                            selector.interval_ticks,
                            selector.latency_ticks,
                            selector.holds,
                        )
                };
                match found.selectors.iter_mut().find(is_alike) {
                    Some(row) => row.parts.push(name),
                    None => found.selectors.push(SelectorsAtWord {
                        parts: vec![name],
                        interval_ticks: selector.interval_ticks,
                        latency_ticks: selector.latency_ticks,
                        holds_items: selector.holds,
                    }),
                }
            }
            Part::Shuttle(shuttle) => {
                let stops = shuttle.stops.iter();
                let ticks =
                    stops.map(|stop| u64::from(stop.travel_ticks) + u64::from(stop.dwell_ticks));
                found.shuttles.push(ShuttleAtWord {
                    part: name,
                    round_ticks: ticks.sum(),
                });
            }
            Part::Container(_) | Part::Hopper(_) | Part::Dropper(_) | Part::Mouth => {}
            Part::Stream(_) | Part::Bench(_) | Part::Dock | Part::Signal(_) => {}
        }
    }
    found
}
