//! What became of what was sent.

use hallwright_core::tick::Tick;

/// What became of the deliveries of one arrival, of one kind. A box counts as one item of its own
/// kind, whatever it holds.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct ArrivalFinding {
    /// The arrival's name; `None` for what the operator delivers.
    pub arrival: Option<String>,
    /// The kind's name.
    pub kind: String,
    /// Items that were due before the end of the run.
    pub sent_items: u64,
    /// Of these, those that came in.
    pub delivered_items: u64,
    /// Of these, those that did not fit and would not wait.
    pub refused_items: u64,
    /// When the first item was refused.
    pub first_refused_at: Option<Tick>,
    /// The most that waited at the landing at any time.
    pub most_waiting_items: u64,
}

impl ArrivalFinding {
    /// Items that still wait at the landing, for room or for their signal.
    #[must_use]
    pub fn waiting_items(&self) -> u64 {
        self.sent_items - self.delivered_items - self.refused_items
    }
}
