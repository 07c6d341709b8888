//! What is left behind: goods that the operator cannot get out by emptying every place open to them.
//!
//! It is measured, not guessed: a copy of the run goes on after its end. Nothing arrives any more and
//! no lever is moved, but once a second the operator empties every open place, and asks for all boxes
//! that are left at the desks of their kinds. What then remains where nothing should be is left behind.

use std::collections::{BTreeMap, BTreeSet};

use hallwright_core::asks::Holding;
use hallwright_core::declare::{Declarations, Desk, Open};
use hallwright_core::engine::{Engine, View};
use hallwright_core::event::{Event, Moment, Observer};
use hallwright_core::id::{KindId, PartId};
use hallwright_core::network::Network;
use hallwright_core::part::Part;
use hallwright_core::setup::Setup;
use hallwright_core::slot::Item;
use hallwright_core::tick::Tick;
use hallwright_core::timeline::{Action, Terms, Timeline};

use crate::findings::{KindCount, LeftBehind, PartCount, TakingEnd};
use hallwright_analysis::certainty::longest_beat_ticks;

use crate::measure::{box_contents, distinct, is_box_of, items_in};
use hallwright_analysis::pulses::Pulses;

/// How long a round of taking out lasts at least, in seconds: boxes are asked for at its start.
const ROUND_SECONDS: u64 = 60;
/// After so many rounds in which nothing came out, nothing more is expected to.
const VAIN_ROUNDS: u32 = 5;
/// For how long things are taken out at most, in seconds.
const MOST_SECONDS: u64 = 7_200;

/// Takes everything out that comes, beginning at the end of a run, and says what does not.
pub(crate) fn left_behind(
    network: &Network,
    setup: &Setup,
    declared: &Declarations,
    engine: &Engine<'_>,
) -> Vec<LeftBehind> {
    if declared.open.is_empty() {
        return Vec::new();
    }
    let start = engine.tick();
    let done = setup.timeline.entries().iter();
    let mut taking = Taking {
        declared,
        done: done.filter(|(tick, _)| *tick < start).cloned().collect(),
        second_ticks: network.rules().ticks_per_second.into(),
        round_ticks: round_ticks(network),
        taken: vec![0; declared.open.len()],
    };
    let mut next = taking.next_round(setup, &engine.view());
    let mut state = engine.save();
    let mut pulses = Pulses::new(network);
    let mut vain_rounds = 0;
    loop {
        let (round, is_asked) = next;
        let mut engine = Engine::resume(network, &round, &state);
        let began = engine.tick();
        let mut watch = Watch::new(&declared.open);
        engine.run_until(engine.tick() + taking.round_ticks, &mut watch);
        taking.done = round.timeline.entries().to_vec();
        for (sum, taken) in taking.taken.iter_mut().zip(&watch.taken) {
            *sum += taken;
        }
        vain_rounds = if watch.has_taken { 0 } else { vain_rounds + 1 };
        let view = engine.view();
        let passed_ticks = engine.tick() - start;
        let is_pending = pulses.any_pending(&view);
        // What has woken or come free may not have moved yet.
        let calm_since = view.no_spell_since();
        let had_spell = calm_since.is_none_or(|since| since > began);
        let ended = if !(watch.has_moved || is_asked || is_pending || had_spell) {
            Some(TakingEnd::Quiet)
        } else if vain_rounds >= VAIN_ROUNDS {
            Some(TakingEnd::NothingCame)
        } else {
            let most_ticks = MOST_SECONDS * taking.second_ticks;
            (passed_ticks >= most_ticks).then_some(TakingEnd::Bound)
        };
        if let Some(ended) = ended {
            return taking.found(&view, passed_ticks, ended);
        }
        next = taking.next_round(setup, &view);
        state = engine.save();
    }
}

/// How long a round lasts: long enough for everything that moves by itself to move once. Signals that
/// take longer are pending, and then a round without a move is not the last.
pub(crate) fn round_ticks(network: &Network) -> u64 {
    let longest = |part: &Part| match part {
        Part::Shuttle(shuttle) => {
            let stops = shuttle.stops.iter();
            let ticks =
                stops.map(|stop| u64::from(stop.travel_ticks) + u64::from(stop.dwell_ticks));
            ticks.sum()
        }
        Part::Stream(stream) => stream.transit_ticks.into(),
        Part::Bench(bench) => bench.after_ticks.into(),
        Part::Selector(selector) => selector.latency_ticks.into(),
        Part::Container(_) | Part::Hopper(_) | Part::Dropper(_) | Part::Mouth => 0,
        Part::Dock | Part::Signal(_) => 0,
    };
    let moving = network.parts().map(|(_, part)| longest(part)).max();
    let round = ROUND_SECONDS * u64::from(network.rules().ticks_per_second);
    round
        .max(longest_beat_ticks(network))
        .max(moving.unwrap_or(0) + 1)
}

/// The taking out.
struct Taking<'d> {
    declared: &'d Declarations,
    /// All inputs up to now.
    done: Vec<(Tick, Action)>,
    second_ticks: u64,
    round_ticks: u64,
    /// Items taken, for each declaration.
    taken: Vec<u64>,
}

