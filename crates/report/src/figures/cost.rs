//! What a design costs to build and to run.

use super::{Amount, Better, Compared, Definition, Of, Take, Topic, Unit, When, figures};
use crate::findings::{Load, Measured, SectionFinding};
use crate::units::Share;

const BASE: Definition = Definition {
    topic: Topic::Cost,
    ..Definition::BASE
};

const WORK: Definition = Definition {
    unit: Unit::WorkPerTick,
    ..BASE
};

const TIME: Definition = Definition {
    unit: Unit::MillisecondsPerTick,
    compared: Compared::Whole(always),
    why_nothing: "no `costs` are declared",
    ..BASE
};

fn always(_: &Measured) -> bool {
    true
}

figures! {
    /// Hoppers.
    HOPPERS: Definition {
        words: "hoppers",
        key: "hoppers",
        unit: Unit::Hoppers,
        when: When::Before,
        recorded: Some("hoppers"),
        compared: Compared::Whole(always),
        take: Take::Whole(|found| Some(Amount::Count(found.cost.hoppers))),
        ..BASE
    };
    /// Parts of every sort, signals included.
    PARTS: Definition {
        words: "parts",
        key: "parts",
        unit: Unit::Parts,
        when: When::Before,
        compared: Compared::Whole(always),
        take: Take::Whole(|found| Some(Amount::Count(found.cost.parts))),
        ..BASE
    };
    /// Places with more hoppers, droppers, dispensers or comparators around them than fit, but for those
    /// where a goal allows it.
    CROWDED: Definition {
        words: "crowded",
        key: "crowded_parts",
        unit: Unit::Places,
        when: When::Before,
        take: Take::Whole(|found| {
            let crowded = found.crowded.iter().filter(|place| !place.is_allowed);
            Some(Amount::Count(crowded.count() as u64))
        }),
        ..BASE
    };
    /// Problems with where parts stand, but for those that a goal allows.
    SITE_PROBLEMS: Definition {
        words: "problems of the site",
        key: "site_problems",
        unit: Unit::Problems,
        when: When::Before,
        subject: Some("buildable"),
        take: Take::Whole(|found| {
            let site = found.site.as_ref()?;
            Some(Amount::Count(site.not_allowed().count() as u64))
        }),
        why_nothing: "nothing says where the parts stand",
        ..BASE
    };
    /// The width of the whole design.
    WIDTH: Definition {
        words: "width",
        key: "width_blocks",
        unit: Unit::Blocks,
        when: When::Before,
        compared: Compared::Whole(always),
        take: Take::Whole(|found| {
            let blocks = found.cost.width_blocks?;
            Some(Amount::Count(blocks.into()))
        }),
        ..BASE
    };
    /// Hoppers for each block of width.
    HOPPERS_PER_BLOCK: Definition {
        words: "hoppers per block",
        key: "hoppers_per_block",
        unit: Unit::HoppersPerBlock,
        when: When::Before,
        compared: Compared::Sections,
        take: Take::Hall {
            // The width of a whole design is declared by itself.
            whole: |found| Amount::mean_of(found.cost.hoppers, found.cost.width_blocks?.into()),
            sections: |sections| {
                let widths = sections.iter().map(|section| section.width_blocks.map(u64::from));
                let hoppers = sections.iter().map(|section| section.hoppers).sum();
                Amount::mean_of(hoppers, widths.sum::<Option<u64>>()?)
            },
        },
        why_nothing: "no width is declared",
        ..BASE
    };
    /// Work a tick over the whole run.
    MEAN_WORK: Definition {
        words: "mean work",
        key: "mean_work_units_per_tick",
        recorded: Some("mean work"),
        take: Take::Whole(|found| {
            Some(Amount::Mean {
                sum: found.cost.work_units,
                count: found.cost.work_ticks,
            })
        }),
        ..WORK
    };
    /// Work a tick until nothing moved any more.
    WORK_BUSY: Definition {
        words: "work while busy",
        key: "busy_work_units_per_tick",
        compared: Compared::Whole(always),
        take: Take::Whole(|found| {
            let cost = &found.cost;
            let units = cost.work_units - cost.still_work_units;
            Amount::mean_of(units, cost.work_ticks - cost.still_ticks)
        }),
        ..WORK
    };
    /// Work a tick once nothing moves any more, going on from the end of the run.
    WORK_AT_REST: Definition {
        words: "work at rest",
        key: "work_at_rest_units_per_tick",
        compared: Compared::Whole(always),
        take: Take::Whole(|found| {
            Amount::mean_of(found.cost.rest_work_units, found.cost.rest_ticks)
        }),
        ..WORK
    };
    /// How long the world takes for a tick, over the whole run.
    TICK_TIME: Definition {
        words: "time a tick",
        key: "mean_ms_per_tick",
        recorded: Some("time a tick"),
        take: Take::Whole(|found| {
            let load = found.cost.load?;
            let ticks = load.counts.ticks;
            Amount::mean_of(
                load.picoseconds,
                ticks.saturating_mul(Load::PICOSECONDS_A_MILLISECOND),
            )
        }),
        ..TIME
    };
    /// How long it takes for a tick, over the second that takes the most.
    WORST_TICK_TIME: Definition {
        words: "time a tick in the worst second",
        key: "worst_second_ms_per_tick",
        recorded: Some("time a tick in the worst second"),
        take: Take::Whole(|found| {
            let load = found.cost.load?;
            Amount::mean_of(
                load.worst_picoseconds,
                load.worst_ticks
                    .saturating_mul(Load::PICOSECONDS_A_MILLISECOND),
            )
        }),
        ..TIME
    };
    /// How long it takes to build, at so many blocks an hour.
    BUILD_HOURS: Definition {
        words: "build hours",
        key: "build_hours",
        unit: Unit::Hours,
        when: When::Before,
        compared: Compared::Whole(|found| found.cost.build.is_reported()),
        take: Take::Whole(|found| {
            let build = &found.cost.build;
            Amount::mean_of(build.blocks(), build.blocks_per_hour.into())
        }),
        ..BASE
    };
    /// The share of hopper-ticks spent locked while there was nothing to do.
    LOCK_COVER: Definition {
        words: "lock cover",
        key: "lock_cover_share",
        unit: Unit::Share,
        better: Better::More,
        recorded: Some("locked"),
        compared: Compared::Whole(always),
        take: Take::Sections(|sections| {
            let mut sum = Share::default();
            for section in sections {
                sum.part += section.lock_cover.part;
                sum.whole += section.lock_cover.whole;
            }
            Some(Amount::Share(sum))
        }),
        why_not: not_covered,
        why_nothing: NOTHING_TO_LOCK,
        ..BASE
    };
    /// The longest that a section's call stayed on with nothing to do.
    CALL_IDLE: Definition {
        words: "idle call",
        key: "call_idle_ticks",
        unit: Unit::Ticks,
        compared: Compared::Sections,
        noted: true,
        take: Take::Sections(|sections| {
            let ticks = sections.iter().filter_map(|section| section.call_idle_ticks);
            ticks.max().map(Amount::Span)
        }),
        why_nothing: "no section has a call",
        ..BASE
    };
    /// How long the run was.
    RUN: Definition {
        words: "run",
        key: "run_ticks",
        unit: Unit::Ticks,
        better: Better::Neither,
        recorded: Some("run"),
        take: Take::Whole(|found| Some(Amount::Span(found.run_ticks))),
        ..BASE
    };
}

const NOTHING_TO_LOCK: &str = "no section has hoppers to be locked";

/// A section that never was idle says nothing of its locks: the goal is not met by it.
fn not_covered(found: &Measured, of: &Of) -> Option<String> {
    let sections = of.sections(found);
    let sections: Vec<&SectionFinding> = sections
        .iter()
        .map(|place| &found.sections[*place])
        .collect();
    let never_idle: Vec<&str> = sections
        .iter()
        .filter(|section| section.was_never_idle)
        .map(|section| section.name.as_str())
        .collect();
    let Some(first) = never_idle.first() else {
        let is_empty = sections.iter().all(|section| section.lock_cover.whole == 0);
        return is_empty.then(|| NOTHING_TO_LOCK.to_owned());
    };
    let others = match never_idle.len() - 1 {
        0 => String::new(),
        others => format!(", nor that of {others} other sections"),
    };
    Some(format!("the call of \"{first}\" was never off{others}"))
}
