//! Why goods lie where they lie, and where else they could.

use std::fmt::Write as _;

use hallwright_scenario::Diagnostic;
use hallwright_text::did_you_mean;
use serde::Serialize;

use crate::Plan;
use crate::allocate::choose::{Why, can_take, share_stacks};
use crate::allocate::keep::MoveReason;
use crate::allocate::main_family;
use crate::allocate::places::number_of;
use crate::catalogue::Good;
use crate::hall::Sort;
use crate::ids;

/// So many years the report looks ahead.
pub const YEARS_AHEAD: u64 = 5;

/// Why one kind lies where it lies.
#[derive(Clone, PartialEq, Eq, Debug, Serialize)]
pub struct GoodReport {
    /// Its name.
    pub name: String,
    /// The sort of its slices.
    pub sort: &'static str,
    /// Their numbers along the line, from 1.
    pub slices: Vec<u64>,
    /// Why it has this sort of slice and these slices.
    pub why: String,
    /// How many stacks are expected of it at most.
    pub stacks: u64,
    /// How many will be in five years.
    pub stacks_in_5_years: u64,
    /// Whether its slices will have room for what is in them in five years, if nothing else changes.
    pub has_room_in_5_years: bool,
}

/// The reasons for all goods, in the order of the catalogue.
#[must_use]
pub fn reasons(plan: &Plan) -> Vec<GoodReport> {
    (0..plan.catalogue.goods.len())
        .map(|good| reason(plan, good))
        .collect()
}

fn reason(plan: &Plan, good: usize) -> GoodReport {
    let known = &plan.catalogue.goods[good];
    let sort = plan.allocation.sort_of(good);
    GoodReport {
        name: known.name.clone(),
        sort: sort.name(),
        slices: numbers(plan, sort, good),
        why: why(plan, good, sort),
        stacks: known.stacks(),
        stacks_in_5_years: known.stacks_after(YEARS_AHEAD),
        has_room_in_5_years: has_room_after(plan, sort, good, YEARS_AHEAD),
    }
}

/// The numbers of the slices of goods, from 1 along the line.
fn numbers(plan: &Plan, sort: Sort, good: usize) -> Vec<u64> {
    let slices = plan.allocation.lines[sort.index()].slices_of(good);
    slices
        .map(|slice| number_of(&plan.hall, sort, slice))
        .collect()
}

/// In words, why goods have their sort of slice and their slices.
fn why(plan: &Plan, good: usize, sort: Sort) -> String {
    let known = &plan.catalogue.goods[good];
    let mut text = match plan.allocation.why[good] {
        Why::Wish => format!("its wish is `{}`", known.wish),
        Why::DoesNotStack => "it does not stack, and no item filter could recognise it".to_owned(),
        Why::AboveShare => format!("{}: more than {}", needs(known), share(plan)),
        Why::WithinShare => format!("{}: not more than {}", needs(known), share(plan)),
        Why::OnlySort => "the hall has no other slices for it".to_owned(),
        Why::Kept => "it has lain there before".to_owned(),
    };
    let changes = plan.allocation.changes.as_ref();
    let moved = changes.and_then(|changes| changes.moves.iter().find(|moved| moved.good == good));
    if let Some(moved) = moved {
        let _ = write!(text, "; {}", moved_because(moved.why));
    }
    if plan.allocation.why[good] != Why::Wish && known.wish.side.is_some() {
        let _ = write!(text, "; its wish is `{}`", known.wish);
    }
    let line = &plan.allocation.lines[sort.index()];
    let relatives = line.slices_of(good).flat_map(|slice| &line.slices[slice]);
    let relatives = relatives
        .filter(|other| **other != good && plan.catalogue.goods[**other].family == known.family);
    let count = relatives.count();
    if !known.family.is_empty() && count > 0 {
        let _ = write!(text, "; with {count} more of the family {}", known.family);
    }
    text
}

