//! What it costs to watch a run: the granary as its file says, bare, with everything that
//! `hallwright run` reports, and with a trace to a file.

use std::fs::File;

use hallwright_core::engine::Engine;
use hallwright_core::setup::Setup;
use hallwright_core::tick::Tick;
use hallwright_reference::ReferenceEngine;
use hallwright_render::TraceWriter;
use hallwright_report::findings::Findings;
use hallwright_report::{RunInput, run_with_limits, setup_for};
use hallwright_scenario::Scenario;

use crate::case::{Case, Runner};
use crate::engine_cases::{Moves, ReferenceCase};
use crate::scenarios::{run_input, scenario};

/// The granary under load, and what it costs to watch it.
pub(crate) fn granary(runner: &mut impl Runner) {
    runner.case("engine/granary", || Bare(Hall::without_stop()));
    runner.case("reference/granary", || {
        let hall = Hall::without_stop();
        let start = ReferenceEngine::new(&hall.scenario.network, &hall.setup);
        ReferenceCase::started(start, 1_200, 300)
    });
    runner.case("bare/observers", || Bare(Hall::new()));
    runner.case("measured/observers", || Measured(Hall::new()));
    runner.case("traced/observers", || Traced(Hall::new()));
}

/// The granary, ready to run.
struct Hall {
    scenario: &'static Scenario,
    setup: Setup,
    moves: u64,
}

impl Hall {
    /// As its file says: stopped in the middle of everything, and let go on.
    fn new() -> Self {
        let scenario = scenario("granary.ron");
        let setup = setup_for(&run_input(scenario));
        Self::with(scenario, setup)
    }

    /// Never stopped: it works from the beginning to the end.
    fn without_stop() -> Self {
        let scenario = scenario("granary.ron");
        let mut declarations = scenario.declarations.clone();
        declarations.stops.clear();
        let input = RunInput {
            declarations: &declarations,
            ..run_input(scenario)
        };
        Self::with(scenario, setup_for(&input))
    }

    fn with(scenario: &'static Scenario, setup: Setup) -> Self {
        let mut moves = Moves::default();
        let mut engine = Engine::new(&scenario.network, &setup);
        engine.run_until(Tick(scenario.run_ticks), &mut moves);
        Self {
            scenario,
            setup,
            moves: moves.0,
        }
    }

    fn engine(&self) -> Engine<'_> {
        Engine::new(&self.scenario.network, &self.setup)
    }

    fn end(&self) -> Tick {
        Tick(self.scenario.run_ticks)
    }
}

/// The engine alone.
struct Bare(Hall);

impl Case for Bare {
    type Input = ();
    type Output = Tick;

    fn prepare(&self) {}

    fn run(&self, (): &mut ()) -> Tick {
        let mut engine = self.0.engine();
        engine.run_until(self.0.end(), &mut ());
        engine.tick()
    }

    fn amount(&self) -> u64 {
        self.0.moves
    }

    fn ticks(&self) -> u64 {
        self.0.scenario.run_ticks
    }
}

/// What `hallwright run` does: every measurement, the goals, what is left behind, the limits.
struct Measured(Hall);

impl Case for Measured {
    type Input = ();
    type Output = Findings;

    fn prepare(&self) {}

    fn run(&self, (): &mut ()) -> Findings {
        run_with_limits(&run_input(self.0.scenario), &mut (), &mut |_| {})
    }

    fn amount(&self) -> u64 {
        self.0.moves
    }

    fn ticks(&self) -> u64 {
        self.0.scenario.run_ticks
    }
}

/// The engine with a trace to a file, written as `--output trace` writes it.
struct Traced(Hall);

impl Case for Traced {
    type Input = File;
    type Output = File;

    fn prepare(&self) -> File {
        tempfile::tempfile().expect("a file for the trace can be made")
    }

    fn run(&self, file: &mut File) -> File {
        let file = file.try_clone().expect("the file is open");
        let mut trace = TraceWriter::new(file);
        self.0.engine().run_until(self.0.end(), &mut trace);
        trace.finish().expect("the trace is written")
    }

    fn amount(&self) -> u64 {
        self.0.moves
    }

    fn ticks(&self) -> u64 {
        self.0.scenario.run_ticks
    }
}
