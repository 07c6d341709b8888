//! A run kept in a file between two ticks, to be gone on with later.
//!
//! The file begins with lines that people can read, each `name = value`, and an empty one. Behind them is the
//! run as bytes, which only the program that wrote them can read. A digest of all bytes tells what was
//! cut off or damaged. Whoever forges a file can forge the digest too.

use std::fmt::Write as _;

use hallwright_core::fnv::Fnv128;
use hallwright_report::Halfway;
use thiserror::Error;

/// The first line.
const TITLE: &str = "a run of hallwright, saved";
const PROGRAM: &str = "program";
const INPUT: &str = "input";
const RUN: &str = "run";
const TICK: &str = "tick";
const DIGEST: &str = "digest";
/// What ends the lines.
const END: &str = "\n\n";

/// What a saved run belongs to: only the same can go on with it.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Belonging {
    /// Which program wrote it: its version and digest.
    pub program: String,
    /// The digest of the scenario and of all that it reads.
    pub input: String,
    /// The command of the run, without the flags that only say what is written.
    pub run: String,
}

/// Why a file is not gone on with.
#[derive(Clone, PartialEq, Eq, Debug, Error)]
pub enum Refusal {
    /// It is something else.
    #[error("it is no saved run")]
    NotSaved,
    /// It was cut off or changed.
    #[error("it is damaged: save the run anew")]
    Damaged,
    /// Another program wrote it.
    #[error("another program wrote it ({wrote}; this is {this}): save the run anew")]
    OtherProgram {
        /// The program that did.
        wrote: String,
        /// This one.
        this: String,
    },
    /// The scenario, or a file that it reads, is another.
    #[error(
        "it was saved from another scenario, or the scenario has changed since: save the run anew"
    )]
    OtherInput,
    /// It was run otherwise.
    #[error("it was saved by `{wrote}`, but this is `{this}`: run it with the same flags")]
    OtherRun {
        /// The command that saved it.
        wrote: String,
        /// This one.
        this: String,
    },
}

/// What a file has for a run.
#[must_use]
pub fn written(belonging: &Belonging, halfway: &Halfway) -> Vec<u8> {
    // Nothing in it has a length that is not known.
    let run = postcard::to_stdvec(halfway).unwrap_or_default();
    let mut lines = String::new();
    let rows = [
        (PROGRAM, &belonging.program),
        (INPUT, &belonging.input),
        (RUN, &belonging.run),
        (TICK, &halfway.tick().0.to_string()),
    ];
    for (name, value) in rows {
        // A text takes everything.
        let _ = writeln!(lines, "{name} = {}", value.escape_debug());
    }
    let digest = digest(&lines, &run);
    let head = format!("{TITLE}\n{lines}{DIGEST} = {digest}{END}");
    [head.as_bytes(), &run].concat()
}

/// The run that a file has, if it belongs here.
///
/// # Errors
///
/// Says why it is not gone on with.
pub fn read(bytes: &[u8], belonging: &Belonging) -> Result<Halfway, Refusal> {
    let bytes = bytes.strip_prefix(TITLE.as_bytes());
    let bytes = bytes.and_then(|bytes| bytes.strip_prefix(b"\n"));
    let bytes = bytes.ok_or(Refusal::NotSaved)?;
    let end = bytes.windows(END.len()).position(|at| at == END.as_bytes());
    let (head, run) = bytes.split_at(end.ok_or(Refusal::Damaged)?);
    let run = &run[END.len()..];
    let head = str::from_utf8(head).map_err(|_| Refusal::Damaged)?;
    let (lines, last) = head.rsplit_once('\n').ok_or(Refusal::Damaged)?;
    let lines = format!("{lines}\n");
    if last != format!("{DIGEST} = {}", digest(&lines, run)) {
        return Err(Refusal::Damaged);
    }
    let wrote = |name: &str| -> Result<String, Refusal> {
        let mut rows = lines.lines().filter_map(|line| line.split_once(" = "));
        let row = rows.find(|(found, _)| *found == name);
        row.map(|(_, value)| value.to_owned())
            .ok_or(Refusal::Damaged)
    };
    let said = |value: &str| value.escape_debug().to_string();
    if wrote(PROGRAM)? != said(&belonging.program) {
        return Err(Refusal::OtherProgram {
            wrote: wrote(PROGRAM)?,
            this: belonging.program.clone(),
        });
    }
    if wrote(INPUT)? != said(&belonging.input) {
        return Err(Refusal::OtherInput);
    }
    if wrote(RUN)? != said(&belonging.run) {
        return Err(Refusal::OtherRun {
            wrote: wrote(RUN)?,
            this: belonging.run.clone(),
        });
    }
    let (halfway, rest) =
        postcard::take_from_bytes::<Halfway>(run).map_err(|_| Refusal::Damaged)?;
    if !rest.is_empty() || wrote(TICK)? != halfway.tick().0.to_string() {
        return Err(Refusal::Damaged);
    }
    Ok(halfway)
}

fn digest(lines: &str, run: &[u8]) -> String {
    let mut hash = Fnv128::default();
    hash.bytes(lines.bytes());
    hash.bytes(run.iter().copied());
    format!("{:032x}", hash.value())
}
