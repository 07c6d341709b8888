//! Recorded figures: what the runs of a scenario measured, as a small text file beside it.
//!
//! The first line that is no comment is `schema_version = 3`. Then one figure a line, `name = value unit`, sorted,
//! below the name of the variant in brackets (`[]` for a scenario without variants). What nobody reviews stands at
//! the end, below `digests of [variant]`: `input` is the digest of everything that was read, and the trail says
//! when a later run parts from the recorded one.

use std::collections::BTreeMap;

use hallwright_core::tick::Tick;
use serde::Serialize;

use super::figures::{Figures, LINK, figures, helps, plain};
use super::trail::{Trail, TrailWatch, step_for};
use hallwright_report::findings::Findings;

/// The version of the names that figures are recorded under. It rises when a figure is renamed or
/// counted anew: what was recorded before says nothing about a run of today.
const SCHEMA_VERSION: u32 = 3;
const SCHEMA: &str = "schema_version";
/// What the line begins with below which the digests of a variant stand.
const DIGESTS: &str = "digests of ";
const INPUT: &str = "input";
const TRAIL: &str = "trail";
const OTHER_VERSION: &str = "these figures were recorded by another version of hallwright, under other \
    names or in another form: see what the runs are like now, then record them anew with `--record`";
/// How a link is mended that is new.
const KEEP_APART: &str = "Keep the two apart: move or turn back what meets, or take away the block that joins \
    them; if it is meant, record it with `--record`";
/// How many marks of the trail stand in a line.
const MARKS_A_LINE: usize = 32;

/// What one run measured.
pub struct Measured {
    figures: Figures,
    /// How links are mended, by the names of their figures.
    helps: BTreeMap<String, String>,
    trail: TrailWatch,
    run_ticks: u64,
}

impl Measured {
    pub(super) fn of(found: &Findings, trail: TrailWatch) -> Self {
        Self {
            figures: figures(found),
            helps: helps(found),
            trail,
            run_ticks: found.run_ticks,
        }
    }
}

/// The recorded figures of all variants of one scenario.
#[derive(Clone, PartialEq, Eq, Debug, Default)]
pub struct Record {
    variants: BTreeMap<String, Entry>,
}

#[derive(Clone, PartialEq, Eq, Debug, Default)]
struct Entry {
    input: String,
    figures: Figures,
    trail: Trail,
}

/// A line of a record that cannot be understood.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct RecordError {
    /// The line, from 1.
    pub line: usize,
    /// What is wrong with it.
    pub message: String,
}

/// How a run compares with its record.
#[derive(Clone, PartialEq, Eq, Debug, Default)]
pub struct Compared {
    /// The file of the record.
    pub file: String,
    /// Whether the record has no such variant; then nothing else is known.
    pub is_missing: bool,
    /// How many figures are recorded.
    pub figures: u64,
    /// Whether the scenario is not the recorded one: its layout, rules, arrivals, seed or goals. If
    /// it is the same, whatever differs comes from the program.
    pub input_changed: bool,
    /// The figures that are not the recorded ones.
    pub moved: Vec<Moved>,
    /// Until the first tick the runs are the same, before the second they are not.
    pub parted: Option<(Tick, Tick)>,
}

/// A figure that is not the recorded one. Its fields are written for programs by their names.
#[derive(Clone, PartialEq, Eq, Debug, Serialize)]
pub struct Moved {
    /// Its name.
    pub name: String,
    /// What was recorded, with its unit.
    pub old: Option<String>,
    /// What it is now.
    pub new: Option<String>,
    /// How it is mended, if it is a link of drawn parts.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub help: Option<String>,
}

impl Compared {
    /// Whether the run is as recorded. A scenario that was changed may go another way to the same
    /// figures; the program may not.
    #[must_use]
    pub fn is_ok(&self) -> bool {
        !self.is_missing && self.moved.is_empty() && (self.input_changed || self.parted.is_none())
    }
}

impl Record {
    /// Takes up what was measured in a variant.
    pub fn add(&mut self, variant: Option<&str>, input: &str, measured: &Measured) {
        let step_ticks = step_for(measured.run_ticks);
        self.variants.insert(
            key(variant),
            Entry {
                input: input.to_owned(),
                figures: measured.figures.clone(),
                trail: measured.trail.trail(measured.run_ticks, step_ticks),
            },
        );
    }

    /// The recorded variants that are not among these.
    #[must_use]
    pub fn variants_beside(&self, variants: &[Option<String>]) -> Vec<String> {
        let known: Vec<String> = variants
            .iter()
            .map(|variant| key(variant.as_deref()))
            .collect();
        let recorded = self.variants.keys();
        recorded
            .filter(|variant| !known.contains(variant))
            .cloned()
            .collect()
    }

    /// Compares what was measured now with what is recorded in this file.
    #[must_use]
    pub fn compare(
        &self,
        file: &str,
        variant: Option<&str>,
        input: &str,
        measured: &Measured,
    ) -> Compared {
        let mut compared = Compared {
            file: file.to_owned(),
            ..Compared::default()
        };
        let Some(entry) = self.variants.get(&key(variant)) else {
            compared.is_missing = true;
            return compared;
        };
        let trail = measured
            .trail
            .trail(measured.run_ticks, entry.trail.step_ticks);
        compared.figures = entry.figures.len() as u64;
        compared.input_changed = entry.input != input;
        compared.moved = moved(&entry.figures, measured);
        compared.parted = entry.trail.parts_from(&trail);
        compared
    }

