//! `hallwright plan --keep`, `--move` and `--explain`: a hall that is continued, and what is said of its goods.

use std::process::Output;

use crate::support::{Halls, findings, hallwright, stderr, stdout};

/// A few goods of every sort.
const GOODS: &str = "name, stack_limit, amount, inflow_per_hour, family, wish, a_year\n\
    barley, 64, 9000, 400, grain, automatic, 900\n\
    rye, 64, 4000, 150, grain, automatic, 0\n\
    emmer, 64, 300, 9, grain, automatic, 300\n\
    oak lath, 64, 400, 12, timber, automatic, 0\n\
    ash lath, 64, 350, 7, timber, automatic, 0\n\
    ham, 16, 90, 11, , automatic, 0\n\
    mallet, 1, 4, 1, , automatic, 0\n";

/// The files that somebody builds by.
const FILES: [&str; 2] = ["allocation.csv", "modules.ron"];

fn plan(halls: &Halls, more: &[&str]) -> Output {
    let catalogue = halls.path("goods.csv");
    let explains = more.contains(&"--explain");
    // What is tried of it is no business of these tests.
    let quick: &[&str] = if explains { &[] } else { &["--no-proof"] };
    hallwright(&[&["plan", catalogue.as_str()], quick, more].concat())
}

/// Plans again in the folder of the hall, which is kept.
fn keep(halls: &Halls, more: &[&str]) -> Output {
    let folder = halls.path("goods");
    plan(halls, &[&["--keep", folder.as_str()], more].concat())
}

/// A folder with a few goods, and their hall in `goods/`.
fn planned() -> Halls {
    let halls = Halls::new();
    halls.write("goods.csv", GOODS);
    let output = plan(&halls, &[]);
    assert_eq!(output.status.code(), Some(0), "{}", stderr(&output));
    halls
}

fn texts(halls: &Halls) -> Vec<String> {
    let each = FILES
        .iter()
        .map(|file| halls.read(&format!("goods/{file}")));
    each.collect()
}

/// The kept hall as the report for programs has it.
fn kept(halls: &Halls) -> serde_json::Value {
    let report: serde_json::Value =
        serde_json::from_str(&halls.read("goods/report.json")).expect("it is JSON");
    report["kept"].clone()
}

#[test]
fn a_hall_is_continued_in_its_own_folder() {
    let halls = planned();
    let before = texts(&halls);
    // Another amount changes nothing that is built by; nothing was edited, so nothing asks for `--force`.
    halls.write(
        "goods.csv",
        &GOODS.replace("barley, 64, 9000", "barley, 64, 9100"),
    );
    let output = keep(&halls, &[]);
    assert_eq!(output.status.code(), Some(0), "{}", stderr(&output));
    assert_eq!(texts(&halls), before);
    assert_eq!(kept(&halls)["stayed_kinds"], 7);
    assert_eq!(kept(&halls)["parts_to_bring"], serde_json::json!({}));
    // A kind more takes a slice that is free, and one line of the allocation.
    let more = format!("{GOODS}wool, 64, 4000, 900, , bulk, 0\n");
    halls.write("goods.csv", &more);
    let output = keep(&halls, &[]);
    assert_eq!(output.status.code(), Some(0), "{}", stderr(&output));
    let (one, other) = (&before[0], &texts(&halls)[0]);
    assert_eq!(one.lines().count(), other.lines().count());
    let changed = one
        .lines()
        .zip(other.lines())
        .filter(|(one, other)| one != other);
    assert_eq!(changed.count(), 1, "{other}");
    assert!(
        stdout(&output).contains("new   wool: bulk 3"),
        "{}",
        stdout(&output)
    );
    assert!(kept(&halls)["parts_to_bring"]["hopper"].as_i64() > Some(0));
    // Kept twice it is the same.
    let before = texts(&halls);
    let output = keep(&halls, &[]);
    assert_eq!(output.status.code(), Some(0), "{}", stderr(&output));
    assert_eq!(texts(&halls), before);
    let output = hallwright(&["check", &halls.path("goods"), "--shuffles", "0"]);
    assert_eq!(output.status.code(), Some(0), "{}", stdout(&output));
}

