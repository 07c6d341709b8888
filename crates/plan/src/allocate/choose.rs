//! Which sort of slice goods get, and why.

use crate::catalogue::Good;
use crate::hall::{Hall, Sort};

/// So many slices one kind may take.
const MOST_SLICES_A_KIND: u64 = 1000;

/// Why goods have the sort of slice that they have.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Why {
    /// The builder wishes for it.
    Wish,
    /// It does not stack, and no item filter could recognise it.
    DoesNotStack,
    /// It needs more than its share of a multi-item slice.
    AboveShare,
    /// It needs no more than that.
    WithinShare,
    /// The hall has no other sort for it.
    OnlySort,
    /// It has lain there before.
    Kept,
}

/// What a builder does about goods that fit nowhere: what is wrong, and how to mend it.
pub type Refusal = (String, String);

/// The sort of slice for goods: as wished, or else oddments for what does not stack, bulk for what
/// needs more than its share of a multi-item slice, and a multi-item slice for the rest.
///
/// # Errors
///
/// If no slices of the hall can take them.
pub fn sort_for(good: &Good, hall: &Hall) -> Result<(Sort, Why), Refusal> {
    let chosen = match good.wish.sort {
        Some(sort) => (sort, Why::Wish),
        None => choose(good, hall),
    };
    can_take(good, chosen.0, hall).map(|()| chosen)
}

/// Whether slices of a sort can take goods at all.
///
/// # Errors
///
/// If not: why, and what to do about it.
pub fn can_take(good: &Good, sort: Sort, hall: &Hall) -> Result<(), Refusal> {
    let name = &good.name;
    if *name == hall.filler {
        let message = format!("`{name}` fills up item filters, and cannot be stored");
        return Err((message, "name another `filler` in the hall".to_owned()));
    }
    if good.stack_limit == 1 && sort != Sort::Oddments {
        let message = format!("no item filter sorts out `{name}`, which does not stack");
        let help = "wish for `oddments` or `automatic`".to_owned();
        return Err((message, help));
    }
    let Some(slice) = hall.slice(sort) else {
        let message = format!(
            "`{name}` needs slices `{}`, which the hall does not have",
            sort.name()
        );
        let help = "describe them in the hall, or wish for others".to_owned();
        return Err((message, help));
    };
    let slices = good.stacks().div_ceil(slice.room_stacks);
    if slices > MOST_SLICES_A_KIND {
        let message = format!(
            "`{name}` needs {slices} slices `{}` for {} stacks, and one kind may take {MOST_SLICES_A_KIND}",
            sort.name(),
            good.stacks(),
        );
        let help = "expect fewer, or give the slices more slots".to_owned();
        return Err((message, help));
    }
    Ok(())
}

/// The sort of slice for goods without a wish.
fn choose(good: &Good, hall: &Hall) -> (Sort, Why) {
    if good.stack_limit == 1 {
        return (Sort::Oddments, Why::DoesNotStack);
    }
    match (share_stacks(hall), hall.slice(Sort::Bulk)) {
        (Some(share), Some(_)) => {
            if good.stacks() as f64 > share {
                (Sort::Bulk, Why::AboveShare)
            } else {
                (Sort::Multi, Why::WithinShare)
            }
        }
        (None, Some(_)) => (Sort::Bulk, Why::OnlySort),
        (Some(_), None) => (Sort::Multi, Why::OnlySort),
        (None, None) => (Sort::Oddments, Why::OnlySort),
    }
}

/// The share of a multi-item slice above which goods are bulk, in stacks; `None` without such slices.
#[must_use]
pub fn share_stacks(hall: &Hall) -> Option<f64> {
    let multi = hall.slice(Sort::Multi)?;
    Some(hall.bulk_share * multi.room_stacks as f64)
}
