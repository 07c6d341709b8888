//! Whether the network can be built where its layout says.

use hallwright_declared::space::Block;

/// What was found of where the parts stand.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct SiteFinding {
    /// The parts of the network.
    pub parts: u64,
    /// Those that stand somewhere.
    pub stand: u64,
    /// The links that the blocks make as declared.
    pub links_proven: u64,
    /// The parts that are taken at their word, wherever they stand.
    pub at_their_word: u64,
    /// What is wrong, in the order of the parts.
    pub problems: Vec<SiteProblemFinding>,
    /// What the blocks of drawn parts make.
    pub drawn_links: Vec<DrawnLinkFinding>,
}

/// What a drawn part is linked to in one way.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct DrawnLinkFinding {
    /// Which part, and in which way: `` comparator `eye` reads``.
    pub name: String,
    /// To what; empty if to nothing.
    pub to: Vec<String>,
    /// Where another would have to be for this link, in whole sentences.
    pub help: String,
}

/// One thing that is wrong with where parts stand.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct SiteProblemFinding {
    /// The id of the rule that is broken: `site::overlap`.
    pub rule: &'static str,
    /// The part at fault; `None` for a block that is no part.
    pub part: Option<String>,
    /// Where that stands.
    pub at: Option<Block>,
    /// The other part, if there is one.
    pub other: Option<String>,
    /// Where that stands, at its nearest.
    pub other_at: Option<Block>,
    /// Where the other would have to stand, or what is missing: any one of these blocks will do.
    pub wanted_at: Vec<Block>,
    /// What is wrong, in a sentence.
    pub words: String,
    /// How it is mended.
    pub help: String,
    /// Whether a goal allows it.
    pub is_allowed: bool,
}

impl SiteFinding {
    /// The problems that no goal allows.
    pub fn not_allowed(&self) -> impl Iterator<Item = &SiteProblemFinding> {
        self.problems.iter().filter(|problem| !problem.is_allowed)
    }
}

impl SiteProblemFinding {
    /// The rule and what is wrong: ``site::overlap: `a` at (0, 1, 0) and `b` at (0, 1, 0) fill one block``.
    #[must_use]
    pub fn in_a_line(&self) -> String {
        format!("{}: {}", self.rule, self.words)
    }
}
