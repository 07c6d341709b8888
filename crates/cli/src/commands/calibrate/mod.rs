//! `hallwright calibrate`: what hopper turns, comparator updates and loose stacks cost, from halls that were
//! measured.

mod table;

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use anyhow::Result;
use hallwright_declared::declarations::{CostWeights, Declarations};
use hallwright_render::{calibrate_csv, calibrate_json, calibrate_text};
use hallwright_report::findings::Counts;
use hallwright_report::units::mean;
use hallwright_report::{RunInput, run};
use hallwright_scenario::write::written_weights;
use hallwright_scenario::{Diagnostic, Sources, load};
use hallwright_trials::calibrate::{Hall, Unfit, fit};

use self::table::{ALL_ALIKE, Row, TOO_FEW};
use crate::exit_code::Outcome;
use crate::files::{self, Guard, Target, targets_or, write_targets};
use crate::flags::{CalibrateFlags, CalibrateFormat};
use crate::manner;
use crate::runs::{base_of, print_problems};

/// Fits the weights and writes them.
pub(crate) fn calibrate(flags: &CalibrateFlags) -> Result<Outcome> {
    let mut sources = Sources::default();
    let mut problems = Vec::new();
    let Some(rows) = table::read(&flags.measured, &mut sources, &mut problems) else {
        report(&mut problems, &sources);
        return Ok(Outcome::Unusable);
    };
    let mut read: Vec<PathBuf> = vec![flags.measured.clone()];
    let Some(halls) = halls(flags, &rows, &mut read) else {
        return Ok(Outcome::Unusable);
    };
    let fitted = match fit(&halls) {
        Ok(fitted) => fitted,
        Err(unfit) => {
            problems.push(unfit_problem(unfit, &rows));
            report(&mut problems, &sources);
            return Ok(Outcome::Unusable);
        }
    };
    Guard::default()
        .reads(read.iter().map(PathBuf::as_path))
        .writes(flags.output.iter().map(Target::path))?;
    let weights = written_weights(&fitted.cost_weights());
    let weights = weights.map(|(field, value)| format!("{field}: {value}"));
    let costs = format!("costs: ({}),", weights.join(", "));
    let targets = targets_or(&flags.output, CalibrateFormat::Text);
    write_targets(&targets, &|format, columns| {
        Ok(match format {
            CalibrateFormat::Text => calibrate_text(&fitted, &costs, columns),
            CalibrateFormat::Json => calibrate_json(&fitted, &costs),
            CalibrateFormat::Csv => calibrate_csv(&fitted),
        })
    })?;
    Ok(Outcome::Done)
}

/// The halls, with what is in each: what the table says, and for the rest what a run counts. `None` if a
/// scenario cannot be used, which is reported.
fn halls(flags: &CalibrateFlags, rows: &[Row], read: &mut Vec<PathBuf>) -> Option<Vec<Hall>> {
    let folder = flags.measured.parent().unwrap_or(Path::new(""));
    // A scenario that several rows name is run once.
    let mut counted: BTreeMap<&(String, Option<String>), Option<[f64; 3]>> = BTreeMap::new();
    let mut halls = Vec::new();
    let mut is_whole = true;
    for row in rows {
        let is_needed = row.counts.iter().any(Option::is_none);
        let run = match &row.scenario {
            Some(scenario) if is_needed => *counted.entry(scenario).or_insert_with(|| {
                let (path, variant) = scenario;
                counts_of(flags, &folder.join(path), variant.as_deref(), read)
            }),
            _ => Some([0.0; 3]),
        };
        let Some(run) = run else {
            note!(
                "note: so nothing is known of the hall `{}`",
                row.name.escape_debug()
            );
            is_whole = false;
            continue;
        };
        let counts = [0, 1, 2].map(|place: usize| row.counts[place].unwrap_or(run[place]));
        halls.push(Hall {
            name: row.name.clone(),
            counts,
            measured_ms: row.measured_ms,
            was_run: is_needed,
        });
    }
    is_whole.then_some(halls)
}

/// What is in a scenario's hall in a tick, on average over its run. `None` if it cannot be used, which is
/// reported.
fn counts_of(
    flags: &CalibrateFlags,
    path: &Path,
    variant: Option<&str>,
    read: &mut Vec<PathBuf>,
) -> Option<[f64; 3]> {
    let loaded = load(path, &flags.options(variant));
    read.extend(loaded.sources.paths().map(Path::to_path_buf));
    let Some(scenario) = &loaded.scenario else {
        print_problems(&loaded);
        return None;
    };
    let declarations = Declarations {
        // Nothing is counted unless something has a weight, be it 0.
        costs: Some(
            scenario
                .declarations
                .costs
                .unwrap_or(CostWeights::default()),
        ),
        ..scenario.declarations.clone()
    };
    let input = RunInput {
        declarations: &declarations,
        ..base_of(scenario)
    };
    let found = run(&input, &mut |_| {});
    let counts = found.cost.load.map(|load| load.counts).unwrap_or_default();
    let Counts {
        hopper_turns,
        comparator_updates,
        loose_stack_ticks,
        ticks,
    } = counts;
    Some([hopper_turns, comparator_updates, loose_stack_ticks].map(|count| mean(count, ticks)))
}

fn unfit_problem(unfit: Unfit, rows: &[Row]) -> Diagnostic {
    let (id, message, help) = match unfit {
        Unfit::TooFew => (
            TOO_FEW,
            "there are fewer than two halls",
            "measure another hall, and add a row for it",
        ),
        Unfit::AllAlike => (
            ALL_ALIKE,
            "all halls are alike: each has as many hopper turns, comparator updates and loose stacks",
            "measure halls that differ: one with many hoppers unlocked, one with many comparators at \
             work, one with much lying loose",
        ),
    };
    let problem = match rows.first() {
        Some(row) => Diagnostic::error(id, row.span, message),
        None => Diagnostic::general(id, message),
    };
    problem.help(help.to_owned())
}

/// Draws what is wrong, on standard error.
fn report(problems: &mut Vec<Diagnostic>, sources: &Sources) {
    hallwright_scenario::diagnostic::tidy(problems);
    let colour = manner::has_colour();
    let text = hallwright_scenario::render(problems, sources, colour);
    files::note_drawn(text.trim_end(), colour);
}
