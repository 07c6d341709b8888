//! A hall that is continued: what lies there stays, and what comes goes where there is room.

use std::cmp::Reverse;
use std::collections::{BTreeMap, BTreeSet};

use hallwright_scenario::Diagnostic;
use hallwright_text::did_you_mean;

use super::blocks::Packer;
use super::choose::{Why, can_take};
use super::line::stacks;
use super::places::{number_of, slice_of};
use super::sides::{Counts, Sides};
use super::{Allocation, Line};
use crate::catalogue::Catalogue;
use crate::hall::{Hall, Sort};
use crate::ids;
use crate::kept::Kept;

/// What changed in a hall that is continued.
#[derive(Clone, PartialEq, Eq, Debug, Default)]
pub struct Changes {
    /// How many kinds lie where they lay.
    pub stayed: usize,
    /// Kinds that are new, as numbers in the catalogue.
    pub came: Vec<usize>,
    /// Kinds that are no longer in the catalogue.
    pub left: Vec<Left>,
    /// What lies elsewhere than it did, or in more slices.
    pub moves: Vec<Move>,
    /// The lines that are longer now, and by how many slices.
    pub lengthened: Vec<(Sort, usize)>,
}

/// A kind that is no longer in the catalogue: its filters are free.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Left {
    /// Its name.
    pub name: String,
    /// In which slices it lay.
    pub sort: Sort,
    /// Their numbers along the line, from 1.
    pub slices: Vec<u64>,
}

/// A kind that does not lie just where it lay.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Move {
    /// Its number in the catalogue.
    pub good: usize,
    /// The sort of slice, and the numbers of the slices along the line, from 1, where it lay.
    pub from: (Sort, Vec<u64>),
    /// And where it lies now.
    pub to: (Sort, Vec<u64>),
    /// How many stacks have to be carried at most.
    pub carry_stacks: u64,
    /// How many item filters have to be filled with it.
    pub filters: u64,
    /// Why.
    pub why: MoveReason,
}

/// Why a kind does not lie where it lay.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum MoveReason {
    /// It was asked to.
    Asked,
    /// The builder wishes for another place.
    Wish,
    /// Its slice cannot take it any more: the hall has changed.
    PlaceIsGone,
    /// What lies in its slice became too much for it.
    Outgrown,
    /// Its filter takes the place of one that is free, so that there is none between others.
    ClosesUp,
}

/// Gives every sort of goods its place, where as little as can be moves.
#[must_use]
pub fn allocate(
    catalogue: &Catalogue,
    hall: &Hall,
    kept: &Kept,
    sorts: &[(Sort, Why)],
    problems: &mut Vec<Diagnostic>,
) -> Allocation {
    let as_long = kept.as_long(hall);
    let mut keeper = Keeper::new(catalogue, as_long.as_ref().unwrap_or(hall), kept, sorts);
    keeper.check_moving(problems);
    keeper.leave_what_lies_there();
    keeper.put_what_is_wished(problems);
    for sort in Sort::ALL {
        if hall.slice(sort).is_some() {
            keeper.make_room(sort, problems);
        }
    }
    keeper.place_the_rest(problems);
    keeper.allocation(problems)
}

/// A hall that is being continued.
struct Keeper<'c> {
    catalogue: &'c Catalogue,
    hall: &'c Hall,
    kept: &'c Kept,
    sorts: &'c [(Sort, Why)],
    /// On which side each place of the hall that is kept is.
    sides: Sides,
    /// Where each kind lay.
    lay: BTreeMap<usize, (Sort, Vec<u64>)>,
    /// The goods of each slice at their filters, by sort; free filters between them are `None`.
    lines: [Vec<Vec<Option<usize>>>; 3],
    /// What has no place yet.
    waiting: BTreeSet<usize>,
    /// Why what moves does.
    moving: BTreeMap<usize, MoveReason>,
}

