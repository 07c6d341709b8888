//! One list of verdicts: what is asked of every run, whether a goal of the file asks it or not.
//!
//! The goals of the file come first, in their order. What is judged anyway comes behind them: each of
//! these questions is asked as the strictest goal about it would ask, unless the file has a goal about
//! the same. So whatever a file does not allow is not allowed.

use hallwright_declared::declarations::{Declarations, Goal, Mark};

use crate::figures::Name;
use crate::goals::{Bound, Verdict};

/// What is asked.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub enum Question {
    /// Whether anything was lost.
    Lost,
    /// Whether deliveries found room.
    Refused,
    /// Whether anything never gets home though there is room.
    Stuck,
    /// Whether anything never gets home for want of room.
    BackedUp,
    /// Whether anything rests in a store that is not its own.
    Misplaced,
    /// Whether anything reached overflow while its own store had room.
    PassedBy,
    /// Whether every sieve holds what it started with.
    Sieves,
    /// Whether the hall was safe to close after every stop.
    SafeToClose,
    /// Whether every kind that arrives has a home.
    WithoutHome,
    /// Whether every kind has one home only.
    SharedHome,
    /// Whether no more stands around a block than fits.
    Crowded,
    /// Whether the blocks make the network as it is declared.
    Buildable,
    /// Anything else that a goal asks.
    Other,
}

impl Question {
    /// Those that are asked of every run, in the order in which they are reported.
    pub const ALWAYS: [Self; 12] = [
        Self::Lost,
        Self::Refused,
        Self::Misplaced,
        Self::PassedBy,
        Self::Stuck,
        Self::BackedUp,
        Self::Sieves,
        Self::WithoutHome,
        Self::SharedHome,
        Self::SafeToClose,
        Self::Crowded,
        Self::Buildable,
    ];

    /// What a goal asks.
    #[must_use]
    pub fn of(goal: &Goal) -> Self {
        match goal {
            Goal::LostAtMost(_) => Self::Lost,
            Goal::RefusedAtMost(_) => Self::Refused,
            Goal::StuckAtMost(_) => Self::Stuck,
            Goal::BackedUpAtMost(_) => Self::BackedUp,
            Goal::MisplacedAtMost(_) => Self::Misplaced,
            Goal::PassedByAtMost(_) => Self::PassedBy,
            Goal::SievesBrokenAtMost(_) => Self::Sieves,
            Goal::StopsNotSafeAtMost(_)
            | Goal::MarkWithin {
                mark: Mark::SafeToClose,
                section: None,
                ..
            } => Self::SafeToClose,
            Goal::WithoutHome(_) => Self::WithoutHome,
            Goal::SharedHome(_) => Self::SharedHome,
            Goal::Crowded(_) => Self::Crowded,
            Goal::Buildable(_) => Self::Buildable,
            Goal::InNoStoreAtMost(_)
            | Goal::GoingRoundAtMost(_)
            | Goal::ThroughputAtLeast { .. }
            | Goal::RequestWithin { .. }
            | Goal::PartStacksOutAtMost { .. }
            | Goal::LeftBehindAtMost(_)
            | Goal::MarkWithin { .. }
            | Goal::LockCoverAtLeast { .. }
            | Goal::CallIdleAtMost { .. }
            | Goal::WorkPerTickAtMost(_)
            | Goal::HoppersPerBlockAtMost(_)
            | Goal::Contents { .. }
            | Goal::LampRise { .. } => Self::Other,
        }
    }

