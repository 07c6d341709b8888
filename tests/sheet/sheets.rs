//! What is in a sheet.

use std::collections::{BTreeMap, BTreeSet};

use hallwright_declared::space::Block;
use hallwright_sheet::{Bring, HeldBy, Sheet, Sort, csv, sheet, text};

use crate::support::{all_files, loaded, scenario, written};

fn of(name: &str) -> Sheet {
    sheet(&scenario(name), Block::default())
}

/// Blocks to bring, by hand.
fn blocks(listed: &[(Sort, u64)]) -> BTreeMap<Sort, u64> {
    listed.iter().copied().collect()
}

/// How many of a kind are brought, by who holds them.
fn goods(sheet: &Sheet) -> Vec<(HeldBy, &str, u64)> {
    let all = sheet.bring.goods_of(&sheet.kinds);
    all.map(|one| {
        (
            one.held_by,
            sheet.kinds[one.kind.index()].name.as_str(),
            one.count,
        )
    })
    .collect()
}

#[test]
fn what_the_filter_takes_is_what_one_counts_in_its_drawing() {
    let sheet = of("standing/filter.ron");
    // Its head says: 4 x 6 x 3 blocks, of which 22 are not open.
    assert_eq!(
        sheet.extent,
        Some((Block::new(0, 0, 0), Block::new(4, 6, 3)))
    );
    let drawn = blocks(&[
        (Sort::Full, 6),
        (Sort::Cap, 1),
        (Sort::Hopper, 5),
        (Sort::Chest, 3),
        (Sort::Wire, 3),
        (Sort::Repeater, 1),
        (Sort::Comparator, 1),
        (Sort::Inverter, 1),
        (Sort::Lever, 1),
    ]);
    assert_eq!(sheet.bring.blocks, drawn);
    assert_eq!(sheet.filled_blocks(), 22);
    assert_eq!(drawn.values().sum::<u64>(), 22);
    assert_eq!(sheet.bring.water_sources, 0);
    let expected = [
        (HeldBy::Sieve, "barley", 41),
        (HeldBy::Sieve, "peg", 4),
        (HeldBy::Other, "barley", 64),
    ];
    assert_eq!(goods(&sheet), expected);
    assert_eq!(
        (sheet.problems, sheet.nowhere.len(), sheet.at_its_word.len()),
        (0, 0, 0)
    );
    assert_eq!(
        sheet.links.all, sheet.links.proven,
        "every link is made by blocks"
    );
}

#[test]
fn the_heads_of_the_standing_examples_say_how_large_they_are() {
    let mut seen = 0;
    for path in all_files() {
        let source = std::fs::read_to_string(&path).expect("it can be read");
        let Some(line) = source.lines().find(|line| line.starts_with("// Size: ")) else {
            continue;
        };
        let numbers: Vec<i32> = line
            .split(|letter: char| !letter.is_ascii_digit())
            .filter_map(|number| number.parse().ok())
            .collect();
        if numbers.len() != 4 {
            continue; // It says no count, or something of a part of it as well.
        }
        let scenario = loaded(&path, None).expect("it loads");
        let sheet = sheet(&scenario, Block::new(5, -3, 9));
        let (_, size) = sheet.extent.expect("it stands");
        // The heads count every block that is drawn: mouths and benches too, which are left open.
        let cells = sheet.heights.iter().flat_map(|height| &height.cells);
        let drawn: BTreeSet<Block> = cells.clone().map(|cell| cell.block).collect();
        let open: BTreeSet<Block> = cells
            .filter(|cell| cell.is_open)
            .map(|cell| cell.block)
            .collect();
        let drawn = i32::try_from(drawn.len()).expect("it is small");
        let path = path.display();
        assert_eq!([size.x, size.y, size.z, drawn], numbers[..], "{path}");
        let filled = sheet.filled_blocks() + open.len();
        assert_eq!(i32::try_from(filled), Ok(drawn), "{path}");
        seen += 1;
    }
    assert!(seen >= 6, "{seen} examples say it");
}

