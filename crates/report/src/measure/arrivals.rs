//! Arrivals: what was sent, what came in, what was refused, and what waited.

use std::collections::BTreeMap;

use hallwright_core::event::DeliveryNews;
use hallwright_core::id::KindId;
use hallwright_core::network::Network;
use hallwright_core::tick::Tick;
use serde::{Deserialize, Serialize};

use crate::findings::ArrivalFinding;

/// Counts for each arrival and kind. What waited before the measure began was sent before it, too.
#[derive(Default, Clone, PartialEq, Serialize, Deserialize)]
pub(crate) struct ArrivalMeasure {
    /// By the number of the arrival, then by kind; the operator's come last.
    counts: BTreeMap<(Whose, KindId), Counts>,
}

/// Whose deliveries.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
enum Whose {
    Arrival(u32),
    Operator,
}

#[derive(Clone, Copy, Default, PartialEq, Serialize, Deserialize)]
struct Counts {
    sent: u64,
    delivered: u64,
    refused: u64,
    first_refused_at: Option<Tick>,
    most_waiting: u64,
}

impl ArrivalMeasure {
    pub(crate) fn delivery(&mut self, at: Tick, news: &DeliveryNews) {
        let whose = news.arrival.map_or(Whose::Operator, Whose::Arrival);
        let counts = self.counts.entry((whose, news.kind)).or_default();
        counts.sent += u64::from(news.sent);
        counts.delivered += u64::from(news.delivered);
        counts.refused += u64::from(news.refused);
        if news.refused > 0 {
            counts.first_refused_at.get_or_insert(at);
        }
        let gone = counts.delivered + counts.refused;
        counts.most_waiting = counts.most_waiting.max(counts.sent.saturating_sub(gone));
    }

    /// The rows. `names`: those of the arrivals, by number.
    pub(crate) fn finish(self, names: &[String], network: &Network) -> Vec<ArrivalFinding> {
        let rows = self.counts.into_iter();
        rows.map(|((whose, kind), counts)| ArrivalFinding {
            arrival: match whose {
                Whose::Arrival(number) => names.get(number as usize).cloned(),
                Whose::Operator => None,
            },
            kind: network.kind(kind).name.clone(),
            sent_items: counts.sent,
            delivered_items: counts.delivered,
            refused_items: counts.refused,
            first_refused_at: counts.first_refused_at,
            most_waiting_items: counts.most_waiting,
        })
        .collect()
    }
}