impl<'c> Keeper<'c> {
    fn new(
        catalogue: &'c Catalogue,
        hall: &'c Hall,
        kept: &'c Kept,
        sorts: &'c [(Sort, Why)],
    ) -> Self {
        let lay = catalogue.goods.iter().enumerate();
        let lay = lay.filter_map(|(good, known)| Some((good, kept.places_of(&known.name)?)));
        let mut keeper = Self {
            catalogue,
            hall,
            kept,
            sorts,
            sides: Sides::default(),
            lay: lay.collect(),
            lines: Default::default(),
            waiting: BTreeSet::new(),
            moving: BTreeMap::new(),
        };
        let counts = Sort::ALL.map(|sort| keeper.built_before(sort));
        keeper.sides = Sides::of(hall, counts).unwrap_or_default();
        keeper.lines = counts.map(|count| vec![Vec::new(); count]);
        keeper
    }

    /// Reports kinds that are to move and do not lie in the hall.
    fn check_moving(&self, problems: &mut Vec<Diagnostic>) {
        for name in &self.kept.moving {
            let mut names = self
                .lay
                .keys()
                .map(|good| self.catalogue.goods[*good].name.as_str());
            if !names.any(|known| known == name) {
                let message =
                    format!("`{name}` is to move, and does not lie in the hall that is kept");
                let names = self
                    .lay
                    .keys()
                    .map(|good| self.catalogue.goods[*good].name.as_str());
                let problem = Diagnostic::general(ids::UNKNOWN_GOODS, message);
                problems.push(problem.help(did_you_mean(name, names)));
            }
        }
    }

    /// Why a kind cannot stay where it lies; `None` if it can.
    fn uprooted(&self, good: usize, sort: Sort, numbers: &[u64]) -> Option<MoveReason> {
        let known = &self.catalogue.goods[good];
        let first = numbers.first().copied().unwrap_or(1);
        let wish = known.wish;
        if self.kept.moving.contains(&known.name) {
            return Some(MoveReason::Asked);
        }
        let is_elsewhere = wish.sort.is_some_and(|wished| wished != sort)
            || wish.slice.is_some_and(|wished| wished != first)
            || numbers
                .iter()
                .any(|number| !self.is_on_wished_side(good, sort, *number));
        if is_elsewhere {
            return Some(MoveReason::Wish);
        }
        let is_gone = |number: &u64| slice_of(self.hall, sort, *number).is_none();
        let is_unfit = can_take(known, sort, self.hall).is_err() || numbers.iter().any(is_gone);
        is_unfit.then_some(MoveReason::PlaceIsGone)
    }

    /// Whether a place is on the side that a kind wishes for; beyond the end of the line that is not known yet.
    fn is_on_wished_side(&self, good: usize, sort: Sort, number: u64) -> bool {
        let wished = self.catalogue.goods[good].wish.side;
        let stands = self.sides.of_number(sort, number);
        wished.is_none_or(|side| stands.is_none_or(|stands| stands == side))
    }

    /// Puts every kind that can stay where it lay, at its filter.
    fn leave_what_lies_there(&mut self) {
        let numbers: BTreeMap<&str, usize> = (0..self.catalogue.goods.len())
            .map(|good| (self.catalogue.goods[good].name.as_str(), good))
            .collect();
        for good in 0..self.catalogue.goods.len() {
            let reason = match self.lay.get(&good) {
                None => None,
                Some((sort, numbers)) => match self.uprooted(good, *sort, numbers) {
                    None => continue,
                    Some(reason) => Some(reason),
                },
            };
            self.waiting.insert(good);
            self.moving.extend(reason.map(|reason| (good, reason)));
        }
        for sort in Sort::ALL {
            for (place, number) in self.kept.lines[sort.index()].iter().zip(1..) {
                let Some(slice) = slice_of(self.hall, sort, number) else {
                    continue;
                };
                let goods = place.kinds.iter().map(|kind| {
                    let good = numbers.get(kind.as_str()).copied()?;
                    (!self.waiting.contains(&good)).then_some(good)
                });
                let goods = goods.collect();
                self.lines[sort.index()][slice] = goods;
            }
            self.close_gaps(sort);
        }
    }

    /// A kind with a free slice between its own gets that one, too.
    fn close_gaps(&mut self, sort: Sort) {
        let line = &mut self.lines[sort.index()];
        let mut last: BTreeMap<usize, usize> = BTreeMap::new();
        for slice in 0..line.len() {
            for good in line[slice].clone().into_iter().flatten() {
                if let Some(before) = last.insert(good, slice) {
                    for between in &mut line[before + 1..slice] {
                        between.push(Some(good));
                    }
                }
            }
        }
    }

