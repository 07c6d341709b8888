//! What the curves of a run's picture show: a number for every tick, exact.

use hallwright_core::engine::View;
use hallwright_core::event::{Event, Moment, Observer};
use hallwright_core::tick::Tick;
use hallwright_declared::declarations::Declarations;

use super::ledger::{Ledger, Move};
use super::sections::Sections;
use hallwright_analysis::groups::Groups;

/// The most numbers in a series; of a longer run only every so many ticks have one.
const MOST_NUMBERS: u64 = 40_000;

/// Numbers at the ends of ticks `step_ticks - 1`, `2 * step_ticks - 1` and so on.
#[derive(Clone, PartialEq, Eq, Debug, Default)]
pub struct Series {
    /// Ticks between two numbers.
    pub step_ticks: u64,
    /// Items waiting in each section, in the order of declaration: the most in the step.
    pub backlog_items: Vec<Vec<u64>>,
    /// Hoppers that are not locked: the most in the step.
    pub unlocked_hoppers: Vec<u64>,
    /// Loose stacks: the most in the step.
    pub loose_stacks: Vec<u64>,
    /// Work units in a tick: the most in the step.
    pub work_units: Vec<u64>,
    /// Items counted by each flow since the start, in the order of declaration.
    pub counted_items: Vec<Vec<u64>>,
}

/// Watches a run for its curves.
pub struct SeriesWatch<'d> {
    declared: &'d Declarations,
    ledger: Ledger,
    sections: Sections,
    flows: Groups,
    series: Series,
    now: Now,
}

/// The numbers as they are now, and the most of them in the step so far.
#[derive(Default)]
struct Now {
    backlog_items: Vec<u64>,
    unlocked_hoppers: [u64; 2],
    loose_stacks: [u64; 2],
    work_units: u64,
    counted_items: Vec<u64>,
    next_number: u64,
}

impl<'d> SeriesWatch<'d> {
    /// Begins before tick 0.
    pub fn new(declared: &'d Declarations, run_ticks: u64, view: &View<'_>) -> Self {
        let network = view.network();
        let ledger = Ledger::new(view);
        let sections = Sections::new(&declared.sections, &ledger, view);
        let unlocked = network
            .parts()
            .filter(|(id, part)| part.hopper().is_some() && !view.is_locked(*id));
        let unlocked = unlocked.count() as u64;
        let step_ticks = run_ticks.div_ceil(MOST_NUMBERS).max(1);
        Self {
            declared,
            flows: Groups::new(
                network.part_count(),
                declared.flows.iter().map(|flow| flow.into.as_slice()),
            ),
            series: Series {
                step_ticks,
                backlog_items: vec![Vec::new(); declared.sections.len()],
                counted_items: vec![Vec::new(); declared.flows.len()],
                ..Series::default()
            },
            now: Now {
                backlog_items: vec![0; declared.sections.len()],
                unlocked_hoppers: [unlocked; 2],
                counted_items: vec![0; declared.flows.len()],
                next_number: step_ticks - 1,
                ..Now::default()
            },
            ledger,
            sections,
        }
    }

    /// The series of the run so far.
    pub fn finish(self) -> Series {
        self.series
    }

    fn count(&mut self, moved: &Move) {
        let (Some(to), Some(item)) = (moved.to, moved.item) else {
            return;
        };
        for flow in self.flows.of_spot(to) {
            let kinds = &self.declared.flows[flow].kinds;
            let counted = kinds.is_empty() || kinds.contains(&item.kind);
            let inside = moved
                .from
                .is_some_and(|from| self.flows.contains(from, flow));
            if counted && !inside {
                self.now.counted_items[flow] += match item.box_id {
                    Some(_) => 1,
                    None => moved.arrives,
                };
            }
        }
    }

    fn number(&mut self) {
        let now = &mut self.now;
        for (series, most) in self.series.backlog_items.iter_mut().zip(&now.backlog_items) {
            series.push(*most);
        }
        for (series, sum) in self.series.counted_items.iter_mut().zip(&now.counted_items) {
            series.push(*sum);
        }
        self.series.unlocked_hoppers.push(now.unlocked_hoppers[1]);
        self.series.loose_stacks.push(now.loose_stacks[1]);
        self.series.work_units.push(now.work_units);
        now.next_number += self.series.step_ticks;
        now.unlocked_hoppers[1] = now.unlocked_hoppers[0];
        now.loose_stacks[1] = now.loose_stacks[0];
        now.backlog_items.fill(0);
        now.work_units = 0;
    }
}

impl Observer for SeriesWatch<'_> {
    fn event(&mut self, moment: Moment, event: &Event, view: &View<'_>) {
        let moved = self.ledger.take_up(moment.tick, event, view);
        self.sections
            .take_up(moment.tick, event, moved.as_ref(), view);
        if let Some(moved) = &moved {
            self.count(moved);
        }
        let is_hopper = |part| view.network().part(part).hopper().is_some();
        match *event {
            Event::Locked { part } if is_hopper(part) => self.now.unlocked_hoppers[0] -= 1,
            Event::Unlocked { part } if is_hopper(part) => self.now.unlocked_hoppers[0] += 1,
            _ => {}
        }
    }

    fn ticks_passed(&mut self, from: Tick, until: Tick, work_per_tick: u64, _view: &View<'_>) {
        self.sections.end_tick(from);
        self.sections.begin_tick();
        self.now.loose_stacks[0] = self.ledger.loose().count() as u64;
        let mut tick = from.0;
        while tick < until.0 {
            let states = self.sections.states().iter();
            for (most, state) in self.now.backlog_items.iter_mut().zip(states) {
                *most = (*most).max(state.backlog_items());
            }
            let now = &mut self.now;
            for most in [&mut now.unlocked_hoppers, &mut now.loose_stacks] {
                most[1] = most[1].max(most[0]);
            }
            now.work_units = now.work_units.max(work_per_tick);
            let end = now.next_number;
            if end < until.0 {
                self.number();
                // What was more before is over: the next step begins as it is now.
                self.now.unlocked_hoppers[1] = self.now.unlocked_hoppers[0];
            }
            tick = end.max(tick) + 1;
        }
    }
}
