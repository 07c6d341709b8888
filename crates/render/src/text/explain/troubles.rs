//! What is not as it should be, with causes, and what could be changed.

use crate::text::page::Page;
use hallwright_explain::{Trouble, TroubleCause, order_cause_words};
use hallwright_report::units::count;
use hallwright_report::verdicts::Ruling;

/// How many things that one cause concerns are named.
const NAMED: usize = 4;

/// Every verdict that is not as it should be; nothing if all are. Of what goals allow it is only said
/// that they do: whoever wrote them knows why.
pub(super) fn write(page: &mut Page, troubles: &[Trouble]) {
    let (allowed, others): (Vec<_>, Vec<_>) = troubles
        .iter()
        .partition(|trouble| trouble.ruling == Ruling::Allowed);
    write_causes(page, &others);
    if !allowed.is_empty() {
        let verdicts: Vec<&str> = allowed.iter().map(|one| one.verdict.as_str()).collect();
        page.blank();
        page.line(&format!("Allowed by goals: {}.", verdicts.join("; ")));
    }
}

fn write_causes(page: &mut Page, troubles: &[&Trouble]) {
    if troubles.is_empty() {
        return;
    }
    page.blank();
    // Of a bound on a figure nothing more is known than the figure.
    let is_followed = |trouble: &&Trouble| trouble.by_order.is_some() || !trouble.causes.is_empty();
    page.line(match troubles.iter().any(is_followed) {
        true => "What is not as it should be, and why:",
        false => "What is not as it should be:",
    });
    for trouble in troubles {
        page.blank();
        page.labelled("", 0, &heading(trouble));
        if !is_followed(trouble) {
            page.labelled("  - ", 4, "no cause is looked for with a goal of this sort");
        }
        if let Some(by_order) = trouble.by_order {
            let [shown, could] = order_cause_words(by_order);
            page.labelled("  - ", 4, shown);
            page.labelled("  > ", 4, could);
        }
        for of in &trouble.causes {
            cause(page, of);
        }
        if trouble.left_out > 0 {
            let more = count(trouble.left_out, "more cause", "more causes");
            page.labelled("", 2, &format!("… and {more}"));
        }
    }
}

/// The verdict, with how it came off.
fn heading(trouble: &Trouble) -> String {
    let came_off = match trouble.ruling {
        Ruling::Missed => return trouble.verdict.clone(),
        ruling => ruling.words(),
    };
    format!("{} ({came_off})", trouble.verdict)
}

fn cause(page: &mut Page, cause: &TroubleCause) {
    for what in cause.what.iter().take(NAMED) {
        page.labelled("", 2, what);
    }
    if cause.what.len() > NAMED {
        page.labelled("", 2, &format!("… and {} more", cause.what.len() - NAMED));
    }
    for why in &cause.why {
        page.labelled("    - ", 6, why);
    }
    for could in &cause.could {
        page.labelled("    > ", 6, could);
    }
}
