//! What came off badly in a run, with or without a stop: for each verdict that was missed, what is
//! concerned and why.

use std::collections::BTreeSet;

use hallwright_analysis::ways::Ways;
use hallwright_core::engine::{Engine, View};
use hallwright_core::id::PartId;
use hallwright_core::part::{Rear, Signal};
use hallwright_core::setup::Setup;
use petgraph::Direction;

use super::standing::{Standing, why_it_stands};
use hallwright_report::findings::{Fate, Findings, Refusal};
use hallwright_report::verdicts::Question;
use hallwright_report::words::{goal_words, refusal_words, stay_words};

/// The most places at which one question is explained.
const TOLD: usize = 6;

/// How many parts, or signals, one explanation goes along at most.
const MOST_STEPS: usize = 8;

/// Something that came off badly, and why.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Trouble {
    /// What is asked.
    pub question: Question,
    /// What was found: the verdict, or what of which kind is where.
    pub what: String,
    /// Why, a sentence each; empty if no more is known.
    pub why: Vec<String>,
}

/// Explains every verdict that was missed. `view`: the end of the run.
pub(super) fn troubles(
    findings: &Findings,
    setup: &Setup,
    ways: &Ways,
    view: &View<'_>,
) -> Vec<Trouble> {
    let missed = findings.verdicts.iter().filter(|one| !one.is_met());
    let mut troubles = Vec::new();
    for verdict in missed {
        let question = verdict.question;
        let fate = match question {
            Question::Stuck => Some(Fate::Stuck),
            Question::BackedUp => Some(Fate::BackedUp),
            _ => None,
        };
        let rows = findings.going_on.rows.iter();
        let rows = rows.filter(|row| Some(row.fate) == fate).take(TOLD);
        let mut told: Vec<Trouble> = rows
            .map(|row| Trouble {
                question,
                what: stay_words(row),
                why: why_there(view, ways, &row.part),
            })
            .collect();
        if question == Question::Refused {
            let rows = findings.account.refusals.iter().take(TOLD);
            told.extend(rows.map(|row| Trouble {
                question,
                what: format!("refused: {}", refusal_words(row, findings.ticks_per_second)),
                why: why_refused(view, setup, ways, row),
            }));
        }
        if told.is_empty() {
            told.push(Trouble {
                question,
                what: goal_words(verdict, findings),
                why: verdict.why.iter().take(TOLD).cloned().collect(),
            });
        }
        troubles.append(&mut told);
    }
    troubles
}

/// Why what is in a part does not go on, from full target to full target.
fn why_there(view: &View<'_>, ways: &Ways, part: &str) -> Vec<String> {
    let network = view.network();
    let mut words = Vec::new();
    let mut seen = BTreeSet::new();
    let mut here = network.find(part);
    while let Some(part) = here.filter(|part| words.len() < MOST_STEPS && seen.insert(*part)) {
        here = None;
        let name = network.name(part);
        match why_it_stands(view, ways, part) {
            // The place that is full at last.
            Standing::NoWayOn if !words.is_empty() => {}
            Standing::NoWayOn => words.push(format!("nothing leads on from {name}")),
            Standing::Locked { part: locked, by } => {
                words.push(format!("{name} waits for {locked}, which {by} locks"));
                words.extend(network.find(&by).map_or_else(Vec::new, |by| {
                    let mut chain = Chain {
                        view,
                        words: Vec::new(),
                        seen: BTreeSet::new(),
                    };
                    chain.follow(by, Want::Off);
                    chain.words
                }));
            }
            Standing::FullTarget(target) => {
                words.push(format!("{name} waits for {target}, which has no room"));
                here = network.find(&target);
            }
            Standing::NotTriggered => words.push(format!("nothing fires {name}")),
            Standing::UnderWay => {
                words.push(format!("{name} could hand it on: it was still moving"));
            }
        }
    }
    words
}