    /// Puts what has to move and what is new into the slices that are wished for it.
    fn put_what_is_wished(&mut self, problems: &mut Vec<Diagnostic>) {
        for sort in Sort::ALL {
            let Some(slice) = self.hall.slice(sort) else {
                continue;
            };
            let is_pinned = |good: &usize| {
                self.sorts[*good].0 == sort && self.catalogue.goods[*good].wish.slice.is_some()
            };
            let pinned: Vec<usize> = (0..self.sorts.len()).filter(is_pinned).collect();
            let packer = Packer::new(self.catalogue, self.hall, sort, slice);
            for block in packer.pack(&pinned, problems) {
                let first = block.first.unwrap_or(0);
                for (at, goods) in (first..).zip(block.slices) {
                    for good in goods {
                        if self.waiting.contains(&good) {
                            self.add(sort, at, good);
                        }
                    }
                }
            }
            for good in pinned {
                self.waiting.remove(&good);
            }
        }
    }

    /// Puts a kind into a slice, at the first free filter.
    fn add(&mut self, sort: Sort, slice: usize, good: usize) {
        let line = &mut self.lines[sort.index()];
        if line.len() <= slice {
            line.resize(slice + 1, Vec::new());
        }
        match line[slice].iter_mut().find(|place| place.is_none()) {
            Some(place) => *place = Some(good),
            None => line[slice].push(Some(good)),
        }
    }

    /// Takes a kind out of all slices of a sort; their filters are free.
    fn remove(&mut self, sort: Sort, good: usize) {
        for place in self.lines[sort.index()].iter_mut().flatten() {
            if *place == Some(good) {
                *place = None;
            }
        }
    }

    /// The goods of each slice, without free filters.
    fn goods(&self, sort: Sort) -> Vec<Vec<usize>> {
        let line = self.lines[sort.index()].iter();
        line.map(|slice| slice.iter().copied().flatten().collect())
            .collect()
    }

    /// Whether the line of a sort may have so many slices.
    fn may_have(&self, sort: Sort, slices: usize) -> bool {
        let mut counts: Counts = self.lines.each_ref().map(Vec::len);
        let is_longer = slices > counts[sort.index()];
        counts[sort.index()] = slices;
        !is_longer || Sides::of(self.hall, counts).is_some()
    }

    /// Where slices hold more than they can: a kind gets a further slice beside its own, or moves.
    fn make_room(&mut self, sort: Sort, problems: &mut Vec<Diagnostic>) {
        while let Some(slice) = self.first_overfull(sort) {
            if self.extend(sort, slice) {
                continue;
            }
            match self.leaving(sort, slice) {
                Some(good) => {
                    self.remove(sort, good);
                    self.waiting.insert(good);
                    self.moving.insert(good, MoveReason::Outgrown);
                }
                None => {
                    let message = format!(
                        "slice {} of `{}` has no room for all that is wished there",
                        number_of(self.hall, sort, slice),
                        sort.name()
                    );
                    let wished = self.goods(sort)[slice].first().copied();
                    let problem = match wished {
                        Some(good) => {
                            let span = self.catalogue.goods[good].wish_span;
                            Diagnostic::error(ids::BAD_WISH, span, message)
                        }
                        None => Diagnostic::general(ids::BAD_WISH, message),
                    };
                    problems.push(problem.help("wish for another slice".to_owned()));
                    return;
                }
            }
        }
    }

    /// The slices that hold more than they can, if they have these goods.
    fn overfull(&self, sort: Sort, goods: &[Vec<usize>]) -> Vec<usize> {
        let Some(limits) = self.hall.slice(sort) else {
            return Vec::new();
        };
        let stacks = stacks(self.catalogue, goods, limits.room_stacks);
        let is_overfull = |slice: &usize| {
            goods[*slice].len() > limits.kinds
                || stacks[*slice].iter().sum::<u64>() > limits.room_stacks
        };
        (0..goods.len()).filter(is_overfull).collect()
    }

    fn first_overfull(&self, sort: Sort) -> Option<usize> {
        self.overfull(sort, &self.goods(sort)).first().copied()
    }

    /// Goods from those with the most stacks on, without looking at the order of the catalogue.
    fn largest_first(&self, goods: &mut [usize]) {
        goods.sort_by_key(|good| {
            let known = &self.catalogue.goods[*good];
            (
                Reverse(known.stacks()),
                Reverse(known.inflow_thousandths),
                known.name.as_str(),
            )
        });
    }

