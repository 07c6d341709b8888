//! How much slower than said may be what is taken at its word?
//!
//! Selectors and shuttles have no rules of their own: a result rests on the numbers that are declared for
//! them. Each [group](Group) of such parts that are alike is made slower by itself, until a goal is missed or
//! a verdict that no goal asks for ([`Border`]). Slower need not be worse: what was tried is kept.

mod border;
mod group;
mod hall;

use hallwright_report::RunInput;

use self::hall::Hall;
use crate::case::Case;
use crate::machine::{Machine, Unmade};

pub use border::{Border, Depth, MOST_TIMES};
pub use group::{Group, Knob, groups};

/// How much slower what is taken at its word may be.
#[derive(Clone, PartialEq, Debug)]
pub struct Margin {
    /// What is missed at the present pace already; then nothing else was tried.
    pub missed_now: Vec<String>,
    /// Each group. There are none if the network has no selectors and no shuttles, or something is missed now.
    pub groups: Vec<GroupMargin>,
    /// All groups at once, each as slow as it may be by itself; `None` if that is no more than one.
    pub together: Option<Result<Together, Unmade>>,
    /// In how many runs each good value was confirmed.
    pub runs: u64,
    /// Ticks a second of their world.
    pub ticks_per_second: u32,
}

/// How much slower the parts of a group may be, the others at their present pace.
#[derive(Clone, PartialEq, Debug)]
pub struct GroupMargin {
    /// The group.
    pub group: Group,
    /// The names of its parts.
    pub parts: Vec<String>,
    /// What the search found, or why nothing.
    pub found: Result<Slower, Unmade>,
}

/// What came of making a group slower.
#[derive(Clone, PartialEq, Debug)]
pub struct Slower {
    /// The border.
    pub border: Border,
    /// What is missed at the first bad value, and in which run; `None` if there is no such value.
    pub missed: Option<Missed>,
    /// The least good value tried at which less was done by the end of the run than at the present pace, though
    /// nothing was missed.
    pub less: Option<Less>,
}

/// What a run missed.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Missed {
    /// What it is about, the goals first.
    pub subjects: Vec<String>,
    /// The run.
    pub case: Case,
}

/// Less than at the present pace.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Less {
    /// At so many ticks.
    pub ticks: u64,
    /// Of what: a flow by its name; `None` for what got home.
    pub flow: Option<String>,
    /// So many items.
    pub items: u64,
    /// So many at the present pace.
    pub items_now: u64,
}

/// All groups at once.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Together {
    /// What is missed then; `None` if nothing is, in all runs.
    pub missed: Option<Missed>,
}

impl Margin {
    /// Whether an invariant broke on the way.
    #[must_use]
    pub fn is_broken(&self) -> bool {
        self.failed().next().is_some()
    }

    /// What was said when invariants broke.
    pub fn failed(&self) -> impl Iterator<Item = &str> {
        self.unmade().filter_map(|unmade| match unmade {
            Unmade::Broke(said) => Some(said.as_str()),
            Unmade::CutShort => None,
        })
    }

    /// How many searches were not made to the end because they were cut short.
    #[must_use]
    pub fn unmade_searches(&self) -> u64 {
        let cut_short = self.unmade().filter(|unmade| **unmade == Unmade::CutShort);
        cut_short.count() as u64
    }

    fn unmade(&self) -> impl Iterator<Item = &Unmade> {
        let groups = self.groups.iter();
        let groups = groups.filter_map(|group| group.found.as_ref().err());
        groups.chain(self.together.iter().filter_map(|all| all.as_ref().err()))
    }
}

/// Looks for the margin of each group, until the machine is cut short. `missed_now`: what is missed in any of the
/// cases at the present pace.
///
/// # Panics
///
/// If there is no base or no case, or a case has the seed of no base.
#[must_use]
pub fn margin(
    bases: &[RunInput<'_>],
    cases: &[Case],
    missed_now: Vec<String>,
    machine: &Machine<'_>,
) -> Margin {
    let network = bases[0].network;
    let mut margin = Margin {
        missed_now,
        groups: Vec::new(),
        together: None,
        runs: cases.len() as u64,
        ticks_per_second: network.rules().ticks_per_second,
    };
    if !margin.missed_now.is_empty() {
        return margin;
    }
    let groups = groups(network);
    let hall = Hall {
        bases,
        cases,
        machine,
    };
    let results = machine.runs(&groups, |group| hall.slower(group));
    for (group, found) in groups.into_iter().zip(results) {
        let names = group.parts.iter().map(|id| network.name(*id).to_owned());
        margin.groups.push(GroupMargin {
            parts: names.collect(),
            group,
            found: found.flatten(),
        });
    }
    let slow: Vec<(&Group, u64)> = margin.groups.iter().filter_map(slowest).collect();
    if slow.len() > 1 {
        let all = machine.runs(&[slow], |slow| hall.together(slow));
        margin.together = all.into_iter().next().map(Result::flatten);
    }
    margin
}

/// As slow as a group may be, if that is slower than now.
fn slowest(group: &GroupMargin) -> Option<(&Group, u64)> {
    let border = &group.found.as_ref().ok()?.border;
    (border.good > border.now).then_some((&group.group, border.good))
}
