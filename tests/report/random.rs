//! Random networks, measured the slow way too: by looking at everything at the end of every tick.

use hallwright_core::engine::View;
use hallwright_core::event::{Event, Moment, Observer};
use hallwright_core::id::{KindId, PartId};
use hallwright_core::network::Network;
use hallwright_core::part::{Part, Signal};
use hallwright_core::slot::{Filling, Item, Stack};
use hallwright_core::tick::Tick;
use hallwright_declared::declarations::{Declarations, Section, Stop, Store, StorePurpose};
use hallwright_report::findings::{Findings, OverflowReason};
use hallwright_report::{RunInput, run_observed};
use hallwright_swarm::generate::generate;

/// How many networks are drawn.
const NETWORKS: u64 = 1_500;

/// Looks at every part of every section at the end of every tick.
struct Slow<'d> {
    declared: &'d Declarations,
    stop_at: Tick,
    /// For each section: the tick of its last item, the most it held and when that began.
    sections: Vec<Seen>,
    work_units: u64,
    is_any_loose: bool,
    passed_by: u64,
    last_item_event: Option<Tick>,
}

#[derive(Clone, Default)]
struct Seen {
    /// The first tick since the stop from whose end on nothing was held.
    cleared_at: Option<Tick>,
    /// The ticks since the stop in which something came into the empty line.
    refills: Vec<Tick>,
    items: u64,
    peak: u64,
    peak_at: Tick,
    queue_items: u64,
    locked_hopper_ticks: u64,
}

impl Slow<'_> {
    fn is_overflow(&self, part: PartId) -> bool {
        let stores = self.declared.stores.iter();
        let mut overflow = stores.filter(|store| store.purpose == StorePurpose::Overflow);
        overflow.any(|store| store.parts.contains(&part))
    }

    /// Whether any slice that takes everything the item is, or holds, has room for it.
    fn has_room(&self, item: Item, view: &View<'_>) -> bool {
        let inside = item.box_id.map(|box_id| view.box_slots(box_id));
        let inside = inside.into_iter().flatten().flatten();
        let mut kinds: Vec<KindId> = inside.map(|stack| stack.item.kind).collect();
        if kinds.is_empty() {
            kinds.push(item.kind);
        }
        let limit = view.network().kind(item.kind).stack_limit.items();
        let stores = self.declared.stores.iter();
        let mut slices = stores.filter(|store| {
            store.purpose == StorePurpose::Slice
                && kinds.iter().all(|kind| store.takes.contains(kind))
        });
        slices.any(|store| {
            let slots = store.parts.iter().flat_map(|part| view.slots(*part));
            slots.flatten().any(|slot| {
                slot.is_none_or(|stack| stack.item.kind == item.kind && stack.count < limit)
            })
        })
    }
}

impl Observer for Slow<'_> {
    fn event(&mut self, moment: Moment, event: &Event, view: &View<'_>) {
        if event.is_item_event() {
            self.last_item_event = Some(moment.tick);
        }
        if let Event::ItemMoved { from, to, item } = *event
            && self.is_overflow(to)
            && !self.is_overflow(from)
            && self.has_room(item, view)
        {
            self.passed_by += 1;
        }
    }

    fn ticks_passed(&mut self, from: Tick, until: Tick, work_per_tick: u64, view: &View<'_>) {
        self.work_units += work_per_tick * (until - from);
        self.is_any_loose = view.loose_stacks().next().is_some();
        for (section, seen) in self.declared.sections.iter().zip(&mut self.sections) {
            let was_empty = seen.items == 0;
            seen.items = items_at(&section.line, view);
            if was_empty && seen.items > 0 && from >= self.stop_at {
                seen.refills.push(from);
            }
            seen.queue_items = items_at(&section.queue, view);
            let all = seen.items + seen.queue_items;
            if all > seen.peak {
                seen.peak = all;
                seen.peak_at = from;
            }
            if seen.items > 0 {
                seen.cleared_at = None;
            } else {
                seen.cleared_at.get_or_insert(from.max(self.stop_at));
            }
            let locked = section.locked.iter().filter(|part| view.is_locked(**part));
            seen.locked_hopper_ticks += locked.count() as u64 * (until - from);
        }
    }
}

