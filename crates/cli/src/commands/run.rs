//! `hallwright run`: one scenario, one variant, one report.

use std::path::{Path, PathBuf};
use std::sync::Mutex;

use anyhow::{Context, Result, bail};
use hallwright_core::tick::Tick;
use hallwright_render as render;
use hallwright_report::Heading;
use hallwright_report::findings::Findings;
use hallwright_report::units::grouped;
use hallwright_report::{RunInput, run_with_limits, setup_for};
use hallwright_scenario::Scenario;
use hallwright_trials::check::order_words;
use hallwright_trials::{SweepFindings, sweep};

use super::one_run::note_no_variant;
use super::write;
use crate::exit_code::Outcome;
use crate::files::{self, Guard, TraceFile, write_targets};
use crate::flags::{Format, RunFlags, RunFormat, StopRange};
use crate::pages::{drawn, heading, with_stop_moved};
use crate::progress::Progress;
use crate::repeat::Repeat;
use crate::verify::verify;

/// Runs a scenario and prints what was found.
pub(crate) fn run(flags: &RunFlags) -> Result<Outcome> {
    let variant = flags.variant.as_deref();
    let Some((scenario, sources)) = flags.run.load(variant) else {
        return Ok(Outcome::Unusable);
    };
    Guard::default()
        .reads(sources.paths())
        .writes(written(flags))?;
    note_no_variant(&scenario);
    write::write(flags, &flags.run.load_options(variant), &scenario)?;
    if flags.stop_sweep.is_some() && scenario.declarations.stops.is_empty() {
        bail!("`--stop-sweep` moves a stop, but the scenario declares none in `stops`");
    }
    let moved = flags.run.moved_stop(&scenario)?;
    let input = with_stop_moved(flags.run.input(&scenario), moved.as_ref());
    let findings = one_run(&input, flags)?;
    let swept = flags.stop_sweep.map(|range| swept(&input, range));
    let verified = flags.verify.then(|| both_engines_agree(&input));
    let heading = Heading {
        verified,
        ..heading(&scenario, order_words(&flags.run.order), command(flags))
    };
    let text = match flags.format {
        Format::Text => render::text(&heading, &findings, swept.as_ref(), files::width_columns()),
        Format::Json => render::json(&heading, &findings, swept.as_ref()),
    };
    files::print(&text)?;
    write_outputs(
        flags,
        &scenario,
        &input,
        &heading,
        &findings,
        swept.as_ref(),
    )?;
    if verified == Some(false) {
        return Ok(Outcome::Broken);
    }
    let met = findings.goals_met() && swept.is_none_or(|swept| swept.goals_met());
    Ok(if met {
        Outcome::Done
    } else {
        Outcome::GoalMissed
    })
}

/// Writes what is asked for beside the report.
fn write_outputs(
    flags: &RunFlags,
    scenario: &Scenario,
    input: &RunInput<'_>,
    heading: &Heading,
    findings: &Findings,
    swept: Option<&SweepFindings>,
) -> Result<()> {
    if flags.output.is_empty() {
        return Ok(());
    }
    write_targets(
        &flags.output,
        RunFormat::Text,
        &|format, columns| match format {
            RunFormat::Text => render::text(heading, findings, swept, columns),
            RunFormat::Json => render::json(heading, findings, swept),
            RunFormat::Html => drawn(&[hallwright_page::Subject {
                input: input.clone(),
                heading: heading.clone(),
                positions: &scenario.positions,
            }]),
        },
    )
}

/// Every file that is to be written.
fn written(flags: &RunFlags) -> impl Iterator<Item = &Path> {
    let named = [&flags.trace, &flags.expand, &flags.bundle];
    let named = named.into_iter().flatten().map(PathBuf::as_path);
    named.chain(flags.output.iter().map(|target| target.path.as_path()))
}

fn one_run(input: &RunInput<'_>, flags: &RunFlags) -> Result<Findings> {
    let mut progress = Progress::new(input.run_ticks, "ticks");
    let mut at = |tick: Tick| progress.at(tick.0);
    let Some(path) = &flags.trace else {
        return Ok(run_with_limits(input, &mut (), &mut at));
    };
    if path.as_os_str() == "-" {
        bail!("`--trace` needs a file: the report is written to standard output");
    }
    let unwritable = || format!("the trace cannot be written to `{}`", path.display());
    let mut trace = TraceFile::create(path).with_context(unwritable)?;
    let findings = run_with_limits(input, &mut trace, &mut at);
    trace.finish().with_context(unwritable)?;
    Ok(findings)
}

fn swept(input: &RunInput<'_>, range: StopRange) -> SweepFindings {
    let runs = (range.to - range.from) / range.step_ticks + 1;
    let progress = Mutex::new(Progress::new(runs, "runs"));
    sweep(input, range.from, range.to, range.step_ticks, &|done| {
        if let Ok(mut progress) = progress.lock() {
            progress.at(done as u64);
        }
    })
}

fn both_engines_agree(input: &RunInput<'_>) -> bool {
    let mut progress = Progress::new(input.run_ticks, "ticks in both engines");
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
            note!("error: {disagreement}; this is a bug in hallwright");
            false
        }
    }
}

/// The command that gives the same report again.
fn command(flags: &RunFlags) -> String {
    let repeat = Repeat {
        stop_sweep: flags.stop_sweep,
        ..flags.run.repeat("run", flags.variant.as_deref())
    };
    repeat.command()
}
