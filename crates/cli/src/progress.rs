//! A progress bar on a terminal, for what takes longer than a second.

use std::io::IsTerminal;
use std::sync::{Arc, Condvar, Mutex, MutexGuard, PoisonError};
use std::thread::{self, JoinHandle};
use std::time::{Duration, Instant};

use hallwright_trials::Over;
use indicatif::{HumanDuration, ProgressBar, ProgressStyle};

use crate::manner;

/// How long something may take before a bar appears.
const PATIENCE: Duration = Duration::from_secs(1);
/// How long a bar stays as it is.
const PAUSE: Duration = Duration::from_millis(200);

/// Shows how far something has come, once it has taken longer than a second and only on a terminal. The bar is
/// drawn beside the work, so that it is there though the first step takes long.
pub(crate) struct Progress {
    shared: Arc<Shared>,
    /// `None` where there is no terminal.
    drawing: Option<JoinHandle<()>>,
}

/// What the work and the drawing know.
#[derive(Default)]
struct Shared {
    state: Mutex<State>,
    has_ended: Condvar,
}

#[derive(Default)]
struct State {
    over: Over,
    has_ended: bool,
}

impl Shared {
    fn state(&self) -> MutexGuard<'_, State> {
        self.state.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// How far it is after a pause; `None` if it ended before.
    fn after(&self, pause: Duration) -> Option<Over> {
        let state = self
            .has_ended
            .wait_timeout_while(self.state(), pause, |state| !state.has_ended);
        let (state, _) = state.unwrap_or_else(PoisonError::into_inner);
        (!state.has_ended).then_some(state.over)
    }

    /// Draws until it ends.
    fn draw(&self, total: u64, unit: &str) {
        let started = Instant::now();
        let Some(mut over) = self.after(PATIENCE) else {
            return;
        };
        let bar = ProgressBar::new(total);
        let template = format!("{{wide_bar}} {{human_pos}} of {{human_len}} {unit}{{msg}}");
        if let Ok(style) = ProgressStyle::with_template(&template) {
            bar.set_style(style.progress_chars("#>."));
        }
        loop {
            bar.set_position(total.min(over.made + over.passed));
            bar.set_message(left_words(over, total, started.elapsed()));
            match self.after(PAUSE) {
                Some(now) => over = now,
                None => break,
            }
        }
        bar.finish_and_clear();
    }
}

impl Progress {
    /// Something that is done when it has come to `total` of this unit.
    pub(crate) fn new(total: u64, unit: &'static str) -> Self {
        let shared = Arc::new(Shared::default());
        let is_shown = std::io::stderr().is_terminal() && !manner::is_quiet();
        let drawing = is_shown.then(|| {
            let shared = Arc::clone(&shared);
            // Without a thread there is no bar.
            let thread = thread::Builder::new().spawn(move || shared.draw(total, unit));
            thread.ok()
        });
        Self {
            shared,
            drawing: drawing.flatten(),
        }
    }

    /// It has come this far.
    pub(crate) fn at(&self, done: u64) {
        self.over(Over {
            made: done,
            passed: 0,
        });
    }

    /// So much of it is over.
    pub(crate) fn over(&self, over: Over) {
        if self.drawing.is_some() {
            self.shared.state().over = over;
        }
    }
}

impl Drop for Progress {
    fn drop(&mut self) {
        if let Some(drawing) = self.drawing.take() {
            self.shared.state().has_ended = true;
            self.shared.has_ended.notify_all();
            let _ = drawing.join();
        }
    }
}

/// How long what is left takes, if each step takes as long as those that were made; empty if nobody knows.
fn left_words(over: Over, total: u64, elapsed: Duration) -> String {
    let left = total.saturating_sub(over.made + over.passed);
    if over.made == 0 || left == 0 {
        return String::new();
    }
    let seconds = elapsed.as_secs_f64() * left as f64 / over.made as f64;
    match Duration::try_from_secs_f64(seconds) {
        Ok(time) => format!(", {:#} left", HumanDuration(time)),
        Err(_) => String::new(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_left_takes_as_long_as_what_was_made() {
        let words = |made, passed| left_words(Over { made, passed }, 100, Duration::from_secs(10));
        assert_eq!(words(20, 0), ", 40s left");
        assert_eq!(words(20, 40), ", 20s left", "what is passed takes no time");
        assert_eq!(words(0, 40), "", "nobody knows");
        assert_eq!(words(90, 40), "", "more was made than was thought");
    }
}
