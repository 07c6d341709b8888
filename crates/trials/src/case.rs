//! One run of many: what it changes of the scenario that it is a run of.
//!
//! Everything that a run may differ in is a field of [`Case`], and [`Case::of`] is the only place that
//! makes a run of it. What a case moves belongs to the [`CaseRun`] that comes of it.

use std::error::Error;
use std::fmt;

use hallwright_core::event::Observer;
use hallwright_core::order::{Order, Orders};
use hallwright_core::tick::Tick;
use hallwright_declared::declarations::Declarations;

use hallwright_report::findings::Findings;
use hallwright_report::units::time;
use hallwright_report::{RunInput, run_observed};

/// What one run changes of its scenario.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Case {
    /// The seed with which the scenario is loaded.
    pub seed: u64,
    /// The update order and the signal order.
    pub orders: Orders,
    /// The tick of the first stop, all later ones moved along; `None` leaves the stops where they are
    /// declared.
    pub stop_at: Option<Tick>,
}

impl Case {
    /// The scenario as it stands: in the declared orders, its stops where they are declared.
    #[must_use]
    pub fn as_declared(seed: u64) -> Self {
        Self {
            seed,
            orders: Orders::default(),
            stop_at: None,
        }
    }

    /// Orders, seed and stop tick in words.
    #[must_use]
    pub fn words(&self, ticks_per_second: u32) -> String {
        let orders = orders_words(&self.orders);
        let stop = self.stop_at.map_or_else(String::new, |tick| {
            format!(", stop at {}", time(tick.0, ticks_per_second))
        });
        format!("{orders}, seed {}{stop}", self.seed)
    }

    /// The run of this case. The base is the scenario loaded with the seed of the case.
    ///
    /// Later stops keep their distance from the first, restarts theirs from their stops, and the run
    /// gets longer by as much as the first stop is later, so that a late stop has as long to come to
    /// rest as the declared one.
    ///
    /// # Errors
    ///
    /// If a stop is to be moved and none is declared.
    ///
    /// # Panics
    ///
    /// If the base was loaded with another seed.
    pub fn of<'a>(&self, base: &RunInput<'a>) -> Result<CaseRun<'a>, NoStop> {
        assert_eq!(base.seed, self.seed, "the base has the seed of its case");
        let mut run = CaseRun {
            input: RunInput {
                orders: self.orders.clone(),
                ..base.clone()
            },
            moved: None,
        };
        if let Some(at) = self.stop_at {
            run.move_stops(at)?;
        }
        Ok(run)
    }

    /// The run of this case, of the base with its seed.
    ///
    /// # Panics
    ///
    /// If no base has its seed, or it moves a stop where none is declared: [`cases`](crate::cases()) makes
    /// no such case of these bases.
    #[must_use]
    pub fn of_any<'a>(&self, bases: &[RunInput<'a>]) -> CaseRun<'a> {
        self.of(self.base_of(bases))
            .expect("only a declared stop is moved")
    }

    /// What is run up to its stop, in its whole length: quickly said, for nothing is moved.
    pub(crate) fn unstopped<'a>(&self, bases: &[RunInput<'a>]) -> RunInput<'a> {
        let base = self.base_of(bases);
        let first = base.declarations.stops.first();
        let moved = self.stop_at.zip(first);
        RunInput {
            orders: self.orders.clone(),
            run_ticks: moved.map_or(base.run_ticks, |(at, first)| {
                lengthened(base.run_ticks, first.at, at)
            }),
            ..base.clone()
        }
    }

    fn base_of<'b, 'a>(&self, bases: &'b [RunInput<'a>]) -> &'b RunInput<'a> {
        let base = bases.iter().find(|base| base.seed == self.seed);
        base.expect("a case has the seed of one of its bases")
    }
}

/// Both orders in words: `update order reversed, signal order declared`.
#[must_use]
pub fn orders_words(orders: &Orders) -> String {
    let Orders { update, signal } = orders;
    format!(
        "update order {}, signal order {}",
        order_words(update),
        order_words(signal)
    )
}

/// An order as it is written: `declared`, `reversed`, `shuffled:7`.
#[must_use]
pub fn order_words(order: &Order) -> String {
    match order {
        Order::Declared => "declared".to_owned(),
        Order::Reversed => "reversed".to_owned(),
        Order::Shuffled(seed) => format!("shuffled:{seed}"),
        Order::Listed(_) => "listed".to_owned(),
    }
}

/// A case moves a stop, and the scenario declares none.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct NoStop;