/// In words, why goods moved in a hall that is continued.
pub(crate) fn moved_because(reason: MoveReason) -> &'static str {
    match reason {
        MoveReason::Asked => "it was asked to move",
        MoveReason::Wish => "it moved since another place is wished",
        MoveReason::PlaceIsGone => "its old place cannot take it any more",
        MoveReason::Outgrown => "its old slice became too small",
        MoveReason::ClosesUp => "its filter takes a place that became free",
    }
}

fn needs(good: &Good) -> String {
    format!("needs {}", counted(good.stacks(), "stack"))
}

/// The share of a multi-item slice above which goods are bulk.
fn share(plan: &Plan) -> String {
    let share = share_stacks(&plan.hall).unwrap_or(0.0);
    format!(
        "{}, its share of a multi-item slice",
        (share * 100.0).round() / 100.0
    )
}

/// A number of things.
pub(crate) fn counted(count: u64, thing: &str) -> String {
    let end = if count == 1 { "" } else { "s" };
    format!("{count} {thing}{end}")
}

/// Whether the slices of goods have room for what lies in them after some years.
fn has_room_after(plan: &Plan, sort: Sort, good: usize, years: u64) -> bool {
    let line = &plan.allocation.lines[sort.index()];
    let Some(slice) = plan.hall.slice(sort) else {
        return false;
    };
    let after = |good: usize| plan.catalogue.goods[good].stacks_after(years);
    let slices = line.slices_of(good);
    // What others need there; of those that lie in other slices, too, what lies here today.
    let others = slices.clone().flat_map(|at| {
        let others = line.slices[at].iter().filter(|other| **other != good);
        others.map(move |other| match line.slices_of(*other).len() {
            1 => after(*other),
            _ => line.stacks_in(at, *other),
        })
    });
    after(good) + others.sum::<u64>() <= slices.len() as u64 * slice.room_stacks
}

/// The number of a kind in the catalogue. `None` if it is not there, which is reported.
pub fn find(plan: &Plan, kind: &str, problems: &mut Vec<Diagnostic>) -> Option<usize> {
    let names = || plan.catalogue.goods.iter().map(|good| good.name.as_str());
    let found = names().position(|name| name == kind);
    if found.is_none() {
        let message = format!("`{kind}` is to be explained, and is not in the catalogue");
        let problem = Diagnostic::general(ids::UNKNOWN_GOODS, message);
        problems.push(problem.help(did_you_mean(kind, names())));
    }
    found
}

/// In full: why a kind lies where it lies, what other sorts of slices would mean for it, and where it would
/// find room now.
#[must_use]
pub fn explanation(plan: &Plan, good: usize) -> String {
    let known = &plan.catalogue.goods[good];
    let found = reason(plan, good);
    let sort = plan.allocation.sort_of(good);
    let mut text = format!("{}: {}\n", known.name, stands(plan, sort, &found.slices));
    let _ = writeln!(text, "    why: {}", found.why);
    let family = match known.family.as_str() {
        "" => "no family".to_owned(),
        family => format!("family {family}"),
    };
    let _ = writeln!(
        text,
        "    {} of at most {} items, {} to a stack; {} items an hour; {family}",
        counted(found.stacks, "stack"),
        known.amount,
        known.stack_limit,
        known.inflow_thousandths as f64 / 1000.0,
    );
    let room = if found.has_room_in_5_years {
        "its slices have room for that"
    } else {
        "too many for its slices with all that lies there then"
    };
    let _ = writeln!(
        text,
        "    in five years {}, with {} items more each year: {room}",
        counted(found.stacks_in_5_years, "stack"),
        known.a_year
    );
    for other in Sort::ALL {
        let _ = writeln!(
            text,
            "    {}: {}",
            other.name(),
            alternative(plan, good, other)
        );
    }
    text
}

