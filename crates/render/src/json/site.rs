//! Whether the network can be built, for programs.

use hallwright_declared::space::Block;
use serde::Serialize;

use hallwright_report::findings::{SiteFinding, SiteProblemFinding};

#[derive(Serialize)]
pub(super) struct SiteReport<'a> {
    parts: u64,
    stand: u64,
    links_proven: u64,
    taken_at_their_word: u64,
    problems: Vec<ProblemRow<'a>>,
}

#[derive(Serialize)]
struct ProblemRow<'a> {
    id: &'a str,
    /// `null` for a block that is no part.
    part: Option<&'a str>,
    at: Option<[i32; 3]>,
    other: Option<&'a str>,
    other_at: Option<[i32; 3]>,
    /// Any one of these will do.
    wanted_at: Vec<[i32; 3]>,
    words: &'a str,
    help: &'a str,
    is_allowed: bool,
}

impl<'a> SiteReport<'a> {
    pub(super) fn of(site: &'a SiteFinding) -> Self {
        Self {
            parts: site.parts,
            stand: site.stand,
            links_proven: site.links_proven,
            taken_at_their_word: site.at_their_word,
            problems: site.problems.iter().map(row).collect(),
        }
    }
}

fn row(problem: &SiteProblemFinding) -> ProblemRow<'_> {
    ProblemRow {
        id: problem.rule,
        part: problem.part.as_deref(),
        at: problem.at.map(axes),
        other: problem.other.as_deref(),
        other_at: problem.other_at.map(axes),
        wanted_at: problem.wanted_at.iter().copied().map(axes).collect(),
        words: &problem.words,
        help: &problem.help,
        is_allowed: problem.is_allowed,
    }
}

fn axes(block: Block) -> [i32; 3] {
    [block.x, block.y, block.z]
}
