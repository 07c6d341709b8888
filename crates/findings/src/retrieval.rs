//! What was found about getting goods out: requests, stacks put together, what is left behind.

use hallwright_core::tick::Tick;
use serde::{Deserialize, Serialize};

use crate::{KindCount, PartCount};

/// What was asked for at one desk.
#[derive(Clone, PartialEq, Eq, Debug, Serialize, Deserialize)]
pub struct DeskFinding {
    /// Its name.
    pub name: String,
    /// What the boxes hold that are asked for.
    pub kind: String,
    /// The requests, in the order in which they were made.
    pub requests: Vec<RequestFinding>,
    /// Boxes of the kind that arrived at the counter while none was owed.
    pub unasked_boxes: u64,
}

/// One request. Boxes that arrive belong to the oldest request that is still owed any.
#[derive(Clone, PartialEq, Eq, Debug, Serialize, Deserialize)]
pub struct RequestFinding {
    /// When the tokens were laid on the desk. Tokens of one tick are one request.
    pub at: Tick,
    /// Boxes asked for: tokens that the desk took.
    pub asked_boxes: u64,
    /// When the first box arrived at the counter.
    pub first_at: Option<Tick>,
    /// When the last box so far arrived at the counter.
    pub last_at: Option<Tick>,
    /// Boxes that had not arrived by the end of the run.
    pub owed_boxes: u64,
    /// Of the time from the request until its last box, or until the end of the run if some are owed:
    /// ticks in which the operator had stopped the hall.
    pub stopped_ticks: u64,
}

impl RequestFinding {
    /// Ticks from the request until its last box arrived; `None` if some are owed.
    #[must_use]
    pub fn served_ticks(&self) -> Option<u64> {
        let last = self.last_at.filter(|_| self.owed_boxes == 0)?;
        Some(last - self.at)
    }

    /// Ticks from the request until its last box arrived, less those in which the hall was stopped;
    /// `None` if some are owed.
    #[must_use]
    pub fn running_ticks(&self) -> Option<u64> {
        self.served_ticks().map(|ticks| ticks - self.stopped_ticks)
    }
}

/// The stacks that came into a gather and left it.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct GatherFinding {
    /// Its name.
    pub name: String,
    /// What came in.
    pub came_in: Stacks,
    /// What left.
    pub left: Stacks,
}

/// Items as stacks: each run of items of one kind, in the order in which they went by, is cut into
/// stacks of the kind's limit. What is left of a run makes a part stack.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Default, Serialize, Deserialize)]
pub struct Stacks {
    /// Items.
    pub items: u64,
    /// Stacks, part stacks among them.
    pub stacks: u64,
    /// Stacks of fewer items than the limit of their kind.
    pub part_stacks: u64,
}

/// What the operator could not get out, though the run went on after its end with every open place
/// emptied each second and all boxes asked for at the desks.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct LeftBehind {
    /// The name of the declaration.
    pub name: String,
    /// Items left behind. A box counts as what it holds; an empty one as one item.
    pub items: u64,
    /// Boxes among them that hold something counted.
    pub boxes: u64,
    /// By kind.
    pub contents: Vec<KindCount>,
    /// Where, those parts with the most first.
    pub parts: Vec<PartCount>,
    /// Items that the operator took out of its places after the end of the run, counted likewise.
    pub taken_items: u64,
    /// For how long the run went on.
    pub continued_ticks: u64,
    /// Why it did not go on longer.
    pub ended: TakingEnd,
}

/// Why the taking out came to an end.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum TakingEnd {
    /// Nothing moved any more.
    Quiet,
    /// Things moved, but nothing had come out for a long time.
    NothingCame,
    /// There was still something coming out when the bound was reached.
    Bound,
}
