//! What came of looking at where the parts of a network stand.
//!
//! It depends on the network and its placement alone, so it is worked out once, when a layout is read, and
//! all runs of that layout share it.

use crate::space::Block;
use hallwright_core::id::PartId;

/// How much of a network stands, how much of that is proven, and what is wrong.
#[derive(Clone, PartialEq, Eq, Debug, Default)]
pub struct SiteReport {
    /// The parts of the network.
    pub parts: u64,
    /// Those that stand somewhere.
    pub stand: u64,
    /// The blocks that stand, those between parts and those that carry others among them; open ones are none.
    pub blocks: u64,
    /// The parts that stand nowhere, in order.
    pub nowhere: Vec<PartId>,
    /// The links that the blocks make as declared.
    pub links_proven: u64,
    /// The parts that are taken at their word, wherever they stand.
    pub at_their_word: u64,
    /// What is wrong, in the order of the parts.
    pub problems: Vec<SiteProblem>,
    /// What the blocks of drawn parts make.
    pub drawn_links: Vec<SiteLink>,
}

/// What a drawn part is linked to in one way.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct SiteLink {
    /// Which part, and in which way: `` comparator `eye` reads``.
    pub name: String,
    /// To what: the names of the others, each with what is lost on the way. Empty if to nothing.
    pub to: Vec<String>,
    /// Where another would have to be for this link, in whole sentences.
    pub help: String,
}

/// One thing that is wrong with where parts stand.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct SiteProblem {
    /// The id of the rule that is broken: `site::overlap`.
    pub rule: &'static str,
    /// The part at fault; `None` for a block that is no part.
    pub part: Option<PartId>,
    /// Where that stands.
    pub at: Option<Block>,
    /// The other part, if there is one.
    pub other: Option<PartId>,
    /// Where that stands, at its nearest.
    pub other_at: Option<Block>,
    /// Where the other would have to stand, or what is missing: any one of these blocks will do.
    pub wanted_at: Vec<Block>,
    /// What is wrong, in a sentence without its full stop.
    pub words: String,
    /// How it is mended, in whole sentences.
    pub help: String,
}

impl SiteProblem {
    /// The parts that it is about: one, both or none.
    pub fn parts(&self) -> impl Iterator<Item = PartId> {
        self.part.into_iter().chain(self.other)
    }
}