/// What limited the place at the first refusal: the run is made again up to then.
fn why_refused(view: &View<'_>, setup: &Setup, ways: &Ways, row: &Refusal) -> Vec<String> {
    let network = view.network();
    let Some(place) = network.find(&row.place) else {
        return Vec::new();
    };
    let mut engine = Engine::new(network, setup);
    // What comes out in the tick of the refusal comes out behind it.
    engine.run_until(row.first_at, &mut ());
    let before = engine.view();
    let mut words = vec![format!("{} had no room for it then", row.place)];
    let takers = ways.hops(place, Direction::Outgoing);
    let names: Vec<&str> = takers.iter().map(|(to, _)| network.name(*to)).collect();
    match why_it_stands(&before, ways, place) {
        Standing::UnderWay if !names.is_empty() => words.push(format!(
            "more came than {} could take out of it",
            names.join(", ")
        )),
        _ => words.extend(why_there(&before, ways, &row.place)),
    }
    words
}

/// What a signal would have to be.
#[derive(Clone, Copy)]
enum Want {
    Off,
    AtLeast(u8),
}

/// Goes back along signals to what keeps them as they are.
struct Chain<'a, 'v> {
    view: &'a View<'v>,
    words: Vec<String>,
    seen: BTreeSet<PartId>,
}

impl Chain<'_, '_> {
    fn follow(&mut self, part: PartId, want: Want) {
        let level = self.view.level(part);
        let is_so = match want {
            Want::Off => level == 0,
            Want::AtLeast(least) => level >= least,
        };
        if is_so || self.words.len() >= MOST_STEPS || !self.seen.insert(part) {
            return;
        }
        let network = self.view.network();
        let name = network.name(part);
        let needed = match want {
            Want::Off => "it would have to be off".to_owned(),
            Want::AtLeast(1) => "it would have to be on".to_owned(),
            Want::AtLeast(least) => format!("it would have to be {least} or more"),
        };
        let is = match level {
            0 => "off".to_owned(),
            level => format!("on at {level}"),
        };
        let Some(signal) = network.signal(part) else {
            return;
        };
        match signal {
            Signal::Comparator {
                rear: Rear::Inventory(read),
                side: None,
                ..
            } => {
                let read = network.name(*read);
                let until = match want {
                    Want::Off => "it would have to read 0".to_owned(),
                    Want::AtLeast(least) => format!("it would have to read {least} or more"),
                };
                self.words.push(format!(
                    "comparator {name} reads {level} from {read}: {until}"
                ));
            }
            _ => self.words.push(format!("{name} is {is}: {needed}")),
        }
        let want_on = match want {
            Want::Off => Want::Off,
            Want::AtLeast(_) => Want::AtLeast(1),
        };
        match signal {
            Signal::Inverter { input } => {
                let turned = match want {
                    Want::Off => Want::AtLeast(1),
                    Want::AtLeast(_) => Want::Off,
                };
                self.follow(*input, turned);
            }
            Signal::Wire { inputs } => {
                for (input, loss) in inputs {
                    match want {
                        Want::AtLeast(least) => {
                            self.follow(*input, Want::AtLeast(least.saturating_add(*loss)));
                        }
                        // Only what comes through keeps it on.
                        Want::Off if self.view.level(*input) > *loss => {
                            self.follow(*input, Want::Off);
                        }
                        Want::Off => {}
                    }
                }
            }
            Signal::Repeater { input, .. }
            | Signal::Hold { input, .. }
            | Signal::DelayLine { input, .. } => self.follow(*input, want_on),
            Signal::AllOf { inputs } if matches!(want, Want::AtLeast(_)) => {
                for input in inputs {
                    self.follow(*input, Want::AtLeast(1));
                }
            }
            Signal::NoneOf { inputs } if matches!(want, Want::AtLeast(_)) => {
                for input in inputs {
                    self.follow(*input, Want::Off);
                }
            }
            // What else it is made of has no single way to change.
            _ => {}
        }
    }
}
