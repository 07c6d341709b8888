//! How long the engine takes for whole runs of the networks in `factories`.

mod factories;
mod floor;

use criterion::{BatchSize, BenchmarkId, Criterion, Throughput, criterion_group, criterion_main};
use factories::Workload;
use hallwright_core::engine::Engine;
use hallwright_core::event::{Event, Moment, Observer};
use hallwright_core::setup::Setup;
use hallwright_core::tick::Tick;

/// Counts moves, to report the time for each.
#[derive(Default)]
struct Moves(u64);

impl Observer for Moves {
    fn event(&mut self, _: Moment, event: &Event, _: &hallwright_core::engine::View<'_>) {
        self.0 += u64::from(matches!(event, Event::ItemMoved { .. }));
    }
}

fn bench(criterion: &mut Criterion, name: &str, workload: &Workload) {
    let setup = Setup::default();
    let mut moves = Moves::default();
    Engine::new(&workload.network, &setup).run_until(Tick(workload.ticks), &mut moves);
    let mut group = criterion.benchmark_group("step");
    group.sample_size(10);
    group.throughput(Throughput::Elements(moves.0.max(1)));
    group.bench_function(BenchmarkId::new(name, workload.ticks), |bencher| {
        bencher.iter_batched_ref(
            || Engine::new(&workload.network, &setup),
            |engine| engine.run_until(Tick(workload.ticks), &mut ()),
            BatchSize::PerIteration,
        );
    });
    group.finish();
}

fn bare_loop(
    criterion: &mut Criterion,
    name: &str,
    lines: usize,
    length: usize,
    items: u32,
    ticks: u64,
) {
    let mut once = floor::Floor::new(lines, length, items);
    once.run(ticks);
    let mut group = criterion.benchmark_group("floor");
    group.sample_size(10);
    group.throughput(Throughput::Elements(once.moves));
    group.bench_function(BenchmarkId::new(name, ticks), |bencher| {
        bencher.iter_batched_ref(
            || floor::Floor::new(lines, length, items),
            |floor| floor.run(ticks),
            BatchSize::PerIteration,
        );
    });
    group.finish();
}

fn step(criterion: &mut Criterion) {
    bare_loop(criterion, "line_288", 1, 288, 20_000, 162_304);
    bare_loop(criterion, "hall_busy", 174, 288, 300, 2_400);
    bench(criterion, "hall_busy", &factories::hall_busy());
    bench(criterion, "line_288", &factories::line_288());
    bench(criterion, "hall_idle", &factories::hall_idle());
    bench(criterion, "hall_locked", &factories::hall_locked(1_000));
    bench(criterion, "hall_locked", &factories::hall_locked(1_000_000));
}

criterion_group!(benches, step);
criterion_main!(benches);