    /// The record as text. `scenario`: the name of the scenario's file.
    #[must_use]
    pub fn text(&self, scenario: &str) -> String {
        let mut text = format!(
            "# What `hallwright check` measured in {}, in the declared orders,\n\
             # with the scenario's own seed and stops. Written by `hallwright check --record`.\n\
             {SCHEMA} = {SCHEMA_VERSION}\n",
            plain(scenario)
        );
        for (variant, entry) in &self.variants {
            text.push_str(&format!("\n[{variant}]\n"));
            for (name, value) in &entry.figures {
                text.push_str(&format!("{name} = {value}\n"));
            }
        }
        text.push_str(
            "\n# Digests of what was read, and of what happened up to each step of the run. They change with\n\
             # every change of the scenario, and need no review.\n",
        );
        for (variant, entry) in &self.variants {
            text.push_str(&format!(
                "{DIGESTS}[{variant}]\n{INPUT} = {}\n",
                entry.input
            ));
            text.push_str(&format!(
                "{TRAIL} = one mark every {} ticks\n",
                entry.trail.step_ticks
            ));
            for marks in entry.trail.marks.chunks(MARKS_A_LINE) {
                let marks: Vec<String> = marks.iter().map(|mark| format!("{mark:04x}")).collect();
                text.push_str(&format!("  {}\n", marks.join(" ")));
            }
        }
        text
    }

    /// Reads a record.
    ///
    /// # Errors
    ///
    /// If a line is none of a record, or the record is of another version of this program.
    pub fn parse(text: &str) -> Result<Self, RecordError> {
        let mut record = Self::default();
        let mut variant: Option<String> = None;
        let mut is_of_today = false;
        for (number, line) in text.lines().enumerate() {
            let line = line.trim_end();
            let fail = |message: &str| RecordError {
                line: number + 1,
                message: message.to_owned(),
            };
            // The name of a figure may begin like a comment.
            let is_comment = line.starts_with('#') && (variant.is_none() || !line.contains(" = "));
            if line.is_empty() || is_comment {
                continue;
            }
            if !is_of_today {
                let version = line
                    .strip_prefix(SCHEMA)
                    .and_then(|rest| rest.strip_prefix(" = "));
                if version != Some(SCHEMA_VERSION.to_string().as_str()) {
                    return Err(fail(OTHER_VERSION));
                }
                is_of_today = true;
                continue;
            }
            if let Some(name) = bracketed(line) {
                if record.variants.contains_key(name) {
                    return Err(fail("this variant is recorded twice"));
                }
                record.variants.insert(name.to_owned(), Entry::default());
                variant = Some(name.to_owned());
                continue;
            }
            if let Some(name) = line.strip_prefix(DIGESTS).and_then(bracketed) {
                variant = Some(name.to_owned());
                continue;
            }
            let entry = variant
                .as_ref()
                .and_then(|variant| record.variants.get_mut(variant))
                .ok_or_else(|| fail("a figure stands below its variant, such as `[]`"))?;
            read_line(entry, line).map_err(|message| fail(&message))?;
        }
        match record.variants.values().find(|entry| !entry.is_whole()) {
            None if !record.variants.is_empty() => Ok(record),
            _ => Err(RecordError {
                line: text.lines().count().max(1),
                message: "the record is not whole: each variant has an input and a trail"
                    .to_owned(),
            }),
        }
    }
}

/// The name in brackets, if a line is one.
fn bracketed(line: &str) -> Option<&str> {
    line.strip_prefix('[')?.strip_suffix(']')
}

impl Entry {
    fn is_whole(&self) -> bool {
        !self.input.is_empty() && self.trail.step_ticks > 0
    }
}

fn read_line(entry: &mut Entry, line: &str) -> Result<(), String> {
    if line.starts_with("  ") {
        for mark in line.split_whitespace() {
            let mark = u16::from_str_radix(mark, 16);
            let mark = mark.map_err(|_| "a mark of the trail has four digits, 0 to f")?;
            entry.trail.marks.push(mark);
        }
        return Ok(());
    }
    let (name, value) = line
        .rsplit_once(" = ")
        .ok_or("a figure is written `name = value unit`")?;
    match name {
        INPUT => value.clone_into(&mut entry.input),
        TRAIL => {
            let step = value
                .strip_prefix("one mark every ")
                .and_then(|rest| rest.strip_suffix(" ticks"))
                .and_then(|step| step.parse().ok())
                .filter(|step| *step > 0);
            entry.trail.step_ticks =
                step.ok_or("a trail is written `trail = one mark every 50 ticks`")?;
        }
        name => {
            let before = entry.figures.insert(name.to_owned(), value.to_owned());
            if before.is_some() {
                return Err(format!("`{name}` is recorded twice"));
            }
        }
    }
    Ok(())
}

