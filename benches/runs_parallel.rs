//! 64 independent runs, spread over the cores as `hallwright check` spreads them.

use hallwright_core::order::{Order, Orders};
use hallwright_report::findings::Findings;
use hallwright_report::{RunInput, run};
use hallwright_scenario::Scenario;
use rayon::ThreadPool;
use rayon::prelude::*;

use crate::case::{Case, Runner};
use crate::scenarios::{run_input, scenario};

/// How many runs there are.
const RUNS: u64 = 64;

/// So many ticks of the granary are run.
const TICKS: u64 = 2_400;

/// Times one set of runs on one core and on two.
pub(crate) fn runs_parallel(runner: &mut impl Runner) {
    runner.case("one_core/runs_parallel", || Runs::on(1));
    runner.case("two_cores/runs_parallel", || Runs::on(2));
}

/// Runs of the granary's first two minutes, each in an update order of its own, with everything that is
/// measured.
struct Runs {
    scenario: &'static Scenario,
    pool: ThreadPool,
    orders: Vec<Order>,
}

impl Runs {
    fn on(cores: usize) -> Self {
        let pool = rayon::ThreadPoolBuilder::new().num_threads(cores).build();
        Self {
            scenario: scenario("granary.ron"),
            pool: pool.expect("threads start"),
            orders: (0..RUNS).map(Order::Shuffled).collect(),
        }
    }

    fn run_in(&self, order: &Order) -> Findings {
        let input = RunInput {
            orders: Orders::of_update(order.clone()),
            run_ticks: TICKS,
            ..run_input(self.scenario)
        };
        run(&input, &mut |_| {})
    }
}

impl Case for Runs {
    type Input = ();
    type Output = Vec<Findings>;

    fn prepare(&self) {}

    fn run(&self, (): &mut ()) -> Vec<Findings> {
        let orders = &self.orders;
        self.pool
            .install(|| orders.par_iter().map(|order| self.run_in(order)).collect())
    }

    fn amount(&self) -> u64 {
        RUNS
    }

    fn unit(&self) -> &'static str {
        "runs"
    }
}