impl Taking<'_> {
    /// The inputs of the next round, behind all that is done, and whether anything is asked for.
    fn next_round(&self, setup: &Setup, view: &View<'_>) -> (Setup, bool) {
        let start = view.tick();
        let mut entries = self.done.clone();
        let open = self.declared.open.iter();
        let places: BTreeSet<PartId> = open.flat_map(|open| &open.parts).copied().collect();
        let asked: Vec<Action> = self
            .declared
            .desks
            .iter()
            .filter_map(|desk| ask_for_all(desk, &places, view))
            .collect();
        let is_asked = !asked.is_empty();
        entries.extend(asked.into_iter().map(|action| (start, action)));
        for second in 0..self.round_ticks / self.second_ticks.max(1) {
            let at = start + second * self.second_ticks;
            entries.extend(places.iter().map(|place| {
                let count = u32::MAX;
                let place = *place;
                (at, Action::Withdraw { place, count })
            }));
        }
        let round = Setup {
            timeline: Timeline::new(entries),
            ..setup.clone()
        };
        (round, is_asked)
    }

    /// What remains.
    fn found(&self, view: &View<'_>, continued_ticks: u64, ended: TakingEnd) -> Vec<LeftBehind> {
        let open = self.declared.open.iter().zip(&self.taken);
        open.map(|(open, taken)| LeftBehind {
            taken_items: *taken,
            continued_ticks,
            ended,
            ..remaining(open, view)
        })
        .collect()
    }
}

/// As many tokens as boxes of a desk's kind are anywhere but in the open places, those left out that
/// lie on the desk already.
fn ask_for_all(desk: &Desk, places: &BTreeSet<PartId>, view: &View<'_>) -> Option<Action> {
    let network = view.network();
    let is_there = |part: &PartId| !places.contains(part) && !desk.counter.contains(part);
    // What stands at a place is the shuttle's: it is counted there.
    let parts = network.part_ids().filter(is_there);
    let parts = parts.filter(|part| network.part(*part).holding() != Holding::Docked);
    let stacks = parts.flat_map(|part| items_in(part, view));
    let boxes = stacks.filter(|(item, _)| is_box_of(*item, desk.kind, view));
    let boxes = boxes.count() as u64;
    let tokens: u64 = items_in(desk.desk, view)
        .into_iter()
        .filter(|(item, _)| item.kind == desk.token)
        .map(|(_, count)| count)
        .sum();
    let count = u32::try_from(boxes.saturating_sub(tokens)).unwrap_or(u32::MAX);
    (count > 0).then(|| Action::Deliver {
        place: desk.desk,
        kind: desk.token,
        count,
        contents: Vec::new(),
        terms: Terms::default(),
    })
}

/// What lies behind some open places.
fn remaining(open: &Open, view: &View<'_>) -> LeftBehind {
    let network = view.network();
    let mut contents: BTreeMap<KindId, u64> = BTreeMap::new();
    let mut parts = Vec::new();
    let mut boxes = 0;
    for part in distinct(&open.behind, view) {
        let mut here = 0;
        for (item, count) in items_in(part, view) {
            let counted = counted(item, count, &open.kinds, view);
            let is_filled =
                item.box_id.is_some() && counted.iter().any(|(kind, _)| *kind != item.kind);
            boxes += u64::from(is_filled);
            for (kind, items) in counted {
                *contents.entry(kind).or_insert(0) += items;
                here += items;
            }
        }
        if here > 0 {
            parts.push(PartCount {
                part: network.name(part).to_owned(),
                items: here,
            });
        }
    }
    parts.sort_by_key(|row| std::cmp::Reverse(row.items));
    LeftBehind {
        name: open.name.clone(),
        items: contents.values().sum(),
        boxes,
        contents: contents
            .into_iter()
            .map(|(kind, items)| KindCount {
                kind: network.kind(kind).name.clone(),
                items,
            })
            .collect(),
        parts,
        taken_items: 0,
        continued_ticks: 0,
        ended: TakingEnd::Quiet,
    }
}

/// What counts of so many items: of a box that holds something, what it holds.
fn counted(item: Item, count: u64, kinds: &[KindId], view: &View<'_>) -> Vec<(KindId, u64)> {
    let mut all = box_contents(view, item);
    if all.is_empty() {
        all.push((item.kind, count));
    }
    all.retain(|(kind, _)| kinds.is_empty() || kinds.contains(kind));
    all
}

/// Watches a round: whether anything moved, and what was taken.
struct Watch<'d> {
    open: &'d [Open],
    has_moved: bool,
    has_taken: bool,
    taken: Vec<u64>,
}

impl<'d> Watch<'d> {
    fn new(open: &'d [Open]) -> Self {
        Self {
            open,
            has_moved: false,
            has_taken: false,
            taken: vec![0; open.len()],
        }
    }
}

impl Observer for Watch<'_> {
    fn event(&mut self, _moment: Moment, event: &Event, view: &View<'_>) {
        // A shuttle that goes round for ever moves nothing by that.
        self.has_moved |= event.is_item_event()
            && !matches!(event, Event::Docked { .. } | Event::Departed { .. });
        let Event::Withdrawn { place, item, count } = *event else {
            return;
        };
        self.has_taken = true;
        for (open, taken) in self.open.iter().zip(&mut self.taken) {
            if open.parts.contains(&place) {
                let rows = counted(item, count.into(), &open.kinds, view);
                *taken += rows.iter().map(|(_, items)| items).sum::<u64>();
            }
        }
    }
}
