//! What is too much is refused with its own message, and what is not runs, in memory that the test sets.

#![cfg(unix)]

use std::process::Command;

use crate::support::Halls;

/// So much memory a command has, in KiB.
pub(crate) const MEMORY_KIB: u32 = 1_000_000;

/// Runs a scenario in little memory: its exit code, and all that it prints.
fn run(text: &str) -> (Option<i32>, String) {
    in_memory_of(MEMORY_KIB, "run", text)
}

/// Gives a scenario to a command, perhaps with flags, in so much memory: its exit code, and all that it prints.
pub(crate) fn in_memory_of(kib: u32, command: &str, text: &str) -> (Option<i32>, String) {
    let folder = Halls::new();
    folder.write("hall.ron", text);
    let command = format!(
        "ulimit -v {kib}; exec '{}' {command} '{}' 2>&1",
        env!("CARGO_BIN_EXE_hallwright"),
        folder.path("hall.ron")
    );
    let output = Command::new("sh").args(["-c", &command]).output();
    let output = output.expect("there is a shell");
    let printed = String::from_utf8_lossy(&output.stdout).into_owned();
    (output.status.code(), printed)
}

/// A line of one hopper, with these further fields.
fn line(run_for: &str, more: &str) -> String {
    format!(
        r#"(title: "Line", run_for: "{run_for}", goods: {{"flax": 64}},
        parts: {{"in": Chest(), "line": Hopper(above: "in", target: "out"), "out": Chest()}},
        stores: {{"flax": (parts: ["out", "line"], takes: "flax")}}, {more})"#
    )
}

#[test]
fn what_is_too_much_is_refused_with_its_own_message() {
    let modules: Vec<String> = (1..1_000)
        .map(|depth| {
            format!(
                r#""m{depth}": (uses: {{"x": One(module: "m{}")}})"#,
                depth - 1
            )
        })
        .collect();
    let deep = format!(
        r#"modules: {{"m0": (parts: {{"a": Chest()}}), {}}}, uses: {{"x": One(module: "m999")}}"#,
        modules.join(", ")
    );
    let cases = [
        (
            line(
                "5s",
                r#"modules: {"m": (parts: {"a": Chest()})}, uses: {"x": Row(module: "m", count: 1000000000)}"#,
            ),
            "more than the limit of 2000000",
        ),
        (
            line("1000000000000t", ""),
            "a run takes at most 1000000000 ticks",
        ),
        (line("999999999999h", ""), "is too long"),
        (line("5s", &deep), "modules are nested more than 64 deep"),
        ("(".repeat(4 * 1024 * 1024), "nested more than 128 deep"),
        ("(".repeat(65 * 1024 * 1024), "is larger than 64 MiB"),
    ];
    for (text, message) in cases {
        let (code, printed) = run(&text);
        assert_eq!(code, Some(2), "{message}: {printed}");
        assert!(printed.contains(message), "{message}: {printed}");
    }
}

#[test]
fn numbers_at_the_edges_of_their_types_are_refused_or_run() {
    for (count, message) in [
        ("18446744073709551616", "is no number that can be used"),
        ("18446744073709551615", "is no number that can be used"),
        ("-9223372036854775809", "is no number that can be used"),
        ("-9223372036854775808", "is too small"),
        ("9223372036854775807", "is too large here"),
        ("4294967296", "is too large here"),
        ("0", "is too small: it must be at least 1"),
        ("1e30", "is no number that can be used"),
    ] {
        let arrivals =
            format!(r#"arrivals: {{"a": AllAtOnce(place: "in", kind: "flax", count: {count})}}"#);
        let (code, printed) = run(&line("5s", &arrivals));
        assert_eq!(code, Some(2), "{count}: {printed}");
        assert!(printed.contains(message), "{count}: {printed}");
    }
    // The chest has room for 27 stacks, and the line lets one through in 8 ticks.
    let most = r#"arrivals: {"a": AllAtOnce(place: "in", kind: "flax", count: 4294967295)}"#;
    let (code, printed) = run(&line("5s", most));
    assert_eq!(code, Some(1), "{printed}");
    assert!(printed.contains("refused"), "{printed}");
}

#[test]
fn the_longest_run_and_the_slowest_clock_take_no_memory() {
    let (code, printed) = run(&line("1000000000t", ""));
    assert_eq!(code, Some(0), "{printed}");
    // Taken out for as long as a beat lasts, second by second, goods would fill any memory.
    let slow = r#"signals: {"beat": Clock(period: "2000000000t", high: "8t", phase: "10t")},
        arrivals: {"a": AllAtOnce(place: "in", kind: "flax", count: 100)},
        open: {"counter": (parts: "out", behind: "in")}, goals: [LeftBehindAtMost(0)]"#;
    let (code, printed) = run(&line("5s", slow));
    assert!(matches!(code, Some(0 | 1)), "{code:?}: {printed}");
    assert!(printed.contains("not certain"), "{printed}");
}

/// 50 lines of 100 hoppers, all busy for 5 minutes, with these further parts: nearly four million events.
fn busy_hall(more: &str) -> String {
    let full = r#"(slots: 27, kind: "flax", count: 64)"#;
    format!(
        r#"(title: "Hall", run_for: "300s", goods: {{"flax": 64, "peg": 64}},
        modules: {{
            "cell": (ports: {{"in": "line", "out": "line"}}, parts: {{"line": Hopper()}}),
            "lane": (
                parts: {{
                    "source": Chest(holds: [{full}]),
                    "first": Hopper(above: "source", target: "row[0].in"),
                    "out": Chest(),
                }},
                uses: {{"row": Row(module: "cell", count: 99, chain: {{"out": "in"}}, then: {{"out": "out"}})}},
            ),
        }},
        parts: {{{more}}},
        uses: {{"lanes": Row(module: "lane", count: 50)}},
        stores: {{"all": (parts: ["lanes[*].out"], takes: "flax")}})"#
    )
}

#[test]
fn a_busy_hall_is_explained_in_little_memory() {
    let nothing_wrong = busy_hall("");
    let (code, printed) = in_memory_of(200_000, "explain", &nothing_wrong);
    assert_eq!(code, Some(0), "{printed}");
    let all_well = "all that is judged is as it should be";
    assert!(printed.contains(all_well), "{printed}");
    // The whole history is kept, for nobody knows how far back the cause of it lies.
    let misplaced = busy_hall(
        r#""odd": Chest(holds: [(kind: "peg", count: 1)]), "across": Hopper(above: "odd", target: "lanes[0].out")"#,
    );
    let (code, printed) = in_memory_of(200_000, "explain", &misplaced);
    assert_eq!(code, Some(0), "{printed}");
    assert!(printed.contains("1 item is misplaced"), "{printed}");
}
