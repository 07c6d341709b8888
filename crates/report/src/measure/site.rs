//! Whether the blocks make the network. It was found out when the layout was read, and is reported of each
//! run with the goals of the run.

use hallwright_core::id::PartId;
use hallwright_core::network::Network;
use hallwright_declared::declarations::{Declarations, Goal};

use crate::findings::{DrawnLinkFinding, SiteFinding, SiteProblemFinding};

/// What was found, with whether one of the goals allows it; `None` if no part is said to stand anywhere.
pub(super) fn site(declared: &Declarations, network: &Network) -> Option<SiteFinding> {
    let found = declared.site.as_ref()?;
    let is_named = |part: PartId| {
        let mut goals = declared.goals.iter();
        goals.any(|goal| matches!(goal, Goal::Buildable(named) if named.contains(&part)))
    };
    let name = |part: Option<PartId>| part.map(|part| network.name(part).to_owned());
    let problems = found.problems.iter().map(|problem| SiteProblemFinding {
        rule: problem.rule,
        part: name(problem.part),
        at: problem.at,
        other: name(problem.other),
        other_at: problem.other_at,
        wanted_at: problem.wanted_at.clone(),
        words: problem.words.clone(),
        help: problem.help.clone(),
        is_allowed: problem.parts().any(is_named),
    });
    let links = found.drawn_links.iter().map(|link| DrawnLinkFinding {
        name: link.name.clone(),
        to: link.to.clone(),
        help: link.help.clone(),
    });
    Some(SiteFinding {
        parts: found.parts,
        stand: found.stand,
        links_proven: found.links_proven,
        at_their_word: found.at_their_word,
        problems: problems.collect(),
        drawn_links: links.collect(),
    })
}
