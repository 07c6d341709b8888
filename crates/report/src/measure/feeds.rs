//! What waits one link before each flow: items that may enter it as soon as it takes them.
//!
//! A flow is slow where goods wait for it, and nowhere else: what has not come yet no hall can pass
//! on. So each part that hands items right into a flow is watched, and the stretches of time are kept
//! in which some item that the flow counts, and that the way into it can carry, lies in one of them at
//! the beginning of every tick.

use std::ops::Range;

use hallwright_analysis::ways::{WayKind, Ways};
use hallwright_core::asks::Holding;
use hallwright_core::engine::View;
use hallwright_core::id::{KindId, PartId};
use hallwright_core::slot::{Item, Stack};
use hallwright_core::tick::Tick;
use hallwright_declared::declarations::{Declarations, Flow, Stop};
use serde::{Deserialize, Serialize};

use super::ledger::Move;
use hallwright_analysis::groups::Groups;

/// Ticks in a row; each of them begins with goods that wait.
pub(crate) type Stretch = Range<Tick>;

/// Watches the parts that hand items into flows.
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(crate) struct Feeds {
    feeds: Vec<Feed>,
    /// The parts of the feeds, by their numbers.
    groups: Groups,
    flows: Vec<Fed>,
    /// The feeds at which something changed in this tick.
    touched: Vec<usize>,
}

/// A part that hands items into a flow.
#[derive(Clone, PartialEq, Serialize, Deserialize)]
struct Feed {
    flow: usize,
    part: PartId,
    gates: Vec<Gate>,
    /// What the part holds for itself if it is a declared sieve, slot for slot.
    own_filling: Vec<Option<(KindId, u8)>>,
    waits: bool,
    is_touched: bool,
}

/// One way from a feed into its flow.
#[derive(Clone, PartialEq, Eq, Debug, Serialize, Deserialize)]
struct Gate {
    kind: WayKind,
    by: Option<PartId>,
    /// The kinds that what stands there can ever take; `None` for all.
    takes: Option<Vec<KindId>>,
}

/// A flow, as its feeds see it.
#[derive(Clone, PartialEq, Serialize, Deserialize)]
struct Fed {
    /// Whether each kind is counted; empty for all.
    kinds: Vec<bool>,
    /// How many of its feeds hold something that may enter.
    waiting_feeds: usize,
    /// The first tick that begins with goods that have waited ever since.
    since: Option<Tick>,
    stretches: Vec<Stretch>,
}

impl Feeds {
    /// The feeds of all flows as they are before tick 0.
    pub(crate) fn new(declared: &Declarations, view: &View<'_>) -> Self {
        let mut found = Self {
            feeds: Vec::new(),
            groups: Groups::new(view.network().part_count(), []),
            flows: Vec::new(),
            touched: Vec::new(),
        };
        if declared.flows.is_empty() {
            return found;
        }
        let ways = Ways::new(view.network());
        for (number, flow) in declared.flows.iter().enumerate() {
            found.add(number, flow, &declared.sieves, &ways, view);
        }
        let parts = found.feeds.iter().map(|feed| feed.part);
        let parts: Vec<PartId> = parts.collect();
        let each = parts.iter().map(std::slice::from_ref);
        found.groups = Groups::new(view.network().part_count(), each);
        found.touched = (0..found.feeds.len()).collect();
        found.look(Tick(0), view);
        found
    }

    fn add(&mut self, number: usize, flow: &Flow, sieves: &[PartId], ways: &Ways, view: &View<'_>) {
        let network = view.network();
        let mut kinds = Vec::new();
        if !flow.kinds.is_empty() {
            kinds = vec![false; network.kinds().len()];
            for kind in &flow.kinds {
                kinds[kind.index()] = true;
            }
        }
        self.flows.push(Fed {
            kinds,
            waiting_feeds: 0,
            since: None,
            stretches: Vec::new(),
        });
        let is_inside = inside(flow, view);
        let mut entries: Vec<_> = ways
            .iter()
            .filter(|way| counts(way.kind) && is_inside[way.to] && !is_inside[way.from])
            .collect();
        entries.sort_by_key(|way| way.from);
        for entries in entries.chunk_by(|one, other| one.from == other.from) {
            let part = PartId::from_index(entries[0].from);
            let gates = entries.iter().map(|way| Gate {
                kind: way.kind,
                by: way.by,
                takes: ever_taken(PartId::from_index(way.to), sieves, view),
            });
            self.feeds.push(Feed {
                flow: number,
                part,
                gates: gates.collect(),
                own_filling: match sieves.contains(&part) {
                    true => filling(part, view),
                    false => Vec::new(),
                },
                waits: false,
                is_touched: true,
            });
        }
    }

