//! Random blocks close together, which no builder would put so.

use std::collections::{BTreeMap, BTreeSet};

use hallwright_core::part::ComparatorMode;
use hallwright_declared::space::{Axes, Block, Side};
use hallwright_site::blocks::{LiftedWhen, Opening, Piece, Settings, Shape, Use, World};
use hallwright_site::derive::made;
use hallwright_site::network::Ear;

use crate::drawing::{lines, world_of};
use crate::halls::Draw;
use crate::plainly::{Heard, Plainly};

/// What stands in the blocks of a soup, the more often the more it is here.
const SHAPES: [Shape; 24] = [
    Shape::Wire,
    Shape::Wire,
    Shape::Wire,
    Shape::Wire,
    Shape::Wire,
    Shape::Full,
    Shape::Full,
    Shape::Full,
    Shape::Hopper,
    Shape::Hopper,
    Shape::Dropper,
    Shape::Dropper,
    Shape::Dispenser,
    Shape::Container,
    Shape::Barrel,
    Shape::Observer,
    Shape::Comparator,
    Shape::Comparator,
    Shape::Repeater,
    Shape::Repeater,
    Shape::Inverter,
    Shape::Lever,
    Shape::Button,
    Shape::Word,
];

fn settings(shape: Shape, draw: &mut Draw) -> Option<Settings> {
    Some(match shape {
        Shape::Full | Shape::Cap | Shape::Wire => return None,
        Shape::Hopper => Settings::Hopper,
        Shape::Dropper | Shape::Dispenser => Settings::Dropper,
        Shape::Observer => Settings::Observer,
        Shape::Comparator => Settings::Comparator {
            mode: ComparatorMode::Compare,
        },
        Shape::Repeater => Settings::Repeater { delay_ticks: 2 },
        Shape::Inverter => Settings::Inverter,
        Shape::Lever => Settings::Lever { starts_on: false },
        Shape::Button => Settings::Button { hold_ticks: 20 },
        Shape::Word => match draw.is_heads() {
            true => Settings::Latch,
            false => Settings::Toggle,
        },
        Shape::Bench => Settings::Bench {
            lift: LiftedWhen::Empty,
            after_ticks: 0,
        },
        _ => Settings::Container { slots: 27 },
    })
}

/// Random blocks in a box of this size; so many of a hundred are open.
fn soup(draw: &mut Draw, size: Block, open_percent: usize) -> Vec<Piece> {
    let mut pieces = Vec::new();
    for y in 0..size.y {
        for x in 0..size.x {
            for z in 0..size.z {
                if draw.below(100) >= open_percent {
                    let name = format!("p{}", pieces.len());
                    pieces.push(piece(draw, &name, Block::new(x, y, z)));
                }
            }
        }
    }
    pieces
}

fn piece(draw: &mut Draw, name: &str, block: Block) -> Piece {
    let shape = draw.pick(&SHAPES);
    let mut piece = Piece::new(name, shape, [block]);
    piece.settings = settings(shape, draw);
    piece.faces = match shape {
        Shape::Repeater | Shape::Comparator => Some(draw.pick(&Side::LEVEL)),
        Shape::Full | Shape::Wire | Shape::Container | Shape::Barrel | Shape::Word => None,
        _ => Some(draw.pick(&Side::ALL)),
    };
    if shape == Shape::Word {
        let usages = [
            Use::Gives,
            Use::Hears(Ear::Input(0)),
            Use::Hears(Ear::Input(1)),
        ];
        let is_latch = piece.settings == Some(Settings::Latch);
        let usages = if is_latch { &usages[..] } else { &usages[..1] };
        for usage in usages {
            let side = draw.pick(&Side::ALL);
            let usage = usage.clone();
            piece.openings.push(Opening { block, side, usage });
        }
    }
    piece
}

/// Lines of wire, bent and forked, for signals that go far: one level of a soup is all wire and little else.
fn tangle(draw: &mut Draw) -> Vec<Piece> {
    let mut pieces = Vec::new();
    for y in 0..3 {
        for x in 0..8 {
            for z in 0..6 {
                let block = Block::new(x, y, z);
                let name = format!("p{}", pieces.len());
                match draw.below(10) {
                    0..5 => pieces.push(Piece::new(&name, Shape::Wire, [block])),
                    5 => pieces.push(piece(draw, &name, block)),
                    _ => {}
                }
            }
        }
    }
    pieces
}