/// How a link that differs is mended: where what is lost would have to be, or that what is new is kept apart.
fn help(
    name: &str,
    old: Option<&String>,
    new: Option<&String>,
    measured: &Measured,
) -> Option<String> {
    let all = |links: Option<&String>| -> Vec<String> {
        let links = links.into_iter().flat_map(|links| links.split(", "));
        links.map(str::to_owned).collect()
    };
    let new = all(new);
    let is_lost = all(old).iter().any(|link| !new.contains(link));
    let apart = || name.starts_with(LINK).then(|| KEEP_APART.to_owned());
    match is_lost {
        true => measured.helps.get(name).cloned(),
        false => apart(),
    }
}

/// What differs, links first: they are why the rest does.
fn moved(old: &Figures, measured: &Measured) -> Vec<Moved> {
    let new = &measured.figures;
    let names: std::collections::BTreeSet<&String> = old.keys().chain(new.keys()).collect();
    let rows = names.into_iter().map(|name| Moved {
        name: name.clone(),
        old: old.get(name).cloned(),
        new: new.get(name).cloned(),
        help: help(name, old.get(name), new.get(name), measured),
    });
    let mut moved: Vec<Moved> = rows.filter(|row| row.old != row.new).collect();
    moved.sort_by_key(|row| !row.name.starts_with(LINK));
    moved
}

fn key(variant: Option<&str>) -> String {
    variant.map_or_else(String::new, plain)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn measured(lost: &str, after: &[(u64, u64)]) -> Measured {
        let mut trail = TrailWatch::default();
        trail.mark_for_tests(after);
        Measured {
            figures: [("lost".to_owned(), lost.to_owned())].into(),
            helps: BTreeMap::new(),
            trail,
            run_ticks: 600,
        }
    }

    #[test]
    fn a_record_is_read_as_it_was_written() {
        let mut record = Record::default();
        let run = measured("3 items", &[(0, 1), (400, 2)]);
        record.add(Some("a = b"), "00ff", &run);
        record.add(None, "00fe", &run);
        let text = record.text("hall.ron");
        assert_eq!(Record::parse(&text), Ok(record), "{text}");
        assert!(text.contains("\n[a = b]\nlost = 3 items\n\n"), "{text}");
        // What nobody reviews comes last.
        let (reviewed, digests) = text.split_once("\n# Digests").expect("they have a heading");
        assert!(
            !reviewed.contains("input = ") && !reviewed.contains("trail = "),
            "{text}"
        );
        assert!(
            digests
                .contains("\ndigests of [a = b]\ninput = 00ff\ntrail = one mark every 10 ticks\n"),
            "{text}"
        );
    }

    #[test]
    fn a_changed_scenario_is_kept_apart_from_a_changed_program() {
        let mut record = Record::default();
        record.add(None, "aa", &measured("3 items", &[(0, 1), (400, 2)]));
        let compare = |input: &str, run: &Measured| record.compare("f", None, input, run);

        assert!(compare("aa", &measured("3 items", &[(0, 1), (400, 2)])).is_ok());

        // 600 ticks have a mark every 10; what happens in tick 400 shows in the mark of 410.
        let other = compare("aa", &measured("4 items", &[(0, 1), (400, 9)]));
        assert_eq!(other.parted, Some((Tick(400), Tick(410))));
        assert_eq!(other.moved[0].old.as_deref(), Some("3 items"));
        assert_eq!(other.moved[0].new.as_deref(), Some("4 items"));
        assert!(!other.input_changed && !other.is_ok());

        let detour = measured("3 items", &[(0, 1), (400, 9)]);
        assert!(
            compare("bb", &detour).is_ok(),
            "another layout, the same figures"
        );
        assert!(
            !compare("aa", &detour).is_ok(),
            "the same layout must go the same way"
        );
        assert!(record.compare("f", Some("x"), "aa", &detour).is_missing);
    }

    #[test]
    fn what_is_no_record_is_refused() {
        for (text, line) in [
            ("", 1),
            ("lost = 3 items", 2),
            ("[]\nlost", 3),
            ("[]\ninput = a\nlost = 3 items\nlost = 4 items", 5),
            ("[]\ninput = a", 3),
            ("[]\ninput = a\ntrail = one mark every 5 ticks\n  zz", 5),
        ] {
            let text = format!("schema_version = 3\n{text}");
            assert_eq!(
                Record::parse(&text).map_err(|error| error.line),
                Err(line),
                "{text}"
            );
        }
    }

    #[test]
    fn figures_under_other_names_are_refused_with_the_way_to_record_them_anew() {
        let entry = "[]\ninput = a\ntrail = one mark every 5 ticks\n  00aa\n";
        assert!(Record::parse(&format!("# a comment\nschema_version = 3\n{entry}")).is_ok());
        for before in ["", "schema_version = 2\n", "schema_version = 30\n"] {
            let error = Record::parse(&format!("# a comment\n{before}{entry}"));
            let error = error.expect_err("its names may be others");
            assert_eq!(error.line, 2);
            assert!(error.message.contains("`--record`"), "{}", error.message);
        }
    }
}
