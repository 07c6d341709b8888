//! What was measured, with the goals judged.

use std::ops::Deref;

use hallwright_analysis::limits::Limits;
use hallwright_declared::declarations::Declarations;

use crate::findings::Measured;
use crate::goals::{Verdict, judge};

/// Everything found in one run: what was measured, and how the goals came off.
///
/// It is made whole or not at all. All that was measured can be read through it, as its own; nothing
/// that only measured can be taken for judged.
#[derive(Clone, PartialEq, Debug)]
pub struct Findings {
    measured: Measured,
    /// One list of all verdicts: the goals in the order of declaration, then what is judged anyway.
    pub verdicts: Vec<Verdict>,
    /// What the network allows at best; `None` if that was not asked for.
    pub limits: Option<Limits>,
}

impl Findings {
    /// Judges the goals by what was measured in a run with these declarations. `limits`: what the
    /// network allows at best, if that was worked out.
    ///
    /// # Panics
    ///
    /// If a goal is about something that the run did not have.
    #[must_use]
    pub fn new(measured: Measured, declared: &Declarations, limits: Option<Limits>) -> Self {
        Self {
            verdicts: judge(declared, &measured),
            measured,
            limits,
        }
    }

    /// What was measured, without the verdicts.
    #[must_use]
    pub fn into_measured(self) -> Measured {
        self.measured
    }

    /// Whether every verdict is as it should be or allowed: of goals and of what is judged anyway.
    #[must_use]
    pub fn is_ok(&self) -> bool {
        self.verdicts.iter().all(Verdict::is_met)
    }

    /// The verdicts on the goals of the file.
    pub fn goals(&self) -> impl Iterator<Item = &Verdict> + Clone {
        self.verdicts
            .iter()
            .filter(|verdict| !verdict.is_judged_anyway())
    }

    /// The verdicts on what is judged though no goal asks it.
    pub fn judged_anyway(&self) -> impl Iterator<Item = &Verdict> + Clone {
        self.verdicts
            .iter()
            .filter(|verdict| verdict.is_judged_anyway())
    }
}

impl Deref for Findings {
    type Target = Measured;

    fn deref(&self) -> &Measured {
        &self.measured
    }
}
