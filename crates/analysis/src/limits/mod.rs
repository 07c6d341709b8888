//! Limits: what a network allows at best, found without running it.
//!
//! Beside each measured throughput stands the most that could have been counted (`flows`), beside
//! each measured stop the least time it could have taken (`stops`). No run ever breaks a limit: where
//! nothing sure is known there is none. On ordinary lines they are close.

mod constant;
mod cut;
mod flows;
mod guarantee;
mod links;
mod pace;
mod rises;
mod stops;
mod supply;
mod way_home;

use hallwright_core::engine::View;
use hallwright_core::network::Network;
use hallwright_core::timeline::Timeline;
use hallwright_declared::declarations::Declarations;
use serde::{Deserialize, Serialize};

use crate::ways::{KindSet, KindWays};

use self::constant::EVER;
use self::flows::FlowLimits;
use self::guarantee::Known;
use self::links::Links;
use self::stops::{Least, LeastOfStop, StopLimits};
use self::supply::Supply;

/// The limits of one run.
#[derive(Clone, PartialEq, Eq, Debug, Default)]
pub struct Limits {
    /// Of each flow, in the order of declaration.
    pub flows: Vec<FlowLimit>,
    /// Of each stop that the run reached.
    pub stops: Vec<StopLimit>,
}

/// The limits of one flow; `None` where no limit is known.
#[derive(Clone, PartialEq, Eq, Debug, Default)]
pub struct FlowLimit {
    /// The most that can be counted in the whole run.
    pub counted: Option<Bound>,
    /// The most that can be counted in as many ticks as the steadiest throughput was taken over.
    pub steadiest: Option<Bound>,
}

/// So many items at most in so many ticks.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Bound {
    /// Items at most.
    pub items: u64,
    /// The ticks.
    pub ticks: u64,
    /// What holds it there: the members of a minimum cut.
    pub limited_by: Vec<LimitedBy>,
}

/// One thing that limits a flow.
#[derive(Clone, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub struct LimitedBy {
    /// What of the part it is.
    pub limiter: Limiter,
    /// The part's name; `None` for what lies in boxes.
    pub part: Option<String>,
}

/// What of a part limits a flow.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub enum Limiter {
    /// The pace at which it passes items on.
    Pace,
    /// What is delivered to it.
    Arrivals,
    /// What lay there at the start.
    Stock,
    /// What it can hold back for later.
    Room,
}

/// The least ticks that one stop can take.
#[derive(Clone, PartialEq, Eq, Debug, Default)]
pub struct StopLimit {
    /// Of all sections together.
    pub all: MarkLimits,
    /// Of each section, in the order of declaration.
    pub sections: Vec<MarkLimits>,
}

/// The least ticks from a stop to each of its marks; `None` for a mark that cannot come.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Default)]
pub struct MarkLimits {
    /// To cleared.
    pub cleared_ticks: Option<u64>,
    /// To safe to close.
    pub safe_to_close_ticks: Option<u64>,
    /// To quiet. Of a stop that was never cleared: until what was loose, or in selectors, is at rest.
    pub quiet_ticks: Option<u64>,
}

/// What a limit is worth.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Certainty {
    /// Its argument is tight.
    Known,
    /// It is true, and may be far from what can be reached.
    Loose,
    /// It says nothing.
    Unknown,
}

impl Certainty {
    /// As it is written: `known`, `loose`, `unknown`.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::Known => "known",
            Self::Loose => "loose",
            Self::Unknown => "unknown",
        }
    }
}

impl Bound {
    /// What a limit of a whole run is worth beside what was counted.
    #[must_use]
    pub fn certainty(&self, counted: u64) -> Certainty {
        self.known_if(counted, |limiter| limiter != Limiter::Room)
    }

    /// What a limit of a part of a run is worth beside what was counted in one. What came before can be
    /// held back and come all at once, so that only the pace of parts says something sure.
    #[must_use]
    pub fn certainty_in_part(&self, counted: u64) -> Certainty {
        self.known_if(counted, |limiter| limiter == Limiter::Pace)
    }

    fn known_if(&self, counted: u64, is_tight: impl Fn(Limiter) -> bool) -> Certainty {
        let is_reached = counted * 11 >= self.items * 10;
        match is_reached || self.limited_by.iter().all(|each| is_tight(each.limiter)) {
            true => Certainty::Known,
            false => Certainty::Loose,
        }
    }
}

impl Certainty {
    /// Of the least ticks to a mark, beside those that were measured. A limit that was reached, but for
    /// a tenth of it, is tight. At least no time at all says nothing of what took some; and of a limit
    /// that is farther away than that it is open whether the hall is slow or the limit loose.
    #[must_use]
    pub fn of_mark(least: Option<u64>, measured: Option<u64>) -> Self {
        let Some(least) = least else {
            return Self::Known;
        };
        match measured {
            Some(ticks) if ticks * 10 <= least * 11 => Self::Known,
            _ if least == 0 => Self::Unknown,
            _ => Self::Loose,
        }
    }
}

