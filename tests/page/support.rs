//! Draws pages of scenarios and takes the data out of them.

use std::io::Read;
use std::path::Path;

use base64::Engine as _;
use base64::engine::general_purpose::STANDARD;
use flate2::read::DeflateDecoder;
use hallwright_core::order::Orders;
use hallwright_page::{Subject, page};
use hallwright_report::findings::Findings;
use hallwright_report::{Heading, RunInput};
use hallwright_scenario::{LoadOptions, load, render};
use serde_json::Value;

/// The page of a scenario, and what was found in it.
pub(crate) fn page_of(path: &str) -> (String, Findings) {
    let path = Path::new(concat!(env!("CARGO_MANIFEST_DIR"), "/../../tests")).join(path);
    let loaded = load(&path, &LoadOptions::default());
    let drawn = render(&loaded.diagnostics, &loaded.sources, false);
    let scenario = loaded.scenario.unwrap_or_else(|| panic!("{drawn}"));
    let subject = Subject {
        input: RunInput {
            network: &scenario.network,
            timeline: &scenario.timeline,
            seed: scenario.seed,
            orders: Orders::default(),
            run_ticks: scenario.run_ticks,
            declarations: &scenario.declarations,
        },
        heading: Heading {
            title: scenario.title.clone(),
            ..Heading::default()
        },
    };
    let mut page = page(&[subject], &mut |_| {});
    (page.html, page.findings.remove(0))
}

/// What the page of a scenario says to its script about the run, and what was found in it.
pub(crate) fn drawn(path: &str) -> (Value, Findings) {
    let (html, findings) = page_of(path);
    let data = html.split_once("<script type=\"application/json\" id=\"data\">");
    let data = data.and_then(|(_, rest)| rest.split_once("</script>"));
    let (data, _) = data.expect("the page has data");
    let mut data: Value = serde_json::from_str(data).expect("it is JSON");
    (data["runs"][0].take(), findings)
}

/// Numbers from 0, as the page keeps them: base64, deflated, seven bits a byte, the lowest first.
pub(crate) fn numbers(packed: &Value) -> Vec<u64> {
    let text = packed.as_str().expect("a text");
    let bytes = STANDARD.decode(text).expect("it is base64");
    let mut plain = Vec::new();
    let mut decoder = DeflateDecoder::new(&bytes[..]);
    decoder.read_to_end(&mut plain).expect("it is deflated");
    let mut numbers = Vec::new();
    let (mut number, mut shift) = (0, 0);
    for byte in plain {
        number |= u64::from(byte & 0x7f) << shift;
        shift += 7;
        if byte < 0x80 {
            numbers.push(number);
            (number, shift) = (0, 0);
        }
    }
    numbers
}

/// A series that is kept as differences: 0, -1, 1, -2 are 0, 1, 2, 3.
pub(crate) fn series(packed: &Value) -> Vec<u64> {
    let mut last = 0_i64;
    let add = |number: u64| {
        let size = (number / 2) as i64;
        last += if number.is_multiple_of(2) {
            size
        } else {
            -size - 1
        };
        u64::try_from(last).expect("no number of a series is below 0")
    };
    numbers(packed).into_iter().map(add).collect()
}

/// The names of these parts.
pub(crate) fn names<'d>(data: &'d Value, parts: &[u64]) -> Vec<&'d str> {
    let name = |part: &u64| data["parts"]["names"][*part as usize].as_str();
    parts
        .iter()
        .map(|part| name(part).expect("a name"))
        .collect()
}