/// Items in some parts, a box in a slot counting as one; loose stacks by where they came loose.
fn items_at(parts: &[PartId], view: &View<'_>) -> u64 {
    let mut sum = 0;
    for part in parts {
        if matches!(view.network().part(*part), Part::Dock) {
            // Where its shuttle is listed as well, it is counted there.
            if view
                .shuttle_at(*part)
                .is_some_and(|shuttle| parts.contains(&shuttle))
            {
                continue;
            }
        }
        let stacks = view.slots(*part).into_iter().flatten().flatten();
        sum += stacks
            .map(|stack: Stack| u64::from(stack.count))
            .sum::<u64>();
        match view.network().part(*part) {
            Part::Bench(_) => sum += u64::from(view.box_on_bench(*part).is_some()),
            Part::Selector(_) => sum += view.queue(*part).len() as u64,
            _ => {}
        }
    }
    let loose = view
        .loose_stacks()
        .filter(|stack| parts.contains(&stack.place) || parts.contains(&stack.mouth));
    sum + loose.map(|stack| u64::from(stack.count)).sum::<u64>()
}

/// Everything there at the start, what boxes hold included.
fn start_items(network: &Network) -> u64 {
    fn items(filling: &Filling) -> u64 {
        let inside: u64 = filling.contents.iter().map(items).sum();
        u64::from(filling.count) + inside
    }
    network
        .fillings()
        .iter()
        .map(|(_, filling)| items(filling))
        .sum()
}

/// Every part that holds items belongs to one of three sections, hoppers every second one to the
/// queue instead of the line; half of the hoppers are sieves. Of four containers one belongs to a line, one is overflow, two are
/// slices for the first kind.
fn declare(network: &Network, stop_at: u64) -> Declarations {
    let mut declared = Declarations::default();
    for name in ["first", "second", "third"] {
        declared.sections.push(Section {
            name: name.to_owned(),
            line: Vec::new(),
            queue: Vec::new(),
            locked: Vec::new(),
            call: None,
            returns: Vec::new(),
            width_blocks: None,
        });
    }
    for (id, part) in network.parts() {
        let index = id.index();
        let section = &mut declared.sections[index % 3];
        match part {
            Part::Signal(_) => {}
            Part::Hopper(_) => {
                section.locked.push(id);
                let place = if index % 2 == 0 {
                    &mut section.line
                } else {
                    &mut section.queue
                };
                place.push(id);
                if index % 4 < 2 {
                    declared.sieves.push(id);
                }
            }
            Part::Container(_) if index % 4 > 0 => {
                let is_overflow = index % 2 == 0;
                declared.stores.push(Store {
                    name: network.name(id).to_owned(),
                    parts: vec![id],
                    takes: vec![KindId::from_index(0)],
                    purpose: if is_overflow {
                        StorePurpose::Overflow
                    } else {
                        StorePurpose::Slice
                    },
                });
            }
            _ => section.line.push(id),
        }
    }
    declared.stops.push(Stop {
        at: Tick(stop_at),
        actions: Vec::new(),
        restart: None,
    });
    declared
}

/// What both ways of measuring found on one network.
struct Compared {
    cleared: u64,
    never: u64,
    passed_by: u64,
}

