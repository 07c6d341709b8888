//! What a view shows is what the events reported: reports that count events and reports that look at the
//! state cannot contradict each other.

use std::collections::BTreeMap;

use hallwright_core::engine::{Engine, ShuttlePosition, View};
use hallwright_core::event::{Event, Moment, Observer, StackId};
use hallwright_core::id::{KindId, PartId};
use hallwright_core::network::Network;
use hallwright_core::part::Part;
use hallwright_core::slot::Stack;
use hallwright_core::tick::Tick;
use hallwright_swarm::generate::generate;
use proptest::prelude::*;
use proptest::test_runner::RngSeed;

type Contents = BTreeMap<KindId, i64>;

/// Keeps its own books from the events alone, and compares them with the view.
#[derive(Default)]
struct Bookkeeper {
    held: BTreeMap<PartId, Contents>,
    loose: BTreeMap<StackId, i64>,
    /// When each loose stack is to be lost, as the view announced it last.
    lost_at: BTreeMap<StackId, Tick>,
}

fn sum(stacks: impl Iterator<Item = Option<Stack>>) -> Contents {
    let mut contents = Contents::new();
    for stack in stacks.flatten() {
        *contents.entry(stack.item.kind).or_default() += i64::from(stack.count);
    }
    contents
}

/// What a part holds now. A bench holds what its box holds, a place nothing of its own.
fn shown(view: &View<'_>, part: PartId) -> Option<Contents> {
    match view.network().part(part) {
        Part::Container(_) | Part::Hopper(_) | Part::Dropper(_) | Part::Shuttle(_) => {
            Some(view.slots(part).map(sum).unwrap_or_default())
        }
        Part::Selector(_) => {
            let mut contents = Contents::new();
            for queued in view.queue(part) {
                *contents.entry(queued.item.kind).or_default() += 1;
            }
            Some(contents)
        }
        _ => None,
    }
}

impl Bookkeeper {
    fn new(view: &View<'_>) -> Self {
        let network = view.network();
        let held = network
            .part_ids()
            .filter_map(|part| Some((part, shown(view, part)?)))
            .collect();
        Self {
            held,
            ..Self::default()
        }
    }

    /// Books items in (or out) of a part. What goes to a place goes into the shuttle that is docked.
    fn book(&mut self, view: &View<'_>, part: PartId, kind: KindId, count: i64) {
        let holder = match view.network().part(part) {
            Part::Dock => view.shuttle_at(part),
            Part::Bench(_) | Part::Mouth | Part::Stream(_) => None,
            _ => Some(part),
        };
        if let Some(holder) = holder {
            let contents = self.held.entry(holder).or_default();
            *contents.entry(kind).or_default() += count;
            contents.retain(|_, count| *count != 0);
            assert_eq!(shown(view, holder).as_ref(), Some(&*contents), "{holder}");
        }
    }

    fn compare_loose(&mut self, view: &View<'_>) {
        let shown: BTreeMap<StackId, i64> = view
            .loose_stacks()
            .map(|stack| (stack.id, i64::from(stack.count)))
            .collect();
        assert_eq!(shown, self.loose);
        self.lost_at = view
            .loose_stacks()
            .map(|stack| (stack.id, stack.lost_at))
            .collect();
    }

    fn compare_everything(&mut self, view: &View<'_>) {
        for (part, contents) in &self.held {
            assert_eq!(shown(view, *part).as_ref(), Some(contents), "{part}");
        }
        self.compare_loose(view);
    }

