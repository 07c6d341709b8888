//! Whether a network stands where its layout says, and what is reported of that in the text.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use hallwright_core::id::PartId;
use hallwright_core::network::Network;
use hallwright_declared::placement::{Origin, Placed, Placement, Room};
use hallwright_declared::site::{SiteLink, SiteProblem, SiteReport};
use hallwright_site::place::place;

use super::Resolver;
use super::names::ScopeId;
use crate::diagnostic::Diagnostic;
use crate::source::Span;

/// What there is to say of where the parts stand; `None` if nothing says it of any of them.
pub(super) fn looked_at(network: &Network, placement: &Placement) -> Option<Arc<SiteReport>> {
    let stands = |placed: &Placed| placed.position.is_some() || !placed.path.is_empty();
    let mut said = placement.parts.iter().flatten();
    let has_parts = said.any(|placed| stands(placed));
    if !has_parts && placement.wires.is_empty() && placement.rooms.is_empty() {
        return None;
    }
    let site = place(network, placement);
    let problems = site.findings.iter().map(|finding| SiteProblem {
        rule: finding.rule.id(),
        part: finding.part,
        at: finding.at,
        other: finding.other,
        other_at: finding.other_at,
        wanted_at: finding.wanted_at.clone(),
        words: finding.words(network),
        help: finding.help(),
    });
    let links = site.drawn.iter().map(|link| SiteLink {
        name: link.name.clone(),
        to: link.to.clone(),
        help: link.help.clone(),
    });
    let stand: BTreeSet<PartId> = site.parts.iter().flatten().copied().collect();
    // What the blocks need besides, such as the wire between them, stands with them.
    let is_added = |part: &PartId| {
        let placed = placement.of(*part);
        placed.is_some_and(|placed| placed.origin == Origin::Added)
    };
    let in_rooms = placement.rooms.iter().flat_map(|room| &room.parts);
    let in_rooms: BTreeSet<PartId> = in_rooms.copied().collect();
    let is_nowhere =
        |part: &PartId| !stand.contains(part) && !is_added(part) && !in_rooms.contains(part);
    let parts = network.part_ids();
    Some(Arc::new(SiteReport {
        parts: site.counts.parts as u64,
        stand: site.counts.stand as u64,
        // Each part in a room is taken to be one.
        blocks: (site.world.set_count() + in_rooms.len()) as u64,
        nowhere: parts.filter(is_nowhere).collect(),
        links_proven: site.counts.links_proven as u64,
        at_their_word: site.counts.at_their_word as u64,
        problems: problems.collect(),
        drawn_links: links.collect(),
    }))
}

/// A problem of one line of the text.
struct Reported<'r> {
    problem: &'r SiteProblem,
    /// The part that is declared there; `None` for a block that is no part.
    part: Option<PartId>,
    scope: ScopeId,
    /// How many of its sort there are.
    count: u64,
}

impl Resolver<'_> {
    /// Reports every problem at the line of its part. What a line's part is at fault for several times, in
    /// the instances of a module or with several others, is reported there once, with their number.
    pub(super) fn report_site(&mut self, site: &SiteReport, rooms: &[Room]) {
        let mut lines: BTreeMap<(Span, &str), Reported<'_>> = BTreeMap::new();
        for problem in &site.problems {
            let block = || {
                let at = problem.at?;
                let written = self.block_spans.get(&at).copied();
                written.or_else(|| self.room_written_at(rooms, at))
            };
            let part = problem.parts().find(|part| self.span_of(*part).is_some());
            let written = part.and_then(|part| self.written_at(part)).or_else(block);
            let Some((scope, span)) = written else {
                continue;
            };
            let line = lines.entry((span, problem.rule));
            let new = Reported {
                problem,
                part,
                scope,
                count: 0,
            };
            line.or_insert(new).count += 1;
        }
        for ((span, _), reported) in lines {
            let Reported {
                problem,
                part,
                scope,
                count,
            } = reported;
            let words = match count - 1 {
                0 => problem.words.clone(),
                1 => format!("{}, and once more like this", problem.words),
                more => format!("{}, and {more} times more like this", problem.words),
            };
            let mut warning =
                Diagnostic::warning(problem.rule, span, words).help(problem.help.clone());
            let word = part.and_then(|part| self.parts.get(part.index())?.word);
            if let Some(word) = word {
                warning = warning.context(word, "drawn here");
            }
            let other = problem.other.filter(|other| Some(*other) != part);
            if let Some(other) = other.and_then(|other| self.span_of(other))
                && other != span
            {
                warning = warning.context(other, "the other one");
            }
            self.problems.enter(scope);
            self.problems.report(warning);
        }
        self.problems.enter(ScopeId::TOP);
    }

    /// Where a part is declared, and in which layout in use.
    pub(super) fn written_at(&self, part: PartId) -> Option<(ScopeId, Span)> {
        let record = self.parts.get(part.index())?;
        Some((record.scope, record.name.span))
    }

    /// Where a part is declared.
    pub(super) fn span_of(&self, part: PartId) -> Option<Span> {
        self.written_at(part).map(|(_, span)| span)
    }
}
