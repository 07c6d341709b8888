//! Laws of random halls.

use std::collections::BTreeMap;

use hallwright_core::network::Network;
use hallwright_core::part::Part;
use hallwright_declared::placement::Placement;
use hallwright_declared::space::{Axes, Block, Side};
use hallwright_site::blocks::{Piece, Shape, World};
use hallwright_site::derive::{derive, made};
use hallwright_site::network::{Outline, same, same_as_matched};
use hallwright_site::place::{Finding, Rule, compare, place};

use crate::halls::{Draw, MODULES, hall, hall_apart};
use crate::standing::line;

/// The outline of what a world is.
fn outline_of(network: &Network, world: &World) -> Outline {
    let derived = derive(world, *network.rules(), network.kinds());
    let derived = derived.expect("blocks make no loop without delay here");
    Outline::of(&derived.network)
}

/// Whether a world is a network, its pieces being the parts of their names.
fn is(network: &Network, world: &World) -> bool {
    let (one, other) = (Outline::of(network), outline_of(network, world));
    let numbered = other.members.iter().enumerate();
    let by_name: BTreeMap<&str, usize> = numbered
        .map(|(number, member)| (member.name.as_str(), number))
        .collect();
    let members = one.members.iter();
    let matched: Option<Vec<usize>> = members
        .map(|member| by_name.get(member.name.as_str()).copied())
        .collect();
    matched.is_some_and(|matched| same_as_matched(&one, &other, &matched))
}

fn lines(network: &Network, findings: &[Finding]) -> Vec<String> {
    findings
        .iter()
        .map(|finding| line(network, finding))
        .collect()
}

#[test]
fn every_module_is_sound_and_is_what_it_is_said_to_be() {
    for (seed, modules) in (0..300).map(|seed| (seed, 1 + seed as usize % (2 * MODULES.len()))) {
        let (network, placement) = hall(&mut Draw::new(seed), modules);
        let site = place(&network, &placement);
        assert_eq!(lines(&network, &site.findings), [""; 0], "seed {seed}");
        assert!(is(&network, &site.world), "seed {seed}");
        let (one, other) = (Outline::of(&network), outline_of(&network, &site.world));
        assert!(same(&one, &other).is_some(), "seed {seed}");
        assert_eq!(site.counts.stand, network.part_count(), "seed {seed}");
        let links = one.members.iter().map(|member| {
            let heard = member.hears.values().map(|hearing| hearing.iter().count());
            member.links.len() + heard.sum::<usize>()
        });
        assert_eq!(
            site.counts.links_proven,
            links.sum::<usize>(),
            "seed {seed}"
        );
    }
}

/// Moves a part's position by a block, turns it, or exchanges two parts.
fn disturb(draw: &mut Draw, placement: &mut Placement) {
    let index = draw.below(placement.parts.len());
    let other = draw.below(placement.parts.len());
    let side = draw.pick(&Side::ALL);
    let other_position = placement.parts[other]
        .as_ref()
        .and_then(|placed| placed.position);
    let Some(placed) = &mut placement.parts[index] else {
        return;
    };
    match draw.below(3) {
        0 => {
            placed.position = placed.position.map(|block| block.beside(side));
            for block in &mut placed.path {
                *block = block.beside(side);
            }
        }
        1 => {
            placed.faces = placed.faces.map(|_| side);
            placed.on = placed.on.map(|_| side);
        }
        _ => {
            let own = placed.position;
            if let (Some(_), Some(_)) = (own, other_position) {
                placed.position = other_position;
                if let Some(other) = &mut placement.parts[other] {
                    other.position = own;
                }
            }
        }
    }
}

/// What is found, but not where.
fn without_blocks(findings: &[Finding]) -> Vec<Finding> {
    let bare = |finding: &Finding| Finding {
        at: None,
        other_at: None,
        wanted_at: Vec::new(),
        ..finding.clone()
    };
    let mut bare: Vec<Finding> = findings.iter().map(bare).collect();
    bare.sort();
    bare
}

#[test]
fn no_finding_hangs_on_how_a_hall_is_turned() {
    let mut found = 0;
    for seed in 0..400 {
        let mut draw = Draw::new(1_000_000 + seed);
        let (network, mut placement) = hall(&mut draw, 3);
        for _ in 0..draw.below(5) {
            disturb(&mut draw, &mut placement);
        }
        let straight = place(&network, &placement);
        found += straight.findings.len();
        for axes in Axes::all() {
            let turned = placement.set_down(axes, Block::new(-7, 3, 19));
            let turned = place(&network, &turned);
            assert_eq!(
                without_blocks(&turned.findings),
                without_blocks(&straight.findings),
                "seed {seed}, {axes:?}"
            );
            assert_eq!(turned.counts, straight.counts, "seed {seed}, {axes:?}");
            let where_found = straight.findings.iter().map(|finding| finding.at.is_some());
            assert_eq!(
                where_found.filter(|at| *at).count(),
                straight.findings.len()
            );
        }
    }
    assert!(found > 800, "{found} findings are too few to show anything");
}

