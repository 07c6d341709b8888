//! A progress bar on a terminal, for what takes longer than a second.

use std::io::IsTerminal;
use std::time::{Duration, Instant};

use indicatif::{ProgressBar, ProgressStyle};

use crate::manner;

/// How long something may take before a bar appears.
const PATIENCE: Duration = Duration::from_secs(1);

/// Shows how far something has come, once it has taken longer than a second and only on a terminal.
pub(crate) struct Progress {
    started: Instant,
    total: u64,
    unit: &'static str,
    bar: Option<ProgressBar>,
    is_terminal: bool,
}

impl Progress {
    /// Something that is done when it has come to `total` of this unit.
    pub(crate) fn new(total: u64, unit: &'static str) -> Self {
        let is_terminal = std::io::stderr().is_terminal() && !manner::is_quiet();
        Self {
            started: Instant::now(),
            total,
            unit,
            bar: None,
            is_terminal,
        }
    }

    /// It has come this far.
    pub(crate) fn at(&mut self, done: u64) {
        if !self.is_terminal || self.started.elapsed() < PATIENCE {
            return;
        }
        let (total, unit) = (self.total, self.unit);
        let bar = self.bar.get_or_insert_with(|| {
            let template =
                format!("{{wide_bar}} {{human_pos}} of {{human_len}} {unit}, {{eta}} left");
            let bar = ProgressBar::new(total);
            if let Ok(style) = ProgressStyle::with_template(&template) {
                bar.set_style(style.progress_chars("#>."));
            }
            bar
        });
        bar.set_position(done);
    }
}

impl Drop for Progress {
    fn drop(&mut self) {
        if let Some(bar) = &self.bar {
            bar.finish_and_clear();
        }
    }
}
