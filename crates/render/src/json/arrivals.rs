//! What became of what was sent, as it is written.

use serde::Serialize;

use hallwright_report::findings::ArrivalFinding;

/// One arrival and kind.
#[derive(Serialize)]
pub(super) struct Arrival<'a> {
    /// `null` for what the operator delivers.
    arrival: Option<&'a str>,
    kind: &'a str,
    sent_items: u64,
    delivered_items: u64,
    refused_items: u64,
    first_refused_at_tick: Option<u64>,
    waiting_items: u64,
    most_waiting_items: u64,
}

impl<'a> Arrival<'a> {
    pub(super) fn of(found: &'a ArrivalFinding) -> Self {
        Self {
            arrival: found.arrival.as_deref(),
            kind: &found.kind,
            sent_items: found.sent_items,
            delivered_items: found.delivered_items,
            refused_items: found.refused_items,
            first_refused_at_tick: found.first_refused_at.map(|tick| tick.0),
            waiting_items: found.waiting_items(),
            most_waiting_items: found.most_waiting_items,
        }
    }
}
