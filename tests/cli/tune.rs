//! `hallwright tune`: what it is reported, what it finds, what it writes and keeps.

use std::io::BufRead;
use std::process::{Command, Stdio};

use serde_json::Value;

use crate::support::{Halls, hallwright, root, stderr, stdout, unwrapped};

/// The scenario of `docs/do/tuning.md`.
pub(crate) fn mill() -> String {
    let page =
        std::fs::read_to_string(root().join("docs/do/tuning.md")).expect("the page is there");
    let (_, file) = page.split_once("```ron file mill.ron\n").expect("a file");
    let (text, _) = file.split_once("```").expect("the file ends");
    text.to_owned()
}

/// A folder with the mill in it.
fn halls() -> (Halls, String) {
    let halls = Halls::new();
    halls.write("mill.ron", &mill());
    let path = halls.path("mill.ron");
    (halls, path)
}

/// Runs `tune` with these flags and without keeping results; fails unless it ended with this exit
/// code.
fn tune(path: &str, flags: &[&str], exit_code: i32) -> (String, String) {
    let output = hallwright(&[&["tune", path, "--no-cache"], flags].concat());
    let (out, reported) = (stdout(&output), stderr(&output));
    assert_eq!(
        output.status.code(),
        Some(exit_code),
        "{flags:?}: {reported}"
    );
    (out, reported)
}

fn json(path: &str, flags: &[&str], exit_code: i32) -> Value {
    let (out, _) = tune(path, &[&["--output", "json=-"], flags].concat(), exit_code);
    serde_json::from_str(&out).expect("it is JSON")
}

#[test]
fn the_count_is_reported_before_and_is_right() {
    let (_halls, path) = halls();
    // 5 x 2 designs; each order declared, and by itself reversed and shuffled, and both reversed; seeds 0
    // and 1; 8 stop ticks.
    let (_, reported) = tune(&path, &["--shuffles", "1", "--seeds", "1"], 0);
    let count = "10 designs × 6 pairs of 3 update orders and 3 signal orders × 2 seeds × 8 stop ticks \
                 = 960 runs, of which 0 are known";
    assert!(reported.contains(count), "{reported}");
    let swept = ["--shuffles", "0", "--stop-sweep", "400..404/2"];
    let (_, reported) = tune(&path, &swept, 0);
    let count = "10 designs × 4 pairs of 2 update orders and 2 signal orders × 1 seed × 3 stop ticks \
                 = 120 runs";
    assert!(reported.contains(count), "{reported}");
}

#[test]
fn what_is_written_does_not_depend_on_how_many_runs_are_made_at_once() {
    let (halls, path) = halls();
    for (flags, exit_code) in [(&[][..], 0), (&["--range", "lanes=1"][..], 1)] {
        let mut written = Vec::new();
        for jobs in ["1", "2"] {
            let targets = ["text", "json", "csv", "variant"].map(|format| {
                let path = halls.path(&format!("{jobs}.{format}"));
                (format!("{format}={path}"), path)
            });
            let mut arguments = vec!["--jobs", jobs];
            for (target, _) in &targets {
                arguments.extend(["--output", target]);
            }
            arguments.extend(flags);
            tune(&path, &arguments, exit_code);
            let texts = targets.map(|(_, path)| std::fs::read_to_string(path).expect("a file"));
            written.push(texts);
        }
        assert_eq!(written[0], written[1]);
        assert!(written[0][0].contains("Millbrook Granary"));
        assert_eq!(
            written[0][3].is_empty(),
            exit_code == 1,
            "a variant if one is found"
        );
    }
}