    /// The parts that it watches, by feed.
    pub(crate) fn groups(&self) -> &Groups {
        &self.groups
    }

    pub(crate) fn moved(&mut self, moved: &Move) {
        let is_whole = moved.item.is_none();
        for (spot, comes) in [(moved.from, false), (moved.to, true)] {
            let Some(spot) = spot else { continue };
            for number in self.groups.of_spot(spot) {
                let feed = &mut self.feeds[number];
                // What comes ends no wait, and what goes begins none.
                if (is_whole || feed.waits != comes) && !feed.is_touched {
                    feed.is_touched = true;
                    self.touched.push(number);
                }
            }
        }
    }

    /// The tick is over.
    pub(crate) fn end_tick(&mut self, tick: Tick, view: &View<'_>) {
        if !self.touched.is_empty() {
            self.look(tick + 1, view);
        }
    }

    /// Looks again where something changed, at the beginning of a tick.
    fn look(&mut self, now: Tick, view: &View<'_>) {
        let touched = std::mem::take(&mut self.touched);
        for number in &touched {
            let feed = &mut self.feeds[*number];
            let fed = &mut self.flows[feed.flow];
            let waits = feed.holds_goods(fed, view);
            // What is still on its way along a stream comes to rest without an event.
            feed.is_touched = !waits && feed.expects_loose(view);
            if feed.is_touched {
                self.touched.push(*number);
            }
            match (std::mem::replace(&mut feed.waits, waits), waits) {
                (false, true) => fed.waiting_feeds += 1,
                (true, false) => fed.waiting_feeds -= 1,
                _ => {}
            }
        }
        for number in &touched {
            let fed = &mut self.flows[self.feeds[*number].flow];
            match (fed.since, fed.waiting_feeds) {
                (None, 1..) => fed.since = Some(now),
                (Some(since), 0) => {
                    fed.since = None;
                    fed.stretches.push(since..now);
                }
                _ => {}
            }
        }
    }

    /// For each flow, the stretches in which goods waited for it and the hall was not stopped, up to
    /// the end of the run.
    pub(crate) fn finish(self, stops: &[Stop], end: Tick) -> Vec<Vec<Stretch>> {
        let flows = self.flows.into_iter().map(|mut fed| {
            fed.stretches.extend(fed.since.map(|since| since..end));
            without_stops(fed.stretches, stops)
        });
        flows.collect()
    }
}

impl Feed {
    /// Whether it holds an item that may enter its flow.
    fn holds_goods(&self, fed: &Fed, view: &View<'_>) -> bool {
        let may_enter = |item: Item| {
            let is_counted = fed.kinds.is_empty() || fed.kinds[item.kind.index()];
            is_counted && self.gates.iter().any(|gate| gate.lets(item, view))
        };
        match view.network().part(self.part).holding() {
            Holding::Queue => view.queue(self.part).any(|queued| may_enter(queued.item)),
            Holding::Loose => view
                .loose_stacks()
                .any(|stack| stack.at_rest && stack.mouth == self.part && may_enter(stack.item)),
            Holding::Box | Holding::Slots | Holding::Docked => {
                let standing = match view.network().part(self.part).holding() {
                    Holding::Box => view.box_on_bench(self.part),
                    _ => None,
                };
                let is_lifted = |gate: &Gate| gate.kind == WayKind::Lift;
                if standing.is_some() && self.gates.iter().any(is_lifted) {
                    return standing.is_some_and(may_enter);
                }
                let slots = view.slots(self.part).into_iter().flatten().enumerate();
                let mut goods = slots.filter_map(|(slot, stack)| self.goods(slot, stack?));
                goods.any(may_enter)
            }
            Holding::Nothing => false,
        }
    }

