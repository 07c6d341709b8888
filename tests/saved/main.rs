//! Saved runs as files: what is damaged or belongs elsewhere is refused.

use std::path::Path;

use hallwright_core::order::Orders;
use hallwright_core::tick::Tick;
use hallwright_report::{Halfway, RunInput, run_in_parts};
use hallwright_saved::{Belonging, Refusal, read, written};
use hallwright_scenario::{LoadOptions, Scenario, load};

fn scenario() -> Scenario {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../scenarios/first-slice.ron");
    let loaded = load(&path, &LoadOptions::default());
    loaded.scenario.expect("the scenario is sound")
}

fn found(scenario: &Scenario, from: Option<Halfway>) -> (String, Vec<Halfway>) {
    let input = RunInput {
        network: &scenario.network,
        timeline: &scenario.timeline,
        seed: scenario.seed,
        orders: Orders::default(),
        run_ticks: scenario.run_ticks,
        declarations: &scenario.declarations,
    };
    let mut kept = Vec::new();
    let mut keep = |halfway| kept.push(halfway);
    let found = run_in_parts(&input, from, &[Tick(300)], &mut keep, &mut (), &mut |_| {});
    (format!("{found:?}"), kept)
}

fn belonging() -> Belonging {
    Belonging {
        program: "0.1.0 abc".to_owned(),
        input: "0123".to_owned(),
        run: "hallwright run a.ron\n--variant 'b'".to_owned(),
    }
}

fn file() -> (String, Vec<u8>) {
    let (whole, kept) = found(&scenario(), None);
    let halfway = kept.first().expect("it was kept");
    (whole, written(&belonging(), halfway))
}

fn refusal(bytes: &[u8], belonging: &Belonging) -> Option<Refusal> {
    read(bytes, belonging).err()
}

#[test]
fn what_was_written_is_gone_on_with() {
    let (whole, bytes) = file();
    let halfway = read(&bytes, &belonging()).expect("it is whole");
    assert_eq!(halfway.tick(), Tick(300));
    assert_eq!(found(&scenario(), Some(halfway)).0, whole);
}

#[test]
fn a_changed_byte_is_noticed_wherever_it_is() {
    let (_, bytes) = file();
    // Every byte of the lines, and every 13th of the run.
    for at in (0..400).chain((400..bytes.len()).step_by(13)) {
        let mut changed = bytes.clone();
        changed[at] ^= 1 << (at % 8);
        let refusal = refusal(&changed, &belonging());
        assert!(
            matches!(refusal, Some(Refusal::Damaged | Refusal::NotSaved)),
            "byte {at}: {refusal:?}"
        );
    }
}

#[test]
fn what_was_cut_off_or_added_to_is_noticed() {
    let (_, bytes) = file();
    for length in (0..400).chain((400..bytes.len()).step_by(97)) {
        assert!(
            refusal(&bytes[..length], &belonging()).is_some(),
            "{length}"
        );
    }
    let longer = [&bytes[..], b"x"].concat();
    assert_eq!(refusal(&longer, &belonging()), Some(Refusal::Damaged));
}

#[test]
fn what_belongs_elsewhere_is_refused() {
    let (_, bytes) = file();
    let own = belonging();
    let other = |change: fn(&mut Belonging)| {
        let mut other = belonging();
        change(&mut other);
        refusal(&bytes, &other)
            .expect("it belongs elsewhere")
            .to_string()
    };
    assert_eq!(
        other(|of| of.program = "0.2.0 abc".to_owned()),
        "another program wrote it (0.1.0 abc; this is 0.2.0 abc): save the run anew"
    );
    assert_eq!(
        other(|of| of.input = "4567".to_owned()),
        "it was saved from another scenario, or the scenario has changed since: save the run anew"
    );
    let run = other(|of| of.run = "hallwright run a.ron".to_owned());
    assert!(run.contains("this is `hallwright run a.ron`"), "{run}");
    assert_eq!(refusal(b"(title: \"x\")", &own), Some(Refusal::NotSaved));
    assert_eq!(refusal(b"", &own), Some(Refusal::NotSaved));
}
