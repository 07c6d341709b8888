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
        which: String::new(),
    };
    let mut page = page(&[subject], &mut |_| {});
    (page.html, page.findings.remove(0))
}

/// What a page says to its script about one run.
pub(crate) struct Data {
    /// As the page has it, with the numbers of rows, and the name of every part.
    run: Value,
    /// All rows.
    rows: Vec<Vec<u64>>,
}

impl std::ops::Deref for Data {
    type Target = Value;

    fn deref(&self) -> &Value {
        &self.run
    }
}

impl Data {
    /// The numbers of a row.
    pub(crate) fn numbers(&self, row: &Value) -> &[u64] {
        let row = row.as_u64().expect("the number of a row");
        &self.rows[row as usize]
    }

    /// A series that is kept as differences: 0, -1, 1, -2 are 0, 1, 2, 3.
    pub(crate) fn series(&self, row: &Value) -> Vec<u64> {
        let mut last = 0_i64;
        let add = |number: &u64| {
            let size = (number / 2) as i64;
            last += if number.is_multiple_of(2) {
                size
            } else {
                -size - 1
            };
            u64::try_from(last).expect("no number of a series is below 0")
        };
        self.numbers(row).iter().map(add).collect()
    }

    /// The names of these parts.
    pub(crate) fn names(&self, parts: &[u64]) -> Vec<&str> {
        let name = |part: &u64| self.run["parts"]["names"][*part as usize].as_str();
        parts
            .iter()
            .map(|part| name(part).expect("a name"))
            .collect()
    }
}

/// What the page of a scenario says to its script about the run, and what was found in it.
pub(crate) fn drawn(path: &str) -> (Data, Findings) {
    let (html, findings) = page_of(path);
    let mut data: Value = serde_json::from_str(script(&html, "data")).expect("it is JSON");
    let mut data = Data {
        run: data["runs"][0].take(),
        rows: rows(script(&html, "rows")),
    };
    // Each is kept once, with a row that says which is where.
    let kept = data.run["parts"]["names"].take();
    let which = data.numbers(&kept["which"]).iter();
    let names: Vec<Value> = which
        .map(|word| kept["words"][*word as usize].clone())
        .collect();
    data.run["parts"]["names"] = names.into();
    (data, findings)
}

/// What is in the `<script>` element of this id.
fn script<'h>(html: &'h str, id: &str) -> &'h str {
    let head = format!(" id=\"{id}\">");
    let rest = html.split_once(&head).map(|(_, rest)| rest);
    let found = rest.and_then(|rest| rest.split_once("</script>"));
    found.expect("the page has it").0
}

/// The rows of a page: how many bytes their lengths take, the lengths, the rows; deflated, in base64.
fn rows(text: &str) -> Vec<Vec<u64>> {
    let bytes = STANDARD.decode(text).expect("it is base64");
    let mut plain = Vec::new();
    let mut decoder = DeflateDecoder::new(&bytes[..]);
    decoder.read_to_end(&mut plain).expect("it is deflated");
    let head = plain
        .iter()
        .position(|byte| *byte < 0x80)
        .expect("a length")
        + 1;
    let (head, rest) = plain.split_at(head);
    let (lengths, mut rest) = rest.split_at(unpacked(head)[0] as usize);
    let rows = unpacked(lengths).into_iter().map(|length| {
        let (row, others) = rest.split_at(length as usize);
        rest = others;
        unpacked(row)
    });
    rows.collect()
}

/// Numbers from 0, seven bits a byte, the lowest first.
fn unpacked(bytes: &[u8]) -> Vec<u64> {
    let mut numbers = Vec::new();
    let (mut number, mut shift) = (0, 0);
    for byte in bytes {
        number |= u64::from(byte & 0x7f) << shift;
        shift += 7;
        if *byte < 0x80 {
            numbers.push(number);
            (number, shift) = (0, 0);
        }
    }
    numbers
}