#[test]
fn what_was_edited_is_named_and_never_written_over_without_being_asked() {
    let more = format!("{GOODS}wool, 64, 4000, 900, , bulk, 0\n");
    for file in ["scenario.ron", "allocation.csv", "report.txt"] {
        let halls = planned();
        let path = format!("goods/{file}");
        let edited = format!("{}\n", halls.read(&path));
        halls.write(&path, &edited);
        let others = halls.read("goods/report.json");
        halls.write("goods.csv", &more);
        let output = keep(&halls, &[]);
        assert_eq!(output.status.code(), Some(2), "{file}");
        let said = stderr(&output);
        assert!(
            said.contains("edited since") && said.contains(&path),
            "{said}"
        );
        assert!(
            !said.contains("arrivals.csv"),
            "only what was edited is named: {said}"
        );
        assert_eq!(halls.read(&path), edited, "{file}");
        assert_eq!(halls.read("goods/report.json"), others);
        let output = keep(&halls, &["--force"]);
        assert_eq!(output.status.code(), Some(0), "{}", stderr(&output));
        assert_ne!(halls.read(&path), edited);
    }
    // With a report that was edited, nothing is known of any file.
    let halls = planned();
    let report = halls
        .read("goods/report.json")
        .replace("Hall for goods", "Our hall");
    halls.write("goods/report.json", &report);
    halls.write("goods.csv", &more);
    let output = keep(&halls, &[]);
    assert_eq!(output.status.code(), Some(2));
    assert!(
        stderr(&output).contains("allocation.csv"),
        "{}",
        stderr(&output)
    );
    assert_eq!(halls.read("goods/report.json"), report);
}

#[test]
fn an_allocation_alone_can_be_kept_and_a_kind_moved() {
    let halls = planned();
    let allocation = halls.path("goods/allocation.csv");
    let there = format!("hall={}", halls.path("moved"));
    let asked = [
        "--keep",
        &allocation,
        "--output",
        "text",
        "--output",
        &there,
    ];
    let output = plan(&halls, &[&asked[..], &["--move", "barley"]].concat());
    assert_eq!(output.status.code(), Some(0), "{}", stderr(&output));
    assert!(
        stdout(&output).contains("move  barley: from bulk 1 to bulk 3"),
        "{}",
        stdout(&output)
    );
    // The parts of the hall that is kept are not known from its allocation.
    assert!(
        !stdout(&output).contains("Parts to bring"),
        "{}",
        stdout(&output)
    );
    let output = plan(&halls, &[&asked[..], &["--move", "barly"]].concat());
    assert_eq!(output.status.code(), Some(2));
    assert!(
        stderr(&output).contains("did you mean `barley`?"),
        "{}",
        stderr(&output)
    );
    let output = plan(&halls, &["--move", "barley"]);
    assert_eq!(output.status.code(), Some(2), "nothing is kept");
    // A report is not written over what is read.
    let output = plan(
        &halls,
        &[
            "--keep",
            &allocation,
            "--output",
            &format!("text={allocation}"),
        ],
    );
    assert_eq!(output.status.code(), Some(2), "{}", stderr(&output));
}

