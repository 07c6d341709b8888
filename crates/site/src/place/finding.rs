//! What is wrong with where parts stand.

use hallwright_core::id::PartId;

use crate::network::{Ear, Role};
use hallwright_declared::space::{Block, Side};

/// Defines the rules with their ids and helps.
macro_rules! rules {
    ($($(#[$doc:meta])* $name:ident: $id:literal, $help:literal;)*) => {
        /// Which rule is broken.
        #[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
        pub enum Rule {
            $($(#[$doc])* $name,)*
        }

        impl Rule {
            /// All rules.
            pub const ALL: &[Self] = &[$(Self::$name),*];

            /// The id under which it is reported.
            #[must_use]
            pub const fn id(self) -> &'static str {
                match self {
                    $(Self::$name => concat!("site::", $id),)*
                }
            }

            /// How it is mended, in a sentence.
            #[must_use]
            pub const fn help(self) -> &'static str {
                match self {
                    $(Self::$name => $help,)*
                }
            }
        }
    };
}

rules! {
    /// Two parts fill one block.
    Overlap: "overlap", "Move one of the two.";
    /// There is no full block to carry a part, or to fasten it to.
    Support: "support", "Put a full block there, one of `full`, a dropper, a dispenser or a barrel, or turn or move the part to one.";
    /// A side is named that its part has no use for.
    SideUnknown: "side-unknown", "Name a side that the part has, at a block of its own box.";
    /// A part points where it cannot, or it is not said where it points.
    Faces: "faces", "Say with `faces` where it points: a hopper down or to a side, a comparator or repeater to a side, an observer, dropper or dispenser anywhere. A double chest lies `along` x or z.";
    /// A hopper does not reach what it pushes into.
    TargetApart: "target-apart", "A hopper pushes into what is directly below it, or beside it at its height, on the side to which it `faces`: move or turn one of the two.";
    /// A hopper does not reach what it draws from.
    AboveApart: "above-apart", "A hopper draws from what is directly above it: move one of the two.";
    /// A mouth is not where things come loose, or not above its hopper.
    MouthApart: "mouth-apart", "A mouth is directly above its hopper, and beside the bench or the last block of the stream that leads to it, or that block itself; if it has several blocks, they are side by side at one height.";
    /// A dropper or dispenser does not face what it hands on to.
    FrontApart: "front-apart", "A dropper or dispenser hands on to the block in front of it, to which it `faces`: move or turn one of the two.";
    /// What is taken at its word is not met at one of its sides.
    SideApart: "side-apart", "Declare in the `sides` of the box where the two meet, as `in`, `match`, `rest` or `when_full`, or of a shuttle by the name of the dock; or move or turn one of the two.";
    /// A stream's block is neither beside the one before nor one lower.
    StreamPath: "stream-path", "Each block of a stream is beside the one before or directly below it, and comes once.";
    /// A stream runs too far at one height.
    StreamRun: "stream-run", "Let it drop by a block before, or give it a source of its own there, among its `sources`.";
    /// A stream would run out at its side.
    StreamOpen: "stream-open", "Close the block, with one of `full` for instance, or lead the stream through it.";
    /// A hopper drinks from a stream on the way.
    Drinks: "drinks", "Move the stream or the hopper, or put the mouth there.";
    /// A hopper that is to be closed is open.
    OpenTop: "open-top", "Put one of `caps` or `full` on it, or declare a mouth there.";
    /// Two single chests make one.
    ChestsJoin: "chests-join", "Turn one of them with `apart: true`, or move one of them.";
    /// A hopper draws from something that nobody declared.
    DrawsUnasked: "draws-unasked", "Move one of the two, or declare the link, as `above` or `mouth`.";
    /// Something is pushed or thrown where nobody declared it.
    PushesUnasked: "pushes-unasked", "Turn or move one of the two, or declare the link, as `target`, `out` or `bench`, or as what a selector hands to.";
    /// A signal does not reach what is to hear it.
    SignalApart: "signal-apart", "Move or turn one of the two, or lead the signal there with wire or a repeater, which are declared too, or through a full block.";
    /// A signal does not reach what it is to lock.
    LockApart: "lock-apart", "Move or turn one of the two, or lead the signal there with wire or a repeater, which are declared too, or through a full block.";
    /// A signal does not reach what it is to trigger.
    TriggerApart: "trigger-apart", "Move or turn one of the two, or lead the signal there with wire or a repeater, which are declared too, or through a full block.";
    /// A comparator does not reach what it reads.
    ReadingApart: "reading-apart", "A comparator reads what is at its back, opposite to where it `faces`, or behind one full block there: move or turn one of the two.";
    /// An observer does not see what it watches.
    WatchingApart: "watching-apart", "An observer watches the block in front of its eye, to which it `faces`: of wire its level, and of a selector its lock, or its matches at a side that is declared for `matches`.";
    /// A signal locks something unasked.
    LocksUnasked: "locks-unasked", "Keep the signal away from it and from full blocks beside it, or declare the lock.";
    /// A signal triggers something unasked.
    FiresUnasked: "fires-unasked", "Keep the signal away from it, from full blocks beside it and from the block above it, or declare the trigger.";
    /// A signal part hears, reads or watches something unasked.
    FeedsUnasked: "feeds-unasked", "Keep the two apart, and wires that are not to join, or declare the link.";
    /// A signal drowns what a comparator reads.
    Drowned: "drowned", "Keep signals away from the block through which it reads.";
    /// A dropper fires at the next change beside it.
    Armed: "armed", "Let no lever or button act on the block above it, and no full block with a signal be beside or above that.";
    /// A signal loses another level on its way than declared.
    Loss: "loss", "Declare the loss that the way has, one for each joint between blocks of wire, as `Loss(\"…\", 1)` among the inputs of a wire, or change the way.";
    /// Drawn parts of two modules are linked that are no ports.
    BetweenModules: "between-modules", "Keep the two apart, with a larger `step` or a full block between, or name each among the `ports` of its module.";
    /// A drawn part lacks something without which it does nothing.
    LooseEnd: "loose-end", "Put there what it needs, turn it, or leave it out.";
    /// A signal would go further than it can in its time.
    TooFast: "too-fast", "Put repeaters between the two, one of 2 ticks for each 18 steps beyond the first 18, or move them closer together.";
}

impl Rule {
    /// Whether it is about a signal that does not come where it is to be heard.
    pub(super) fn is_of_signals(self) -> bool {
        matches!(
            self,
            Self::SignalApart | Self::LockApart | Self::TriggerApart
        )
    }
}

/// One thing that is wrong.
#[derive(Clone, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub struct Finding {
    /// The part at fault: the one that acts, listens or looks. `None` of a block that is no part.
    pub part: Option<PartId>,
    /// The rule that it breaks.
    pub rule: Rule,
    /// The other part, if there is one.
    pub other: Option<PartId>,
    /// Where the first stands.
    pub at: Option<Block>,
    /// Where the other stands, at its nearest; of a side beyond its box, where that would be.
    pub other_at: Option<Block>,
    /// Where the other would have to stand, or what is missing: any one of these blocks will do.
    pub wanted_at: Vec<Block>,
    /// What there is to say besides.
    pub detail: Detail,
    /// The room that the first is in, or is.
    pub room: Option<String>,
    /// The room that the other is in, or is.
    pub other_room: Option<String>,
}

/// What there is to say of a finding besides where it is.
#[derive(Clone, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum Detail {
    /// Nothing.
    Nothing,
    /// The link that is or is not made.
    Link(Role),
    /// Where a signal is or is not heard.
    Ear(Ear),
    /// A loss in levels.
    Loss {
        /// Where the signal is heard.
        ear: Ear,
        /// As it is declared.
        declared: u8,
        /// As the way has it.
        made: u8,
    },
    /// A signal's way and time.
    Delay {
        /// Steps from one to the other.
        distance_steps: u32,
        /// Ticks that it takes at least.
        needed_ticks: u64,
        /// Ticks that it has.
        declared_ticks: u64,
    },
    /// How many blocks a stream runs at one height.
    Run(usize),
    /// The name of a side.
    Side(String),
    /// Where it points; `None` if that is not said.
    Faces(Option<Side>),
    /// What a comparator or observer lacks: something to look at.
    Unseen,
}

impl Finding {
    /// One of this rule, of this part, with nothing else said.
    pub(super) fn new(rule: Rule, part: Option<PartId>, at: Option<Block>) -> Self {
        Self {
            part,
            rule,
            other: None,
            at,
            other_at: None,
            wanted_at: Vec::new(),
            detail: Detail::Nothing,
            room: None,
            other_room: None,
        }
    }

    /// The same, with the other part and where it stands.
    pub(super) fn with(mut self, other: Option<PartId>, other_at: Option<Block>) -> Self {
        self.other = other;
        self.other_at = other_at;
        self
    }

    /// The same, with where the other would have to stand.
    pub(super) fn wanted(mut self, blocks: Vec<Block>) -> Self {
        self.wanted_at = blocks;
        self
    }

    /// The same, with the rooms of the first and of the other.
    pub(super) fn in_rooms(mut self, [room, other_room]: [Option<String>; 2]) -> Self {
        self.room = room;
        self.other_room = other_room;
        self
    }

    /// The same, with this to say besides.
    pub(super) fn saying(mut self, detail: Detail) -> Self {
        self.detail = detail;
        self
    }
}
