//! Where streams can run: section 1.

use std::collections::BTreeSet;

use hallwright_core::id::PartId;

use super::finding::{Detail, Finding, Rule};
use crate::blocks::{Shape, World};
use hallwright_declared::space::{Block, Side};

/// As many blocks a stream runs at one height, its source among them.
const RUN_BLOCKS: usize = 8;

/// What is wrong with one stream. `sources` are the blocks of its path, besides the first, with a source of
/// their own.
pub(super) fn check(
    world: &World,
    number: usize,
    part: Option<PartId>,
    sources: &[Block],
) -> Vec<Finding> {
    let path = &world.piece(number).blocks;
    let mut findings = Vec::new();
    let mut seen = BTreeSet::new();
    let mut run = 0;
    for (index, &block) in path.iter().enumerate() {
        let before = index.checked_sub(1).map(|index| path[index]);
        let step = before.map(|before| before.side_of(block));
        let flows = step.is_none_or(|side| side.is_some_and(|side| side != Side::PlusY));
        if !seen.insert(block) || !flows {
            let finding = Finding::new(Rule::StreamPath, part, Some(block));
            let next = before.into_iter().flat_map(|before| {
                let sides = Side::LEVEL.into_iter().chain([Side::MinusY]);
                sides.map(move |side| before.beside(side))
            });
            findings.push(finding.wanted(next.collect()));
        }
        let goes_on = step.flatten().is_some_and(Side::is_level) && !sources.contains(&block);
        run = if goes_on { run + 1 } else { 1 };
        if run == RUN_BLOCKS + 1 {
            let finding = Finding::new(Rule::StreamRun, part, Some(block));
            findings.push(finding.saying(Detail::Run(length(path, sources, index))));
        }
    }
    findings.extend(open_sides(world, path, part));
    findings
}

/// How many blocks the run at one height has in which this block is too far.
fn length(path: &[Block], sources: &[Block], index: usize) -> usize {
    let rest = path[index..].windows(2);
    let goes_on = |pair: &&[Block]| {
        let is_level = pair[0].side_of(pair[1]).is_some_and(Side::is_level);
        is_level && !sources.contains(&pair[1])
    };
    RUN_BLOCKS + 1 + rest.take_while(goes_on).count()
}

/// The open blocks beside a stream into which it would run. A mouth beside its last block is where it is to
/// run.
fn open_sides(world: &World, path: &[Block], part: Option<PartId>) -> Vec<Finding> {
    let mut found = BTreeSet::new();
    let mut findings = Vec::new();
    for &block in path {
        for side in Side::LEVEL {
            let beside = block.beside(side);
            let shape = world.shape_at(beside);
            let is_open = shape.is_none_or(Shape::is_open);
            let is_end = path.last() == Some(&block) && world.mouth_at(beside).is_some();
            if is_open && !is_end && found.insert(beside) {
                let finding = Finding::new(Rule::StreamOpen, part, Some(block));
                findings.push(finding.wanted(vec![beside]));
            }
        }
    }
    findings
}