impl fmt::Display for NoStop {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        formatter.write_str("the scenario declares none in `stops`")
    }
}

impl Error for NoStop {}

/// A run that is ready to be made.
#[derive(Clone)]
pub struct CaseRun<'a> {
    input: RunInput<'a>,
    /// What is declared, where the case changes it.
    moved: Option<Declarations>,
}

impl CaseRun<'_> {
    /// What is run.
    #[must_use]
    pub fn input(&self) -> RunInput<'_> {
        RunInput {
            declarations: self.moved.as_ref().unwrap_or(self.input.declarations),
            ..self.input.clone()
        }
    }

    /// Makes the run.
    ///
    /// # Panics
    ///
    /// If an invariant broke: a bug of the engine.
    #[must_use]
    pub fn findings(&self) -> Findings {
        self.observed(&mut ())
    }

    /// Makes the run and reports an observer everything.
    ///
    /// # Panics
    ///
    /// As [`CaseRun::findings`].
    pub fn observed(&self, observer: &mut dyn Observer) -> Findings {
        run_observed(&self.input(), observer, &mut |_| {})
    }

    fn move_stops(&mut self, at: Tick) -> Result<(), NoStop> {
        let mut moved = self.input.declarations.clone();
        let first = moved.stops.first().ok_or(NoStop)?.at;
        for stop in &mut moved.stops {
            stop.at = at + (stop.at - first);
        }
        self.input.run_ticks = lengthened(self.input.run_ticks, first, at);
        self.moved = Some(moved);
        Ok(())
    }
}

/// How long a run is whose first stop is at another tick.
fn lengthened(run_ticks: u64, first: Tick, at: Tick) -> u64 {
    run_ticks.saturating_add(at.0.saturating_sub(first.0))
}

#[cfg(test)]
mod tests {
    use hallwright_core::network::{Network, NetworkBuilder};
    use hallwright_core::rules::Rules;
    use hallwright_core::timeline::Timeline;
    use hallwright_declared::declarations::{Restart, Stop};

    use super::*;

    fn network() -> Network {
        let builder = NetworkBuilder::new(Rules::default());
        builder.build().expect("nothing at all is sound")
    }

    /// Stops in ticks 100 and 150, the first with a restart after 20 ticks; 300 ticks.
    fn moved(stop_at: Option<u64>) -> (Vec<u64>, Option<u64>, u64) {
        let (network, timeline) = (network(), Timeline::default());
        let stop = |at, restart| Stop {
            at: Tick(at),
            actions: Vec::new(),
            restart,
        };
        let restart = Restart {
            after_ticks: 20,
            actions: Vec::new(),
        };
        let declarations = Declarations {
            stops: vec![stop(100, Some(restart)), stop(150, None)],
            ..Declarations::default()
        };
        let base = RunInput {
            network: &network,
            timeline: &timeline,
            seed: 7,
            orders: Orders::default(),
            run_ticks: 300,
            declarations: &declarations,
        };
        let case = Case {
            orders: Orders {
                update: Order::Reversed,
                signal: Order::Shuffled(5),
            },
            stop_at: stop_at.map(Tick),
            ..Case::as_declared(7)
        };
        let run = case.of(&base).expect("a stop is declared");
        let input = run.input();
        assert_eq!(input.orders, case.orders);
        let stops = &input.declarations.stops;
        let restart = stops[0].restart.as_ref();
        (
            stops.iter().map(|stop| stop.at.0).collect(),
            restart.map(|restart| restart.after_ticks),
            input.run_ticks,
        )
    }

    #[test]
    fn a_moved_stop_takes_the_others_along_and_a_later_one_lengthens_the_run() {
        assert_eq!(moved(None), (vec![100, 150], Some(20), 300));
        assert_eq!(moved(Some(140)), (vec![140, 190], Some(20), 340));
        assert_eq!(
            moved(Some(60)),
            (vec![60, 110], Some(20), 300),
            "an early stop does not shorten it"
        );
    }

    #[test]
    fn only_a_declared_stop_can_be_moved() {
        let (network, timeline) = (network(), Timeline::default());
        let declarations = Declarations::default();
        let base = RunInput {
            network: &network,
            timeline: &timeline,
            seed: 0,
            orders: Orders::default(),
            run_ticks: 10,
            declarations: &declarations,
        };
        let case = Case {
            stop_at: Some(Tick(5)),
            ..Case::as_declared(0)
        };
        assert!(case.of(&base).is_err());
        assert!(Case::as_declared(0).of(&base).is_ok());
    }
}