#[test]
fn heights_and_what_stands_nowhere_add_up_to_all_there_is_to_bring() {
    for name in [
        "standing/bench.ron",
        "standing/return.ron",
        "bulk-slice.ron",
        "granary/built-slice.ron",
        "granary.ron",
    ] {
        let sheet = of(name);
        let mut blocks: BTreeMap<Sort, u64> = BTreeMap::new();
        let mut water_sources = 0;
        let mut add = |bring: &Bring| {
            for (sort, count) in &bring.blocks {
                *blocks.entry(*sort).or_default() += count;
            }
            water_sources += bring.water_sources;
        };
        sheet.heights.iter().for_each(|height| add(&height.bring));
        for part in &sheet.nowhere {
            let mut one = Bring::default();
            let open = [Sort::Mouth, Sort::Bench, Sort::Dock, Sort::Stream];
            let count = if part.sort == Sort::DoubleChest { 2 } else { 1 };
            if !open.contains(&part.sort) {
                one.blocks.insert(part.sort, count);
            }
            one.water_sources = u64::from(part.sort == Sort::Stream);
            add(&one);
        }
        assert_eq!(blocks, sheet.bring.blocks, "{name}");
        assert_eq!(water_sources, sheet.bring.water_sources, "{name}");
    }
}

#[test]
fn from_shifts_every_block_and_nothing_else() {
    let scenario = scenario("standing/return.ron");
    let from = Block::new(100, 64, -20);
    let (here, there) = (sheet(&scenario, Block::default()), sheet(&scenario, from));
    assert_eq!(here.placed.len(), there.placed.len());
    for (own, shifted) in here.placed.iter().zip(&there.placed) {
        let blocks: Vec<Block> = own.piece.blocks.iter().map(|block| *block + from).collect();
        assert_eq!(blocks, shifted.piece.blocks);
        let sources: Vec<Block> = own.sources.iter().map(|block| *block + from).collect();
        assert_eq!(sources, shifted.sources);
        assert_eq!(own.piece.faces, shifted.piece.faces);
    }
    assert_eq!(here.bring, there.bring);
    assert_eq!(here.order, there.order);
    let ys: Vec<i32> = there.heights.iter().map(|height| height.y).collect();
    assert_eq!(ys, [64, 65, 66, 67, 68, 69], "from below");
    let corner = there.extent.map(|(corner, _)| corner);
    assert_eq!(corner, Some(from), "its least corner is its (0, 0, 0)");
}

#[test]
fn what_is_new_on_a_height_is_what_is_not_like_the_block_below() {
    let sheet = written(
        r##"(
            title: "Two heights", seed: 1, run_for: "1s",
            goods: {"barley": 64},
            floors: [
                (y: 1, rows: ["drop> chest # twin!"]),
                (y: 0, rows: ["low>  .     # lower>"]),
            ],
            parts: {
                "drop": Hopper(), "chest": Chest(), "low": Hopper(),
                "twin": Hopper(), "lower": Hopper(),
            },
        )"##,
    );
    let sheet = hallwright_sheet::sheet(&sheet, Block::default());
    let upper = &sheet.heights[1];
    let new: Vec<bool> = upper.cells.iter().map(|cell| cell.is_new).collect();
    // The same hopper, a chest above nothing, the same full block, a hopper turned otherwise.
    assert_eq!(new, [false, true, false, true]);
    assert_eq!(upper.new_sorts, [Sort::Chest]);
    assert_eq!(sheet.heights[0].new_sorts, [Sort::Full, Sort::Hopper]);
}

#[test]
fn a_hall_without_positions_has_a_parts_list_and_what_is_taken_at_its_word() {
    let sheet = written(
        r#"(
            title: "A shelf on paper", seed: 1, run_for: "1s",
            goods: {"barley": 64, "flax": 64, "peg": 64},
            parts: {
                "feed": Hopper(target: "eye", holds: ["barley"]),
                "eye": Selector(takes: Kinds(["flax"]), match: "gather", rest: "end"),
                "gather": Hopper(target: "store"), "store": Chest(), "end": Barrel(),
                "sieve": Hopper(
                    above: "feed",
                    holds: [(slot: 0, kind: "barley", count: 41), (kind: "peg", slots: 4)],
                ),
            },
            sieves: ["sieve"],
        )"#,
    );
    let sheet = hallwright_sheet::sheet(&sheet, Block::default());
    assert!(sheet.placed.is_empty() && sheet.heights.is_empty());
    assert_eq!(sheet.extent, None);
    let selectors = sheet.at_its_word.iter();
    let selectors: Vec<_> = selectors.filter(|one| one.sort == Sort::Selector).collect();
    assert_eq!(selectors.len(), 1);
    assert_eq!(selectors[0].piece, None);
    // Its match, its rest, and the hopper that pushes into it.
    assert!(selectors[0].links >= 3, "{selectors:?}");
    assert_eq!(sheet.links.proven, 0);
    let sieves = goods(&sheet)
        .iter()
        .filter(|(held_by, _, _)| *held_by == HeldBy::Sieve)
        .map(|(_, _, count)| count)
        .sum::<u64>();
    assert_eq!(sieves, 45, "41 items and four pegs");
    let page = text(&sheet, 80);
    assert!(page.contains("no positions"), "{page}");
    assert!(page.contains("selector"), "{page}");
    let table = csv(&sheet);
    let rows = table.lines().count() - 1;
    assert_eq!(rows, sheet.nowhere.len(), "a row for each part: {table}");
}

