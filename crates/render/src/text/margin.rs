//! How much slower selectors and shuttles may be, in lines.

use hallwright_report::units::{count, grouped, listed};
use hallwright_trials::Unmade;
use hallwright_trials::margin::{GroupMargin, Knob, Margin, Missed, Slower, Together};

/// How many missed things, and how many values, are named.
const LISTED: usize = 3;
/// So many values tried are named.
const TRIED: usize = 12;

/// All that is told: a line for each group, then all groups at once.
pub(super) fn lines(margin: &Margin) -> Vec<String> {
    if !margin.missed_now.is_empty() {
        return vec![format!(
            "no margin: at the present pace of selectors and shuttles {} already",
            missed_words(&margin.missed_now)
        )];
    }
    if margin.groups.is_empty() {
        return vec!["no margin: nothing here is taken at its word".to_owned()];
    }
    let mut lines = vec![format!(
        "margin, each line by itself, what is ok confirmed in {}:",
        count(margin.runs, "run", "runs")
    )];
    for group in &margin.groups {
        lines.push(match &group.found {
            Ok(slower) => line(group, slower, margin.ticks_per_second),
            Err(unmade) => format!("{}: {}", name(group), unmade_words(unmade)),
        });
    }
    lines.extend(margin.together.as_ref().map(|together| match together {
        Ok(Together { missed: None }) => {
            "all of these at once, each as slow as it may be: all ok".to_owned()
        }
        Ok(Together {
            missed: Some(missed),
        }) => format!(
            "all of these at once, each as slow as it may be: {}",
            in_case(missed, margin.ticks_per_second)
        ),
        Err(unmade) => format!("all of these at once: {}", unmade_words(unmade)),
    }));
    lines
}

/// Why nothing was found.
fn unmade_words(unmade: &Unmade) -> String {
    match unmade {
        Unmade::Broke(message) => format!("an invariant broke: {message}; a bug in hallwright"),
        Unmade::CutShort => "not known, for the search was cut short".to_owned(),
    }
}

/// `unloading.bench[*].eye (3 alike, slower together)`.
fn name(group: &GroupMargin) -> String {
    match group.parts.len() {
        1 => group.group.name.clone(),
        alike => format!("{} ({alike} alike, slower together)", group.group.name),
    }
}

fn line(group: &GroupMargin, slower: &Slower, ticks_per_second: u32) -> String {
    let border = &slower.border;
    let what = match group.group.knob {
        Knob::Interval => "between items",
        Knob::Latency => "inside",
        Knob::Travel => "of travel in a round",
        Knob::Dwell => "of dwell in a round",
    };
    let ticks = |ticks: u64| format!("{} t", grouped(ticks));
    let mut words = vec![format!("{}: {} {what} now", name(group), ticks(border.now))];
    let up_to = ticks(border.good);
    words.push(match border.bad {
        Some(_) if border.good == border.now => "no slower".to_owned(),
        Some(_) => format!("ok up to {up_to}"),
        None => format!("ok up to {up_to}, not tried beyond"),
    });
    if let (Some(bad), Some(missed)) = (border.bad, &slower.missed) {
        words.push(format!(
            "first missed at {}: {}",
            ticks(bad),
            in_case(missed, ticks_per_second)
        ));
    }
    let again: Vec<String> = border.good_again().into_iter().map(ticks).collect();
    if !again.is_empty() {
        words.push(format!("ok again at {}", listed(&again, LISTED)));
    }
    if let Some(less) = &slower.less {
        let what = match &less.flow {
            Some(flow) => format!("comes through `{flow}`"),
            None => "gets home".to_owned(),
        };
        words.push(format!(
            "from {} on less {what} by the end of the run, {} in place of {}",
            ticks(less.ticks),
            grouped(less.items),
            count(less.items_now, "item", "items")
        ));
    }
    let tried: Vec<String> = border.tried.keys().map(|value| grouped(*value)).collect();
    words.push(format!("tried: {} t", listed(&tried, TRIED)));
    words.join("; ")
}

/// `misplaced is missed`.
fn missed_words(subjects: &[String]) -> String {
    let are = if subjects.len() == 1 { "is" } else { "are" };
    format!("{} {are} missed", listed(subjects, LISTED))
}

fn in_case(missed: &Missed, ticks_per_second: u32) -> String {
    format!(
        "{} ({})",
        missed_words(&missed.subjects),
        missed.case.words(ticks_per_second)
    )
}
