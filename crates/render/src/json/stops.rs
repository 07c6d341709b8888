//! Stops as they are written.

use serde::Serialize;

use hallwright_report::findings::{
    Leftovers, Marks, PartCount, ResumeFinding, Returned, SectionStop, StopFinding,
};

#[derive(Serialize)]
pub(super) struct StopRow<'a> {
    stop_at_tick: u64,
    watched_until_tick: u64,
    #[serde(flatten)]
    marks: MarksReport,
    sections: Vec<Section<'a>>,
    left: Left<'a>,
    restart: Option<Restart<'a>>,
}

impl<'a> StopRow<'a> {
    pub(super) fn of(stop: &'a StopFinding) -> Self {
        Self {
            stop_at_tick: stop.at.0,
            watched_until_tick: stop.watched_until.0,
            marks: MarksReport::of(&stop.all),
            sections: stop.sections.iter().map(Section::of).collect(),
            left: Left::of(&stop.left),
            restart: stop.resume.as_ref().map(|resume| Restart::of(resume, stop)),
        }
    }
}

#[derive(Serialize)]
struct MarksReport {
    stop_cleared_ticks: Option<u64>,
    stop_safe_to_close_ticks: Option<u64>,
    stop_quiet_ticks: Option<u64>,
    stop_quiet_is_certain: bool,
}

impl MarksReport {
    fn of(marks: &Marks) -> Self {
        Self {
            stop_cleared_ticks: marks.cleared_ticks,
            stop_safe_to_close_ticks: marks.safe_to_close_ticks,
            stop_quiet_ticks: marks.quiet.ticks,
            stop_quiet_is_certain: marks.quiet.is_known,
        }
    }
}

#[derive(Serialize)]
struct Section<'a> {
    name: &'a str,
    #[serde(flatten)]
    marks: MarksReport,
    backlog_at_stop_items: u64,
    returned_items: Option<u64>,
    returned_rounds: Option<u64>,
}

impl<'a> Section<'a> {
    fn of(section: &'a SectionStop) -> Self {
        let returned = |of: fn(Returned) -> u64| section.returned.map(of);
        Self {
            name: &section.name,
            marks: MarksReport::of(&section.marks),
            backlog_at_stop_items: section.backlog_at_stop_items,
            returned_items: returned(|returned| returned.items),
            returned_rounds: returned(|returned| returned.rounds),
        }
    }
}

#[derive(Serialize)]
struct Holding<'a> {
    part: &'a str,
    items: u64,
}

#[derive(Serialize)]
struct Loose<'a> {
    kind: &'a str,
    items: u64,
    mouth: &'a str,
    lost_at_tick: u64,
}

#[derive(Serialize)]
pub(super) struct Left<'a> {
    holding: Vec<Holding<'a>>,
    unlocked: &'a [String],
    pulses_under_way: &'a [String],
    loose: Vec<Loose<'a>>,
    in_selectors: Vec<Holding<'a>>,
    aboard_shuttles: Vec<Holding<'a>>,
    still_moving: &'a [String],
    to_be_lifted: Vec<Holding<'a>>,
    moves_later: Option<Later<'a>>,
}

#[derive(Serialize)]
struct Later<'a> {
    after_ticks: u64,
    parts: &'a [String],
}

impl<'a> Left<'a> {
    pub(super) fn of(left: &'a Leftovers) -> Self {
        let loose = left.loose.iter();
        Self {
            holding: holding(&left.holding),
            unlocked: &left.unlocked,
            pulses_under_way: &left.pulses,
            loose: loose
                .map(|stack| Loose {
                    kind: &stack.kind,
                    items: stack.items,
                    mouth: &stack.mouth,
                    lost_at_tick: stack.lost_at.0,
                })
                .collect(),
            in_selectors: holding(&left.in_selectors),
            aboard_shuttles: holding(&left.aboard),
            still_moving: &left.still_moving,
            to_be_lifted: holding(&left.to_be_lifted),
            moves_later: left.moves_later.as_ref().map(|later| Later {
                after_ticks: later.after_ticks,
                parts: &later.parts,
            }),
        }
    }
}

fn holding(counts: &[PartCount]) -> Vec<Holding<'_>> {
    let counts = counts.iter();
    counts
        .map(|row| Holding {
            part: &row.part,
            items: row.items,
        })
        .collect()
}

#[derive(Serialize)]
struct Restart<'a> {
    restart_at_tick: u64,
    held_back_items: u64,
    resumed_ticks: Option<u64>,
    misplaced_items: u64,
    sections: Vec<SectionRestart<'a>>,
}

#[derive(Serialize)]
struct SectionRestart<'a> {
    name: &'a str,
    resumed_ticks: Option<u64>,
}

impl<'a> Restart<'a> {
    fn of(resume: &ResumeFinding, stop: &'a StopFinding) -> Self {
        let sections = stop.sections.iter().zip(&resume.sections);
        Self {
            restart_at_tick: resume.at.0,
            held_back_items: resume.held_back_items,
            resumed_ticks: resume.resumed_ticks,
            misplaced_items: resume.misplaced_items,
            sections: sections
                .map(|(section, ticks)| SectionRestart {
                    name: &section.name,
                    resumed_ticks: *ticks,
                })
                .collect(),
        }
    }
}
