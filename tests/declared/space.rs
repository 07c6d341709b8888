//! Blocks, sides, and the ways in which a module can be set down.

use hallwright_declared::space::{Axes, Block, Side};

#[test]
fn there_are_eight_ways_to_set_a_module_down() {
    let all: Vec<Axes> = Axes::all().collect();
    assert_eq!(all.len(), 8);
    assert_eq!(all[0], Axes::default());
    for axes in all {
        for side in Side::ALL {
            assert_eq!(axes.way(side.step()), axes.side(side).step());
        }
    }
}

#[test]
fn ways_in_modules_in_modules_turn_twice() {
    let way = Block::new(3, 5, -7);
    for outer in Axes::all() {
        for inner in Axes::all() {
            assert_eq!(outer.then(inner).way(way), outer.way(inner.way(way)));
        }
    }
}

#[test]
fn neighbours_are_on_opposite_sides_of_each_other() {
    let here = Block::new(1, 2, 3);
    for side in Side::ALL {
        let there = here.beside(side);
        assert_eq!(here.side_of(there), Some(side));
        assert_eq!(there.side_of(here), Some(side.opposite()));
        assert_eq!(Side::named(side.name()), Some(side));
        assert_eq!(Side::of_sign(side.sign()), Some(side));
        assert_eq!(-side.step(), side.opposite().step());
    }
    assert_eq!(here.side_of(here), None);
}
