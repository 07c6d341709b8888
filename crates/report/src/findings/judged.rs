//! What was measured, with the goals judged.

use std::ops::Deref;

use hallwright_analysis::limits::Limits;
use hallwright_core::declare::Declarations;

use super::Measured;
use crate::goals::{Verdict, judge};

/// Everything found in one run: what was measured, and how the goals came off.
///
/// It is made whole or not at all. All that was measured can be read through it, as its own; nothing
/// that only measured can be taken for judged.
#[derive(Clone, PartialEq, Debug)]
pub struct Findings {
    measured: Measured,
    /// The goals, judged, in the order of declaration.
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

    /// Whether every goal was met.
    #[must_use]
    pub fn goals_met(&self) -> bool {
        self.verdicts.iter().all(Verdict::is_met)
    }
}

impl Deref for Findings {
    type Target = Measured;

    fn deref(&self) -> &Measured {
        &self.measured
    }
}
