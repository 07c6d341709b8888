//! Whether two networks are the same up to names.

use std::collections::{BTreeMap, BTreeSet, HashMap};

use hallwright_core::goods::Kind;
use hallwright_core::id::KindId;
use hallwright_core::predicate::Predicate;
use hallwright_core::slot::Filling;

use super::{Ear, Hearing, Member, Outline, Role};
use crate::blocks::Settings;

/// Which part of the second network each part of the first is, by number, if the two are the same up to
/// names: parts, settings, contents and goods links are equal, and every listener hears the same sources
/// with the same losses. Goods go by their names.
#[must_use]
pub fn same(one: &Outline, other: &Outline) -> Option<Vec<usize>> {
    let (one, other) = comparable(one, other)?;
    let ties = (&Ties::of(&one), &Ties::of(&other));
    search(&one, &other, ties, &mut Vec::new())
}

/// Whether the two are the same if part `n` of the first is part `matched[n]` of the second.
#[must_use]
pub fn same_as_matched(one: &Outline, other: &Outline, matched: &[usize]) -> bool {
    comparable(one, other).is_some_and(|(one, other)| is_match(&one, &other, matched))
}

/// Both with goods by the numbers that they have in the first; `None` if they cannot be the same.
fn comparable(one: &Outline, other: &Outline) -> Option<(Outline, Outline)> {
    let fits = one.rules == other.rules && one.members.len() == other.members.len();
    let kinds = kinds_of_first(&one.kinds, &other.kinds)?;
    let own: Vec<KindId> = (0..kinds.len()).map(KindId::from_index).collect();
    fits.then(|| (in_other_kinds(one, &own), in_other_kinds(other, &kinds)))
}

/// For each kind of the second list the same one in the first; `None` if there is none, or one more.
fn kinds_of_first(first: &[Kind], second: &[Kind]) -> Option<Vec<KindId>> {
    let numbered = first.iter().enumerate();
    let by_name: BTreeMap<&str, usize> = numbered
        .map(|(id, kind)| (kind.name.as_str(), id))
        .collect();
    let find = |kind: &Kind| {
        let id = *by_name.get(kind.name.as_str())?;
        (first[id] == *kind).then(|| KindId::from_index(id))
    };
    let found: Option<Vec<KindId>> = second.iter().map(find).collect();
    found.filter(|found| found.len() == first.len())
}

fn in_other_kinds(outline: &Outline, kinds: &[KindId]) -> Outline {
    let mut outline = outline.clone();
    for member in &mut outline.members {
        let contents = std::mem::take(&mut member.contents);
        member.contents = contents
            .into_iter()
            .map(|filling| filling_in(filling, kinds))
            .collect();
        if let Settings::Selector { takes, .. } = &mut member.settings {
            *takes = predicate_in(takes, kinds);
        }
    }
    outline
}

fn filling_in(filling: Filling, kinds: &[KindId]) -> Filling {
    let inner = filling.contents.into_iter();
    Filling {
        kind: kinds[filling.kind.index()],
        contents: inner.map(|inner| filling_in(inner, kinds)).collect(),
        ..filling
    }
}

fn predicate_in(predicate: &Predicate, kinds: &[KindId]) -> Predicate {
    let list = |ids: &[KindId]| {
        let mut ids: Vec<KindId> = ids.iter().map(|id| kinds[id.index()]).collect();
        ids.sort_unstable();
        ids
    };
    let all = |of: &[Predicate]| of.iter().map(|one| predicate_in(one, kinds)).collect();
    match predicate {
        Predicate::Kinds(ids) => Predicate::Kinds(list(ids)),
        Predicate::BoxOf(ids) => Predicate::BoxOf(list(ids)),
        Predicate::All(of) => Predicate::All(all(of)),
        Predicate::Any(of) => Predicate::Any(all(of)),
        Predicate::Not(of) => Predicate::Not(Box::new(predicate_in(of, kinds))),
        Predicate::BoxFull | Predicate::BoxEmpty | Predicate::Box | Predicate::Single => {
            predicate.clone()
        }
    }
}

fn is_match(one: &Outline, other: &Outline, matched: &[usize]) -> bool {
    let distinct: BTreeSet<usize> = matched.iter().copied().collect();
    if matched.len() != one.members.len() || distinct.len() != matched.len() {
        return false;
    }
    let equal = |(number, member): (usize, &Member)| {
        let Some(image) = matched.get(number).and_then(|to| other.members.get(*to)) else {
            return false;
        };
        let link = |(role, to): &(Role, usize)| (*role, matched[*to]);
        let links: BTreeSet<(Role, usize)> = member.links.iter().map(link).collect();
        let hears = member.hears.iter();
        let heard: BTreeMap<Ear, BTreeMap<usize, u8>> = hears
            .map(|(ear, hearing)| (*ear, losses(hearing, |source| matched[source])))
            .collect();
        member.settings == image.settings
            && member.contents == image.contents
            && links == image.links
            && heard == all_losses(image)
    };
    one.members.iter().enumerate().all(equal)
}

fn losses(hearing: &Hearing<usize>, name: impl Fn(usize) -> usize) -> BTreeMap<usize, u8> {
    hearing
        .iter()
        .map(|(source, heard)| (name(source), heard.loss))
        .collect()
}

fn all_losses(member: &Member) -> BTreeMap<Ear, BTreeMap<usize, u8>> {
    let hears = member.hears.iter();
    hears
        .map(|(ear, hearing)| (*ear, losses(hearing, |source| source)))
        .collect()
}

