//! Saved runs that were changed, with a digest that is right even so.

use std::sync::LazyLock;

use hallwright_core::fnv::Fnv128;
use hallwright_core::order::Orders;
use hallwright_core::tick::Tick;
use hallwright_report::{RunInput, run_in_parts};
use hallwright_saved::{Belonging, read, written};
use hallwright_scenario::{LoadOptions, load};

use crate::Came;
use crate::choices::Choices;
use crate::folder::Folder;
use crate::spoil::{perhaps_spoiled, spoil};

/// Two scenarios, and when each is saved.
const SCENARIOS: [(&str, [u64; 3]); 2] = [
    (
        include_str!("../../../tests/layouts/valid/upsets.ron"),
        [0, 31, 200],
    ),
    (
        include_str!("../../../tests/layouts/valid/rooms.ron"),
        [1, 100, 300],
    ),
];

/// What ends the lines before the run.
const END: &[u8] = b"\n\n";

/// The last of these lines begins with it.
const DIGEST: &str = "digest = ";

/// What the runs belong to.
fn belonging() -> Belonging {
    Belonging {
        program: "0.1.0 abc".to_owned(),
        input: "0123".to_owned(),
        run: "hallwright run a.ron".to_owned(),
    }
}

/// Saved runs that are sound: the lines before the run without the digest, and the run.
static SOUND: LazyLock<Vec<(String, Vec<u8>)>> = LazyLock::new(|| {
    let mut sound = Vec::new();
    for (text, ticks) in SCENARIOS {
        let folder = Folder::with(&[("scenario.ron", text)]);
        let loaded = load(&folder.path("scenario.ron"), &LoadOptions::default());
        let scenario = loaded.scenario.expect("it is sound");
        let input = RunInput {
            network: &scenario.network,
            timeline: &scenario.timeline,
            seed: scenario.seed,
            orders: Orders::default(),
            run_ticks: scenario.run_ticks,
            declarations: &scenario.declarations,
        };
        let mut keep = |halfway| {
            let bytes = written(&belonging(), &halfway);
            let end = bytes.windows(END.len()).position(|at| at == END);
            let (lines, run) = bytes.split_at(end.expect("the lines end"));
            let lines = String::from_utf8_lossy(lines);
            let (lines, _) = lines.split_once(DIGEST).expect("there is a digest");
            sound.push((lines.to_owned(), run[END.len()..].to_vec()));
        };
        let ticks = ticks.map(Tick);
        run_in_parts(&input, None, &ticks, &mut keep, &mut (), &mut |_| {});
    }
    sound
});

/// The file of these lines and this run, with the digest that fits.
fn file(lines: &str, run: &[u8]) -> Vec<u8> {
    let (_, after_title) = lines.split_once('\n').expect("there is a title");
    let mut hash = Fnv128::default();
    hash.bytes(after_title.bytes().chain(run.iter().copied()));
    let head = format!("{lines}{DIGEST}{:032x}", hash.value());
    [head.as_bytes(), END, run].concat()
}

/// Changes a number that stands in one byte, as most do: lists stay as long as they are.
fn change(run: &mut [u8], choices: &mut Choices<'_>) {
    let at = choices.below(run.len());
    let byte = choices.byte() & 0x7f;
    if let Some(number) = run.get_mut(at).filter(|number| **number < 0x80) {
        *number = byte.min(*number | 1);
    }
}

/// Tries the saved run that some choices make.
///
/// # Panics
///
/// If what was read is written in another way.
pub fn try_one(choices: &mut Choices<'_>) -> Came {
    let (lines, run) = choices.pick(&SOUND);
    let mut run = run.clone();
    for _ in 0..choices.below(3) {
        match choices.once_in(8) {
            true => spoil(&mut run, choices),
            false => change(&mut run, choices),
        }
    }
    let file = perhaps_spoiled(file(lines, &run), choices);
    let Ok(halfway) = read(&file, &belonging()) else {
        return Came::Refused;
    };
    if !choices.goes_on() {
        return Came::Through;
    }
    let once = written(&belonging(), &halfway);
    let again = read(&once, &belonging()).map(|again| written(&belonging(), &again));
    assert!(again.is_ok_and(|again| again == once));
    Came::Through
}