/// One change of a set of blocks.
fn change(draw: &mut Draw, pieces: &mut [Piece]) -> String {
    let index = draw.below(pieces.len());
    let side = draw.pick(&Side::ALL);
    let name = format!("{} ({:?})", pieces[index].name, pieces[index].shape);
    match draw.below(5) {
        0 => {
            for block in &mut pieces[index].blocks {
                *block = block.beside(side);
            }
            for opening in &mut pieces[index].openings {
                opening.block = opening.block.beside(side);
            }
            format!("{name} moved {side}")
        }
        1 => {
            pieces[index].faces = pieces[index].faces.map(|_| side);
            for opening in &mut pieces[index].openings {
                opening.side = side;
            }
            format!("{name} turned {side}")
        }
        2 => {
            let other = draw.below(pieces.len());
            let fits = |piece: &Piece| piece.blocks.len() == 1 && piece.openings.is_empty();
            if fits(&pieces[index]) && fits(&pieces[other]) {
                let own = pieces[index].blocks.clone();
                pieces[index].blocks = std::mem::replace(&mut pieces[other].blocks, own);
            }
            format!("{name} exchanged with {}", pieces[other].name)
        }
        3 => {
            let stores = [
                Shape::Container,
                Shape::Chest,
                Shape::ChestApart,
                Shape::Barrel,
            ];
            let throwing = [Shape::Dropper, Shape::Dispenser];
            let blocks = [Shape::Full, Shape::Cap];
            let sort: &[Shape] = match pieces[index].shape {
                shape if stores.contains(&shape) => &stores,
                shape if throwing.contains(&shape) => &throwing,
                shape if blocks.contains(&shape) => &blocks,
                _ => return format!("{name} left alone"),
            };
            pieces[index].shape = draw.pick(sort);
            format!("{name} built as {:?}", pieces[index].shape)
        }
        _ => {
            let count = pieces[index].blocks.len();
            if count > 1 {
                let block = draw.below(count);
                let moved = pieces[index].blocks[block].beside(side);
                pieces[index].blocks[block] = moved;
                return format!("block {block} of {name} moved {side}");
            }
            format!("{name} left alone")
        }
    }
}

#[test]
fn a_change_is_found_if_and_only_if_it_makes_another_network() {
    let changes = std::env::var("SITE_CHANGES")
        .ok()
        .and_then(|count| count.parse().ok());
    let changes: usize = changes.unwrap_or(10_000);
    // What the tick rules do not know is a finding, though the network is the same.
    let unmodelled = [Rule::Armed, Rule::Drowned, Rule::Drinks];
    let (mut sound, mut other, mut taken, mut rules) = (0, 0, 0, BTreeMap::new());
    let mut seed = 0;
    while sound + other < changes {
        let mut draw = Draw::new(2_000_000 + seed);
        seed += 1;
        let modules = 1 + draw.below(3);
        let (network, placement) = hall(&mut draw, modules);
        let pieces = place(&network, &placement).world.into_pieces();
        for _ in 0..20 {
            let mut changed = pieces.clone();
            let mut words = vec![change(&mut draw, &mut changed)];
            if draw.below(4) == 0 {
                words.push(change(&mut draw, &mut changed));
            }
            let (world, overlaps) = World::of_pieces(changed);
            if !overlaps.is_empty() {
                taken += 1;
                continue;
            }
            let compared = compare(&network, &placement, &world, &made(&world));
            let differences = compared.findings.iter();
            let differences: Vec<&Finding> = differences
                .filter(|finding| !unmodelled.contains(&finding.rule))
                .collect();
            for finding in &compared.findings {
                *rules.entry(finding.rule.id()).or_insert(0) += 1;
            }
            let is_same = is(&network, &world);
            assert_eq!(
                differences.is_empty(),
                is_same,
                "seed {seed}: {words:?}: {:?}",
                lines(&network, &compared.findings)
            );
            match is_same {
                true => sound += 1,
                false => other += 1,
            }
        }
    }
    println!("{sound} changes are sound, {other} are not, {taken} find no room; {rules:?}");
    assert!(
        sound * 20 > changes && other * 20 > changes,
        "{sound} and {other}"
    );
}

#[test]
fn modules_that_reach_into_each_other_are_found_if_and_only_if_they_make_another_network() {
    let unmodelled = [Rule::Armed, Rule::Drowned, Rule::Drinks];
    let (mut sound, mut other, mut rules) = (0, 0, BTreeMap::new());
    let mut seed = 0;
    while other < 600 {
        let mut draw = Draw::new(7_000_000 + seed);
        seed += 1;
        let apart = draw.pick(&[1, 2, 3, 4, 5]);
        let (network, placement) = hall_apart(&mut draw, 3, apart);
        let site = place(&network, &placement);
        let is_laid = |finding: &Finding| matches!(finding.rule, Rule::Overlap | Rule::Support);
        if site.findings.iter().any(is_laid) {
            continue;
        }
        let compared = compare(&network, &placement, &site.world, &site.made);
        let mut differences = compared.findings.iter().map(|finding| finding.rule);
        let differs = differences.any(|rule| !unmodelled.contains(&rule));
        for finding in &compared.findings {
            *rules.entry(finding.rule.id()).or_insert(0) += 1;
        }
        let is_same = is(&network, &site.world);
        let lines = lines(&network, &compared.findings);
        assert_eq!(!differs, is_same, "seed {seed}, {apart} apart: {lines:?}");
        match is_same {
            true => sound += 1,
            false => other += 1,
        }
    }
    println!("{sound} of these halls are sound, {other} are not; {rules:?}");
    assert!(sound > 600 && rules.len() >= 10, "{sound}, {rules:?}");
}

