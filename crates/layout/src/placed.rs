//! Parts at their block positions, seen from above or from the side, whichever shows more of them.
//!
//! Parts behind each other are drawn beside each other: a block of the picture has as many columns as
//! the network has levels in the direction of sight.

use std::collections::{BTreeMap, BTreeSet};

use hallwright_core::network::Network;

use super::modules::Modules;
use super::{Map, Module, Place};

/// Room inside an module's edge, in cells, and above it for the name.
const MARGIN: f64 = 0.35;
const HEAD: f64 = 0.9;
/// How far apart levels are, in cells: parts alone, and with frames between them.
const LEVELS: (f64, f64) = (1.5, 1.0 + HEAD + MARGIN + 0.15);
/// Room between a block and the next, for the edges of two frames.
const BETWEEN: f64 = 2.0 * MARGIN + 0.05;
/// How far apart the parts stand that have no position.
const STEP: f64 = 1.5;
/// How far apart the lines of these parts are.
const LINE: f64 = 2.4;

/// Whether the layout says where most parts that are no signals stand.
pub(crate) fn has_places(network: &Network, positions: &[Option<(i32, i32, i32)>]) -> bool {
    let mut placed = 0;
    let mut others = 0;
    for ((_, part), position) in network.parts().zip(positions) {
        match position {
            Some(_) => placed += 1,
            None if part.signal().is_none() => others += 1,
            None => {}
        }
    }
    placed > 0 && placed >= others
}

/// Puts the parts at their positions; those without one in lines below.
pub(crate) fn lay_out(
    network: &Network,
    modules: &Modules,
    positions: &[Option<(i32, i32, i32)>],
) -> Map {
    // Frames that lie above each other need more room between them.
    let map = with_pitch(network, modules, positions, LEVELS.0);
    if are_apart(&map.modules) {
        map
    } else {
        with_pitch(network, modules, positions, LEVELS.1)
    }
}

/// The map with its levels so many cells apart.
fn with_pitch(
    network: &Network,
    modules: &Modules,
    positions: &[Option<(i32, i32, i32)>],
    level_cells: f64,
) -> Map {
    let positions = apart(positions);
    let known: Vec<(i32, i32, i32)> = positions.iter().flatten().copied().collect();
    let levels = |of: fn(&(i32, i32, i32)) -> i32| -> BTreeMap<i32, usize> {
        let levels: BTreeSet<i32> = known.iter().map(of).collect();
        levels.into_iter().zip(0..).collect()
    };
    let (heights, depths) = (levels(|at| at.1), levels(|at| at.2));
    let from_side = heights.len() > depths.len();
    let behind = if from_side { &depths } else { &heights };
    let columns = behind.len().max(1);
    let least = |of: fn(&(i32, i32, i32)) -> i32| known.iter().map(of).min().unwrap_or(0);
    let most_y = known.iter().map(|at| at.1).max().unwrap_or(0);
    let (least_x, least_z) = (least(|at| at.0), least(|at| at.2));
    let spot = |(x, y, z): (i32, i32, i32)| {
        let level = if from_side {
            behind.get(&z)
        } else {
            behind.get(&y)
        };
        let pitch = columns as f64 * 1.15 + BETWEEN;
        let across = f64::from(x - least_x) * pitch + level.copied().unwrap_or(0) as f64 * 1.15;
        let down = if from_side { most_y - y } else { z - least_z };
        (across, f64::from(down) * level_cells)
    };
    let mut places: Vec<Option<(f64, f64)>> = positions.iter().map(|at| at.map(spot)).collect();
    let below = extent(places.iter().flatten()).1;
    put_below(&mut places, &modules.module_of, below + 3.0);
    let places: Vec<(f64, f64)> = places.into_iter().flatten().collect();
    let is_placed: Vec<bool> = positions.iter().map(Option::is_some).collect();
    let made = enclosed(network, modules, &places, &is_placed);
    Map {
        modules: made,
        module_of: modules.module_of.clone(),
        places,
        is_placed: true,
    }
}

/// Whether no two frames side by side in the same module cover each other.
fn are_apart(modules: &[Module]) -> bool {
    let covers = |one: &Module, other: &Module| {
        one.parent == other.parent
            && one.place.x < other.place.x + other.place.width
            && other.place.x < one.place.x + one.place.width
            && one.place.y < other.place.y + other.place.height
            && other.place.y < one.place.y + one.place.height
    };
    let pairs = modules.iter().enumerate();
    pairs
        .flat_map(|(number, one)| modules[number + 1..].iter().map(move |other| (one, other)))
        .all(|(one, other)| !covers(one, other))
}