#[test]
fn plans_fit_the_page_and_have_every_block_once() {
    let sheet = of("standing/return.ron");
    for columns in [40, 44, 80, 100, 200] {
        let page = text(&sheet, columns);
        for line in page.lines() {
            let length = line.chars().count();
            assert!(
                length <= usize::from(columns),
                "{length} of {columns}: {line}"
            );
        }
        // In the rows of plans, which begin with a number, each hopper is one `H` with its sign.
        let rows = page
            .lines()
            .filter(|line| line.starts_with(|one: char| one.is_ascii_digit()));
        let cells = rows.flat_map(str::split_whitespace);
        let hoppers = cells
            .filter(|cell| cell.starts_with('H') && cell.len() <= 3)
            .count();
        assert_eq!(hoppers as u64, sheet.bring.blocks[&Sort::Hopper], "{page}");
    }
}

#[test]
fn the_legend_has_every_letter_of_the_plans() {
    for name in [
        "standing/bench.ron",
        "standing/return.ron",
        "bulk-slice.ron",
    ] {
        let sheet = of(name);
        let page = text(&sheet, 200);
        let cells = sheet.heights.iter().flat_map(|height| &height.cells);
        let sorts: BTreeSet<Sort> = cells.map(|cell| cell.sort).collect();
        for sort in sorts {
            let entry = format!("{} {}", sort.letter(), sort.words());
            assert!(page.contains(&entry), "{name}: {entry}");
        }
    }
}

#[test]
fn two_parts_at_two_ends_of_the_world_have_no_plan() {
    let far = written(
        r#"(
            title: "Far apart", seed: 1, run_for: "1s",
            goods: {"barley": 64},
            parts: {
                "here": Chest(position: (0, 0, 0)),
                "there": Chest(position: (2000000, 0, 2000000)),
            },
        )"#,
    );
    let page = text(&hallwright_sheet::sheet(&far, Block::default()), 80);
    assert!(page.contains("too large to be drawn"), "{page}");
    assert!(page.contains("(2000000, 0, 2000000) chest there"), "{page}");
    assert!(page.len() < 4_000, "{page}");
}

#[test]
fn the_hours_to_build_are_those_of_the_blocks_at_the_rate() {
    // The head of the filter says 22 blocks; at 600 an hour, the usual rate, that is 0.0367 hours.
    let sheet = of("standing/filter.ron");
    assert_eq!(
        (sheet.build.blocks(), sheet.build.blocks_per_hour),
        (22, 600)
    );
    let words = "0.04 h to build 22 blocks at 600 an hour";
    assert!(text(&sheet, 80).contains(words));
    assert!(
        hallwright_sheet::html(&sheet)
            .expect("it can be filled")
            .contains(words)
    );
}

#[test]
fn what_stands_nowhere_is_called_what_it_is() {
    let sheet = sheet(
        &written(
            r#"(
                title: "Millbrook Granary, somewhere",
                run_for: "1s",
                parts: {
                    "chest": Chest(),
                    "keg": Barrel(),
                    "long": DoubleChest(),
                    "rack": Container(slots: 27),
                },
            )"#,
        ),
        Block::default(),
    );
    let sorts: Vec<Sort> = sheet.nowhere.iter().map(|part| part.sort).collect();
    let expected = [
        Sort::Chest,
        Sort::Barrel,
        Sort::DoubleChest,
        Sort::Container,
    ];
    assert_eq!(sorts, expected);
    let brought = blocks(&[
        (Sort::Chest, 1),
        (Sort::Barrel, 1),
        (Sort::DoubleChest, 2),
        (Sort::Container, 1),
    ]);
    assert_eq!(sheet.bring.blocks, brought);
    let text = text(&sheet, 100);
    assert!(text.contains("\n  barrel keg"), "{text}");
}