/// What tells a member from another of its colour: the colours at both ends of all of its links.
type Surroundings = (u32, Vec<(Tie, u32)>, Vec<(Tie, u32)>);

/// A link without what is at its ends.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
enum Tie {
    Link(Role),
    Heard(Ear, u8),
}

/// The ties of every member: to whom, and from whom.
struct Ties {
    to: Vec<Vec<(Tie, usize)>>,
    from: Vec<Vec<(Tie, usize)>>,
}

impl Ties {
    fn of(outline: &Outline) -> Self {
        let mut ties = Self {
            to: vec![Vec::new(); outline.members.len()],
            from: vec![Vec::new(); outline.members.len()],
        };
        for (number, member) in outline.members.iter().enumerate() {
            for (role, to) in &member.links {
                ties.add(number, Tie::Link(*role), *to);
            }
            for (ear, hearing) in &member.hears {
                for (source, heard) in hearing.iter() {
                    ties.add(number, Tie::Heard(*ear, heard.loss), source);
                }
            }
        }
        ties
    }

    fn add(&mut self, number: usize, tie: Tie, to: usize) {
        self.to[number].push((tie, to));
        self.from[to].push((tie, number));
    }
}

/// Members of both outlines get one colour as long as nothing found so far tells them apart.
struct Colours {
    one: Vec<u32>,
    other: Vec<u32>,
}

/// Looks for a match: refines the colours, and where some are still shared takes one member's image as
/// given and goes on. Members that nothing tells apart are as a rule the same, so the first try does.
fn search(
    one: &Outline,
    other: &Outline,
    ties: (&Ties, &Ties),
    given: &mut Vec<(usize, usize)>,
) -> Option<Vec<usize>> {
    let mut colours = first_colours(one, other, given);
    if !refine(&mut colours, ties) {
        return None;
    }
    let mut images: BTreeMap<u32, Vec<usize>> = BTreeMap::new();
    for (number, colour) in colours.other.iter().enumerate() {
        images.entry(*colour).or_default().push(number);
    }
    let choices = |number: &usize| images.get(&colours.one[*number]).map_or(0, Vec::len);
    let open = (0..one.members.len()).filter(|number| choices(number) > 1);
    let Some(number) = open.min_by_key(choices) else {
        let image = |colour: &u32| images.get(colour)?.first().copied();
        let matched: Option<Vec<usize>> = colours.one.iter().map(image).collect();
        return matched.filter(|matched| is_match(one, other, matched));
    };
    for image in images.remove(&colours.one[number])? {
        given.push((number, image));
        if let Some(matched) = search(one, other, ties, given) {
            return Some(matched);
        }
        given.pop();
    }
    None
}

/// One colour for all that are the same by themselves; one of its own for each pair that is given.
fn first_colours(one: &Outline, other: &Outline, given: &[(usize, usize)]) -> Colours {
    let mut known: HashMap<(&Settings, &[Filling]), u32> = HashMap::new();
    let all = one.members.iter().chain(&other.members);
    let mut own: Vec<u32> = all
        .map(|member| {
            let next = number_of(known.len());
            let looks = (&member.settings, member.contents.as_slice());
            *known.entry(looks).or_insert(next)
        })
        .collect();
    let mut colours = Colours {
        other: own.split_off(one.members.len()),
        one: own,
    };
    for (index, (number, image)) in given.iter().enumerate() {
        let own = u32::MAX - number_of(index);
        colours.one[*number] = own;
        colours.other[*image] = own;
    }
    colours
}

fn number_of(count: usize) -> u32 {
    u32::try_from(count).expect("networks have fewer parts than 32 bits can count")
}

/// Tells members apart by what is around them until that tells no more apart. False if some colour is
/// not as frequent in one as in the other.
fn refine(colours: &mut Colours, ties: (&Ties, &Ties)) -> bool {
    let mut count = distinct(&colours.one);
    loop {
        let mut known: HashMap<Surroundings, u32> = HashMap::new();
        let mut next = |ties: &Ties, old: &[u32]| -> Vec<u32> {
            let surroundings = (0..old.len()).map(|number| around(ties, old, number));
            let colour = |looks: Surroundings| {
                let new = number_of(known.len());
                *known.entry(looks).or_insert(new)
            };
            surroundings.map(colour).collect()
        };
        let one = next(ties.0, &colours.one);
        let other = next(ties.1, &colours.other);
        let (mut sorted, mut other_sorted) = (one.clone(), other.clone());
        sorted.sort_unstable();
        other_sorted.sort_unstable();
        *colours = Colours { one, other };
        if sorted != other_sorted {
            return false;
        }
        let new_count = distinct(&sorted);
        if new_count == count {
            return true;
        }
        count = new_count;
    }
}

fn distinct(colours: &[u32]) -> usize {
    colours.iter().collect::<BTreeSet<_>>().len()
}

fn around(ties: &Ties, colours: &[u32], number: usize) -> Surroundings {
    let coloured = |ties: &[(Tie, usize)]| {
        let mut all: Vec<(Tie, u32)> = ties
            .iter()
            .map(|(tie, end)| (*tie, colours[*end]))
            .collect();
        all.sort_unstable();
        all
    };
    (
        colours[number],
        coloured(&ties.to[number]),
        coloured(&ties.from[number]),
    )
}
