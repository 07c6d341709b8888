//! `hallwright explain`: why a stop took so long.

use anyhow::Result;
use hallwright_explain::explain;
use hallwright_render as render;
use hallwright_trials::check::order_words;

use super::one_run::note_no_variant;
use crate::exit_code::Outcome;
use crate::files;
use crate::flags::{ExplainFlags, Format};
use crate::pages::{heading, with_stop_moved};

/// Explains a run and prints what was found out.
pub(crate) fn explain_run(flags: &ExplainFlags) -> Result<Outcome> {
    let Some((scenario, _)) = flags.run.load(flags.variant.as_deref()) else {
        return Ok(Outcome::Unusable);
    };
    note_no_variant(&scenario);
    let moved = flags.run.moved_stop(&scenario)?;
    let input = with_stop_moved(flags.run.input(&scenario), moved.as_ref());
    let found = explain(&input, flags.mark.into());
    let repeat = flags.run.repeat("explain", flags.variant.as_deref());
    let command = repeat.command() + flags.mark.words();
    let heading = heading(&scenario, order_words(&flags.run.order), command);
    let text = match flags.format {
        Format::Text => render::explain_text(&heading, &found, files::width_columns()),
        Format::Json => render::explain_json(&heading, &found),
    };
    files::print(&text)?;
    Ok(Outcome::Done)
}