/// The positions without those that an earlier part has already.
fn apart(positions: &[Option<(i32, i32, i32)>]) -> Vec<Option<(i32, i32, i32)>> {
    let mut taken = BTreeSet::new();
    let free = positions.iter().map(|at| at.filter(|at| taken.insert(*at)));
    free.collect()
}

/// How far to the right and down some parts reach.
fn extent<'p>(places: impl Iterator<Item = &'p (f64, f64)>) -> (f64, f64) {
    places.fold((0.0, 0.0), |(right, down): (f64, f64), (x, y)| {
        (right.max(x + 1.0), down.max(y + 1.0))
    })
}

/// Puts the parts without a place in lines below all others, those of an module beside each other.
fn put_below(places: &mut [Option<(f64, f64)>], module_of: &[usize], top: f64) {
    let mut groups: Vec<(usize, Vec<usize>)> = Vec::new();
    for (part, module) in module_of.iter().enumerate() {
        if places[part].is_some() {
            continue;
        }
        match groups.iter_mut().find(|(of, _)| of == module) {
            Some((_, parts)) => parts.push(part),
            None => groups.push((*module, vec![part])),
        }
    }
    let count: usize = groups.iter().map(|(_, parts)| parts.len()).sum();
    let width = extent(places.iter().flatten()).0;
    let columns = (width / STEP).max((count as f64).sqrt() * 1.5).max(1.0);
    let columns = columns.floor() as usize;
    let (mut row, mut column) = (0, 0);
    for (_, parts) in groups {
        // Modules stay whole where they can.
        if column > 0 && column + parts.len() > columns {
            (row, column) = (row + 1, 0);
        }
        for part in parts {
            if column >= columns {
                (row, column) = (row + 1, 0);
            }
            let place = (column as f64 * STEP, top + row as f64 * LINE);
            places[part] = Some(place);
            column += 1;
        }
        column += 1;
    }
}

/// The modules around what stands in them: around the parts that have a position, if any has.
fn enclosed(
    network: &Network,
    modules: &Modules,
    places: &[(f64, f64)],
    is_placed: &[bool],
) -> Vec<Module> {
    let mut has_placed = vec![false; modules.names.len()];
    for (part, module) in modules.module_of.iter().enumerate() {
        has_placed[*module] |= is_placed[part];
    }
    for module in (0..has_placed.len()).rev() {
        if let Some(parent) = modules.parents[module] {
            has_placed[parent] |= has_placed[module];
        }
    }
    // The whole hall is around everything.
    has_placed[0] = false;
    type Edges = (f64, f64, f64, f64);
    const NOTHING: Edges = (f64::INFINITY, f64::INFINITY, -1.0, -1.0);
    let wider = |one: Edges, other: Edges| {
        (
            one.0.min(other.0),
            one.1.min(other.1),
            one.2.max(other.2),
            one.3.max(other.3),
        )
    };
    let mut edges = vec![NOTHING; modules.names.len()];
    for part in network.part_ids() {
        let (x, y) = places[part.index()];
        edges[0] = wider(edges[0], (x, y, x + 1.0, y + 1.0));
        let module = modules.module_of[part.index()];
        if has_placed[module] && !is_placed[part.index()] {
            continue;
        }
        edges[module] = wider(edges[module], (x, y, x + 1.0, y + 1.0));
    }
    for module in (0..edges.len()).rev() {
        let own = &mut edges[module];
        *own = (own.0 - MARGIN, own.1 - HEAD, own.2 + MARGIN, own.3 + MARGIN);
        let own = *own;
        if let Some(parent) = modules.parents[module]
            && (has_placed[module] || !has_placed[parent])
        {
            edges[parent] = wider(edges[parent], own);
        }
    }
    let module = |(number, edges): (usize, &Edges)| Module {
        name: modules.names[number].clone(),
        goods: modules.goods[number].clone(),
        parent: modules.parents[number],
        place: Place {
            x: edges.0,
            y: edges.1,
            width: edges.2 - edges.0,
            height: edges.3 - edges.1,
        },
    };
    edges.iter().enumerate().map(module).collect()
}

#[cfg(test)]
mod tests {
    use hallwright_core::network::NetworkBuilder;
    use hallwright_core::part::{Container, Part};
    use hallwright_core::rules::Rules;

    use super::*;

    /// Chests of these names.
    fn chests(names: &[&str]) -> Network {
        let mut builder = NetworkBuilder::new(Rules::default());
        for name in names {
            builder.add(name, Part::Container(Container { slots: 1 }));
        }
        builder.build().expect("chests are sound")
    }

