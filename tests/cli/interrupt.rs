//! An interrupt ends many runs early, and what was found by then is reported.

use std::io::{BufRead as _, BufReader, Read as _};
use std::os::unix::process::ExitStatusExt as _;
use std::process::{Child, ChildStderr, Command, Stdio};
use std::time::Duration;

use serde_json::Value;

use crate::support::Halls;
use crate::tune::{mill, number_before};

/// A command under way.
struct Begun {
    child: Child,
    err: BufReader<ChildStderr>,
    noted: String,
}

impl Begun {
    fn new(arguments: &[&str]) -> Self {
        let mut child = Command::new(env!("CARGO_BIN_EXE_hallwright"))
            .args(arguments)
            .current_dir(concat!(env!("CARGO_MANIFEST_DIR"), "/../.."))
            .stdin(Stdio::null())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .expect("the command starts");
        let err = child.stderr.take().expect("it is piped");
        Self {
            child,
            err: BufReader::new(err),
            noted: String::new(),
        }
    }

    /// Reads standard error up to a line with these words.
    fn reads(&mut self, words: &str) {
        let from = self.noted.len();
        while !self.noted[from..].contains(words) {
            let read = self.err.read_line(&mut self.noted).expect("it is text");
            assert!(read > 0, "it never said {words}: {}", self.noted);
        }
    }

    fn interrupt(&self) {
        let kill = format!("kill -INT {}", self.child.id());
        let killed = Command::new("sh").args(["-c", &kill]).status();
        assert!(killed.expect("there is a shell").success());
    }

    /// Its exit code, or the signal that ended it as a negative number, and what it said on standard output and
    /// standard error.
    fn ended(mut self) -> (i32, String, String) {
        let mut said = String::new();
        if let Some(mut out) = self.child.stdout.take() {
            out.read_to_string(&mut said).expect("it is text");
        }
        self.err
            .read_to_string(&mut self.noted)
            .expect("it is text");
        let status = self.child.wait().expect("it ends");
        let code = status.code().or(status.signal().map(|signal| -signal));
        (code.expect("it ended"), said, self.noted)
    }
}

/// Interrupts a command after so long; gives its exit code and what it printed.
fn interrupted(arguments: &[&str], after: Duration) -> (i32, String, String) {
    let begun = Begun::new(arguments);
    std::thread::sleep(after);
    begun.interrupt();
    begun.ended()
}

fn parsed(text: &str) -> Value {
    serde_json::from_str(text).expect("it is whole")
}

/// So many stops take minutes, and every goal is met at each.
const MANY_STOPS: [&str; 4] = ["--stop-sweep", "2500..3700/1", "--shuffles", "3"];
/// Hours of leaves, one after the other; a lamp is right, and in the end nothing breaks.
const MANY_LEAVES: [&str; 7] = [
    "scenarios/leaving.ron",
    "--variant",
    "lamp of the line",
    "--leave-at",
    "380..1780/1",
    "--jobs",
    "1",
];
/// Until then some of them are made, and by no means all.
const SOON: Duration = Duration::from_secs(20);

#[test]
fn a_sweep_reports_the_runs_that_were_made() {
    let arguments = ["run", "scenarios/granary.ron", "--variant", "five sections"];
    let (code, said, noted) = interrupted(&[&arguments[..], &MANY_STOPS].concat(), SOON);
    assert_eq!(code, 130, "{said}\n{noted}");
    assert!(said.contains("cut short before"), "{said}");
    assert!(noted.contains("interrupted"), "{noted}");
}

#[test]
fn a_check_that_was_cut_short_is_no_yes() {
    let arguments = [
        "check",
        "scenarios/granary.ron",
        "--variant",
        "five sections",
    ];
    let folder = Halls::new();
    let table = format!("csv={}", folder.path("check.csv"));
    let formats = ["--output", "json", "--output", &table];
    let (code, said, _) = interrupted(&[&arguments[..], &MANY_STOPS, &formats].concat(), SOON);
    assert_eq!(code, 130, "{said}");
    let table = folder.read("check.csv");
    assert!(table.contains("cut short: "), "{table}");
    let report = parsed(&said);
    assert_eq!(report["outcome"], "cut short");
    let checked = &report["scenarios"][0];
    assert_eq!(checked["is_ok"], false);
    assert!(checked["unmade_runs"].as_u64() > Some(0), "{checked}");
    assert_eq!(checked["sweep"]["unmade_runs"], checked["unmade_runs"]);
}

#[test]
fn a_hall_that_was_left_in_some_ways_may_not_be_left() {
    let (code, said, noted) = interrupted(&[&["run"], &MANY_LEAVES[..]].concat(), SOON);
    assert_eq!(code, 130, "{said}\n{noted}");
    assert!(said.contains("cut short after"), "{said}");
    assert!(!said.contains("was right"), "{said}");
}

#[test]
fn a_check_of_a_hall_that_was_left_in_some_ways_is_no_yes() {
    let formats = ["--output", "json"];
    let arguments = [&["check"], &MANY_LEAVES[..], &formats].concat();
    let (code, said, noted) = interrupted(&arguments, SOON);
    assert_eq!(code, 130, "{said}\n{noted}");
    let report = parsed(&said);
    assert_eq!(report["outcome"], "cut short");
    let checked = &report["scenarios"][0];
    assert_eq!(
        (&checked["is_ok"], &checked["runs"]),
        (&false.into(), &0.into())
    );
    let leave = &checked["leave"];
    assert_eq!(
        (&leave["is_ok"], &leave["well_from_tick"]),
        (&false.into(), &Value::Null)
    );
    assert!(
        leave["leaves"].as_u64() > Some(0),
        "some were made before: {said}"
    );
    assert!(leave["unmade_leaves"].as_u64() > Some(0), "{said}");
}

