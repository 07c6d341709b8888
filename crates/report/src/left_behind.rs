//! What is left behind: goods that the operator cannot get out by emptying every place open to them.
//!
//! It is measured, not guessed: a copy of the run goes on after its end. Nothing arrives any more and
//! no lever is moved, but once a second the operator empties every open place, and asks for all boxes
//! that are left at the desks of their kinds. What then remains where nothing should be is left behind.

use std::collections::{BTreeMap, BTreeSet};

use hallwright_core::asks::Holding;
use hallwright_core::engine::{Engine, View};
use hallwright_core::event::{Event, Moment, Observer};
use hallwright_core::id::{KindId, PartId};
use hallwright_core::network::Network;
use hallwright_core::part::Part;
use hallwright_core::setup::Setup;
use hallwright_core::slot::Item;
use hallwright_core::tick::Tick;
use hallwright_core::timeline::{Action, Terms, Timeline};
use hallwright_declared::declarations::{Declarations, Desk, Open};

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
    let done = done.take_while(|(tick, _)| *tick < start).count();
    let second_ticks = network.rules().ticks_per_second.into();
    let most_ticks = MOST_SECONDS * second_ticks;
    let round_ticks = round_ticks(network);
    let nothing = Setup {
        orders: setup.orders_after(done).clone(),
        timeline: Timeline::default(),
        ..setup.clone()
    };
    let mut taking = Taking {
        declared,
        setup: &nothing,
        second_ticks,
        engine: Engine::branch_anew(network, &nothing, engine),
        network,
        taken: vec![0; declared.open.len()],
    };
    let mut pulses = Pulses::new(network);
    let mut vain_rounds = 0;
    loop {
        let began = taking.engine.tick();
        let bound = most_ticks.saturating_sub(began - start).max(1);
        let round = taking.round(round_ticks.min(bound));
        vain_rounds = if round.has_taken { 0 } else { vain_rounds + 1 };
        let view = taking.engine.view();
        let passed_ticks = view.tick() - start;
        let is_pending = pulses.any_pending(&view);
        // What has woken or come free may not have moved yet.
        let calm_since = view.no_spell_since();
        let had_spell = calm_since.is_none_or(|since| since > began);
        // What a clock that is slower than the time there is may still do, nobody knows.
        let is_whole = view.tick() - began >= round_ticks;
        let is_still = is_whole && !(round.has_moved || round.has_asked || is_pending || had_spell);
        let ended = if is_still {
            Some(TakingEnd::Quiet)
        } else if is_whole && vain_rounds >= VAIN_ROUNDS {
            Some(TakingEnd::NothingCame)
        } else {
            (passed_ticks >= most_ticks).then_some(TakingEnd::Bound)
        };
        if let Some(ended) = ended {
            return taking.found(&view, passed_ticks, ended);
        }
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
    network: &'d Network,
    declared: &'d Declarations,
    /// Nothing is done in it.
    setup: &'d Setup,
    second_ticks: u64,
    /// Before whatever is done next.
    engine: Engine<'d>,
    /// Items taken, for each declaration.
    taken: Vec<u64>,
}

/// What happened in a round.
struct Round {
    has_asked: bool,
    has_moved: bool,
    has_taken: bool,
}

impl Taking<'_> {
    /// Goes on for so long: boxes are asked for, and every second all open places are emptied.
    ///
    /// A long round is made in steps, so that what is to be done never fills the memory.
    fn round(&mut self, ticks: u64) -> Round {
        let open = self.declared.open.iter();
        let places: BTreeSet<PartId> = open.flat_map(|open| &open.parts).copied().collect();
        let start = self.engine.tick();
        let mut asked = self.asked(&places);
        let mut round = Round {
            has_asked: !asked.is_empty(),
            has_moved: false,
            has_taken: false,
        };
        let step_ticks = ROUND_SECONDS * self.second_ticks.max(1);
        let mut watch = Watch::new(&self.declared.open);
        for from in (0..ticks).step_by(usize::try_from(step_ticks).unwrap_or(usize::MAX)) {
            let until = (from + step_ticks).min(ticks);
            let mut entries: Vec<(Tick, Action)> = asked
                .drain(..)
                .map(|action| (start + from, action))
                .collect();
            let mut second = from;
            while second + self.second_ticks <= ticks && second < until {
                entries.extend(places.iter().map(|place| {
                    let count = u32::MAX;
                    let place = *place;
                    (start + second, Action::Withdraw { place, count })
                }));
                second += self.second_ticks;
            }
            let setup = Setup {
                timeline: Timeline::new(entries),
                ..self.setup.clone()
            };
            let mut engine = Engine::branch(self.network, &setup, &self.engine);
            engine.run_until(start + until, &mut watch);
            self.engine = Engine::branch_anew(self.network, self.setup, &engine);
        }
        for (sum, taken) in self.taken.iter_mut().zip(&watch.taken) {
            *sum += taken;
        }
        round.has_moved = watch.has_moved;
        round.has_taken = watch.has_taken;
        round
    }

    /// Requests for all boxes that are left.
    fn asked(&self, places: &BTreeSet<PartId>) -> Vec<Action> {
        let desks = self.declared.desks.iter();
        desks
            .filter_map(|desk| ask_for_all(desk, places, &self.engine.view()))
            .collect()
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
