//! Recorded figures: written only when asked, compared otherwise.

use crate::support::{Halls, hallwright, stdout, unwrapped};

/// 40 items on their way through three hoppers, in two variants; with goals that always hold.
const HALL: &str = r#"(
    title: "Hall",
    run_for: "20s",
    parameters: {"wait": 0},
    variants: {"early": {}, "late": {"wait": 80}},
    goods: {"barley": 64},
    parts: {
        "one": Hopper(target: "two"),
        "two": Hopper(target: "three"),
        "three": Hopper(target: "store"),
        "store": Chest(),
    },
    arrivals: {"haul": AllAtOnce(place: "one", kind: "barley", count: 40, at: "${wait}t")},
    stores: {"barley": (parts: "store", takes: "barley")},
    flows: {"sorted": (into: "store")},
    goals: [MisplacedAtMost(0)],
)
"#;

fn recorded() -> Halls {
    let halls = Halls::new();
    halls.write("hall.ron", HALL);
    let output = hallwright(&["check", "--record", halls.folder()]);
    assert_eq!(output.status.code(), Some(0), "{}", stdout(&output));
    assert!(
        stdout(&output).contains("hall.figures"),
        "{}",
        stdout(&output)
    );
    halls
}

/// The exit code and what was said.
fn check(halls: &Halls) -> (i32, String) {
    let output = hallwright(&["check", halls.folder()]);
    let code = output.status.code().expect("it ends by itself");
    (code, unwrapped(&stdout(&output)))
}

#[track_caller]
fn assert_red(halls: &Halls, words: &[&str]) {
    let before = halls.read("hall.figures");
    let (code, text) = check(halls);
    assert_eq!(code, 1, "{text}");
    for words in words {
        assert!(text.contains(words), "`{words}` is not in: {text}");
    }
    assert_eq!(halls.read("hall.figures"), before, "a check writes nothing");
}

#[test]
fn a_record_is_small_readable_and_the_same_each_time() {
    let halls = recorded();
    let text = halls.read("hall.figures");
    assert!(text.len() < 8000, "{} bytes", text.len());
    assert!(text.contains("\n[early]\n"), "{text}");
    assert!(text.contains("\nsorted: counted = 40 items\n"), "{text}");
    let early = text.split("\n[").nth(1).expect("a variant");
    let names: Vec<&str> = early
        .lines()
        .skip(1)
        .filter_map(|line| line.rsplit_once(" = "))
        .map(|(name, _)| name)
        .take_while(|name| *name != "input")
        .collect();
    assert!(names.is_sorted(), "{names:?}");
    assert_eq!(text, recorded().read("hall.figures"));
    let (code, said) = check(&halls);
    assert_eq!(code, 0, "{said}");
    assert!(said.contains("recorded figures the same"), "{said}");
}

#[test]
fn a_check_never_writes_a_record() {
    let halls = Halls::new();
    halls.write("hall.ron", HALL);
    assert_eq!(check(&halls).0, 0);
    assert!(!std::path::Path::new(&halls.path("hall.figures")).exists());
}

#[test]
fn a_changed_scenario_is_reported_as_such_with_old_new_and_the_tick() {
    let halls = recorded();
    // The haul of the early variant comes 50 ticks later and has one item less: the runs differ from
    // tick 0 on. 400 ticks have a mark every 10 ticks.
    halls.write(
        "hall.ron",
        &HALL
            .replace("\"wait\": 0", "\"wait\": 50")
            .replace("count: 40", "count: 39"),
    );
    assert_red(
        &halls,
        &[
            "the scenario changed",
            "sorted: counted: was 40 items, is 39 items",
            "the runs part between 0.0 s (0 t) and 0.5 s (10 t)",
        ],
    );
}

#[test]
fn a_changed_scenario_with_the_same_figures_holds() {
    let halls = recorded();
    halls.write(
        "hall.ron",
        &HALL.replace("title: \"Hall\"", "title: \"Hall\", about: \"Reworded.\""),
    );
    let (code, text) = check(&halls);
    assert_eq!(code, 0, "{text}");
    assert!(text.contains("the scenario changed since"), "{text}");
}

#[test]
fn a_changed_program_is_kept_apart() {
    let halls = recorded();
    let text = halls.read("hall.figures");
    // As if the program had measured something else when it recorded the very same scenario.
    halls.write(
        "hall.figures",
        &text.replacen("lost = 0 items", "lost = 7 items", 1),
    );
    assert_red(
        &halls,
        &["the program changed", "lost: was 7 items, is 0 items"],
    );
    // Or had gone another way to the same figures, from the third mark on.
    let mut lines: Vec<String> = text.lines().map(str::to_owned).collect();
    let marks = lines
        .iter()
        .position(|line| line.starts_with("  "))
        .expect("a trail");
    let mut words: Vec<&str> = lines[marks].split(' ').collect();
    // Two blanks come first; no mark is 0000 and 0001 at once.
    words[4] = if words[4] == "0000" { "0001" } else { "0000" };
    lines[marks] = words.join(" ");
    halls.write("hall.figures", &lines.join("\n"));
    assert_red(
        &halls,
        &[
            "the program changed",
            "the runs part between 1.0 s (20 t) and 1.5 s (30 t)",
        ],
    );
}