#[test]
fn what_is_derived_is_what_is_derived_from() {
    // The outline of the derived network says what the blocks make, whatever they are.
    for seed in 0..500 {
        let mut draw = Draw::new(3_000_000 + seed);
        let (network, placement) = hall(&mut draw, 2);
        let mut pieces = place(&network, &placement).world.into_pieces();
        for _ in 0..6 {
            change(&mut draw, &mut pieces);
        }
        let (world, _) = World::of_pieces(pieces);
        let once = outline_of(&network, &world);
        let twice = once.network().expect("it was a network");
        let twice = Outline::of(&twice);
        let itself: Vec<usize> = (0..once.members.len()).collect();
        assert!(same_as_matched(&once, &twice, &itself), "seed {seed}");
        assert!(same(&once, &twice).is_some(), "seed {seed}");
    }
}

#[test]
fn every_finding_names_its_parts_and_says_how_it_is_mended() {
    let mut rules = std::collections::BTreeSet::new();
    for seed in 0..600 {
        let mut draw = Draw::new(6_000_000 + seed);
        let (network, mut placement) = hall(&mut draw, 3);
        for _ in 0..8 {
            disturb(&mut draw, &mut placement);
        }
        for finding in place(&network, &placement).findings {
            let (words, help) = (finding.words(&network), finding.help());
            for part in [finding.part, finding.other].into_iter().flatten() {
                let name = network.name(part);
                assert!(words.contains(&format!("`{name}`")), "{words}");
            }
            let is_bare = finding.part.is_none() && finding.at.is_none();
            assert!(!is_bare, "{words}: it is somewhere");
            assert!(help.starts_with(finding.rule.help()), "{help}");
            for block in &finding.wanted_at {
                assert!(help.contains(&block.to_string()), "{help}");
            }
            rules.insert(finding.rule.id());
        }
    }
    assert!(rules.len() >= 20, "{rules:?}");
}

/// Does what the help of a finding says with the block `wanted`; `None` if the help is about more than a block.
fn mended(
    network: &Network,
    placement: &Placement,
    finding: &Finding,
    wanted: Block,
) -> Option<Placement> {
    let mut placement = placement.clone();
    match finding.rule {
        Rule::TargetApart
        | Rule::AboveApart
        | Rule::FrontApart
        | Rule::ReadingApart
        | Rule::WatchingApart => {
            let other = finding.other?;
            if !matches!(
                network.part(other),
                Part::Container(_) | Part::Hopper(_) | Part::Dropper(_)
            ) {
                return None; // A stream or wire would have to be led there.
            }
            placement.parts[other.index()].as_mut()?.position = Some(wanted);
        }
        Rule::OpenTop => placement.caps.push(wanted),
        Rule::StreamOpen => placement.full.push(wanted),
        Rule::Support if finding.other_at.is_none() && finding.wanted_at.len() == 1 => {
            placement.full.push(wanted);
        }
        _ => return None,
    }
    Some(placement)
}

#[test]
fn the_help_of_a_finding_mends_it() {
    let mut tried = std::collections::BTreeMap::new();
    for seed in 0..600 {
        let mut draw = Draw::new(8_000_000 + seed);
        let (network, mut placement) = hall(&mut draw, 3);
        for _ in 0..8 {
            disturb(&mut draw, &mut placement);
        }
        let before = place(&network, &placement);
        for finding in &before.findings {
            for wanted in &finding.wanted_at {
                // What stands there already would have to move first.
                if before.world.at(*wanted).is_some() {
                    continue;
                }
                let Some(placement) = mended(&network, &placement, finding, *wanted) else {
                    continue;
                };
                let after = place(&network, &placement);
                let is_same = |one: &Finding| {
                    let what = |one: &Finding| (one.rule, one.part, one.other, one.detail.clone());
                    let is_at = finding.other.is_some() || one.wanted_at.contains(wanted);
                    what(one) == what(finding) && is_at
                };
                let left: Vec<&Finding> =
                    after.findings.iter().filter(|one| is_same(one)).collect();
                let help = finding.help();
                assert!(left.is_empty(), "seed {seed}: {help} {wanted}: {left:?}");
                *tried.entry(finding.rule.id()).or_insert(0) += 1;
            }
        }
    }
    assert!(tried.len() >= 6, "{tried:?}");
    assert!(tried.values().sum::<u32>() >= 500, "{tried:?}");
}
