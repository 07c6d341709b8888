//! The workloads that are networks: each with the engine, with the floors that it has, and with the
//! reference engine on a size that it can bear.

use crate::case::Runner;
use crate::engine_cases::{EngineCase, ReferenceCase};
use crate::factories::{BusyLines, LINE_TICKS, busy, hall_idle, hall_locked, line_288};
use crate::filters::filters;
use crate::floor::{Floor, FloorCase};
use crate::masks::{Masks, MasksCase};

/// All of them.
pub(crate) fn networks(runner: &mut impl Runner) {
    runner.case("floor/line_288", || {
        FloorCase::new(Floor::new(1, 288, 20_000), 0, LINE_TICKS)
    });
    runner.case("masks/line_288", || {
        MasksCase::new(Masks::new(288, 20_000), LINE_TICKS)
    });
    runner.case("engine/line_288", || EngineCase::new(line_288));
    runner.case("reference/line_288", || {
        ReferenceCase::new(&line_288().measured(289 * 8, 400))
    });
    runner.case("engine/hall_idle", || EngineCase::new(|| hall_idle(false)));
    runner.case("reference/hall_idle", || {
        ReferenceCase::new(&hall_idle(true).measured(0, 16))
    });
    busy_lines(runner, "hall_busy", BusyLines::HALL_BUSY);
    busy_lines(runner, "million", BusyLines::MILLION);
    runner.case("engine/filters", || {
        EngineCase::new(|| filters(1_000, 2_400))
    });
    runner.case("reference/filters", || {
        ReferenceCase::new(&filters(100, 400))
    });
    runner.case("engine/hall_locked", || {
        EngineCase::new(|| hall_locked(1_000_000))
    });
    runner.case("engine/hall_locked_1000", || {
        EngineCase::new(|| hall_locked(1_000))
    });
    runner.case("reference/hall_locked_1000", || {
        ReferenceCase::new(&hall_locked(16))
    });
}

/// Lines that are all busy; the reference engine has 8 of them, one of each phase.
fn busy_lines(runner: &mut impl Runner, name: &str, lines: BusyLines) {
    runner.case(&format!("floor/{name}"), || {
        let floor = Floor::new(lines.lines, lines.hoppers_a_line, lines.items());
        FloorCase::new(floor, lines.warm_ticks(), lines.ticks)
    });
    runner.case(&format!("engine/{name}"), || {
        EngineCase::new(|| busy(&lines))
    });
    runner.case(&format!("reference/{name}"), || {
        ReferenceCase::new(&busy(&lines.with_lines(8)).measured(lines.warm_ticks(), 16))
    });
}
