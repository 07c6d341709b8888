//! What every command does alike: colours, silence, completions, and files that are no files.

use std::io::Write;
use std::process::{Command, Output, Stdio};

use crate::support::{Halls, hallwright, root, stderr, stdout};

const BROKEN: &str = r#"(title: "Broken", run_for: "10s", goods: {"flax": 64}, parts: {"a": Chest(), "h": Hopper(above: "aa")})"#;

/// The command with something set in its environment.
fn with(arguments: &[&str], environment: &[(&str, &str)]) -> Output {
    let mut command = Command::new(env!("CARGO_BIN_EXE_hallwright"));
    for name in ["NO_COLOR", "CLICOLOR", "CLICOLOR_FORCE"] {
        command.env_remove(name);
    }
    command
        .args(arguments)
        .current_dir(root())
        .envs(environment.iter().copied())
        .output()
        .expect("the command is there")
}

#[test]
fn diagnostics_are_in_colour_only_where_that_is_wanted() {
    let folder = Halls::new();
    folder.write("broken.ron", BROKEN);
    let path = folder.path("broken.ron");
    let is_coloured = |flags: &[&str], environment: &[(&str, &str)]| {
        let output = with(&[&["run", &path], flags].concat(), environment);
        assert_eq!(output.status.code(), Some(2));
        stderr(&output).contains('\u{1b}')
    };
    // A pipe is no terminal.
    assert!(!is_coloured(&[], &[]));
    assert!(is_coloured(&["--color", "always"], &[]));
    assert!(is_coloured(&["--color", "always"], &[("NO_COLOR", "1")]));
    assert!(is_coloured(&[], &[("CLICOLOR_FORCE", "1")]));
    assert!(!is_coloured(
        &[],
        &[("CLICOLOR_FORCE", "1"), ("NO_COLOR", "1")]
    ));
    assert!(!is_coloured(
        &["--color", "never"],
        &[("CLICOLOR_FORCE", "1")]
    ));
}

#[test]
fn on_a_terminal_that_can_do_nothing_there_is_no_colour() {
    let folder = Halls::new();
    folder.write("broken.ron", BROKEN);
    // `script` runs a command on a terminal of its own.
    let on_terminal = |command: &str, term: &str| {
        let output = Command::new("script")
            .args(["--quiet", "--return", "--command", command, "/dev/null"])
            .env("TERM", term)
            // Where it is set, a terminal is taken for one that shows colours whatever `TERM` says.
            .env_remove("CI")
            .env_remove("NO_COLOR")
            .env_remove("CLICOLOR")
            .env_remove("CLICOLOR_FORCE")
            .stdin(Stdio::null())
            .output()
            .ok()?;
        Some(String::from_utf8_lossy(&output.stdout).into_owned())
    };
    let probed = on_terminal("test -t 2 && echo terminal", "xterm-256color");
    if !probed.is_some_and(|said| said.contains("terminal")) {
        println!("skipped: `script` is not there or has no terminal to give");
        return;
    }
    let command = format!(
        "{} run {}",
        env!("CARGO_BIN_EXE_hallwright"),
        folder.path("broken.ron")
    );
    let is_coloured = |term| on_terminal(&command, term).map(|said| said.contains("\u{1b}["));
    assert_eq!(is_coloured("xterm-256color"), Some(true));
    assert_eq!(is_coloured("dumb"), Some(false));
}

#[test]
fn a_quiet_command_reports_what_is_wrong_and_nothing_else() {
    let folder = Halls::new();
    let page = format!("html={}", folder.path("page.html"));
    let shown = ["show", "scenarios/first-slice.ron", "--output", &page];
    assert!(stderr(&hallwright(&shown)).contains("wrote "));
    let quiet = hallwright(&[&shown[..], &["--quiet"]].concat());
    assert_eq!(stderr(&quiet), "");
    assert_eq!(quiet.status.code(), Some(0));
    folder.write("broken.ron", BROKEN);
    let broken = hallwright(&["--quiet", "run", &folder.path("broken.ron")]);
    assert!(
        stderr(&broken).contains("no part is named `aa`"),
        "{}",
        stderr(&broken)
    );
    let missing = hallwright(&["run", "--quiet", "nowhere.ron"]);
    assert!(stderr(&missing).contains("there is no such file"));
}

