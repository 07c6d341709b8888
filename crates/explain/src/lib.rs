//! Explains a run: why a stop took so long, and what went wrong where.
//!
//! A run is recorded in a `history`, in which each item is followed from place to place. From the
//! event that made a mark true, `walk` goes back from each event to the condition of it that came
//! true last (`moves`, `signals`), until the operator's stop is reached. The steps on the way are
//! the critical path of the stop; their ticks add up to its time exactly. What depends on the state at
//! some tick is looked at in another run up to that tick: runs repeat exactly.

mod by_order;
mod condition;
mod explanation;
mod flow;
mod fold;
mod history;
mod last;
mod life;
mod losses;
mod mark_ways;
mod moves;
mod rings;
mod shorten;
mod shown;
mod signals;
mod spells;
mod standing;
mod stop;
mod stuck;
mod troubles;
mod waiting;
mod walk;
mod way_words;
mod words;

use hallwright_analysis::ways::Ways;
use hallwright_core::engine::Engine;
use hallwright_core::tick::Tick;
use hallwright_declared::declarations::Mark;

use self::by_order::InOtherOrders;
pub use self::by_order::OrderCause;
pub use self::condition::Cause;
pub use self::explanation::{Beyond, CauseSum, Explanation, PathRow, PlaceSum, Shorter, StopPath};
pub use self::flow::{Doing, FlowWay, PartTimes};
use self::history::History;
pub use self::history::{actor, concerned};
use self::losses::StrangeWatch;
pub use self::losses::{LostLife, Misplacement, StayFinding, WrongTurn};
pub use self::mark_ways::{MarkWay, mark_ways, slowest_first};
pub use self::rings::Ring;
pub use self::shown::shown;
pub use self::standing::Standing;
pub use self::stuck::{LockedBy, Stuck};
use self::troubles::Scene;
pub use self::troubles::{Trouble, TroubleCause};
pub use self::waiting::{Around, Lasts, Situation, Wait, Why};
pub use self::way_words::{ShownRow, decided_words, row_words, shorter_words, shown_rows};
pub use self::words::{cause_words, order_cause_words};
use hallwright_report::{RunInput, run, setup_for};

/// How many times are tried shorter.
const TRIED: usize = 3;

/// Explains a run: a mark of its first stop, and whatever went wrong.
///
/// # Panics
///
/// If an invariant broke: a bug.
#[must_use]
pub fn explain(input: &RunInput<'_>, mark: Mark) -> Explanation {
    let (network, declared) = (input.network, input.declarations);
    let findings = run(input, &mut |_| {});
    let pulses_at = findings
        .stops
        .first()
        .and_then(|found| stop::tick_before_mark(found, mark));
    let setup = setup_for(input);
    let mut engine = Engine::new(network, &setup);
    let end = Tick(input.run_ticks);
    let mut watch = StrangeWatch::new(declared, network);
    engine.run_watched(end, &mut watch);
    let ways = Ways::new(network);
    // A history is kept only for what is explained by one: of a large hall it takes far more room than the hall.
    let has_stop = findings.stops.first().is_some_and(|found| {
        let ticks = shorten::mark_ticks(&found.all, mark);
        ticks != Some(0)
    });
    let is_needed = has_stop
        || watch.has_seen()
        || findings.verdicts.iter().any(troubles::is_reported)
        || rings::can_be(&ways);
    let history = match is_needed {
        true => stop::record(input, pulses_at),
        false => History::empty(network),
    };
    let hall = (network, declared);
    let scene = Scene::new(hall, &setup, &findings, &history, &ways, &engine.view());
    let asked = stop::Asked {
        stop: 0,
        section: None,
        mark,
        most_tried: TRIED,
    };
    let mut stop = stop::explain_stop(input, &findings, &history, asked);
    if let (Some(path), Some(found)) = (&mut stop, findings.stops.first())
        && path.ticks.is_none()
    {
        path.stuck = stop::stuck_at(input, &history, &ways, found);
    }
    let mut troubles = troubles::troubles(&scene, &InOtherOrders::of(input, &findings));
    // What keeps a stop from being safe to close is explained by itself.
    let marks = [Mark::Cleared, Mark::Quiet];
    shown::add_late(&mut troubles, &marks, (input, &findings), &history);
    let flows = flow::missed(declared, &findings).into_iter();
    Explanation {
        ticks_per_second: findings.ticks_per_second,
        stop,
        troubles,
        deadlocks: rings::deadlocks(&history, &ways, &engine.view()),
        circulations: rings::circulations(&history, &ways, &engine.view(), end),
        lost_stacks: findings.loss.stacks,
        lost: losses::lost_lives(&history, network),
        misplaced_items: findings.misplaced_items(),
        misplaced: losses::misplacements(&history, &ways, network, &setup, declared),
        flows: flows
            .map(|flow| flow::flow_way(network, &ways, &setup, declared, &findings, flow))
            .collect(),
    }
}
