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
    /// A name that cannot be a word of a row, of a part whose links must follow from its blocks.
    #[error("`{name}` cannot be a word of a floor, for {why}: give the part another name")]
    NoWord {
        /// The name.
        name: String,
        /// Why not.
        why: &'static str,
    },
    /// A name with its sign would be that of another part.
    #[error(
        "`{name}` would be drawn as `{word}`, but that is the name of another part: give one of the two another name"
    )]
    WordTaken {
        /// The name.
        name: String,
        /// The name with its sign.
        word: String,
    },
    /// A box does not show how many inputs it has.
    #[error(
        "`{name}` would be drawn with as many inputs as it has sides for them, {sides}, but has {inputs}: give each input \
         one side"
    )]
    InputsWithoutSides {
        /// The box.
        name: String,
        /// How many inputs it has.
        inputs: usize,
        /// How many sides there are for them.
        sides: usize,
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