/// Finds the limits of one run: those of the stops from states that it is shown, those of the flows
/// from the network alone.
pub struct LimitFinder<'a> {
    network: &'a Network,
    declared: &'a Declarations,
    timeline: &'a Timeline,
    run_ticks: u64,
    links: Links,
    ways: KindWays,
    supply: Supply,
    present: Vec<KindSet>,
    totals: Vec<u64>,
    stops: Vec<LeastOfStop>,
}

/// The least times of some stops, in their order.
#[derive(Clone, Default, Serialize, Deserialize)]
pub struct LeastOfStops(Vec<LeastOfStop>);

impl<'a> LimitFinder<'a> {
    /// For a run with this timeline, the actions of its stops included.
    #[must_use]
    pub fn new(
        network: &'a Network,
        declared: &'a Declarations,
        timeline: &'a Timeline,
        run_ticks: u64,
    ) -> Self {
        let kinds = network.kinds().len();
        let ways = KindWays::new(network);
        let supply = Supply::new(
            network,
            timeline,
            &declared.sieves,
            run_ticks,
            ways.ways().boxes(),
        );
        let mut present = vec![KindSet::none(kinds); ways.ways().node_count()];
        let at_start = supply.at_start.keys().copied();
        let delivered = supply
            .delivered
            .iter()
            .map(|delivered| (delivered.node, delivered.kind));
        for (node, kind) in at_start.chain(delivered) {
            present[node].insert(kind);
        }
        Self {
            links: Links::new(network, ways.ways(), timeline),
            present: ways.spread(present),
            totals: supply.of_each_kind(kinds),
            network,
            declared,
            timeline,
            run_ticks,
            ways,
            supply,
            stops: Vec::new(),
        }
    }

    /// Is shown the state at the beginning of the tick of the next stop.
    pub fn stopped(&mut self, view: &View<'_>) {
        let limits = StopLimits {
            known: Known {
                links: &self.links,
                supply: &self.supply,
                timeline: self.timeline,
                present: &self.present,
                totals: &self.totals,
            },
            ways: &self.ways,
        };
        self.stops.push(limits.from(view, &self.declared.sections));
    }

    /// The least times of the stops so far.
    #[must_use]
    pub fn least(&self) -> LeastOfStops {
        LeastOfStops(self.stops.clone())
    }

    /// Goes on where a finder for the same run was.
    pub fn resume(&mut self, least: LeastOfStops) {
        self.stops = least.0;
    }

    /// The limits of a run. `steadiest_ticks`: for each flow, over how many ticks its steadiest
    /// throughput was taken; `cleared`: for each stop that the run reached, what was cleared;
    /// `sieves_kept`: whether every sieve kept what it held, at every tick.
    #[must_use]
    pub fn finish(self, steadiest_ticks: &[u64], cleared: &[Cleared], sieves_kept: bool) -> Limits {
        let limits = FlowLimits {
            network: self.network,
            links: &self.links,
            ways: &self.ways,
            supply: &self.supply,
            run_ticks: self.run_ticks,
            sieves_kept,
        };
        let flows = self.declared.flows.iter().zip(steadiest_ticks);
        let flows = flows.map(|(flow, ticks)| {
            let (counted, steadiest) = limits.of(flow, *ticks);
            FlowLimit { counted, steadiest }
        });
        let stops = self.stops.iter().zip(cleared);
        let stops = stops.map(|(least, cleared)| StopLimit {
            all: marks(least.all, cleared.all),
            sections: least
                .sections
                .iter()
                .zip(&cleared.sections)
                .map(|(least, cleared)| marks(*least, *cleared))
                .collect(),
        });
        Limits {
            flows: flows.collect(),
            stops: stops.collect(),
        }
    }
}

/// What a stop cleared: a limit of what never was cleared is another one.
#[derive(Clone, PartialEq, Eq, Debug, Default)]
pub struct Cleared {
    /// Whether the whole hall was.
    pub all: bool,
    /// Whether each section was, in the order of declaration.
    pub sections: Vec<bool>,
}

fn marks(least: Least, is_cleared: bool) -> MarkLimits {
    // What leaves a line last is an item event, so that nothing is quiet before.
    let quiet = if is_cleared {
        least.at_rest.max(least.cleared)
    } else {
        least.at_rest
    };
    let reported = |ticks: u64| (ticks < EVER).then_some(ticks);
    MarkLimits {
        cleared_ticks: reported(least.cleared),
        safe_to_close_ticks: reported(least.safe_to_close),
        quiet_ticks: reported(quiet),
    }
}
