//! Work, and what droppers do.

use hallwright_core::engine::View;
use hallwright_core::event::{Event, Moment};
use hallwright_core::tick::{Phase, Tick};
use hallwright_declared::declarations::Declarations;
use serde::{Deserialize, Serialize};

use super::load::LoadMeasure;
use crate::build::build_time;
use crate::findings::Cost;

/// Adds up the work and the firings.
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(crate) struct WorkMeasure {
    cost: Cost,
    /// How long the world takes for it, where that is asked for.
    load: Option<LoadMeasure>,
    /// How long after an item event cooldowns still count down.
    settling_ticks: u64,
    /// From this tick on, the work is standing work unless something moves again.
    still_from: Tick,
}

impl WorkMeasure {
    pub(crate) fn new(declared: &Declarations, view: &View<'_>) -> Self {
        let rules = view.network().rules();
        let parts = view.network().parts();
        let hoppers = parts.filter(|(_, part)| part.hopper().is_some()).count() as u64;
        Self {
            cost: Cost {
                hoppers,
                parts: view.network().part_count() as u64,
                width_blocks: declared.width_blocks,
                build: build_time(declared, view.network()),
                ..Cost::default()
            },
            load: declared
                .costs
                .map(|weights| LoadMeasure::new(weights, view)),
            settling_ticks: u64::from(rules.cooldown_ticks.max(rules.arrival_ticks)),
            still_from: Tick(0),
        }
    }

    pub(crate) fn event(&mut self, moment: Moment, event: &Event) {
        if event.is_item_event() {
            self.still_from = moment.tick + 1 + self.settling_ticks;
            self.cost.still_ticks = 0;
            self.cost.still_work_units = 0;
        }
        match *event {
            Event::Clicked { .. } => self.cost.clicks += 1,
            Event::Thrown { .. } => self.cost.throws += 1,
            Event::BoxSet { .. } => self.cost.handed_on += 1,
            // In the phase of signals nothing but droppers moves items.
            Event::ItemMoved { .. } if moment.phase == Phase::Signals => self.cost.handed_on += 1,
            _ => {}
        }
    }

    /// Every event, signals among them, counts for how long the world takes.
    #[inline]
    pub(crate) fn load_event(&mut self, event: &Event, view: &View<'_>) {
        if let Some(load) = &mut self.load {
            load.event(event, view);
        }
    }

    pub(crate) fn ticks_passed(
        &mut self,
        from: Tick,
        until: Tick,
        work_per_tick: u64,
        view: &View<'_>,
    ) {
        if let Some(load) = &mut self.load {
            load.ticks_passed(from, until, view);
        }
        self.cost.work_units += work_per_tick * (until - from);
        self.cost.work_ticks += until - from;
        if work_per_tick > self.cost.peak_work_units {
            self.cost.peak_work_units = work_per_tick;
            self.cost.peak_at = from;
        }
        let still_from = self.still_from.max(from);
        if still_from < until {
            self.cost.still_ticks += until - still_from;
            self.cost.still_work_units += work_per_tick * (until - still_from);
        }
    }

    /// What the work settled at: units and ticks once nothing could happen any more.
    pub(crate) fn settled(&mut self, at_rest: Option<(u64, u64)>) {
        if let Some((units, ticks)) = at_rest {
            self.cost.rest_work_units = units;
            self.cost.rest_ticks = ticks;
        }
    }

    pub(crate) fn finish(self) -> Cost {
        Cost {
            load: self.load.map(LoadMeasure::finish),
            ..self.cost
        }
    }
}