fn some_soup(seed: u64) -> Vec<Piece> {
    let mut draw = Draw::new(5_000_000 + seed);
    match draw.below(4) {
        0 => tangle(&mut draw),
        1 => soup(&mut draw, Block::new(4, 3, 4), 20),
        2 => soup(&mut draw, Block::new(5, 3, 3), 50),
        _ => soup(&mut draw, Block::new(3, 2, 3), 5),
    }
}

const EARS: [Ear; 7] = [
    Ear::Lock,
    Ear::Trigger,
    Ear::Input(0),
    Ear::Input(1),
    Ear::Rear,
    Ear::Side,
    Ear::Watch,
];

#[test]
fn who_hears_whom_is_what_the_page_says_of_each_pair() {
    let seeds = std::env::var("SITE_SOUPS")
        .ok()
        .and_then(|count| count.parse().ok());
    let (mut heard_in_all, mut lost, mut armed, mut direct) = (0, BTreeMap::new(), 0, 0);
    for seed in 0..seeds.unwrap_or(1_000) {
        let world = world_of(some_soup(seed));
        let made = made(&world);
        let plainly = Plainly::of(&world);
        for listener in 0..world.pieces().len() {
            for ear in EARS {
                let reads = made.links[listener]
                    .iter()
                    .any(|(role, _)| *role == hallwright_site::network::Role::Reads);
                let expected = match reads && ear == Ear::Rear {
                    true => Heard::new(),
                    false => plainly.hears(listener, ear),
                };
                let hearing = made.hears[listener].get(&ear);
                let found: Heard = hearing
                    .into_iter()
                    .flat_map(|hearing| hearing.iter())
                    .map(|(source, heard)| (source, (heard.loss, heard.is_direct)))
                    .collect();
                let name = &world.piece(listener).name;
                assert_eq!(found, expected, "seed {seed}: {name} at its {ear:?}");
                heard_in_all += found.len();
                for (loss, is_direct) in found.values() {
                    *lost.entry(*loss).or_insert(0) += 1;
                    direct += usize::from(*is_direct);
                }
            }
            let arming: BTreeSet<usize> = made
                .armed
                .iter()
                .filter(|one| one.dropper == listener)
                .map(|one| one.source)
                .collect();
            let shape = world.piece(listener).shape;
            let is_dropper = matches!(shape, Shape::Dropper | Shape::Dispenser);
            let sources = 0..world.pieces().len();
            let expected: BTreeSet<usize> = sources
                .filter(|source| is_dropper && plainly.arms(*source, listener))
                .collect();
            assert_eq!(arming, expected, "seed {seed}: what arms {listener}");
            armed += arming.len();
        }
    }
    println!("{heard_in_all} heard, {direct} of them directly, {armed} armed; by loss {lost:?}");
    assert!(heard_in_all > 8_000 && armed > 300 && lost.len() == 15);
}

/// The same pieces in a module that is set down like this.
fn set_down(pieces: &[Piece], axes: Axes) -> Vec<Piece> {
    let turned = |piece: &Piece| {
        let mut piece = piece.clone();
        for block in &mut piece.blocks {
            *block = axes.way(*block);
        }
        piece.faces = piece.faces.map(|side| axes.side(side));
        for opening in &mut piece.openings {
            opening.block = axes.way(opening.block);
            opening.side = axes.side(opening.side);
        }
        piece
    };
    pieces.iter().map(turned).collect()
}

fn all_lines(pieces: Vec<Piece>) -> Vec<String> {
    let world: World = world_of(pieces);
    lines(&world, &made(&world))
}

#[test]
fn blocks_make_the_same_however_they_are_turned() {
    for seed in 0..400 {
        let pieces = some_soup(seed);
        let straight = all_lines(pieces.clone());
        for axes in Axes::all() {
            let turned = all_lines(set_down(&pieces, axes));
            assert_eq!(turned, straight, "seed {seed}, {axes:?}");
        }
    }
}