/// Where slices stand: `bulk 1, slice 3: row 1, side 1`.
fn stands(plan: &Plan, sort: Sort, numbers: &[u64]) -> String {
    let stands = |number: &u64| {
        let mut sections = plan.sections().filter(|(_, other)| *other == sort);
        let holds = sections.find(|(laid, _)| {
            let section = &laid.section;
            (section.first as u64 + 1..=(section.first + section.places) as u64).contains(number)
        });
        let (laid, _) = holds?;
        let (row, side) = (laid.row + 1, laid.side_of_aisle(plan.hall.sides));
        Some(format!(
            "{}, slice {number}: row {row}, side {side}",
            laid.section.name
        ))
    };
    numbers
        .iter()
        .filter_map(stands)
        .collect::<Vec<_>>()
        .join("; ")
}

/// What a sort of slice means for goods: whether they fit, what they take, and where they find room now.
fn alternative(plan: &Plan, good: usize, sort: Sort) -> String {
    let known = &plan.catalogue.goods[good];
    if let Err((message, _)) = can_take(known, sort, &plan.hall) {
        return format!("no: {message}");
    }
    let Some(slice) = plan.hall.slice(sort) else {
        return "no".to_owned();
    };
    let slices = known.stacks().div_ceil(slice.room_stacks);
    let mut text = match slices {
        1 => format!(
            "fits, with {} of {} stacks of a slice",
            known.stacks(),
            slice.room_stacks
        ),
        _ => format!(
            "fits into {slices} slices, with {} of {} stacks",
            known.stacks(),
            slices * slice.room_stacks
        ),
    };
    let _ = write!(
        text,
        ", {} wide",
        counted(slices * slice.width_blocks, "block")
    );
    if slice.kinds > 1 && slices == 1 {
        let _ = write!(text, " and shared by up to {} kinds", slice.kinds);
    }
    if plan.allocation.sort_of(good) == sort {
        text.push_str("; it lies there");
    } else if known.wish.sort.is_none() {
        text.push_str(not_chosen(known, sort));
    }
    let _ = write!(text, "; {}", room_now(plan, good, sort));
    text
}

/// Why a sort of slice that would take goods was not chosen.
fn not_chosen(good: &Good, sort: Sort) -> &'static str {
    match sort {
        Sort::Bulk => "; not chosen, for it needs too little",
        Sort::Multi => "; not chosen, for it needs too much",
        Sort::Oddments if good.stack_limit > 1 => {
            "; not chosen, for an item filter can recognise it"
        }
        Sort::Oddments => "",
    }
}

/// Where else goods would find room now.
fn room_now(plan: &Plan, good: usize, sort: Sort) -> String {
    const SHOWN: usize = 8;
    let known = &plan.catalogue.goods[good];
    let line = &plan.allocation.lines[sort.index()];
    let Some(slice) = plan.hall.slice(sort) else {
        return String::new();
    };
    let has_room = |at: &usize| {
        let goods = &line.slices[*at];
        !goods.is_empty()
            && !goods.contains(&good)
            && goods.len() < slice.kinds
            && line.stacks_of(*at) + known.stacks() <= slice.room_stacks
    };
    let shown = |at: usize| {
        let number = number_of(&plan.hall, sort, at);
        match main_family(&plan.catalogue, &line.slices[at]) {
            Some(family) => format!("{number} ({family})"),
            None => number.to_string(),
        }
    };
    let shared: Vec<usize> = (0..line.slices.len()).filter(has_room).collect();
    let mut some: Vec<String> = shared.iter().take(SHOWN).map(|at| shown(*at)).collect();
    if shared.len() > SHOWN {
        some.push(format!("{} more", shared.len() - SHOWN));
    }
    let free = plan.line(sort).map_or(0, |line| {
        let free = line
            .places
            .iter()
            .filter(|place| **place == crate::fit::Place::Free);
        free.count() as u64
    });
    let free = match free {
        0 => "no slice is built and free".to_owned(),
        1 => "1 slice is built and free".to_owned(),
        _ => format!("{free} slices are built and free"),
    };
    if some.is_empty() {
        free
    } else {
        format!("room in slice {}; {free}", some.join(", "))
    }
}