    /// Gives a kind of a slice that is too full further slices beside its own: free ones, or else such as
    /// have room. Returns whether that helped.
    fn extend(&mut self, sort: Sort, slice: usize) -> bool {
        let Some(limits) = self.hall.slice(sort) else {
            return false;
        };
        let goods = self.goods(sort);
        if goods[slice].len() > limits.kinds {
            return false;
        }
        let mut candidates = goods[slice].clone();
        self.largest_first(&mut candidates);
        for is_shared in [false, true] {
            for good in &candidates {
                for is_behind in [true, false] {
                    let found = self.extended(sort, slice, *good, is_shared, is_behind);
                    if let Some(more) = found {
                        for slice in more {
                            self.add(sort, slice, *good);
                        }
                        self.moving.insert(*good, MoveReason::Outgrown);
                        return true;
                    }
                }
            }
        }
        false
    }

    /// Which slices behind or before its own a kind would need, so that none is too full.
    fn extended(
        &self,
        sort: Sort,
        slice: usize,
        good: usize,
        is_shared: bool,
        is_behind: bool,
    ) -> Option<Vec<usize>> {
        let limits = self.hall.slice(sort)?;
        let mut goods = self.goods(sort);
        let before = self.overfull(sort, &goods);
        let own: Vec<usize> = (0..goods.len())
            .filter(|at| goods[*at].contains(&good))
            .collect();
        let mut more = Vec::new();
        let mut at = if is_behind {
            *own.last()?
        } else {
            *own.first()?
        };
        if !is_behind && self.catalogue.goods[good].wish.slice.is_some() {
            return None;
        }
        // A slice with others in it takes what is too much, or it is no help.
        let most = match is_shared {
            true => 1,
            false => self.slices_for(good, sort),
        };
        while more.len() < most {
            at = if is_behind {
                at + 1
            } else {
                at.checked_sub(1)?
            };
            if at == goods.len() {
                goods.push(Vec::new());
            }
            let is_taken = if is_shared {
                goods[at].len() >= limits.kinds
            } else {
                !goods[at].is_empty()
            };
            let number = number_of(self.hall, sort, at);
            let is_off =
                !self.may_have(sort, at + 1) || !self.is_on_wished_side(good, sort, number);
            if is_taken || is_off {
                return None;
            }
            goods[at].push(good);
            more.push(at);
            let overfull = self.overfull(sort, &goods);
            let is_done = !overfull.contains(&slice)
                && !overfull
                    .iter()
                    .any(|at| own.contains(at) || more.contains(at));
            // Nor may it become too much for others because of that.
            if is_done && overfull.iter().all(|at| before.contains(at)) {
                return Some(more);
            }
        }
        None
    }

    /// The kind that leaves a slice that is too full: of those that make enough room the one with the
    /// fewest stacks to carry, or else the largest. Nothing that is wished there leaves.
    fn leaving(&self, sort: Sort, slice: usize) -> Option<usize> {
        let goods = self.goods(sort);
        let is_free = |good: &usize| self.catalogue.goods[*good].wish.slice.is_none();
        let mut candidates: Vec<usize> = goods[slice].iter().copied().filter(is_free).collect();
        self.largest_first(&mut candidates);
        let is_enough = |good: &usize| {
            let mut without = goods.clone();
            for own in &mut without {
                own.retain(|other| other != good);
            }
            !self.overfull(sort, &without).contains(&slice)
        };
        let enough = candidates.iter().rev().copied().find(is_enough);
        enough.or_else(|| candidates.first().copied())
    }

    /// Gives a place to all that has none.
    fn place_the_rest(&mut self, problems: &mut Vec<Diagnostic>) {
        let mut goods: Vec<usize> = std::mem::take(&mut self.waiting).into_iter().collect();
        self.largest_first(&mut goods);
        for good in goods {
            let sort = self.sorts[good].0;
            let found = self.room_for(good, sort);
            let is_asked = self.moving.get(&good) == Some(&MoveReason::Asked);
            if found.is_none() && is_asked {
                let known = &self.catalogue.goods[good];
                let message = format!("`{}` has nowhere to move to", known.name);
                let problem = Diagnostic::error(ids::CANNOT_MOVE, known.span, message);
                let help = "no other slice has room for it, and the hall cannot become longer";
                problems.push(problem.help(help.to_owned()));
            }
            // A line that is too long for its hall is reported where it is fitted.
            let end = self.lines[sort.index()].len();
            for slice in found.unwrap_or(end..end + self.slices_for(good, sort)) {
                self.add(sort, slice, good);
            }
        }
    }

