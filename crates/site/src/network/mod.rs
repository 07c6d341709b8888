//! Networks as far as blocks can make them: parts, what they hold, how goods go between them, and which
//! signals each of them hears. Names, and how wires are cut into parts, are left out of it.

mod declared;
mod outline;
mod same;
mod write;

pub(crate) use declared::UNHEARD_LOSS;
pub use declared::{ears, links, routes, sources};
pub use outline::{Heard, Hearing, Member, Outline};
pub use same::{same, same_as_matched};
pub(crate) use write::{Added, Writer};

/// What a link between two parts is for. It belongs to the part that acts or looks, not to the one at
/// its other end.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub enum Role {
    /// A hopper pushes into it.
    Target,
    /// A hopper draws from it.
    Above,
    /// A hopper takes in what rests there.
    Mouth,
    /// A hopper drinks from this stream, which no network can say.
    Drinks,
    /// A dropper hands items to it.
    Into,
    /// A dispenser sets boxes down on it.
    Bench,
    /// A dropper's or dispenser's items come loose there.
    Loose,
    /// A stream leads to this mouth.
    End,
    /// A bench's boxes come loose there.
    Out,
    /// A selector's matches go there.
    Match,
    /// A selector's other items go there.
    Rest,
    /// A selector's items go there when their target is full.
    WhenFull,
    /// A shuttle's stop of this number, from 0, is at that dock.
    Stop(usize),
    /// A comparator reads it.
    Reads,
    /// An observer watches its signal.
    WatchesSignal,
    /// An observer watches its lock.
    WatchesLock,
    /// An observer watches its trigger.
    WatchesTrigger,
    /// An observer watches its matches.
    WatchesMatches,
}

impl Role {
    /// Whether goods go along it.
    #[must_use]
    pub fn is_of_goods(self) -> bool {
        match self {
            Self::Target | Self::Above | Self::Mouth | Self::Drinks | Self::Into => true,
            Self::Bench | Self::Loose | Self::End | Self::Out | Self::Stop(_) => true,
            Self::Match | Self::Rest | Self::WhenFull => true,
            Self::Reads | Self::WatchesSignal | Self::WatchesLock => false,
            Self::WatchesTrigger | Self::WatchesMatches => false,
        }
    }
}

/// Where a part hears signals.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub enum Ear {
    /// A hopper's, selector's or repeater's lock.
    Lock,
    /// A dropper's trigger.
    Trigger,
    /// The input of this number, from 0. A latch has its set at 0 and its reset at 1.
    Input(usize),
    /// What is behind a comparator.
    Rear,
    /// A comparator's sides.
    Side,
    /// An observer's eye, on a wire.
    Watch,
    /// What lets a shuttle go from its stop of this number, from 0.
    Release(usize),
    /// What lifts a bench's box.
    Lift,
}

impl Ear {
    /// What it is called, before ` of ` and a part's name.
    #[must_use]
    pub fn words(self) -> String {
        match self {
            Self::Lock => "lock".to_owned(),
            Self::Trigger => "trigger".to_owned(),
            Self::Input(number) => format!("input {}", number + 1),
            Self::Rear => "rear".to_owned(),
            Self::Side => "side".to_owned(),
            Self::Watch => "watched wire".to_owned(),
            Self::Release(number) => format!("release {}", number + 1),
            Self::Lift => "lift".to_owned(),
        }
    }
}
