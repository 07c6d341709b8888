//! The goals: each a ratio within one run of the bench.

use crate::figures::{Estimate, Figures};

/// What is judged.
enum What {
    /// The time a move of one case, in those of another.
    Each(&'static str, &'static str),
    /// The time of a whole run of one case, in those of another.
    Whole(&'static str, &'static str),
    /// How many times as fast as the world's 20 ticks a second a case runs.
    WorldSpeed(&'static str),
    /// Bytes a hopper beside its items.
    Bytes(&'static str),
}

/// On which side of its bound a figure must lie.
enum Bound {
    AtMost(f64),
    AtLeast(f64),
    /// At most as much as the other, as far as criterion's intervals can report the two apart.
    NoMore,
}

/// A goal of one row of the table.
pub(crate) struct Goal {
    /// The case in whose row it stands.
    pub(crate) row: &'static str,
    what: What,
    bound: Bound,
    /// What the figure is a multiple of, or its unit.
    of: &'static str,
}

/// How a goal came out.
pub(crate) struct Verdict {
    /// The goal, what was measured, and whether that meets it.
    pub(crate) words: String,
    /// Whether it is met; `None` if what it needs was not measured.
    pub(crate) is_met: Option<bool>,
}

const fn goal(row: &'static str, what: What, bound: Bound, of: &'static str) -> Goal {
    Goal {
        row,
        what,
        bound,
        of,
    }
}

/// All goals.
pub(crate) const GOALS: &[Goal] = {
    use Bound::{AtLeast, AtMost, NoMore};
    use What::{Bytes, Each, Whole, WorldSpeed};
    const LINE: &str = "engine/line_288";
    const FLOOR: &str = "floor/line_288";
    const IDLE: &str = "engine/hall_idle";
    const BUSY: &str = "engine/hall_busy";
    const MILLION: &str = "engine/million";
    const LOCKED: &str = "engine/hall_locked";
    const FILTERS: &str = "engine/filters";
    &[
        goal(LINE, Each(LINE, FLOOR), AtMost(1.0), "× its floor"),
        goal(
            LINE,
            Each(LINE, "masks/line_288"),
            AtMost(2.0),
            "× its floor with masks",
        ),
        goal(
            LINE,
            Each("reference/line_288", LINE),
            AtLeast(5.0),
            "× the reference's speed",
        ),
        goal(IDLE, Each(IDLE, LINE), AtMost(1.3), "× line_288"),
        goal(
            IDLE,
            Each("reference/hall_idle", IDLE),
            AtLeast(500.0),
            "× the reference's speed",
        ),
        goal(
            LOCKED,
            Whole(LOCKED, "engine/hall_locked_1000"),
            NoMore,
            "× the run of 1,000 ticks",
        ),
        goal(
            BUSY,
            Each(BUSY, "floor/hall_busy"),
            AtMost(1.5),
            "× its floor",
        ),
        goal(
            FILTERS,
            Each(FILTERS, FLOOR),
            AtMost(4.0),
            "× the floor of line_288",
        ),
        goal(
            MILLION,
            Each(MILLION, FLOOR),
            AtMost(4.0),
            "× the floor of line_288",
        ),
        goal(MILLION, Bytes(MILLION), AtMost(160.0), "bytes a hopper"),
        goal(
            "engine/granary",
            WorldSpeed("engine/granary"),
            AtLeast(20_000.0),
            "× the world's speed",
        ),
        goal(
            "measured/observers",
            Whole("measured/observers", "bare/observers"),
            AtMost(2.0),
            "× the bare run",
        ),
        goal(
            "traced/observers",
            Whole("traced/observers", "bare/observers"),
            AtMost(4.0),
            "× the bare run",
        ),
        goal(
            "load/scenario_compile",
            Whole("load/scenario_compile", "parse/scenario_compile"),
            AtMost(3.0),
            "× parsing the flat form",
        ),
        goal(
            "load_flat/scenario_compile",
            Whole("load_flat/scenario_compile", "parse/scenario_compile"),
            AtMost(2.0),
            "× parsing the flat form",
        ),
        goal(
            "two_cores/runs_parallel",
            Whole("one_core/runs_parallel", "two_cores/runs_parallel"),
            AtLeast(1.85),
            "× one core's speed",
        ),
    ]
};

impl Goal {
    /// Judges it by what was measured.
    pub(crate) fn judge(&self, figures: &Figures) -> Verdict {
        let bound = match self.bound {
            Bound::AtMost(most) => format!("at most {} {}", short(most), self.of),
            Bound::AtLeast(least) => format!("at least {} {}", short(least), self.of),
            Bound::NoMore => format!("at most 1 {}", self.of),
        };
        let Some(figure) = self.what.figure(figures) else {
            return Verdict {
                words: format!("{bound}: not measured"),
                is_met: None,
            };
        };
        let is_met = match self.bound {
            Bound::AtMost(most) => figure.median <= most,
            Bound::AtLeast(least) => figure.median >= least,
            Bound::NoMore => figure.lower <= 1.0,
        };
        let verdict = if is_met { "met" } else { "not met" };
        Verdict {
            words: format!("{bound}: {} {verdict}", short(figure.median)),
            is_met: Some(is_met),
        }
    }
}

impl What {
    /// The figure with its interval; `None` if something that it needs was not measured.
    fn figure(&self, figures: &Figures) -> Option<Estimate> {
        match self {
            Self::Each(of, to) => {
                let (of, to) = (figures.get(of)?, figures.get(to)?);
                let amounts = to.amount as f64 / of.amount as f64;
                Some(quotient(of.run, to.run, amounts))
            }
            Self::Whole(of, to) => {
                let (of, to) = (figures.get(of)?, figures.get(to)?);
                Some(quotient(of.run, to.run, 1.0))
            }
            Self::WorldSpeed(of) => {
                let figure = figures.get(of)?;
                let world = Estimate::exact(figure.ticks as f64 / 20.0 * 1e9);
                Some(quotient(world, figure.run, 1.0))
            }
            Self::Bytes(of) => {
                let memory = figures.get(of)?.memory?;
                Some(Estimate::exact(memory.bytes_a_hopper()))
            }
        }
    }
}

impl Estimate {
    fn exact(value: f64) -> Self {
        Self {
            median: value,
            lower: value,
            upper: value,
        }
    }
}

fn quotient(of: Estimate, to: Estimate, factor: f64) -> Estimate {
    Estimate {
        median: of.median / to.median * factor,
        lower: of.lower / to.upper * factor,
        upper: of.upper / to.lower * factor,
    }
}

/// A figure with three digits that count, or all before the point if there are more.
pub(crate) fn short(value: f64) -> String {
    let text = match value.abs() {
        large if large >= 100.0 => grouped(value.round() as u64),
        medium if medium >= 10.0 => format!("{value:.1}"),
        _ => format!("{value:.2}"),
    };
    match text.contains('.') {
        true => text.trim_end_matches('0').trim_end_matches('.').to_owned(),
        false => text,
    }
}

/// A number with commas between groups of three digits.
pub(crate) fn grouped(number: u64) -> String {
    let digits = number.to_string();
    let mut text = String::new();
    for (place, digit) in digits.chars().enumerate() {
        if place > 0 && (digits.len() - place).is_multiple_of(3) {
            text.push(',');
        }
        text.push(digit);
    }
    text
}
