//! What came off badly in a run, with or without a stop: for each verdict that was missed or allowed,
//! what is concerned, why, and what could be changed.
//!
//! What keeps an item where it is, is followed from part to part (`blockage`), and along signals where a
//! lock or a trigger does it (`signals`). The other files each explain one question.

mod blockage;
mod buildable;
mod by_hand;
mod crowded;
mod flows;
mod homes;
mod lost;
mod readings;
mod refused;
mod round;
mod safe;
mod scene;
mod sieves;
mod signals;
mod stays;
mod turns;

use hallwright_core::tick::Tick;
use hallwright_declared::declarations::Goal;
use hallwright_report::findings::Fate;
use hallwright_report::goals::Verdict;
use hallwright_report::verdicts::{Question, Ruling};
use hallwright_words::goal_words;

pub(super) use self::scene::Scene;
use crate::by_order::{InOtherOrders, OrderCause};

/// The most places at which one question is explained.
const TOLD: usize = 6;

/// Something that is not as it should be.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Trouble {
    /// What is asked.
    pub question: Question,
    /// How it came off.
    pub ruling: Ruling,
    /// The verdict in words.
    pub verdict: String,
    /// Which order is why it was missed; `None` if it is as it is in the declared orders too.
    pub by_order: Option<OrderCause>,
    /// Its causes, one by one.
    pub causes: Vec<TroubleCause>,
    /// How many more things are concerned that are not explained.
    pub left_out: u64,
}

/// One cause of a trouble.
#[derive(Clone, PartialEq, Eq, Debug, Default)]
pub struct TroubleCause {
    /// What is concerned by it: how many of which kind, where.
    pub what: Vec<String>,
    /// Why, a sentence each; empty if no more is known.
    pub why: Vec<String>,
    /// What could be changed, each by itself.
    pub could: Vec<String>,
    /// The part at which it shows; `None` if that is no one part.
    pub part: Option<String>,
    /// When it shows there first; `None` if that is not known.
    pub at: Option<Tick>,
}

impl TroubleCause {
    fn of(what: String) -> Self {
        Self {
            what: vec![what],
            ..Self::default()
        }
    }

    /// Says where and when it shows, unless that is said.
    fn shows(&mut self, part: &str, at: Option<Tick>) {
        if self.part.is_none() {
            self.part = Some(part.to_owned());
            self.at = at;
        }
    }

    /// Adds a sentence that is not there yet.
    fn say(&mut self, why: String) {
        if !self.why.contains(&why) {
            self.why.push(why);
        }
    }

    fn advise(&mut self, could: String) {
        if !self.could.contains(&could) {
            self.could.push(could);
        }
    }
}

/// Explains every verdict that was missed, allowed or could not be judged.
pub(super) fn troubles(scene: &Scene<'_>, others: &InOtherOrders) -> Vec<Trouble> {
    let verdicts = scene.findings.verdicts.iter().enumerate();
    let reported = verdicts.filter(|(_, verdict)| is_reported(verdict));
    reported
        .map(|(place, verdict)| {
            let is_missed = verdict.ruling == Ruling::Missed;
            Trouble {
                by_order: is_missed.then(|| others.cause(place)).flatten(),
                ..trouble(scene, verdict)
            }
        })
        .collect()
}

/// Whether a verdict is explained.
pub(super) fn is_reported(verdict: &Verdict) -> bool {
    match verdict.ruling {
        Ruling::Missed | Ruling::NotKnown | Ruling::Allowed => true,
        Ruling::Ok | Ruling::NotFinished => false,
    }
}

fn trouble(scene: &Scene<'_>, verdict: &Verdict) -> Trouble {
    let found = match verdict.question {
        Question::Stuck => stays::explain(scene, Fate::Stuck),
        Question::BackedUp => stays::explain(scene, Fate::BackedUp),
        Question::Refused => refused::explain(scene),
        Question::Lost => lost::explain(scene),
        Question::Misplaced => turns::misplaced(scene),
        Question::PassedBy => turns::passed_by(scene),
        Question::Sieves => sieves::explain(scene),
        Question::SafeToClose => safe::explain(scene, verdict),
        Question::WithoutHome => homes::without(scene),
        Question::SharedHome => homes::shared(scene),
        Question::Crowded => crowded::explain(scene),
        Question::Buildable => buildable::explain(scene, verdict),
        Question::Other => goal(scene, verdict),
    };
    let mut causes: Vec<TroubleCause> = Vec::new();
    for cause in found {
        let is_same = |known: &&mut TroubleCause| {
            !cause.why.is_empty() && (&known.why, &known.could) == (&cause.why, &cause.could)
        };
        match causes.iter_mut().find(is_same) {
            Some(known) => known.what.extend(cause.what),
            None => causes.push(cause),
        }
    }
    let left_out = causes.len().saturating_sub(TOLD) as u64;
    causes.truncate(TOLD);
    Trouble {
        question: verdict.question,
        ruling: verdict.ruling,
        verdict: goal_words(verdict, scene.findings),
        by_order: None,
        causes,
        left_out,
    }
}

/// Of the other goals, those about throughput have a cause of their own.
fn goal(scene: &Scene<'_>, verdict: &Verdict) -> Vec<TroubleCause> {
    let goal = verdict
        .goal
        .and_then(|place| scene.declared.goals.get(place));
    match goal {
        Some(Goal::ThroughputAtLeast { flow, best, .. }) => flows::explain(scene, *flow, *best),
        _ => Vec::new(),
    }
}