    #[test]
    fn parts_stand_where_the_layout_says_and_none_covers_another() {
        let network = chests(&["west", "east", "above east", "shed.south", "homeless"]);
        let at = |x, y, z| Some((x, y, z));
        let positions = [at(10, 0, 5), at(12, 0, 5), at(12, 1, 5), at(10, 0, 6), None];
        let modules = Modules::new(&network, &[]);
        assert!(has_places(&network, &positions));
        let map = lay_out(&network, &modules, &positions);
        let place = |part: usize| map.places[part];
        // From above: two blocks east is right of, one block south is below.
        assert!(place(1).0 > place(0).0 && place(1).1 == place(0).1);
        assert!(place(3).0 == place(0).0 && place(3).1 > place(0).1);
        assert_apart(&map);
        // The one without a position stands below all others, and the shed is around what is in it.
        assert!((0..4).all(|part| place(part).1 + 1.0 <= place(4).1));
        let shed = map.modules[1].place;
        assert!(shed.x < place(3).0 && shed.y < place(3).1);
        assert!(shed.x + shed.width > place(3).0 + 1.0);
    }

    /// No part covers another.
    #[track_caller]
    fn assert_apart(map: &Map) {
        for (number, (ax, ay)) in map.places.iter().enumerate() {
            for (bx, by) in &map.places[..number] {
                assert!((ax - bx).abs() >= 1.0 || (ay - by).abs() >= 1.0, "{number}");
            }
        }
    }

    #[test]
    fn a_tower_is_seen_from_the_side_and_what_is_behind_stands_beside() {
        let network = chests(&["ground", "first", "second", "behind first"]);
        let at = |x, y, z| Some((x, y, z));
        let positions = [at(0, -1, 0), at(0, 0, 0), at(0, 1, 0), at(0, 0, 1)];
        let map = lay_out(&network, &Modules::new(&network, &[]), &positions);
        let place = |part: usize| map.places[part];
        // Higher is further up, and one block behind is beside, before the next block along.
        assert!(place(2).1 < place(1).1 && place(1).1 < place(0).1);
        assert_eq!(place(0).0, place(2).0);
        assert_eq!(place(3).1, place(1).1);
        assert!(place(3).0 >= place(1).0 + 1.0);
        assert_apart(&map);
    }

    #[test]
    fn an_module_is_around_what_has_a_position_and_the_rest_of_it_stands_below() {
        let names = [
            "hut.store",
            "hut.lamp",
            "shed.a",
            "shed.b",
            "yard",
            "hut.bell",
        ];
        let network = chests(&names);
        let at = |x, y, z| Some((x, y, z));
        let positions = [
            at(0, 0, 0),
            None,
            at(4, 0, 0),
            at(4, 0, 1),
            at(2, 0, 0),
            None,
        ];
        let map = lay_out(&network, &Modules::new(&network, &[]), &positions);
        let [hall, hut, shed] = [0, 1, 2].map(|module| map.modules[module].place);
        assert!(hut.x + hut.width < shed.x, "{hut:?} {shed:?}");
        assert!(hut.y + hut.height < map.places[1].1);
        // The two of one module are neighbours, and the whole hall has room for them.
        assert_eq!(map.places[1].1, map.places[5].1);
        assert!(hall.y + hall.height >= map.places[5].1 + 1.0);
        assert_apart(&map);
    }

    #[test]
    fn two_parts_at_one_position_do_not_cover_each_other() {
        let network = chests(&["one", "other", "third"]);
        let positions = [Some((0, 0, 0)), Some((0, 0, 0)), Some((1, 0, 0))];
        assert_apart(&lay_out(&network, &Modules::new(&network, &[]), &positions));
    }

    #[test]
    fn frames_above_each_other_have_room_between_them() {
        let network = chests(&["a.low", "a.high", "b.low", "b.high", "c.low"]);
        let at = |x, y| Some((x, y, 0));
        let positions = [at(0, 0), at(0, 1), at(0, 2), at(0, 3), at(1, 0)];
        let map = lay_out(&network, &Modules::new(&network, &[]), &positions);
        assert_eq!(map.modules.len(), 4);
        assert!(are_apart(&map.modules), "{:?}", map.modules);
    }

    #[test]
    fn a_few_positions_are_not_enough_for_a_map() {
        let network = chests(&["one", "other", "third"]);
        let placed = Some((0, 0, 0));
        assert!(!has_places(&network, &[None, None, None]));
        assert!(!has_places(&network, &[placed, None, None]));
        assert!(has_places(&network, &[placed, placed, None]));
    }
}
