//! What would become of the hall if the run went on after its end, and nothing came in any more.

use crate::Amounts;

/// How going on ended.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Default)]
pub enum GoingOnEnd {
    /// Nothing had any way to go when the run ended.
    #[default]
    Nothing,
    /// Nothing moves any more.
    Quiet,
    /// It does the same again and again.
    Repeats,
    /// It was long enough.
    Bound,
}

impl GoingOnEnd {
    /// Its name, as programs read it.
    #[must_use]
    pub fn key(self) -> &'static str {
        match self {
            Self::Nothing => "nothing_to_do",
            Self::Quiet => "quiet",
            Self::Repeats => "repeats",
            Self::Bound => "time_bound",
        }
    }
}

/// What becomes of things that never get home.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub enum Fate {
    /// It never gets home though there is room for it.
    Stuck,
    /// Every home and overflow that it could come to is full.
    BackedUp,
    /// No store is its home, and no overflow lies before it.
    Homeless,
}

/// What was found by going on.
#[derive(Clone, PartialEq, Eq, Debug, Default)]
pub struct GoingOn {
    /// How it ended.
    pub ended: GoingOnEnd,
    /// For how long it went on, in ticks.
    pub ticks: u64,
    /// Whether the run had ended stopped, so that what gets home was held back.
    pub was_stopped: bool,
    /// What got home, or into an overflow where that was right.
    pub on_the_way: Amounts,
    /// What never gets home though there is room for it.
    pub stuck: Amounts,
    /// What never gets home for want of room.
    pub backed_up: Amounts,
    /// What is nobody's, and came into no overflow.
    pub homeless: Amounts,
    /// What does not get home, by kind and place, the most first.
    pub rows: Vec<StayRow>,
}

/// Things of one kind that stay in one place.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct StayRow {
    /// Their kind.
    pub kind: String,
    /// The part in which they stay; the mouth, if they were lost there.
    pub part: String,
    /// How many.
    pub amount: Amounts,
    /// What becomes of them.
    pub fate: Fate,
    /// Why that is.
    pub reason: StayReason,
}

/// Why things stay where they are.
#[derive(Clone, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum StayReason {
    /// The store that is their home has room.
    HomeHasRoom(String),
    /// The overflow before them has room.
    OverflowHasRoom(String),
    /// No way leads from there to the store that is their home.
    NoWay(String),
    /// The store before them is full.
    Full(String),
    /// They were lost soon after the end.
    LostAfterwards,
    /// They came to rest in a store that is not theirs soon after the end.
    MisplacedAfterwards,
    /// They reached overflow soon after the end, though this store had room.
    PassedByAfterwards(String),
    /// No store is their home.
    NoHome,
}