#[test]
fn flags_and_ranges_that_cannot_be_used_are_reported() {
    let (halls, path) = halls();
    for (flags, words) in [
        (
            &["--range", "lane=1,2"][..],
            "the scenario has no parameter `lane`",
        ),
        (&["--range", "lanes=5..1"], "there is nothing from 5 to 1"),
        (&["--range", "lanes=1..5/0"], "the step is 0"),
        (&["--range", "lanes=few"], "`few` is not a number"),
        (&["--range", "lanes"], "NAME=FROM..TO/STEP"),
        (
            &["--run-limit", "639"],
            "640 runs, more than the limit of 639",
        ),
        (
            &["--range", "lanes=1..9999", "--range", "locked=true"],
            "raise the limit with `--run-limit`",
        ),
        (&["--variant", "none"], "the scenario has no variant `none`"),
        (&["--cache", "somewhere"], "cannot be used with"),
        (
            &["--output", "xml=a"],
            "FORMAT is text, json, csv or variant",
        ),
    ] {
        let (_, reported) = tune(&path, flags, 2);
        assert!(
            unwrapped(&reported).contains(words),
            "{flags:?}: {reported}"
        );
    }
    let plain = mill().replace("    ranges: {\"lanes\"", "    // {\"lanes\"");
    halls.write("plain.ron", &plain);
    let (_, reported) = tune(&halls.path("plain.ron"), &[], 2);
    assert!(reported.contains("declare `ranges`"), "{reported}");
    tune(&halls.path("plain.ron"), &["--range", "lanes=2"], 0);
    let (before, _) = plain.split_once("    goals: [").expect("it has goals");
    halls.write("aimless.ron", &format!("{before})"));
    let (_, reported) = tune(&halls.path("aimless.ron"), &["--range", "lanes=2"], 4);
    assert!(reported.contains("no goal is declared"), "{reported}");
}

#[test]
fn designs_that_do_not_compile_are_reported_and_the_others_tried() {
    let (_halls, path) = halls();
    let found = json(
        &path,
        &["--range", "lanes=-1,0,2,8", "--range", "locked=false"],
        0,
    );
    let fates: Vec<&str> = found["designs"]
        .as_array()
        .expect("a list")
        .iter()
        .map(|one| one["fate"].as_str().expect("a word"))
        .collect();
    assert_eq!(
        fates,
        [
            "does not compile",
            "misses a goal",
            "meets all goals",
            "meets all goals"
        ]
    );
    let reason = found["designs"][0]["reason"].as_str().expect("words");
    assert!(reason.contains("-1 is too small"), "{reason}");
    assert_eq!(found["cheapest"], 2);
    let (_, reported) = tune(&path, &["--range", "lanes=-2,-1"], 2);
    assert!(reported.contains("no design can be used"), "{reported}");
    assert!(reported.contains("-2 is too small"), "{reported}");
}

#[test]
fn goals_for_one_variant_are_judged_if_the_search_starts_from_it() {
    let (halls, path) = halls();
    let quick = "variants: {\"quick\": {\"locked\": true}, \"slow\": {}},\n    goals: [\n        \
        OnlyFor(variant: \"quick\", goals: [MarkWithin(mark: SafeToClose, within: \"1s\")]),";
    halls.write("mill.ron", &mill().replace("goals: [", quick));
    // Two lanes take 3.95 s, three take 0.1 s (docs/do/tuning.md).
    let unlocked = ["--range", "locked=false"];
    let cheapest = |flags: &[&str]| {
        let found = json(&path, &[&unlocked[..], flags].concat(), 0);
        let cheapest = usize::try_from(found["cheapest"].as_u64().expect("one")).expect("small");
        found["designs"][cheapest]["values"]["lanes"].clone()
    };
    assert_eq!(cheapest(&["--variant", "quick"]), "3");
    assert_eq!(cheapest(&["--variant", "slow"]), "2");
    assert_eq!(cheapest(&[]), "2");
}

#[test]
fn the_found_design_is_a_variant_to_paste() {
    let (halls, path) = halls();
    let base = "variants: {\n        \"base\": {\"locked\": false, \"rate\": Plus(5, 1)},\n    },\n    \
        parameters: {\"rate\": 1, ";
    let text = mill()
        .replace("parameters: {\"lanes\": 1", &format!("{base}\"lanes\": 1"))
        .replace("per_second: 6", "per_second: \"$rate\"");
    halls.write("mill.ron", &text);
    let variant = halls.path("variant.ron");
    let target = format!("variant={variant}");
    let flags = [
        "--variant",
        "base",
        "--range",
        "lanes=1..4",
        "--output",
        &target,
    ];
    tune(&path, &flags, 0);
    let line = halls.read("variant.ron");
    let expected = "\"found\": {\"rate\": Plus(5, 1), \"lanes\": 2, \"locked\": false},\n";
    assert_eq!(line, expected);
    let pasted = text.replace("variants: {\n", &format!("variants: {{\n        {line}"));
    halls.write("mill.ron", &pasted);
    let report = halls.path("check.json");
    let output = hallwright(&["check", &path, "--output", &format!("json={report}")]);
    // The base has one lane, and misses its goals; the found one has two.
    assert_eq!(output.status.code(), Some(1), "{}", stdout(&output));
    let checked: Value = serde_json::from_str(&halls.read("check.json")).expect("it is JSON");
    let holds = |place: usize| {
        let one = &checked["scenarios"][place];
        (one["variant"].as_str(), one["is_ok"].as_bool())
    };
    assert_eq!(holds(0), (Some("found"), Some(true)));
    assert_eq!(holds(1), (Some("base"), Some(false)));
    let again = json(&path, &["--variant", "base"], 0);
    assert_eq!(again["variant_name"], "found 2");
}