    /// How many slices a kind needs.
    fn slices_for(&self, good: usize, sort: Sort) -> usize {
        let room = self.hall.slice(sort).map_or(1, |slice| slice.room_stacks);
        let slices = self.catalogue.goods[good].stacks().div_ceil(room);
        usize::try_from(slices).unwrap_or(usize::MAX)
    }

    /// Where a kind goes that has no place: among its family, among others, into free slices, and at last
    /// to the end of the line. Not where it lay, or it would not move.
    fn room_for(&self, good: usize, sort: Sort) -> Option<std::ops::Range<usize>> {
        let limits = self.hall.slice(sort)?;
        let known = &self.catalogue.goods[good];
        let goods = self.goods(sort);
        let lay = self.lay.get(&good).filter(|(before, _)| *before == sort);
        let is_open = |slice: usize| {
            let number = number_of(self.hall, sort, slice);
            !lay.is_some_and(|(_, numbers)| numbers.contains(&number))
                && self.is_on_wished_side(good, sort, number)
        };
        let needed = self.slices_for(good, sort);
        if needed == 1 {
            let stacks = stacks(self.catalogue, &goods, limits.room_stacks);
            let has_room = |slice: &usize| {
                let held: u64 = stacks[*slice].iter().sum();
                !goods[*slice].is_empty()
                    && goods[*slice].len() < limits.kinds
                    && held + known.stacks() <= limits.room_stacks
                    && is_open(*slice)
            };
            let is_family = |slice: &usize| {
                let mut families = goods[*slice].iter();
                !known.family.is_empty()
                    && families.any(|other| self.catalogue.goods[*other].family == known.family)
            };
            let with_room: Vec<usize> = (0..goods.len()).filter(has_room).collect();
            let own = with_room.iter().copied().find(is_family);
            if let Some(slice) = own.or_else(|| with_room.first().copied()) {
                return Some(slice..slice + 1);
            }
        }
        let is_free = |slice: usize| goods.get(slice).is_none_or(Vec::is_empty) && is_open(slice);
        // A side that ends with the line has no room beyond it.
        let last = goods.len() + needed;
        let first = (0..=last).find(|first| (*first..first + needed).all(is_free))?;
        self.may_have(sort, first + needed)
            .then_some(first..first + needed)
    }

    /// The lines as they are now, and what changed.
    fn allocation(mut self, problems: &mut Vec<Diagnostic>) -> Allocation {
        for slice in self.lines.iter_mut().flatten() {
            close_up(slice);
        }
        let lines = Sort::ALL.map(|sort| self.line(sort));
        let mut allocation = Allocation {
            lines,
            why: self.sorts.iter().map(|(_, why)| *why).collect(),
            changes: None,
        };
        self.check_sides(&allocation, problems);
        let mut changes = Changes::default();
        for good in 0..self.catalogue.goods.len() {
            let Some(from) = self.lay.get(&good) else {
                changes.came.push(good);
                continue;
            };
            let moved = self.moved(good, from, &allocation);
            // What would get another sort of slice today stays where it is.
            if allocation.sort_of(good) != self.sorts[good].0 {
                allocation.why[good] = Why::Kept;
            }
            match moved {
                Some(moved) => changes.moves.push(moved),
                None => changes.stayed += 1,
            }
        }
        for name in self.kept.kinds() {
            let is_known = self.catalogue.goods.iter().any(|good| good.name == name);
            if let (false, Some((sort, slices))) = (is_known, self.kept.places_of(name)) {
                let name = name.to_owned();
                changes.left.push(Left { name, sort, slices });
            }
        }
        for sort in Sort::ALL {
            let slices = &allocation.lines[sort.index()].slices;
            let more = slices.len().saturating_sub(self.built_before(sort));
            if more > 0 {
                changes.lengthened.push((sort, more));
            }
        }
        // In the order of the names, which is the same however the catalogue is sorted.
        let name = |good: &usize| &self.catalogue.goods[*good].name;
        changes.came.sort_by_key(name);
        changes.moves.sort_by_key(|moved| name(&moved.good));
        allocation.changes = Some(changes);
        allocation
    }