#[test]
fn a_kind_is_explained_and_nothing_is_written() {
    let halls = Halls::new();
    halls.write("goods.csv", GOODS);
    let output = plan(&halls, &["--explain", "emmer", "--explain", "barley"]);
    assert_eq!(output.status.code(), Some(0), "{}", stderr(&output));
    let said = stdout(&output);
    // 300 items are 5 stacks; 1,800 in five years are 29. 9,000 are 141, and 13,500 are 211 of 189.
    for words in [
        "needs 5 stacks: not more than",
        "in five years 29 stacks",
        "needs 141 stacks: more than",
        "in five years 211 stacks, with 900 items more each year: too many",
        "not chosen, for it needs too little",
        "bulk: fits, with 141 of 189 stacks of a slice, 1 block wide; it lies there",
    ] {
        assert!(said.contains(words), "{words} in {said}");
    }
    assert!(!std::path::Path::new(&halls.path("goods")).exists());
    let output = plan(&halls, &["--explain", "emer", "--explain", "hops"]);
    assert_eq!(output.status.code(), Some(2));
    let said = stderr(&output);
    assert!(
        said.contains("did you mean `emmer`?") && said.contains("`hops` is to be explained"),
        "{said}"
    );
    assert!(stdout(&output).is_empty());
}

#[test]
fn what_finds_the_first_slice_of_its_kind_full_goes_on_to_the_next() {
    let halls = Halls::new();
    halls.write(
        "goods.csv",
        "name, stack_limit, amount, inflow_per_hour, wish\nbarley, 64, 3000, 40, bulk\nrye, 64, 64, 1, bulk\n",
    );
    halls.write(
        "hall.ron",
        "(sides: 1, bulk: (width_blocks: 1, slots: 27, kinds: 1))",
    );
    let output = plan(&halls, &["--hall", &halls.path("hall.ron")]);
    assert_eq!(output.status.code(), Some(0), "{}", stderr(&output));
    // 3,000 items of barley are the whole stock; 27 slots have room for 1,728.
    let scenario = halls.path("goods/scenario.ron");
    let found = findings(&[&scenario, "--variant", "the whole stock"], 0);
    let stores = found["sorting"]["stores"]
        .as_array()
        .expect("there are stores");
    let items = |name: &str| {
        let store = stores.iter().find(|store| store["name"] == name);
        store.map(|store| store["final_items"].as_u64().unwrap_or(0))
    };
    let (first, second) = (items("bulk 1[0].goods"), items("bulk 1[1].goods"));
    assert!(
        first >= Some(1728) && second > Some(600),
        "{first:?} {second:?} in {stores:?}"
    );
    assert_eq!(items("unsorted"), Some(0));
}

#[cfg(unix)]
#[test]
fn a_hall_that_cannot_be_written_whole_stays_as_it_was() {
    let halls = planned();
    let all = |halls: &Halls| -> Vec<(std::path::PathBuf, Vec<u8>)> {
        let files = std::fs::read_dir(halls.path("goods")).expect("it is there");
        let mut files: Vec<_> = files
            .map(|file| file.expect("it is there").path())
            .map(|path| (path.clone(), std::fs::read(path).expect("it is there")))
            .collect();
        files.sort();
        files
    };
    let before = all(&halls);
    halls.write(
        "goods.csv",
        &format!("{GOODS}wool, 64, 4000, 900, , bulk, 0\n"),
    );
    // No file may grow beyond three blocks: some of a hall's files fit, others do not.
    let line = "ulimit -f 3; exec \"$0\" plan goods.csv --no-proof --keep goods --output hall";
    let output = std::process::Command::new("sh")
        .args(["-c", line, env!("CARGO_BIN_EXE_hallwright")])
        .env("TMPDIR", "/dev/shm")
        .current_dir(halls.folder())
        .output()
        .expect("there is a shell");
    assert_eq!(output.status.code(), Some(2), "{}", stderr(&output));
    assert_eq!(all(&halls), before);
    // Where a file stands, no folder can be made.
    halls.write("taken", "a file");
    let there = format!("hall={}", halls.path("taken"));
    let output = plan(&halls, &["--output", &there]);
    assert_eq!(output.status.code(), Some(2));
    assert!(stderr(&output).contains("taken"), "{}", stderr(&output));
    assert_eq!(halls.read("taken"), "a file");
}
