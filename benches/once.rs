//! `--once NAME`: one run of one case, for a profiler that counts instructions.

use std::hint::black_box;
use std::time::Instant;

use crate::case::{Case, Runner};

/// Runs the one case that is asked for.
pub(crate) struct Once {
    asked: String,
    seen: Vec<String>,
    is_done: bool,
}

impl Once {
    /// For the case of this name. A name without a group is one of the engine's.
    pub(crate) fn new(name: &str) -> Self {
        let asked = match name.contains('/') {
            true => name.to_owned(),
            false => format!("engine/{name}"),
        };
        Self {
            asked,
            seen: Vec::new(),
            is_done: false,
        }
    }

    /// Reports if there is no such case.
    pub(crate) fn finish(self) -> Result<(), String> {
        if self.is_done {
            return Ok(());
        }
        let names = self.seen.join("\n  ");
        Err(format!(
            "there is no case `{}`; there are:\n  {names}",
            self.asked
        ))
    }
}

impl Runner for Once {
    fn case<C: Case>(&mut self, id: &str, make: impl FnOnce() -> C) {
        self.seen.push(id.to_owned());
        if id != self.asked {
            return;
        }
        self.is_done = true;
        let case = make();
        let mut input = case.prepare();
        let start = Instant::now();
        black_box(timed_part(&case, &mut input));
        let nanoseconds = start.elapsed().as_nanos() as f64;
        println!(
            "{id}: {} {}, {:.1} ms, {:.2} ns each",
            case.amount(),
            case.unit(),
            nanoseconds / 1e6,
            nanoseconds / case.amount().max(1) as f64
        );
    }
}

/// The run alone, as a function of its own: `--toggle-collect='*timed_part*'` makes callgrind count
/// nothing else.
#[inline(never)]
fn timed_part<C: Case>(case: &C, input: &mut C::Input) -> C::Output {
    case.run(input)
}
