//! The report for people: one screen that begins with what a builder asks first.

mod account;
pub(crate) mod answers;
mod arrivals;
mod backlog;
mod calibrate;
mod check;
mod compare;
mod details;
mod explain;
mod fit;
mod goals;
mod leave;
mod levels;
mod limits;
mod margin;
mod page;
mod retrieval;
mod sweep;
mod tune;

pub use self::calibrate::calibrate_text;
pub(crate) use self::check::compared_lines;
pub use self::check::{check_text, summary as check_summary};
pub use self::compare::compare_text;
pub use self::explain::explain_text;
pub(crate) use self::leave::{answer as leave_answer, lamp as leave_lamp, lines as leave_lines};
pub use self::levels::levels_text;
pub use self::tune::{tune_text, tune_variant};

use self::page::Page;
use hallwright_report::Heading;
use hallwright_report::findings::Findings;
use hallwright_report::units::time;
use hallwright_trials::leave::LeaveAsked;
use hallwright_trials::sweep::SweepFindings;

/// The report as text of this width. It needs no colour; what a run does not have is left out.
#[must_use]
pub fn text(
    heading: &Heading,
    findings: &Findings,
    sweep: Option<&SweepFindings>,
    left: Option<&LeaveAsked>,
    width_columns: u16,
) -> String {
    let mut page = Page::new(width_columns);
    head(&mut page, heading, findings);
    page.blank();
    answers::write(&mut page, findings);
    goals::write(&mut page, findings);
    backlog::write(&mut page, findings);
    if let Some(sweep) = sweep {
        sweep::write(&mut page, sweep);
    }
    if let Some(left) = left {
        leave::write(&mut page, left);
    }
    account::write(&mut page, findings);
    arrivals::write(&mut page, findings);
    details::write(&mut page, findings);
    limits::write(&mut page, findings);
    if !heading.command.is_empty() {
        page.blank();
        page.line(&format!("Again: {}", heading.command));
    }
    page.finish()
}

fn head(page: &mut Page, heading: &Heading, findings: &Findings) {
    let variant = heading.variant.as_ref();
    let variant = variant.map_or_else(String::new, |variant| format!(" — variant {variant}"));
    page.line(&format!("{}{variant}", heading.title));
    page.line(&format!(
        "ran {}, seed {}, update order {}, signal order {}",
        time(findings.run_ticks, findings.ticks_per_second),
        heading.seed,
        heading.update_order,
        heading.signal_order,
    ));
    page.line(&format!(
        "version {}, input {}",
        heading.version, heading.input_digest
    ));
    match heading.verified {
        Some(true) => page.line("verified: both engines agree on every event and state"),
        Some(false) => page.line("not verified: the engines disagree, a bug in hallwright"),
        None => {}
    }
}