    /// How many slices of a sort the hall had, free ones counted.
    fn built_before(&self, sort: Sort) -> usize {
        let numbers = 1..=self.kept.lines[sort.index()].len() as u64;
        let built = numbers.filter(|number| slice_of(self.hall, sort, *number).is_some());
        built.count()
    }

    fn line(&self, sort: Sort) -> Line {
        let Some(slice) = self.hall.slice(sort) else {
            return Line::default();
        };
        let goods = self.goods(sort);
        let own: BTreeSet<usize> = goods.iter().flatten().copied().collect();
        let own: Vec<usize> = own.into_iter().collect();
        let packer = Packer::new(self.catalogue, self.hall, sort, slice);
        let mut line = Line::new(self.catalogue, goods, slice.room_stacks);
        (line.lower_bound, line.without_families) = packer.bounds(&own);
        line.is_kept = !self.kept.lines[sort.index()].is_empty();
        line
    }

    /// How a kind lies now and lay before; `None` if that is the same.
    fn moved(&self, good: usize, from: &(Sort, Vec<u64>), allocation: &Allocation) -> Option<Move> {
        let sort = allocation.sort_of(good);
        let line = &allocation.lines[sort.index()];
        let slices = line.slices_of(good);
        let numbers: Vec<u64> = slices
            .clone()
            .map(|at| number_of(self.hall, sort, at))
            .collect();
        let stays = |number: &u64| from.0 == sort && from.1.contains(number);
        let is_filter_elsewhere = |number: &u64| {
            let before = &self.kept.lines[sort.index()][*number as usize - 1].kinds;
            let name = &self.catalogue.goods[good].name;
            let slice = slice_of(self.hall, sort, *number).unwrap_or(0);
            let before = before.iter().position(|kind| kind == name);
            before != line.slices[slice].iter().position(|other| *other == good)
        };
        let new = numbers.iter().filter(|number| !stays(number)).count();
        let shifted = numbers
            .iter()
            .filter(|number| stays(number) && is_filter_elsewhere(number));
        let filters = match sort {
            Sort::Bulk | Sort::Multi => new + shifted.count(),
            // Nothing there has an item filter of its own.
            Sort::Oddments => 0,
        };
        if filters == 0 && from.0 == sort && from.1 == numbers {
            return None;
        }
        let carry_stacks = if numbers.iter().any(stays) {
            0
        } else {
            self.catalogue.goods[good].stacks()
        };
        let why = self.moving.get(&good).copied();
        Some(Move {
            good,
            from: from.clone(),
            to: (sort, numbers),
            carry_stacks,
            filters: filters as u64,
            why: why.unwrap_or(MoveReason::ClosesUp),
        })
    }

    /// Reports goods on another side than is wished.
    fn check_sides(&self, allocation: &Allocation, problems: &mut Vec<Diagnostic>) {
        let counts = allocation.lines.each_ref().map(|line| line.slices.len());
        let Some(sides) = Sides::of(self.hall, counts) else {
            return;
        };
        for (good, known) in self.catalogue.goods.iter().enumerate() {
            let Some(side) = known.wish.side else {
                continue;
            };
            let sort = allocation.sort_of(good);
            let mut slices = allocation.lines[sort.index()].slices_of(good);
            if slices.any(|slice| sides.of_slice(self.hall, sort, slice) != side) {
                let message = format!(
                    "`{}` finds no room on side {side} in the hall that is kept",
                    known.name
                );
                let problem = Diagnostic::error(ids::BAD_WISH, known.wish_span, message);
                let help = "leave out the side, or move something there away with `--move`";
                problems.push(problem.help(help.to_owned()));
            }
        }
    }
}

/// Closes free filters between others: the last kind of the slice takes the place, so that one filter at
/// most is filled anew for each.
fn close_up(slice: &mut Vec<Option<usize>>) {
    let mut at = 0;
    while at < slice.len() {
        if slice[at].is_none() {
            slice.swap_remove(at);
        } else {
            at += 1;
        }
    }
}