#[test]
fn a_plan_that_was_not_proven_to_the_end_writes_no_hall() {
    let folder = Halls::new();
    // Little of very many kinds: its hauls are short, and its stops take minutes.
    let kinds = (0..200).map(|kind| format!("kind {kind},64,64,5\n"));
    let table = format!(
        "name,stack_limit,amount,inflow_per_hour\n{}",
        kinds.collect::<String>()
    );
    folder.write("goods.csv", &table);
    let path = folder.path("goods.csv");
    let report = format!("json={}", folder.path("report.json"));
    let formats = ["--output", "hall", "--output", "text", "--output", &report];
    let (code, said, noted) = interrupted(&[&["plan", &path], &formats[..]].concat(), SOON);
    assert_eq!(code, 130, "{said}\n{noted}");
    assert!(said.contains("cut short: "), "{said}");
    assert!(noted.contains("no hall is written"), "{noted}");
    assert_eq!(folder.names(), ["goods.csv", "report.json"]);
    let report = parsed(&folder.read("report.json"));
    let proof = &report["proof"];
    assert_eq!(proof["is_kept"], false);
    assert_eq!(proof["broken_promises"], Value::Array(Vec::new()));
    assert!(proof["unmade_runs"].as_u64() > Some(0), "{proof}");
}

/// A search in which so many runs may be made that it takes minutes.
fn long_search(folder: &Halls) -> Vec<String> {
    folder.write("mill.ron", &mill());
    let flags = [
        "--range",
        "lanes=1..30",
        "--shuffles",
        "300",
        "--run-limit",
        "9999999",
    ];
    let own = [
        "tune".to_owned(),
        folder.path("mill.ron"),
        "--cache".to_owned(),
        folder.path("kept"),
    ];
    own.into_iter().chain(flags.map(str::to_owned)).collect()
}

fn texts(arguments: &[String]) -> Vec<&str> {
    arguments.iter().map(String::as_str).collect()
}

#[test]
fn a_search_reports_the_best_so_far_and_goes_on_from_there() {
    let folder = Halls::new();
    let search = long_search(&folder);
    let begun = Begun::new(&texts(&search));
    let kept = || {
        let files = std::fs::read_dir(folder.path("kept")).into_iter().flatten();
        let files = files.filter_map(|file| std::fs::read_to_string(file.ok()?.path()).ok());
        files.map(|text| text.lines().count()).sum::<usize>()
    };
    while kept() < 60 {
        std::thread::sleep(Duration::from_millis(5));
    }
    begun.interrupt();
    let (code, said, noted) = begun.ended();
    assert_eq!(code, 130, "{said}\n{noted}");
    assert!(said.contains("cut short before"), "{said}");
    assert!(!said.contains("Cheapest"), "{said}");
    let kept = kept() as u64;

    // Interrupted again before its first run, or soon after, it reports what it knows.
    let table = format!("csv={}", folder.path("designs.csv"));
    let formats = ["--output", "json", "--output", &table];
    let mut begun = Begun::new(&[&texts(&search)[..], &formats].concat());
    begun.reads("of which");
    begun.interrupt();
    let (code, said, noted) = begun.ended();
    assert_eq!(code, 130, "{said}\n{noted}");
    assert_eq!(number_before(&noted, " are known"), kept);
    let report = parsed(&said);
    assert_eq!(report["outcome"], "cut short");
    assert!(report["untried_designs"].as_u64() > Some(0), "{report}");
    let fates = report["designs"].as_array().expect("a list").iter();
    assert!(
        fates
            .clone()
            .any(|design| design["fate"] == "not tried to the end")
    );
    assert_eq!(
        folder.read("designs.csv").lines().count(),
        1 + fates.count()
    );
}

#[test]
fn a_second_interrupt_ends_at_once_and_leaves_files_whole() {
    let folder = Halls::new();
    let file = format!("json={}", folder.path("report.json"));
    let mut search = long_search(&folder);
    // What goes to standard output fills the pipe, which nobody reads.
    search[5] = "lanes=1..120".to_owned();
    let formats = ["--output", &file, "--output", "json", "--shuffles", "50"];
    search.retain(|flag| flag != "--shuffles" && flag != "300");
    let mut begun = Begun::new(&[&texts(&search)[..], &formats].concat());
    begun.reads("of which");
    begun.interrupt();
    begun.reads("made ");
    while !std::path::Path::new(&folder.path("report.json")).exists() {
        std::thread::sleep(Duration::from_millis(5));
    }
    begun.interrupt();
    begun.child.wait().expect("it ends, though nobody reads");
    let (code, said, noted) = begun.ended();
    assert_eq!(code, -2, "{noted}");
    assert!(
        serde_json::from_str::<Value>(&said).is_err(),
        "it was not over"
    );
    assert_eq!(parsed(&folder.read("report.json"))["outcome"], "cut short");
    assert_eq!(folder.names(), ["kept", "mill.ron", "report.json"]);
}

#[test]
fn a_search_whose_reader_has_gone_ends_as_quietly() {
    let folder = Halls::new();
    let mut begun = Begun::new(&texts(&long_search(&folder)));
    drop(begun.child.stdout.take());
    begun.reads("of which");
    begun.interrupt();
    let (code, _, noted) = begun.ended();
    assert_eq!(code, 130, "{noted}");
    assert!(
        !noted.contains("error") && !noted.contains("panicked"),
        "{noted}"
    );
}
