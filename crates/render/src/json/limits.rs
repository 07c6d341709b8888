//! Limits as they are written.

use serde::Serialize;

use hallwright_analysis::limits::{Bound, Certainty, Limiter, MarkLimits};
use hallwright_report::findings::{Findings, Marks};
use hallwright_report::units::Rate;

#[derive(Serialize)]
pub(super) struct LimitsReport<'a> {
    flows: Vec<FlowReport<'a>>,
    stops: Vec<StopReport<'a>>,
}

#[derive(Serialize)]
struct FlowReport<'a> {
    name: &'a str,
    /// In the whole run.
    counted: Option<BoundReport<'a>>,
    /// In as many ticks as the steadiest throughput was taken over.
    steadiest: Option<BoundReport<'a>>,
}

#[derive(Serialize)]
struct BoundReport<'a> {
    most_items: u64,
    ticks: u64,
    most_throughput_items_per_second: f64,
    /// `known` or `loose`.
    certainty: &'static str,
    limited_by: Vec<LimitedByReport<'a>>,
}

#[derive(Serialize)]
struct LimitedByReport<'a> {
    by: &'static str,
    part: Option<&'a str>,
}

#[derive(Serialize)]
struct StopReport<'a> {
    stop_at_tick: u64,
    #[serde(flatten)]
    marks: MarksReport,
    sections: Vec<SectionReport<'a>>,
}

#[derive(Serialize)]
struct SectionReport<'a> {
    name: &'a str,
    #[serde(flatten)]
    marks: MarksReport,
}

#[derive(Serialize)]
struct MarksReport {
    least_stop_cleared_ticks: Option<u64>,
    least_stop_safe_to_close_ticks: Option<u64>,
    least_stop_quiet_ticks: Option<u64>,
    /// What each of them is worth: `known`, `loose` or `unknown`.
    cleared_certainty: &'static str,
    safe_to_close_certainty: &'static str,
    quiet_certainty: &'static str,
}

impl MarksReport {
    fn of(least: &MarkLimits, found: &Marks) -> Self {
        let pairs = [
            (least.cleared_ticks, found.cleared_ticks),
            (least.safe_to_close_ticks, found.safe_to_close_ticks),
            (least.quiet_ticks, found.quiet.ticks),
        ];
        let [cleared, safe_to_close, quiet] = pairs.map(|(at_best, measured)| {
            let certainty = Certainty::of_mark(at_best, measured);
            // A number that says nothing is not written.
            let at_best = at_best.filter(|_| certainty != Certainty::Unknown);
            (at_best, certainty.words())
        });
        Self {
            least_stop_cleared_ticks: cleared.0,
            least_stop_safe_to_close_ticks: safe_to_close.0,
            least_stop_quiet_ticks: quiet.0,
            cleared_certainty: cleared.1,
            safe_to_close_certainty: safe_to_close.1,
            quiet_certainty: quiet.1,
        }
    }
}

impl<'a> LimitsReport<'a> {
    /// The limits, if they were asked for.
    pub(super) fn of(found: &'a Findings) -> Option<Self> {
        let limits = found.limits.as_ref()?;
        let tps = found.ticks_per_second;
        let flows = found.flows.iter().zip(&limits.flows);
        let stops = found.stops.iter().zip(&limits.stops);
        Some(Self {
            flows: flows
                .map(|(flow, limit)| FlowReport {
                    name: &flow.name,
                    counted: limit
                        .counted
                        .as_ref()
                        .map(|bound| bound_report(bound, bound.certainty(flow.items), tps)),
                    steadiest: limit.steadiest.as_ref().map(|bound| {
                        let certainty = bound.certainty_in_part(flow.steadiest.items);
                        bound_report(bound, certainty, tps)
                    }),
                })
                .collect(),
            stops: stops
                .map(|(stop, limit)| StopReport {
                    stop_at_tick: stop.at.0,
                    marks: MarksReport::of(&limit.all, &stop.all),
                    sections: stop
                        .sections
                        .iter()
                        .zip(&limit.sections)
                        .map(|(section, least)| SectionReport {
                            name: &section.name,
                            marks: MarksReport::of(least, &section.marks),
                        })
                        .collect(),
                })
                .collect(),
        })
    }
}

fn bound_report(bound: &Bound, certainty: Certainty, ticks_per_second: u32) -> BoundReport<'_> {
    BoundReport {
        most_items: bound.items,
        ticks: bound.ticks,
        most_throughput_items_per_second: Rate::from(bound).per_second(ticks_per_second),
        certainty: certainty.words(),
        limited_by: bound
            .limited_by
            .iter()
            .map(|each| LimitedByReport {
                by: match each.limiter {
                    Limiter::Pace => "pace",
                    Limiter::Arrivals => "arrivals",
                    Limiter::Stock => "stock",
                    Limiter::Room => "room",
                },
                part: each.part.as_deref(),
            })
            .collect(),
    }
}
