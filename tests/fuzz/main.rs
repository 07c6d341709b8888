//! Inputs that are nearly right, made of bytes from seeds: nothing breaks, and most get past the parser.
//! `FUZZ_INPUTS=100000` tries more of them, `FUZZ_FIRST=100000` others, `FUZZ_ONLY=scenario` those of one sort.
//! `FUZZ_SECONDS=60` goes on for so long with each sort. With `FUZZ_READ=1` most inputs are only read and checked.

use std::time::{Duration, Instant};

use hallwright_fuzz::choices::Choices;
use hallwright_fuzz::{Came, TARGETS, Target};
use rand::{Rng, RngExt, SeedableRng};
use rand_chacha::ChaCha8Rng;

/// So many of each sort are tried unless `FUZZ_INPUTS` says otherwise.
const INPUTS: u64 = 500;

/// So many bytes an input is made of at most.
const MOST_BYTES: usize = 400;

fn number(name: &str) -> Option<u64> {
    let text = std::env::var(name).ok()?;
    let number = text.parse();
    Some(number.unwrap_or_else(|_| panic!("{name} is {text}, not a number")))
}

/// The bytes of a seed.
fn bytes(seed: u64) -> Vec<u8> {
    let mut random = ChaCha8Rng::seed_from_u64(seed);
    let mut bytes = vec![0; random.random_range(0..=MOST_BYTES)];
    random.fill_bytes(&mut bytes);
    bytes
}

/// The choices that these bytes make.
fn choices(bytes: &[u8]) -> Choices<'_> {
    match number("FUZZ_READ") {
        Some(1) => Choices::mostly_read(bytes),
        _ => Choices::new(bytes),
    }
}

/// Tries the inputs of one sort, and says how many were refused, read and came through.
fn tried(target: &Target) -> [u64; 3] {
    let first = number("FUZZ_FIRST").unwrap_or(0);
    let least = number("FUZZ_INPUTS").unwrap_or(INPUTS);
    let time = Duration::from_secs(number("FUZZ_SECONDS").unwrap_or(0));
    let began = Instant::now();
    let mut counts = [0; 3];
    for seed in first.. {
        if seed - first >= least && began.elapsed() >= time {
            break;
        }
        let bytes = bytes(seed);
        let came = std::panic::catch_unwind(|| (target.try_one)(&mut choices(&bytes)));
        let came: Came = came.unwrap_or_else(|_| {
            panic!("FUZZ_ONLY={} FUZZ_FIRST={seed} FUZZ_INPUTS=1", target.name)
        });
        counts[came as usize] += 1;
    }
    counts
}

/// More than half of the inputs get past the parser, and a share of them that is worth it comes through.
fn assert_survives(name: &str) {
    if std::env::var("FUZZ_ONLY").is_ok_and(|only| only != name) {
        return;
    }
    let target = TARGETS.iter().find(|target| target.name == name);
    let [refused, read, through] = tried(target.expect("there is such a sort"));
    println!("{name}: {refused} refused, {read} read, {through} came through");
    let all = refused + read + through;
    assert!(all < INPUTS || (read + through) * 2 > all);
    // What is only read need not be planned.
    assert!(all < INPUTS || number("FUZZ_READ") == Some(1) || through * 4 > all);
}

#[test]
fn arrivals() {
    assert_survives("arrivals");
}

#[test]
fn catalogues() {
    assert_survives("catalogue");
}

#[test]
fn known_runs() {
    assert_survives("known_runs");
}

#[test]
fn records() {
    assert_survives("records");
}

#[test]
fn saved_runs() {
    assert_survives("saved");
}

#[test]
fn scenarios() {
    assert_survives("scenario");
}
