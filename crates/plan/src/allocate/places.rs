//! Slices by their number along the line, as builders count them: places that are left out count too.

use crate::hall::{Hall, Sort};

/// Whether the place of a number, from 1, is left out.
#[must_use]
pub fn is_left_out(hall: &Hall, sort: Sort, number: u64) -> bool {
    hall.gaps
        .iter()
        .any(|gap| gap.sort == sort && (gap.from..gap.from + gap.count).contains(&number))
}

/// The number, from 1 along the line, of a slice, which is counted from 0 without what is left out.
#[must_use]
pub fn number_of(hall: &Hall, sort: Sort, slice: usize) -> u64 {
    let built = (1..).filter(|number| !is_left_out(hall, sort, *number));
    built.skip(slice).find(|_| true).unwrap_or(u64::MAX)
}

/// The slice of a number, from 1 along the line; `None` if it is left out.
#[must_use]
pub fn slice_of(hall: &Hall, sort: Sort, number: u64) -> Option<usize> {
    if number == 0 || is_left_out(hall, sort, number) {
        return None;
    }
    let before = (1..number).filter(|number| !is_left_out(hall, sort, *number));
    Some(before.count())
}