fn compare(seed: u64) -> Option<Compared> {
    let blueprint = generate(seed);
    let (network, setup) = blueprint.build().ok()?;
    let stop_at = blueprint.length_ticks / 2;
    let declared = declare(&network, stop_at);
    let input = RunInput {
        network: &network,
        timeline: &setup.timeline,
        seed: setup.seed,
        orders: setup.orders.clone(),
        run_ticks: blueprint.length_ticks,
        declarations: &declared,
    };
    let mut slow = Slow {
        declared: &declared,
        stop_at: Tick(stop_at),
        sections: vec![Seen::default(); 3],
        work_units: 0,
        is_any_loose: false,
        passed_by: 0,
        last_item_event: None,
    };
    let found = run_observed(&input, &mut slow, &mut |_| {});
    assert_eq!(found.cost.work_units, slow.work_units, "seed {seed}");
    let mut compared = Compared {
        cleared: 0,
        never: 0,
        passed_by: slow.passed_by,
    };
    for (index, seen) in slow.sections.iter().enumerate() {
        let section = &found.sections[index];
        let backlog = &section.backlog;
        let waiting = seen.items + seen.queue_items;
        assert_eq!(backlog.final_items, waiting, "seed {seed}");
        // The report also knows the state before the first tick.
        let is_start = backlog.peak_at == Tick(0) && backlog.peak_items >= seen.peak;
        let is_same = (backlog.peak_items, backlog.peak_at) == (seen.peak, seen.peak_at);
        assert!(is_start || is_same, "seed {seed}: {backlog:?}");
        let locked = seen.locked_hopper_ticks;
        assert_eq!(section.lock_cover.part, locked, "seed {seed}");
        let ticks = seen.cleared_at.map(|at| at.0 - stop_at);
        let marks = &found.stops[0].sections[index].marks;
        // A mark in the last moments is none unless nothing is due any more.
        let is_late = |at: Tick| blueprint.length_ticks - at.0 < longest_beat_ticks(&network);
        // So is one in a line that fills again and again.
        let fills_again = match seen.refills.as_slice() {
            [.., before, last] => blueprint.length_ticks <= last.0 + (last.0 - before.0),
            _ => false,
        };
        let may_be_withheld = fills_again || seen.cleared_at.is_some_and(is_late);
        if marks.cleared_ticks.is_some() || !may_be_withheld {
            assert_eq!(marks.cleared_ticks, ticks, "seed {seed}, section {index}");
        }
        match ticks {
            Some(_) => compared.cleared += 1,
            None => compared.never += 1,
        }
    }
    let all = &found.stops[0].all;
    if slow.is_any_loose {
        assert_eq!(all.safe_to_close_ticks, None, "seed {seed}");
        assert_eq!(all.quiet.ticks, None, "seed {seed}");
    }
    if let Some(ticks) = all.quiet.ticks {
        let last = slow.last_item_event.map_or(0, |last| last.0);
        assert_eq!(ticks, last.saturating_sub(stop_at), "seed {seed}");
    }
    let passed_by = found.overflow.items(OverflowReason::PassedBy);
    assert_eq!(passed_by, slow.passed_by, "seed {seed}");
    adds_up(seed, &network, &found);
    Some(compared)
}

/// The longest period of a clock, a cooldown at least.
fn longest_beat_ticks(network: &Network) -> u64 {
    let rules = network.rules();
    let period = |part: &Part| match part {
        Part::Signal(Signal::Clock { period_ticks, .. }) => *period_ticks,
        _ => 0,
    };
    let longest = network
        .parts()
        .map(|(_, part)| period(part))
        .max()
        .unwrap_or(0);
    longest
        .max(rules.cooldown_ticks)
        .max(rules.arrival_ticks)
        .into()
}

/// Nothing is found that was not there, and everything that was there is found.
fn adds_up(seed: u64, network: &Network, found: &Findings) {
    let here = &found.whereabouts;
    let everywhere = here.sorted_items
        + here.misplaced_items
        + here.overflow_items
        + here.sieve_items
        + here.loose_items
        + here.in_lines_items
        + here.lost_items
        + here.withdrawn_items;
    let expected = start_items(network) + here.delivered_items;
    assert_eq!(everywhere, expected, "seed {seed}");
    assert_eq!(found.loss.items, here.lost_items, "seed {seed}");
    let misplaced = found.misplaced_items();
    assert_eq!(misplaced, here.misplaced_items, "seed {seed}");
}

#[test]
fn measuring_by_events_gives_what_looking_at_everything_gives() {
    let compared: Vec<Compared> = (0..NETWORKS).filter_map(compare).collect();
    // All of it must have been met often, or the comparison says little.
    let sum = |of: fn(&Compared) -> u64| compared.iter().map(of).sum::<u64>();
    assert!(sum(|compared| compared.cleared) > 100);
    assert!(sum(|compared| compared.never) > 100);
    assert!(sum(|compared| compared.passed_by) > 100);
}
