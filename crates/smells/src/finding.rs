//! What looks mistaken.

use std::borrow::Cow;

use hallwright_core::id::{KindId, PartId};

/// Defines the rules with their ids.
macro_rules! rules {
    ($($(#[$doc:meta])* $name:ident: $id:literal;)*) => {
        /// What sort of mistake it looks like.
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
                    $(Self::$name => concat!("smell::", $id),)*
                }
            }
        }
    };
}

rules! {
    /// A part that no item ever reaches.
    UnreachedPart: "unreached-part";
    /// A lock that never goes off.
    LockNeverOff: "lock-never-off";
    /// A mouth to which nothing comes.
    UnfedMouth: "unfed-mouth";
    /// A comparator on a place that never holds anything.
    NeverFilled: "never-filled";
    /// A stream to a mouth from which nothing is taken.
    BareMouth: "bare-mouth";
    /// Goods that no store takes.
    GoodsWithoutStore: "goods-without-store";
    /// A sieve whose outlet is unlocked before anything arrives.
    SieveLeaks: "sieve-leaks";
    /// A sieve that needs more than one item to open.
    SieveShort: "sieve-short";
    /// A sieve whose outlet stays locked.
    SieveNeverOpens: "sieve-never-opens";
    /// A sieve into which goods can come that are not its own.
    SieveFreeSlot: "sieve-free-slot";
    /// A filler of a sieve that comes to it.
    FillerArrives: "filler-arrives";
    /// A hopper that is filled like a sieve, and is not declared as one.
    SieveNotNamed: "sieve-not-named";
    /// A sieve that another one opens.
    SieveMixedUp: "sieve-mixed-up";
    /// Two sieves for one kind on one line.
    TwoFilters: "two-filters";
    /// A ring in which goods go round for ever.
    EndlessRing: "endless-ring";
    /// A hand-over from dropper to dropper that comes off in one signal order only.
    SignalOrder: "signal-order";
    /// Hoppers or droppers that no stop is judged by.
    NoSection: "no-section";
    /// A goal whose bound nothing can break.
    GoalAlwaysMet: "goal-always-met";
}

/// One thing that looks mistaken.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Finding {
    /// The sort of mistake that it looks like.
    pub rule: Rule,
    /// What looks mistaken.
    pub about: About,
    /// What there is to say, as the beginning of a sentence.
    pub words: String,
    /// How it is mended.
    pub help: Cow<'static, str>,
    /// Further parts that belong to it, in the order of declaration, each with a label. There may be many.
    pub further: Vec<(PartId, &'static str)>,
}

/// What looks mistaken.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum About {
    /// A part.
    Part(PartId),
    /// A kind of goods.
    Kind(KindId),
    /// A goal, by its place in [`Declarations::goals`](hallwright_declared::declarations::Declarations::goals).
    Goal(usize),
}

impl Finding {
    /// One about this, with no further parts.
    pub(super) fn new(
        rule: Rule,
        about: About,
        words: String,
        help: impl Into<Cow<'static, str>>,
    ) -> Self {
        Self {
            rule,
            about,
            words,
            help: help.into(),
            further: Vec::new(),
        }
    }

    /// One about a part, with no further ones.
    pub(super) fn of(
        rule: Rule,
        part: PartId,
        words: String,
        help: impl Into<Cow<'static, str>>,
    ) -> Self {
        Self::new(rule, About::Part(part), words, help)
    }
}