    /// The strictest goal about it; `None` where the run has nothing that could be asked about.
    fn strictest(self, declared: &Declarations) -> Option<Goal> {
        let has_stores = !declared.stores.is_empty();
        match self {
            Self::Lost => Some(Goal::LostAtMost(0)),
            Self::Refused => Some(Goal::RefusedAtMost(0)),
            Self::Stuck => Some(Goal::StuckAtMost(0)),
            Self::BackedUp => Some(Goal::BackedUpAtMost(0)),
            Self::Misplaced => has_stores.then_some(Goal::MisplacedAtMost(0)),
            Self::PassedBy => has_stores.then_some(Goal::PassedByAtMost(0)),
            Self::Sieves => (!declared.sieves.is_empty()).then_some(Goal::SievesBrokenAtMost(0)),
            Self::SafeToClose => {
                (!declared.stops.is_empty()).then_some(Goal::StopsNotSafeAtMost(0))
            }
            Self::WithoutHome => Some(Goal::WithoutHome(Vec::new())),
            Self::SharedHome => has_stores.then_some(Goal::SharedHome(Vec::new())),
            Self::Crowded => Some(Goal::Crowded(Vec::new())),
            Self::Buildable => (declared.site.as_ref()).map(|_| Goal::Buildable(Vec::new())),
            Self::Other => None,
        }
    }

    /// Its name, as programs read it.
    #[must_use]
    pub fn key(self) -> &'static str {
        match self {
            Self::Lost => "lost",
            Self::Refused => "refused",
            Self::Stuck => "stuck",
            Self::BackedUp => "backed_up",
            Self::Misplaced => "misplaced",
            Self::PassedBy => "passed_by",
            Self::Sieves => "sieves_intact",
            Self::SafeToClose => "safe_to_close",
            Self::WithoutHome => "without_home",
            Self::SharedHome => "shared_home",
            Self::Crowded => "crowded",
            Self::Buildable => "buildable",
            Self::Other => "goal",
        }
    }
}

/// How a question was answered.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub enum Ruling {
    /// As it should be, with no exception made.
    Ok,
    /// Not as it should be, but a goal of the file allows it.
    Allowed,
    /// As it should be so far: goods are on their way.
    NotFinished,
    /// It could not be judged. That is no yes.
    NotKnown,
    /// Not as it should be.
    Missed,
}

impl Ruling {
    /// Whether a run may end so.
    #[must_use]
    pub fn is_ok(self) -> bool {
        match self {
            Self::Ok | Self::Allowed | Self::NotFinished => true,
            Self::NotKnown | Self::Missed => false,
        }
    }

    /// As it is written.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::Ok => "ok",
            Self::Allowed => "allowed",
            Self::NotFinished => "not finished",
            Self::NotKnown => "not known",
            Self::Missed => "missed",
        }
    }

    /// Its name, as programs read it.
    #[must_use]
    pub fn key(self) -> &'static str {
        match self {
            Self::Ok => "ok",
            Self::Allowed => "allowed",
            Self::NotFinished => "not_finished",
            Self::NotKnown => "not_known",
            Self::Missed => "missed",
        }
    }

    /// How a verdict with these checks came off. `on_the_way_items`: what still is to come home.
    pub(crate) fn of(verdict: &Verdict, figure: Name, on_the_way_items: u64) -> Self {
        if verdict.checks.is_empty() {
            return Self::NotKnown;
        }
        if !verdict.checks.iter().all(crate::goals::Check::is_met) {
            return Self::Missed;
        }
        if verdict.question == Question::Stuck && on_the_way_items > 0 {
            return Self::NotFinished;
        }
        let is_strict = verdict.question != Question::Other && figure != Name::SAFE_TO_CLOSE;
        let is_used = verdict.checks.iter().any(|check| {
            let none = Bound::AtMost(0.0);
            check
                .measured
                .value()
                .is_some_and(|value| !none.is_met_by(value))
        });
        if is_strict && is_used {
            Self::Allowed
        } else {
            Self::Ok
        }
    }
}

/// Everything that is asked of a run: the goals of the file, each with its place there, and behind them
/// what is judged anyway.
#[must_use]
pub fn asked_of_all(declared: &Declarations) -> Vec<(Option<usize>, Goal)> {
    let goals = declared.goals.iter().cloned().enumerate();
    let mut all: Vec<(Option<usize>, Goal)> =
        goals.map(|(place, goal)| (Some(place), goal)).collect();
    for question in Question::ALWAYS {
        let is_asked = |goal: &Goal| Question::of(goal) == question;
        if declared.goals.iter().any(is_asked) {
            continue;
        }
        all.extend(question.strictest(declared).map(|goal| (None, goal)));
    }
    all
}