#[test]
fn results_are_kept_beside_the_scenario_and_used_again() {
    let (halls, path) = halls();
    let run = || hallwright(&["tune", &path]);
    let first = run();
    assert!(
        stderr(&first).contains("of which 0 are known"),
        "{}",
        stderr(&first)
    );
    let second = run();
    assert!(
        stderr(&second).contains("made 0 runs"),
        "{}",
        stderr(&second)
    );
    assert_eq!(stdout(&first), stdout(&second));
    assert_eq!(halls.read(".hallwright/.gitignore"), "*\n");
    // What is run is what counts: another title, and a comment, change the layout's digest or not.
    halls.write("mill.ron", &format!("// The same.\n{}", mill()));
    assert!(stderr(&run()).contains("made 0 runs"));
    halls.write("mill.ron", &mill().replace("Divided(120,", "Divided(240,"));
    assert!(stderr(&run()).contains("of which 0 are known"));
}

/// The number before a word, as in `made 166 runs`.
pub(crate) fn number_before(text: &str, word: &str) -> u64 {
    let before = text.split(word).next().expect("there is a beginning");
    let number = before.split_whitespace().next_back().expect("a number");
    number.replace(',', "").parse().expect("a number")
}

#[test]
fn a_search_that_was_interrupted_goes_on() {
    let (halls, path) = halls();
    let cache = halls.path("kept");
    let flags = ["--range", "lanes=1..40", "--shuffles", "5", "--jobs", "1"];
    let (whole, reported) = tune(&path, &flags, 0);
    let all = number_before(
        &reported
            .split("made")
            .nth(1)
            .map_or(String::new(), |rest| format!("made{rest}")),
        " run",
    );
    let mut child = Command::new(env!("CARGO_BIN_EXE_hallwright"))
        .args(["tune", &path, "--cache", &cache])
        .args(flags)
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .spawn()
        .expect("the command can be started");
    let kept = || {
        let files = std::fs::read_dir(&cache).into_iter().flatten();
        let files = files.filter_map(|file| std::fs::File::open(file.ok()?.path()).ok());
        let lines = files.flat_map(|file| std::io::BufReader::new(file).lines());
        lines.count() as u64
    };
    while kept() < 20 && child.try_wait().expect("it can be asked").is_none() {
        std::thread::sleep(std::time::Duration::from_millis(1));
    }
    child.kill().expect("it can be interrupted");
    child.wait().expect("it ends");
    let kept = kept();
    assert!(kept < all, "it was over before it was interrupted");
    let output = hallwright(&[&["tune", &path, "--cache", &cache], &flags[..]].concat());
    let reported = stderr(&output);
    assert_eq!(stdout(&output), whole);
    let known = number_before(&reported, " are known");
    // The last line may have been cut off.
    assert!(known == kept || known + 1 == kept, "{known} of {kept}");
    let made = reported
        .lines()
        .find(|line| line.starts_with("made"))
        .expect("a line");
    assert_eq!(number_before(made, " run") + known, all);
}

#[test]
fn a_damaged_result_is_reported_and_made_anew() {
    let (halls, path) = halls();
    let cache = halls.path("kept");
    let run = || hallwright(&["tune", &path, "--cache", &cache]);
    let first = run();
    let mut files = std::fs::read_dir(&cache).expect("it is there");
    let file = files
        .next()
        .expect("a file")
        .expect("it can be read")
        .path();
    let text = std::fs::read_to_string(&file).expect("it is text");
    let damaged = text.replacen("{\"Number\":", "{\"Number\":9", 1);
    std::fs::write(&file, damaged).expect("it can be written");
    let again = run();
    let reported = stderr(&again);
    assert!(reported.contains("1 damaged"), "{reported}");
    assert!(reported.contains("made 1 run\n"), "{reported}");
    assert_eq!(stdout(&again), stdout(&first));
}
