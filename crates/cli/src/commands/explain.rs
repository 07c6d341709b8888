//! `hallwright explain`: why a stop took so long.

use anyhow::Result;
use hallwright_explain::explain;
use hallwright_render as render;

use super::one_run::note_no_variant;
use crate::exit_code::Outcome;
use crate::files::{Guard, Target, targets_or, write_targets};
use crate::flags::{ExplainFlags, ExplainFormat};

/// Explains a run and writes what was found out.
pub(crate) fn explain_run(flags: &ExplainFlags) -> Result<Outcome> {
    let variant = flags.run.loading.one_variant()?;
    let Some((scenario, sources)) = flags.run.load(variant) else {
        return Ok(Outcome::Unusable);
    };
    Guard::default()
        .reads(sources.paths())
        .writes(flags.output.iter().map(Target::path))?;
    note_no_variant(&scenario);
    let run = flags.run.made(&scenario)?;
    let found = explain(&run.input(), flags.mark.into());
    let command = flags.run.repeat("explain", variant).command() + flags.mark.words();
    let heading = flags.run.heading(&scenario, command);
    let targets = targets_or(&flags.output, ExplainFormat::Text);
    write_targets(&targets, &|format, columns| {
        Ok(match format {
            ExplainFormat::Text => render::explain_text(&heading, &found, columns),
            ExplainFormat::Json => render::explain_json(&heading, &found),
        })
    })?;
    Ok(Outcome::Done)
}
