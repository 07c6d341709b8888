//! On which side of its aisle each slice stands. That follows from how long all lines are, as
//! [`lay`](mod@crate::lay) lays them out.

use std::collections::BTreeMap;

use super::places::number_of;
use crate::fit::{FittedLine, places};
use crate::hall::{Hall, Sort};
use crate::lay::lay;
use crate::sections::sections;

/// How many slices each sort has, by its number, free ones counted.
pub type Counts = [usize; 3];

/// The sides of all slices of lines of some lengths.
#[derive(Clone, PartialEq, Eq, Debug, Default)]
pub struct Sides {
    /// By the number of the sort and the number along its line, from 1.
    sides: BTreeMap<(usize, u64), u64>,
}

impl Sides {
    /// Lays out lines with so many slices. `None` if the hall has no room for them.
    #[must_use]
    pub fn of(hall: &Hall, counts: Counts) -> Option<Self> {
        let sorts = Sort::ALL
            .into_iter()
            .filter(|sort| hall.slice(*sort).is_some());
        let lines: Vec<FittedLine> = sorts
            .map(|sort| FittedLine {
                sort,
                used: 0,
                reserve: 0,
                places: places(hall, sort, &[], counts[sort.index()] as u64),
                linked: Default::default(),
            })
            .collect();
        let layout = lay(&sections(&lines, hall), hall).ok()?;
        let mut sides = BTreeMap::new();
        for laid in &layout.laid {
            let Some(sort) = laid.section.sort else {
                continue;
            };
            for at in laid.section.first..laid.section.first + laid.section.places {
                let side = laid.side_of_aisle(hall.sides);
                sides.insert((sort.index(), at as u64 + 1), side);
            }
        }
        Some(Self { sides })
    }

    /// The side of a place, by its number along the line, from 1; `None` if the line is not so long.
    #[must_use]
    pub fn of_number(&self, sort: Sort, number: u64) -> Option<u64> {
        self.sides.get(&(sort.index(), number)).copied()
    }

    /// The side of a slice, counted from 0 without what is left out; 0 if the line is not so long.
    #[must_use]
    pub fn of_slice(&self, hall: &Hall, sort: Sort, slice: usize) -> u64 {
        self.of_number(sort, number_of(hall, sort, slice))
            .unwrap_or(0)
    }
}