    fn moved(&mut self, view: &View<'_>, event: &Event) {
        match *event {
            // The view shows the state after the move: both books must have it first.
            Event::ItemMoved { from, to, item } => {
                self.book(view, from, item.kind, -1);
                self.book(view, to, item.kind, 1);
            }
            Event::Delivered { place, kind, count } => {
                self.book(view, place, kind, i64::from(count));
            }
            Event::Withdrawn { place, item, count } => {
                self.book(view, place, item.kind, -i64::from(count));
            }
            Event::Thrown { dropper, item } => self.book(view, dropper, item.kind, -1),
            Event::BoxSet {
                dispenser,
                bench,
                item,
            } => {
                self.book(view, dispenser, item.kind, -1);
                assert_eq!(view.box_on_bench(bench), Some(item));
            }
            Event::BoxLifted { bench, .. } => assert_eq!(view.box_on_bench(bench), None),
            Event::Collected {
                hopper,
                stack,
                item,
                count,
            } => {
                self.book(view, hopper, item.kind, i64::from(count));
                let left = self.loose.entry(stack).or_default();
                *left -= i64::from(count);
                if *left == 0 {
                    self.loose.remove(&stack);
                }
            }
            _ => {}
        }
    }

    fn came_and_went(&mut self, moment: Moment, view: &View<'_>, event: &Event) {
        match *event {
            Event::CameLoose { stack, count, .. } => {
                self.loose.insert(stack, count.into());
                self.compare_loose(view);
            }
            Event::Merged {
                stack, into, count, ..
            } => {
                assert_eq!(self.loose.remove(&stack), Some(count.into()));
                *self.loose.entry(into).or_default() += i64::from(count);
                self.compare_loose(view);
            }
            Event::Lost { stack, count, .. } => {
                assert_eq!(self.loose.remove(&stack), Some(count.into()));
                assert_eq!(self.lost_at.get(&stack), Some(&moment.tick));
                self.compare_loose(view);
            }
            Event::Docked { shuttle, place } => {
                assert_eq!(view.shuttle_at(place), Some(shuttle));
                let position = view.shuttle_position(shuttle);
                let since = moment.tick;
                let is_so =
                    matches!(position, ShuttlePosition::Docked { since: s, .. } if s == since);
                assert!(is_so, "{position:?}");
            }
            Event::Departed { shuttle, place } => {
                assert_eq!(view.shuttle_at(place), None);
                let position = view.shuttle_position(shuttle);
                let is_so = matches!(position, ShuttlePosition::UnderWay { .. });
                assert!(is_so, "{position:?}");
            }
            _ => {}
        }
    }
}

impl Observer for Bookkeeper {
    fn event(&mut self, moment: Moment, event: &Event, view: &View<'_>) {
        assert_eq!(view.tick(), moment.tick);
        match *event {
            Event::SignalChanged { signal, level } => assert_eq!(view.level(signal), level),
            Event::Locked { part } => assert!(view.is_locked(part)),
            Event::Unlocked { part } => assert!(!view.is_locked(part)),
            _ => {
                self.moved(view, event);
                self.came_and_went(moment, view, event);
            }
        }
    }

    fn ticks_passed(&mut self, _from: Tick, until: Tick, _work_per_tick: u64, view: &View<'_>) {
        assert_eq!(view.tick(), until);
        self.compare_everything(view);
        assert_locks(view.network(), view);
    }
}

/// A part is locked just while its lock is on.
fn assert_locks(network: &Network, view: &View<'_>) {
    for (id, part) in network.parts() {
        let lock = match part {
            Part::Hopper(hopper) => hopper.lock,
            Part::Selector(selector) => selector.lock,
            _ => continue,
        };
        let is_on = lock.is_some_and(|lock| view.level(lock) > 0);
        assert_eq!(view.is_locked(id), is_on, "{id}");
    }
}

proptest! {
    #![proptest_config(ProptestConfig {
        cases: 256,
        failure_persistence: None,
        rng_seed: RngSeed::Fixed(2),
        ..ProptestConfig::default()
    })]

    #[test]
    fn the_view_shows_what_the_events_reported(seed: u64) {
        let blueprint = generate(seed);
        let (network, setup) = blueprint.build().expect("every drawn network is sound");
        let mut engine = Engine::new(&network, &setup);
        let mut bookkeeper = Bookkeeper::new(&engine.view());
        engine.run_until(Tick(blueprint.length_ticks), &mut bookkeeper);
    }
}
