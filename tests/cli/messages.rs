//! What a builder reads who asks for help or makes a mistake.

use insta::assert_snapshot;

use crate::support::{Halls, hallwright, stderr, stdout, unwrapped};

/// Exit code, standard output and standard error of a command, on one page.
fn page(arguments: &[&str]) -> String {
    let output = hallwright(arguments);
    let code = output.status.code().expect("it ends by itself");
    format!(
        "exit code {code}\n--- out\n{}--- err\n{}",
        stdout(&output),
        stderr(&output)
    )
}

#[test]
fn help_names_every_flag() {
    assert_snapshot!(page(&["run", "--help"]));
    assert_snapshot!(page(&["check", "--help"]));
    assert_snapshot!(page(&["compare", "--help"]));
}

#[test]
fn a_scenario_that_is_not_there() {
    assert_snapshot!(page(&["run", "scenarios/first-slise.ron"]));
}

#[test]
fn a_misspelt_variant_is_reported_with_a_suggestion() {
    assert_snapshot!(page(&[
        "run",
        "scenarios/first-slice.ron",
        "--variant",
        "seeled"
    ]));
}

#[test]
fn a_misspelt_parameter_is_reported_with_a_suggestion() {
    assert_snapshot!(page(&[
        "run",
        "scenarios/first-slice.ron",
        "--set",
        "saeled=true"
    ]));
}

#[test]
fn flags_that_make_no_sense_are_refused_with_the_mend() {
    for arguments in [
        ["--set", "sealed"],
        ["--order", "random"],
        ["--signal-order", "shuffled"],
        ["--stop-sweep", "9..5/1"],
        ["--seed", "x"],
    ] {
        let output = hallwright(&[&["run", "scenarios/first-slice.ron"], &arguments[..]].concat());
        assert_eq!(output.status.code(), Some(2), "{arguments:?}");
        assert!(output.stdout.is_empty(), "{arguments:?}");
        assert!(
            stderr(&output).contains(arguments[0]),
            "{}",
            stderr(&output)
        );
    }
}

#[test]
fn a_stop_can_be_moved_only_where_there_is_one() {
    let output = hallwright(&["run", "scenarios/first-slice.ron", "--stop-at", "60"]);
    assert_eq!(output.status.code(), Some(2));
    assert!(stderr(&output).contains("--stop-at"), "{}", stderr(&output));
}

#[test]
fn a_sweep_needs_a_stop() {
    assert_snapshot!(page(&[
        "run",
        "scenarios/first-slice.ron",
        "--stop-sweep",
        "5..9/1"
    ]));
}

#[test]
fn one_variant_too_many_and_one_without_a_name_are_refused_with_the_mend() {
    let scenario = "scenarios/multi-item-line.ron";
    let output = hallwright(&["run", scenario, "--variant", "a", "--variant", "b"]);
    assert_eq!(output.status.code(), Some(2));
    let said = unwrapped(&stderr(&output));
    assert!(
        said.contains("`check`, `compare` and `show` take several"),
        "{said}"
    );
    let output = hallwright(&["check", scenario, "--variant", ""]);
    assert_eq!(output.status.code(), Some(2));
    let said = unwrapped(&stderr(&output));
    assert!(
        said.contains("--variant <NAME>") && !said.contains("``"),
        "{said}"
    );
}

#[test]
fn a_command_to_copy_has_names_with_blanks_quoted() {
    let halls = Halls::new();
    let path = halls.path("old mill.ron");
    let output = hallwright(&["new", &path]);
    let said = unwrapped(&stdout(&output));
    assert!(said.contains(&format!("hallwright run '{path}'")), "{said}");
}
