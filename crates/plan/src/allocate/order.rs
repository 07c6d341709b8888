//! The order along the line: the cube-per-order index (J. L. Heskett, "Cube-per-order index, a key
//! to warehouse stock location", Transportation and Distribution Management 3 (1963) 27-31). What
//! takes little space for each order goes nearest the input.

use std::cmp::Ordering;

/// What is put in order.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Demand {
    /// The space that it takes, above 0.
    pub space: u64,
    /// How often it is called for.
    pub orders: u64,
}

/// The sum of two demands.
impl std::ops::Add for Demand {
    type Output = Self;

    fn add(self, other: Self) -> Self {
        Self {
            space: self.space + other.space,
            orders: self.orders + other.orders,
        }
    }
}

/// Compares space for each order: less comes first. Without orders it is last.
fn compare(one: Demand, other: Demand) -> Ordering {
    let crossed = |space: u64, orders: u64| u128::from(space) * u128::from(orders);
    match (one.orders, other.orders) {
        (0, 0) => one.space.cmp(&other.space),
        (0, _) => Ordering::Greater,
        (_, 0) => Ordering::Less,
        _ => crossed(one.space, other.orders).cmp(&crossed(other.space, one.orders)),
    }
}

/// The numbers of all demands, nearest the input first; equal ones in their order.
#[must_use]
pub fn by_cube_per_order(demands: &[Demand]) -> Vec<usize> {
    let mut order: Vec<usize> = (0..demands.len()).collect();
    order.sort_by(|one, other| compare(demands[*one], demands[*other]));
    order
}

/// The numbers of all demands, nearest the input first, the members of each group next to one another:
/// groups by their sums, then the members of each. Things of no group stand alone.
#[must_use]
pub fn by_group_and_cube_per_order(demands: &[Demand], groups: &[Option<usize>]) -> Vec<usize> {
    let mut gathered: Vec<(Option<usize>, Vec<usize>)> = Vec::new();
    for (number, group) in groups.iter().enumerate() {
        let known = gathered
            .iter_mut()
            .find(|(known, _)| known.is_some() && known == group);
        match known {
            Some((_, members)) => members.push(number),
            None => gathered.push((*group, vec![number])),
        }
    }
    let none = Demand {
        space: 0,
        orders: 0,
    };
    let sums: Vec<Demand> = gathered
        .iter()
        .map(|(_, members)| {
            members
                .iter()
                .fold(none, |sum, number| sum + demands[*number])
        })
        .collect();
    let mut order = Vec::with_capacity(demands.len());
    for group in by_cube_per_order(&sums) {
        let members = &gathered[group].1;
        let own: Vec<Demand> = members.iter().map(|number| demands[*number]).collect();
        order.extend(by_cube_per_order(&own).into_iter().map(|at| members[at]));
    }
    order
}

/// What an order costs: every order goes to all the space of its goods alike, so that the goods cost
/// their orders times the mean distance of their space. The distance of the first unit of space is
/// 1. Returned in whole numbers if each mean is one.
#[must_use]
pub fn cost(demands: &[Demand], order: &[usize]) -> f64 {
    let mut before = 0;
    let mut sum = 0.0;
    for number in order {
        let Demand { space, orders } = demands[*number];
        let mean = before as f64 + (space as f64 + 1.0) / 2.0;
        sum += orders as f64 * mean;
        before += space;
    }
    sum
}
