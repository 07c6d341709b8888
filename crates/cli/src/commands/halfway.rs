//! A run in parts: saved before a tick, and gone on with.

use std::fs;
use std::path::{Path, PathBuf};

use anyhow::{Context, Result, bail};
use hallwright_core::event::Observer;
use hallwright_core::tick::Tick;
use hallwright_report::findings::Findings;
use hallwright_report::{Halfway, RunInput, run_in_parts};
use hallwright_saved::{Belonging, read, written};
use hallwright_scenario::{DEFAULT_PART_LIMIT, Scenario};

use crate::files::write_bytes;
use crate::flags::RunFlags;
use crate::program::digest_of_program;
use crate::repeat::Repeat;

/// From where a run goes on, and where it is saved on its way.
pub(super) struct Parts {
    from: Option<Halfway>,
    /// The files, by tick.
    save: Vec<(Tick, PathBuf)>,
    belonging: Option<Belonging>,
}

impl Parts {
    /// Those that the flags ask for.
    ///
    /// # Errors
    ///
    /// If a file cannot be gone on with, or the run does not come to a tick.
    pub(super) fn new(flags: &RunFlags, scenario: &Scenario, input: &RunInput<'_>) -> Result<Self> {
        let mut save = flags.save_at.clone();
        save.sort_by_key(|(tick, _)| *tick);
        if save.is_empty() && flags.resume.is_none() {
            return Ok(Self {
                from: None,
                save,
                belonging: None,
            });
        }
        if let Some((tick, _)) = save.last()
            && tick.0 >= input.run_ticks
        {
            bail!(
                "`--save-at {}` is not reached: the run has {} ticks, the last is {}",
                tick.0,
                input.run_ticks,
                input.run_ticks - 1
            );
        }
        let belonging = belonging(flags, scenario)?;
        let from = flags.resume.as_deref();
        let from = from.map(|path| resumed(path, &belonging)).transpose()?;
        if let (Some(from), Some((tick, _))) = (&from, save.first())
            && *tick < from.tick()
        {
            bail!(
                "`--save-at {}` is over: the saved run goes on at tick {}",
                tick.0,
                from.tick().0
            );
        }
        Ok(Self {
            from,
            save,
            belonging: Some(belonging),
        })
    }

    /// Makes the run, and saves it on its way.
    pub(super) fn run(
        self,
        input: &RunInput<'_>,
        extra: &mut dyn Observer,
        progress: &mut dyn FnMut(Tick),
    ) -> Result<Findings> {
        let ticks: Vec<Tick> = self.save.iter().map(|(tick, _)| *tick).collect();
        let mut files = self.save.iter().map(|(_, file)| file);
        let mut saved = Ok(());
        let mut keep = |halfway: Halfway| {
            if let (Some(file), Some(belonging)) = (files.next(), &self.belonging)
                && saved.is_ok()
            {
                saved = write_bytes(file, &written(belonging, &halfway))
                    .with_context(|| format!("the run cannot be saved to `{}`", file.display()));
            }
        };
        let found = run_in_parts(input, self.from, &ticks, &mut keep, extra, progress);
        saved.map(|()| found)
    }
}

/// What a saved run of these flags belongs to.
fn belonging(flags: &RunFlags, scenario: &Scenario) -> Result<Belonging> {
    let program = digest_of_program().context("this program cannot be read")?;
    // Where the file lies, and how much of it is read, is nothing to the run.
    let name = flags.run.scenario.file_name();
    let run = Repeat {
        scenario: name.map_or(&flags.run.scenario, Path::new),
        part_limit: DEFAULT_PART_LIMIT,
        root: None,
        ..flags.run.repeat("run", scenario.variant.as_deref())
    };
    Ok(Belonging {
        program: format!("{} {program:032x}", env!("CARGO_PKG_VERSION")),
        input: format!("{:016x}", scenario.input_digest),
        run: run.command(),
    })
}

fn resumed(path: &Path, belonging: &Belonging) -> Result<Halfway> {
    let why = || format!("`{}` cannot be gone on with", path.display());
    let there = fs::metadata(path).with_context(why)?;
    // Opening a pipe would wait for somebody who writes into it.
    if !there.is_file() {
        bail!("{}: it is no file", why());
    }
    let bytes = fs::read(path).with_context(why)?;
    read(&bytes, belonging).with_context(why)
}
