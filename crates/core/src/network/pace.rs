//! The same network with selectors and shuttles of another pace: what is taken at its word may be tried
//! at another one.

use petgraph::graph::NodeIndex;

use super::Network;
use crate::id::PartId;
use crate::part::Part;

/// How fast a selector or shuttle is.
#[derive(Clone, PartialEq, Eq, Hash, Debug)]
pub enum Pace {
    /// Of a selector.
    Selector {
        /// Ticks from accepting an item to its being ready.
        latency_ticks: u32,
        /// Ticks at least between two items' being ready.
        interval_ticks: u32,
    },
    /// Of a shuttle: for each stop of its round, the ticks of travel and those that it stays at least.
    Shuttle(Vec<(u32, u32)>),
}

impl Network {
    /// The pace of a part; `None` if it is no selector and no shuttle.
    ///
    /// # Panics
    ///
    /// If the id is not one of this network's.
    #[must_use]
    #[expect(
        clippy::wildcard_enum_match_arm,
        reason = "only these two have a pace of their own"
    )]
    pub fn pace(&self, part: PartId) -> Option<Pace> {
        match self.part(part) {
            Part::Selector(selector) => Some(Pace::Selector {
                latency_ticks: selector.latency_ticks,
                interval_ticks: selector.interval_ticks,
            }),
            Part::Shuttle(shuttle) => {
                let stops = shuttle.stops.iter();
                let stops = stops.map(|stop| (stop.travel_ticks, stop.dwell_ticks));
                Some(Pace::Shuttle(stops.collect()))
            }
            _ => None,
        }
    }

    /// The same network, but for these parts, which have this pace.
    ///
    /// # Panics
    ///
    /// If a part is not what its pace is for, or a shuttle has another number of stops.
    #[must_use]
    pub fn paced(&self, paces: &[(PartId, Pace)]) -> Self {
        let mut paced = self.clone();
        for (id, pace) in paces {
            let part = paced.graph.node_weight_mut(NodeIndex::new(id.index()));
            match (part.expect("the part is of this network"), pace) {
                (
                    Part::Selector(selector),
                    Pace::Selector {
                        latency_ticks,
                        interval_ticks,
                    },
                ) => {
                    selector.latency_ticks = *latency_ticks;
                    selector.interval_ticks = *interval_ticks;
                }
                (Part::Shuttle(shuttle), Pace::Shuttle(stops)) => {
                    assert_eq!(shuttle.stops.len(), stops.len(), "a pace for each stop");
                    for (stop, (travel_ticks, dwell_ticks)) in shuttle.stops.iter_mut().zip(stops) {
                        stop.travel_ticks = *travel_ticks;
                        stop.dwell_ticks = *dwell_ticks;
                    }
                }
                (part, _) => panic!("this is no pace of {part:?}"),
            }
        }
        paced
    }
}
