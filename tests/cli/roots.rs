//! The root: what scenarios read lies inside it.

use crate::support::{Halls, hallwright, stderr, stdout};

const HALL: &str = r#"(
    title: "Hall", run_for: "1s", include: ["../shared.ron"],
    parts: {"in": Chest()}, goals: [LostAtMost(0)],
)"#;

fn halls() -> Halls {
    let halls = Halls::new();
    std::fs::create_dir(halls.path("east")).expect("a folder");
    halls.write("east/hall.ron", HALL);
    halls.write("shared.ron", "(goods: {\"barley\": 64}, secret: hunter)");
    halls
}

#[test]
fn nothing_outside_the_root_is_quoted_and_a_root_can_be_named() {
    let halls = halls();
    let hall = halls.path("east/hall.ron");
    for command in ["run", "check", "show", "explain", "compare", "tune"] {
        let output = hallwright(&[command, &hall]);
        assert_eq!(output.status.code(), Some(2), "{command}");
        let reported = stderr(&output);
        assert!(
            reported.contains("file::outside-root") && reported.contains("--root"),
            "{reported}"
        );
        assert!(
            !reported.contains("hunter") && !stdout(&output).contains("hunter"),
            "{reported}"
        );
    }
    halls.write("shared.ron", "(goods: {\"barley\": 64})");
    let check = [
        "check",
        &hall,
        "--root",
        halls.folder(),
        "--output",
        "json=-",
    ];
    let output = hallwright(&check);
    assert_eq!(output.status.code(), Some(0), "{}", stderr(&output));
    let output = hallwright(&["run", &hall, "--root", halls.folder()]);
    assert_eq!(output.status.code(), Some(0), "{}", stderr(&output));
    assert!(
        stdout(&output).contains("--root"),
        "the command again has it, too"
    );
    let output = hallwright(&["run", &hall, "--root", &halls.path("no-such")]);
    assert_eq!(output.status.code(), Some(2));
    // A repository is a root.
    std::fs::create_dir(halls.path(".git")).expect("a folder");
    assert_eq!(hallwright(&["run", &hall]).status.code(), Some(0));
}

#[cfg(unix)]
#[test]
fn no_walk_leads_out_of_the_root() {
    use std::os::unix::fs::symlink;

    let (halls, outside) = (Halls::new(), Halls::new());
    outside.write("secret.ron", "password: hunter");
    halls.write(
        "hall.ron",
        "(title: \"Hall\", run_for: \"1s\", parts: {\"in\": Chest()})",
    );
    for (target, name) in [
        (outside.folder().to_owned(), "folder"),
        (outside.path("secret.ron"), "linked.ron"),
    ] {
        symlink(target, halls.path(name)).expect("a link");
        let output = hallwright(&["check", halls.folder()]);
        assert_eq!(output.status.code(), Some(2), "{name}");
        let reported = format!("{}{}", stdout(&output), stderr(&output));
        assert!(!reported.contains("hunter"), "{reported}");
        assert!(reported.contains("--root"), "{reported}");
        std::fs::remove_file(halls.path(name)).expect("it is there");
    }
}

#[test]
fn as_many_jobs_as_one_likes_are_no_more_than_there_are_runs() {
    let halls = Halls::new();
    halls.write(
        "hall.ron",
        "(title: \"Hall\", run_for: \"1s\", parts: {\"in\": Chest()}, goals: [LostAtMost(0)])",
    );
    let output = hallwright(&["check", halls.folder(), "--jobs", "1000000000"]);
    assert_eq!(output.status.code(), Some(0), "{}", stderr(&output));
}
