//! The cube-per-order index.

use hallwright_plan::allocate::order::{
    Demand, by_cube_per_order, by_group_and_cube_per_order, cost,
};

/// Space and orders, and distances from 1 to 10.
const DEMANDS: [Demand; 4] = [
    Demand {
        space: 2,
        orders: 30,
    },
    Demand {
        space: 4,
        orders: 100,
    },
    Demand {
        space: 1,
        orders: 5,
    },
    Demand {
        space: 3,
        orders: 45,
    },
];

/// All orders of so many things.
fn permutations(count: usize) -> Vec<Vec<usize>> {
    let Some(last) = count.checked_sub(1) else {
        return vec![Vec::new()];
    };
    let mut all = Vec::new();
    for shorter in permutations(last) {
        for at in 0..=shorter.len() {
            let mut longer = shorter.clone();
            longer.insert(at, last);
            all.push(longer);
        }
    }
    all
}

#[test]
fn the_index_finds_the_cheapest_order() {
    // By hand: 4/100 < 2/30 = 3/45 < 1/5. Distances 1 to 4, 5 and 6, 7 to 9, and 10: means 2.5, 5.5,
    // 8 and 10, so 100 x 2.5 + 30 x 5.5 + 45 x 8 + 5 x 10 = 825.
    let order = by_cube_per_order(&DEMANDS);
    assert_eq!(order, [1, 0, 3, 2]);
    assert!((cost(&DEMANDS, &order) - 825.0).abs() < 1e-9);
    let costs = permutations(4)
        .into_iter()
        .map(|order| cost(&DEMANDS, &order));
    let costs: Vec<f64> = costs.collect();
    assert_eq!(costs.len(), 24);
    let least = costs.into_iter().fold(f64::INFINITY, f64::min);
    assert!((least - 825.0).abs() < 1e-9, "{least}");
}

#[test]
fn groups_stay_together() {
    // The second and the third are one group: (5, 105) together is 5/105 < 2/30 = 3/45.
    let groups = [None, Some(7), Some(7), None];
    assert_eq!(by_group_and_cube_per_order(&DEMANDS, &groups), [1, 2, 0, 3]);
}

#[test]
fn what_is_never_called_for_is_farthest() {
    let never = Demand {
        space: 1,
        orders: 0,
    };
    let seldom = Demand {
        space: 9,
        orders: 1,
    };
    assert_eq!(by_cube_per_order(&[never, seldom]), [1, 0]);
}
