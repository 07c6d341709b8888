//! A run that is kept halfway and gone on with finds what a whole one finds: random networks with everything
//! declared of them at random, and all that is in between goes through bytes.

use hallwright_core::event::Trace;
use hallwright_core::tick::Tick;
use hallwright_report::{Halfway, RunInput, run_in_parts};
use rand::RngExt as _;

use crate::drawn::Drawn;

/// So many networks are tried; `HALFWAY_NETWORKS` asks for more.
const NETWORKS: u64 = 40;

/// What a run finds in words, its trace, and what was kept at these ticks.
fn found(
    input: &RunInput<'_>,
    from: Option<Halfway>,
    keep_at: &[Tick],
) -> (String, Trace, Vec<Halfway>) {
    let mut kept = Vec::new();
    let mut trace = Trace::default();
    let mut keep = |halfway| kept.push(halfway);
    let found = run_in_parts(input, from, keep_at, &mut keep, &mut trace, &mut |_| {});
    (format!("{found:#?}"), trace, kept)
}

/// Tries the network of a seed at some ticks; gives at how many.
fn tried(seed: u64) -> usize {
    let Some(mut drawn) = Drawn::of(seed) else {
        return 0;
    };
    let length_ticks = drawn.run_ticks;
    let drawn_ticks: Vec<u64> = (0..3)
        .map(|_| drawn.random.random_range(0..length_ticks))
        .collect();
    let declared = &drawn.declared;
    let input = drawn.input(declared);
    let stop = length_ticks / 5;
    let mut ticks = vec![
        Tick(0),
        Tick(1),
        Tick(stop),
        Tick(stop + 1),
        Tick(length_ticks / 2),
        Tick(length_ticks - 1),
    ];
    ticks.extend(drawn_ticks.into_iter().map(Tick));
    if let Some(restart) = &declared.stops[0].restart {
        ticks.push(Tick((stop + restart.after_ticks).min(length_ticks - 1)));
    }
    ticks.sort_unstable();
    ticks.dedup();
    let (whole, whole_trace, kept) = found(&input, None, &ticks);
    assert_eq!(kept.len(), ticks.len(), "seed {seed}");
    let mut tried = 0;
    for (tick, halfway) in ticks.iter().zip(kept) {
        let bytes = postcard::to_stdvec(&halfway).expect("plain data is written");
        let read: Halfway = postcard::from_bytes(&bytes).expect("what was written is read");
        assert_eq!(read.tick(), *tick);
        let (split, trace, _) = found(&input, Some(read), &[]);
        assert!(
            split == whole,
            "seed {seed}, kept before tick {}: {}",
            tick.0,
            first_difference(&whole, &split)
        );
        let rest = whole_trace.events.iter();
        let rest = rest.skip_while(|(moment, _)| moment.tick < *tick);
        assert!(
            rest.eq(&trace.events),
            "seed {seed}, kept before {}",
            tick.0
        );
        tried += 1;
    }
    tried
}

pub(crate) fn first_difference(whole: &str, split: &str) -> String {
    let mut lines = whole.lines().zip(split.lines()).enumerate();
    let Some((number, (one, other))) = lines.find(|(_, (one, other))| one != other) else {
        return "one is longer".to_owned();
    };
    let around: Vec<&str> = whole
        .lines()
        .skip(number.saturating_sub(6))
        .take(6)
        .collect();
    format!("{}\nwhole: {one}\nsplit: {other}", around.join("\n"))
}

#[test]
fn random_networks_run_split_and_whole_alike() {
    let networks = std::env::var("HALFWAY_NETWORKS").ok();
    let networks = networks.map_or(NETWORKS, |text| text.parse().expect("a number"));
    let tried: usize = (0..networks).map(tried).sum();
    println!("{tried} splits of {networks} networks");
    assert!(tried as u64 > 3 * networks, "only {tried} splits");
}