#[test]
fn shells_learn_all_commands() {
    for shell in ["bash", "elvish", "fish", "powershell", "zsh"] {
        let output = hallwright(&["completions", shell]);
        assert_eq!(output.status.code(), Some(0), "{shell}");
        let script = stdout(&output);
        for word in ["run", "calibrate", "stop-sweep", "completions"] {
            assert!(script.contains(word), "{shell}: {word}");
        }
    }
    assert_eq!(hallwright(&["completions", "dish"]).status.code(), Some(2));
}

#[cfg(unix)]
#[test]
fn a_pipe_without_a_writer_is_refused_at_once() {
    let folder = Halls::new();
    let path = folder.path("pipe.ron");
    let made = Command::new("mkfifo").arg(&path).status();
    assert!(made.is_ok_and(|status| status.success()));
    for command in ["run", "check", "explain", "sheet"] {
        let output = hallwright(&[command, &path]);
        assert_eq!(output.status.code(), Some(2), "{command}");
        let said = [stdout(&output), stderr(&output)].concat();
        assert!(said.contains("is not a regular file"), "{command}: {said}");
    }
}

#[cfg(target_os = "linux")]
#[test]
fn what_is_piped_in_is_read() {
    let text = std::fs::read(root().join("scenarios/first-slice.ron")).expect("it is there");
    let mut command = Command::new(env!("CARGO_BIN_EXE_hallwright"))
        .args(["run", "/dev/stdin"])
        .current_dir(root())
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("the command is there");
    let mut input = command.stdin.take().expect("it is a pipe");
    input.write_all(&text).expect("it is read");
    drop(input);
    let output = command.wait_with_output().expect("it ends");
    assert!(stdout(&output).contains("Sorted "), "{}", stderr(&output));
}

#[cfg(target_os = "linux")]
#[test]
fn a_full_standard_error_changes_no_exit_code() {
    let folder = Halls::new();
    folder.write("broken.ron", BROKEN);
    let broken = folder.path("broken.ron");
    let page = format!("html={}", folder.path("page.html"));
    for arguments in [
        &["run", &broken][..],
        &["check", &broken],
        &["run", "nowhere.ron"],
        &["run", "scenarios/first-slice.ron"],
        &["show", "scenarios/first-slice.ron", "--output", &page],
        &["explain", "scenarios/first-slice.ron"],
        &["levels"],
        &["fly"],
    ] {
        let usual = hallwright(arguments).status.code();
        let full = std::fs::OpenOptions::new()
            .write(true)
            .open("/dev/full")
            .expect("Linux has it");
        let output = Command::new(env!("CARGO_BIN_EXE_hallwright"))
            .args(arguments)
            .current_dir(root())
            .stdout(Stdio::null())
            .stderr(full)
            .status()
            .expect("the command is there");
        assert_eq!(output.code(), usual, "{arguments:?}");
    }
}

#[test]
fn deep_chains_of_wires_are_checked_and_run() {
    // Walked by a call in a call, such a chain would need more memory than a thread has.
    let folder = Halls::new();
    let wires: Vec<String> = (1..60_000)
        .map(|number| format!(r#""w{number}": Wire(inputs: ["w{}"])"#, number - 1))
        .collect();
    folder.write(
        "wires.ron",
        &format!(
            r#"(title: "Wires", run_for: "5s", goods: {{"flax": 64}},
            parts: {{"a": Chest(), "h": Hopper(above: "a", lock: "w59999")}},
            signals: {{"w0": Lever(), {}}},)"#,
            wires.join(", ")
        ),
    );
    let path = folder.path("wires.ron");
    for arguments in [
        &["run", &path][..],
        &["check", &path, "--shuffles", "0"],
        &["explain", &path],
    ] {
        let code = hallwright(arguments).status.code();
        assert!(code.is_some_and(|code| code < 2), "{arguments:?}: {code:?}");
    }
}
