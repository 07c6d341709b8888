//! Why a scenario cannot be written as floors.

use thiserror::Error;

/// Why a scenario cannot be written as floors: what stands in the way, and how that is mended.
#[derive(Clone, PartialEq, Eq, Debug, Error)]
pub enum Undrawable {
    /// No part says where it stands.
    #[error("no part stands anywhere: say the `position` of the parts that are to be drawn")]
    NothingStands,
    /// The blocks make another network than is declared.
    #[error(
        "the blocks do not make the network: {}{first} ({rule}); mend what a run's site warnings say first",
        counted(*.problems)
    )]
    NotBuildable {
        /// How many problems there are.
        problems: usize,
        /// What the first of them is, in words.
        first: String,
        /// The id of the rule that it breaks.
        rule: &'static str,
    },
    /// A part that is drawn and one that stands nowhere are linked, which no block shows.
    #[error(
        "`{standing}` stands and `{other}` stands nowhere, but they are linked, which no block shows: say where \
         `{other}` stands, or leave `{standing}` unplaced too"
    )]
    LinkedToUnplaced {
        /// The part that would be drawn.
        standing: String,
        /// The one that stands nowhere.
        other: String,
    },
    /// A part that stands nowhere hears a wire that would be drawn, and so have no name.
    #[error(
        "`{listener}` stands nowhere and hears the wire `{wire}`, which would be drawn and have no name: say where \
         `{listener}` stands, or give it a wire of its own"
    )]
    WireToUnplaced {
        /// The part that stands nowhere.
        listener: String,
        /// The wire.
        wire: String,
    },
    /// A signal goes through a wire that stands nowhere, and no blocks carry it instead.
    #[error(
        "`{listener}` hears `{source_name}` through the wire `{wire}`, which stands nowhere, and no blocks carry that \
         signal there: say the `path` of `{wire}`"
    )]
    WireUnplaced {
        /// Who hears.
        listener: String,
        /// Whom.
        source_name: String,
        /// Through which wire.
        wire: String,
    },
    /// Something names a wire that would be drawn, and so have no name.
    #[error(
        "{by} names the wire `{wire}`, which would be drawn and have no name: name a part that gives or hears its \
         signal instead"
    )]
    WireNamed {
        /// What names it.
        by: String,
        /// The wire.
        wire: String,
    },
    /// A part that cannot be drawn, and cannot be declared instead.
    #[error(
        "`{name}` cannot be drawn, for {why}; nor can it keep its links, for the wire `{wire}` that it hears would be \
         drawn and have no name: mend one of the two"
    )]
    Neither {
        /// The part.
        name: String,
        /// Why it cannot be drawn.
        why: String,
        /// The wire that it hears.
        wire: String,
    },
    /// There would be more words than anybody can read.
    #[error(
        "the floors would have more than {most} words, for the parts stand far apart: move them together"
    )]
    TooWide {
        /// How many words there may be.
        most: usize,
    },
}

fn counted(problems: usize) -> String {
    match problems {
        1 => String::new(),
        more => format!("{more} problems, the first: "),
    }
}
