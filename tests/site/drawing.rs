//! Small worlds, drawn.
//!
//! A world is one text. Its heights are divided by lines of `---`, the highest first; the lines of a height
//! are its rows, along z; the words of a row are its blocks, along x. `.` is an open block, `#` a full one.
//! Any other word is a name, whose letters up to the first `_` or digit say what stands there. A name in several
//! blocks is one thing. Behind the name stands where it points: `>` along x, `<` back, `v` along z, `^` back,
//! `'` up, `,` down; of an inverter, lever or button to what it is fastened.

use std::collections::BTreeMap;

use hallwright_core::part::ComparatorMode;
use hallwright_core::predicate::Predicate;
use hallwright_declared::space::{Block, Side};
use hallwright_site::blocks::{LiftedWhen, Opening, Piece, Settings, Shape, Use, World};
use hallwright_site::derive::{Made, made};
use hallwright_site::network::{Ear, Role};

/// The pieces of a drawing, in the order of their names, full blocks last.
pub(crate) fn pieces(drawing: &str) -> Vec<Piece> {
    let mut named: BTreeMap<&str, Piece> = BTreeMap::new();
    let mut full = Vec::new();
    let heights: Vec<&str> = drawing.split("---").collect();
    for (down, height) in heights.iter().enumerate() {
        let rows = height.lines().filter(|row| !row.trim().is_empty());
        for (z, row) in rows.enumerate() {
            for (x, word) in row.split_whitespace().enumerate() {
                let number = |count: usize| i32::try_from(count).expect("drawings are small");
                let y = number(heights.len() - 1 - down);
                let block = Block::new(number(x), y, number(z));
                match word {
                    "." => {}
                    "#" => full.push(Piece::new("", Shape::Full, [block])),
                    _ => {
                        let (name, faces) = split(word);
                        let piece = || piece(name, faces);
                        named.entry(name).or_insert_with(piece).blocks.push(block);
                    }
                }
            }
        }
    }
    named.into_values().chain(full).collect()
}

/// A world of these pieces, each in blocks of its own.
pub(crate) fn world_of(pieces: Vec<Piece>) -> World {
    let (world, taken) = World::of_pieces(pieces);
    assert_eq!(taken, [], "nothing is drawn twice");
    world
}

fn split(word: &str) -> (&str, Option<Side>) {
    let signs = [
        ('>', Side::PlusX),
        ('<', Side::MinusX),
        ('^', Side::MinusZ),
        ('v', Side::PlusZ),
        ('\'', Side::PlusY),
        (',', Side::MinusY),
    ];
    let found = signs.into_iter().find(|(sign, _)| word.ends_with(*sign));
    match found {
        Some((sign, side)) => (word.trim_end_matches(sign), Some(side)),
        None => (word, None),
    }
}

fn piece(name: &str, faces: Option<Side>) -> Piece {
    let letters = |c: char| c == '_' || c.is_ascii_digit();
    let sort = name.split(letters).next().unwrap_or_default();
    let mut piece = Piece::new(name, shape(sort), []);
    piece.settings = settings(sort);
    piece.faces = faces.or((piece.shape == Shape::Hopper).then_some(Side::MinusY));
    piece
}

fn shape(sort: &str) -> Shape {
    match sort {
        "wire" => Shape::Wire,
        "cap" => Shape::Cap,
        "hopper" => Shape::Hopper,
        "dropper" => Shape::Dropper,
        "dispenser" => Shape::Dispenser,
        "chest" => Shape::Chest,
        "apart" => Shape::ChestApart,
        "double" => Shape::DoubleChest,
        "barrel" => Shape::Barrel,
        "store" => Shape::Container,
        "observer" => Shape::Observer,
        "comparator" | "subtractor" => Shape::Comparator,
        "repeater" => Shape::Repeater,
        "inverter" => Shape::Inverter,
        "lever" => Shape::Lever,
        "button" => Shape::Button,
        "bench" => Shape::Bench,
        "stream" => Shape::Stream,
        "mouth" => Shape::Mouth,
        "selector" | "dock" | "latch" | "clock" => Shape::Word,
        _ => panic!("`{sort}` is nothing that can be drawn"),
    }
}