#[test]
fn a_record_and_its_scenario_must_fit() {
    let halls = recorded();
    halls.write(
        "hall.ron",
        &HALL.replace("\"late\": {\"wait\": 80}", "\"later\": {\"wait\": 80}"),
    );
    assert_red(
        &halls,
        &[
            "hall.figures has no such variant",
            "the scenario has no variant `late`",
        ],
    );
    std::fs::rename(halls.path("hall.ron"), halls.path("new.ron")).expect("it can be renamed");
    assert_red(
        &halls,
        &["figures are recorded, but their scenario is not there"],
    );
}

#[test]
fn a_record_that_cannot_be_read_is_exit_code_2() {
    let halls = recorded();
    halls.write("hall.figures", "schema_version = 3\n[early]\nlost: none\n");
    let (code, text) = check(&halls);
    assert_eq!(code, 2, "{text}");
    assert!(
        text.contains("hall.figures:3: a figure is written `name = value unit`"),
        "{text}"
    );
}

#[test]
fn figures_of_an_older_version_are_refused_with_the_way_to_record_them_anew() {
    let halls = recorded();
    let older = halls
        .read("hall.figures")
        .replace("schema_version = 3\n", "");
    halls.write("hall.figures", &older);
    let (code, text) = check(&halls);
    assert_eq!(code, 2, "{text}");
    assert!(
        text.contains("recorded by another version of hallwright")
            && text.contains("record them anew with `--record`"),
        "{text}"
    );
    assert_eq!(halls.read("hall.figures"), older, "nothing is written");
}

#[test]
fn a_scenario_without_figures_is_an_error_where_they_are_demanded() {
    let halls = Halls::new();
    halls.write("hall.ron", HALL);
    let check = || {
        let output = hallwright(&["check", "--require-figures", halls.folder()]);
        (output.status.code(), unwrapped(&stdout(&output)))
    };
    let (code, text) = check();
    assert_eq!(code, Some(2), "{text}");
    assert!(
        text.contains("hall.figures: no figures are recorded"),
        "{text}"
    );
    assert!(text.contains("`hallwright check --record`"), "{text}");
    hallwright(&["check", "--record", halls.folder()]);
    let (code, text) = check();
    assert_eq!(code, Some(0), "{text}");
}

#[test]
fn figures_of_a_scenario_that_misses_a_goal_are_written_only_if_asked() {
    let halls = Halls::new();
    // 40 items arrive, and none may.
    let missed = HALL.replace(
        "goals: [MisplacedAtMost(0)]",
        "goals: [Contents(parts: \"store\", at_most: 0)]",
    );
    halls.write("hall.ron", &missed);
    let figures = std::path::PathBuf::from(halls.path("hall.figures"));
    let output = hallwright(&["check", "--record", halls.folder()]);
    let text = unwrapped(&stdout(&output));
    assert_eq!(output.status.code(), Some(1), "{text}");
    assert!(
        text.contains("not written, because 2 goals are missed")
            && text.contains("`--record --record-missed`"),
        "{text}"
    );
    assert!(!figures.exists());
    let output = hallwright(&["check", "--record", "--record-missed", halls.folder()]);
    let text = unwrapped(&stdout(&output));
    assert_eq!(output.status.code(), Some(1), "{text}");
    assert!(figures.exists(), "{text}");
}

#[test]
fn figures_recorded_without_a_variant_are_named_so() {
    let halls = recorded();
    let whole = halls.read("hall.figures");
    let without = whole.replace("[late]", "[]");
    halls.write("hall.figures", &without);
    assert_red(
        &halls,
        &["recorded without a variant, but the scenario has variants now"],
    );
    let (_, text) = check(&halls);
    assert!(!text.contains("``"), "{text}");
}

#[test]
fn what_differs_from_the_record_stands_by_itself() {
    let halls = recorded();
    let whole = halls.read("hall.figures");
    halls.write(
        "hall.figures",
        &whole.replacen("lost = 0 items", "lost = 7 items", 1),
    );
    let output = hallwright(&["check", halls.folder()]);
    let text = stdout(&output);
    assert!(text.contains("\n\nfigures not as in "), "{text}");
}
