//! Runs of the engine, and of the reference engine, on the networks of `factories`.

use hallwright_core::engine::{Engine, State, View};
use hallwright_core::event::{Event, Moment, Observer};
use hallwright_core::part::Part;
use hallwright_core::tick::Tick;
use hallwright_reference::ReferenceEngine;

use crate::case::{Case, Memory};
use crate::factories::Workload;
use crate::memory;

/// Counts moves.
#[derive(Default)]
pub(crate) struct Moves(pub(crate) u64);

impl Observer for Moves {
    fn event(&mut self, _: Moment, event: &Event, _: &View<'_>) {
        self.0 += u64::from(is_move(event));
    }
}

fn is_move(event: &Event) -> bool {
    matches!(event, Event::ItemMoved { .. })
}

/// The engine on a workload. The network is kept for as long as the bench runs, since engines borrow it.
pub(crate) struct EngineCase {
    workload: &'static Workload,
    start: State,
    moves: u64,
    memory: Option<Memory>,
}

impl EngineCase {
    /// Runs the ticks before the measured ones, and counts the moves of these.
    pub(crate) fn new(make: impl FnOnce() -> Workload) -> Self {
        let (workload, network_bytes) = memory::counted(|| Box::leak(Box::new(make())));
        let workload: &'static Workload = workload;
        let fresh = || Engine::new(&workload.network, &workload.setup);
        let (mut engine, engine_bytes) = memory::counted(fresh);
        let hoppers = workload.network.parts();
        let hoppers = hoppers.filter(|(_, part)| matches!(part, Part::Hopper(_)));
        let memory = Memory {
            network_bytes,
            engine_bytes,
            item_bytes: memory::slots(&workload.network) * memory::slot_bytes(),
            hoppers: hoppers.count() as u64,
        };
        engine.run_until(Tick(workload.warm_ticks), &mut ());
        let start = engine.save();
        let mut moves = Moves::default();
        engine.run_until(Tick(workload.warm_ticks + workload.ticks), &mut moves);
        Self {
            workload,
            start,
            moves: moves.0,
            memory: Some(memory),
        }
    }
}

impl Case for EngineCase {
    type Input = Engine<'static>;
    type Output = ();

    fn prepare(&self) -> Self::Input {
        match self.workload.warm_ticks {
            0 => Engine::new(&self.workload.network, &self.workload.setup),
            _ => Engine::resume(&self.workload.network, &self.workload.setup, &self.start),
        }
    }

    fn run(&self, engine: &mut Self::Input) {
        let end = Tick(self.workload.warm_ticks + self.workload.ticks);
        engine.run_until(end, &mut ());
    }

    fn amount(&self) -> u64 {
        self.moves
    }

    fn ticks(&self) -> u64 {
        self.workload.ticks
    }

    fn memory(&self) -> Option<Memory> {
        self.memory
    }
}

/// The reference engine on a workload, of a size that it can bear.
pub(crate) struct ReferenceCase {
    start: ReferenceEngine,
    ticks: u64,
    moves: u64,
}

impl ReferenceCase {
    /// Runs the ticks before the measured ones, and counts the moves of these.
    pub(crate) fn new(workload: &Workload) -> Self {
        let engine = ReferenceEngine::new(&workload.network, &workload.setup);
        Self::started(engine, workload.warm_ticks, workload.ticks)
    }

    /// Runs an engine on from its start, and counts the moves.
    pub(crate) fn started(mut engine: ReferenceEngine, warm_ticks: u64, ticks: u64) -> Self {
        for _ in 0..warm_ticks {
            engine.step();
        }
        let start = engine.clone();
        let events = (0..ticks).flat_map(|_| engine.step());
        let moves = events.filter(|(_, event)| is_move(event)).count() as u64;
        Self {
            start,
            ticks,
            moves,
        }
    }
}

impl Case for ReferenceCase {
    type Input = ReferenceEngine;
    type Output = ();

    fn prepare(&self) -> Self::Input {
        self.start.clone()
    }

    fn run(&self, engine: &mut Self::Input) {
        for _ in 0..self.ticks {
            std::hint::black_box(engine.step());
        }
    }

    fn amount(&self) -> u64 {
        self.moves
    }
}