fn settings(sort: &str) -> Option<Settings> {
    Some(match sort {
        "wire" | "cap" => return None,
        "hopper" => Settings::Hopper,
        "dropper" | "dispenser" => Settings::Dropper,
        "double" => Settings::Container { slots: 54 },
        "chest" | "apart" | "barrel" | "store" => Settings::Container { slots: 27 },
        "observer" => Settings::Observer,
        "comparator" => Settings::Comparator {
            mode: ComparatorMode::Compare,
        },
        "subtractor" => Settings::Comparator {
            mode: ComparatorMode::Subtract,
        },
        "repeater" => Settings::Repeater { delay_ticks: 2 },
        "inverter" => Settings::Inverter,
        "lever" => Settings::Lever { starts_on: false },
        "button" => Settings::Button { hold_ticks: 20 },
        "bench" => Settings::Bench {
            lift: LiftedWhen::Empty,
            after_ticks: 0,
        },
        "stream" => Settings::Stream { transit_ticks: 30 },
        "mouth" => Settings::Mouth,
        "selector" => Settings::Selector {
            latency_ticks: 8,
            interval_ticks: 8,
            holds: 1,
            takes: Predicate::Box,
        },
        "dock" => Settings::Dock,
        "latch" => Settings::Latch,
        "clock" => Settings::Clock {
            period_ticks: 40,
            high_ticks: 4,
            phase_ticks: 0,
        },
        _ => panic!("`{sort}` is nothing that can be drawn"),
    })
}

/// Gives a box an opening in its only block.
pub(crate) fn open(pieces: &mut [Piece], name: &str, side: Side, usage: Use) {
    let piece = pieces.iter_mut().find(|piece| piece.name == name);
    let piece = piece.expect("the box is drawn");
    let block = piece.blocks[0];
    piece.openings.push(Opening { block, side, usage });
}

/// What a drawn world makes, a line for each link: [`lines`].
pub(crate) fn drawn(drawing: &str) -> Vec<String> {
    let world = world_of(pieces(drawing));
    lines(&world, &made(&world))
}

/// A line for each link, for each source at each ear, and for what no network can say, sorted.
pub(crate) fn lines(world: &World, made: &Made) -> Vec<String> {
    let name = |number: usize| world.piece(number).name.as_str();
    let mut lines = Vec::new();
    for (number, links) in made.links.iter().enumerate() {
        for (role, to) in links {
            let link = format!("{} {} {}", name(number), role_word(*role), name(*to));
            lines.push(link);
        }
    }
    for (number, hears) in made.hears.iter().enumerate() {
        for (ear, hearing) in hears {
            for (source, heard) in hearing.iter() {
                let through = match (heard.is_direct, heard.loss) {
                    (true, _) => String::new(),
                    (false, loss) => format!(" -{loss}"),
                };
                let ear = ear_word(*ear);
                lines.push(format!("{} {ear} {}{through}", name(number), name(source)));
            }
        }
    }
    let open = made.open_tops.iter();
    lines.extend(open.map(|hopper| format!("{} is open", name(*hopper))));
    let armed = made.armed.iter();
    lines.extend(armed.map(|one| format!("{} armed by {}", name(one.dropper), name(one.source))));
    let drowned = made.drowned.iter();
    lines.extend(
        drowned.map(|one| format!("{} drowned by {}", name(one.comparator), name(one.source))),
    );
    lines.sort();
    lines
}

fn role_word(role: Role) -> String {
    match role {
        Role::Target => "pushes into".to_owned(),
        Role::Above => "draws from".to_owned(),
        Role::Drinks => "drinks from".to_owned(),
        Role::Loose => "throws at".to_owned(),
        Role::Stop(number) => format!("stop {number}"),
        other => format!("{other:?}").to_lowercase(),
    }
}

fn ear_word(ear: Ear) -> String {
    match ear {
        Ear::Input(0) => "hears".to_owned(),
        Ear::Input(number) => format!("hears {number}"),
        Ear::Release(number) => format!("release {number}"),
        other => format!("{other:?}").to_lowercase(),
    }
}