    /// What of a stack is goods: all that is not the sieve's own.
    fn goods(&self, slot: usize, stack: Stack) -> Option<Item> {
        let own = self.own_filling.get(slot).copied().flatten();
        let kept = own.map_or(
            0,
            |(kind, count)| {
                if kind == stack.item.kind { count } else { 0 }
            },
        );
        (stack.count > kept).then_some(stack.item)
    }

    /// Whether something loose is on its way to it.
    fn expects_loose(&self, view: &View<'_>) -> bool {
        let is_loose = view.network().part(self.part).holding() == Holding::Loose;
        let mut stacks = view.loose_stacks();
        is_loose && stacks.any(|stack| !stack.at_rest && stack.mouth == self.part)
    }
}

impl Gate {
    fn lets(&self, item: Item, view: &View<'_>) -> bool {
        if self
            .takes
            .as_ref()
            .is_some_and(|kinds| !kinds.contains(&item.kind))
        {
            return false;
        }
        let is_match = |selector| view.is_match(selector, item);
        let is_box = view.network().kind(item.kind).is_box;
        match self.kind {
            WayKind::Match => self.by.is_none_or(is_match),
            WayKind::Rest => !self.by.is_some_and(is_match),
            WayKind::SetDown => is_box,
            WayKind::ThrowPast => !is_box,
            _ => true,
        }
    }
}

/// Whether what goes along such a way is counted by a flow at its end. What lies in shuttles and in
/// boxes is at the place and on the bench already.
fn counts(kind: WayKind) -> bool {
    kind.is_hop() && !kind.is_short_cut() && kind != WayKind::Flow || kind == WayKind::ThrowPast
}

/// Whether each node is inside the flow: one of its parts, or a stream to one of its mouths, for what
/// comes loose there counts as being at the mouth.
fn inside(flow: &Flow, view: &View<'_>) -> Vec<bool> {
    let network = view.network();
    // One node more is that of what lies in boxes.
    let mut is_inside = vec![false; network.part_count() + 1];
    for part in &flow.into {
        is_inside[part.index()] = true;
    }
    for (id, part) in network.parts() {
        if let Some(stream) = part.stream()
            && is_inside[stream.mouth.index()]
        {
            is_inside[id.index()] = true;
        }
    }
    is_inside
}

/// The kinds that a part can ever take; `None` for all. A sieve without a free slot takes what its
/// slots hold.
fn ever_taken(part: PartId, sieves: &[PartId], view: &View<'_>) -> Option<Vec<KindId>> {
    if !sieves.contains(&part) {
        return None;
    }
    let filling = filling(part, view).into_iter();
    filling.map(|slot| slot.map(|(kind, _)| kind)).collect()
}

fn filling(part: PartId, view: &View<'_>) -> Vec<Option<(KindId, u8)>> {
    let slots = view.slots(part).into_iter().flatten();
    slots
        .map(|slot| slot.map(|stack| (stack.item.kind, stack.count)))
        .collect()
}

/// What is left of some stretches, in order, when the stops are taken out, each until its restart.
fn without_stops(stretches: Vec<Stretch>, stops: &[Stop]) -> Vec<Stretch> {
    let mut left = stretches;
    for stop in stops {
        let restart = stop.restart.as_ref();
        let until = restart.map_or(Tick(u64::MAX), |restart| stop.at + restart.after_ticks);
        let pieces = left.into_iter().flat_map(|stretch| {
            let before = stretch.start..stretch.end.min(stop.at);
            let after = stretch.start.max(until)..stretch.end;
            [before, after]
        });
        left = pieces.filter(|piece| piece.start < piece.end).collect();
    }
    left
}

#[cfg(test)]
mod tests {
    use super::*;
    use hallwright_declared::declarations::Restart;

    #[test]
    fn a_stop_cuts_a_stretch_in_two() {
        let stop = |at, restart: Option<u64>| Stop {
            at: Tick(at),
            actions: Vec::new(),
            restart: restart.map(|after_ticks| Restart {
                after_ticks,
                actions: Vec::new(),
            }),
        };
        let stops = [stop(100, Some(50)), stop(300, None)];
        let all = vec![Tick(0)..Tick(90), Tick(95)..Tick(200), Tick(290)..Tick(400)];
        assert_eq!(
            without_stops(all, &stops),
            [
                Tick(0)..Tick(90),
                Tick(95)..Tick(100),
                Tick(150)..Tick(200),
                Tick(290)..Tick(300)
            ]
        );
    }
}
