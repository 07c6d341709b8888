//! `hallwright run`: one scenario, one variant, one report.

use anyhow::{Context, Result, bail};
use hallwright_core::tick::Tick;
use hallwright_render as render;
use hallwright_report::findings::Findings;
use hallwright_report::units::grouped;
use hallwright_report::{Heading, RunInput, setup_for};
use hallwright_scenario::bundle;
use hallwright_trials::CaseRun;
use hallwright_trials::leave::LeaveAsked;
use hallwright_trials::sweep::SweepFindings;
use hallwright_written::{flat, floors};

use super::halfway::Parts;
use super::one_run::note_no_variant;
use super::sweep::{check_cases, swept};
use crate::exit_code::Outcome;
use crate::files::{Guard, Target, TraceFile, targets_or, write_targets};
use crate::flags::{RunFlags, RunFormat};
use crate::pages::{drawn, page_subject};
use crate::progress::Progress;
use crate::repeat::Repeat;
use crate::runs;
use crate::verify::verify;

/// Runs a scenario and writes what was found.
pub(crate) fn run(flags: &RunFlags) -> Result<Outcome> {
    check_cases(flags)?;
    let variant = flags.run.loading.one_variant()?;
    let Some((scenario, sources)) = flags.run.load(variant) else {
        return Ok(Outcome::Unusable);
    };
    let targets = targets_or(&flags.output, RunFormat::Text);
    let saved = flags.save_at.iter().map(|(_, file)| file.as_path());
    Guard::default()
        .reads(sources.paths())
        .reads(flags.resume.as_deref())
        .writes(targets.iter().map(Target::path).chain(saved))?;
    // What cannot be drawn is said before anything runs.
    let mut drawn = String::new();
    if targets
        .iter()
        .any(|target| target.format == RunFormat::Floors)
    {
        drawn = floors(&scenario).context("the scenario cannot be drawn as floors")?;
    }
    note_no_variant(&scenario);
    let (traces, targets): (Vec<_>, Vec<_>) = targets
        .into_iter()
        .partition(|target| target.format == RunFormat::Trace);
    let run = flags.run.made(&scenario)?;
    let parts = Parts::new(flags, &scenario, &run.input())?;
    let findings = one_run(&run.input(), parts, &traces)?;
    let Some(swept) = swept(flags, &scenario)? else {
        return Ok(Outcome::Unusable);
    };
    let left = left(flags, variant, &run)?;
    let verified = flags.verify.then(|| both_engines_agree(&run.input()));
    let found = Found {
        heading: Heading {
            verified,
            ..flags.run.heading(&scenario, command(flags, variant))
        },
        findings,
        sweep: swept.found,
        left,
    };
    write_targets(&targets, &|format, columns| match format {
        RunFormat::Flat => Ok(flat(&scenario)),
        RunFormat::Floors => Ok(drawn.clone()),
        RunFormat::Bundle => bundled(flags, variant),
        _ => Ok(found.written(&run, format, columns)),
    })?;
    let left = found.left.as_ref();
    let is_broken = left.is_some_and(LeaveAsked::is_broken);
    let is_cut_short = swept.is_cut_short || left.is_some_and(|left| left.unmade_leaves() > 0);
    Ok(if verified == Some(false) || swept.is_broken || is_broken {
        Outcome::Broken
    } else if !found.is_ok() {
        Outcome::GoalMissed
    } else if is_cut_short {
        Outcome::CutShort
    } else {
        Outcome::Done
    })
}

/// All that is reported of a run.
struct Found {
    heading: Heading,
    findings: Findings,
    sweep: Option<SweepFindings>,
    /// What becomes of it when it is left, if that was asked.
    left: Option<LeaveAsked>,
}

impl Found {
    /// Whether nothing was missed, as far as it was tried.
    fn is_ok(&self) -> bool {
        let sweep = self.sweep.as_ref();
        self.findings.is_ok()
            && sweep.is_none_or(SweepFindings::goals_met)
            && self.left.as_ref().is_none_or(LeaveAsked::is_ok_so_far)
    }

    /// The report; empty for what is written otherwise.
    fn written(&self, run: &CaseRun<'_>, format: RunFormat, columns: u16) -> String {
        let (heading, sweep) = (&self.heading, self.sweep.as_ref());
        let left = self.left.as_ref();
        match format {
            RunFormat::Text => render::text(heading, &self.findings, sweep, left, columns),
            RunFormat::Json => render::json(heading, &self.findings, sweep, left),
            RunFormat::Csv => render::run_csv(heading, &self.findings),
            RunFormat::Html => drawn(&[page_subject(run, heading.clone())]).html,
            RunFormat::Trace | RunFormat::Flat | RunFormat::Floors | RunFormat::Bundle => {
                String::new()
            }
        }
    }
}

/// What becomes of the run when it is left, if that was asked.
fn left(flags: &RunFlags, variant: Option<&str>, run: &CaseRun<'_>) -> Result<Option<LeaveAsked>> {
    let command = |tick| {
        let repeat = Repeat {
            leaving: Some(&flags.leaving.at(tick)),
            ..flags.run.repeat("run", variant)
        };
        repeat.command()
    };
    let halls = [(run.input(), Box::new(command) as _)];
    let mut left = runs::left(&halls, &flags.leaving, flags.cases.jobs)?;
    Ok(left.pop().flatten())
}

/// The scenario in one file.
fn bundled(flags: &RunFlags, variant: Option<&str>) -> Result<String> {
    let path = &flags.run.scenario;
    match bundle(path, &flags.run.load_options(variant)) {
        Ok(text) => Ok(text),
        Err(_) => bail!("`{}` has changed while it was read", path.display()),
    }
}

/// Makes the run, and writes its trace if that is asked for.
fn one_run(input: &RunInput<'_>, parts: Parts, traces: &[Target<RunFormat>]) -> Result<Findings> {
    let progress = Progress::new(input.run_ticks, "ticks");
    let mut at = |tick: Tick| progress.at(tick.0);
    let target = match traces {
        [] => return parts.run(input, &mut (), &mut at),
        [target] => target,
        _ => bail!("a trace is written to one place: name `--output trace` once"),
    };
    let path = target.file();
    let unwritable = || match path {
        Some(path) => format!("the trace cannot be written to `{}`", path.display()),
        None => "the trace cannot be printed".to_owned(),
    };
    let mut trace = TraceFile::create(path).with_context(unwritable)?;
    let findings = parts.run(input, &mut trace, &mut at)?;
    trace.finish().with_context(unwritable)?;
    Ok(findings)
}

fn both_engines_agree(input: &RunInput<'_>) -> bool {
    let progress = Progress::new(input.run_ticks, "ticks in both engines");
    let setup = setup_for(input);
    let verdict = verify(input.network, &setup, input.run_ticks, &mut |done| {
        progress.at(done)
    });
    drop(progress);
    match verdict {
        Ok(()) => {
            note!(
                "verified: both engines agree on every event and state of {} ticks",
                grouped(input.run_ticks)
            );
            true
        }
        Err(disagreement) => {
            wrong!("error: {disagreement}; this is a bug in hallwright");
            false
        }
    }
}

/// The command that gives the same report again.
fn command(flags: &RunFlags, variant: Option<&str>) -> String {
    let repeat = Repeat {
        sweep: Some(&flags.cases),
        leaving: Some(&flags.leaving),
        ..flags.run.repeat("run", variant)
    };
    repeat.command()
}
